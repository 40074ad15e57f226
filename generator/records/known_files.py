"""Remembers files that were read without a fault, by the digest of their bytes: the next command
does not parse an unchanged file again, and a process that goes on does not type it again."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import stat
import sys
from functools import cache
from pathlib import Path

import yaml

from generator.records import reading, signs
from generator.records.reading import LARGEST_FILE, RawFile


class KnownFiles:
    """What ``store`` keeps: a line for each file, digest and data.

    Its first line says which reader read them; those of another are forgotten.
    """

    def __init__(self, store: Path):
        self._store = store
        self._kept = _lines_of(store)
        self._used: dict[str, str] = {}

    def find(self, name: str, path: Path) -> tuple[str, RawFile | None]:
        """The digest of a file (empty where it is no plain file), and the file if it is known."""
        digest = _digest_of(path)
        with contextlib.suppress(KeyError, ValueError):  # not known, or the line was cut off
            data = json.loads(self._kept[digest])
            self._used[digest] = self._kept[digest]
            return digest, RawFile(name, data, path, digest=digest)
        return digest, None

    def learn(self, digest: str, file: RawFile) -> None:
        """Remember a file that was read."""
        if digest:
            file.digest = digest
            self._used[digest] = json.dumps(file.data, ensure_ascii=False, separators=(",", ":"))

    def keep(self) -> None:
        """Write down what was used, if there is anything new."""
        if self._used == self._kept:
            return
        lines = [_reader(), *(f"{digest} {data}" for digest, data in self._used.items())]
        with contextlib.suppress(OSError, ValueError):  # it only saves time
            self._store.parent.mkdir(exist_ok=True)
            half = self._store.with_suffix(f".{os.getpid()}")
            half.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
            half.replace(self._store)


def _lines_of(store: Path) -> dict[str, str]:
    try:
        reader, *lines = store.read_text(encoding="utf-8").split("\n")
    except (OSError, ValueError):
        return {}
    if reader != _reader():
        return {}
    return dict(line.split(" ", 1) for line in lines if " " in line)


@cache
def _reader() -> str:
    """The digest of everything that decides how a file is read."""
    code = b"".join(Path(module.__file__).read_bytes() for module in (reading, signs))
    return hashlib.sha256(f"{sys.version} {yaml.__version__} ".encode() + code).hexdigest()


def _digest_of(path: Path) -> str:
    try:
        status = os.stat(path, follow_symlinks=False)
        if stat.S_ISREG(status.st_mode) and status.st_size <= LARGEST_FILE:
            with open(path, "rb") as file:
                return hashlib.sha256(file.read()).hexdigest()
    except OSError:
        pass
    return ""
