"""Receives a shipped file and that of a workshop's own layer; hands on one in which every value
knows where it was typed.

Figures, notes and cautions of the layer are added to the shipped ones; of the shipped cautions and
first aid it can take nothing away and change nothing. States, ways of working and the
entries of a list are merged key by key. Every other field of the layer takes the place of the
shipped one.
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
    is_safety = where in SAFETY
    complaints: list[Complaint] = []
    values, keys, files = dict(base.marks), dict(base.key_marks), dict(base.files)
    taken: set[Path_] = set()

    def take(value, way: Path_, at: Path_):
        """A whole value of the layer, with its marks, at its new place."""
        taken.add(at)
        for marks, its in ((values, own.marks), (keys, own.key_marks)):
            for old in [w for w in marks if w[: len(at)] == at]:
                del marks[old]
            for inner, mark in its.items():
                if inner[: len(way)] == way:
                    marks[(*at, *inner[len(way) :])] = mark
                    files[(*at, *inner[len(way) :])] = own.file
        return value

    def joined(old, new, way: Path_):
        inside = way[1:] if is_list else way
        if isinstance(old, dict) and isinstance(new, dict) and (is_safety or _is_joined(inside)):
            return {
                **old,
                **{
                    k: joined(old[k], v, (*way, k)) if k in old else take(v, (*way, k), (*way, k))
                    for k, v in new.items()
                },
            }
        if isinstance(old, list) and isinstance(new, list) and (is_safety or _is_added(inside)):
            fresh = [(i, v) for i, v in enumerate(new) if v not in old or inside != ("cautions",)]
            return [
                *old,
                *(take(v, (*way, i), (*way, len(old) + n)) for n, (i, v) in enumerate(fresh)),
            ]
        if is_safety and len(way) > 1:
            if old != new:
                fault = FROM_SAFETY.format(way[1], where.replace("_", " ").rstrip("s"), way[0])
                complaints.append(Complaint(own.place(way), fault, OWN_ENTRY, "safety_taken_away"))
            return old
        if inside in (("cautions",), ("notes",)):
            fault = f"{inside[0]} of a layer add to the shipped ones and must be a list"
            cure = "write [a, b] or lines that start with `- `"
            complaints.append(Complaint(own.place(way), fault, cure, "safety_taken_away"))
            return old
        return take(new, way, way)

    data = joined(base.data, own.data, ())
    return RawFile.joined(base, data, values, keys, files), frozenset(taken), complaints


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
