"""Which cautions are named in the one line at the top of a page, and which are one tap away."""

from __future__ import annotations

from collections.abc import Sequence

from generator.records import models

Entry = tuple[str, models.Caution]

# What the line holds beside the sign and the way to all of them: on a phone of 390 px, and on a
# tablet (styles/base.css: 520 px).
LETTERS, WIDE, BETWEEN = 22, 36, 3


def named_first(entries: Sequence[Entry]) -> tuple[list[Entry], list[Entry]]:
    """Every grave caution, then others in their order while a phone's line has room; and those for
    which only a wider line has it."""
    first = sorted(entries, key=lambda entry: not entry[1].grave)
    named = _fitting(first, LETTERS) or first[:1]
    return named, _fitting(first, WIDE)[len(named) :]


def _fitting(entries: Sequence[Entry], room: int) -> list[Entry]:
    found: list[Entry] = []
    for entry in entries:
        room -= len(entry[1].short or entry[1].name) + BETWEEN
        if not entry[1].grave and room < 0:
            break
        found.append(entry)
    return found
