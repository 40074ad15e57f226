"""The published data as tables: CSV files, their description, one SQLite file.

The description (datapackage.json) follows the Table Schema standard. A number stands twice: as a
number, and as the text that was typed in a column of the same name with ``_text``, because a
spreadsheet or database turns 7.90 into 7.9.
"""

from __future__ import annotations

import csv
import hashlib
import json
import sqlite3
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import TextIO

from generator.export import (
    bench_sheets,
    computed_sheets,
    learning_sheets,
    material_sheets,
    watch_sheets,
)
from generator.export.sheet import REGISTERED, Column, Sheet
from generator.records.knowledge import Knowledge

# The modules that declare the tables, in the order of publication.
DECLARED = (material_sheets, bench_sheets, watch_sheets, learning_sheets, computed_sheets)
SHEETS: list[Sheet] = [
    sheet for module in DECLARED for sheet in REGISTERED if sheet.rows.__module__ == module.__name__
]
DESCRIPTION, DATABASE = "datapackage.json", "knowledge.sqlite"
SQL_TYPES = {
    "string": "TEXT",
    "number": "REAL",
    "integer": "INTEGER",
    "boolean": "INTEGER",
    "date": "TEXT",
}


def write(folder: Path, knowledge: Knowledge, published: dict) -> None:
    """Write a CSV file for each table, the SQLite file, and datapackage.json, which describes
    them, into an empty folder."""
    base = sqlite3.connect(folder / DATABASE, isolation_level=None)
    base.executescript("PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF;")
    base.execute("BEGIN")
    for sheet in SHEETS:  # in a fixed order, so the same input gives the same bytes
        rows = plain_rows(sheet, knowledge, published)
        with open(folder / f"{sheet.name}.csv", "w", encoding="utf-8", newline="") as file:
            write_csv(file, sheet, rows)
        _insert(base, sheet, rows)
    base.execute("COMMIT")
    base.close()
    described = json.dumps(_description(published, folder), ensure_ascii=False, indent=1)
    (folder / DESCRIPTION).write_text(described + "\n", encoding="utf-8", newline="\n")


def write_csv(file: TextIO, sheet: Sheet, rows: list[tuple]) -> None:
    """Write the plain rows of a table as RFC 4180, as Table Schema expects when nothing else is
    said."""
    writer = csv.writer(file)
    writer.writerow(column.name for column in sheet.columns)
    writer.writerows(_with_words(sheet, rows))


def plain_rows(sheet: Sheet, knowledge: Knowledge, published: dict) -> list[tuple]:
    """Rows with numbers and days as plain values; each number twice, also as its text."""
    rows = list(sheet.rows(knowledge, published))
    given = [c for before, c in pairwise((None, *sheet.columns)) if not _is_number(before)]
    if not rows or not any(_is_number(column) or column.type == "date" for column in given):
        return rows
    columns: list[Iterable] = []
    for column, values in zip(given, zip(*rows, strict=True), strict=True):
        if _is_number(column):
            columns += zip(*map(_twice, values), strict=True)
        else:
            columns.append(map(_day, values) if column.type == "date" else values)
    return list(zip(*columns, strict=True))


def _is_number(column: Column | None) -> bool:
    return column is not None and column.type == "number"


def _day(value: date | None) -> str | None:
    return None if value is None else str(value)


def _twice(value: Decimal | dict | None) -> tuple[float | None, str | None]:
    if isinstance(value, dict):  # a number of the published data
        return value["value"], value["text"]
    return (None, None) if value is None else (float(value), f"{value:f}")


def _with_words(sheet: Sheet, rows: list[tuple]) -> Iterable[tuple]:
    """The rows as CSV has them: yes and no in words."""
    flags = [i for i, column in enumerate(sheet.columns) if column.type == "boolean"]
    if not flags:
        return rows
    return ([str(c).lower() if i in flags else c for i, c in enumerate(row)] for row in rows)


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
