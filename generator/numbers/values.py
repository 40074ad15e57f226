"""Finds the one quantity that counts for a material's property in a state.

Order of precedence: figures of the state before figures of the material as a whole, those of a
workshop's own layer before shipped ones, figures of the very metal before converted or calculated
ones, those before figures borrowed from a relative, and those before memory. Hardness is converted
between scales, and a missing tensile strength taken from hardness, by table and for steels only. A
property that a formula gives from others is calculated where nobody measured it. The quantity says
how it came about.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from dataclasses import replace
from decimal import Decimal
from functools import cached_property

from generator.numbers.formulas import result_of
from generator.numbers.hardness import CONVERTIBLE, TABLES, tables_for, to_tensile, to_vickers
from generator.numbers.quantities import (
    BORROWED,
    COMPUTED,
    CONVERTED,
    OWN,
    RANK,
    Quantity,
    of_figure,
    outranked,
    seen_in,
)
from generator.records import models
from generator.records.knowledge import Knowledge

ROOM_SPAN = (
    0,
    120,
)  # degC; expansion figures whose span lies inside are taken for room temperature
ZERO = Decimal(0)
TENSILE = "tensile-strength"
CALCULATION = "calculation"  # the kind of source that this reference worked out by itself


def evidence_of(knowledge: Knowledge, figure: models.Figure) -> str:
    """How far a figure of a material speaks of that very metal."""
    source = knowledge.sources.get(figure.source)
    kind = COMPUTED if source and source.kind == CALCULATION else OWN
    if figure.source in TABLES:
        kind = CONVERTED
    return seen_in(figure, kind)


def figure_quantity(knowledge: Knowledge, figure: models.Figure, unit: str) -> Quantity:
    """A figure of a material as a quantity in its unit, with its evidence."""
    return of_figure(figure, unit, evidence_of(knowledge, figure))


class Values:
    """Look-up of quantities, each worked out once."""

    def __init__(self, knowledge: Knowledge):
        self.knowledge = knowledge
        self._units = {
            p: next(iter(prop.units)) for p, prop in knowledge.words("properties").items()
        }
        self._known: dict[tuple, Quantity | None] = {}
        self._before: Values | None = None  # where some quantities were moved: as they stood
        self._moved: frozenset[str] = frozenset()  # the materials whose quantities these are

    def unit_of(self, property_id: str) -> str:
        """The first unit of a property."""
        return self._units[property_id]

    def of(
        self, material_id: str, property_id: str, state: str | None = None, unit: str | None = None
    ) -> Quantity | None:
        """The envelope of all figures in ``unit`` (default: the property's first); None when
        nothing is known."""
        key = (material_id, property_id, state, unit)
        if key not in self._known:
            stays = self._before is not None and not self._may_follow(material_id, property_id)
            self._known[key] = self._before.of(*key) if stays else self._find(*key)
        return self._known[key]

    def shipped(
        self, material_id: str, property_id: str, state: str | None, unit: str
    ) -> Quantity | None:
        """What the figures come to that no layer gave: the state's own, or else those of every
        state."""
        for at, figures in self.figures(material_id, property_id, state):
            own = self._of_layer(material_id, property_id, at, figures)
            rest = [f for f in figures if not any(f is o for o in own)]
            found = self.in_unit(material_id, property_id, rest, unit) if rest else None
            if found:
                return found
        return None

    def moved(self, places: Mapping[tuple, Quantity]) -> Values:
        """The same look-up with some quantities elsewhere, keyed by what ``of`` is asked."""
        other = copy(self)
        other._known = dict(places)
        other._before, other._moved = self, frozenset(place[0] for place in places)
        return other

    def _may_follow(self, material_id: str, property_id: str) -> bool:
        """Whether a quantity may be another when others of its material are moved."""
        if material_id not in self._moved:
            return False
        read_from_others = self.knowledge.words("properties")[property_id].worked_out is not None
        return read_from_others or property_id == TENSILE

    def _find(self, material_id, property_id, state, unit) -> Quantity | None:
        unit = unit or self._units[property_id]
        best = None
        for at, figures in self.figures(material_id, property_id, state):
            own = self._of_layer(material_id, property_id, at, figures)
            for chosen in (own, figures) if own else (figures,):
                found = self.in_unit(material_id, property_id, chosen, unit)
                if found and (own or RANK[found.evidence] < RANK[BORROWED]):
                    return found
                if found and (best is None or RANK[found.evidence] < RANK[best.evidence]):
                    best = found
        return (
            best
            or self._tensile(material_id, property_id, state)
            or self._worked_out(material_id, property_id, state)
        )

    def _worked_out(self, material_id: str, property_id: str, state: str | None) -> Quantity | None:
        """A property that a formula gives from others; from one that is never less (a proof
        strength by the tensile strength) only a highest value follows."""
        rule = self.knowledge.words("properties")[property_id].worked_out
        if rule is None:
            return None
        found = self._by_formula(material_id, rule.formula, rule.inputs, state)
        if found is None and rule.at_most_inputs:
            inputs = {**rule.inputs, **rule.at_most_inputs}
            found = self._by_formula(material_id, rule.formula, inputs, state)
            found = found and found.high is not None and replace(found, low=None, kind="at_most")
        return found or None

    def _by_formula(
        self, material_id: str, formula: str, inputs: Mapping[str, str], state: str | None
    ) -> Quantity | None:
        """The result of a formula; strengths and stiffness are positive, so a highest value alone
        gives a highest value."""
        given = {symbol: self.of(material_id, prop, state) for symbol, prop in inputs.items()}
        if not all(given.values()):
            return None
        bounded = {s: q if q.low is not None else replace(q, low=ZERO) for s, q in given.items()}
        found = result_of(self.knowledge.formulas[formula], bounded)
        if bounded != given:
            found = replace(found, low=None, kind="at_most")
        return replace(found, evidence=COMPUTED) if found.evidence == OWN else found

    def _tensile(self, material_id: str, property_id: str, state: str | None) -> Quantity | None:
        """A steel's tensile strength from its hardness, where nobody published it."""
        convertible = self.knowledge.materials[material_id].family in CONVERTIBLE
        if property_id != TENSILE or not convertible:
            return None
        hardness = self.of(material_id, "hardness", state, "HV")
        return to_tensile(self._strengths, hardness) if hardness else None

    @cached_property
    def _strengths(self):
        rows = self.knowledge.words("hardness_table").values()
        return sorted((r.HV, r.Rm) for r in rows if r.Rm is not None)

    def in_unit(
        self, material_id: str, property_id: str, figures: list[models.Figure], unit: str
    ) -> Quantity | None:
        """What some figures of a property come to in a unit; None when none of them tells."""
        chosen = [f for f in figures if (f.unit or self._units[property_id]) == unit]
        if property_id == "expansion":
            room = [
                f
                for f in chosen
                if f.over is None or (f.over[0] >= ROOM_SPAN[0] and f.over[1] <= ROOM_SPAN[1])
            ]
            chosen = room or chosen
        found = [figure_quantity(self.knowledge, f, unit) for f in chosen]
        if property_id == "hardness" and unit == "HV":
            tables = tables_for(self.knowledge.materials[material_id].family)
            other = [
                figure_quantity(self.knowledge, f, f.unit) for f in figures if f.unit in tables
            ]
            turned = (to_vickers(self.knowledge, o, tables[o.unit]) for o in other)
            found += [q for q in turned if q]
        return outranked(found)

    def _of_layer(
        self, material_id: str, property_id: str, state: str | None, figures: list[models.Figure]
    ) -> list:
        """The figures among these that a workshop's own layer gave; they count before the shipped
        ones."""
        if ("material", material_id) not in self.knowledge.layered:
            return []
        start = ("states", state, "figures", property_id) if state else ("figures", property_id)
        return [
            f
            for i, f in enumerate(figures)
            if self.knowledge.from_layer("material", material_id, (*start, i))
        ]

    def figures(
        self, material_id: str, property_id: str, state: str | None
    ) -> list[tuple[str | None, list[models.Figure]]]:
        """The figures that speak of a property in a state: the state's own first, then those of
        every state."""
        material = self.knowledge.materials[material_id]
        own = material.states[state].figures.get(property_id) if state in material.states else None
        general = material.figures.get(property_id)
        return [(s, f) for s, f in ((state, own), (None, general)) if f]

    def states_with(self, material_id: str, property_id: str) -> list[str | None]:
        """The states in which a property has figures of its own; [None] where it holds for all
        states."""
        material = self.knowledge.materials[material_id]
        states = [s for s, state in material.states.items() if property_id in state.figures]
        return states or ([None] if property_id in material.figures else [])


_LAST: list[Values] = []


def values_of(knowledge: Knowledge) -> Values:
    """The look-up of a knowledge base, the same one for all that ask about it in turn."""
    if not _LAST or _LAST[0].knowledge is not knowledge:
        _LAST[:] = [Values(knowledge)]
    return _LAST[0]
