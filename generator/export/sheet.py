"""What a published table is: its columns, its key and the generator of its rows."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from generator.records import models
from generator.records.knowledge import Knowledge


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


REGISTERED: list[Sheet] = []


def sheet(name: str, title: str, key: str, *columns: Column):
    """Registers a generator of rows as a table.

    A number column brings its text column with it.
    """

    def register(rows):
        REGISTERED.append(Sheet(name, title, tuple(_with_texts(columns)), tuple(key.split()), rows))
        return rows

    return register


def _with_texts(columns: Iterable[Column]) -> Iterator[Column]:
    for column in columns:
        yield column
        if column.type == "number":
            yield Column(f"{column.name}_text", f"{column.name} as typed", required=column.required)


def id_of(name: str, refers: str, required: bool = True) -> Column:
    return Column(name, f"id in {refers}", required=required, refers=refers)


def text(name: str, what: str, required: bool = False) -> Column:
    return Column(name, what, required=required)


def number(name: str, what: str, required: bool = False) -> Column:
    return Column(name, what, "number", required)


ID, NAME = (
    Column("id", "permanent id", required=True),
    Column("name", "what a practitioner would say", required=True),
)
SUMMARY, REVIEWED = (
    Column("summary", "the answer in one line", required=True),
    Column("reviewed", "day of the last review", "date", True),
)
PLACE = Column("number", "place in the order, from 1", "integer", True)
SOURCE = Column("source", "id in sources, or memory, or practice", required=True)
BOUND = (
    Column("kind", "typical, range, at_least or at_most", required=True),
    number("low", "lowest value; empty where open"),
    number("high", "highest value; empty where open"),
)


def ends(bound: models.Bound) -> tuple:
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


def compact(value) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
