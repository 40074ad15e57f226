"""Rules about ids, names and what refers to what."""

from __future__ import annotations

import difflib
from collections.abc import Iterator

from generator.checks.rule import Fault, rule, rule_of_one
from generator.records import models
from generator.records.complaints import did_you_mean
from generator.records.knowledge import KINDS, UNPUBLISHED, Knowledge
from generator.records.meant import id_meant


@rule_of_one
def unknown_id(knowledge: Knowledge) -> Iterator[Fault]:
    """Every id names something that exists."""
    known = {kind: knowledge.of_kind(kind) for kind in KINDS}
    known["source"] = {**knowledge.sources, **dict.fromkeys(UNPUBLISHED)}
    known["caution"] = knowledge.cautions
    known |= {"first_aid": knowledge.first_aid, "tasks": knowledge.tasks, "cases": knowledge.cases}
    for kind, key, found in knowledge.references_unsure():
        for reference in found:
            words = known.get(reference.target)
            if words is None:
                words = known[reference.target] = knowledge.words(reference.target)
            if reference.id not in words:
                fault = f"there is no {_singular(reference.target)} {reference.id}"
                listed = f"vocabulary/{reference.target}"
                where = f"knowledge/{listed}.yaml" if listed in knowledge.lists else "knowledge/"
                where = {"source": "knowledge/sources/", "caution": "knowledge/cautions.yaml"}.get(
                    reference.target, where
                )
                few = (
                    f"choose {' or '.join(words)}"
                    if 0 < len(words) <= 6
                    else f"add it, or choose one from {where}"
                )
                cure = did_you_mean(reference.id, words, few)
                yield Fault(kind, key, reference.way, fault, cure, reference.is_key)


def _singular(target: str) -> str:
    word = target.replace("_", " ")
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith("classes"):
        return word[:-2]
    return word if word.endswith(("ss", "sm")) else word.removesuffix("s")


@rule
def unknown_state(knowledge: Knowledge) -> Iterator[Fault]:
    """A state that is named for a material is one of that material's states."""
    for kind, key, way, choice in named_materials(knowledge):
        material = knowledge.materials.get(choice.material)
        if choice.state and material and choice.state not in material.states:
            fault = f"{choice.material} has no state {choice.state}"
            cure = did_you_mean(
                choice.state, material.states, "define it under states, or leave it out"
            )
            yield Fault(kind, key, (*way, "state"), fault, cure)


def named_materials(
    knowledge: Knowledge,
) -> Iterator[tuple[str, str, tuple, models.Choice | models.WatchPart]]:
    """Everything that says what a part is made of: (kind, id, way, choice)."""
    for key, way, part in knowledge.choosers():
        for name in ("usual", "wrong"):
            for i, choice in enumerate(getattr(part, name)):
                yield "part", key, (*way, name, i), choice
    for key, watch in knowledge.watches.items():
        for i, part in enumerate(watch.parts):
            yield "watch", key, ("parts", i), part


@rule
def lesson_number_twice(knowledge: Knowledge) -> Iterator[Fault]:
    """No two lessons stand at the same place of the path."""
    first: dict = {}
    for key, lesson in knowledge.lessons.items():
        if first.setdefault(lesson.number, key) != key:
            fault = f"number {lesson.number} is also that of {first[lesson.number]}"
            yield Fault("lesson", key, ("number",), fault, "choose a number that is not taken")


@rule
def unused_source(knowledge: Knowledge) -> Iterator[Fault]:
    """Every source in knowledge/sources/ is cited somewhere."""
    cited = set().union(*knowledge.sure.values())
    for _, _, found in knowledge.references_unsure():
        cited.update(r.id for r in found if r.target == "source")
    for key in knowledge.sources:
        if key not in cited:
            yield Fault("source", key, (key,), f"source {key} is cited nowhere", "delete it", True)


@rule
def source_without_publication(knowledge: Knowledge) -> Iterator[Fault]:
    """`memory` and `practice` are words with a fixed meaning and cannot be defined as sources."""
    for key in set(UNPUBLISHED) & set(knowledge.sources):
        fault = f"{key} is kept for what has no publication"
        yield Fault("source", key, (key,), fault, "choose another id", True)


@rule
def duplicate_name(knowledge: Knowledge) -> Iterator[Fault]:
    """No two records of a kind carry the same name.

    The copy is the one whose id is less like the name.
    """
    for kind in KINDS:
        first: dict[str, str] = {}
        for key, record in knowledge.of_kind(kind).items():
            known = first.setdefault(record.name.casefold(), key)
            if known != key:
                copy, kept = sorted((key, known), key=lambda k: _likeness(k, record.name))
                fault = f"the name {record.name!r} is also that of {kept}"
                yield Fault(kind, copy, ("name",), fault, "say how they differ")


def _likeness(key: str, name: str) -> float:
    return difflib.SequenceMatcher(None, key, id_meant(name)).ratio()
