"""Questions as pages show them, with answers taken from the base."""

from __future__ import annotations

import hashlib
from decimal import Decimal

from generator.checks.claims import accepted, answer_of
from generator.records import models
from generator.site.page import Site
from generator.site.pages.grounds import ground_rows, see_links
from generator.verdicts import wording


def mark_of(question: models.Question) -> str:
    """A question's own mark, by which a device remembers it; a question reworded is a new one."""
    return "q" + hashlib.sha256(question.ask.encode()).hexdigest()[:10]


def question_row(site: Site, question: models.Question) -> dict:
    """A question as the template draws it."""
    row = {
        "id": mark_of(question),
        "kind": question.kind,
        "ask": question.ask,
        "options": question.options,
        "why": question.why,
        "grounds": ground_rows(site, question.rests_on),
        "see": see_links(question.see),
    }
    if question.number:
        quantity = answer_of(site.verdicts.judge, question.number)
        low, high = accepted(question.number, quantity)
        row |= {
            "answer": wording.with_unit(site.knowledge, quantity),
            "low": _plain(low),
            "high": _plain(high),
            "unit": site.view.unit(question.number.unit),
        }
    if question.order:
        steps = [s.say for s in question.order.steps]
        row |= {"answer": steps, "shuffled": shuffled(steps)}
    return row


def shuffled(steps: list[str]) -> list[tuple[int, str]]:
    """(right place, line) of every line, in an order that is the same at every build and never
    the right one."""
    placed = list(enumerate(steps))
    mixed = sorted(placed, key=lambda step: hashlib.sha256(step[1].encode()).digest())
    return mixed if mixed != placed else mixed[1:] + mixed[:1]


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"


def right_answer(row: dict) -> str:
    """The right answer of a question in one line, for the mentor."""
    if row["kind"] == "choice":
        return next(o.say for o in row["options"] if o.right)
    return row["answer"] if row["kind"] == "number" else " → ".join(row["answer"])
