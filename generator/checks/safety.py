"""Rules about cautions, limits and first aid."""

from __future__ import annotations

import re
from collections.abc import Iterator

from generator.checks.rule import Fault, rule, rule_of_one
from generator.records.knowledge import UNPUBLISHED, Knowledge
from generator.verdicts.conditions import (
    cautions_of_material,
    cautions_of_process,
)


@rule
def limit_without_authority(knowledge: Knowledge) -> Iterator[Fault]:
    """A limit names the law or body that set it, its date, and where it was seen; none is from
    memory."""
    for key, caution in knowledge.cautions.items():
        for i, limit in enumerate(caution.limits):
            source = knowledge.sources.get(limit.source)
            if limit.source in UNPUBLISHED or (source and not source.seen):
                fault, cure = "this limit was not read anywhere", "cite where it was read"
            elif limit.source not in caution.authority:
                fault, cure = f"{limit.source} is not among the authorities", "name it there"
            elif source and not (source.address or source.read_in or source.where):
                fault = f"{limit.source} does not say where it was seen"
                cure = "give address, where or read_in in the source"
            elif not re.search(r"\b(19|20)\d\d\b", limit.since):
                fault, cure = (
                    f"{limit.since!r} is not a date",
                    "write a year, or day, month and year",
                )
            else:
                continue
            way = (key, "limits", i)
            yield Fault("list", "cautions", way, fault, cure)


@rule
def first_aid_without_help(knowledge: Knowledge) -> Iterator[Fault]:
    """First aid begins with whom to call, and the limits of what a bench may do are the
    doctor's."""
    for key, caution in knowledge.cautions.items():
        if not caution.first_aid or "emergency number" not in caution.first_aid[0]:
            fault = "first_aid does not begin with calling for help"
            cure = "let its first line say when to call the emergency number"
            yield Fault("list", "cautions", (key,), fault, cure)
    for key, entry in knowledge.first_aid.items():
        if not re.search("hospital|poison centre|authority", entry.then.casefold()):
            fault = "`then` does not say hospital, poison centre or authority"
            cure = "say where the injured person goes next"
            yield Fault("list", "first_aid", (key, "then"), fault, cure)


@rule_of_one
def no_caution_unexplained(knowledge: Knowledge) -> Iterator[Fault]:
    """A material or process without a caution says why it needs none; one with a caution does
    not."""
    kinds = (
        ("material", knowledge.unsure("material"), cautions_of_material),
        ("process", knowledge.unsure("process"), cautions_of_process),
    )
    for kind, records, find in kinds:
        for key, record in records.items():
            if kind == "material" and record.family not in knowledge.words("families"):
                continue
            found = sorted(find(knowledge, key))
            if not found and not record.no_caution:
                fault = "there is no caution here, and no word why"
                cure = "name one under cautions, or say under no_caution why none is needed"
                way = ("name",)
            elif found and record.no_caution:
                fault = f"no_caution does not go with the caution {found[0]}"
                cure, way = "delete it", ("no_caution",)
            else:
                continue
            yield Fault(kind, key, way, fault, cure)


@rule
def caution_never_asked(knowledge: Knowledge) -> Iterator[Fault]:
    """Where there are lessons, every caution is asked about in some question."""
    questions = [question for _, _, _, question in knowledge.questions()]
    asked = {claim.caution for q in questions for claim in q.rests_on.said}
    asked |= {claim.left.caution for q in questions for claim in q.rests_on.listed}
    asked |= {q.number.listed.caution for q in questions if q.number and q.number.listed}
    for key in knowledge.cautions if knowledge.lessons else ():
        if key not in asked:
            fault = f"no question of a lesson or case asks about {key}"
            cure = "ask one, with its words under `rests_on: {said: ...}`"
            yield Fault("list", "cautions", (key,), fault, cure)
