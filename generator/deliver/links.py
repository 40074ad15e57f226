"""Receives the finished pages; hands on every link of theirs that leads nowhere, in words.

Pages are read with a parser, as a browser would; what a record names wrongly was found before, so
a fault here is one of a template or of a hand-written page.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from posixpath import dirname, join, normpath
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


@dataclass(frozen=True)
class Dead:
    """A link that leads nowhere: the page it stands on, as it is written there, and what is not
    there."""

    page: str
    link: str
    fault: str


def dead_links(site: Path, store: Store | None = None) -> list[Dead]:
    """Every link of every page that leads to no file or to no anchor.

    ``store`` keeps where each page leads, so that an unchanged page is not parsed again.
    """
    files = {
        os.path.relpath(os.path.join(folder, name), site).replace(os.sep, "/")
        for folder, _, names in os.walk(site)
        for name in names
    }
    pages = {name: _leads(site, name, store) for name in sorted(files) if name.endswith(".html")}
    anchors = {name: frozenset(leads["has"]) for name, leads in pages.items()}
    asked: set[tuple[str, str]] = set()  # one page is told of each anchor that is not there
    dead: list[Dead] = []
    for page, leads in pages.items():
        for target, names in leads["to"].items():
            if target not in files:
                dead += [Dead(page, link, f"there is no {target}") for link in names.values()]
            for anchor in names if target in anchors else ():
                if anchor and anchor not in anchors[target] and (target, anchor) not in asked:
                    asked.add((target, anchor))
                    fault = f"{target} has no anchor {anchor}"
                    dead.append(Dead(page, names[anchor], fault))
    if store is not None:
        store.keep()
    return sorted(dead, key=lambda d: (d.page, d.link))


def _leads(site: Path, page: str, store: Store | None) -> dict:
    """Where a page leads, as {file: {anchor: link as written}}, and the anchors that it has."""
    octets = (site / page).read_bytes()
    key = f"{hashlib.sha256(octets).hexdigest()}:{page.replace(' ', '%20')}"
    known = store.find(key) if store is not None else None
    with contextlib.suppress(ValueError):  # not known, or damaged
        return json.loads(known or "")
    tree = _parsed(octets)
    to: dict[str, dict[str, str]] = {}
    for link in dict.fromkeys(_LINKS(tree)):
        target, anchor = _target(page, link)
        if target is not None:
            to.setdefault(target, {}).setdefault(anchor, link)
    leads = {"to": to, "has": sorted(set(_ANCHORS(tree)))}
    if store is not None:
        store.learn(key, json.dumps(leads, separators=(",", ":")))
    return leads


def _parsed(octets: bytes):
    return etree.fromstring(octets, etree.HTMLParser(encoding="utf-8"))


def _target(page: str, link: str) -> tuple[str | None, str]:
    """File and anchor that a link leads to; None where it leaves the site."""
    parts = urlsplit(link)
    if parts.scheme in _ELSEWHERE:
        return None, ""
    if parts.scheme or parts.netloc or parts.path.startswith("/"):
        return link, ""  # an offline site has no such place
    path = normpath(join(dirname(page), unquote(parts.path))) if parts.path else page
    return path, unquote(parts.fragment)


def store_of(root: Path) -> Store:
    """Where the links of the pages of a project are kept."""
    maker = hashlib.sha256(Path(__file__).read_bytes()).hexdigest()
    return Store(root / "build" / "links.txt", maker)


def in_words(dead: list[Dead], site: Path, knowledge: Knowledge) -> Iterator[str]:
    """A line for each: where it stands, fault, cure."""
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
