"""Packs a finished site into one dated folder to give away: the site, a zip, the one-file edition,
the card book.

The date is that of the knowledge base, so the same knowledge gives the same folder, byte for byte.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from generator.deliver import card_book, offline, one_file
from generator.deliver.swap import exchange
from generator.export import sheets
from generator.upkeep import editions

CONTENTS = "contents.txt"


class Item(NamedTuple):
    """One file of the published folder."""

    name: str
    size: int
    sha256: str


def bundle(
    site: Path, sources: Path, target: Path, say: Callable[[str], None] = lambda _: None
) -> tuple[Path, list[Item]]:
    """Make target/EDITION from the site; ``sources`` is the folder of the scripts for offline use.

    Returns the folder, its files.     The folder takes its place when it is whole; one that was
    there is replaced.
    """
    described = json.loads((site / "data" / sheets.DESCRIPTION).read_text(encoding="utf-8"))
    edition, name = described["version"], f"{described['name']}-{described['version']}"
    target.mkdir(parents=True, exist_ok=True)
    with_cards = (path for folder in card_book.FOLDERS for path in (site / folder).glob("*.html"))
    drafts = sum(editions.DRAFT in path.read_text(encoding="utf-8") for path in with_cards)
    if drafts:
        many = "1 card" if drafts == 1 else f"{drafts} cards"
        say(
            f"{many} changed after the last edition: marked as draft; the verb `edition` stamps a"
            " new one"
        )
    for left in target.glob(".[0-9]*-[0-9][0-9]-[0-9][0-9].new"):  # by one that was killed
        shutil.rmtree(left, ignore_errors=True)
    new = target / f".{edition}.new"
    say("copy the site")
    shutil.copytree(site, new / "site")
    say("one file of everything")
    (new / f"{name}-one-file.html").write_text(
        one_file.build(site, edition), encoding="utf-8", newline="\n"
    )
    _book(new, name, edition, say)
    say("what a browser keeps")
    offline.add(new / "site", sources, edition)
    say("zip")
    write_zip(new / "site", new / f"{name}.zip", name, edition)
    items = [_item(new, path) for path in sorted(new.rglob("*")) if path.is_file()]
    (new / CONTENTS).write_text(
        "".join(f"{i.sha256}  {i.name}\n" for i in items), encoding="utf-8", newline="\n"
    )
    items.append(_item(new, new / CONTENTS))
    return _put(new, target / edition), items


def _book(new: Path, name: str, edition: str, say: Callable[[str], None]) -> None:
    """The PDF book, when a browser is found."""
    browser = card_book.find_browser()
    if browser is None:
        say("no book of cards: there is no Chromium on this machine")
        return
    say("book of cards")
    page = new / "cards.html"
    page.write_text(card_book.page_of_cards(new / "site", edition), encoding="utf-8", newline="\n")
    try:
        card_book.print_book(browser, page, new / f"{name}-cards.pdf", edition)
    except card_book.BookFailed as failed:
        say(f"no book of cards: {failed}")
    page.unlink()


def write_zip(folder: Path, target: Path, top: str, edition: str) -> None:
    """A zip of a folder that comes out alike each time: sorted names, one date, one mode."""
    year, month, day = (int(n) for n in edition.split("-"))
    with zipfile.ZipFile(target, "w") as archive:
        for path in sorted(p for p in folder.rglob("*") if p.is_file()):
            entry = zipfile.ZipInfo(
                f"{top}/{path.relative_to(folder).as_posix()}", (year, month, day, 0, 0, 0)
            )
            entry.compress_type, entry.create_system, entry.external_attr = (
                zipfile.ZIP_DEFLATED,
                3,
                0o100644 << 16,
            )
            archive.writestr(entry, path.read_bytes(), compresslevel=9)


def _item(folder: Path, path: Path) -> Item:
    content = path.read_bytes()
    return Item(
        path.relative_to(folder).as_posix(), len(content), hashlib.sha256(content).hexdigest()
    )


def _put(new: Path, place: Path) -> Path:
    """The new folder in its place, in one step where the system can."""
    if place.exists() and exchange(new, place):
        shutil.rmtree(new)
        return place
    shutil.rmtree(place, ignore_errors=True)
    new.rename(place)
    return place


def in_words(items: list[Item]) -> list[str]:
    """What is in the folder, one line each; the files of the site are counted together."""
    site = [i for i in items if i.name.startswith("site/")]
    lines = [
        f"{_size(sum(i.size for i in site)):>9}  site/, {len(site)} files; open site/index.html"
    ]
    lines += [
        f"{_size(i.size):>9}  {i.name}\n           SHA-256 {i.sha256}"
        for i in items
        if not i.name.startswith("site/")
    ]
    return lines


def _size(octets: int) -> str:
    return f"{octets / 1_000_000:.1f} MB" if octets >= 1_000_000 else f"{octets / 1000:.1f} kB"
