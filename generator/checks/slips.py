"""Checks for slips of the hand: well formed, but not what anyone would mean."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from functools import cache

from generator.checks.rule import Fault, rule, rule_of_one
from generator.records import clock, models
from generator.records.complaints import did_you_mean
from generator.records.knowledge import KINDS, Knowledge, everything_unsure
from generator.records.references import annotations_of, models_inside

_AMOUNT = re.compile(r"(?<![\w.,-])\d[\d.,]*(?![\w-])")  # 750, 7.9; not 316L or 4N


@rule
def review_in_the_future(knowledge: Knowledge) -> Iterator[Fault]:
    """Nobody has reviewed a record on a day to come."""
    latest = clock.today() + timedelta(days=1)  # it may be tomorrow already where it was typed
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            if record.reviewed.on > latest:
                yield Fault(
                    kind,
                    key,
                    ("reviewed", "on"),
                    f"the review of {record.reviewed.on} is in the future",
                    "correct the date, or this machine's clock",
                )


@rule_of_one
def state_name_twice(knowledge: Knowledge) -> Iterator[Fault]:
    """No two states of a material have one name: one of them is a copy."""
    for key, material in knowledge.unsure("material").items():
        first: dict[str, str] = {}
        for state, record in material.states.items():
            known = first.setdefault(record.name.casefold(), state)
            if known != state:
                yield Fault(
                    "material",
                    key,
                    ("states", state, "name"),
                    f"the name {record.name!r} is also that of the state {known}",
                    "say how they differ",
                )


@rule
def hazard_without_last_rule(knowledge: Knowledge) -> Iterator[Fault]:
    """A hazard's last rule has no condition; what no rule covers would be unknown."""
    for key, hazard in knowledge.hazards.items():
        if hazard.rules[-1].when != models.When():
            yield Fault(
                "hazard",
                key,
                ("rules", len(hazard.rules) - 1),
                "the last rule has a condition, so some materials have no verdict",
                "add a rule without `when` below it",
            )


@rule_of_one
def condition_on_no_state(knowledge: Knowledge) -> Iterator[Fault]:
    """A state that a condition or a claim names is a state of such a material."""
    everywhere = {s for material in knowledge.materials.values() for s in material.states}
    for kind, key, record, start in everything_unsure(knowledge):
        for way, piece in _pieces(record, start):
            for step, state, materials in _named_states(piece):
                known = [
                    knowledge.materials[m].states for m in materials if m in knowledge.materials
                ]
                pool = set().union(*known) if materials else everywhere
                if state not in pool and len(known) == len(materials):
                    yield Fault(
                        kind,
                        key,
                        (*way, *step),
                        _fault(materials, state),
                        did_you_mean(state, pool, "name a state of the record, or leave it out"),
                    )


@rule
def answer_without_grounds(knowledge: Knowledge) -> Iterator[Fault]:
    """A right answer that gives a figure rests on figures that are checked."""
    for kind, key, way, question in knowledge.questions():
        for n, option in enumerate(question.options):
            figured = option.right and _AMOUNT.search(option.say)
            if figured and question.rests_on == models.Grounds():
                yield Fault(
                    kind,
                    key,
                    (*way, "options", n, "say"),
                    f"the answer {option.say[:60]!r} gives a figure that nothing checks",
                    "say under `rests_on` which figures, sums or verdicts it follows from",
                )


def _fault(materials: list[str], state: str) -> str:
    if materials:
        return f"{' or '.join(materials)} has no state {state}"
    return f"no material has a state {state}"


def _named_states(piece) -> Iterator[tuple[tuple, str, list[str]]]:
    """(way, state, the materials that it must belong to; none: any)."""
    if isinstance(piece, models.When):
        for i, state in enumerate(piece.states):
            yield ("states", i), state, piece.materials
    elif not isinstance(piece, models.Choice):  # choices have a rule of their own
        state, material = getattr(piece, "state", None), getattr(piece, "material", None)
        if isinstance(state, str) and isinstance(material, str):
            yield ("state",), state, [material]


@cache
def _fields_with_states(model: type[models.Shape]) -> tuple[str, ...]:
    """The fields in which a piece that names a state may stand."""
    return tuple(
        name
        for name, kind in annotations_of(model).items()
        if any(_may_name_states(inner) for inner in models_inside(kind))
    )


@cache
def _may_name_states(model: type[models.Shape]) -> bool:
    return model is models.When or {"state", "material"} <= model.model_fields.keys()


def _pieces(value, way: tuple) -> Iterator[tuple[tuple, models.Shape]]:
    """Every piece of a record that may name a state, with the way to it."""
    if isinstance(value, models.Shape):
        if _may_name_states(type(value)):
            yield way, value
        for name in _fields_with_states(type(value)):
            inner = getattr(value, name)
            if inner:
                yield from _pieces(inner, (*way, name))
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from _pieces(inner, (*way, name))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from _pieces(inner, (*way, i))
