"""The figures that decide verdicts: how many rows depend on each, and which bodies published it.

A figure decides a row if the row's rung would change at the value that one more source might give:
as far off as sources of one cell differ elsewhere in this base. A figure well inside a demand
decides nothing. A body counts once, however many of its pages are cited: the publisher of a source,
or the standard whose table several firms copy. Borrowed and remembered figures count for nothing;
converted or calculated ones count by what went into them.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from generator.checks.bodies import body
from generator.checks.settling import Settling
from generator.numbers.hardness import TABLES
from generator.numbers.quantities import Quantity
from generator.numbers.values import CALCULATION, TENSILE, Values
from generator.records import models
from generator.records.knowledge import UNPUBLISHED
from generator.verdicts.findings import compare


class Cell(NamedTuple):
    """Where the figures of a property stand: in a state, or (None) for every state."""

    material: str
    property: str
    state: str | None
    unit: str


class Decides(NamedTuple):
    """How many rows hang on a cell, and the bodies on which their answers rest."""

    rows: int
    bodies: frozenset[str]

    @property
    def on_two(self) -> bool:
        """Whether two independent sources stand behind the answers."""
        return len(self.bodies) > 1


def deciding(settling: Settling) -> dict[Cell, Decides]:
    """Every cell with a figure that decides a row, the most rows first."""
    found = {}
    for settled in settling.turning():
        cell = Cell(settled.material, settled.property, settled.state, settled.now.unit)
        bodies = _bodies(settling.values, cell, settling.limits(settled))
        found[cell] = Decides(settled.weight[0], bodies)
    return dict(sorted(found.items(), key=lambda item: (-item[1].rows, str(item[0]))))


def share_on_two(found: Mapping[Cell, Decides]) -> float:
    """The share of the deciding cells behind which two independent sources stand."""
    return sum(d.on_two for d in found.values()) / len(found) if found else 1.0


def _bodies(values: Values, cell: Cell, limits: set[tuple]) -> frozenset[str]:
    """The bodies whose figures of the very metal give the answers that the cell gives: those that
    make the envelope, and each other one that by itself gives the same answers (where the figure
    only goes into another: each limit that the envelope keeps)."""
    found = values.of(cell.material, cell.property, cell.state, cell.unit)
    own = [f for f in _given(values, *cell[:3]) if f.source not in UNPUBLISHED and not f.of]
    together = values.in_unit(cell.material, cell.property, own, cell.unit) if own else None
    if together is None or not _alike(together, found, limits):
        return frozenset()
    bodies: set[str] = set()
    for figure in own:
        alone = values.in_unit(cell.material, cell.property, [figure], cell.unit)
        agrees = _alike(alone, found, limits) if limits else _kept(alone, together)
        if alone and (figure.source in together.sources or agrees):
            bodies |= _published_by(values, cell, figure)
    return frozenset(bodies)


def _alike(one: Quantity | None, other: Quantity, limits: set[tuple]) -> bool:
    return one is not None and all(compare(one, *x) == compare(other, *x) for x in limits)


def _kept(limit: Quantity | None, by: Quantity) -> bool:
    if limit is None:
        return False
    low_kept = limit.low is None or (by.low is not None and by.low >= limit.low)
    return low_kept and (limit.high is None or (by.high is not None and by.high <= limit.high))


def _given(values: Values, material: str, prop: str, state: str | None) -> list[models.Figure]:
    places = dict(values.figures(material, prop, state))
    return places.get(state, [])


def _published_by(values: Values, cell: Cell, figure: models.Figure) -> set[str]:
    """The body behind a figure; behind a converted or worked-out one, those of what went in."""
    sources = values.knowledge.sources
    if not _worked_out(values, figure):
        return {body(sources[figure.source], figure.kind)}
    if cell.property == TENSILE:
        return _bodies_of(values, cell, "hardness")
    if figure.source in TABLES:
        return _bodies_of(values, cell, TENSILE)
    recipe = values.knowledge.materials[cell.material].composition
    return {body(sources[recipe.source], "range")} if recipe and recipe.source in sources else set()


def _bodies_of(values: Values, cell: Cell, prop: str) -> set[str]:
    sources = values.knowledge.sources
    figures = _given(values, cell.material, prop, cell.state)
    own = [f for f in figures if not f.of and f.source not in UNPUBLISHED]
    return {body(sources[f.source], f.kind) for f in own if not _worked_out(values, f)}


def _worked_out(values: Values, figure: models.Figure) -> bool:
    """By a conversion table, between strength and hardness, or by this reference itself."""
    return figure.source in TABLES or values.knowledge.sources[figure.source].kind == CALCULATION
