"""Finds figures copied from the wrong row: those of a relative, or of another state.

Such a figure is true and within every limit of the family, but stands in the wrong place. It shows
because it equals the other one to the last digit and no second source confirms it.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from decimal import Decimal
from itertools import combinations

from generator.checks.bodies import body
from generator.checks.metallurgy import CHECKS, asked, ends_of, is_answered, metallurgical
from generator.numbers.values import CALCULATION, Values
from generator.records import models
from generator.records.complaints import Complaint
from generator.records.knowledge import Knowledge
from generator.records.materials import figures_of

TELLING = 2  # digits, final zeros aside, from which two numbers are hardly alike by chance
# A body prints relatives apart where fewer than one in so many pairs is alike, of at least so many.
SELDOM, ENOUGH = 20, 5
BESIDE = Decimal("0.01")  # within which a second source of the cell bears a figure out
CURE = "look at its source again, or say under `answered: RULE:` why both have NUMBER"


@metallurgical
def copied_from_another_state(values: Values, key: str, material: models.Material):
    """A figure is not that of another state to the last digit, unless a second source beside it
    bears it out."""
    alike = defaultdict(list)
    for way, prop, figure in figures_of(material):
        if way[0] == "states" and _is_printed(values.knowledge, figure):
            alike[prop, figure.unit, _value(figure)].append((way, figure))
    for (prop, _, _), group in alike.items():
        for way, figure in group if len(group) > 1 else ():
            other = next((w[1] for w, _ in group if w[1] != way[1]), None)
            if other and not _borne_out(material, way, figure):
                yield way, f"{_named(values.knowledge, prop, figure)} is also that of {other}", CURE


def copied_from_a_relative(knowledge: Knowledge) -> Iterator[Complaint]:
    """A figure is not a relative's to the last digit, unless a second source beside it bears it
    out, or one body printed both that prints other relatives alike as well."""
    rule, cells = copied_from_a_relative.__name__, _cells(knowledge)
    habits = _habits(knowledge, cells)
    for group in _alike(cells):
        bodies = Counter(_body(knowledge, f) for *_, f in group)
        for key, way, prop, figure in group:
            relative = next((k for k, *_ in group if k != key), None)
            material, mine = knowledge.materials[key], _body(knowledge, figure)
            if relative is None or not _is_printed(knowledge, figure):
                continue  # what was worked out is worked out again elsewhere
            if _borne_out(material, way, figure) or _is_habit(habits[mine], bodies[mine]):
                continue
            fault = f"{_named(knowledge, prop, figure)} is also that of {relative}"
            if not is_answered(material, rule, fault):
                yield asked(knowledge.place("material", key, way), fault, CURE, rule)


CHECKS.append(copied_from_a_relative)  # it compares records, so it is asked of all every time


def _cells(knowledge: Knowledge) -> dict[tuple, list[tuple]]:
    """(material, way, property, figure) of the values that relatives have in one place."""
    cells, props = defaultdict(list), knowledge.words("properties")
    for key, material in knowledge.materials.items():
        for way, prop, figure in figures_of(material):
            cited = figure.source in knowledge.sources and not figure.of
            if prop in props and cited and _value(figure):
                place = (material.family, *way[:-1], figure.unit, figure.over)
                cells[place].append((key, way, prop, figure))
    return cells


def _alike(cells: dict) -> Iterator[list[tuple]]:
    """What is alike in a cell, where that is hardly by chance."""
    for cell in cells.values():
        groups = defaultdict(list)
        for row in cell if len(cell) > 1 else ():
            if _is_telling(row[-1]):
                groups[_value(row[-1])].append(row)
        yield from (group for group in groups.values() if len(group) > 1)


def _habits(knowledge: Knowledge, cells: dict) -> dict[str, tuple[int, int]]:
    """How many pairs of relatives each body prints one figure of, and how many of them alike."""
    pairs: dict[str, tuple[int, int]] = defaultdict(lambda: (0, 0))
    for cell in cells.values():
        rows = [(k, _value(f), _body(knowledge, f)) for k, _, _, f in cell]
        for (one, x, body_), (two, y, other) in combinations(rows, 2):
            if one != two and body_ == other:
                all_of_it, alike = pairs[body_]
                pairs[body_] = all_of_it + 1, alike + (x == y)
    return pairs


def _is_habit(habit: tuple[int, int], here: int) -> bool:
    """True where a body that printed several of a group prints relatives alike elsewhere too, or
    too few of them to tell."""
    these = here * (here - 1) // 2
    pairs, alike = habit[0] - these, habit[1] - these
    return here > 1 and (pairs < ENOUGH or alike * SELDOM >= pairs)


def _value(figure: models.Figure):
    return figure.range or figure.typical


def _is_telling(figure: models.Figure) -> bool:
    """True for a value that is not the like of many by chance."""
    return bool(figure.range) or len(figure.typical.normalize().as_tuple().digits) >= TELLING


def _is_printed(knowledge: Knowledge, figure: models.Figure) -> bool:
    """True for a published value of the very metal."""
    source = knowledge.sources.get(figure.source)
    return bool(_value(figure)) and not figure.of and source and source.kind != CALCULATION


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
