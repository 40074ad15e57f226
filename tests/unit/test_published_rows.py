"""The published tables, row by row, of the invented records (published_rows.txt, read against the
records); and how a table is declared, described and kept."""

import csv
import hashlib
import io
import json
import re
import sqlite3
from datetime import date
from decimal import Decimal as D
from pathlib import Path
from types import SimpleNamespace

import pytest

from generator.export import computed_sheets, document, sheet, sheets
from generator.export.sheet import Column, Sheet

A_FEW = {"pairs", "computed", "rungs"}  # of which not every row was written down
WRITTEN = {
    name: rows.strip().splitlines()
    for name, rows in re.findall(
        r"^## (\w+)\n(.*?)(?=^## |\Z)",
        Path(__file__).with_name("published_rows.txt").read_text(encoding="utf-8"),
        re.MULTILINE | re.DOTALL,
    )
}


@pytest.fixture(scope="module")
def folder(invented, tmp_path_factory):
    """All tables of the small invented records, written."""
    published = document.build(invented.knowledge, invented.tables, invented.verdicts)
    target = tmp_path_factory.mktemp("tables")
    sheets.write(target, invented.knowledge, published)
    return target


def test_every_table_was_written_down():
    assert set(WRITTEN) == {s.name for s in sheets.SHEETS} - {"properties"}


@pytest.mark.parametrize("name", WRITTEN)
def test_the_rows_are_those_that_were_written_by_hand(folder, name):
    text = (folder / f"{name}.csv").read_bytes().decode()
    head, *rows = text.removesuffix("\r\n").split("\r\n")
    invented = [row for row in rows if re.search("full-|test-", row)]
    written = WRITTEN[name][1:]
    assert head == WRITTEN[name][0]
    assert [row for row in invented if name not in A_FEW or row in written] == written


def test_properties_are_those_of_the_list(folder):
    rows = {
        r["id"]: r for r in csv.DictReader(io.StringIO((folder / "properties.csv").read_text()))
    }
    assert rows["density"]["name"] == "density"
    assert (rows["density"]["state_bound"], rows["hardness"]["state_bound"]) == ("false", "true")


# ----- rows of what was computed, of a document written by hand


def rows_of(rows, **published):
    return list(rows(None, published))


def test_a_rung_without_reasons_or_setting_leaves_their_cells_empty():
    rung = dict.fromkeys(("setting", "state", "coated", "rests_on", "precedent", "nearest"))
    rung |= {"part": "p", "material": "m", "rung": "paper", "reasons": []}
    other = {**rung, "setting": "old", "reasons": ["one", "two"]}
    assert rows_of(computed_sheets._rungs, verdicts={"rungs": [rung, other]}) == [
        (1, "p", None, "m", None, None, "paper", None, None, None, None),
        (2, "p", "p/old", "m", None, None, "paper", None, "one; two", None, None),
    ]


def test_an_exposure_that_no_rule_decides_names_none():
    found = {"hazard": "h", "material": "m", "state": "s", "verdict": "unknown", "mechanism": None}
    assert rows_of(computed_sheets._exposures, verdicts={"exposure": [{**found, "rule": 0}]}) == [
        (1, "h", "m", "s", "unknown", None, None)
    ]


def test_substitutes_say_what_is_lost_and_gained():
    first = {"part": "p", "for": "o", "material": "m", "state": "s", "coated": "c"}
    found = [{**first, "lost": ["a", "b"], "gained": []}, {**first, "lost": [], "gained": ["d"]}]
    assert rows_of(computed_sheets._substitutes, verdicts={"substitutes": found}) == [
        (1, "p", "o", "m", "s", "c", "a; b", None),
        (2, "p", "o", "m", "s", "c", None, "d"),
    ]


def test_a_pair_tells_the_sizes_of_the_place_where_one_of_them_goes():
    """In the gap if one goes there, else in the open."""
    whole = {"goes": "a", "degree": "slow", "if_small": "fast", "if_large": "slow", "apart": 1}
    gap = {**whole, "goes": "b", "if_small": "s", "if_large": "l"}
    pair = {"first": "a", "second": "b", "situation": "sweat", "open": whole, "usual": None}
    found = [
        {**pair, "gap": gap, "may_touch": False},
        {**pair, "gap": {**gap, "goes": None, "degree": "none"}, "may_touch": True},
        {**pair, "gap": None, "may_touch": True},
    ]
    start = ("a", "b", "sweat", 1, "a", "slow")
    assert rows_of(computed_sheets._pairs, verdicts={"pairs": found}) == [
        (*start, "b", "slow", "s", "l", None, "no"),
        (*start, None, "none", "fast", "slow", None, "yes"),
        (*start, None, None, "fast", "slow", None, "yes"),
    ]


# ----- how a table is declared


def test_a_number_brings_its_text_and_a_table_its_key(monkeypatch):
    registered = []
    monkeypatch.setattr(sheet, "REGISTERED", registered)

    @sheet.sheet(
        "weights", "What things weigh", "id place", sheet.ID, sheet.number("low", "x", True)
    )
    def rows(knowledge, published):
        yield from ()

    (made,) = registered
    assert made == Sheet(
        "weights",
        "What things weigh",
        (
            Column("id", "permanent id", required=True),
            Column("low", "x", "number", True),
            Column("low_text", "low as typed", "string", True),
        ),
        ("id", "place"),
        rows,
    )


def test_columns_as_they_are_declared():
    assert sheet.id_of("mate", "parts") == Column("mate", "id in parts", "string", True, "parts")
    assert sheet.id_of("mate", "parts", False).required is False
    assert sheet.text("note", "words") == Column("note", "words", "string", False, "")
    assert sheet.number("low", "end") == Column("low", "end", "number", False, "")
    assert sheet.compact({"é": [1, 2]}) == '{"é":[1,2]}'


def bound(kind, **ends):
    return SimpleNamespace(kind=kind, **ends)


def test_the_ends_of_a_figure():
    assert [
        sheet.ends(bound("range", range=(1, 2))),
        sheet.ends(bound("at_least", at_least=1)),
        sheet.ends(bound("at_most", at_most=2)),
        sheet.ends(bound("typical", typical=3)),
    ] == [("range", 1, 2), ("at_least", 1, None), ("at_most", None, 2), ("typical", 3, 3)]


# ----- how a table is described and kept

PARTS = Sheet(
    "parts",
    "Parts",
    (
        Column("id", "permanent id", required=True),
        Column("on", "day", "date"),
        Column("grams", "weight", "number"),
        Column("grams_text", "grams as typed"),
        Column("count", "how many", "integer"),
        Column("oiled", "true: oiled", "boolean", True),
        Column("mate", "id in parts", refers="parts"),
        Column("zone", "id in zones", required=True, refers="zones"),
    ),
    ("id", "count"),
    lambda *_: iter(
        [
            ("a", date(2026, 11, 25), D("7.90"), 1, True, None, "case"),
            ("b", None, None, 2, False, "a", "dial, or so"),
            ("c", None, {"value": 0.5, "text": "0.50"}, 3, True, "b", 'the "dial"'),
        ]
    ),
)
PLAIN = [
    ("a", "2026-11-25", 7.9, "7.90", 1, True, None, "case"),
    ("b", None, None, None, 2, False, "a", "dial, or so"),
    ("c", None, 0.5, "0.50", 3, True, "b", 'the "dial"'),
]


def test_numbers_and_days_as_plain_values():
    assert sheets.plain_rows(PARTS, None, {}) == PLAIN
    texts = PARTS._replace(columns=(PARTS.columns[0],), rows=lambda *_: iter([("a",)]))
    assert sheets.plain_rows(texts, None, {}) == [("a",)]
    days = PARTS._replace(columns=PARTS.columns[1:2], rows=lambda *_: iter([(date(2026, 1, 2),)]))
    assert sheets.plain_rows(days, None, {}) == [("2026-01-02",)]
    assert sheets.plain_rows(PARTS._replace(rows=lambda *_: iter(())), None, {}) == []


def test_a_csv_file_as_the_standard_has_it():
    """RFC 4180: lines end in CR LF, a comma or a quote stands between quotes."""
    file = io.StringIO(newline="")
    sheets.write_csv(file, PARTS, PLAIN)
    assert file.getvalue() == (
        "id,on,grams,grams_text,count,oiled,mate,zone\r\n"
        "a,2026-11-25,7.9,7.90,1,true,,case\r\n"
        'b,,,,2,false,a,"dial, or so"\r\n'
        'c,,0.5,0.50,3,true,b,"the ""dial"""\r\n'
    )


def test_a_database_keeps_types_keys_and_links():
    base = sqlite3.connect(":memory:")
    base.execute('CREATE TABLE "zones" ("id" TEXT PRIMARY KEY)')
    sheets._insert(base, PARTS, PLAIN)
    assert base.execute('SELECT * FROM "parts"').fetchall() == [
        tuple(int(v) if isinstance(v, bool) else v for v in row) for row in PLAIN
    ]
    columns = base.execute('PRAGMA table_info("parts")').fetchall()
    assert [(name, kind, bool(required), key) for _, name, kind, required, _, key in columns] == [
        ("id", "TEXT", True, 1),
        ("on", "TEXT", False, 0),
        ("grams", "REAL", False, 0),
        ("grams_text", "TEXT", False, 0),
        ("count", "INTEGER", True, 2),
        ("oiled", "INTEGER", True, 0),
        ("mate", "TEXT", False, 0),
        ("zone", "TEXT", True, 0),
    ]
    links = base.execute('PRAGMA foreign_key_list("parts")').fetchall()
    assert {(link[3], link[2], link[4]) for link in links} == {
        ("mate", "parts", "id"),
        ("zone", "zones", "id"),
    }
    base.close()


def test_a_table_in_the_terms_of_table_schema():
    """Table Schema: a reference to the table itself names no resource."""
    schema = sheets._schema(PARTS)
    assert schema["fields"][:2] == [
        {
            "name": "id",
            "type": "string",
            "description": "permanent id",
            "constraints": {"required": True},
        },
        {"name": "on", "type": "date", "description": "day"},
    ]
    assert schema["primaryKey"] == ["id", "count"]
    assert schema["foreignKeys"] == [
        {"fields": ["mate"], "reference": {"resource": "", "fields": ["id"]}},
        {"fields": ["zone"], "reference": {"resource": "zones", "fields": ["id"]}},
    ]
    assert set(sheets._schema(PARTS._replace(columns=PARTS.columns[:1]))) == {
        "fields",
        "primaryKey",
    }


def test_the_description_of_all_tables(folder):
    text = (folder / "datapackage.json").read_text(encoding="utf-8")
    described = json.loads(text)
    assert text == json.dumps(described, ensure_ascii=False, indent=1) + "\n"
    *described_tables, base = described.pop("resources")
    assert described == {
        "profile": "data-package",
        "name": "arbor-and-case",
        "title": "Arbor & Case",
        "version": "2026-11-25",
        "licenses": [{"name": "CC-BY-4.0", "path": "https://creativecommons.org/licenses/by/4.0/"}],
    }

    def print_of(name):
        octets = (folder / name).read_bytes()
        digest = hashlib.sha256(octets).hexdigest()
        return {"path": name, "bytes": len(octets), "hash": f"sha256:{digest}"}

    assert base == {
        "name": "knowledge",
        "title": "All tables in one SQLite file",
        "format": "sqlite",
        "mediatype": "application/vnd.sqlite3",
        **print_of("knowledge.sqlite"),
    }
    assert [r["name"] for r in described_tables] == [s.name for s in sheets.SHEETS]
    (settings,) = (r for r in described_tables if r["name"] == "settings")
    assert settings.pop("schema")["foreignKeys"] == [
        {"fields": ["part"], "reference": {"resource": "parts", "fields": ["id"]}}
    ]
    assert settings == {
        "name": "settings",
        "title": "Other watches in which a part asks for something else",
        "profile": "tabular-data-resource",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        **print_of("settings.csv"),
    }
