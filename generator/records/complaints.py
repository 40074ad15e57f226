"""Prints what is wrong with the knowledge base, one line per fault: place, fault, cure."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

MOST = 400  # letters of a fault or cure
NBSP = "\u00a0"


@dataclass(frozen=True, order=True)
class Place:
    """Where something stands: file relative to the project, line and column counted from 1 (0 =
    whole file)."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file


@dataclass(frozen=True, order=True)
class Complaint:
    """One fault at one place.

    ``rule`` names the rule that found it, for tests and for the contributors' guide.
    """

    place: Place
    fault: str
    cure: str = ""
    rule: str = "shape"

    def __str__(self) -> str:
        cure = f"; {_cut(self.cure, MOST)}" if self.cure else ""
        return f"{_visible(str(self.place))}: {_cut(self.fault, MOST)}{cure}"


def _cut(text: str, most: int) -> str:
    """A long quotation is cut in its middle: a fault may quote what somebody typed."""
    half = most // 2
    return _visible(text if len(text) <= most else f"{text[:half]} ... {text[-half:]}")


def _visible(text: str) -> str:
    """In one line, with a sign that a terminal would obey written as its number."""
    return "".join(
        c if c.isprintable() or c == NBSP else " " if c in "\n\r\t" else f"<U+{ord(c):04X}>"
        for c in text
    )


class NotDone(Exception):
    """Why a verb did nothing, as `fault; cure`: the command line was wrong."""


class Lacking(Exception):
    """What the machine lacks (disk, network, port, rights), as `fault; cure`."""


class Refused(Exception):
    """Raised when the input cannot be used; carries every complaint, sorted by place."""

    def __init__(self, complaints: Iterable[Complaint]):
        self.complaints = sorted(set(complaints))
        super().__init__(f"{len(self.complaints)} complaint(s)")


def did_you_mean(word: str, known: Iterable[str], else_say: str = "") -> str:
    """The cure for an unknown word: the nearest known one, else ``else_say``, else the whole list
    if it is short."""
    known = sorted(known)
    same = [k for k in known if k.casefold() == word.casefold()]
    if same:
        return f"did you mean {same[0]}?"
    near = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
    if near:
        return f"did you mean {near[0]}?"
    if else_say:
        return else_say
    return f"known: {', '.join(known)}" if 0 < len(known) <= 12 else ""
