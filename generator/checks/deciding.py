"""Receives verdicts; hands on the figures that put rows on their rungs, each with how many rows
hang on it and the bodies that published it.

A figure decides a row when no other gate shuts the material out and the figure answers a firm
demand. A body counts once, however many of its pages are cited: the publisher of a source, or the
standard whose table several firms copy. A relative's figure and memory count for nothing, and
what was converted or worked out counts by what went in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from generator.numbers.hardness import TABLE_OF
from generator.numbers.quantities import Quantity
from generator.numbers.values import CALCULATION, Values
from generator.records import models
from generator.records.knowledge import UNPUBLISHED
from generator.verdicts.findings import compare
from generator.verdicts.rungs import NO, PAPER, Judgement
from generator.verdicts.verdicts import Verdicts

_STANDARD = re.compile(r"\b(?:ISO|EN|DIN|ASTM|BS|JIS|GOST|AMS|GB|YB)\b[ /T-]*[A-Z]?\d[\d.-]*")


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


def deciding(verdicts: Verdicts) -> dict[Cell, Decides]:
    """Every cell with a figure that decides a row, the most rows first."""
    values = verdicts.judge.values
    asked: dict[tuple, list[tuple]] = {}  # each figure that is asked for -> the limits it decides
    for part, cells in verdicts.cells.items():
        for j in cells:
            for d in _decisive(verdicts.knowledge.roles[part], j):
                unit = d.unit or values.unit_of(d.property)
                key = j.material, d.property, j.state, unit
                asked.setdefault(key, []).append((d.at_least, d.at_most))
    rows: dict[Cell, int] = {}
    limits: dict[Cell, set[tuple]] = {}
    for key, each in asked.items():
        for cell in _cells(values, *key):
            rows[cell] = rows.get(cell, 0) + len(each)
            if cell.property == key[1]:
                limits.setdefault(cell, set()).update(each)
    found = {c: Decides(n, _bodies(values, c, limits.get(c, set()))) for c, n in rows.items()}
    return dict(sorted(found.items(), key=lambda item: (-item[1].rows, str(item[0]))))


def share_on_two(found: Mapping[Cell, Decides]) -> float:
    """The share of the deciding cells behind which two independent sources stand."""
    return sum(d.on_two for d in found.values()) / len(found) if found else 1.0


def _decisive(part: models.Part, judgement: Judgement) -> Iterator[models.Demand]:
    """The firm demands whose answers put a judgement on its rung."""
    missed = [g.answer.demand for g in judgement.gates if g.kind == "demand" and g.answer]
    if judgement.rung == PAPER or len(missed) < len(judgement.gates):
        return
    asked = missed if judgement.rung == NO else [d for d in part.demands if d.firm]
    yield from (d for d in asked if d.property)


def _cells(
    values: Values, material: str, prop: str, state: str | None, unit: str
) -> Iterator[Cell]:
    """The cells that a quantity is read from; those of its inputs where it is worked out."""
    found = values.of(material, prop, state, unit)
    if found is None:
        return
    for at, figures in values.figures(material, prop, state):
        if any(f.source in found.sources for f in figures):
            yield Cell(material, prop, at, unit)
            return
    for name in _inputs(values, material, prop, state):
        yield from _cells(values, material, name, state, values.unit_of(name))


def _inputs(values: Values, material: str, prop: str, state: str | None) -> list[str]:
    """The properties that a value was worked out from: those of its formula, with what stands in
    for one that is not known, or for a tensile strength the hardness."""
    rule = values.knowledge.words("properties")[prop].worked_out
    if rule is None:
        return ["hardness"]
    if all(values.of(material, name, state) for name in rule.inputs.values()):
        return list(rule.inputs.values())
    return list({**rule.inputs, **rule.at_most_inputs}.values())


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
    if figure.source in TABLE_OF.values():
        return _bodies_of(values, cell, "tensile-strength")
    if sources[figure.source].kind != CALCULATION:
        return {body(sources[figure.source], figure.kind)}
    if cell.property == "tensile-strength":
        return _bodies_of(values, cell, "hardness")
    recipe = values.knowledge.materials[cell.material].composition
    return {body(sources[recipe.source], "range")} if recipe and recipe.source in sources else set()


def _bodies_of(values: Values, cell: Cell, prop: str) -> set[str]:
    sources = values.knowledge.sources
    figures = _given(values, cell.material, prop, cell.state)
    own = [f for f in figures if not f.of and f.source not in UNPUBLISHED]
    return {body(sources[f.source], f.kind) for f in own if sources[f.source].kind != CALCULATION}


def body(source: models.Source, kind: str = "typical") -> str:
    """Who answers for a figure: where it is a limit or a range, the standard whose table the
    source copies; or else its publisher."""
    standard = _STANDARD.search(source.number or "") if kind != "typical" else None
    return standard.group() if standard else source.publisher
