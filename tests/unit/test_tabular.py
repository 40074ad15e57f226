"""Tables for spreadsheets and databases: they obey their own description, keep typed digits, and
come out alike twice."""

import csv
import io
import json
import shutil
import sqlite3

import pytest

from generator.checks.rules import check
from generator.export import document, sheets
from generator.numbers.values import Values
from generator.tables import tables
from generator.verdicts.verdicts import Verdicts
from tests.conftest import FULL, SMALL, make_root


def files_of(root) -> dict[str, bytes]:
    folder = root / "data"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    knowledge, complaints = check(root)
    assert complaints == []
    values = Values(knowledge)
    sheets.write(
        folder,
        knowledge,
        document.build(knowledge, tables.build(knowledge, values), Verdicts(knowledge, values)),
    )
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.fixture(scope="module")
def files(tmp_path_factory) -> dict[str, bytes]:
    return files_of(make_root(tmp_path_factory.mktemp("tables"), SMALL))


@pytest.fixture(scope="module")
def full_files(tmp_path_factory) -> dict[str, bytes]:
    return files_of(make_root(tmp_path_factory.mktemp("full"), SMALL, FULL))


def rows_of(files: dict[str, bytes], name: str) -> list[dict]:
    return list(csv.DictReader(io.StringIO(files[f"{name}.csv"].decode(), newline="")))


def faults_of(folder) -> list[str]:
    from frictionless import Package

    report = Package(str(folder / sheets.DESCRIPTION)).validate()
    return [f"{task.name}: {error.message}" for task in report.tasks for error in task.errors] + [
        e.message for e in report.errors
    ]


def write(files: dict[str, bytes], folder) -> None:
    folder.mkdir(exist_ok=True)
    for name, content in files.items():
        (folder / name).write_bytes(content)


def test_figures_as_typed_with_both_ends(files):
    steel = [r for r in rows_of(files, "figures") if r["material"] == "test-steel"]
    assert [
        (
            r["property"],
            r["state"],
            r["kind"],
            r["low"],
            r["low_text"],
            r["high_text"],
            r["unit"],
            r["source"],
        )
        for r in steel
    ] == [
        ("density", "", "typical", "7.98", "7.98", "7.98", "g/cm3", "test-standard"),
        ("density", "", "typical", "8.0", "8.0", "8.0", "g/cm3", "test-sheet"),
        ("expansion", "", "typical", "16.0", "16.0", "16.0", "10^-6/K", "test-standard"),
        ("elastic-modulus", "", "typical", "200.0", "200", "200", "GPa", "test-standard"),
        ("hardness", "annealed", "range", "140.0", "140", "215", "HV", "test-sheet"),
        ("proof-strength", "annealed", "at_least", "200.0", "200", "", "MPa", "test-standard"),
    ]
    assert (steel[2]["over_from"], steel[2]["over_to_text"]) == ("20.0", "100")


def test_each_figure_says_what_it_rests_on_and_each_source_whether_it_was_seen(full_files):
    steel = [r for r in rows_of(full_files, "figures") if r["material"] == "full-steel"]
    found = {r["property"]: (r["evidence"], r["of"]) for r in steel}
    assert found["density"] == ("borrowed", "density relative")
    assert found["elastic-modulus"] == ("memory", "")
    assert found["anodic-index"] == ("own", "")
    sources = {r["id"]: r for r in rows_of(full_files, "sources")}
    assert (sources["full-book"]["seen"], sources["full-law"]["seen"]) == ("false", "true")
    assert sources["full-book"]["author"] == "Full author"
    assert sources["full-book"]["number"] == "full number"


def test_the_document_says_of_each_figure_what_it_rests_on(tmp_path):
    knowledge, _ = check(make_root(tmp_path, SMALL, FULL))
    values = Values(knowledge)
    published = document.build(knowledge, {}, Verdicts(knowledge, values))
    (steel,) = (m for m in published["materials"] if m["id"] == "full-steel")
    rests = {f["property"]: f["evidence"] for f in steel["figures"]}
    assert (rests["density"], rests["elastic-modulus"], rests["anodic-index"]) == (
        "borrowed",
        "memory",
        "own",
    )


def test_digits_survive_where_a_database_would_drop_them(small):
    record = small / "knowledge" / "alloys" / "test-steel.yaml"
    record.write_text(record.read_text().replace("typical: 7.98", "typical: 7.90"))
    base = sqlite3.connect(":memory:")
    base.deserialize(files_of(small)[sheets.DATABASE])
    found = base.execute(
        "SELECT low, low_text FROM figures WHERE material = 'test-steel' AND number = 1"
    ).fetchall()
    base.close()
    assert found == [(7.9, "7.90")]


def test_designations_choices_and_rules(files):
    assert {
        "material": "test-steel",
        "number": "1",
        "system": "en-number",
        "code": "1.4499",
    } in rows_of(files, "designations")
    assert [(r["judged"], r["material"], r["state"]) for r in rows_of(files, "choices")] == [
        ("usual", "test-steel", "annealed"),
        ("wrong", "test-brass", ""),
    ]
    assert [(r["number"], r["condition"], r["verdict"]) for r in rows_of(files, "rules")] == [
        ("1", '{"families":["brass"]}', "fails"),
        ("2", "", "holds"),
    ]
    demand = rows_of(files, "demands")[0]
    assert (demand["at_least_text"], demand["unit"], demand["firm"]) == ("120", "HV", "true")


def test_verdicts_by_hand(files):
    """Steel is the usual choice; brass is eaten by the sea."""
    assert [(r["material"], r["rung"], r["reasons"]) for r in rows_of(files, "rungs")] == [
        ("test-steel", "own", "it stands the sea"),
        ("test-brass", "no", "test sea: fails (dezincification)"),
    ]


@pytest.mark.slow  # the stranger's library takes seconds to import
def test_the_tables_obey_their_description(files, tmp_path):
    write(files, tmp_path / "data")
    assert faults_of(tmp_path / "data") == []


@pytest.mark.slow  # the stranger's library takes seconds to import
def test_the_description_is_strict(files, tmp_path):
    slips = {
        "figures": (b"7.98,7.98", b"about 8,7.98", 'type is "number/default"'),
        "choices": (b"test-brass", b"nowhere", "foreign key"),
        "materials": (b"2026-11-25", b"yesterday", 'type is "date/default"'),
    }
    broken = dict(files)
    for table, (old, new, _) in slips.items():
        broken[f"{table}.csv"] = files[f"{table}.csv"].replace(old, new, 1)
        assert broken[f"{table}.csv"] != files[f"{table}.csv"]
    write(broken, tmp_path / "data")
    found = faults_of(tmp_path / "data")
    for table, (*_, said) in slips.items():
        assert any(f.startswith(f"{table}: ") and said in f for f in found), table


def test_the_database_holds_what_the_csv_files_hold(files):
    base = sqlite3.connect(":memory:")
    base.deserialize(files[sheets.DATABASE])
    assert base.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert base.execute("PRAGMA foreign_key_check").fetchall() == []
    for sheet in sheets.SHEETS:
        flags = {c.name for c in sheet.columns if c.type == "boolean"}
        cursor = base.execute(f'SELECT * FROM "{sheet.name}"')
        names = [d[0] for d in cursor.description]
        held = [
            {
                n: "" if v is None else ("true" if v else "false") if n in flags else str(v)
                for n, v in zip(names, row, strict=True)
            }
            for row in cursor
        ]

        def by_key(row, sheet=sheet):
            return [row[k] for k in sheet.key]

        assert sorted(held, key=by_key) == sorted(rows_of(files, sheet.name), key=by_key), (
            sheet.name
        )
    base.close()


def test_the_same_input_gives_the_same_bytes(small, files):
    assert files_of(small) == files


def test_every_table_says_what_it_holds():
    assert all(
        sheet.title and all(column.what for column in sheet.columns) for sheet in sheets.SHEETS
    )
    assert all(
        set(sheet.key) <= {column.name for column in sheet.columns} for sheet in sheets.SHEETS
    )


def test_the_shipped_site_carries_the_tables(site):
    described = json.loads((site / "data" / sheets.DESCRIPTION).read_text(encoding="utf-8"))
    assert {r["path"] for r in described["resources"]} == {
        f"{s.name}.csv" for s in sheets.SHEETS
    } | {sheets.DATABASE}
    assert all(
        (site / "data" / r["path"]).stat().st_size == r["bytes"] for r in described["resources"]
    )
    assert faults_of(site / "data") == []
