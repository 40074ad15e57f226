"""Which cautions stand by name on the one line at the top of a page, and which one tap away."""

from __future__ import annotations

from collections.abc import Sequence

from generator.records import models

Entry = tuple[str, models.Caution]

# What the line of a phone of 390 px holds beside the sign and the way to the others.
LETTERS, BETWEEN = 22, 3


def named_first(entries: Sequence[Entry]) -> tuple[list[Entry], list[Entry]]:
    """Every grave caution, then others in their order while the line has room; and the rest."""
    named: list[Entry] = []
    room = LETTERS
    for entry in sorted(entries, key=lambda entry: not entry[1].grave):
        room -= len(entry[1].short or entry[1].name) + BETWEEN
        if not entry[1].grave and room < 0:
            break
        named.append(entry)
    named = named or list(entries[:1])
    keys = {key for key, _ in named}
    return named, [entry for entry in entries if entry[0] not in keys]
