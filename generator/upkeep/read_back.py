"""Back-translation: a second reader turns translations back without seeing the original, and the
two are compared.

Hands out the sheet for that reader, shows the answers beside the original, and records which were
found to mean the same. A sheet is a text file with a line per sentence, its mark first.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

import yaml

from generator.records.complaints import NotDone
from generator.records.knowledge import Knowledge
from generator.records.languages import (
    COMPARED,
    TURNED_BACK,
    numbers_in,
    offered,
    read_back,
    translated,
)
from generator.records.writing import write_whole

FILE = Path("vocabulary") / "read_back.yaml"
HEAD = (
    "# Which translations a second reader turned back without the original at hand, and where a"
    " comparison then found\n# the same meaning; `compared` are those that a reader only held"
    " against the original. Written by\n# `python3 -m generator read-back`; a changed sentence or"
    " translation has another mark, and counts as not read.\n"
)


def _unread(knowledge: Knowledge, tag: str) -> dict[str, tuple[str, str]]:
    """Mark -> sentence and translation of what nobody has read back."""
    if tag not in offered(knowledge):
        raise NotDone(
            f"{tag} is not a language of the bench; there are {', '.join(offered(knowledge))}"
        )
    known = read_back(knowledge, tag)
    return {
        found: (sentence, translation)
        for found, sentence, translation in translated(knowledge, tag)
        if found not in known
    }


def sheet(knowledge: Knowledge, tag: str) -> list[str]:
    """What is to be turned back, without the original."""
    return [f"{found} {told_in}" for found, (_, told_in) in _unread(knowledge, tag).items()]


def _lines(file: Path) -> dict[str, str]:
    pairs = (line.split(" ", 1) for line in file.read_text(encoding="utf-8").splitlines())
    return {pair[0]: pair[1].strip() for pair in pairs if len(pair) == 2}


def beside(knowledge: Knowledge, tag: str, file: Path) -> list[str]:
    """Each original with what came back; a pair with other numbers is pointed out."""
    unread, shown = _unread(knowledge, tag), []
    for found, back in _lines(file).items():
        if found in unread:
            sentence = unread[found][0]
            other = "" if numbers_in(sentence) == numbers_in(back) else "  (other numbers)"
            shown += [f"{found} {sentence}", f"       {back}{other}"]
    return shown


def record(folder: Path, knowledge: Knowledge, tag: str, file: Path, on: date, by: str) -> int:
    """Write that the sentences of ``file`` were compared; gives back how many are new.

    Marks of sentences that stand no more are dropped.
    """
    unread = _unread(knowledge, tag)
    new = [found for found in _lines(file) if found in unread]
    path = folder / FILE
    kept: dict[str, dict] = {}
    if path.exists():
        kept = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader) or {}
    entry = kept.setdefault(f"{tag}-{on}", {"language": tag, "on": on, "by": by, "marks": []})
    entry["marks"] = [*entry["marks"], *new]
    standing = {t: {m for m, *_ in translated(knowledge, t)} for t in offered(knowledge)}
    turned = {t: standing[t] & read_back(knowledge, t).keys() for t in standing}
    turned[tag] |= set(new)
    for e in kept.values():
        done = turned[e["language"]] if e.get("how") == COMPARED else ()
        still = [m for row in e["marks"] for m in row.split()]
        e["marks"] = [m for m in still if m in standing[e["language"]] and m not in done]
    write_whole(path, HEAD + "".join(_entry(key, e) for key, e in kept.items()))
    return len(new)


def _entry(key: str, entry: Mapping) -> str:
    rows = [" ".join(entry["marks"][i : i + 20]) for i in range(0, len(entry["marks"]), 20)]
    about = f"  language: {entry['language']}\n  on: {entry['on']}\n  by: {entry['by']}\n"
    about += f"  how: {entry.get('how', TURNED_BACK)}\n"
    return (
        f"{key}:\n{about}  marks:\n" + "".join(f'    - "{row}"\n' for row in rows) if rows else ""
    )
