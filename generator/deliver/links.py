"""Finds dead links in the finished pages.

Pages are searched for attributes in the form that this generator and MkDocs write. Where a page has
others, or a link seems dead, lxml parses the page as a browser would and its result counts. Wrong
references in records are found earlier, so a dead link here comes from a template or a hand-written
page.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import re
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from posixpath import dirname, join, normpath
from typing import NamedTuple
from urllib.parse import unquote, urlsplit

from lxml import etree

from generator.records.knowledge import COLLECTIONS, Knowledge
from generator.records.store import Store

_LINKS = etree.XPath("//@href | //@src", smart_strings=False)
_ANCHORS = etree.XPath("//@id | //a/@name", smart_strings=False)
_HEADINGS_BEFORE = etree.XPath(
    "string((//*[@href = $link or @src = $link])[1]/preceding::h2[1])", smart_strings=False
)
_ELSEWHERE = ("http", "https", "mailto", "tel", "data")
_KINDS = {folder: kind for kind, folder in COLLECTIONS.items()}
_SCRIPT = re.compile(rb"<script\b([^>]*)>.*?</script>", re.DOTALL)


@dataclass(frozen=True)
class Dead:
    """A link that leads nowhere: the page it stands on, as it is written there, and what is not
    there."""

    page: str
    link: str
    fault: str


class _Page(NamedTuple):
    """The links of a page, as written, and its anchors."""

    links: frozenset[str]
    anchors: frozenset[str]


def dead_links(site: Path, store: Store | None = None) -> list[Dead]:
    """Every link of every page that leads to no file or no anchor.

    ``store`` keeps what was found on each page, so unchanged pages are not searched again.
    """
    files = {
        os.path.relpath(os.path.join(folder, name), site).replace(os.sep, "/")
        for folder, _, names in os.walk(site)
        for name in names
    }
    names = sorted(name for name in files if name.endswith(".html"))
    pages = {name: _found((site / name).read_bytes(), store) for name in names}
    if store is not None:
        store.keep()
    read: set[str] = set()
    while True:
        dead = list(_dead(files, pages))
        named = {name for d in dead for name in (d.page, _target(d.page, d.link)[0])}
        doubted = named.intersection(pages) - read
        if not doubted:
            return sorted(dead, key=lambda d: (d.page, d.link))
        pages |= {name: _read((site / name).read_bytes()) for name in doubted}
        read |= doubted


def _dead(files: Collection[str], pages: Mapping[str, _Page]) -> Iterator[Dead]:
    asked: set[tuple[str, str]] = set()  # one page is told of each anchor that is not there
    fine: dict[str, set[str]] = defaultdict(set)  # links that lead somewhere, by the folder
    for name, page in pages.items():
        known = fine[dirname(name)]
        for link in sorted(page.links - known):
            target, anchor = _target(name, link)
            if target is not None and target not in files:
                yield Dead(name, link, f"there is no {target}")
            elif anchor and target in pages and anchor not in pages[target].anchors:
                if (target, anchor) not in asked:
                    yield Dead(name, link, f"{target} has no anchor {anchor}")
                asked.add((target, anchor))
            elif target != name:
                known.add(link)


def _found(octets: bytes, store: Store | None) -> _Page:
    """The links and anchors of a page, from the store or searched now."""
    if store is None:
        return _searched(octets)
    key = hashlib.sha256(octets).hexdigest()
    known = store.find(key)
    with contextlib.suppress(ValueError):  # not known, or damaged
        return _Page(*map(frozenset, json.loads(known or "")))
    page = _searched(octets)
    store.learn(key, json.dumps(list(map(sorted, page)), separators=(",", ":")))
    return page


def _searched(octets: bytes) -> _Page:
    """The links and anchors of a page: by search where all links are in our own form, else parsed.

    An anchor missed by the search is looked for by the parser before it is reported.
    """
    if b"<!--" in octets:
        return _read(octets)
    plain = _SCRIPT.sub(rb"<script\1></script>", octets)
    small, links = plain.lower(), set()
    for attribute in (b"href", b"src"):
        _, *found = plain.split(b' %s="' % attribute)
        if b" %s " % attribute in small or small.count(attribute + b"=") != len(found):
            return _read(octets)
        links.update(piece[: piece.find(b'"')] for piece in found)
    before, anchors = b"", []
    for piece in plain.split(b' id="'):
        if before.rfind(b"<") > before.rfind(b">"):  # inside a tag
            anchors.append(piece.partition(b'"')[0])
        before = piece
    return _Page(frozenset(map(_text, links)), frozenset(map(_text, anchors)))


def _text(value: bytes) -> str:
    return unescape(value.decode())


def _read(octets: bytes) -> _Page:
    tree = _parsed(octets)
    return _Page(frozenset(_LINKS(tree)), frozenset(_ANCHORS(tree)))


def _parsed(octets: bytes):
    return etree.fromstring(octets, etree.HTMLParser(encoding="utf-8"))


def _target(page: str, link: str) -> tuple[str | None, str]:
    """File and anchor that a link leads to; None where it leaves the site."""
    if link.startswith("#"):  # most links, so the short way
        return page, unquote(link[1:])
    parts = urlsplit(link)
    if parts.scheme in _ELSEWHERE:
        return None, ""
    if parts.scheme or parts.netloc or parts.path.startswith("/"):
        return link, ""  # an offline site has no such place
    path = normpath(join(dirname(page), unquote(parts.path))) if parts.path else page
    return path, unquote(parts.fragment)


def store_of(root: Path) -> Store:
    """Where a project keeps the links of its pages."""
    maker = hashlib.sha256(Path(__file__).read_bytes()).hexdigest()
    return Store(root / "build" / "links.txt", maker)


def in_words(dead: list[Dead], site: Path, knowledge: Knowledge) -> Iterator[str]:
    """One line per dead link: place, fault, cure."""
    for d in dead:
        heading = _HEADINGS_BEFORE(_parsed((site / d.page).read_bytes()), link=d.link).strip()
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
