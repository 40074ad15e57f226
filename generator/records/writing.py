"""Writes one file of the knowledge base completely or not at all.

The new text is written beside the old file, flushed, read back and checked, and then replaces it in
one step. A full disk, a read-only folder or a kill leaves the old file.
"""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path

from generator.records.complaints import Lacking


def write_whole(
    path: Path,
    text: str | bytes,
    check: Callable[[Path], object] | None = None,
    fresh: bool = False,
) -> None:
    """Write ``path``; ``check`` gets the finished copy and raises when it is not right.

    ``fresh``: the file must not be there yet. Raises Lacking when the machine cannot write it.
    """
    octets = text.encode("utf-8") if isinstance(text, str) else text
    beside = path.with_name(f".{path.stem}.new{path.suffix}")  # a leading point: never a record
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.unlink(missing_ok=True)  # left by a kill
        with beside.open("xb") as out:
            out.write(octets)
            out.flush()
            os.fsync(out.fileno())
        if beside.read_bytes() != octets:
            raise OSError(0, "what was written reads back differently")
        if check:
            check(beside)
        if fresh and path.exists():
            raise FileExistsError(0, "a file of that name is there already")
        if path.exists():
            shutil.copymode(path, beside)
        os.replace(beside, path)
    except OSError as error:
        old = "nothing was written" if fresh else "the old file is untouched"
        raise Lacking(f"{path} cannot be written ({error.strerror}); {old}") from None
    finally:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)


def write_all(
    files: Sequence[tuple[Path, str | bytes, Callable[[Path], object] | None]],
) -> None:
    """Write several files; when one cannot be written, those before it are put back."""
    before = {path: path.read_bytes() if path.exists() else None for path, _, _ in files}
    done: list[Path] = []
    try:
        for path, text, check in files:
            write_whole(path, text, check)
            done.append(path)
    except Exception:
        for path in done:
            old = before[path]
            write_whole(path, old) if old is not None else path.unlink()
        raise
