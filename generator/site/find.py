"""The entries of the find box, one or more per page.

An entry is address, title, kind, summary, rank, spellings, signs, names, text. Spellings are what
people type for a thing (`find_spellings.py`). Signs are what the eye sees when something went
wrong. Names are those in other languages, by tag. Questions of people who do not know a page's name
are in `vocabulary/asked_for.yaml`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain

from pydantic import BaseModel

from generator.records import models
from generator.records.common import Named
from generator.records.knowledge import KINDS, Knowledge
from generator.records.languages import name_in, names_by_tag, offered
from generator.site import find_pages, find_spellings, find_texts
from generator.site.page import INDEXES, KIND_TITLES, MATRICES, mark_title, slug
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


@dataclass(frozen=True, slots=True)
class Known:
    """What is found under one address, before what is asked for is added."""

    address: str
    title: str
    kind: str
    summary: str
    rank: int
    spellings: Iterable[str] = ()
    signs: Iterable[str] = ()
    named: Named | None = None
    record: BaseModel | None = None


def entries(
    knowledge: Knowledge, view: View, tables: dict[str, Table], families: list[str]
) -> list[list]:
    """All entries, records first, in a fixed order."""
    found = chain(
        _records(knowledge, view),
        _marks(knowledge),
        _families(knowledge, families),
        _zones(knowledge),
        _tables(knowledge, tables),
        _first_aid(knowledge),
        _cautions(knowledge),
        _jobs(knowledge),
        _tasks_and_cases(knowledge),
        _matrices(),
        _lists(),
        _single_pages(knowledge),
        _in_other_languages(knowledge),
    )
    cited = find_texts.cited(knowledge)
    return [_entry(knowledge, view, known, cited) for known in found]


def _entry(knowledge: Knowledge, view: View, known: Known, cited: dict[int, set[str]]) -> list:
    """With the words and names under which a page is asked for."""
    record, asked = (
        known.record,
        knowledge.words("asked_for").get(slug(known.address.replace(".html", ""))),
    )
    return [
        known.address,
        known.title,
        known.kind,
        known.summary,
        known.rank,
        list(dict.fromkeys((*known.spellings, *(asked.words if asked else ())))),
        list(dict.fromkeys(known.signs)),
        _all_names(knowledge, [each for each in (known.named, asked) if each]),
        find_texts.of_record(view, record, cited[id(record)]) if record else [],
    ]


def _all_names(knowledge: Knowledge, named: list[Named]) -> dict[str, list[str]]:
    names: dict[str, list[str]] = {}
    for each in named:
        for tag, words in names_by_tag(knowledge, each):
            names[tag] = list(dict.fromkeys((*names.get(tag, ()), *words)))
    return names


def _records(knowledge: Knowledge, view: View) -> Iterator[Known]:
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            yield Known(
                view.address(kind, key),
                sentence(record.name),
                KIND_TITLES[kind].lower(),
                record.summary,
                RANKS[kind],
                [*record.also_called, *find_spellings.of_designations(kind, record)],
                signs_of(kind, record),
                record,
                record,
            )


def _marks(knowledge: Knowledge) -> Iterator[Known]:
    """Several metals share a number; gold, which is stamped most, comes first."""
    for key, mark in knowledge.words("marks").items():
        yield Known(
            f"marks/{key}.html",
            mark_title(knowledge, key),
            "marks",
            "What the mark means and which alloys carry it.",
            RANKS["mark"] + (mark.metal == "Au"),
            find_spellings.of_mark(mark, knowledge.words("elements")[mark.metal].name),
            named=_marked(knowledge, mark),
        )


def _families(knowledge: Knowledge, families: list[str]) -> Iterator[Known]:
    for key in families:
        entry = knowledge.words("families")[key]
        yield Known(
            f"families/{key}.html",
            entry.plural,
            "family",
            entry.meaning or "",
            RANKS["family"],
            [entry.name, *entry.also_called],
            named=entry,
        )


def _zones(knowledge: Knowledge) -> Iterator[Known]:
    for key, zone in knowledge.words("zones").items():
        address, title = f"zones/{key}.html", sentence(zone.name)
        yield Known(address, title, "zone", zone.meaning or "", RANKS["zone"], named=zone)


def _tables(knowledge: Knowledge, tables: dict[str, Table]) -> Iterator[Known]:
    for table in tables.values():
        yield Known(
            f"tables/{table.id}.html",
            table.title,
            "table",
            table.summary,
            RANKS["table"],
            find_pages.TABLES.get(table.id, ()),
            named=knowledge.words("properties").get(table.id),
        )


def _first_aid(knowledge: Knowledge) -> Iterator[Known]:
    for key, entry in knowledge.first_aid.items():
        yield Known(
            f"first-aid.html#{key}",
            f"First aid: {entry.name}",
            "first aid",
            entry.do[0],
            RANKS["first aid"],
            entry.also_called,
            named=entry,
            record=entry,
        )


def _cautions(knowledge: Knowledge) -> Iterator[Known]:
    for key, entry in knowledge.cautions.items():
        yield Known(
            f"cautions.html#{key}",
            sentence(entry.name),
            "caution",
            entry.danger,
            RANKS["caution"],
            entry.also_called,
            [*entry.wear, *entry.work.uses, *_names(knowledge, entry.work.processes)],
            entry,
            entry,
        )


def _jobs(knowledge: Knowledge) -> Iterator[Known]:
    for key, job in knowledge.jobs.items():
        yield Known(
            f"formulas/job-{key}.html",
            job.name,
            "whole job",
            job.summary,
            RANKS["formula"],
            job.also_called,
            record=job,
        )


def _tasks_and_cases(knowledge: Knowledge) -> Iterator[Known]:
    rank = RANKS["lesson"]
    for key, task in knowledge.tasks.items():
        address = f"lessons/tasks.html#{key}"
        yield Known(address, task.name, "bench task", task.aim, rank, record=task)
    for key, case in knowledge.cases.items():
        address = f"lessons/cases.html#{key}"
        yield Known(address, case.name, "case", case.story[0], rank, record=case)


def _matrices() -> Iterator[Known]:
    says = "Every one against every other, at a glance."
    for key, title in MATRICES.items():
        if key != "pairs":  # has an entry with words of its own
            yield Known(f"tables/{key}.html", title, "table", says, RANKS["table"], ["matrix"])


def _lists() -> Iterator[Known]:
    for kind, address in INDEXES.items():
        title = KIND_TITLES[kind]
        yield Known(address, title, "page", f"All {title.lower()}, sorted.", RANKS["page"], [kind])


def _single_pages(knowledge: Knowledge) -> Iterator[Known]:
    pages = find_pages.PAGES + (find_pages.TRAINING if knowledge.lessons else ())
    for address, title, summary, spellings in pages:
        yield Known(address, title, "page", summary, RANKS["page"], spellings)


def _in_other_languages(knowledge: Knowledge) -> Iterator[Known]:
    phrases = knowledge.words("phrases")
    for tag in offered(knowledge):
        for page, phrase in find_pages.IN_LANGUAGES:
            if title := name_in(phrases[phrase], tag):
                says = name_in(phrases[f"{phrase}-summary"], tag) or ""
                yield Known(f"{page}-{tag}.html", title, "page", says, RANKS["page"])


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
