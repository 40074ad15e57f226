"""Receives the knowledge; hands on what the find box knows, an entry for each page and more.

An entry is address, title, kind, summary, rank, spellings, signs, names, text. Spellings are what
people type for a thing: designations without dots and hyphens come by themselves; here come the
forms that need knowledge, such as 4404 for 1.4404, 18k for 18 ct, Ti64 for Ti-6Al-4V. Signs are
what the eye finds when something went wrong. Names are those in other languages, by tag. What
people ask who do not know a page's name stands in `vocabulary/asked_for.yaml`.
"""

from __future__ import annotations

import re

from pydantic import BaseModel

from generator.records import models
from generator.records.common import Named
from generator.records.knowledge import KINDS, Knowledge
from generator.records.languages import name_in, names_by_tag, offered
from generator.site import find_texts
from generator.site.page import EDITIONS, INDEXES, KIND_TITLES, MATRICES, mark_title, slug
from generator.site.texts import sentence
from generator.site.view import View
from generator.tables.cells import Table

RANKS = {
    "mark": 9,
    "material": 8,
    "part": 8,
    "hazard": 7,
    "process": 6,
    "table": 5,
    "formula": 5,
    "saying": 3,
    "lesson": 3,
    "watch": 6,
    "family": 9,
    "first aid": 9,
    "caution": 6,
    "zone": 4,
    "page": 2,
}


def entries(
    knowledge: Knowledge, view: View, tables: dict[str, Table], families: list[str]
) -> list[list]:
    """All entries, records first, in a fixed order."""
    found = []

    def add(
        address: str,
        title: str,
        kind: str,
        summary: str,
        spellings=(),
        rank: int = 0,
        signs=(),
        named: Named | None = None,
        record: BaseModel | None = None,
    ) -> None:
        asked = knowledge.words("asked_for").get(slug(address.replace(".html", "")))
        spellings = [*spellings, *(asked.words if asked else ())]
        names: dict[str, list[str]] = {}
        for each in filter(None, (named, asked)):
            for tag, words in names_by_tag(knowledge, each):
                names[tag] = list(dict.fromkeys((*names.get(tag, ()), *words)))
        found.append(
            [
                address,
                title,
                kind,
                summary,
                rank,
                list(dict.fromkeys(spellings)),
                list(dict.fromkeys(signs)),
                names,
                find_texts.of_record(view, record) if record else [],
            ]
        )

    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            spellings = list(record.also_called)
            if kind == "material":
                spellings += [
                    s for d in record.designations for s in spellings_of(d.system, d.code)
                ]
            add(
                view.address(kind, key),
                sentence(record.name),
                KIND_TITLES[kind].lower(),
                record.summary,
                spellings,
                RANKS[kind],
                signs_of(kind, record),
                record,
                record,
            )
    for key, mark in knowledge.words("marks").items():
        spellings = [
            f"{mark.fineness:f}",
            f"{knowledge.words('elements')[mark.metal].name} {mark.fineness:f}",
            f"{mark.metal}{mark.fineness:f}",
            f"{mark.fineness:f}/1000",
            f"0.{mark.fineness:f}",
        ]
        if mark.carat is not None:
            spellings += spellings_of_carat(f"{mark.carat:f}")
        # Several metals share a number; gold, which is stamped most, comes first.
        add(
            f"marks/{key}.html",
            mark_title(knowledge, key),
            "marks",
            "What the mark means and which alloys carry it.",
            spellings,
            RANKS["mark"] + (mark.metal == "Au"),
            named=_marked(knowledge, mark),
        )
    for key in families:
        entry = knowledge.words("families")[key]
        add(
            f"families/{key}.html",
            entry.plural,
            "family",
            entry.meaning or "",
            [entry.name, *entry.also_called],
            RANKS["family"],
            named=entry,
        )
    for key, entry in knowledge.words("zones").items():
        add(
            f"zones/{key}.html",
            sentence(entry.name),
            "zone",
            entry.meaning or "",
            [],
            RANKS["zone"],
            named=entry,
        )
    for table in tables.values():
        add(
            f"tables/{table.id}.html",
            table.title,
            "table",
            table.summary,
            TABLES.get(table.id, ()),
            RANKS["table"],
            named=knowledge.words("properties").get(table.id),
        )
    for key, entry in knowledge.first_aid.items():
        add(
            f"first-aid.html#{key}",
            f"First aid: {entry.name}",
            "first aid",
            entry.do[0],
            entry.also_called,
            RANKS["first aid"],
            named=entry,
            record=entry,
        )
    for key, entry in knowledge.cautions.items():
        add(
            f"cautions.html#{key}",
            sentence(entry.name),
            "caution",
            entry.danger,
            entry.also_called,
            RANKS["caution"],
            signs=[*entry.wear, *entry.work.uses, *_names(knowledge, entry.work.processes)],
            named=entry,
            record=entry,
        )
    for key, job in knowledge.jobs.items():
        address = f"formulas/job-{key}.html"
        spellings = job.also_called
        add(address, job.name, "whole job", job.summary, spellings, RANKS["formula"], record=job)
    for name, entries_of, kind in (
        ("tasks", knowledge.tasks, "bench task"),
        ("cases", knowledge.cases, "case"),
    ):
        for key, entry in entries_of.items():
            says = entry.aim if name == "tasks" else entry.story[0]
            address = f"lessons/{name}.html#{key}"
            add(address, entry.name, kind, says, [], RANKS["lesson"], record=entry)
    for key, title in MATRICES.items():
        if key != "pairs":  # has an entry with words of its own
            says = "Every one against every other, at a glance."
            add(f"tables/{key}.html", title, "table", says, ["matrix"], RANKS["table"])
    for kind, address in INDEXES.items():
        title = KIND_TITLES[kind]
        add(address, title, "page", f"All {title.lower()}, sorted.", [kind], RANKS["page"])
    says = "What the last edition changed, and which printed cards are current."
    add("editions.html", EDITIONS, "page", says, ["edition", "changes", "news"], RANKS["page"])
    for address, title, summary, spellings in PAGES + (TRAINING if knowledge.lessons else ()):
        add(address, title, "page", summary, spellings, RANKS["page"])
    for tag in offered(knowledge):
        for page, phrase in (
            ("cautions", "safety"),
            ("first-aid", "first-aid"),
            ("leaflet", "leaflet-title"),
        ):
            title = name_in(knowledge.words("phrases")[phrase], tag)
            if title:
                says = name_in(knowledge.words("phrases")[f"{phrase}-summary"], tag) or ""
                add(f"{page}-{tag}.html", title, "page", says, [], RANKS["page"])
    return found


def _names(knowledge: Knowledge, processes: list[str]) -> list[str]:
    """What the work is called in which a caution has its place."""
    return [knowledge.processes[key].name for key in processes]


def _marked(knowledge: Knowledge, mark: models.Mark) -> Named:
    """The number stamped, behind the metal's name in each language."""
    names = knowledge.words("elements")[mark.metal].names
    return Named(names={t: [f"{name} {mark.fineness:f}" for name in n] for t, n in names.items()})


def signs_of(kind: str, record) -> list[str]:
    """What the eye finds: on what a hazard attacked, on a part that failed, after work that went
    wrong."""
    if kind == "hazard":
        return [rule.looks_like for rule in record.rules if rule.looks_like]
    return [
        fault.sign
        for fault in {"part": lambda: record.fails, "process": lambda: record.goes_wrong}.get(
            kind, tuple
        )()
    ]


TRAINING = (
    (
        "lessons/plan.html",
        "The plan of four weeks",
        "Lessons, tasks and cases week by week.",
        ["training plan", "four weeks", "apprentice", "trainee"],
    ),
    (
        "lessons/again.html",
        "Questions that come back",
        "Missed questions after 1, 3, 7 and 21 days; ten mixed ones.",
        ["repeat", "quiz", "test yourself", "revision", "flash cards"],
    ),
    (
        "lessons/tasks.html",
        "Twelve bench tasks",
        "What hands must be able to do, with sheets to sign.",
        ["practical", "exercise", "samples"],
    ),
    (
        "lessons/cases.html",
        "Eight cases",
        "Watches that need several pages at once.",
        ["case study"],
    ),
    (
        "lessons/mentor.html",
        "For the mentor",
        "Sheets to sign and right answers, to print.",
        ["mentor", "sign-off", "answers", "sheet to sign"],
    ),
)


TABLES = {
    "density-ratio": (
        "weight",
        "heavier",
        "how much heavier",
        "lighter",
        "times the weight",
        "relative weight",
        "heavier in platinum",
        "heavier in gold",
    ),
    "case-mass": ("weight of a case", "case weight"),
    "hardness": ("hardest", "softest"),
    "coating-thickness": ("plating thickness", "how thick is plating", "microns"),
}

PAGES = (
    (
        "tables/pairs.html",
        "Metals in contact",
        "Which of two metals goes when they are wet together, and where they may touch.",
        ["galvanic", "galvanic series", "two metals", "dissimilar metals", "bimetallic", "contact"],
    ),
    (
        "compare.html",
        "Side by side",
        "Two to four materials: figures, ratios, hazards, and which suits a part.",
        ["compare", "comparison", "versus", "which is better"],
    ),
    (
        "identify.html",
        "What is this metal",
        "Narrows it down by colour, magnet, weight, file and marks.",
        ["identify", "unknown metal", "which metal is it", "what metal is this", "real or plated"],
    ),
    (
        "pictures.html",
        "In pictures",
        (
            "Ladders of weight, strength and stiffness, growth, sea water, colours of metal, heat"
            " and volt."
        ),
        ["picture", "chart", "ladder", "colours of metals", "heat colours", "swatch"],
    ),
    (
        "poster.html",
        "The watch and its metals: a poster",
        "Every part with what the trade makes it of, on one sheet of A3 or four of A4.",
        ["poster", "wall chart", "print"],
    ),
    (
        "map.html",
        "The watch as a map",
        "A drawn section of a watch whose zones and parts are links.",
        ["drawing", "section", "exploded view", "where is it"],
    ),
    (
        "watch-sheet.html",
        "The watch in hand",
        "One watch, its metals, and every answer about them: contacts, places, baths, weight.",
        ["watch sheet", "job sheet", "this watch", "the whole watch", "intake"],
    ),
    (
        "leaflet.html",
        "What to tell the owner",
        "A page of care for the owner, put together for one watch.",
        ["leaflet", "owner", "care sheet", "client", "customer"],
    ),
    (
        "formulas/hardness-conversion.html",
        "Hardness conversion for steels",
        "HV, HRC, HRB, HBW and tensile strength by table.",
        ["hrc to hv", "hv to hrc", "rockwell to vickers", "hardness table"],
    ),
    (
        "formulas/tempering-temperature.html",
        "Tempering temperature for a wanted hardness",
        "Where to set the oven, and the colour.",
        ["temper colours", "temper color", "pinion hardness", "draw temper"],
    ),
    (
        "first-aid.html",
        "First aid at the bench",
        "Whom to call and what to do until help takes over.",
        ["accident", "emergency", "injury", "help", "splash", "burn", "swallowed"],
    ),
    (
        "cautions.html",
        "Cautions",
        "What can hurt, and what to do.",
        ["safety", "danger", "toxic", "poison"],
    ),
    ("glossary.html", "Glossary", "The words of the field.", ["terms", "meaning"]),
    ("sources.html", "Sources", "Where figures come from.", ["references", "literature"]),
    ("coverage.html", "Coverage", "What is sourced, remembered or missing.", []),
    ("measure.html", "What to measure next", "Figures whose measuring settles most verdicts.", []),
    ("queue.html", "What to look at next", "Gaps, weak figures, disagreements, reviews due.", []),
    ("names.html", "Every name, A to Z", "All names and designations.", ["index", "a-z"]),
    ("about.html", "How to read the numbers", "Kinds, ranges, digits.", ["rounding", "help"]),
)


def spellings_of(system: str, code: str) -> list[str]:
    """A designation as people type it."""
    found = [code]
    if system == "en-number":
        found.append(code.removeprefix("1."))  # 4404
    elif system == "fineness":
        found = []  # the page of the mark answers for it
    elif system == "uns" and re.fullmatch(r"C\d{5}", code) and code.endswith("00"):
        found.append(code[:4])  # C360
    elif system == "aisi":
        found += [f"AISI {code}", f"SS{code}"]
    elif system == "astm-grade":
        number = code.split()[-1]
        found += [f"gr {number}", f"gr{number}"]
    elif system == "en-aluminium":
        found += [
            code.removeprefix("EN AW-"),
            f"AW{code.removeprefix('EN AW-')}",
            f"AA{code.removeprefix('EN AW-')}",
        ]
    elif system == "nominal":
        letters = re.sub(r"[^A-Za-z0-9]", "", code)
        found.append(
            re.sub(r"(?<=[a-z])\d?Al|Al|V$", "", letters) if letters == "Ti6Al4V" else letters
        )
    elif system == "colour-code":
        found.append(f"gold {code}")
    return found


def spellings_of_carat(carat: str) -> list[str]:
    """18 as 18 ct, 18k, 18 carat ..."""
    return [
        f"{carat} {unit}"
        for unit in (
            "ct",
            "k",
            "kt",
            "carat",
            "karat",
            "ct gold",
            "k gold",
            "carat gold",
            "karat gold",
        )
    ]
