"""Merges a shipped file with that of a workshop's own layer; every value remembers where it was
typed.

Figures, notes and cautions of the layer are added to the shipped ones; shipped cautions and first
aid can be neither removed nor changed. States, workings and entries of lists are merged key by key.
Any other field of the layer replaces the shipped one.
"""

from __future__ import annotations

from generator.records.complaints import Complaint
from generator.records.reading import Path_, RawFile

SAFETY = ("cautions", "first_aid")  # lists whose shipped entries only grow
FROM_SAFETY = "a layer may not change {} of the shipped {} {}"
OWN_ENTRY = "write your own entry under another id; it appears beside the shipped one"


def merged(
    base: RawFile, own: RawFile, is_list: bool, where: str = ""
) -> tuple[RawFile, frozenset[Path_], list[Complaint]]:
    """Both as one, the ways to what came from the layer, and what a layer may not do.

    ``is_list``: the file holds entries by id, not one record. ``where``: the file's place below
    its folder, without ending.
    """
    joining = _Joining(base, own, is_list, where)
    data = joining.joined(base.plain(), own.plain(), ())
    file = RawFile.joined(base, data, joining.values, joining.keys, joining.files)
    return file, frozenset(joining.taken), joining.complaints


class _Joining:
    """Two files on their way to one: what was taken from the layer, and where each value stands."""

    def __init__(self, base: RawFile, own: RawFile, is_list: bool, where: str):
        self.own, self.is_list, self.where = own, is_list, where
        self.is_safety = where in SAFETY
        self.values, self.keys = dict(base.marks), dict(base.key_marks)
        self.files = dict(base.files)
        self.taken: set[Path_] = set()
        self.complaints: list[Complaint] = []

    def joined(self, old, new, way: Path_):
        """The value at a place of which both files say something."""
        inside = way[1:] if self.is_list else way
        both = type(old) if type(old) is type(new) else None
        if both is dict and (self.is_safety or _is_joined(inside)):
            return self._mapping(old, new, way)
        if both is list and (self.is_safety or _is_added(inside)):
            return self._list(old, new, way, once=inside == ("cautions",))
        if self.is_safety and len(way) > 1:
            if old != new:
                what = self.where.replace("_", " ").rstrip("s")
                self._refuse(way, FROM_SAFETY.format(way[1], what, way[0]), OWN_ENTRY)
            return old
        if inside in (("cautions",), ("notes",)):
            fault = f"{inside[0]} of a layer add to the shipped ones and must be a list"
            self._refuse(way, fault, "write [a, b] or lines that start with `- `")
            return old
        return self._take(new, way, way)

    def _mapping(self, old: dict, new: dict, way: Path_) -> dict:
        return old | {
            k: self.joined(old[k], v, (*way, k))
            if k in old
            else self._take(v, (*way, k), (*way, k))
            for k, v in new.items()
        }

    def _list(self, old: list, new: list, way: Path_, once: bool) -> list:
        """The entries of both; ``once``: none that stands there already."""
        fresh = [(i, v) for i, v in enumerate(new) if not once or v not in old]
        places = enumerate(fresh, len(old))
        return [*old, *(self._take(v, (*way, i), (*way, n)) for n, (i, v) in places)]

    def _take(self, value, way: Path_, at: Path_):
        """A whole value of the layer, with its marks, at its new place."""
        self.taken.add(at)
        for marks, its in ((self.values, self.own.marks), (self.keys, self.own.key_marks)):
            for old in [w for w in marks if w[: len(at)] == at]:
                del marks[old]
            for inner, mark in its.items():
                if inner[: len(way)] == way:
                    marks[(*at, *inner[len(way) :])] = mark
                    self.files[(*at, *inner[len(way) :])] = self.own.file
        return value

    def _refuse(self, way: Path_, fault: str, cure: str) -> None:
        self.complaints.append(Complaint(self.own.place(way), fault, cure, "safety_taken_away"))


def _is_joined(way: Path_) -> bool:
    """True for mappings that are merged key by key: the record, its figures, states, ways of
    working, names and translations."""
    if way in ((), ("figures",), ("states",), ("working",), ("names",), ("translations",)):
        return True
    if way[0] == "translations":  # a sentence: its languages
        return len(way) == 2
    return way[0] == "states" and (len(way) == 2 or (len(way) == 3 and way[2] == "figures"))


def _is_added(way: Path_) -> bool:
    """True for lists that grow: notes, cautions, and figures wherever they stand."""
    return way in (("notes",), ("cautions",), ("figures",)) or "figures" in way[-2:-1]
