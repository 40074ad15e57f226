"""Checks what the records mean, once they have the right shape.

Each rule is one small generator; its docstring states the rule. ``check`` runs them all in one
pass.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from generator.checks import (
    alone,
    choices,
    copied,
    designations,
    figures,
    formulas,
    ids,
    jobs,
    languages,
    measured,
    metallurgy,
    safety,
    slips,
    texts,
    warmth,
    watches,
    worked_out,
)
from generator.checks.claims import broken_grounds, question_fault
from generator.checks.ids import unknown_id, unused_source
from generator.checks.layered import safety_taken_away
from generator.checks.rule import REGISTERED, Fault, named
from generator.checks.sure import Sure
from generator.numbers.quantities import NBSP
from generator.numbers.values import values_of
from generator.records.complaints import Complaint
from generator.records.knowledge import Knowledge
from generator.records.loading import load
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import Ladder
from generator.verdicts.verdicts import collisions
from generator.verdicts.watches import misplaced
from generator.verdicts.wording import reasons

# Importing a module registers its rules.
MODULES = (
    alone,
    choices,
    copied,
    designations,
    figures,
    formulas,
    ids,
    jobs,
    languages,
    measured,
    safety,
    slips,
    texts,
    warmth,
    watches,
    worked_out,
)
RULES = [
    *REGISTERED,
    *warmth.ALL,
    metallurgy.answer_to_no_rule,
]


def check(root: Path, layers: Sequence[Path] = ()) -> tuple[Knowledge, list[Complaint]]:
    """Read, type and check the knowledge base with the workshop's own layers.

    Meaning is checked in files of the right shape only.
    """
    knowledge, complaints = load(root, layers)
    shapely = not complaints
    if shapely:
        sure = Sure(root, knowledge)
        knowledge.sure.update(sure.find())
    for each in RULES:
        if shapely or each not in (unused_source, unknown_id):
            complaints += each(knowledge)
        elif each is unknown_id:
            complaints += _only_certain(each(knowledge), complaints)
    if not complaints:
        sure.learn(knowledge)
    knowledge.sure.clear()  # it may be changed by whom it is given to
    if layers and shapely:
        complaints += safety_taken_away(load(root)[0], knowledge)
    if not complaints:
        ladder = Ladder(Judge(knowledge, values_of(knowledge)))
        complaints += verdict_contradicts_the_trade(knowledge, ladder)
        complaints += grounds_do_not_hold(knowledge, ladder)
        complaints += watch_contradicts_the_verdict(knowledge, ladder)
    return knowledge, sorted(set(complaints))


@named
def verdict_contradicts_the_trade(knowledge: Knowledge, ladder: Ladder) -> Iterator[Fault]:
    """A usual material comes out as a usual choice, a wrong one as no.

    Asked only when nothing else is wrong.
    """
    words = knowledge.words("rungs")
    for key, way, choice, found in collisions(knowledge, ladder):
        where = f", {found.state}" if found.state else ""
        why = "; ".join(reasons(knowledge, found, 2)).replace(NBSP, " ")
        verdict = words[found.rung].name
        fault = f"{way[-2]} says {choice.material}{where}, the verdict is {verdict!r} ({why})"
        yield Fault(
            "part", key, way, fault, "mend the figure, the demand, the hazard's rule or the choice"
        )


@named
def watch_contradicts_the_verdict(knowledge: Knowledge, ladder: Ladder) -> Iterator[Fault]:
    """No part of a kind of watch is usually made of what the verdict rules out.

    Asked only when nothing else is wrong.
    """
    for key, place, part, found in misplaced(knowledge, ladder):
        why = "; ".join(reasons(knowledge, found, 2)).replace(NBSP, " ")
        verdict = knowledge.words("rungs")[found.rung].name
        yield Fault(
            "watch",
            key,
            ("parts", place, "material"),
            f"{part.key} is of {part.material}, the verdict is {verdict!r} ({why})",
            "mend the figure, the demand, the hazard's rule or the material",
        )


@named
def grounds_do_not_hold(knowledge: Knowledge, ladder: Ladder) -> Iterator[Fault]:
    """What a saying or an answer rests on (figures compared, verdicts) comes out true.

    Asked only when nothing else is wrong.
    """
    grounds = [
        ("saying", key, ("rests_on",), saying.rests_on) for key, saying in knowledge.sayings.items()
    ]
    grounds += [
        (kind, key, (*way, "rests_on"), question.rests_on)
        for kind, key, way, question in knowledge.questions()
    ]
    grounds += [
        ("list", "training/tasks", (key, "rests_on"), task.rests_on)
        for key, task in knowledge.tasks.items()
    ]
    for kind, key, way, question in knowledge.questions():
        found = question_fault(ladder.judge, question)
        if found:
            cure = "mend the question, or the record that it rests on"
            yield Fault(kind, key, (*way, found[0]), found[1], cure)
    for kind, key, way, ground in grounds:
        for step, fault in broken_grounds(ladder, ground):
            yield Fault(kind, key, (*way, *step), fault, "mend the text, or the figure it rests on")


def _only_certain(found: Iterator[Complaint], shape: list[Complaint]) -> Iterator[Complaint]:
    """While files are unreadable, an id may be missing only because its file was: keep quiet about
    those."""
    broken = {Path(c.place.file).stem for c in shape}
    listed = any(
        "/sources/" in c.place.file or "/vocabulary/" in c.place.file or "cautions" in c.place.file
        for c in shape
    )
    for one in found:
        word = one.fault.split(" ")[-1]
        if not listed and word not in broken:
            yield one
