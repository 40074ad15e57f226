"""Completes build/site.new and swaps it in.

The new site is made beside the last good one and replaces it only after all checks pass, so a fault
or a kill leaves the old site in place.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterable
from pathlib import Path

from generator.deliver import frames
from generator.deliver.swap import exchange
from generator.export import document, document_schema, sheets
from generator.records import saved_sheets
from generator.records.knowledge import Knowledge


def write_data(root: Path, knowledge: Knowledge, published: dict) -> None:
    """Write the published data into build/data: JSON with its schema, and the tables."""
    folder = root / "build" / "data"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    for name, content in (
        ("knowledge.json", published),
        (document_schema.SCHEMA_ID, document_schema.schema()),
        (saved_sheets.SCHEMA_ID, saved_sheets.sheet_schema()),
    ):
        with open(folder / name, "w", encoding="utf-8", newline="\n") as file:
            file.writelines(document.as_json(content))
            file.write("\n")
    sheets.write(folder, knowledge, published)


def take_data(root: Path) -> None:
    """Put the published data into the site."""
    data = root / "build" / "data"
    for path in data.iterdir():
        frames.put(root, f"data/{path.name}", path.read_bytes())
    shutil.rmtree(data)


def last(root: Path, scripts: Iterable[str]) -> list[str]:
    """The files of the last site that may serve a moment longer: these scripts and the published
    data; none if any is missing.
    """
    site = root / "site"
    names = [*scripts, *(f"data/{path.name}" for path in site.glob("data/*"))]
    return (
        names if site.joinpath("data").is_dir() and all((site / n).is_file() for n in names) else []
    )


def keep(root: Path, names: Iterable[str]) -> None:
    """Take these files of the last site into the one being made."""
    for name in names:
        frames.put(root, name, (root / "site" / name).read_bytes())


def renew(root: Path, files: Iterable[tuple[str, bytes]]) -> None:
    """Replace these files of the current site, each in one step; identical ones are left alone."""
    half = root / "build" / "half"
    for name, octets in files:
        old = root / "site" / name
        if not (old.is_file() and old.read_bytes() == octets):
            half.write_bytes(octets)
            half.replace(old)


def swap_in(root: Path) -> Path:
    """Put build/site.new in the place of site/, in one step where the system can."""
    new, old, site = root / "build" / "site.new", root / "build" / "site.old", root / "site"
    shutil.rmtree(old, ignore_errors=True)
    if site.exists() and exchange(new, site):
        shutil.rmtree(new, ignore_errors=True)
        return site
    if site.exists():
        site.rename(old)
    new.rename(site)
    shutil.rmtree(old, ignore_errors=True)
    return site


def recover(root: Path) -> None:
    """After a kill between the two renames of ``swap_in`` (where no exchange is possible): the old
    site is still there, put it back."""
    old, site = root / "build" / "site.old", root / "site"
    if old.exists() and not site.exists():
        old.rename(site)
