"""Reads a spreadsheet file (.csv or .xlsx): rows of text by column.

Every cell is text here; formulas, macros, drawings and entities are never evaluated. Numbers of a
workbook are shown with the decimal places of their cell, which keeps 7.90 from becoming 7.9.
"""

from __future__ import annotations

import csv
import io
import re
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from generator.records.complaints import NotDone, did_you_mean

LARGEST = 8 * 1024 * 1024  # bytes of a file
UNPACKED = 64 * 1024 * 1024  # bytes that a workbook may unfold to
MOST_ROWS, MOST_COLUMNS, LONGEST = 20_000, 60, 2000
_PLACES = re.compile(r"0\.(0+)")
ENDINGS = (".csv", ".xlsx")


class SheetFailed(NotDone):
    """Why a table cannot be read, as `fault; cure`."""


class Row(NamedTuple):
    """A row: its number as the spreadsheet counts, and what its cells say by column."""

    number: int
    cells: dict[str, str]


class Sheet(NamedTuple):
    """Rows, and the letter of each column."""

    name: str
    letters: dict[str, str]
    rows: list[Row]


def read_sheet(path: Path, known: Sequence[str], needed: Sequence[str]) -> Sheet:
    """The table in a file. Raises SheetFailed."""
    try:
        if not path.is_file():
            raise SheetFailed(f"{path} is not a file; name a .csv or .xlsx")
        if path.stat().st_size > LARGEST:
            raise SheetFailed(f"{path.name} is larger than {LARGEST >> 20} MB; split it")
        octets = path.read_bytes()
    except OSError as error:
        raise SheetFailed(f"{path} cannot be opened ({error.strerror}); check its name") from None
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        raise SheetFailed(f"{path.name} is neither .csv nor .xlsx; save it as one of them")
    if ending == ".xlsx" or octets[:4] == b"PK\x03\x04":
        return _sheet(path.name, _of_workbook(path.name, octets), known, needed)
    return _sheet(path.name, _of_text(path.name, octets), known, needed)


def _sheet(name: str, lines: Iterable[list[str]], known, needed) -> Sheet:
    rows = enumerate(lines, 1)
    number, head = next(((n, line) for n, line in rows if any(line)), (0, []))
    if not number:
        raise SheetFailed(f"{name} is empty; its first row names the columns")
    head = [cell.strip().lower().replace(" ", "_") for cell in head]
    while head and not head[-1]:
        head.pop()
    if len(head) > MOST_COLUMNS:
        raise SheetFailed(f"{name} has {len(head)} columns; keep those of figures.csv")
    for at, column in enumerate(head):
        if column not in known:
            cure = did_you_mean(column, known, f"columns: {', '.join(known)}")
            raise SheetFailed(f"{name}, row {number}: there is no column {column!r}; {cure}")
        if column in head[:at]:
            raise SheetFailed(f"{name}, row {number}: {column} stands twice; keep one of them")
    lacking = [column for column in needed if column not in head]
    if lacking:
        raise SheetFailed(f"{name}: the column {lacking[0]} is missing; add it")
    found = []
    for n, line in rows:
        if not any(line):
            continue
        if any(line[len(head) :]):
            raise SheetFailed(
                f"{name}, row {n}: more cells than columns; quote a text that holds the separator"
            )
        if len(found) == MOST_ROWS:
            raise SheetFailed(f"{name} has more than {MOST_ROWS} rows; split it")
        cells = {c: t.strip() for c, t in zip(head, line, strict=False) if t.strip()}
        found.append(Row(n, cells))
    return Sheet(name, {c: _letter(at) for at, c in enumerate(head)}, found)


def _letter(at: int) -> str:
    """The spreadsheet's name of a column: A, B ... Z, AA."""
    name, at = "", at + 1
    while at:
        at, rest = divmod(at - 1, 26)
        name = chr(65 + rest) + name
    return name


def _of_text(name: str, octets: bytes) -> Iterator[list[str]]:
    try:
        text = octets.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SheetFailed(f"{name} is not UTF-8; save it as CSV UTF-8") from None
    first = text.lstrip("\r\n").partition("\n")[0]
    separator = max(",;\t", key=first.count)
    try:
        for line in csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True):
            yield [cell[: LONGEST + 1] for cell in line]
    except csv.Error as error:
        raise SheetFailed(f"{name} cannot be read: {error}; save it again as CSV UTF-8") from None


def _of_workbook(name: str, octets: bytes) -> Iterator[list[str]]:
    _bounded(name, octets)
    from openpyxl import load_workbook  # only here: nothing else reads workbooks

    book = None
    try:
        book = load_workbook(io.BytesIO(octets), read_only=True, keep_links=False)
        sheet = book["figures"] if "figures" in book.sheetnames else book.worksheets[0]
        for line in sheet.iter_rows(max_col=MOST_COLUMNS + 1):
            yield [_cell(cell) for cell in line]
    except SheetFailed:
        raise
    except Exception:  # a damaged workbook fails in the library in very many ways
        raise SheetFailed(
            f"{name} cannot be read as a workbook; save it again, or as CSV"
        ) from None
    finally:
        if book is not None:
            book.close()


def _bounded(name: str, octets: bytes) -> None:
    """A workbook that unfolds to too much, or defines entities, is not opened at all."""
    try:
        with zipfile.ZipFile(io.BytesIO(octets)) as packed:
            inside = packed.infolist()
            if sum(i.file_size for i in inside) > UNPACKED or len(inside) > 2000:
                raise SheetFailed(f"{name} unfolds to too much; save the one sheet as CSV")
            for item in inside:
                with packed.open(item) as file:
                    start = file.read(UNPACKED + 1)
                if len(start) > item.file_size:
                    raise SheetFailed(f"{name} unfolds to too much; save the one sheet as CSV")
                if b"<!ENTITY" in start or b"<!DOCTYPE" in start:
                    raise SheetFailed(f"{name} defines entities; save it again, or as CSV")
    except (
        zipfile.BadZipFile,
        zlib.error,
        NotImplementedError,
        RuntimeError,
        EOFError,
        OSError,
        ValueError,
    ):
        raise SheetFailed(f"{name} is not a workbook; save it again as .xlsx or as CSV") from None


def _cell(cell) -> str:
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        places = _PLACES.fullmatch(str(cell.number_format or ""))
        return f"{value:.{len(places[1])}f}" if places else repr(value).removesuffix(".0")
    return str(value)[: LONGEST + 1]
