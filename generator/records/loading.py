"""Receives the folders; hands on one Knowledge, and complaints of form and shape.

A file of the wrong shape is complained about and left out, so that the rules only ever see records
of the right shape.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from pathlib import Path

from pydantic import BaseModel, TypeAdapter, ValidationError

from generator.records import models
from generator.records.complaints import Complaint, Place, Refused, did_you_mean
from generator.records.folders import EDITIONS, KEY_PATTERNS, LISTS, RECORD_FOLDERS, SOURCES
from generator.records.knowledge import COLLECTIONS, KINDS, Knowledge
from generator.records.known_files import KnownFiles
from generator.records.layers import merged
from generator.records.reading import RawFile, list_files, read_file, shown_path
from generator.records.shape_faults import shape_complaints


def load(
    root: Path, layers: Sequence[Path] = (), home: Path | None = None
) -> tuple[Knowledge, list[Complaint]]:
    """Read and type ``root``/knowledge, or the folder ``home`` in its place, and the workshop's own
    layers on top of it.

    Complaints are of form and shape only.
    """
    known = KnownFiles(root / "build" / ("read-other.txt" if home else "read.txt"))
    files, owned, complaints = _gather(root, [home or root / "knowledge", *layers], known)
    known.keep()
    raw: dict[tuple[str, str], RawFile] = {}
    lists: dict[str, dict[str, BaseModel]] = {name: {} for name in LISTS}
    records: dict[str, dict[str, models.Record]] = {kind: {} for kind in KINDS}
    sources: dict[str, models.Source] = {}
    folders: dict[str, str] = {}
    layered: dict[tuple[str, str], frozenset[tuple]] = {}
    editions: dict[str, models.Edition] = {}
    for where, file in files.items():
        home, _, stem = where.rpartition("/")
        if where in LISTS:
            typed, faults = _typed_list(
                LISTS[where], file, KEY_PATTERNS.get(where, models.ID_PATTERN)
            )
            lists[where] = typed
            raw["list", where] = file
            found = [("list", where)]
        elif home == SOURCES:
            typed, faults = _typed_list(models.Source, file, models.ID_PATTERN)
            found = [("source", key) for key in typed]
            for key, source in typed.items():
                if key in sources and where not in owned:
                    fault = f"{key} is also in {raw['source', key].file}"
                    faults.append(
                        Complaint(file.place((key,), key=True), fault, "keep one of them")
                    )
                else:
                    sources[key], raw["source", key] = source, file
        elif home == EDITIONS:
            typed, faults = _typed_edition(file, stem)
            found = []
            if typed is not None:
                editions[stem] = typed
        elif home in RECORD_FOLDERS:
            kind, model = RECORD_FOLDERS[home]
            typed, faults = _typed_record(model, file, stem)
            found = [(kind, stem)]
            if typed is not None and stem in records[kind]:
                fault = f"the id {stem} is also in {raw[kind, stem].file}"
                faults.append(Complaint(Place(file.file), fault, "rename one of the files"))
            elif typed is not None:
                records[kind][stem], raw[kind, stem] = typed, file
                folders[stem] = home
        else:
            cure = did_you_mean(where, LISTS, f"records live in {', '.join(RECORD_FOLDERS)}")
            faults, found = [Complaint(Place(file.file), "is in no folder that is read", cure)], []
        file.data = None  # typed now, or complained of
        if where in owned:
            layered.update(dict.fromkeys(found, owned[where]))
        complaints += faults
    _forget_others(files.values())
    for name in LISTS:
        if ("list", name) not in raw and not any(
            c.place.file.endswith(f"{name}.yaml") for c in complaints
        ):
            complaints.append(
                Complaint(Place(f"knowledge/{name}.yaml"), "is missing", "restore it")
            )
    knowledge = Knowledge(
        lists=lists,
        **{COLLECTIONS[kind]: _by_id(records[kind]) for kind in KINDS},
        sources=_by_id(sources),
        folders=folders,
        raw=raw,
        layered=layered,
        editions=editions,
    )
    return knowledge, complaints


def _gather(
    root: Path, folders: Sequence[Path], known: KnownFiles
) -> tuple[dict[str, RawFile], dict[str, frozenset[tuple]], list[Complaint]]:
    """Every file by its place below its folder, later folders merged onto the first; and the ways
    to what the later ones gave."""
    files: dict[str, RawFile] = {}
    owned: dict[str, frozenset[tuple]] = {}
    complaints: list[Complaint] = []
    for folder in folders:
        if folder.is_symlink():
            cure = "put the folder itself here"
            raise Refused([Complaint(Place(shown_path(root, folder)), "is a link", cure)])
        paths, odd = list_files(root, folder)
        complaints += odd
        for path in paths:
            where = path.relative_to(folder).with_suffix("").as_posix()
            digest, file = known.find(shown_path(root, path), path)
            if file is None:
                try:
                    file = read_file(root, path)
                except Refused as refused:
                    complaints += refused.complaints
                    continue
                known.learn(digest, file)
            if where in files:
                base = files[where]
                files[where], ways, odd = merged(
                    base,
                    file,
                    is_list=where.rpartition("/")[0] not in RECORD_FOLDERS,
                    where=where,
                )
                if base.digest and file.digest:
                    files[where].digest = f"{base.digest} {file.digest}"
                complaints += odd
                owned[where] = owned.get(where, frozenset()) | ways
            else:
                files[where] = file
                if folder != folders[0]:
                    owned[where] = frozenset([()])
    return files, owned, complaints


def _by_id(records: dict) -> dict:
    return {key: records[key] for key in sorted(records)}


def _typed_record(model, file: RawFile, stem: str) -> tuple[models.Record | None, list[Complaint]]:
    faults = []
    if not _matches(models.ID_PATTERN, stem):
        cure = "use small letters a to z, digits and hyphens"
        faults.append(Complaint(Place(file.file), f"the file name {stem!r} cannot be an id", cure))
    try:
        return _once(model, file, lambda: model.model_validate(file.data)), faults
    except ValidationError as error:
        elsewhere = _other_kind(model, file.data)
        if elsewhere:
            kind, homes = elsewhere
            fault = f"is a {kind} and stands in {Path(file.file).parent.name}/"
            return None, [*faults, Complaint(Place(file.file), fault, f"move it to {homes}")]
        return None, faults + list(shape_complaints(model, file, error))


def _other_kind(model, data) -> tuple[str, str] | None:
    """The kind that a record of the wrong shape has the shape of, and where such records live."""
    for kind, other in dict(RECORD_FOLDERS.values()).items():
        if other is not model and _has_shape(other, data):
            homes = [f"{home}/" for home, (its, _) in RECORD_FOLDERS.items() if its == kind]
            return kind, " or ".join(homes)
    return None


def _has_shape(model, data) -> bool:
    try:
        model.model_validate(data)
    except ValidationError:
        return False
    return True


def _typed_edition(file: RawFile, stem: str) -> tuple[models.Edition | None, list[Complaint]]:
    if not _matches(r"\d{4}-\d{2}-\d{2}", stem):
        return None, [
            Complaint(
                Place(file.file),
                f"the file name {stem!r} is not a date",
                "an edition is named as 2026-01-31",
            )
        ]
    try:
        return models.Edition.model_validate(file.data), []
    except ValidationError as error:
        return None, list(shape_complaints(models.Edition, file, error))


def _typed_list(model, file: RawFile, key_pattern: str) -> tuple[dict, list[Complaint]]:
    typed, faults = {}, []
    for key in file.data:
        if not _matches(key_pattern, key):
            faults.append(
                Complaint(
                    file.place((key,), key=True),
                    f"{key!r} cannot be an id",
                    "use small letters, digits, hyphens",
                )
            )
    adapter = _list_adapter(model)
    try:
        typed = _once(model, file, lambda: adapter.validate_python(file.data))
    except ValidationError as error:
        faults += shape_complaints(dict[str, model], file, error)
    return typed, faults


_TYPED: dict[tuple[type, str], object] = {}  # by model and digest, of the files read last


def _once(model: type, file: RawFile, make: Callable[[], object]):
    """What a file holds, typed; the very same as before where its bytes are."""
    if not file.digest:
        return make()
    if (model, file.digest) not in _TYPED:
        _TYPED[model, file.digest] = make()
    return _TYPED[model, file.digest]


def _forget_others(files: Iterable[RawFile]) -> None:
    digests = {file.digest for file in files}
    for key in [key for key in _TYPED if key[1] not in digests]:
        del _TYPED[key]


@cache
def _list_adapter(model) -> TypeAdapter:
    return TypeAdapter(dict[str, model])


@cache
def _compiled(pattern: str):
    return re.compile(pattern)


def _matches(pattern: str, text: str) -> bool:
    return _compiled(pattern).fullmatch(text) is not None
