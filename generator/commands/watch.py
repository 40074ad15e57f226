"""Receives files and folders; hands on a sign whenever one of them was saved."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator
from pathlib import Path

PAUSE = 0.3  # seconds between two looks at the files


def snapshot(tops: Iterable[Path]) -> dict[str, int]:
    """Time stamps of everything below; the editors' schemas, which a build writes, are left
    out."""
    found = {}
    for top in tops:
        for path in [top] if top.is_file() else top.rglob("*"):
            if ".schema" not in path.parts and path.is_file():
                found[str(path)] = path.stat().st_mtime_ns
    return found


def changes(tops: list[Path]) -> Iterator[None]:
    """Gives a sign at once, and again after each change, without end."""
    seen = None
    while True:
        now = snapshot(tops)
        if now != seen:
            seen = now
            yield
        time.sleep(PAUSE)
