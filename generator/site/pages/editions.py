"""The page of what changed between editions."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from generator.records import models
from generator.records.knowledge import COLLECTIONS
from generator.site.page import EDITIONS, Page, Site
from generator.site.texts import sentence
from generator.upkeep import editions

MOST_CHANGES = 250  # shown in full; of older editions the counts


@dataclass(frozen=True)
class CardRow:
    """A card that is printed from a page, and since which edition it stands as it is."""

    kind: str
    id: str
    page: str
    since: str
    draft: bool


@dataclass(frozen=True)
class ShownEdition:
    """What an edition changed; of older ones only the counts, in ``words``."""

    day: str
    words: str
    new: list[tuple[str, str]]
    gone: list[str]
    effects: list[str]
    records: list[dict]


def editions_page(site: Site) -> Page:
    """Is a printed card still current, and what each edition changed, newest first.

    Comes after all cards were drawn.
    """
    stamped = editions.cards_of(site.knowledge)
    gone = [page for page in sorted(stamped) if page not in site.cards]
    title = EDITIONS
    summary = (
        "A printed card names its page and its edition. Find the page here: a card of that edition,"
        " or of a later one, is current."
    )
    body = site.view.draw(
        "editions",
        "editions.html",
        title=title,
        summary=summary,
        rows=_cards(site, stamped),
        withdrawn=[(page, stamped[page][0]) for page in gone],
        editions=_shown(site),
        trail=[("Start", "index.html"), (title, "")],
    )
    return Page("editions.md", title, summary, body)


def _cards(site: Site, stamped: dict[str, tuple[str, str]]) -> list[CardRow]:
    found = [
        CardRow(
            *_record_of(page),
            page=f"{page}.html",
            since=stamped[page][0] if page in stamped else "",
            draft=f"{page}.html" in site.view.drafts,
        )
        for page in site.cards
    ]
    return sorted(found, key=lambda c: (site.view.name(c.kind, c.id).casefold(), c.page))


def _shown(site: Site) -> list[ShownEdition]:
    shown, told = [], 0
    for day in sorted(site.knowledge.editions, reverse=True):
        edition = site.knowledge.editions[day]
        told += len(edition.changed)
        is_told = told <= MOST_CHANGES
        shown.append(
            ShownEdition(
                day=day,
                words=editions.in_words(edition),
                new=[listed_page(site, page) for page in edition.new],
                gone=edition.gone,
                effects=edition.effects if is_told else [],
                records=_changes(site, edition.changed) if is_told else [],
            )
        )
    return shown


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
