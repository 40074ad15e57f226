"""Keeps results of one run for the next: a text per key, in one file of lines.

Entries that a run does not ask for are dropped. A store only saves time: a missing, damaged or
foreign file counts as empty.
"""

from __future__ import annotations

import contextlib
import zlib
from pathlib import Path


class Store:
    """The lines of one file; the first says which program wrote them, and those of another are
    dropped.
    """

    def __init__(self, path: Path, maker: str):
        self._path, self._maker = path, maker
        self._kept = _lines_of(path, maker)
        self._used: dict[str, str] = {}

    def find(self, key: str) -> str | None:
        """The text of a key, or None."""
        found = self._kept.get(key)
        mark, _, text = (found or "").partition(" ")
        if found is None or mark != _mark(text):
            return None
        self._used[key] = found
        return text

    def learn(self, key: str, text: str) -> None:
        """Remember a text without line breaks."""
        self._used[key] = f"{_mark(text)} {text}"

    def keep(self) -> None:
        """Write down what was used, if there is anything new."""
        if self._used == self._kept:
            return
        lines = [self._maker, *(f"{key} {text}" for key, text in self._used.items())]
        half = self._path.with_suffix(".half")
        try:
            self._path.parent.mkdir(exist_ok=True)
            with half.open("x", encoding="utf-8", newline="\n") as file:
                file.write("\n".join(lines) + "\n")
            half.replace(self._path)  # whole or not at all
        except (OSError, ValueError):  # another writes now, or was killed while it did
            with contextlib.suppress(OSError):
                half.unlink()


def _mark(text: str) -> str:
    """What tells that a text is the one that was written."""
    return f"{zlib.crc32(text.encode()):08x}"


def _lines_of(path: Path, maker: str) -> dict[str, str]:
    try:
        found, *lines = path.read_text(encoding="utf-8").split("\n")
    except (OSError, ValueError):
        return {}
    if found != maker:
        return {}
    whole = lines[:-1]  # what stands behind the last line break was cut off
    return dict(line.split(" ", 1) for line in whole if " " in line)
