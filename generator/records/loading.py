"""Loads the folders into one Knowledge, and collects faults of form and shape.

A file of the wrong shape is reported and left out, so the rules only see well-formed records.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from pydantic import BaseModel, TypeAdapter, ValidationError

from generator.records import models
from generator.records.complaints import Complaint, Place, Refused, did_you_mean
from generator.records.folders import EDITIONS, KEY_PATTERNS, LISTS, RECORD_FOLDERS, SOURCES
from generator.records.knowledge import COLLECTIONS, KINDS, Knowledge
from generator.records.known_files import KnownFiles
from generator.records.layers import merged
from generator.records.reading import SUFFIX, RawFile, list_files, read_file, shown_path
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
    typed, layered = _Typed(), {}
    for where, file in files.items():
        found, faults = typed.take(where, file, where in owned)
        file.data, file.known = None, ""  # typed now, or complained of
        if where in owned:
            layered.update(dict.fromkeys(found, owned[where]))
        complaints += faults
    _forget_others(files.values())
    complaints += _missing_lists(typed.raw, complaints)
    return typed.knowledge(layered), complaints


def _missing_lists(raw: dict, complaints: list[Complaint]) -> list[Complaint]:
    """Lists that no file held, other than those that were complained of already."""
    missing = [name for name in LISTS if ("list", name) not in raw]
    return [
        Complaint(Place(f"knowledge/{name}.yaml"), "is missing", "restore it")
        for name in missing
        if not any(c.place.file.endswith(f"{name}.yaml") for c in complaints)
    ]


Found = tuple[list[tuple[str, str]], list[Complaint]]  # (kind, id) of what a file held, and faults


@dataclass
class _Typed:
    """What was typed so far, each file by the folder it stands in."""

    lists: dict[str, dict[str, BaseModel]] = field(default_factory=lambda: {n: {} for n in LISTS})
    records: dict[str, dict[str, models.Record]] = field(
        default_factory=lambda: {kind: {} for kind in KINDS}
    )
    sources: dict[str, models.Source] = field(default_factory=dict)
    editions: dict[str, models.Edition] = field(default_factory=dict)
    folders: dict[str, str] = field(default_factory=dict)
    raw: dict[tuple[str, str], RawFile] = field(default_factory=dict)

    def take(self, where: str, file: RawFile, is_owned: bool) -> Found:
        """Type a file by its place below its folder; ``is_owned``: a layer gave some of it."""
        home, _, stem = where.rpartition("/")
        if where in LISTS:
            return self._list(where, file)
        if home == SOURCES:
            return self._sources(file, is_owned)
        if home == EDITIONS:
            return self._edition(stem, file)
        if home in RECORD_FOLDERS:
            return self._record(home, stem, file)
        cure = did_you_mean(where, LISTS, f"records live in {', '.join(RECORD_FOLDERS)}")
        return [], [Complaint(Place(file.file), "is in no folder that is read", cure)]

    def _list(self, name: str, file: RawFile) -> Found:
        pattern = KEY_PATTERNS.get(name, models.ID_PATTERN)
        self.lists[name], faults = _typed_list(LISTS[name], file, pattern)
        self.raw["list", name] = file
        return [("list", name)], faults

    def _sources(self, file: RawFile, is_owned: bool) -> Found:
        typed, faults = _typed_list(models.Source, file, models.ID_PATTERN)
        for key, source in typed.items():
            if key in self.sources and not is_owned:
                fault = f"{key} is also in {self.raw['source', key].file}"
                faults.append(Complaint(file.place((key,), key=True), fault, "keep one of them"))
            else:
                self.sources[key], self.raw["source", key] = source, file
        return [("source", key) for key in typed], faults

    def _edition(self, day: str, file: RawFile) -> Found:
        typed, faults = _typed_edition(file, day)
        if typed is not None:
            self.editions[day] = typed
        return [], faults

    def _record(self, home: str, key: str, file: RawFile) -> Found:
        kind, model = RECORD_FOLDERS[home]
        typed, faults = _typed_record(model, file, key)
        if typed is not None and key in self.records[kind]:
            fault = f"the id {key} is also in {self.raw[kind, key].file}"
            faults.append(Complaint(Place(file.file), fault, "rename one of the files"))
        elif typed is not None:
            self.records[kind][key], self.raw[kind, key] = typed, file
            self.folders[key] = home
        return [(kind, key)], faults

    def knowledge(self, layered: dict[tuple[str, str], frozenset[tuple]]) -> Knowledge:
        """All of it as one; ``layered`` are the ways to what a workshop's own layer gave."""
        return Knowledge(
            lists=self.lists,
            **{COLLECTIONS[kind]: _by_id(self.records[kind]) for kind in KINDS},
            sources=_by_id(self.sources),
            folders=self.folders,
            raw=self.raw,
            layered=layered,
            editions=self.editions,
        )


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
            where = shown_path(folder, path).removesuffix(SUFFIX)
            try:
                file = _read(root, path, known)
            except Refused as refused:
                complaints += refused.complaints
                continue
            if where in files:
                files[where], ways, odd = _onto(files[where], file, where)
                complaints += odd
                owned[where] = owned.get(where, frozenset()) | ways
            else:
                files[where] = file
                if folder != folders[0]:
                    owned[where] = frozenset([()])
    return files, owned, complaints


def _read(root: Path, path: str, known: KnownFiles) -> RawFile:
    """One file, which is not looked through again where its bytes are known. Raises Refused."""
    digest, file = known.find(shown_path(root, path), path)
    if file is None:
        file = read_file(root, Path(path))
        known.learn(digest, file)
    return file


def _onto(
    base: RawFile, own: RawFile, where: str
) -> tuple[RawFile, frozenset[tuple], list[Complaint]]:
    """A layer's file on top of the shipped one of the same place."""
    is_list = where.rpartition("/")[0] not in RECORD_FOLDERS
    file, ways, odd = merged(base, own, is_list=is_list, where=where)
    if base.digest and own.digest:
        file.digest = f"{base.digest} {own.digest}"
    return file, ways, odd


def _by_id(records: dict) -> dict:
    return {key: records[key] for key in sorted(records)}


def _typed_record(model, file: RawFile, stem: str) -> tuple[models.Record | None, list[Complaint]]:
    faults = []
    if not _matches(models.ID_PATTERN, stem):
        cure = "use small letters a to z, digits and hyphens"
        faults.append(Complaint(Place(file.file), f"the file name {stem!r} cannot be an id", cure))
    try:
        return _once(model, file, lambda: _validated(_adapter(model), file)), faults
    except ValidationError as error:
        elsewhere = _other_kind(model, file.plain())
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
        return _validated(_adapter(models.Edition), file), []
    except ValidationError as error:
        return None, list(shape_complaints(models.Edition, file, error))


def _typed_list(model, file: RawFile, key_pattern: str) -> tuple[dict, list[Complaint]]:
    typed, faults = {}, []
    adapter = _adapter(dict[str, model])
    try:
        typed = _once(model, file, lambda: _validated(adapter, file))
    except ValidationError as error:
        faults += shape_complaints(dict[str, model], file, error)
    keys = typed or file.plain()
    for key in _once(key_pattern, file, lambda: [k for k in keys if not _matches(key_pattern, k)]):
        faults.append(
            Complaint(
                file.place((key,), key=True),
                f"{key!r} cannot be an id",
                "use small letters, digits, hyphens",
            )
        )
    return typed, faults


_TYPED: dict[tuple[object, str], object] = {}  # by what was asked and digest, of the last files


def _once(asked: type | str, file: RawFile, make: Callable[[], object]):
    """What a file holds, typed by a model, or its keys that break a pattern; the very same as
    before where its bytes are."""
    if not file.digest:
        return make()
    if (asked, file.digest) not in _TYPED:
        _TYPED[asked, file.digest] = make()
    return _TYPED[asked, file.digest]


def _forget_others(files: Iterable[RawFile]) -> None:
    digests = {file.digest for file in files}
    for key in [key for key in _TYPED if key[1] not in digests]:
        del _TYPED[key]


@cache
def _adapter(kind) -> TypeAdapter:
    return TypeAdapter(kind)


def _validated(adapter: TypeAdapter, file: RawFile):
    """What a file holds, typed. Raises ValidationError with the data as it was typed."""
    if file.known:
        with contextlib.suppress(ValidationError):
            return adapter.validate_json(file.known)
    return adapter.validate_python(file.plain())


@cache
def _compiled(pattern: str):
    return re.compile(pattern)


def _matches(pattern: str, text: str) -> bool:
    return _compiled(pattern).fullmatch(text) is not None
