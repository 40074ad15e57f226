"""Receives the knowledge and the published data; hands on tables: CSV files, their description,
one SQLite file.

The description (datapackage.json) follows the Table Schema standard. A number stands twice: as a
number, and as the text that was typed in a column of the same name with ``_text``, because a
spreadsheet or database turns 7.90 into 7.9.
"""

from __future__ import annotations

import csv
import hashlib
import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from generator.checks.rules import figures_of
from generator.numbers.values import evidence_of
from generator.records import models
from generator.records.knowledge import KINDS, Knowledge

DESCRIPTION, DATABASE = "datapackage.json", "knowledge.sqlite"
SQL_TYPES = {
    "string": "TEXT",
    "number": "REAL",
    "integer": "INTEGER",
    "boolean": "INTEGER",
    "date": "TEXT",
}


class Column(NamedTuple):
    """A column: its name, its Table Schema type, what it holds, whether it is never empty, and the
    table whose id it holds."""

    name: str
    what: str
    type: str = "string"
    required: bool = False
    refers: str = ""


class Sheet(NamedTuple):
    """One table: its columns, the columns that tell rows apart, and its rows."""

    name: str
    title: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]
    rows: Callable[[Knowledge, dict], Iterator[tuple]]


SHEETS: list[Sheet] = []


def _sheet(name: str, title: str, key: str, *columns: Column):
    """Registers a generator of rows as a table.

    A number column brings its text column with it.
    """

    def register(rows):
        SHEETS.append(Sheet(name, title, tuple(_with_texts(columns)), tuple(key.split()), rows))
        return rows

    return register


def _with_texts(columns: Iterable[Column]) -> Iterator[Column]:
    for column in columns:
        yield column
        if column.type == "number":
            yield Column(f"{column.name}_text", f"{column.name} as typed", required=column.required)


def _id(name: str, refers: str, required: bool = True) -> Column:
    return Column(name, f"id in {refers}", required=required, refers=refers)


def _text(name: str, what: str, required: bool = False) -> Column:
    return Column(name, what, required=required)


def _number(name: str, what: str, required: bool = False) -> Column:
    return Column(name, what, "number", required)


_ID, _NAME = (
    Column("id", "permanent id", required=True),
    Column("name", "what a practitioner would say", required=True),
)
_SUMMARY, _REVIEWED = (
    Column("summary", "the answer in one line", required=True),
    Column("reviewed", "day of the last review", "date", True),
)
_PLACE = Column("number", "place in the order, from 1", "integer", True)
_SOURCE = Column("source", "id in sources, or memory, or practice", required=True)
_BOUND = (
    Column("kind", "typical, range, at_least or at_most", required=True),
    _number("low", "lowest value; empty where open"),
    _number("high", "highest value; empty where open"),
)


def _ends(bound: models.Bound) -> tuple:
    """Kind, low and high of a figure; an open end is None."""
    match bound.kind:
        case "range":
            return bound.kind, *bound.range
        case "at_least":
            return bound.kind, bound.at_least, None
        case "at_most":
            return bound.kind, None, bound.at_most
        case _:
            return bound.kind, bound.typical, bound.typical


@_sheet(
    "sources",
    "Where figures and judgements come from",
    "id",
    _ID,
    _text("title", "title", True),
    _text("author", "who wrote or issued it"),
    _text("number", "document number or edition"),
    _text("publisher", "publisher", True),
    _text("year", "year or edition"),
    _text("kind", "kind of source", True),
    _text("place", "table, clause, page"),
    _text("address", "web address or DOI"),
    _text("read_in", "where it was seen, if not in the original"),
    Column("seen", "true: the text itself was read", "boolean", True),
    _text("note", "note"),
)
def _sources(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, s in knowledge.sources.items():
        yield (
            key,
            s.title,
            s.author,
            s.number,
            s.publisher,
            s.year,
            s.kind,
            s.where,
            s.address,
            s.read_in,
            s.seen,
            s.note,
        )


@_sheet(
    "properties",
    "Measurable properties",
    "id",
    _ID,
    _NAME,
    _text("group", "group", True),
    _text("meaning", "meaning"),
    Column("state_bound", "true: depends on the state", "boolean", True),
)
def _properties(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.words("properties").items():
        yield key, p.name, p.group, p.meaning, p.state_bound


@_sheet(
    "materials",
    "What parts are made of and covered with",
    "id",
    _ID,
    _NAME,
    _SUMMARY,
    _text("family", "family", True),
    _text("class", "metal, plastic, glass ...", True),
    _text("folder", "alloys, nonmetals or coatings", True),
    _text("colour", "colour"),
    _text("magnetism", "what a magnet does", True),
    _text("balance", "element that takes the rest of the composition"),
    _text("composition_source", "id in sources, or memory"),
    _REVIEWED,
)
def _materials(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        made = m.composition
        yield (
            key,
            m.name,
            m.summary,
            m.family,
            knowledge.material_class(m),
            knowledge.folders[key],
            m.colour,
            m.magnetism,
            made and made.balance,
            made and made.source,
            m.reviewed.on,
        )


@_sheet(
    "states",
    "States of materials",
    "material state",
    _id("material", "materials"),
    _text("state", "id of the state", True),
    _NAME,
    _text("reached", "how the material gets there"),
    _text("stage", "what must follow, where no part is used in this state"),
    _text("magnetism", "where it differs from the material's"),
)
def _states(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for state, s in m.states.items():
            yield key, state, s.name, s.reached, s.stage, s.magnetism


@_sheet(
    "designations",
    "What standards call a material",
    "material number",
    _id("material", "materials"),
    _PLACE,
    _text("system", "system of designations", True),
    _text("code", "designation", True),
)
def _designations(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for i, d in enumerate(m.designations, 1):
            yield key, i, d.system, d.code


@_sheet(
    "shares",
    "Compositions, per cent by mass",
    "material element",
    _id("material", "materials"),
    _text("element", "symbol", True),
    *_BOUND,
)
def _shares(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for element, share in m.composition.shares.items() if m.composition else ():
            yield key, element, *_ends(share)


@_sheet(
    "figures",
    "Every figure of every material",
    "material number",
    _id("material", "materials"),
    _PLACE,
    _text("state", "state it belongs to; empty: every state"),
    _id("property", "properties"),
    *_BOUND,
    _text("unit", "unit", True),
    _number("over_from", "span of temperature, degC"),
    _number("over_to", "span of temperature, degC"),
    _SOURCE,
    _text("of", "the relative that the figure was measured on; empty: the very metal"),
    _text("evidence", "own, converted, computed, borrowed or memory", True),
    _text("note", "condition of the test"),
    Column("layer", "true: from a workshop's own layer", "boolean", True),
)
def _figures(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for i, (way, prop, f) in enumerate(figures_of(m), 1):
            unit = f.unit or next(iter(knowledge.words("properties")[prop].units))
            yield (
                key,
                i,
                way[1] if way[0] == "states" else None,
                prop,
                *_ends(f),
                unit,
                *(f.over or (None, None)),
                f.source,
                f.of,
                evidence_of(knowledge, f),
                f.note,
                knowledge.from_layer("material", key, way),
            )


@_sheet(
    "tempering",
    "Hardness after tempering, as published",
    "material curve number",
    _id("material", "materials"),
    Column("curve", "number of the curve, from 1", "integer", True),
    _PLACE,
    _text("hardened_from", "hardening temperature", True),
    _text("quenched", "quenched in", True),
    _number("temperature", "tempered at, degC; empty: not tempered"),
    _number("hardness", "hardness", True),
    _text("unit", "scale", True),
    _text("stands_in_for", "set when the curve belongs to a near relative"),
    _SOURCE,
)
def _tempering(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for i, c in enumerate(m.tempering, 1):
            points = [(None, c.as_quenched)] if c.as_quenched is not None else []
            points += [(p.temperature, p.hardness) for p in c.points]
            for n, (temperature, hardness) in enumerate(points, 1):
                yield (
                    key,
                    i,
                    n,
                    c.hardened_from,
                    c.quenched,
                    temperature,
                    hardness,
                    c.unit,
                    c.stands_in_for,
                    c.source,
                )


@_sheet(
    "working",
    "How well a material is worked",
    "material working",
    _id("material", "materials"),
    _text("working", "way of working", True),
    _text("rating", "how it goes", True),
    _text("note", "note"),
    _SOURCE,
)
def _working(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for working, w in m.working.items():
            yield key, working, w.rating, w.note, w.source


@_sheet(
    "traits",
    "Yes-or-no traits of materials",
    "material trait",
    _id("material", "materials"),
    _text("trait", "trait", True),
)
def _traits(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for trait in dict.fromkeys(m.traits):
            yield key, trait


@_sheet(
    "hazards",
    "What attacks materials",
    "id",
    _ID,
    _NAME,
    _SUMMARY,
    _text("meets", "how a watch meets it", True),
    _REVIEWED,
)
def _hazards(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, h in knowledge.hazards.items():
        yield key, h.name, h.summary, h.meets, h.reviewed.on


@_sheet(
    "rules",
    "The ordered rules of the hazards; the first that fits decides",
    "hazard number",
    _id("hazard", "hazards"),
    _PLACE,
    _text("condition", "which materials, as JSON; empty: all others"),
    _text("verdict", "what happens", True),
    _text("mechanism", "mechanism"),
    _text("why", "why", True),
    _text("looks_like", "what one sees"),
    _text("how_fast", "how fast"),
    _SOURCE,
)
def _rules(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, h in knowledge.hazards.items():
        for i, r in enumerate(h.rules, 1):
            condition = r.when.model_dump(mode="json", exclude_none=True, exclude_defaults=True)
            yield (
                key,
                i,
                condition and _compact(condition) or None,
                r.verdict,
                r.mechanism,
                r.why,
                r.looks_like,
                r.how_fast,
                r.source,
            )


@_sheet(
    "processes",
    "What is done to materials",
    "id",
    _ID,
    _NAME,
    _SUMMARY,
    _text("group", "group", True),
    _text("does", "what happens", True),
    _REVIEWED,
)
def _processes(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.processes.items():
        yield key, p.name, p.summary, p.group, p.does, p.reviewed.on


@_sheet(
    "steps",
    "Steps of the processes",
    "process number",
    _id("process", "processes"),
    _PLACE,
    _text("step", "what to do", True),
)
def _steps(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.processes.items():
        for i, step in enumerate(p.steps, 1):
            yield key, i, step


@_sheet(
    "process_figures",
    "Numbers of the processes",
    "process number",
    _id("process", "processes"),
    _PLACE,
    _text("what", "what is measured", True),
    *_BOUND,
    _text("unit", "unit", True),
    _SOURCE,
    _text("note", "note"),
)
def _process_figures(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.processes.items():
        for i, f in enumerate(p.figures, 1):
            yield key, i, f.what, *_ends(f), f.unit, f.source, f.note


@_sheet(
    "parts",
    "Part roles",
    "id",
    _ID,
    _NAME,
    _SUMMARY,
    _text("zone", "region of the watch", True),
    _text("does", "what it does", True),
    _REVIEWED,
)
def _parts(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        yield key, p.name, p.summary, p.zone, p.does, p.reviewed.on


@_sheet(
    "demands",
    "What parts ask of their material",
    "part number",
    _id("part", "parts"),
    _PLACE,
    _id("property", "properties", False),
    _number("at_least", "least that will do"),
    _number("at_most", "most that will do"),
    _text("unit", "unit"),
    _text("working", "way of working"),
    _text("rating", "lowest rating that will do"),
    _text("magnetism", "strongest that will do"),
    _text("trait", "trait that it must have"),
    _text("lacks_trait", "trait that it must not have"),
    _id("mate", "parts", False),
    _number("within", "largest difference of expansion, 10^-6/K"),
    Column("firm", "false: wished", "boolean", True),
    _text("why", "why", True),
    _SOURCE,
)
def _demands(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        for i, d in enumerate(p.demands, 1):
            unit = d.property and (
                d.unit or next(iter(knowledge.words("properties")[d.property].units))
            )
            yield (
                key,
                i,
                d.property,
                d.at_least,
                d.at_most,
                unit,
                d.working,
                d.rating,
                d.magnetism,
                d.trait,
                d.lacks_trait,
                d.mate and d.mate.part,
                d.mate and d.mate.within,
                d.firm,
                d.why,
                d.source,
            )


@_sheet(
    "meetings",
    "Which hazards parts meet",
    "part number",
    _id("part", "parts"),
    _PLACE,
    _id("hazard", "hazards"),
    _text("severity", "how much", True),
    _text("note", "note"),
)
def _meetings(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        for i, m in enumerate(p.meets, 1):
            yield key, i, m.hazard, m.severity, m.note


@_sheet(
    "choices",
    "What the trade uses for a part, and what it knows to be wrong",
    "part judged number",
    _id("part", "parts"),
    _text("judged", "usual or wrong", True),
    _PLACE,
    _id("material", "materials"),
    _text("state", "state; empty: any"),
    _id("coated", "materials", False),
    _text("why", "why", True),
    _SOURCE,
)
def _choices(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        for judged in ("usual", "wrong"):
            for i, c in enumerate(getattr(p, judged), 1):
                yield key, judged, i, c.material, c.state, c.coated, c.why, c.source


@_sheet(
    "formulas",
    "Bench calculations",
    "id",
    _ID,
    _NAME,
    _SUMMARY,
    _text("group", "group", True),
    _text("expression", "expression", True),
    _text("result", "meaning of the result", True),
    _text("unit", "unit of the result", True),
    _SOURCE,
    _REVIEWED,
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


@_sheet(
    "symbols",
    "Symbols of the calculations",
    "formula symbol",
    _id("formula", "formulas"),
    _text("symbol", "symbol", True),
    _text("meaning", "meaning", True),
    _text("unit", "unit", True),
    _number("low", "lowest value it is meant for", True),
    _number("high", "highest value it is meant for", True),
    _number("default", "what the calculator starts with"),
    _id("property", "properties", False),
)
def _symbols(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, f in knowledge.formulas.items():
        for symbol, s in f.symbols.items():
            yield key, symbol, s.meaning, s.unit, *s.range, s.default, s.property


@_sheet(
    "examples",
    "Inputs and published answers of worked examples",
    "formula number symbol",
    _id("formula", "formulas"),
    _PLACE,
    _text("symbol", "symbol", True),
    _number("input", "value of the symbol", True),
    _number("published_low", "published answer, low end", True),
    _number("published_high", "published answer, high end", True),
    _text("proves", "what the example proves", True),
    _SOURCE,
)
def _examples(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, f in knowledge.formulas.items():
        for i, e in enumerate(f.examples, 1):
            answer = e.published_range or (e.published, e.published)
            for symbol, value in e.inputs.items():
                yield key, i, symbol, value, *answer, e.proves, e.source


@_sheet(
    "sayings",
    "Sayings of the bench, judged",
    "id",
    _ID,
    _NAME,
    _SUMMARY,
    _text("judged", "judgement", True),
    _REVIEWED,
)
def _sayings(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, s in knowledge.sayings.items():
        yield key, s.name, s.summary, s.judged, s.reviewed.on


@_sheet(
    "cautions", "What can hurt", "id", _ID, _NAME, _text("danger", "what can hurt, and whom", True)
)
def _cautions(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, c in knowledge.cautions.items():
        yield key, c.name, c.danger


@_sheet(
    "names",
    "Other names of records",
    "kind id name",
    _text("kind", "kind of record", True),
    _ID,
    _NAME,
)
def _names(knowledge: Knowledge, _) -> Iterator[tuple]:
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            for name in dict.fromkeys(record.also_called):
                yield kind, key, name


@_sheet(
    "notes",
    "Notes of the workshop",
    "kind id number",
    _text("kind", "kind of record", True),
    _ID,
    _PLACE,
    _text("note", "note", True),
)
def _notes(knowledge: Knowledge, _) -> Iterator[tuple]:
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            for i, note in enumerate(record.notes, 1):
                yield kind, key, i, note


@_sheet(
    "owner",
    "What to tell the owner",
    "kind id number",
    _text("kind", "kind of record", True),
    _ID,
    _PLACE,
    _text("say", "a plain sentence", True),
)
def _owner(knowledge: Knowledge, _) -> Iterator[tuple]:
    for kind in ("material", "hazard"):
        for key, record in knowledge.of_kind(kind).items():
            for i, line in enumerate(record.owner, 1):
                yield kind, key, i, line


@_sheet(
    "verdicts",
    "Computed: every material in every state for every part",
    "number",
    _PLACE,
    _id("part", "parts"),
    _id("material", "materials"),
    _text("state", "state; empty: the material has none"),
    _id("coated", "materials", False),
    _text("verdict", "verdict on fit", True),
    _text("reasons", "what decided"),
)
def _verdicts(_, published: dict) -> Iterator[tuple]:
    for number, f in enumerate(published["verdicts"]["fit"], 1):
        yield (
            number,
            f["part"],
            f["material"],
            f["state"],
            f["coated"],
            f["verdict"],
            "; ".join(f["reasons"]) or None,
        )


@_sheet(
    "exposures",
    "Computed: what each hazard does to each material in each state",
    "number",
    _PLACE,
    _id("hazard", "hazards"),
    _id("material", "materials"),
    _text("state", "state; empty: the material has none"),
    _text("verdict", "what happens", True),
    _text("mechanism", "mechanism"),
    Column("rule", "number of the rule that decided", "integer"),
)
def _exposures(_, published: dict) -> Iterator[tuple]:
    for number, e in enumerate(published["verdicts"]["exposure"], 1):
        yield (
            number,
            e["hazard"],
            e["material"],
            e["state"],
            e["verdict"],
            e["mechanism"],
            e["rule"] or None,
        )


@_sheet(
    "replacements",
    "Computed: what may stand in for the usual material of a part",
    "number",
    _PLACE,
    _id("part", "parts"),
    _id("original", "materials"),
    _id("material", "materials"),
    _text("state", "state; empty: the material has none"),
    _text("verdict", "verdict on fit", True),
    _text("gained", "demands and hazards in which it does better"),
    _text("lost", "demands and hazards in which it does worse"),
)
def _replacements(_, published: dict) -> Iterator[tuple]:
    for number, r in enumerate(published["verdicts"]["replacements"], 1):
        yield (
            number,
            r["part"],
            r["for"],
            r["material"],
            r["state"],
            r["verdict"],
            ", ".join(r["gained"]) or None,
            ", ".join(r["lost"]) or None,
        )


@_sheet(
    "pairs",
    "Computed: metals in contact",
    "first second situation",
    _id("first", "materials"),
    _id("second", "materials"),
    _text("situation", "where they touch", True),
    _number("apart", "V apart in the sea-water series, films whole", True),
    _id("goes", "materials", False),
    _text("degree", "how fast it goes, films whole", True),
    _id("goes_in_gap", "materials", False),
    _text("degree_in_gap", "how fast it goes in a wet salt gap; empty: no film breaks"),
    _text("if_small", "how fast if the one that goes is the small piece", True),
    _text("if_large", "how fast if the one that goes is the large piece", True),
    _text("usual", "the usual pairing that outranks the volts"),
    _text("may_touch", "yes or no: nothing happens, or the pairing is usual", True),
)
def _pairs(_, published: dict) -> Iterator[tuple]:
    for p in published["verdicts"]["pairs"]:
        gap, worst = p["gap"] or {}, p["gap"] if p["gap"] and p["gap"]["goes"] else p["open"]
        yield (
            p["first"],
            p["second"],
            p["situation"],
            p["open"]["apart"],
            p["open"]["goes"],
            p["open"]["degree"],
            gap.get("goes"),
            gap.get("degree"),
            worst["if_small"],
            worst["if_large"],
            p["usual"],
            "yes" if p["may_touch"] else "no",
        )


@_sheet(
    "computed",
    "Computed tables, one row a cell",
    "sheet row column",
    _text("sheet", "id of the table", True),
    Column("row", "row, from 1", "integer", True),
    _text("column", "id of the column", True),
    _id("material", "materials", False),
    _text("state", "state"),
    _text("kind", "kind of value", True),
    _number("low", "lowest value; empty where open"),
    _number("high", "highest value; empty where open"),
    _text("unit", "unit"),
    _text("shown", "as the page shows it", True),
    _text("formula", "id in formulas"),
)
def _computed(_, published: dict) -> Iterator[tuple]:
    for table in published["tables"]:
        for i, row in enumerate(table["rows"], 1):
            for column, c in row["cells"].items():
                yield (
                    table["id"],
                    i,
                    column,
                    row["material"],
                    row["state"],
                    c["kind"],
                    c.get("low"),
                    c.get("high"),
                    c.get("unit"),
                    c["shown"],
                    c.get("formula"),
                )


def _compact(value) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def write(folder: Path, knowledge: Knowledge, published: dict) -> None:
    """Write a CSV file for each table, the SQLite file, and datapackage.json, which describes
    them, into an empty folder."""
    base = sqlite3.connect(folder / DATABASE, isolation_level=None)
    base.executescript("PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF;")
    base.execute("BEGIN")
    for sheet in SHEETS:  # in a fixed order, so the same input gives the same bytes
        rows = (_cells(sheet, row) for row in sheet.rows(knowledge, published))
        with open(folder / f"{sheet.name}.csv", "w", encoding="utf-8", newline="") as file:
            _insert(base, sheet, _written(csv.writer(file), sheet, rows))
    base.execute("COMMIT")
    base.close()
    described = json.dumps(_description(published, folder), ensure_ascii=False, indent=1)
    (folder / DESCRIPTION).write_text(described + "\n", encoding="utf-8", newline="\n")


def _cells(sheet: Sheet, row: tuple) -> tuple:
    """A row as plain values; each number twice, as a number and as its text."""
    cells, values = [], iter(row)
    columns = iter(sheet.columns)
    for column in columns:
        value = next(values)
        if column.type == "number":
            next(columns)
            cells += _twice(value)
        else:
            cells.append(str(value) if isinstance(value, date) else value)
    return tuple(cells)


def _twice(value: Decimal | dict | None) -> tuple[float | None, str | None]:
    if isinstance(value, dict):  # a number of the published data
        return value["value"], value["text"]
    return (None, None) if value is None else (float(value), f"{value:f}")


def _written(writer, sheet: Sheet, rows: Iterable[tuple]) -> Iterator[tuple]:
    """The rows, each handed on when it is written.

    RFC 4180, as Table Schema expects when nothing else is said.
    """
    writer.writerow(column.name for column in sheet.columns)
    flags = [i for i, column in enumerate(sheet.columns) if column.type == "boolean"]
    for row in rows:
        writer.writerow(
            [str(cell).lower() if i in flags else cell for i, cell in enumerate(row)]
            if flags
            else row
        )
        yield row


def _insert(base: sqlite3.Connection, sheet: Sheet, rows: Iterable[tuple]) -> None:
    columns = [
        f'"{c.name}" {SQL_TYPES[c.type]}{" NOT NULL" if c.required else ""}' for c in sheet.columns
    ]
    columns += [
        f'FOREIGN KEY ("{c.name}") REFERENCES "{c.refers}" ("id")'
        for c in sheet.columns
        if c.refers
    ]
    key = ", ".join(f'"{k}"' for k in sheet.key)
    base.execute(
        f'CREATE TABLE "{sheet.name}" ({", ".join(columns)}, PRIMARY KEY ({key})) WITHOUT ROWID'
    )
    base.executemany(
        f'INSERT INTO "{sheet.name}" VALUES ({", ".join("?" * len(sheet.columns))})', rows
    )


def _description(published: dict, folder: Path) -> dict:
    tables = [
        {
            "name": sheet.name,
            "title": sheet.title,
            "path": f"{sheet.name}.csv",
            "profile": "tabular-data-resource",
            "format": "csv",
            "mediatype": "text/csv",
            "encoding": "utf-8",
            **_print_of(folder / f"{sheet.name}.csv"),
            "schema": _schema(sheet),
        }
        for sheet in SHEETS
    ]
    base = {
        "name": "knowledge",
        "title": "All tables in one SQLite file",
        "path": DATABASE,
        "format": "sqlite",
        "mediatype": "application/vnd.sqlite3",
        **_print_of(folder / DATABASE),
    }
    return {
        "profile": "data-package",
        "name": "arbor-and-case",
        "title": published["title"],
        "version": published["edition"],
        "licenses": [{"name": "CC-BY-4.0", "path": "https://creativecommons.org/licenses/by/4.0/"}],
        "resources": [*tables, base],
    }


def _print_of(path: Path) -> dict:
    with open(path, "rb") as file:
        return {
            "bytes": path.stat().st_size,
            "hash": f"sha256:{hashlib.file_digest(file, 'sha256').hexdigest()}",
        }


def _schema(sheet: Sheet) -> dict:
    """A table in Table Schema's terms."""
    fields = [
        {
            "name": c.name,
            "type": c.type,
            "description": c.what,
            **({"constraints": {"required": True}} if c.required else {}),
        }
        for c in sheet.columns
    ]
    links = [
        {
            "fields": [c.name],
            "reference": {"resource": "" if c.refers == sheet.name else c.refers, "fields": ["id"]},
        }
        for c in sheet.columns
        if c.refers
    ]
    return {
        "fields": fields,
        "primaryKey": list(sheet.key),
        **({"foreignKeys": links} if links else {}),
    }
