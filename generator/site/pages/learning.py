"""Sayings and lessons, and what their answers rest on."""

from __future__ import annotations

from generator.records.knowledge import Knowledge
from generator.site.page import Page, Site, record_page, trail
from generator.site.pages.grounds import ground_rows, see_links
from generator.site.pages.questions import question_row
from generator.verdicts.candidates import near


def saying_page(site: Site, key: str) -> Page:
    """A saying: the verdict in one line, why, and what it rests on."""
    view, record = site.view, site.knowledge.sayings[key]
    address = view.address("saying", key)
    alike = [k for k, r in site.knowledge.sayings.items() if r.judged == record.judged]
    body = view.draw(
        "saying",
        address,
        r=record,
        trail=trail("saying", [], record.name),
        cautions=site.cautions(record),
        grounds=ground_rows(site, record.rests_on),
        see=see_links(record.see),
        siblings=[("saying", k) for k in near(alike, key)],
    )
    return record_page(address, record, body)


def lesson_page(site: Site, key: str) -> Page:
    """A lesson: short text, what to read, and questions whose answers open in place."""
    view, record = site.view, site.knowledge.lessons[key]
    address = view.address("lesson", key)
    path = lesson_path(site.knowledge)
    at = path.index(key)
    body = view.draw(
        "lesson",
        address,
        r=record,
        id=key,
        trail=trail("lesson", [], record.name),
        cautions=site.cautions(record),
        see=see_links(record.see),
        questions=[question_row(site, q) for q in record.questions],
        before=path[at - 1] if at else "",
        steps=record.demonstrate,
        after=path[at + 1] if at + 1 < len(path) else "",
    )
    return record_page(address, record, body)


def lesson_path(knowledge: Knowledge) -> list[str]:
    """The lessons in the order of the path."""
    return sorted(knowledge.lessons, key=lambda k: knowledge.lessons[k].number)
