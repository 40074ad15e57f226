"""Keeps drawn pages for the next build, in this process or another.

A page depends on what its template was given and on what every page may name. A digest of both
costs a fraction of the drawing; while it is unchanged, the kept text is used. Nothing else is
stored about a page, so no stale one can survive.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import json
import sys
import zlib
from collections.abc import Callable, Iterable
from dataclasses import fields
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path

from pydantic import BaseModel

GENERATOR = Path(__file__).resolve().parent.parent


class KeptPages:
    """The pages of the last build in a folder, each under the digest of what it was drawn from;
    without a folder nothing is kept.
    """

    def __init__(self, folder: Path | None = None):
        self.makers: dict[str, tuple] = {}  # file of a page -> what draws it (site/render.py)
        self._folder, self._tell, self._common = folder, Telling(), ""
        self._seen: dict[str, list[str]] = {}  # page and template -> digests of this build

    def begin(self, common: object) -> None:
        """Start a build; ``common`` is what any page may name."""
        if self._folder is not None:
            self._tell, self._seen = Telling(), {}
            self._common = _maker() + self._tell.digest(common)

    def text(self, page: str, template: str, given: object, draw: Callable[[], str]) -> str:
        """The output of a template for a page (some pages need several); drawn only if its input
        has changed.
        """
        if self._folder is None:
            return draw()
        try:
            told = self._tell.digest((self._common, given))
        except TypeError:  # something that has no digest, so nobody knows what it says
            return draw()
        place = self._place(f"{page}.{template}", told)
        text = _kept(place, told)
        if text is None:
            text = draw()
            _keep(place, told, text)
        return text

    def _place(self, name: str, told: str) -> Path:
        """Where a text is kept; a page may fill the same template several times."""
        seen = self._seen.setdefault(name, [])
        if told not in seen:
            seen.append(told)
        return self._folder / f"{name}.{seen.index(told)}"

    def forget_others(self, pages: set[str]) -> None:
        """Delete what was kept of pages that are no more."""
        if self._folder is not None and self._folder.is_dir():
            for place in self._folder.rglob("*.html.*"):
                page = place.relative_to(self._folder).as_posix().rsplit(".", 2)[0]
                if page not in pages:
                    place.unlink()


class Telling:
    """Compares things by digest: the same digest means the same printed text.

    Records and quantities occur in many things, so each is digested once. A thing with ``rests_on``
    is represented by what that returns.
    """

    def __init__(self):
        self._known: dict[int, tuple] = {}  # with the thing, so that it stays
        self._written = json.JSONEncoder(
            ensure_ascii=False, check_circular=False, separators=(",", ":"), default=self._told
        ).encode

    def digest(self, thing: object) -> str:
        """The digest of a thing and of all that is in it."""
        return hashlib.sha256(self._written(thing).encode("utf-8", "surrogatepass")).hexdigest()

    def _told(self, thing: object) -> object:
        """What represents a thing that is no plain number, text or collection."""
        known = self._known.get(id(thing))
        if known is not None:
            return known[1]
        if isinstance(thing, (Decimal, date)):  # 7.90 is not 7.9
            return f"{type(thing).__name__} {thing}"
        if isinstance(thing, (set, frozenset)):
            return sorted(map(self._written, thing))
        told = [type(thing).__name__, *_inside(thing)]
        if hasattr(type(thing), "rests_on"):  # made for one page
            return told
        if isinstance(thing, BaseModel):  # long, and in many places
            told = self.digest(told)
        self._known[id(thing)] = thing, told
        return told


def _inside(thing: object) -> Iterable:
    """The fields of a thing; raises TypeError if they are unknown."""
    if isinstance(thing, BaseModel):
        return [getattr(thing, name) for name in type(thing).model_fields]
    if hasattr(type(thing), "rests_on"):
        return thing.rests_on
    return [getattr(thing, field.name) for field in fields(thing)]


@cache
def _maker() -> str:
    """The digest of everything that draws, except the templates."""
    made = hashlib.sha256(sys.version.encode())
    for package in ("jinja2", "markupsafe", "pydantic", "coloraide"):
        made.update(importlib.metadata.version(package).encode())
    for path in sorted(GENERATOR.rglob("*.py")):
        made.update(path.read_bytes())
    return made.hexdigest()


def _kept(place: Path, told: str) -> str | None:
    """The text at a place; None if it was drawn from other input, or is damaged."""
    try:
        octets = place.read_bytes()
    except OSError:
        return None
    head, _, text = octets.partition(b"\n")
    return text.decode("utf-8") if head == _head(told, text) else None


def _keep(place: Path, told: str, text: str) -> None:
    octets = text.encode("utf-8")
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_bytes(_head(told, octets) + b"\n" + octets)


def _head(told: str, text: bytes) -> bytes:
    return f"{told} {zlib.crc32(text):08x}".encode()
