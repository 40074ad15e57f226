"""Finds what the knowledge base is compared with: the last edition, or another folder.

What a folder says is cached in build/ under the digest of its files and of the program.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import lzma
from collections.abc import Callable, Mapping
from pathlib import Path

from generator.records.complaints import Lacking, NotDone, Refused
from generator.records.folders import EDITIONS
from generator.records.loading import load
from generator.records.writing import write_whole
from generator.site.page import Site
from generator.upkeep.effects import effects
from generator.upkeep.said import Said, said, site_of

KEPT = "last.said"  # what the last edition said, beside its fields
MOST = 300  # effects that an edition keeps
PROGRAM = Path(__file__).resolve().parent.parent


def packed(what: Said) -> bytes:
    """What is said, as the file KEPT of an edition holds it."""
    return lzma.compress(json.dumps(what, ensure_ascii=False, sort_keys=True).encode())


def kept(root: Path, layer: Path | None = None) -> Said:
    """What the last edition said. Raises NotDone where it kept nothing."""
    for home in (layer, root / "knowledge"):
        path = home / EDITIONS / KEPT if home else None
        if path and path.is_file():
            with contextlib.suppress(OSError, ValueError, EOFError, lzma.LZMAError):
                found = json.loads(lzma.decompress(path.read_bytes()))
                if _is_said(found):
                    return found
            raise NotDone(f"{path} cannot be read; restore it")
    raise NotDone(
        f"the last edition kept nothing to compare with ({KEPT}); "
        "name a folder: effects --against DIR"
    )


def _is_said(found) -> bool:
    """Whether a text that was read back has the shape of what was written."""
    return (
        isinstance(found, dict)
        and "figures" in found
        and all(isinstance(subjects, dict) for subjects in found.values())
        and all(isinstance(of, dict) for subjects in found.values() for of in subjects.values())
        and all(
            isinstance(text, str) and (section != "places" or text.isdecimal())
            for section, subjects in found.items()
            for of in subjects.values()
            for text in of.values()
        )
    )


def effects_since(root: Path, layer: Path | None, site: Site, now: Said) -> list[str]:
    """What followed since the last edition, for the next one; nothing where it kept nothing."""
    try:
        before = kept(root, layer)
    except NotDone:
        return []
    found = [e.text for e in effects(site, before, now) if e.section not in ("figures", "cards")]
    return found[:MOST]


def said_by_folder(
    root: Path, folder: Path, cards: Callable[[Site], Mapping[str, str]] | None = None
) -> Said:
    """What another folder of records says. Raises Refused with its faults."""
    inside = folder / "knowledge"
    home = inside if inside.is_dir() else folder
    cache = root / "build" / "said" / f"{_digest(home, cards is not None)}.json"
    try:
        return json.loads(cache.read_bytes())
    except (OSError, ValueError):
        pass
    knowledge, complaints = load(root, home=home)
    if complaints:
        raise Refused(complaints)
    site = site_of(root, knowledge)
    found = said(site, cards(site) if cards else {})
    with contextlib.suppress(Lacking, OSError):  # the next comparison takes a little longer
        cache.parent.mkdir(parents=True, exist_ok=True)
        for old in sorted(cache.parent.glob("*.json"), key=lambda p: p.stat().st_mtime)[:-7]:
            old.unlink(missing_ok=True)
        write_whole(cache, json.dumps(found, ensure_ascii=False))
    return found


def _digest(home: Path, with_cards: bool) -> str:
    digest = hashlib.sha256(str(with_cards).encode())
    for top, pattern in ((home, "*.yaml"), (PROGRAM, "*.py")):
        for path in sorted(top.rglob(pattern)):
            digest.update(path.relative_to(top).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()[:24]
