"""Makes the JSON Schemas that help editors while a record is typed, from the models and the
vocabularies.
"""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Iterable
from pathlib import Path

import pydantic
from pydantic import TypeAdapter

from generator.records import models
from generator.records.folders import LISTS, RECORD_FOLDERS
from generator.records.knowledge import UNPUBLISHED, Knowledge
from generator.records.store import Store

FOLDER = "knowledge/.schema"
KINDS = dict(RECORD_FOLDERS.values())


def build(knowledge: Knowledge) -> dict[str, str]:
    """File name -> text of each schema."""
    files = {f"{kind}.json": model.model_json_schema() for kind, model in KINDS.items()}
    for name, model in LISTS.items():
        files[f"list-{name.rpartition('/')[2]}.json"] = TypeAdapter(dict[str, model]).json_schema()
    files["list-sources.json"] = TypeAdapter(dict[str, models.Source]).json_schema()
    known = _known_ids(knowledge)
    return {
        name: json.dumps(_for_editors(schema, known), ensure_ascii=False, indent=1, sort_keys=True)
        + "\n"
        for name, schema in files.items()
    }


def _known_ids(knowledge: Knowledge) -> dict[str, list[str]]:
    """For each target of a reference, the ids an editor should offer.

    Records change too often to be listed here.
    """
    known = {name.rpartition("/")[2]: sorted(entries) for name, entries in knowledge.lists.items()}
    known["caution"] = known.pop("cautions")
    known["source"] = sorted([*knowledge.sources, *UNPUBLISHED])
    return known


def _for_editors(schema, known):
    """Drops `null` alternatives (an author leaves a line out) and fills the choices of
    vocabularies."""
    if isinstance(schema, list):
        return [_for_editors(item, known) for item in schema]
    if not isinstance(schema, dict):
        return schema
    alternatives = [s for s in schema.get("anyOf", ()) if s != {"type": "null"}]
    if len(alternatives) == 1:
        schema = {
            **{k: v for k, v in schema.items() if k not in ("anyOf", "default")},
            **alternatives[0],
        }
    target = schema.get("x-refers")
    if target:
        schema = {
            k: v
            for k, v in schema.items()
            if k not in ("x-refers", "pattern", "maxLength", "minLength")
        }
        if target in known:
            schema["enum"] = known[target]
    return {
        key: _for_editors(value, known)
        for key, value in schema.items()
        if key != "title" or not isinstance(value, str)
    }


def write(root: Path, knowledge: Knowledge) -> None:
    """Bring the schemas in knowledge/.schema up to date; files that did not change are left
    alone. None is made where they stand as they were left, and rest on the same."""
    folder = root / FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    left = Store(root / "build" / "schemas.txt", _rests_on(knowledge))
    if left.find(FOLDER) == _digest(folder.glob("*.json")):
        return
    for name, text in build(knowledge).items():
        path = folder / name
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8", newline="\n")
    left.learn(FOLDER, _digest(folder.glob("*.json")))
    left.keep()


def _rests_on(knowledge: Knowledge) -> str:
    """The digest of what the schemas are made of: the models, and the ids that are offered."""
    made = _digest(Path(__file__).parent.glob("*.py"))
    ids = json.dumps(_known_ids(knowledge))
    return hashlib.sha256(f"{sys.version} {pydantic.VERSION} {made} {ids}".encode()).hexdigest()


def _digest(files: Iterable[Path]) -> str:
    told = hashlib.sha256()
    for path in sorted(files):
        told.update(f"{path.name} {hashlib.sha256(path.read_bytes()).hexdigest()} ".encode())
    return told.hexdigest()
