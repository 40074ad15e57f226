"""Index pages of every kind of record."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from markupsafe import Markup, escape

from generator.numbers import quantities
from generator.site.page import KIND_TITLES, MATRICES, Page, Site
from generator.site.pages.job import job_address
from generator.site.pages.learning import lesson_path
from generator.site.pages.lookup import LOOKUPS
from generator.site.pages.training import PAGES
from generator.site.texts import sentence


def index_pages(site: Site) -> Iterator[Page]:
    """The indexes: materials by family, parts by zone, hazards, processes, tables, formulas; and
    each family and zone."""
    view, words = site.view, site.knowledge.words

    def index(file, title, summary, groups, trail):
        address = file.removesuffix(".md") + ".html"
        sections = [(g["title"], f"#{g['id']}") for g in groups if g["title"]]
        names = (
            [] if sections else [(sentence(view.name(*e)), e) for g in groups for e in g["entries"]]
        )
        body = view.draw(
            "list",
            address,
            title=title,
            summary=summary,
            groups=groups,
            trail=trail,
            sections=sections,
            names=names if len(names) > 12 else [],
        )
        return Page(file, title, summary, body, listed=True, wide=not sections)

    def group(kind, keys, key="", title="", text="", address=""):
        return {
            "entries": [(kind, k) for k in keys],
            "id": key or "all",
            "title": title,
            "heading": Markup(escape(title)),
            "text": text,
            "address": address,
            "links": [],
        }

    start = [("Start", "index.html")]
    families = [
        group(
            "material",
            keys,
            f,
            words("families")[f].plural,
            words("families")[f].meaning or "",
            f"families/{f}.html",
        )
        for f, keys in site.families.items()
    ]
    yield index(
        "materials/index.md",
        "Materials",
        "What parts are made of and covered with, family by family.",
        families,
        [*start, ("Materials", "")],
    )
    for f, keys in site.families.items():
        entry = words("families")[f]
        yield index(
            f"families/{f}.md",
            entry.plural,
            entry.meaning or f"All we know of {entry.name}.",
            [group("material", keys)],
            [*start, ("Materials", "materials/index.html"), (entry.plural, "")],
        )
    zones = [
        group(
            "part",
            keys,
            z,
            sentence(words("zones")[z].name),
            words("zones")[z].meaning or "",
            f"zones/{z}.html",
        )
        for z, keys in site.zones.items()
    ]
    yield index(
        "parts/index.md",
        "Parts",
        "What each part of a watch does, what it is made of, and what would be wrong.",
        zones,
        [*start, ("Parts", "")],
    )
    for z, keys in site.zones.items():
        entry = words("zones")[z]
        yield index(
            f"zones/{z}.md",
            sentence(entry.name),
            entry.meaning or entry.name,
            [group("part", keys)],
            [*start, ("Parts", "parts/index.html"), (sentence(entry.name), "")],
        )
    yield index(
        "watches/index.md",
        KIND_TITLES["watch"],
        "Whole watches, invented to stand for many: every part, and what touches what.",
        [group("watch", site.knowledge.watches)],
        [*start, (KIND_TITLES["watch"], "")],
    )
    yield index(
        "hazards/index.md",
        "Hazards",
        "What attacks a watch, which materials it harms, and what helps.",
        [group("hazard", site.knowledge.hazards)],
        [*start, ("Hazards", "")],
    )
    work = [
        group("process", keys, g, sentence(words("process_groups")[g].name))
        for g, keys in site.groups.items()
    ]
    yield index(
        "processes/index.md",
        "Work",
        "Hardening, finishing, plating, joining, cleaning, testing: step by step with the numbers.",
        work,
        [*start, ("Work", "")],
    )
    sums = [
        group("formula", keys, g, sentence(words("formula_groups")[g].name))
        for g, keys in site.formula_groups.items()
    ]
    sums[:0] = [
        {
            **group("formula", [], "jobs", "Whole jobs"),
            "links": [(job_address(k), j.name, j.summary) for k, j in site.knowledge.jobs.items()],
        },
        {
            **group("formula", [], "tables", "From published tables"),
            "links": [(f"formulas/{k}.html", *LOOKUPS[k]) for k in LOOKUPS],
        },
    ]
    yield index(
        "formulas/index.md",
        "Calculations",
        "Bench calculations, each with its limits and a worked example.",
        sums,
        [*start, ("Calculations", "")],
    )
    judged = [
        (j, [k for k, r in site.knowledge.sayings.items() if r.judged == j])
        for j in words("judgements")
    ]
    title, summary = (
        "Bench sayings: true or false?",
        "What is said at the bench, and what the figures say.",
    )
    body = view.draw(
        "sayings",
        "sayings/index.html",
        title=title,
        summary=summary,
        groups=[g for g in judged if g[1]],
        trail=[*start, ("Sayings", "")],
    )
    yield Page("sayings/index.md", title, summary, body, listed=True)
    title, summary = (
        "Lessons",
        "Safety first, then twelve short lessons, bench tasks and cases, in four weeks.",
    )
    path = lesson_path(site.knowledge)
    body = view.draw(
        "lessons",
        "lessons/index.html",
        title=title,
        summary=summary,
        lessons=path,
        trail=[*start, ("Lessons", "")],
        counts={k: len(site.knowledge.lessons[k].questions) for k in path},
        numbers={k: _lesson_number(site.knowledge.lessons[k].number) for k in path},
        training=PAGES if path else (),
    )
    yield Page("lessons/index.md", title, summary, body, listed=True, wide=True)
    body = view.draw(
        "tables",
        "tables/index.html",
        tables=list(site.tables.values()),
        matrices=MATRICES,
        trail=[*start, ("Tables", "")],
    )
    yield Page(
        "tables/index.md",
        "Tables",
        "All materials compared, one question per table.",
        body,
        listed=True,
        wide=True,
    )


def _lesson_number(number: Decimal) -> str:
    """The number before a lesson's name; the gate, number 0, has none."""
    return f"{quantities.number_text(number)}. " if number else ""
