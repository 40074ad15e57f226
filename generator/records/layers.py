"""Receives a shipped file and that of a workshop's own layer; hands on one in which every value
knows where it was typed.

Figures and notes of the layer are added to the shipped ones. States, ways of working and the
entries of a list are merged key by key. Every other field of the layer takes the place of the
shipped one.
"""

from __future__ import annotations

from generator.records.reading import Path_, RawFile


def merged(base: RawFile, own: RawFile, is_list: bool) -> tuple[RawFile, frozenset[Path_]]:
    """Both as one, and the ways to what came from the layer.

    ``is_list``: the file holds entries by id, not one record.
    """
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
        if isinstance(old, dict) and isinstance(new, dict) and _is_joined(inside):
            return {
                **old,
                **{
                    k: joined(old[k], v, (*way, k)) if k in old else take(v, (*way, k), (*way, k))
                    for k, v in new.items()
                },
            }
        if isinstance(old, list) and isinstance(new, list) and _is_added(inside):
            return [*old, *(take(v, (*way, i), (*way, len(old) + i)) for i, v in enumerate(new))]
        return take(new, way, way)

    data = joined(base.data, own.data, ())
    return RawFile.joined(base, data, values, keys, files), frozenset(taken)


def _is_joined(way: Path_) -> bool:
    """True for mappings that are merged key by key: the record, its figures, states and ways of
    working."""
    return way in ((), ("figures",), ("states",), ("working",)) or (
        way[0] == "states" and (len(way) == 2 or (len(way) == 3 and way[2] == "figures"))
    )


def _is_added(way: Path_) -> bool:
    """True for lists that grow: notes, and figures wherever they stand."""
    return way in (("notes",), ("figures",)) or "figures" in way[-2:-1]
