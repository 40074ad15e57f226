"""Reads each file of the knowledge folder as plain data (dict, list, text), with the position of
each value.

Every scalar stays as typed, so that 1.4310 keeps its zero and NO stays nitric oxide; the models
decide what is a number. YAML features that records do not need (aliases, tags, tabs, several
documents) are refused.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice
from pathlib import Path, PurePath
from typing import NamedTuple

import yaml

from generator.records import unreadable
from generator.records.complaints import Complaint, Place, Refused
from generator.records.signs import invisible, split_sentence, typed_oddly

LARGEST_FILE = 1024 * 1024  # bytes; the longest edition has six tenths of this, a record a fortieth
DEEPEST = 24  # levels of nesting; records use at most eight
SUFFIX = ".yaml"
NOT_RECORDS = (
    "README.md",
    "last.json",
    "last.said",
)  # a layer's own words; what editions compare with
_ODD_INDENTATION = re.compile(r" *[^\S \t\r]")  # copied from a web page; YAML takes it for text
_PLAIN_TAGS = {
    "tag:yaml.org,2002:" + name
    for name in ("str", "int", "float", "bool", "null", "timestamp", "map", "seq")
}


class TextLoader(yaml.CSafeLoader):
    """Composes nodes without guessing what a plain scalar means: everything untagged is text."""

    def resolve(self, kind, value, implicit):
        """The tag of an untagged node, by its kind alone."""
        return _TAG_OF[kind]


_TAG_OF = {
    yaml.ScalarNode: "tag:yaml.org,2002:str",
    yaml.SequenceNode: "tag:yaml.org,2002:seq",
    yaml.MappingNode: "tag:yaml.org,2002:map",
}

Path_ = (
    tuple  # the way to a value inside a record: ("states", "annealed", "figures", "hardness", 0)
)
Marks = dict[Path_, yaml.Mark]


@dataclass
class RawFile:
    """One file as typed.

    ``files`` names the file of a value that was typed elsewhere (in a workshop's own layer).
    Positions are only wanted for complaints, and are large; so they are looked up in the file
    again when one is asked for.
    """

    file: str
    data: object
    path: Path | str | None = None
    files: dict[Path_, str] = field(default_factory=dict)
    digest: str = ""  # of its bytes, where nothing was wrong with them
    known: str = ""  # its data as JSON, in place of ``data``, where it was read before

    def plain(self):
        """What was typed, as dict, list and text."""
        return json.loads(self.known) if self.known else self.data

    @cached_property
    def _positions(self) -> tuple[Marks, Marks]:
        return _positions_in(Path(self.path) if self.path else None)

    @property
    def marks(self) -> Marks:
        """Where each value starts, by the way to it."""
        return self._positions[0]

    @property
    def key_marks(self) -> Marks:
        """Where the key of each value starts, by the way to the value."""
        return self._positions[1]

    @classmethod
    def joined(
        cls, base: RawFile, data: object, marks: Marks, key_marks: Marks, files: dict[Path_, str]
    ) -> RawFile:
        """A file put together from two, with positions from both."""
        made = cls(base.file, data, base.path, files)
        made._positions = marks, key_marks
        return made

    def place(self, way: Path_ = (), key: bool = False) -> Place:
        """The place of a value (or of its key); falls back to the nearest enclosing value that was
        typed."""
        marks = self.key_marks if key else self.marks
        if way in marks:
            return _place(self.files.get(way, self.file), marks[way])
        while way and way not in self.marks:
            way = way[:-1]
        return (
            _place(self.files.get(way, self.file), self.marks[way])
            if way in self.marks
            else Place(self.file)
        )


def _positions_in(path: Path | None) -> tuple[Marks, Marks]:
    """Positions of all values and keys of a file that was read before; none when it can no longer
    be read."""
    marks: Marks = {}
    key_marks: Marks = {}

    def walk(node: yaml.Node, way: Path_):
        marks.setdefault(way, node.start_mark)
        if isinstance(node, yaml.SequenceNode):
            for i, item in enumerate(node.value):
                walk(item, (*way, i))
        elif isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                if isinstance(key, yaml.ScalarNode) and (*way, key.value) not in marks:
                    key_marks[*way, key.value] = key.start_mark
                    walk(value, (*way, key.value))

    # Where it was changed since, the complaint names the file alone.
    with contextlib.suppress(OSError, ValueError, AttributeError, RecursionError, yaml.YAMLError):
        walk(yaml.compose(path.read_bytes().decode("utf-8-sig"), Loader=TextLoader), ())
    return marks, key_marks


def _place(file: str, mark: yaml.Mark) -> Place:
    return Place(file, mark.line + 1, mark.column + 1)


def shown_path(root: Path, path: Path | str) -> str:
    """A path as complaints name it: relative to the project, or whole where it lies outside."""
    return str(path).replace(os.sep, "/").removeprefix(f"{root.as_posix()}/")


def list_files(root: Path, folder: Path) -> tuple[list[str], list[Complaint]]:
    """All record files below ``folder``, sorted, never through a link; odd entries become
    complaints.

    (Names, because making a path of each costs more than looking whether it is known.)
    """
    found, complaints, waiting = [], [], [os.fspath(folder)]
    while waiting:
        folders = []
        for entry in _entries(waiting.pop()):
            is_folder = entry.is_dir()
            if odd := _odd_entry(entry, is_folder):
                complaints.append(_file_fault(root, Path(entry.path), *odd))
            elif entry.name.startswith("."):
                continue
            elif is_folder:
                folders.append(entry.path)
            elif entry.name.endswith(SUFFIX):
                found.append(entry.path)
        waiting += reversed(folders)
    return found, complaints


def _entries(folder: str) -> list[os.DirEntry]:
    """What a folder holds, folders first, by name; nothing where it cannot be looked into."""
    with contextlib.suppress(OSError), os.scandir(folder) as inside:
        return sorted(inside, key=lambda entry: (not entry.is_dir(), entry.name))
    return []


def _odd_entry(entry: os.DirEntry, is_folder: bool) -> tuple[str, str] | None:
    """What is wrong with an entry of a folder of records, and the cure."""
    name = entry.name
    if is_folder:
        return ("is a link", "put the folder itself here") if entry.is_symlink() else None
    if name.startswith("."):
        return None
    if entry.is_symlink():
        return "is a link", "put the file itself here"
    ending = PurePath(name).suffix
    if ending in (".yml", ".YAML", ".YML"):
        return "has the wrong ending", f"rename it to end in {SUFFIX}"
    if ending != SUFFIX and name not in NOT_RECORDS and not name.endswith("~"):  # an editor's copy
        return "is not read", f"rename it to end in {SUFFIX}, or move it out of this folder"
    return None


def _file_fault(root: Path, path: Path, fault: str, cure: str) -> Complaint:
    return Complaint(Place(shown_path(root, path)), fault, cure)


def read_file(root: Path, path: Path) -> RawFile:
    """One file as data with marks.

    Raises Refused with every fault of form that was found in it.
    """
    name = shown_path(root, path)
    return read_text(name, _decode(root, path, name), path)


def read_text(name: str, text: str, path: Path | None = None) -> RawFile:
    """A text as data, like that of a file. Raises Refused."""
    try:
        node = yaml.compose(text, Loader=TextLoader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Place(name, mark.line + 1, mark.column + 1) if mark else Place(name)
        raise Refused([unreadable.explain(place, error, text, TextLoader)]) from None
    except (yaml.YAMLError, RecursionError, ValueError) as error:
        raise Refused(
            [Complaint(Place(name), f"cannot be read as YAML: {str(error).splitlines()[0]}")]
        ) from None
    if node is None:
        raise Refused([Complaint(Place(name), "is empty", "write a record or delete the file")])
    complaints: list[Complaint] = []
    raw = RawFile(name, _plain(node, _File(name, text), complaints, set(), 0), path)
    if not isinstance(raw.data, dict) and not complaints:
        complaints.append(
            Complaint(raw.place(), "is not a list of `key: value` lines", "start with `name: ...`")
        )
    if complaints:
        raise Refused(complaints)
    return raw


def _decode(root: Path, path: Path, name: str) -> str:
    text = _as_text(_octets(root, path, name), name)
    complaints = [
        found for n, line in enumerate(text.split("\n"), 1) for found in _odd(name, n, line)
    ]
    if complaints:
        raise Refused(complaints[:20])
    if max(text.count("["), text.count("{")) > 5000 or _deepest_flow(text) > DEEPEST:
        raise _refused(name, f"is nested deeper than {DEEPEST} levels", "flatten it")
    return text


def _refused(name: str, fault: str, cure: str = "") -> Refused:
    return Refused([Complaint(Place(name), fault, cure)])


def _octets(root: Path, path: Path, name: str) -> bytes:
    """The bytes of a plain file of bearable size. Raises Refused."""
    try:
        if path.resolve() != path.absolute() and not path.resolve().is_relative_to(root.resolve()):
            cure = "put the file itself here"
            raise _refused(name, "leads out of the knowledge folder", cure)
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):  # a pipe would keep the reader waiting for ever
            raise _refused(name, "is not a plain file", "put a plain file here")
        if status.st_size > LARGEST_FILE:
            cure = f"a record may have {LARGEST_FILE // 1024} KB"
            raise _refused(name, f"is {status.st_size // 1024} KB long", cure)
        return path.read_bytes()
    except OSError as error:
        raise _refused(name, f"cannot be opened: {error.strerror}") from None


def _as_text(octets: bytes, name: str) -> str:
    try:
        return octets.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = octets[: error.start].count(b"\n") + 1
        column = error.start - octets.rfind(b"\n", 0, error.start)
        fault = f"byte {octets[error.start]:#04x} is not UTF-8"
        place = Place(name, line, column)
        raise Refused([Complaint(place, fault, "save the file as UTF-8")]) from None


def _odd(name: str, number: int, line: str) -> Iterator[Complaint]:
    """What nobody types on purpose in a line: tabs, odd spaces, invisible characters."""
    if "\t" in line:
        yield Complaint(Place(name, number, line.index("\t") + 1), "holds a tab", "use spaces")
    odd = _ODD_INDENTATION.match(line)
    if odd:
        fault, cure = "an odd space before the first letter", "delete it and type plain spaces"
        yield Complaint(Place(name, number, odd.end()), fault, cure)
    for at, sign in islice(invisible(line.removesuffix("\r").replace("\t", " ")), 1):
        fault = f"holds the invisible character {sign}"
        yield Complaint(Place(name, number, at + 1), fault, "delete it")


def _deepest_flow(text: str) -> int:
    deepest = level = 0
    for sign in re.findall(r"[\[\]{}]", text):
        level += 1 if sign in "[{" else -1
        deepest = max(deepest, level)
    return deepest


class _File(NamedTuple):
    name: str
    text: str


def _odd_texts(node: yaml.ScalarNode, file: _File) -> Iterator[Complaint]:
    """What is hidden in a text, however it was written, and what YAML has cut off from it."""
    for _, sign in islice(invisible(node.value.replace("\n", " ")), 1):
        fault = f"{_short(node.value)} holds the invisible character {sign}, written as an escape"
        yield Complaint(_place(file.name, node.start_mark), fault, "delete it")
    if not node.style:
        end = node.end_mark.index
        found = typed_oddly(node.value, file.text[end : end + 4])
        if found:
            yield Complaint(_place(file.name, node.start_mark), *found)


def _short(text: str) -> str:
    return repr(text if len(text) <= 40 else text[:37] + "...")


def _plain(node: yaml.Node, where: _File, complaints: list, seen: set[int], depth: int):
    """The node as dict, list or text; complains of what records do not use."""

    def complain(fault: str, cure: str) -> None:
        complaints.append(Complaint(_place(where.name, node.start_mark), fault, cure))

    if id(node) in seen:
        complain("uses an alias (`*name`)", "write the value out")
        return ""
    seen.add(id(node))
    if depth > DEEPEST:
        complain(f"is nested deeper than {DEEPEST} levels", "flatten it")
        return ""
    if node.tag not in _PLAIN_TAGS:
        tag = node.tag.removeprefix("tag:yaml.org,2002:")
        complain(f"has the tag {tag!r}", "quote the text")
    if isinstance(node, yaml.ScalarNode):
        complaints += _odd_texts(node, where)
        return node.value
    if isinstance(node, yaml.SequenceNode):
        items = [_plain(item, where, complaints, seen, depth + 1) for item in node.value]
        cut = node.flow_style and split_sentence(items)
        if cut:
            fault = f"the comma before {_short(cut)} makes two entries of one sentence"
            cure = "quote the sentence, or write each entry in a line that starts with `- `"
            complain(fault, cure)
        return items
    return _plain_mapping(node, where, complaints, seen, depth)


def _plain_mapping(
    node: yaml.MappingNode, where: _File, complaints: list, seen: set[int], depth: int
) -> dict:
    out: dict = {}
    for key_node, value_node in node.value:
        if not isinstance(key_node, yaml.ScalarNode):
            cure = "quote braces and brackets in text"
            complaints.append(
                Complaint(_place(where.name, key_node.start_mark), "a key must be one word", cure)
            )
            continue
        key = key_node.value
        if key in out:
            complaints.append(
                Complaint(
                    _place(where.name, key_node.start_mark),
                    f"{key} stands here twice",
                    "keep one of them",
                )
            )
            continue
        complaints += _odd_texts(key_node, where) if not key.isprintable() else ()
        out[key] = _plain(value_node, where, complaints, seen, depth + 1)
    return out
