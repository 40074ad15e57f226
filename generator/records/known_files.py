"""Remembers files that were read without a fault, by the digest of their bytes: the next command
need not parse them again, and a process that goes on need not type them again.
"""

from __future__ import annotations

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
from generator.records.store import Store


class KnownFiles:
    """The data of files that were read before."""

    def __init__(self, path: Path):
        self._store = Store(path, _reader())

    def find(self, name: str, path: str) -> tuple[str, RawFile | None]:
        """The digest of a file (empty where it is no plain file), and the file if it is known."""
        digest = _digest_of(path)
        found = self._store.find(digest)
        return digest, RawFile(name, None, path, digest=digest, known=found) if found else None

    def learn(self, digest: str, file: RawFile) -> None:
        """Remember a file that was read."""
        if digest:
            file.digest = digest
            data = json.dumps(file.data, ensure_ascii=False, separators=(",", ":"))
            self._store.learn(digest, data)

    def keep(self) -> None:
        """Write down what is new."""
        self._store.keep()


@cache
def _reader() -> str:
    """The digest of everything that affects how a file is read."""
    code = b"".join(Path(module.__file__).read_bytes() for module in (reading, signs))
    return hashlib.sha256(f"{sys.version} {yaml.__version__} ".encode() + code).hexdigest()


def _digest_of(path: Path | str) -> str:
    try:
        status = os.stat(path, follow_symlinks=False)
        if stat.S_ISREG(status.st_mode) and status.st_size <= LARGEST_FILE:
            with open(path, "rb", buffering=0) as file:
                return hashlib.sha256(file.read(status.st_size + 1)).hexdigest()
    except OSError:
        pass
    return ""
