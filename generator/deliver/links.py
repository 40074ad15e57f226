"""Receives the finished pages; hands on every link of theirs that leads nowhere, in words.

Pages are read with a parser, as a browser would; what a record names wrongly was found before, so
a fault here is one of a template or of a hand-written page.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from posixpath import dirname, join, normpath
from urllib.parse import unquote, urlsplit

from lxml import etree

from generator.records.knowledge import COLLECTIONS, Knowledge

_LINKS = etree.XPath("//@href | //@src", smart_strings=False)
_ANCHORS = etree.XPath("//@id | //a/@name", smart_strings=False)
_HEADINGS_BEFORE = etree.XPath(
    "string((//*[@href = $link or @src = $link])[1]/preceding::h2[1])", smart_strings=False
)
_ELSEWHERE = ("http", "https", "mailto", "tel", "data")
_KINDS = {folder: kind for kind, folder in COLLECTIONS.items()}


@dataclass(frozen=True)
class Dead:
    """A link that leads nowhere: the page it stands on, as it is written there, and what is not
    there."""

    page: str
    link: str
    fault: str


def dead_links(site: Path) -> list[Dead]:
    """Every link of every page that leads to no file or to no anchor."""
    files = {
        os.path.relpath(os.path.join(folder, name), site).replace(os.sep, "/")
        for folder, _, names in os.walk(site)
        for name in names
    }
    dead: list[Dead] = []
    anchors: dict[str, frozenset[str]] = {}
    asked: dict[tuple[str, str], tuple[str, str]] = {}  # the first page that names each anchor
    for page in sorted(name for name in files if name.endswith(".html")):
        tree = _parsed(site / page)
        anchors[page] = frozenset(_ANCHORS(tree))
        for link in dict.fromkeys(_LINKS(tree)):
            target, anchor = _target(page, link)
            if target is None:
                continue
            if target not in files:
                dead.append(Dead(page, link, f"there is no {target}"))
            elif anchor and target.endswith(".html"):
                asked.setdefault((target, anchor), (page, link))
    for (target, anchor), (page, link) in asked.items():
        if anchor not in anchors[target]:
            dead.append(Dead(page, link, f"{target} has no anchor {anchor}"))
    return sorted(dead, key=lambda d: (d.page, d.link))


def _parsed(path: Path):
    return etree.fromstring(path.read_bytes(), etree.HTMLParser(encoding="utf-8"))


def _target(page: str, link: str) -> tuple[str | None, str]:
    """File and anchor that a link leads to; None where it leaves the site."""
    parts = urlsplit(link)
    if parts.scheme in _ELSEWHERE:
        return None, ""
    if parts.scheme or parts.netloc or parts.path.startswith("/"):
        return link, ""  # an offline site has no such place
    path = normpath(join(dirname(page), unquote(parts.path))) if parts.path else page
    return path, unquote(parts.fragment)


def in_words(dead: list[Dead], site: Path, knowledge: Knowledge) -> Iterator[str]:
    """A line for each: where it stands, fault, cure."""
    for d in dead:
        heading = _HEADINGS_BEFORE(_parsed(site / d.page), link=d.link).strip()
        under = f", under {heading}" if heading else ""
        record = _place(d, knowledge)
        yield f"{record}page {d.page}{under}: the link {d.link} is dead; {d.fault}"


def _place(dead: Dead, knowledge: Knowledge) -> str:
    """File, line and column in the record of the page: of the field that names what is not there
    where there is one."""
    folder, _, name = dead.page.removesuffix(".html").rpartition("/")
    kind = _KINDS.get(folder)
    if kind is None or name not in knowledge.of_kind(kind):
        return ""
    target, _ = _target(dead.page, dead.link)
    stem = Path(target or "").stem
    anchor = urlsplit(dead.link).fragment
    found = (
        reference
        for of_kind, key, references in knowledge.references_by_file()
        if (of_kind, key) == (kind, name)
        for reference in references
        if reference.id == stem or (anchor and anchor.endswith(reference.id))
    )
    first = next(found, None)
    if first is None:
        return f"{knowledge.place(kind, name)}: "
    way = ".".join(str(step) for step in first.way)
    return f"{knowledge.place(kind, name, first.way, first.is_key)}: {way}: "
