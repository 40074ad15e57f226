"""Exchanges two folders in one step where the system can, and lets only one build run at a time.

A kill can come at any moment, even between two instructions. With the exchange a complete site is
always in place.
"""

from __future__ import annotations

import contextlib
import ctypes
import os
import sys
from collections.abc import Iterator
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None

_HERE = -100  # AT_FDCWD: paths are taken as they are
_EXCHANGE = 2  # RENAME_EXCHANGE on Linux, RENAME_SWAP on macOS


def exchange(first: Path, second: Path) -> bool:
    """Swap two existing folders in one step.

    False, with nothing changed, where system or file system cannot.
    """
    try:
        system = ctypes.CDLL(None)
        ends = os.fsencode(first), os.fsencode(second)
        if sys.platform == "darwin":
            return system.renamex_np(*ends, _EXCHANGE) == 0
        return system.renameat2(_HERE, ends[0], _HERE, ends[1], _EXCHANGE) == 0
    except (
        AttributeError,
        OSError,
        TypeError,
    ):  # the C library does not have it, or there is none (Windows)
        return False


@contextlib.contextmanager
def alone(root: Path) -> Iterator[int | None]:
    """Wait until no other build of this project runs, then keep others out.

    Yields the lock, to be handed to child processes: a child holds it too, so that the next build
    also waits for the MkDocs of a build that was killed.
    """
    if fcntl is None:
        yield None
        return
    (root / "build").mkdir(exist_ok=True)
    lock = os.open(root / "build" / "lock", os.O_RDWR | os.O_CREAT, 0o644)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield lock
    finally:
        os.close(lock)
