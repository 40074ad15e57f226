"""Receives raw files; hands on one Knowledge: every record typed, every link resolvable both ways.

Shape comes first: a file of the wrong shape is complained about and left out, so that the rules in
checking.py only ever see records of the right shape.
"""

from __future__ import annotations

import re
import typing
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import MappingProxyType, UnionType

from pydantic import BaseModel, TypeAdapter, ValidationError

from generator.records import models
from generator.records.complaints import Complaint, Place, Refused, did_you_mean
from generator.records.layers import merged
from generator.records.reading import RawFile, list_files, read_file, shown_path

# One record a file: folder -> (kind, model). Several folders may hold one kind.
RECORD_FOLDERS: Mapping[str, tuple[str, type[models.Record]]] = MappingProxyType(
    {
        "alloys": ("material", models.Material),
        "nonmetals": ("material", models.Material),
        "coatings": ("material", models.Material),
        "parts": ("part", models.Part),
        "hazards": ("hazard", models.Hazard),
        "processes": ("process", models.Process),
        "formulas": ("formula", models.Formula),
        "sayings": ("saying", models.Saying),
        "lessons": ("lesson", models.Lesson),
    }
)
# Many entries a file: file (without .yaml) -> model of one entry.
LISTS: Mapping[str, type[BaseModel]] = MappingProxyType(
    {
        "vocabulary/classes": models.Entry,
        "vocabulary/families": models.Family,
        "vocabulary/sides": models.Entry,
        "vocabulary/zones": models.Zone,
        "vocabulary/activities": models.Activity,
        "vocabulary/units": models.Unit,
        "vocabulary/property_groups": models.Entry,
        "vocabulary/properties": models.Property,
        "vocabulary/systems": models.DesignationSystem,
        "vocabulary/colours": models.Entry,
        "vocabulary/magnetism": models.Entry,
        "vocabulary/traits": models.Entry,
        "vocabulary/ratings": models.Entry,
        "vocabulary/workings": models.Entry,
        "vocabulary/exposure_verdicts": models.Entry,
        "vocabulary/fit_verdicts": models.Entry,
        "vocabulary/forms": models.Entry,
        "vocabulary/severities": models.Entry,
        "vocabulary/mechanisms": models.Entry,
        "vocabulary/process_groups": models.Entry,
        "vocabulary/formula_groups": models.Entry,
        "vocabulary/source_kinds": models.Entry,
        "vocabulary/elements": models.Element,
        "vocabulary/judgements": models.Entry,
        "vocabulary/marks": models.Mark,
        "vocabulary/hardness_table": models.HardnessRow,
        "vocabulary/temper_colours": models.TemperColour,
        "vocabulary/glossary": models.Term,
        "vocabulary/sea_water_series": models.SeriesPlace,
        "vocabulary/contact_degrees": models.Entry,
        "vocabulary/contact_situations": models.ContactSituation,
        "vocabulary/usual_contacts": models.UsualContact,
        "cautions": models.Caution,
        "first_aid": models.FirstAid,
    }
)
SOURCES = (
    "sources"  # a folder of lists, one file a trade, so that two people can add sources at once
)
_NUMBER = re.compile(r"-?\d+(\.\d+)?")
EDITIONS = (
    "editions"  # what each edition changed, one file an edition, written by the verb of that name
)
UNPUBLISHED = (
    "memory",
    "practice",
)  # sources that are no publication; both are shown to the reader as such
KEY_PATTERNS = {
    "vocabulary/units": ".+",
    "vocabulary/elements": "[A-Z][a-z]?",
    "vocabulary/glossary": ".+",
}


@dataclass(frozen=True)
class Knowledge:
    """The whole knowledge base, linked.

    Mappings keep file order (vocabularies) or id order (records).
    """

    lists: Mapping[str, Mapping[str, BaseModel]]
    materials: Mapping[str, models.Material]
    parts: Mapping[str, models.Part]
    hazards: Mapping[str, models.Hazard]
    processes: Mapping[str, models.Process]
    formulas: Mapping[str, models.Formula]
    sayings: Mapping[str, models.Saying]
    lessons: Mapping[str, models.Lesson]
    sources: Mapping[str, models.Source]
    folders: Mapping[str, str]  # material id -> folder it lives in
    raw: Mapping[tuple[str, str], RawFile] = field(repr=False, default_factory=dict)
    # what a workshop's own layer gave: ways by (kind, id)
    layered: Mapping[tuple[str, str], frozenset[tuple]] = field(repr=False, default_factory=dict)
    editions: Mapping[str, models.Edition] = field(repr=False, default_factory=dict)  # by date
    _walked: list = field(repr=False, default_factory=list)

    def of_kind(self, kind: str) -> Mapping[str, models.Record]:
        """The records of one kind, by id."""
        return getattr(self, COLLECTIONS[kind])

    def words(self, name: str) -> Mapping[str, BaseModel]:
        """One vocabulary, by its file name without folder and ending."""
        return self.lists[f"vocabulary/{name}"]

    @property
    def cautions(self) -> Mapping[str, models.Caution]:
        """The cautions by id."""
        return self.lists["cautions"]

    @property
    def first_aid(self) -> Mapping[str, models.FirstAid]:
        """What to do after an accident, by id, in the order of the page."""
        return self.lists["first_aid"]

    def place(self, kind: str, key: str, way: tuple = (), at_key: bool = False) -> Place:
        """Where a value of a record stands.

        For lists, ``way`` starts with the entry's id.
        """
        return self.raw[kind, key].place(way, at_key)

    def from_layer(self, kind: str, key: str, way: tuple = ()) -> bool:
        """True when a value of a record (or the whole record) came from a workshop's own layer."""
        ways = self.layered.get((kind, key))
        return ways is not None and any(way[:n] in ways for n in range(len(way) + 1))

    def material_class(self, material: models.Material) -> str:
        """The class (metal, coating, plastic ...) of a material's family."""
        return self.words("families")[material.family].material_class

    def references_by_file(self) -> list[tuple[str, str, list[Reference]]]:
        """(kind, id, its references) for every record and list entry; walked once."""
        if not self._walked:
            self._walked.extend(
                (kind, key, list(references(value, way)))
                for kind, key, value, way in everything(self)
            )
        return self._walked

    def all_references(self) -> Iterator[Reference]:
        """Every reference of the whole knowledge base."""
        return (r for _, _, found in self.references_by_file() for r in found)

    def newest_review(self):
        """The newest review date of all records: the date of this edition of the knowledge
        base."""
        return max(r.reviewed.on for kind in KINDS for r in self.of_kind(kind).values())


COLLECTIONS = {
    "material": "materials",
    "part": "parts",
    "hazard": "hazards",
    "process": "processes",
    "formula": "formulas",
    "saying": "sayings",
    "lesson": "lessons",
}
KINDS = tuple(COLLECTIONS)


def load(root: Path, layers: Sequence[Path] = ()) -> tuple[Knowledge, list[Complaint]]:
    """Read and type ``root``/knowledge and the workshop's own layers on top of it.

    Complaints are of form and shape only.
    """
    files, owned, complaints = _gather(root, [root / "knowledge", *layers])
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
    root: Path, folders: Sequence[Path]
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
            try:
                file = read_file(root, path)
            except Refused as refused:
                complaints += refused.complaints
                continue
            if where in files:
                files[where], ways, odd = merged(
                    files[where],
                    file,
                    is_list=where.rpartition("/")[0] not in RECORD_FOLDERS,
                    where=where,
                )
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
        return model.model_validate(file.data), faults
    except ValidationError as error:
        return None, faults + list(_shape_complaints(model, file, error))


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
        return None, list(_shape_complaints(models.Edition, file, error))


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
        typed = adapter.validate_python(file.data)
    except ValidationError as error:
        faults += _shape_complaints(dict[str, model], file, error)
    return typed, faults


@cache
def _list_adapter(model) -> TypeAdapter:
    return TypeAdapter(dict[str, model])


@cache
def _compiled(pattern: str):
    return re.compile(pattern)


def _matches(pattern: str, text: str) -> bool:
    return _compiled(pattern).fullmatch(text) is not None


def _shape_complaints(model, file: RawFile, error: ValidationError) -> Iterator[Complaint]:
    """Pydantic's findings as place, fault, cure."""
    for item in error.errors(include_url=False):
        way = tuple(step for step in item["loc"] if step != "[key]")
        at_key = item["loc"][-1:] == ("[key]",) or item["type"] == "extra_forbidden"
        name = next((step for step in reversed(way) if isinstance(step, str)), "the record")
        fault, cure = _words_for(item, name, model, way)
        yield Complaint(file.place(way, key=at_key), fault, cure)


def _words_for(item: dict, name: str, model, way: tuple) -> tuple[str, str]:
    kind, context = item["type"], item.get("ctx", {})
    if kind == "extra_forbidden" and name.replace(".", "").isdigit():
        return (
            f"{name} stands alone, as if it were a key",
            "write the decimal point as a point, and quote text that holds commas",
        )
    if kind == "extra_forbidden":
        return f"unknown key {name}", did_you_mean(name, _keys_at(model, way[:-1]))
    if kind == "missing":
        return f"{name} is missing", "add it"
    if kind in ("value_error", "assertion_error"):
        fault, _, cure = str(context.get("error", item["msg"])).partition("; ")
        return f"{name}: {fault}", cure
    if kind == "string_pattern_mismatch":
        if context["pattern"] == models.ID_PATTERN:
            return (
                f"{name}: {_short(item['input'])} cannot be an id",
                "use small letters a to z, digits and hyphens",
            )
        return (
            f"{name}: {_short(item['input'])} is not the symbol of an element",
            "write Fe, Cu, Au ...",
        )
    if kind == "string_too_short":
        return f"{name} is empty", "write something or delete the line"
    if kind == "string_too_long":
        return f"{name} has more than {context['max_length']} letters", "shorten it"
    if kind == "string_type":
        return (
            f"{name} must be text",
            "write one piece of text; quote it if it holds braces or brackets",
        )
    if kind in ("list_type", "tuple_type"):
        return f"{name} must be a list", "write [a, b] or lines that start with `- `"
    if (
        kind in ("dict_type", "model_type", "model_attributes_type")
        and isinstance(item["input"], str)
        and _NUMBER.fullmatch(item["input"])
    ):
        return (
            f"{name}: {item['input']} stands alone",
            f"say what kind it is: {{typical: {item['input']}, source: ID}}",
        )
    if kind in ("dict_type", "model_type", "model_attributes_type"):
        return f"{name} must hold `key: value` lines", "indent them below it"
    if kind == "too_short":
        many = "entry" if context["min_length"] == 1 else "entries"
        return f"{name} needs at least {context['min_length']} {many}", "add what is missing"
    if kind == "too_long" and name in ("range", "over") and isinstance(item["input"], list):
        cure = "write the decimal point as a point: [7.9, 8.1]"
        return f"{name} has {len(item['input'])} entries and needs two", cure
    if kind == "too_long":
        return f"{name} may have {context['max_length']} entries", "delete the others"
    if kind in ("bool_parsing", "bool_type"):
        return f"{name}: {_short(item['input'])} is neither true nor false", "write true or false"
    return f"{name}: {item['msg']}", ""


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "...'"


def _keys_at(annotation, way: Iterable) -> list[str]:
    """The keys that the model allows at a place, for did-you-mean."""
    for step in way:
        annotation = _unwrap(annotation)
        if isinstance(annotation, type) and issubclass(annotation, BaseModel):
            if step not in annotation.model_fields:
                return []
            annotation = annotation.model_fields[step].annotation
        else:
            inner = typing.get_args(annotation)
            annotation = inner[-1] if inner else None
    annotation = _unwrap(annotation)
    return (
        list(annotation.model_fields)
        if isinstance(annotation, type) and issubclass(annotation, BaseModel)
        else []
    )


def _unwrap(annotation):
    """The type inside ``X | None`` and ``Annotated[X, ...]``."""
    while True:
        origin = typing.get_origin(annotation)
        if origin is typing.Annotated:
            annotation = typing.get_args(annotation)[0]
        elif origin in (typing.Union, UnionType):
            annotation = next(a for a in typing.get_args(annotation) if a is not type(None))
        else:
            return annotation


@dataclass(frozen=True, slots=True)
class Reference:
    """One id that a record names: the way to it, what it must be, and whether it is a key of a
    mapping."""

    way: tuple
    target: str
    id: str
    is_key: bool = False


def references(value: BaseModel, way: tuple = ()) -> Iterator[Reference]:
    """Every id inside a record, found by the ``Refers`` marks of the models."""
    for name, walk in _walkers(type(value)):
        yield from walk(getattr(value, name), (*way, name))


@cache
def _walkers(model: type[BaseModel]) -> tuple:
    hints = typing.get_type_hints(model, include_extras=True)
    walkers = ((name, _walker(hints[name])) for name in model.model_fields)
    return tuple((name, walk) for name, walk in walkers if walk)


def _walker(annotation):
    """A function (value, way) -> references for one annotation, or None where no id can be
    inside."""
    refers = next(
        (m for m in getattr(annotation, "__metadata__", ()) if isinstance(m, models.Refers)), None
    )
    if refers:
        return lambda value, way: (
            (Reference(way, refers.target, value),) if value is not None else ()
        )
    if typing.get_origin(annotation) is typing.Annotated:
        return _walker(typing.get_args(annotation)[0])
    if typing.get_origin(annotation) in (typing.Union, UnionType):
        return _walker(next(a for a in typing.get_args(annotation) if a is not type(None)))
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return lambda value, way: references(value, way) if value is not None else ()
    inner = typing.get_args(annotation)
    if typing.get_origin(annotation) is list:
        walk = _walker(inner[0])
        return walk and (
            lambda value, way: (r for i, v in enumerate(value) for r in walk(v, (*way, i)))
        )
    if typing.get_origin(annotation) is dict:
        walk_key, walk = _walker(inner[0]), _walker(inner[1])
        if walk_key or walk:
            return lambda value, way: _of_mapping(value, way, walk_key, walk)
    return None


def _of_mapping(value: Mapping, way: tuple, walk_key, walk) -> Iterator[Reference]:
    for key, inner in value.items():
        for reference in walk_key(key, (*way, key)) if walk_key else ():
            yield Reference(reference.way, reference.target, reference.id, True)
        yield from walk(inner, (*way, key)) if walk else ()


def everything(knowledge: Knowledge) -> Iterator[tuple[str, str, BaseModel, tuple]]:
    """Every record and list entry as (kind, id, value, way to it in its file)."""
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            yield kind, key, record, ()
    for name, entries in knowledge.lists.items():
        for key, entry in entries.items():
            yield "list", name, entry, (key,)
    for key, source in knowledge.sources.items():
        yield "source", key, source, (key,)


def mentions(knowledge: Knowledge) -> dict[tuple[str, str], list[tuple[str, str]]]:
    """Back-links: for each (kind, id), which records mention it, sorted."""
    found: dict[tuple[str, str], set[tuple[str, str]]] = defaultdict(set)
    for kind, key, references_of in knowledge.references_by_file():
        for reference in references_of if kind in KINDS else ():
            if (reference.target, reference.id) != (kind, key):
                found[reference.target, reference.id].add((kind, key))
    return {target: sorted(by) for target, by in found.items()}
