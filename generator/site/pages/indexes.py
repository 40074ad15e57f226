"""Index pages of every kind of record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup, escape

from generator.numbers import quantities
from generator.site.page import KIND_TITLES, MATRICES, Page, Site
from generator.site.pages.job import job_address
from generator.site.pages.learning import lesson_path
from generator.site.pages.lookup import LOOKUPS
from generator.site.pages.training import PAGES
from generator.site.texts import sentence

START = ("Start", "index.html")
NAMES_FROM = 13  # so many cards without sections get their names in one line above them

Trail = Sequence[tuple[str, str]]


@dataclass(frozen=True)
class Group:
    """Cards that stand together: records, and links to what is no record."""

    entries: Sequence[tuple[str, str]]  # (kind, id)
    id: str = "all"
    title: str = ""
    text: str = ""
    address: str = ""  # of a page of its own
    links: Sequence[tuple[str, str, str]] = ()  # (address, title, text)

    @property
    def heading(self) -> Markup:
        """The title as it stands in Markdown."""
        return Markup(escape(self.title))


def index_pages(site: Site) -> Iterator[Page]:
    """The indexes: materials by family, parts by zone, hazards, processes, tables, formulas; and
    each family and zone."""
    yield from _material_indexes(site)
    yield from _part_indexes(site)
    yield from _plain_indexes(site)
    yield _work_index(site)
    yield _calculations_index(site)
    yield _sayings_index(site)
    yield _lessons_index(site)
    yield _tables_index(site)


def _group(kind: str, keys: Iterable[str], **said: str) -> Group:
    return Group([(kind, key) for key in keys], **said)


def _index(
    site: Site, file: str, title: str, summary: str, groups: list[Group], trail: Trail = ()
) -> Page:
    """One page of cards; ``trail`` is where it stands between the start and itself."""
    sections = [(g.title, f"#{g.id}") for g in groups if g.title]
    names = [(sentence(site.view.name(*e)), e) for g in groups for e in g.entries]
    body = site.view.draw(
        "list",
        file.removesuffix(".md") + ".html",
        title=title,
        summary=summary,
        groups=groups,
        trail=[START, *trail, (title, "")],
        sections=sections,
        names=names if len(names) >= NAMES_FROM and not sections else [],
    )
    return Page(file, title, summary, body, wide=not sections)


def _material_indexes(site: Site) -> Iterator[Page]:
    families = site.knowledge.words("families")
    groups = [
        _group(
            "material",
            keys,
            id=f,
            title=families[f].plural,
            text=families[f].meaning or "",
            address=f"families/{f}.html",
        )
        for f, keys in site.families.items()
    ]
    summary = "What parts are made of and covered with, family by family."
    yield _index(site, "materials/index.md", "Materials", summary, groups)
    for f, keys in site.families.items():
        summary = families[f].meaning or f"All that is known here of {families[f].name}."
        trail = [("Materials", "materials/index.html")]
        groups = [_group("material", keys)]
        yield _index(site, f"families/{f}.md", families[f].plural, summary, groups, trail)


def _part_indexes(site: Site) -> Iterator[Page]:
    zones = site.knowledge.words("zones")
    groups = [
        _group(
            "part",
            keys,
            id=z,
            title=sentence(zones[z].name),
            text=zones[z].meaning or "",
            address=f"zones/{z}.html",
        )
        for z, keys in site.zones.items()
    ]
    summary = "What each part of a watch does, what it is made of, and what would be wrong."
    yield _index(site, "parts/index.md", "Parts", summary, groups)
    for z, keys in site.zones.items():
        title, summary = sentence(zones[z].name), zones[z].meaning or zones[z].name
        trail = [("Parts", "parts/index.html")]
        yield _index(site, f"zones/{z}.md", title, summary, [_group("part", keys)], trail)


def _plain_indexes(site: Site) -> Iterator[Page]:
    """Kinds of records in one list without sections."""
    summary = "Whole watches, invented to stand for many: every part, and what touches what."
    watches = [_group("watch", site.knowledge.watches)]
    yield _index(site, "watches/index.md", KIND_TITLES["watch"], summary, watches)
    summary = "What attacks a watch, which materials it harms, and what helps."
    hazards = [_group("hazard", site.knowledge.hazards)]
    yield _index(site, "hazards/index.md", "Hazards", summary, hazards)


def _work_index(site: Site) -> Page:
    names = site.knowledge.words("process_groups")
    groups = [
        _group("process", keys, id=g, title=sentence(names[g].name))
        for g, keys in site.groups.items()
    ]
    summary = (
        "Hardening, finishing, plating, joining, cleaning, testing: step by step with the numbers."
    )
    return _index(site, "processes/index.md", "Work", summary, groups)


def _calculations_index(site: Site) -> Page:
    names = site.knowledge.words("formula_groups")
    jobs = [(job_address(k), j.name, j.summary) for k, j in site.knowledge.jobs.items()]
    lookups = [(f"formulas/{k}.html", *said) for k, said in LOOKUPS.items()]
    groups = [
        Group((), "jobs", "Whole jobs", links=jobs),
        Group((), "tables", "From published tables", links=lookups),
        *(
            _group("formula", keys, id=g, title=sentence(names[g].name))
            for g, keys in site.formula_groups.items()
        ),
    ]
    summary = "Bench calculations, each with its limits and a worked example."
    return _index(site, "formulas/index.md", "Calculations", summary, groups)


def _sayings_index(site: Site) -> Page:
    sayings = site.knowledge.sayings
    judged = [
        (j, [k for k, r in sayings.items() if r.judged == j])
        for j in site.knowledge.words("judgements")
    ]
    title = "Bench sayings: true or false?"
    summary = "What is said at the bench, and what the figures say."
    body = site.view.draw(
        "sayings",
        "sayings/index.html",
        title=title,
        summary=summary,
        groups=[(j, keys) for j, keys in judged if keys],
        trail=[START, ("Sayings", "")],
    )
    return Page("sayings/index.md", title, summary, body)


def _lessons_index(site: Site) -> Page:
    lessons, path = site.knowledge.lessons, lesson_path(site.knowledge)
    title = "Lessons"
    summary = "Safety first, then twelve short lessons, bench tasks and cases, in four weeks."
    body = site.view.draw(
        "lessons",
        "lessons/index.html",
        title=title,
        summary=summary,
        lessons=path,
        trail=[START, ("Lessons", "")],
        counts={k: len(lessons[k].questions) for k in path},
        numbers={k: _lesson_number(lessons[k].number) for k in path},
        training=PAGES if path else (),
    )
    return Page("lessons/index.md", title, summary, body, wide=True)


def _tables_index(site: Site) -> Page:
    body = site.view.draw(
        "tables",
        "tables/index.html",
        tables=list(site.tables.values()),
        matrices=MATRICES,
        trail=[START, ("Tables", "")],
    )
    summary = "All materials compared, one question per table."
    return Page("tables/index.md", "Tables", summary, body, wide=True)


def _lesson_number(number: Decimal) -> str:
    """The number before a lesson's name; the gate, number 0, has none."""
    return f"{quantities.number_text(number)}. " if number else ""
