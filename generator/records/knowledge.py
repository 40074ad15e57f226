"""One Knowledge: every record typed, every link resolvable both ways."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from pydantic import BaseModel

from generator.records import models
from generator.records.complaints import Place
from generator.records.reading import RawFile
from generator.records.references import Reference, references

UNPUBLISHED = (
    "memory",
    "practice",
)  # sources that are no publication; both are shown to the reader as such


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
    watches: Mapping[str, models.Watch]
    sources: Mapping[str, models.Source]
    folders: Mapping[str, str]  # material id -> folder it lives in
    raw: Mapping[tuple[str, str], RawFile] = field(repr=False, default_factory=dict)
    # what a workshop's own layer gave: ways by (kind, id)
    layered: Mapping[tuple[str, str], frozenset[tuple]] = field(repr=False, default_factory=dict)
    editions: Mapping[str, models.Edition] = field(repr=False, default_factory=dict)  # by date
    # what the rules of one record need not look at again: by (kind, id) the sources it cites
    sure: dict[tuple[str, str], frozenset[str]] = field(repr=False, default_factory=dict)
    _walked: list = field(repr=False, default_factory=list)

    def of_kind(self, kind: str) -> Mapping[str, models.Record]:
        """The records of one kind, by id."""
        return getattr(self, COLLECTIONS[kind])

    def unsure(self, kind: str) -> Mapping[str, models.Record]:
        """The records of one kind that a rule of one record must look at."""
        records = self.of_kind(kind)
        return {k: r for k, r in records.items() if (kind, k) not in self.sure}

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

    @property
    def tasks(self) -> Mapping[str, models.Task]:
        """The bench tasks by id, in their order."""
        return self.lists["training/tasks"]

    @property
    def cases(self) -> Mapping[str, models.Case]:
        """The cases by id, in their order."""
        return self.lists["training/cases"]

    @property
    def weeks(self) -> Mapping[str, models.Week]:
        """The weeks of the plan by id, in their order."""
        return self.lists["training/weeks"]

    def questions(self) -> Iterator[tuple[str, str, tuple, models.Question]]:
        """Every question of lessons and cases as (kind, id of the file, way to it, question)."""
        for key, lesson in self.lessons.items():
            for i, question in enumerate(lesson.questions):
                yield "lesson", key, ("questions", i), question
        for key, case in self.cases.items():
            for i, question in enumerate(case.questions):
                yield "list", "training/cases", (key, "questions", i), question

    @cached_property
    def roles(self) -> Mapping[str, models.Part]:
        """What materials are judged for: every part by its id, and behind each its settings by
        `part/setting`."""
        return {
            key: role
            for part, record in self.parts.items()
            for key, role in (
                (part, record),
                *((f"{part}/{s}", record.in_setting(s)) for s in record.settings),
            )
        }

    def choosers(self) -> Iterator[tuple[str, tuple, models.Part | models.Setting]]:
        """Everything with demands and choices of its own: (part, way inside it, part or
        setting)."""
        for key, part in self.parts.items():
            yield key, (), part
            for name, setting in part.settings.items():
                yield key, ("settings", name), setting

    @property
    def jobs(self) -> Mapping[str, models.Job]:
        """Whole jobs by id: calculations that carry their results on."""
        return self.lists["jobs"]

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
            before, now = dict(_WALKED_LAST), {}
            for kind, key, value, way in everything(self):
                same = before.get(id(value))
                if same is None or same[0] is not value or same[1] != way:
                    same = value, way, references(value, way)
                now[id(value)] = same
                self._walked.append((kind, key, same[2]))
            _WALKED_LAST.clear()
            _WALKED_LAST.update(now)
        return self._walked

    def references_unsure(self) -> list[tuple[str, str, list[Reference]]]:
        """The same of what a rule of one record must look at."""
        if not self.sure:
            return self.references_by_file()
        return [(k, i, references(value, way)) for k, i, value, way in everything_unsure(self)]

    def all_references(self) -> Iterator[Reference]:
        """Every reference of the whole knowledge base."""
        return (r for _, _, found in self.references_by_file() for r in found)

    def newest_review(self):
        """The newest review date of all records: the date of this edition of the knowledge
        base."""
        return max(r.reviewed.on for kind in KINDS for r in self.of_kind(kind).values())


# What was found in the walk before, by the value itself: an unchanged record is the very same
# object again in a process that goes on.
_WALKED_LAST: dict[int, tuple[BaseModel, tuple, list[Reference]]] = {}

COLLECTIONS = {
    "material": "materials",
    "part": "parts",
    "hazard": "hazards",
    "process": "processes",
    "formula": "formulas",
    "saying": "sayings",
    "lesson": "lessons",
    "watch": "watches",
}
KINDS = tuple(COLLECTIONS)


def part_of(role: str) -> str:
    """The part that a role is of."""
    return role.partition("/")[0]


def setting_of(role: str) -> str | None:
    """The setting that a role is, if it is one."""
    return role.partition("/")[2] or None


def everything(
    knowledge: Knowledge, but: Container[tuple[str, str]] = ()
) -> Iterator[tuple[str, str, BaseModel, tuple]]:
    """Every record and list entry as (kind, id, value, way to it in its file); without those of
    which (kind, id) is in ``but``."""
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            if (kind, key) not in but:
                yield kind, key, record, ()
    for name, entries in knowledge.lists.items():
        if ("list", name) not in but:
            for key, entry in entries.items():
                yield "list", name, entry, (key,)
    for key, source in knowledge.sources.items():
        if ("source", key) not in but:
            yield "source", key, source, (key,)


def everything_unsure(knowledge: Knowledge) -> Iterator[tuple[str, str, BaseModel, tuple]]:
    """Of everything what a rule of one record must look at."""
    return everything(knowledge, knowledge.sure)


def mentions(knowledge: Knowledge) -> dict[tuple[str, str], list[tuple[str, str]]]:
    """Back-links: for each (kind, id), which records mention it, sorted."""
    found: dict[tuple[str, str], set[tuple[str, str]]] = defaultdict(set)
    for kind, key, references_of in knowledge.references_by_file():
        for reference in references_of if kind in KINDS else ():
            if (reference.target, reference.id) != (kind, key):
                found[reference.target, reference.id].add((kind, key))
    return {target: sorted(by) for target, by in found.items()}
