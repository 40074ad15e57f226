"""Published tables of formulas, sayings, cautions and names."""

from __future__ import annotations

from collections.abc import Iterator

from generator.export.sheet import (
    ID,
    NAME,
    PLACE,
    REVIEWED,
    SOURCE,
    SUMMARY,
    id_of,
    number,
    sheet,
    text,
)
from generator.records.knowledge import KINDS, Knowledge
from generator.verdicts.conditions import cautions_of_material, cautions_of_process


@sheet(
    "formulas",
    "Bench calculations",
    "id",
    ID,
    NAME,
    SUMMARY,
    text("group", "group", True),
    text("expression", "expression", True),
    text("result", "meaning of the result", True),
    text("unit", "unit of the result", True),
    SOURCE,
    REVIEWED,
)
def _formulas(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, f in knowledge.formulas.items():
        yield (
            key,
            f.name,
            f.summary,
            f.group,
            f.expression,
            f.result.meaning,
            f.result.unit,
            f.source,
            f.reviewed.on,
        )


@sheet(
    "symbols",
    "Symbols of the calculations",
    "formula symbol",
    id_of("formula", "formulas"),
    text("symbol", "symbol", True),
    text("meaning", "meaning", True),
    text("unit", "unit", True),
    number("low", "lowest value it is meant for", True),
    number("high", "highest value it is meant for", True),
    number("default", "what the calculator starts with"),
    id_of("property", "properties", False),
)
def _symbols(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, f in knowledge.formulas.items():
        for symbol, s in f.symbols.items():
            yield key, symbol, s.meaning, s.unit, *s.range, s.default, s.property


@sheet(
    "examples",
    "Inputs and published answers of worked examples",
    "formula number symbol",
    id_of("formula", "formulas"),
    PLACE,
    text("symbol", "symbol", True),
    number("input", "value of the symbol", True),
    number("published_low", "published answer, low end", True),
    number("published_high", "published answer, high end", True),
    text("proves", "what the example proves", True),
    SOURCE,
)
def _examples(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, f in knowledge.formulas.items():
        for i, e in enumerate(f.examples, 1):
            answer = e.published_range or (e.published, e.published)
            for symbol, value in e.inputs.items():
                yield key, i, symbol, value, *answer, e.proves, e.source


@sheet(
    "sayings",
    "Sayings of the bench, judged",
    "id",
    ID,
    NAME,
    SUMMARY,
    text("judged", "judgement", True),
    REVIEWED,
)
def _sayings(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, s in knowledge.sayings.items():
        yield key, s.name, s.summary, s.judged, s.reviewed.on


@sheet("cautions", "What can hurt", "id", ID, NAME, text("danger", "what can hurt, and whom", True))
def _cautions(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, c in knowledge.cautions.items():
        yield key, c.name, c.danger


@sheet(
    "cautions_shown",
    "Which cautions belong to which material and work",
    "kind id caution",
    text("kind", "material or process", True),
    ID,
    text("caution", "id of the caution", True),
)
def _cautions_shown(knowledge: Knowledge, _) -> Iterator[tuple]:
    kinds = (
        ("material", knowledge.materials, cautions_of_material),
        ("process", knowledge.processes, cautions_of_process),
    )
    for kind, records, find in kinds:
        for key in records:
            for caution in sorted(find(knowledge, key)):
                yield kind, key, caution


@sheet(
    "names",
    "Other names of records",
    "kind id name",
    text("kind", "kind of record", True),
    ID,
    NAME,
)
def _names(knowledge: Knowledge, _) -> Iterator[tuple]:
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            for name in dict.fromkeys(record.also_called):
                yield kind, key, name


@sheet(
    "names_in_languages",
    "Names of records in other languages",
    "kind id language number",
    text("kind", "kind of record", True),
    ID,
    text("language", "language tag, with a region where the word is used only there", True),
    PLACE,
    NAME,
)
def _names_in_languages(knowledge: Knowledge, _) -> Iterator[tuple]:
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            for tag, names in record.names.items():
                for i, name in enumerate(names, 1):
                    yield kind, key, tag, i, name


@sheet(
    "notes",
    "Notes of the workshop",
    "kind id number",
    text("kind", "kind of record", True),
    ID,
    PLACE,
    text("note", "note", True),
)
def _notes(knowledge: Knowledge, _) -> Iterator[tuple]:
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            for i, note in enumerate(record.notes, 1):
                yield kind, key, i, note


@sheet(
    "owner",
    "What to tell the owner",
    "kind id number",
    text("kind", "kind of record", True),
    ID,
    PLACE,
    text("say", "a plain sentence", True),
)
def _owner(knowledge: Knowledge, _) -> Iterator[tuple]:
    for kind in ("material", "hazard"):
        for key, record in knowledge.of_kind(kind).items():
            for i, line in enumerate(record.owner, 1):
                yield kind, key, i, line
