"""Finds figures that were copied from the wrong row: that of a relative, or of another state.

A hand that types one sheet after the other takes the row above: the figure is a true one, within
every limit of the family, and only stands in the wrong place. What gives it away is that it is the
other's to the last digit, and that no second source beside it says the same.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal

from generator.checks.bodies import body
from generator.checks.metallurgy import CHECKS, asked, ends_of, is_answered, metallurgical
from generator.numbers.values import CALCULATION, Values
from generator.records import models
from generator.records.complaints import Complaint
from generator.records.knowledge import Knowledge
from generator.records.materials import figures_of

TELLING = 2  # digits, final zeros aside, from which two numbers are hardly alike by chance
BESIDE = Decimal("0.01")  # within which a second source of the cell bears a figure out
CURE = "look at its source again, or say under `answered: RULE:` why both have NUMBER"


@metallurgical
def copied_from_another_state(values: Values, key: str, material: models.Material):
    """A figure is not that of another state to the last digit, unless a second source beside it
    bears it out."""
    alike = defaultdict(list)
    for way, prop, figure in figures_of(material):
        if way[0] == "states" and _telling(values.knowledge, figure):
            alike[prop, figure.unit, _value(figure)].append((way, figure))
    for (prop, _, _), group in alike.items():
        for way, figure in group if len(group) > 1 else ():
            other = next((w[1] for w, _ in group if w[1] != way[1]), None)
            if other and not _borne_out(material, way, figure):
                yield way, f"{_named(values.knowledge, prop, figure)} is also that of {other}", CURE


def copied_from_a_relative(knowledge: Knowledge) -> Iterator[Complaint]:
    """A figure is not a relative's to the last digit, unless one body printed both or a second
    source beside it bears it out."""
    rule = copied_from_a_relative.__name__
    for group in _alike(knowledge):
        for key, way, prop, figure in group:
            relatives = [(k, f) for k, _, _, f in group if k != key]
            material = knowledge.materials[key]
            if not relatives or _borne_out(material, way, figure):
                continue
            fault = f"{_named(knowledge, prop, figure)} is also that of {relatives[0][0]}"
            other = _body(knowledge, figure) not in {_body(knowledge, f) for _, f in relatives}
            if other and not is_answered(material, rule, fault):
                yield asked(knowledge.place("material", key, way), fault, CURE, rule)


CHECKS.append(copied_from_a_relative)  # it compares records, so it is asked of all every time


def _alike(knowledge: Knowledge) -> Iterator[list[tuple]]:
    """(material, way, property, figure) of the figures that are one another's in a family."""
    alike, props = defaultdict(list), knowledge.words("properties")
    for key, material in knowledge.materials.items():
        for way, prop, figure in figures_of(material):
            if prop in props and _telling(knowledge, figure):
                place = (material.family, *way[:-1], figure.unit, figure.over)
                alike[place, _value(figure)].append((key, way, prop, figure))
    return (group for group in alike.values() if len(group) > 1)


def _value(figure: models.Figure):
    return figure.range or figure.typical


def _telling(knowledge: Knowledge, figure: models.Figure) -> bool:
    """True for a published value of the very metal that is not the like of many by chance."""
    if figure.of or not _value(figure):
        return False
    if not figure.range and len(figure.typical.normalize().as_tuple().digits) < TELLING:
        return False
    source = knowledge.sources.get(figure.source)
    return source is not None and source.kind != CALCULATION


def _borne_out(material: models.Material, way: tuple, figure: models.Figure) -> bool:
    """True where another source of the cell has about the same ends."""
    cell = material.states[way[1]].figures if way[0] == "states" else material.figures
    return any(
        all(
            abs(a - b) <= BESIDE * abs(a)
            for a, b in zip(ends_of(figure), ends_of(other), strict=True)
        )
        for other in cell[way[-2]]
        if other.source != figure.source and other.unit == figure.unit
    )


def _named(knowledge: Knowledge, prop: str, figure: models.Figure) -> str:
    ends = " to ".join(str(n) for n in (figure.range or (figure.typical,)))
    return f"{knowledge.words('properties')[prop].name} {ends}"


def _body(knowledge: Knowledge, figure: models.Figure) -> str:
    return body(knowledge.sources[figure.source], figure.kind)
