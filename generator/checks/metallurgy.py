"""Checks that a metallurgist makes by eye: density against composition, stiffness and expansion
against the family, hardness against strength, one state against the next.

A figure that fails a check and is right all the same is answered in its record, under `answered`,
with the reason. An answer holds for the numbers it names only, so it cannot hide a later slip.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from functools import wraps
from weakref import WeakKeyDictionary

from generator.checks.rule import OF_ONE
from generator.numbers.composition import density_by_mixing
from generator.numbers.hardness import TABLE_OF, interpolate, scale_points, tables_for
from generator.numbers.quantities import MEMORY, Quantity, significant_digits
from generator.numbers.values import Values, values_of
from generator.records import models
from generator.records.complaints import Complaint, Place, did_you_mean
from generator.records.families import Bands
from generator.records.knowledge import Knowledge
from generator.records.materials import figures_of

NO_BANDS = Bands(source=MEMORY)
Finding = tuple[tuple, str, str]  # way in the record, fault, cure
CHECKS: list[Callable[[Knowledge], Iterator[Complaint]]] = []
INSIDE = Decimal("1.05")  # the middle of a softer state, inside the span of the harder one
NEAR = Decimal("1.2")  # within which two figures of one cell come near each other
FAR = Decimal("1.25")  # beyond which one figure does not belong to the others of its cell
ROUNDED = Decimal("1.01")  # the same limit in other units, rounded
# How many times two printed values of one metal and state may lie apart: alloys and tests differ by
# that much in handbooks. Conductivity is measured worst.
APART = {
    "density": Decimal("1.06"),
    "elastic-modulus": Decimal("1.2"),
    "expansion": Decimal("1.2"),
    "resistivity": Decimal("1.25"),
    "thermal-conductivity": Decimal("1.6"),
    "melting-range": Decimal("1.15"),
    "hardening-temperature": Decimal("1.1"),
    "anneal-temperature": Decimal("1.15"),
    "hardness": Decimal("1.5"),
    "tensile-strength": Decimal("1.5"),
    "proof-strength": Decimal("1.5"),
}
FAR_APART = Decimal(3)  # other values, and other materials
NUMBER = re.compile(r"(?<![\w.-])-?\d+(?:\.\d+)?")
EARLIEST_YIELD = Decimal("0.1")  # of the strength; even soft copper and gold yield no earlier
SOFT = 100  # HBW; up to here the two scales read about alike, and no table goes lower
EXACT_ENOUGH = ("permeability",)  # what counts lies behind the point
# Each line from soft to hard.
ORDER = (
    ("annealed", "quarter-hard", "half-hard", "hard", "spring-hard"),
    ("annealed", "drawn", "hard"),
    ("annealed", "cold-worked", "cold-worked-aged"),
    ("annealed", "aged"),
    ("solution-treated", "aged"),
    ("annealed", "tempered-blue", "tempered-hard", "hardened"),
    ("annealed", "t6"),
)
STRONG = ("hardness", "tensile-strength", "proof-strength")


_POSSIBLE: WeakKeyDictionary[Values, frozenset[str]] = WeakKeyDictionary()


def _possible(values: Values) -> frozenset[str]:
    """The materials of a known family with every figure within the bounds of its property; all
    checks ask."""
    if values not in _POSSIBLE:
        words, materials = values.knowledge.words, values.knowledge.unsure("material")
        _POSSIBLE[values] = frozenset(
            key
            for key, m in materials.items()
            if m.family in words("families") and _is_possible(m, words("properties"))
        )
    return _POSSIBLE[values]


def _is_possible(material: models.Material, props: Mapping) -> bool:
    for _, name, figure in figures_of(material):
        units = props[name].units if name in props else {}
        bounds = units.get(figure.unit or next(iter(units), None))
        if bounds and not all(bounds[0] <= end <= bounds[1] for end in ends_of(figure)):
            return False
    return True


def metallurgical(function: Callable[..., Iterator[Finding]]):
    """Register a check of one material; faults that its record answers are dropped.

    A material of no family, or with a number out of bounds, is reported already.
    """

    @wraps(function)
    def rule(knowledge: Knowledge) -> Iterator[Complaint]:
        values = values_of(knowledge)
        possible = _possible(values)
        for key, material in knowledge.unsure("material").items():
            for way, fault, cure in function(values, key, material) if key in possible else ():
                if not is_answered(material, function.__name__, fault):
                    place = knowledge.place("material", key, way)
                    yield asked(place, fault, cure, function.__name__)

    CHECKS.append(rule)
    OF_ONE.append(rule)
    return rule


def is_answered(material: models.Material, rule: str, fault: str) -> bool:
    """True where the record says why a fault is none: for the number that the fault begins with."""
    named = map(Decimal, NUMBER.findall(material.answered.get(rule, "")))
    return Decimal(NUMBER.findall(fault)[0]) in named


def asked(place: Place, fault: str, cure: str, rule: str) -> Complaint:
    """The complaint of a rule that a record may answer."""
    said = cure.replace("RULE", rule).replace("NUMBER", NUMBER.findall(fault)[0])
    return Complaint(place, fault, said, rule)


def answer_to_no_rule(knowledge: Knowledge) -> Iterator[Complaint]:
    """A record answers only rules of this list."""
    names = {rule.__name__ for rule in CHECKS}
    for key, material in knowledge.materials.items():
        for name in material.answered:
            if name not in names:
                cure = did_you_mean(name, names, "the message of the check names it")
                place = knowledge.place("material", key, ("answered", name), True)
                yield Complaint(place, f"there is no rule {name}", cure, "answer_to_no_rule")


CURE = "mend the figure, or say under `answered: RULE:` why NUMBER is right"


def bands_of(values: Values, material: models.Material) -> Bands:
    """What metals of its family have; nothing where the family has no bands."""
    family = values.knowledge.words("families").get(material.family)
    return (family and family.bands) or NO_BANDS


def figures_in(material: models.Material, prop: str):
    """(way, state, figure) of one property."""
    for i, f in enumerate(material.figures.get(prop, ())):
        yield ("figures", prop, i), None, f
    for state, record in material.states.items():
        for i, f in enumerate(record.figures.get(prop, ())):
            yield ("states", state, "figures", prop, i), state, f


def ends_of(figure: models.Bound) -> tuple[Decimal, Decimal]:
    """Lowest and highest number of a figure; a limit is its one number."""
    if figure.range:
        return figure.range
    only = next(n for n in (figure.typical, figure.at_least, figure.at_most) if n is not None)
    return only, only


@metallurgical
def density_off_the_recipe(values: Values, key: str, material: models.Material):
    """A measured density lies where the recipe puts it by the mixture rule."""
    room = bands_of(values, material).density
    if not room or not material.composition:
        return
    shares = material.composition.shares
    if material.family.endswith(("steel", "stainless")):
        elements = values.knowledge.words("elements")
        packed = {s for s in shares if s in elements and elements[s].room == "none-in-steel"}
        shares = {s: b for s, b in shares.items() if s not in packed}
    mixed = density_by_mixing(
        values.knowledge, material.composition.model_copy(update={"shares": shares})
    )
    if not mixed:
        return
    for way, _, figure in figures_in(material, "density"):
        if figure.kind not in ("typical", "range") or figure.of:
            continue
        low, high = ends_of(figure)
        least = mixed.value.low * (100 + room[0]) / 100
        most = mixed.value.high * (100 + room[1]) / 100
        if high < least or low > most:
            yield way, f"density {low} does not fit the recipe, {least:.2f} to {most:.2f}", CURE


@metallurgical
def outside_the_family(values: Values, key: str, material: models.Material):
    """Stiffness, growth, conduction, melting and strength are those of the family."""
    spans = bands_of(values, material).spans
    for prop, band in spans.items():
        if prop == "hardness":
            continue
        for way, _, figure in figures_in(material, prop):
            low, high = ends_of(figure)
            if high < band[0] or low > band[1]:
                name = values.knowledge.words("properties")[prop].name
                fault = f"{name} {low} is not that of the family, {band[0]} to {band[1]}"
                yield way, fault, CURE
    band = spans.get("hardness")
    for way, _, figure in figures_in(material, "hardness") if band else ():
        found = _in_vickers(values.knowledge, figure, material.family)
        if found and (found[1] < band[0] or found[0] > band[1]):
            fault = (
                f"hardness {ends_of(figure)[0]} {figure.unit} is not that of the family, {band[0]}"
                f" to {band[1]} HV"
            )
            yield way, fault, CURE


def _in_vickers(
    knowledge: Knowledge, figure: models.Figure, family: str
) -> tuple[Decimal, Decimal] | None:
    """A hardness about in HV, for comparison only, by the table of the family or, where that does
    not reach, by that of steel, and of soft metal as it stands; None where none of these does."""
    if figure.unit in ("HV", "HK"):
        return ends_of(figure)
    for tables in (tables_for(family), TABLE_OF):
        if figure.unit in tables:
            points = scale_points(knowledge, figure.unit, tables[figure.unit])
            found = [interpolate(points, end) for end in ends_of(figure)]
            if None not in found:
                return found[0], found[1]
    if figure.unit == "HBW" and ends_of(figure)[1] <= SOFT:
        return ends_of(figure)
    return None


@metallurgical
def hardness_against_strength(values: Values, key: str, material: models.Material):
    """Hardness and tensile strength of one state belong together."""
    band = bands_of(values, material).strength_per_hardness
    for state in material.states if band else ():
        hard = values.of(key, "hardness", state, "HV")
        strong = values.of(key, "tensile-strength", state)
        if not _closed(hard) or not _closed(strong):
            continue
        least, most = strong.low / hard.high, strong.high / hard.low
        if most < band[0] or least > band[1]:
            fault = (
                f"{state}: {strong.low} to {strong.high} MPa do not go with "
                f"{hard.low} to {hard.high} HV"
            )
            yield ("states", state), fault, CURE


def _closed(quantity: Quantity | None) -> bool:
    return quantity is not None and bool(quantity.low) and quantity.high is not None


@metallurgical
def states_out_of_order(values: Values, key: str, material: models.Material):
    """A softer state is softer and weaker than the next harder one."""
    seen = set()
    for line in ORDER:
        states = [s for s in line if s in material.states]
        for soft, hard in zip(states, states[1:], strict=False):
            for prop in STRONG:
                if (soft, hard, prop) in seen:
                    continue
                seen.add((soft, hard, prop))
                units = values.knowledge.words("properties")[prop].units
                for unit in units:
                    a, b = (values.of(key, prop, s, unit) for s in (soft, hard))
                    if not (_has(material, soft, prop) and _has(material, hard, prop)):
                        continue
                    if not _closed(a) or not _closed(b) or (a.of and b.of):
                        continue
                    stray = (
                        _above(values, material, soft, prop, unit, b.high, 1)
                        or _above(values, material, hard, prop, unit, a.low, -1)
                        or _alone(values, material, soft, prop, unit, b.low, 1)
                        or _alone(values, material, hard, prop, unit, a.high, -1)
                    )
                    middle = (a.low + a.high) / (b.low + b.high)
                    if not stray and (a.low < b.low or a.high < b.high and middle < INSIDE):
                        continue
                    name = values.knowledge.words("properties")[prop].name
                    fault = (
                        f"{name} of {soft}, {a.low} to {a.high} {unit}, is not below that of "
                        f"{hard}, {b.low} to {b.high}"
                    )
                    yield ("states", soft, "figures", prop), fault, CURE


def _above(values, material, state, prop, unit, end, sign) -> bool:
    """True when one figure of the state itself lies wholly beyond the other state's span."""
    for figure in material.states[state].figures[prop]:
        same = (figure.unit or values.unit_of(prop)) == unit
        if same and figure.kind in ("typical", "range") and not figure.of:
            low, high = ends_of(figure)
            if (low > end) if sign > 0 else (high < end):
                return figure.source != MEMORY
    return False


def _alone(values, material, state, prop, unit, end, sign) -> bool:
    """True when one figure of the state lies far from the others of its cell, and where the other
    state begins (``end``)."""
    cell = [
        (*ends_of(f), f.source)
        for f in material.states[state].figures[prop]
        if (f.unit or values.unit_of(prop)) == unit and f.kind in ("typical", "range") and not f.of
    ]
    for i, (low, high, source) in enumerate(cell):
        others = [c for k, c in enumerate(cell) if k != i]
        if not others or source == MEMORY:
            continue
        if sign > 0 and low >= end and low > FAR * max(h for _, h, _ in others):
            return True
        if sign < 0 and high <= end and high * FAR < min(low for low, _, _ in others):
            return True
    return False


def _has(material: models.Material, state: str, prop: str) -> bool:
    return prop in material.states[state].figures


@metallurgical
def against_its_own_limit(values: Values, key: str, material: models.Material):
    """A value of a cell does not break a limit of the same cell."""
    places = [("figures",)] + [("states", s, "figures") for s in material.states]
    for place in places:
        figures = material.figures if len(place) == 1 else material.states[place[1]].figures
        for prop, found in figures.items():
            for i, value in enumerate(found):
                if value.kind not in ("typical", "range") or value.of:
                    continue
                low, high = ends_of(value)
                for limit in found:
                    if limit.unit != value.unit or limit.over != value.over or limit.of:
                        continue
                    above = limit.at_most is not None and low > limit.at_most * ROUNDED
                    below = limit.at_least is not None and high * ROUNDED < limit.at_least
                    if above or below:
                        word = f"at most {limit.at_most}" if above else f"at least {limit.at_least}"
                        name = values.knowledge.words("properties")[prop].name
                        fault = (
                            f"{name} {low if above else high} breaks the limit beside it, {word}"
                        )
                        yield (*place, prop, i), fault, CURE


@metallurgical
def proof_above_tensile(values: Values, key: str, material: models.Material):
    """Metal yields before it breaks, and not long before."""
    for state in material.states:
        proof, strong = (values.of(key, p, state) for p in ("proof-strength", "tensile-strength"))
        if proof is None or strong is None or proof.low is None:
            continue
        top = strong.high if strong.high is not None else strong.low
        if proof.low > top:
            fault = f"{state}: proof strength {proof.low} MPa is above tensile strength {top} MPa"
            yield ("states", state, "figures", "proof-strength"), fault, CURE
        elif (proof.high or top) < (strong.low or 0) * EARLIEST_YIELD:
            fault = f"{state}: proof strength {proof.high} MPa is far below {strong.low} MPa"
            yield ("states", state, "figures", "proof-strength"), fault, CURE


@metallurgical
def scales_disagree(values: Values, key: str, material: models.Material):
    """Two hardness scales of one state say about the same."""
    for state, record in material.states.items():
        found = [
            (i, f, _in_vickers(values.knowledge, f, material.family))
            for i, f in enumerate(record.figures.get("hardness", ()))
            if f.kind in ("typical", "range") and f.source != MEMORY and f.unit != "HK"
        ]
        for i, f, here in found:
            for _, other, there in found:
                if other.unit == f.unit or not here or not there:
                    continue
                if here[0] > there[1] * Decimal("1.3"):
                    fault = (
                        f"{ends_of(f)[0]} {f.unit} is far above {ends_of(other)[1]} {other.unit} "
                        "of the same state"
                    )
                    yield ("states", state, "figures", "hardness", i), fault, CURE


@metallurgical
def more_digits_than_known(values: Values, key: str, material: models.Material):
    """No figure has more digits than the sources beside it, or the bench, can bear."""
    for prop in values.knowledge.words("properties"):
        cells: dict = {}
        for way, state, figure in figures_in(material, prop):
            cells.setdefault((state, figure.unit, figure.over), []).append((way, figure))
        for found in cells.values():
            valued = [f for _, f in found if f.kind in ("typical", "range")]
            spread = (
                max(ends_of(f)[1] for f in valued) - min(ends_of(f)[0] for f in valued)
                if len(valued) > 1
                else Decimal(0)
            )
            for way, figure in found:
                if prop in EXACT_ENOUGH or figure.source in ("mendeleev", "periodictable"):
                    continue
                end = max(ends_of(figure), key=significant_digits)
                fine = Decimal(1).scaleb(end.as_tuple().exponent)
                tenths = prop in STRONG and end >= 100 and fine < 1
                long = significant_digits(end) > 4 and fine < 1
                idle = figure.kind == "typical" and fine * 50 < spread and fine < 1
                if tenths or long or (idle and significant_digits(end) > 3):
                    yield way, f"{end} has more digits than can be known", CURE


@metallurgical
def sources_far_apart(values: Values, key: str, material: models.Material):
    """Two sources of one cell do not differ by more than three times, and of a metal by less."""
    is_metal = values.knowledge.material_class(material) == "metal"
    cells: dict = {}
    for way, prop, f in figures_of(material):
        if f.kind in ("typical", "range") and not f.of and ends_of(f)[0] > 0:
            cells.setdefault((way[:-1], f.unit, f.over), []).append((way, prop, *ends_of(f)))
    for cell in cells.values():
        for way, prop, low, _ in cell if len(cell) > 1 else ():
            least = min(high for other, _, _, high in cell if other != way)
            most = APART.get(prop, FAR_APART) if is_metal else FAR_APART
            if low > most * least:
                name = values.knowledge.words("properties")[prop].name
                yield way, f"{name} {low} is more than {most} times {least} beside it", CURE


@metallurgical
def belongs_to_another_state(values: Values, key: str, material: models.Material):
    """A figure that no other of its cell comes near, and that lies among those of another state."""
    for prop in STRONG:
        cells: dict = {}
        for way, state, f in figures_in(material, prop):
            if f.kind in ("typical", "range") and not f.of and f.source != MEMORY:
                cells.setdefault((f.unit, state), []).append((way, *ends_of(f)))
        for (unit, state), cell in cells.items():
            for way, low, high in cell if len(cell) > 1 else ():
                rest = [c for c in cell if c[0] != way]
                if any(low <= h * NEAR and lo <= high * NEAR for _, lo, h in rest):
                    continue
                others = {s: c for (u, s), c in cells.items() if u == unit and s != state}
                for other, found in others.items():
                    if min(f[1] for f in found) <= (low + high) / 2 <= max(f[2] for f in found):
                        name = values.knowledge.words("properties")[prop].name
                        yield way, f"{name} {low} is that of {other}, not of {state}", CURE
