"""Quantities: an interval with its unit, the digits it deserves, and the sources it is from.

A quantity goes through every calculation as its low and its high end. An open end (``at_least``
has no high) stays open. Nothing here rounds before it is shown; ``shown`` is the only place where
a number becomes text.

The digit rule. A published figure keeps the digits that were printed. A calculated result shows at
least four significant digits; the word ``about`` stands before it where the inputs do not bear all
the digits shown, or where an exact result had to be cut. A calculated interval rounds outwards, to
three digits of its width, and to no more digits than one beyond its least exact input: a ratio with
1.82 cannot have six. It keeps four all the same, as a single result does. A result that is rounded
to the safe side says so beside it. No rounding crosses a threshold: what is shown has the same
meaning as the unrounded value.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal, localcontext

from generator.records.common import Bound, Sourced

# How far a figure speaks of the very metal, best first; ranks that are alike count together.
OWN, CONVERTED, COMPUTED, BORROWED, MEMORY = "own", "converted", "computed", "borrowed", "memory"
RANK = {OWN: 0, CONVERTED: 1, COMPUTED: 1, BORROWED: 2, MEMORY: 3}
EXACT = 99  # significant digits of a number that is exact by definition
PRECISION = 40  # digits carried inside a calculation
LEAST, MOST = 4, 12  # significant digits of a calculated result
WHOLE, CUT = 8, 6  # an exact result with more digits than WHOLE is cut to CUT
FAINTEST = -30  # the last decimal place that is ever shown
SETTLED = 28  # digits of a result that are beyond the rounding inside the calculation
NBSP, MINUS, EN_DASH = "\u00a0", "\u2212", "\u2013"


@dataclass(frozen=True)
class Showing:
    """How a calculated result becomes text.

    ``side`` is up or down where it is rounded to the safe side. ``thresholds`` are the numbers at
    which its meaning changes; True where the number itself belongs to what is below.
    """

    side: str = ""
    thresholds: tuple[tuple[Decimal, bool], ...] = ()

    def meaning(self, number: Decimal) -> int:
        """Which of the readings a number falls in, counted from the lowest."""
        for place, (threshold, belongs) in enumerate(self.thresholds):
            if number < threshold or (belongs and number == threshold):
                return place
        return len(self.thresholds)


@dataclass(frozen=True)
class Quantity:
    """``low`` and ``high`` in ``unit``; None is an open end.

    ``digits`` are the significant digits it may show. ``sources`` are the ids of everything that
    went in. ``kind`` is that of the figure, or "computed". ``evidence`` is the weakest that it
    rests on, and ``of`` names the relatives that it was borrowed from.
    """

    low: Decimal | None
    high: Decimal | None
    unit: str = "1"
    digits: int = EXACT
    sources: tuple[str, ...] = ()
    kind: str = "computed"
    converted_from: str = ""  # the hardness scale it was converted from, by table
    evidence: str = OWN
    of: tuple[str, ...] = ()
    showing: Showing | None = None  # set on calculated results

    def __post_init__(self):
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError(f"low {self.low} is above high {self.high}")

    @property
    def is_point(self) -> bool:
        """True when low and high are one value."""
        return self.low is not None and self.low == self.high

    @property
    def middle(self) -> Decimal | None:
        """The value to sort by: the middle, or the closed end of a half-open interval."""
        if self.low is None or self.high is None:
            return self.high if self.low is None else self.low
        return (self.low + self.high) / 2

    @property
    def from_memory(self) -> bool:
        """True when any input came from memory alone."""
        return "memory" in self.sources

    def as_unit(self, unit: str) -> Quantity:
        """The same numbers under another unit name; for results whose unit the formula states."""
        return replace(self, unit=unit)


def exact(number: int | str | Decimal, unit: str = "1") -> Quantity:
    """A number without doubt: a count, a definition."""
    value = Decimal(number)
    return Quantity(value, value, unit)


def significant_digits(number: Decimal) -> int:
    """Digits as typed, without leading zeros: 7.90 has 3, 0.05 has 1, 170 has 3 (a typed zero is a
    digit)."""
    if number == 0:
        return max(1, -number.as_tuple().exponent)
    sign, digits, exponent = number.as_tuple()
    return len(digits) + max(0, exponent)


def of_bound(
    bound: Bound, unit: str, source: str, evidence: str = OWN, of: tuple[str, ...] = ()
) -> Quantity:
    """A figure as an interval: typical is a point, limits leave the other end open."""
    kind = bound.kind
    match kind:
        case "typical":
            ends = (bound.typical, bound.typical)
        case "range":
            ends = bound.range
        case "at_least":
            ends = (bound.at_least, None)
        case _:
            ends = (None, bound.at_most)
    digits = max(
        (significant_digits(e) for e in ends if e is not None and (e != 0 or ends[0] == ends[1])),
        default=1,
    )
    return Quantity(*ends, unit, digits, (source,), kind, evidence=evidence, of=of)


def of_figure(figure: Sourced, unit: str, evidence: str = OWN) -> Quantity:
    """A figure of a material as a quantity in its unit.

    Memory and a named relative are seen in the figure itself; ``evidence`` says the rest.
    """
    of = (figure.of,) if figure.of else ()
    return of_bound(figure, unit, figure.source, seen_in(figure, evidence), of)


def seen_in(figure: Sourced, evidence: str) -> str:
    """The evidence of a figure that nothing in it makes weaker than this."""
    return MEMORY if figure.source == "memory" else BORROWED if figure.of else evidence


def outranked(quantities: Sequence[Quantity]) -> Quantity | None:
    """The envelope of the best evidence: own before converted or computed, then borrowed, then
    memory.

    Where the best gives limits alone, weaker published evidence may close the open end, never
    beyond the limit; then the whole rests on the weaker.
    """
    found = None
    for rank in sorted({RANK[q.evidence] for q in quantities}):
        tier = envelope([q for q in quantities if RANK[q.evidence] == rank])
        if found is None:
            found = tier
        elif rank < RANK[MEMORY]:
            found = _closed(found, tier)
        if found.low is not None and found.high is not None:
            break
    return found


def _closed(limit: Quantity, weaker: Quantity) -> Quantity:
    """A limit whose open end is closed by weaker evidence that does not contradict it."""
    low = weaker.low if limit.low is None else limit.low
    high = weaker.high if limit.high is None else limit.high
    unhelped = (low, high) == (limit.low, limit.high)
    if unhelped or (low is not None and high is not None and low > high):
        return limit
    closed = low is not None and high is not None
    return replace(
        limit,
        low=low,
        high=high,
        kind="range" if closed and low < high else limit.kind,
        digits=max(limit.digits, weaker.digits),
        sources=tuple(dict.fromkeys((*limit.sources, *weaker.sources))),
        evidence=weaker.evidence,
        of=weaker.of,
    )


def envelope(quantities: Sequence[Quantity]) -> Quantity | None:
    """What all figures of one property together allow.

    Published figures come before figures from memory, and values (typical, range) before mere
    limits. Where sources disagree the result spans them all: disagreement is doubt, and doubt goes
    through the calculation. The ends keep the digits of the most exact source, so that a reader
    sees what is computed with, and the width of the span tells the doubt.
    """
    published = [q for q in quantities if not q.from_memory]
    pool = published or list(quantities)
    valued = [q for q in pool if q.kind in ("typical", "range", "computed")]
    pool = valued or pool
    if not pool:
        return None
    lows, highs = [q.low for q in pool], [q.high for q in pool]
    if valued and not (None in lows and None in highs):
        # what was worked out from a limit is open at one end, and stays so
        low, high = None if None in lows else min(lows), None if None in highs else max(highs)
    else:
        floors = [low for low in lows if low is not None]
        roofs = [high for high in highs if high is not None]
        low, high = (min(floors) if floors else None), (max(roofs) if roofs else None)
        if low is not None and high is not None and low > high:
            low, high = high, low
    sources = tuple(dict.fromkeys(s for q in pool for s in q.sources))
    kind = pool[0].kind if len({q.kind for q in pool}) == 1 and low == high else "range"
    if low is None or high is None:
        kind = "at_least" if high is None else "at_most"
    converted = "" if any(not q.converted_from for q in pool) else pool[0].converted_from
    evidence = max((q.evidence for q in pool), key=RANK.__getitem__)
    of = tuple(dict.fromkeys(o for q in pool for o in q.of))
    digits = max(q.digits for q in pool)
    return Quantity(low, high, pool[0].unit, digits, sources, kind, converted, evidence, of)


def round_to(number: Decimal, digits: int, rounding: str = ROUND_HALF_EVEN) -> Decimal:
    """A number to so many significant digits; never gains digits it did not have."""
    if number == 0 or significant_digits(number) <= digits:
        return number
    exponent = number.adjusted() - digits + 1
    return number.quantize(Decimal((0, (1,), exponent)), rounding=rounding)


def number_text(number: Decimal) -> str:
    """Digits with a point, a true minus sign, and thin groups of three from 10 000 on; never an
    exponent."""
    text = f"{abs(number):f}"
    whole, point, rest = text.partition(".")
    if len(whole) > 4:
        groups = []
        while whole:
            groups.insert(0, whole[-3:])
            whole = whole[:-3]
        whole = "\u202f".join(groups)
    return (MINUS if number < 0 else "") + whole + point + rest


def shown(quantity: Quantity, table: bool = False) -> str:
    """A quantity as a reader sees it, without unit: `7.98`, `140 to 215` (in tables `140–215`),
    `at least 170`.

    Points round half even. Intervals round outwards, so that what is shown always holds.
    """
    if quantity.showing is not None:
        return _calculated(quantity, quantity.showing, table)
    if quantity.is_point:
        return number_text(_fit(quantity.low, quantity.digits, ROUND_HALF_EVEN))
    if quantity.high is None:
        return (
            ("≥" if table else "at least")
            + NBSP
            + number_text(_fit(quantity.low, quantity.digits, ROUND_FLOOR))
        )
    if quantity.low is None:
        return (
            ("≤" if table else "at most")
            + NBSP
            + number_text(_fit(quantity.high, quantity.digits, ROUND_CEILING))
        )
    low = _fit(quantity.low, quantity.digits, ROUND_FLOOR)
    high = _fit(quantity.high, quantity.digits, ROUND_CEILING)
    joint = EN_DASH if table and low >= 0 else f"{NBSP}to{NBSP}"
    return number_text(low) + joint + number_text(high)


_ROUNDING = {"up": ROUND_CEILING, "down": ROUND_FLOOR, "": ROUND_HALF_EVEN}


def _calculated(quantity: Quantity, showing: Showing, table: bool) -> str:
    """The digit rule for calculated results."""
    with localcontext() as context:
        context.prec = PRECISION
        if quantity.is_point:
            text, sure = _point(quantity.low, quantity.digits, showing, _ROUNDING[showing.side])
            return text if sure else ("≈" if table else "about") + NBSP + text
        if quantity.high is None:
            text, _ = _point(quantity.low, quantity.digits, showing, ROUND_FLOOR)
            return ("≥" if table else "at least") + NBSP + text
        if quantity.low is None:
            text, _ = _point(quantity.high, quantity.digits, showing, ROUND_CEILING)
            return ("≤" if table else "at most") + NBSP + text
        return _interval(quantity, showing, table)


def _point(value: Decimal, digits: int, showing: Showing, rounding: str) -> tuple[str, bool]:
    """The text of one number, and whether the inputs bear all its digits."""
    value = value.normalize()
    if value and value.adjusted() < FAINTEST:
        return "0", False
    own = len(value.as_tuple().digits)
    most = _most(own, digits)
    if not value or own <= most:
        padded = own if digits >= EXACT else max(own, min(digits, most))
        return number_text(_at_place(value, value.adjusted() - padded + 1, rounding)), own <= digits
    place = value.adjusted() - most + 1
    rounded = _same_meaning(value, place, showing, rounding)
    return number_text(rounded), digits < EXACT and most <= digits


def _most(own: int, digits: int) -> int:
    if digits >= EXACT:
        return own if own <= WHOLE else CUT
    return min(max(digits, LEAST), MOST)


def is_cut(quantity: Quantity) -> bool:
    """True for a calculated number that has more digits than are shown."""
    if not quantity.is_point:
        return False
    own = len(quantity.low.normalize().as_tuple().digits)
    return own > _most(own, quantity.digits)


def _interval(quantity: Quantity, showing: Showing, table: bool) -> str:
    low, high = quantity.low, quantity.high
    most = min(max(quantity.digits + 1, LEAST), MOST)
    place = max(
        (high - low).adjusted() - 2,
        max(abs(low), abs(high)).adjusted() - most + 1,
        FAINTEST,
    )
    ends = [
        _same_meaning(end, place, showing, rounding).normalize()
        for end, rounding in ((low, ROUND_FLOOR), (high, ROUND_CEILING))
    ]
    finest = min(0, *(end.as_tuple().exponent for end in ends))
    texts = [number_text(_at_place(end, finest, ROUND_HALF_EVEN)) for end in ends]
    joint = EN_DASH if table and low >= 0 else f"{NBSP}to{NBSP}"
    return texts[0] if texts[0] == texts[1] else joint.join(texts)


def _same_meaning(value: Decimal, place: int, showing: Showing, rounding: str) -> Decimal:
    """A number rounded at a decimal place, or at a finer one where rounding would change what the
    number means."""
    rounded = _at_place(value, place, rounding)
    while showing.meaning(rounded) != showing.meaning(value):
        place -= 1
        rounded = _at_place(value, place, rounding)
    return rounded


def _at_place(value: Decimal, place: int, rounding: str) -> Decimal:
    """A number rounded at 10 to the power of ``place``, without an exponent."""
    if not value:
        return Decimal(0)
    rounded = value.quantize(Decimal((0, (1,), place)), rounding=rounding)
    return rounded.quantize(Decimal(1)) if place > 0 else rounded


def _fit(number: Decimal, digits: int, rounding: str) -> Decimal:
    if digits >= EXACT:
        number = number.normalize()
        return round_to(number, 12, rounding).normalize()
    rounded = round_to(number, digits, rounding)
    return (
        rounded.quantize(Decimal(1))
        if rounded == rounded.to_integral_value() and rounded.as_tuple().exponent > 0
        else rounded
    )
