"""Parses a number typed by a person into a quantity: one number, a range or a limit, with or
without a unit that fits the field.

Twin of `site_src/pages/assets/forms.js`: both must read the same test list alike and refuse in the
same words.
"""

from __future__ import annotations

import re
from decimal import Context, Decimal

from generator.numbers.quantities import (
    EXACT,
    MINUS,
    NBSP,
    Quantity,
    number_text,
    significant_digits,
)
from generator.numbers.units import UnitTable, unit_table
from generator.records.calculations import FormulaSymbol

_NUMBER = re.compile(r"[-+]?(\d{1,12}(\.\d{0,12})?|\.\d{1,12})([eE][-+]?\d{1,2})?", re.ASCII)
_ASKED = re.compile(r"[-+]?\d{1,3}(,\d{3})+", re.ASCII)
_THOUSANDS = re.compile(r"[-+]?\d{1,3}(,\d{3})+\.\d+", re.ASCII)
_WITH_UNIT = re.compile(
    r"([-+]?(?:\d(?:[\d ,.']*[\d.])?|[.,]\d+)(?:[eE][-+]?\d{1,2}(?!\w))?)\s*(.*)", re.ASCII
)
_BETWEEN = re.compile(r"\s*(?:\.\.\.?|\u2026|\u2013|\u2014)\s*| to ")
_DASHED = re.compile(r"(.*[^\s-])\s*-\s*(-?[.\d].*)", re.ASCII)
_LEAST = re.compile(r"(?:at least|\u2265)\s*(.+)", re.I)
_MOST = re.compile(r"(?:at most|\u2264)\s*(.+)", re.I)
_OPEN = re.compile(r"(>|<|min\.?|max\.?|over|under|above|below)\s*(.*\d.*)", re.I)
_FRACTION = re.compile(r"([-+]?\d+) ?/ ?(\d+)( ?\D*)", re.ASCII)
_MILLIONTHS = re.compile(r"\s*(?:[x\u00d7]\s*|\s)10\^?-6\s*/")
_LONGEST = 30  # letters of the typed text that a refusal repeats
UNITLESS = unit_table({}, {})


def typed(text: str, unit: str = "1", table: UnitTable = UNITLESS, example: str = "25") -> Quantity:
    """A value as a person types it, in ``unit``, with the digits that were typed.

    Raises ValueError, in words that say how to type it; also where a comma may be a point or a
    thousand, or a unit may be two.
    """
    clean = tidy(text)
    if not clean:
        raise ValueError(f"type a number, such as {example}")
    for limit, is_low in ((_LEAST, True), (_MOST, False)):
        if found := limit.fullmatch(clean):
            end, digits = _Reader(text, unit, table, example).limit(found[1])
            ends = (end, None) if is_low else (None, end)
            return Quantity(*ends, unit, digits, kind="at_least" if is_low else "at_most")
    if found := _OPEN.fullmatch(clean):
        least = found[1].lower().rstrip(".") in (">", "min", "over", "above")
        raise ValueError(
            f"\u201c{_short(text)}\u201d is open at one end; "
            f"type at {'least' if least else 'most'} and the number"
        )
    return _Reader(text, unit, table, example).span(clean)


def read(text: str, symbol: FormulaSymbol, table: UnitTable) -> Quantity:
    """What is typed into the field of a symbol: in its unit, whole where it is counted, and in its
    range.

    Raises ValueError in words that say how to type it.
    """
    example = example_of(symbol)
    found = typed(text, symbol.unit, table, example)
    ends = [end for end in (found.low, found.high) if end is not None]
    if symbol.whole and any(end != end.to_integral_value() for end in ends):
        raise ValueError(
            f"\u201c{_short(text)}\u201d is not a whole number; type a count, such as {example}"
        )
    if symbol.unit.startswith("10^-6") and any(0 < abs(end) < Decimal("0.001") for end in ends):
        raise ValueError(
            f"\u201c{_short(text)}\u201d is in whole units; "
            f"type millionths: {(ends[0] * 10**6).normalize():f}"
        )
    low, high = symbol.range
    if any(not low <= end <= high for end in ends):
        label = table.scales[symbol.unit].label if symbol.unit != "1" else ""
        valid = f"{number_text(low)} to {number_text(high)}" + (f"{NBSP}{label}" if label else "")
        raise ValueError(
            f"\u201c{_short(text)}\u201d is outside {valid}; type a value within the valid range"
        )
    if symbol.exact:
        return Quantity(found.low, found.high, symbol.unit, EXACT, kind=found.kind)
    return found


def example_of(symbol: FormulaSymbol) -> str:
    """A value that a field's refusals show: its default, or a round number of its range."""
    if symbol.default is not None:
        return f"{symbol.default:f}"
    low, high = symbol.range
    middle = (low + high) / 2
    return f"{middle.quantize(Decimal(1)) if high > 2 else middle.normalize():f}"


def tidy(text: str) -> str:
    """The text with one spelling for each sign that keyboards and copied texts spell in several
    ways."""
    text = text.replace(MINUS, "-").replace("\u2019", "'").replace("\u207b", "-")
    text = re.sub("\u2034|'''", " ligne", text)
    text = re.sub("\u2033|\u201d|''", '"', text)
    text = " ".join(text.split()).replace("\u2076", "6")
    return _MILLIONTHS.sub(" ppm/", text).strip()


def _short(text: str) -> str:
    return " ".join(text.split())[:_LONGEST]


def _digits(number: Decimal) -> int:
    """Significant digits as typed: 1.2e3 has 2."""
    return (
        len(number.as_tuple().digits)
        if number.as_tuple().exponent > 0
        else significant_digits(number)
    )


class _Reader:
    """Reads the parts of one typed text, for a field of one unit."""

    def __init__(self, text: str, unit: str, table: UnitTable, example: str):
        self.text, self.unit, self.table, self.example = text, unit, table, example

    def span(self, clean: str) -> Quantity:
        """A number, a range, or a number with a tolerance."""
        spread = re.split(r"\s*(?:\u00b1|\+/-)\s*", clean)
        if len(spread) == 2:
            return self._spread(*spread)
        parts = _BETWEEN.split(clean)
        dashed = len(parts) == 1 and not re.search("[eE]-", clean) and _DASHED.fullmatch(clean)
        parts = list(dashed.groups()) if dashed else parts
        if len(parts) > 2 or len(spread) > 2:
            raise self._fault()
        found = [self._part(part) for part in parts]
        units = self._shared([unit for _, unit in found])
        ends = [self._in_field(v, u) for (v, _), u in zip(found, units, strict=True)]
        return Quantity(min(ends), max(ends), self.unit, min(_digits(v) for v, _ in found))

    def limit(self, part: str) -> tuple[Decimal, int]:
        """One limit, in the field's unit, and its digits."""
        value, unit = self._part(part)
        return self._in_field(value, unit or self.unit), _digits(value)

    def _spread(self, middle: str, by: str) -> Quantity:
        (value, first), (around, second) = self._part(middle), self._part(by)
        if first and second and first != second:
            raise ValueError(
                f"\u201c{_short(self.text)}\u201d has two units; type both numbers in one"
            )
        unit = first or second or self.unit
        ends = [value - around, value + around]
        digits = min(map(_digits, ends))
        ends = [self._in_field(end, unit) for end in ends]
        return Quantity(min(ends), max(ends), self.unit, digits)

    def _shared(self, units: list[str]) -> list[str]:
        """The unit of each end: one at the end of a range holds for both."""
        if units[0] and not units[-1] and units[0] != self.unit:
            raise ValueError(
                f"\u201c{_short(self.text)}\u201d has a unit on one end only; type it on both"
            )
        if len(units) == 2 and units[1] and not units[0]:
            units[0] = units[1]
        return [unit or self.unit for unit in units]

    def _in_field(self, value: Decimal, unit: str) -> Decimal:
        return self.table.convert(value, unit, self.unit)

    def _part(self, part: str) -> tuple[Decimal, str]:
        """One number and the id of its unit, empty where none was typed."""
        part = part.strip()
        if (fraction := _FRACTION.fullmatch(part)) and int(fraction[2]):
            decimal = (
                Context(prec=12).divide(Decimal(fraction[1]), Decimal(fraction[2])).normalize()
            )
            raise ValueError(
                f"\u201c{_short(part)}\u201d is a fraction; type {decimal:f}{fraction[3].rstrip()}"
            )
        found = _WITH_UNIT.fullmatch(part)
        if not found:
            raise self._fault()
        number, word = _plain(found[1]), found[2]
        if number is None:
            raise self._fault()
        if not word:
            return number, ""
        if asked := self.table.ask(word, self.unit):
            raise ValueError(f"\u201c{_short(part)}\u201d can mean two units; {asked}")
        unit = self.table.spelled(word, self.unit)
        if unit is None:
            raise self._unit_fault(word)
        return number, unit

    def _fault(self) -> ValueError:
        return ValueError(
            f"\u201c{_short(self.text)}\u201d is not a number; "
            f"type digits, such as {self.example}, or a range, such as 7.9 to 8.0"
        )

    def _unit_fault(self, word: str) -> ValueError:
        labels = self.table.labels(self.unit) if self.unit != "1" else []
        known = f", or with one of: {', '.join(labels)}" if labels else ""
        return ValueError(
            f"\u201c{_short(self.text)}\u201d is not a number that can be read here; "
            f"type {self.example} alone{known}"
        )


def _plain(part: str) -> Decimal | None:
    """One number as typed; None where it is none. Raises ValueError where a comma may be two
    things."""
    plain = part.replace("'", " ")
    if _ASKED.fullmatch(plain):
        point = plain.replace(",", ".", 1).replace(",", "")
        raise ValueError(
            f"\u201c{part}\u201d can mean two numbers; type {plain.replace(',', '')} or {point}"
        )
    if _THOUSANDS.fullmatch(plain):
        plain = plain.replace(",", "")
    plain = re.sub(r"(\d) (?=\d{3}\b)", r"\1", plain, flags=re.ASCII).replace(",", ".", 1)
    return Decimal(plain) if _NUMBER.fullmatch(plain) else None
