"""Notices when one of the given files or folders is saved."""

from __future__ import annotations

import contextlib
import os
import stat
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

PAUSE = 0.2  # seconds between two looks at the files


def snapshot(tops: Iterable[Path]) -> dict[str, int]:
    """Time stamps of everything below; the editors' schemas, which a build writes, are left
    out."""
    found = {}
    for top in tops:
        for path in [str(top)] if top.is_file() else _below(top):
            with contextlib.suppress(OSError):  # gone since it was listed
                status = os.stat(path)
                if stat.S_ISREG(status.st_mode):
                    found[path] = status.st_mtime_ns
    return found


def _below(top: Path) -> Iterator[str]:
    for folder, inside, names in os.walk(top):
        inside[:] = [name for name in inside if name != ".schema"]
        yield from (os.path.join(folder, name) for name in names)


class Watch:
    """Watches files and folders without end."""

    def __init__(self, tops: list[Path]):
        self._tops, self._seen, self._looked = tops, dict[str, int](), 0.0

    def changes(self) -> Iterator[None]:
        """Yields at once, and again after each change."""
        self._seen = snapshot(self._tops)
        yield
        while True:
            now = snapshot(self._tops)
            if now != self._seen:
                self._seen = now
                yield
            else:
                time.sleep(PAUSE)

    def changed_again(self) -> bool:
        """Whether anything has changed since the last yield; may be asked any number of times."""
        if time.monotonic() - self._looked < PAUSE:
            return False
        changed = snapshot(self._tops) != self._seen
        self._looked = time.monotonic()
        return changed
