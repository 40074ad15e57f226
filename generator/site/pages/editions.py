"""The page of what changed between editions."""

from __future__ import annotations

from collections import defaultdict

from generator.records import models
from generator.records.knowledge import COLLECTIONS
from generator.site.page import EDITIONS, Page, Site
from generator.site.texts import sentence
from generator.upkeep import editions

MOST_CHANGES = 250  # shown in full; of older editions the counts


def editions_page(site: Site) -> Page:
    """Is a printed card still current, and what each edition changed, newest first.

    Comes after all cards were drawn.
    """
    knowledge, view = site.knowledge, site.view
    stamped = editions.cards_of(knowledge)
    cards = sorted(
        ((view.name(*_record_of(page)), *_record_of(page), page) for page in site.cards),
        key=lambda c: (c[0].casefold(), c[3]),
    )
    rows = [
        {
            "kind": kind,
            "id": key,
            "page": f"{page}.html",
            "since": stamped[page][0] if page in stamped else "",
            "draft": f"{page}.html" in view.drafts,
        }
        for _, kind, key, page in cards
    ]
    withdrawn = [
        (page, day) for page, (day, _) in sorted(stamped.items()) if page not in site.cards
    ]
    shown, told = [], 0
    for day in sorted(knowledge.editions, reverse=True):
        edition = knowledge.editions[day]
        told += len(edition.changed)
        shown.append(
            {
                "day": day,
                "words": editions.in_words(edition),
                "new": [listed_page(site, page) for page in edition.new],
                "gone": edition.gone,
                "effects": edition.effects if told <= MOST_CHANGES else [],
                "records": _changes(site, edition.changed) if told <= MOST_CHANGES else [],
            }
        )
    title = EDITIONS
    summary = (
        "A printed card names its page and its edition. Find the page here: a card of that edition,"
        " or of a later one, is current."
    )
    body = view.draw(
        "editions",
        "editions.html",
        title=title,
        summary=summary,
        rows=rows,
        withdrawn=withdrawn,
        editions=shown,
        trail=[("Start", "index.html"), (title, "")],
    )
    return Page("editions.md", title, summary, body, listed=True)


def _record_of(page: str) -> tuple[str, str]:
    """Kind and id of a page such as materials/stainless-316l."""
    folder, _, key = page.partition("/")
    return next((kind for kind, name in COLLECTIONS.items() if name == folder), "caution"), key


def listed_page(site: Site, page: str) -> tuple[str, str]:
    """Address and name of a record; no address when it is gone."""
    kind, key = _record_of(page)
    known = site.knowledge.cautions if kind == "caution" else site.knowledge.of_kind(kind)
    return (site.view.address(kind, key), site.view.name(kind, key)) if key in known else ("", page)


def _changes(site: Site, changed: list[models.Change]) -> list[dict]:
    """Changes by record: which field, how, and the texts before and after where they are short."""
    records: dict[str, list] = defaultdict(list)
    for c in changed:
        records[c.record].append(
            {
                "field": sentence(editions.field_words(site.knowledge, c.record, c.field)),
                "how": c.how,
                "was": c.was,
                "now": c.now,
            }
        )
    return [{"record": listed_page(site, page), "fields": found} for page, found in records.items()]
