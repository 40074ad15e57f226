"""Remembers records that passed the single-record rules, so that the next check skips them.

The result of such a rule depends on the record's bytes and on its surroundings: the program, the
lists, the sources, the formulas, and the ids and states that exist. If any of these change, or a
layer is read, everything is checked again. Rules that compare records always run.
"""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pydantic

from generator.records.knowledge import KINDS, Knowledge
from generator.records.store import Store
from generator.upkeep import new_record

PROGRAM = Path(__file__).resolve().parent.parent
ASKED = ("records", "numbers", "tables", "verdicts", "checks")  # the rooms that rules ask
GROUND = ("list", "source", "formula")
Key = tuple[str, str]  # kind and id


class Sure:
    """Records that passed before; none for a file without a digest, or if a layer is read."""

    def __init__(self, root: Path, knowledge: Knowledge):
        self._knowledge = knowledge
        whole = not knowledge.layered and all(file.digest for file in knowledge.raw.values())
        path = root / "build" / "sure.txt"
        self._store = Store(path, _ground(knowledge)) if whole else None

    def find(self) -> dict[Key, frozenset[str]]:
        """The sources that each record cites in which nothing was found."""
        if self._store is None:
            return {}
        found = {key: self._store.find(self._name(key)) for key in self._knowledge.raw}
        return {key: frozenset(cites.split()) for key, cites in found.items() if cites is not None}

    def learn(self, asked: Knowledge) -> None:
        """Remember that nothing was found in what was asked."""
        if self._store is None:
            return
        cited: dict[Key, set[str]] = {key: set() for key in asked.raw if key not in asked.sure}
        for kind, key, references in asked.references_unsure():
            cited[kind, key].update(r.id for r in references if r.target == "source")
        for key, cites in cited.items():
            self._store.learn(self._name(key), " ".join(sorted(cites)))
        self._store.keep()

    def _name(self, key: Key) -> str:
        return f"{'/'.join(key)}:{self._knowledge.raw[key].digest}"


def _ground(knowledge: Knowledge) -> str:
    """The digest of everything besides the record that single-record rules look at."""
    digest = hashlib.sha256(_program().encode())
    for word in _words_of_ground(knowledge):
        digest.update(word.encode() + b"\0")
    return digest.hexdigest()


def _words_of_ground(knowledge: Knowledge) -> Iterator[str]:
    for (kind, key), file in knowledge.raw.items():
        yield f"{kind}/{key}"
        if kind in GROUND:
            yield file.digest
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            yield key
            yield from getattr(record, "states", ())
            yield from (f"/{setting}" for setting in getattr(record, "settings", ()))
    yield from knowledge.folders.values()


@cache
def _program() -> str:
    """The digest of the program as far as it affects the rules."""
    digest = hashlib.sha256(f"{sys.version} {pydantic.VERSION}".encode())
    paths = [path for room in ASKED for path in sorted((PROGRAM / room).glob("*.py"))]
    for path in (*paths, Path(new_record.__file__)):
        digest.update(path.read_bytes() + b"\0")
    return digest.hexdigest()
