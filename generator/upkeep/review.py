"""Stamps a review date into a record, or explains where a figure comes from.

A stamp changes the characters of the date and nothing else: comments, order, quotes and line ends
stay as typed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

from generator.checks.settling import Settling, in_words
from generator.numbers import quantities
from generator.numbers.quantities import BORROWED, MEMORY, OWN, RANK, Quantity
from generator.numbers.values import ROOM_SPAN, Values, evidence_of, figure_quantity
from generator.records import clock, models
from generator.records.complaints import NotDone, did_you_mean
from generator.records.folders import RECORD_FOLDERS
from generator.records.knowledge import UNPUBLISHED, Knowledge
from generator.records.reading import SUFFIX, read_file
from generator.records.writing import write_whole
from generator.upkeep.stands import explain_role
from generator.verdicts.wording import evidence_words, with_unit

SAID = (OWN, BORROWED, MEMORY)  # evidence that needs no word here, or has it elsewhere in the line
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


class EditFailed(NotDone):
    """Why nothing was stamped or explained, as `fault; cure`."""


def stamp_review(root: Path, name: str, on: date, layer: Path | None = None) -> Path:
    """Set the day of a record's last review, in knowledge/ or in a workshop's own layer.

    Returns the file. Raises EditFailed, or Refused when the file cannot be read.
    """
    path = _find(layer or root / "knowledge", name)
    raw = read_file(root, path)
    mark = raw.marks.get(("reviewed", "on"))
    if mark is None:
        raise EditFailed(
            f"{raw.file} has no line `reviewed: {{on: ..., by: ...}}`; write one first"
        )
    octets = path.read_bytes()
    start = len(octets) - len(octets.removeprefix(b"\xef\xbb\xbf"))
    text = octets[start:].decode("utf-8")
    found = _DAY.search(text, mark.index, mark.index + 12)
    if not found:
        raise EditFailed(
            f"{raw.place(('reviewed', 'on'))}: {raw.data['reviewed']['on']!r} is not a date; write"
            " it as 2026-01-31"
        )
    if on > clock.today():
        raise EditFailed(f"{on} is in the future; give the day on which it was read")
    new = text[: found.start()] + on.isoformat() + text[found.end() :]
    expected = {**raw.data, "reviewed": {**raw.data["reviewed"], "on": on.isoformat()}}

    def only_the_day_differs(copy: Path) -> None:
        if read_file(root, copy).data != expected:
            raise EditFailed(f"{raw.file} would change in more than the day; nothing was written")

    write_whole(path, octets[:start] + new.encode("utf-8"), only_the_day_differs)
    return path


def _find(home: Path, name: str) -> Path:
    """The file of a record, by its id or by folder/id where several records share the id."""
    folder, _, key = name.removesuffix(SUFFIX).rpartition("/")
    found = [
        home / f / f"{key}{SUFFIX}" for f in RECORD_FOLDERS if folder in ("", f, f"knowledge/{f}")
    ]
    found = [path for path in found if path.is_file()]
    if not found:
        known = {p.stem for f in RECORD_FOLDERS for p in (home / f).glob(f"*{SUFFIX}")}
        raise EditFailed(
            f"there is no record {name};"
            f" {did_you_mean(key, known, 'its id is its file name without .yaml')}"
        )
    if len(found) > 1:
        raise EditFailed(
            f"{name} is the id of several records; say which:"
            f" {', '.join(f'{p.parent.name}/{key}' for p in found)}"
        )
    return found[0]


def explain(knowledge: Knowledge, name: str, settling: Settling | None = None) -> str:
    """Every figure of ``material.property`` with its place and source in full, and what they come
    to; with ``settling`` also what measuring it would settle.

    For a part, or a part in a setting (``part/setting``), where every material stands and why.

    Raises EditFailed.
    """
    if name in knowledge.roles:
        return "\n".join(explain_role(knowledge, name)).replace(quantities.NBSP, " ")
    material, _, prop = name.partition(".")
    if material not in knowledge.materials:
        cure = did_you_mean(material, knowledge.materials, "its id is its file name without .yaml")
        raise EditFailed(f"there is no material {material}; {cure}")
    if prop not in knowledge.words("properties"):
        cure = did_you_mean(prop, knowledge.words("properties"), "write ID.property")
        raise EditFailed(f"there is no property {prop or '(none was named)'}; {cure}")
    record, values = knowledge.materials[material], Values(knowledge)
    lines = [f"{record.name}: {knowledge.words('properties')[prop].name}"]
    groups = [(None, record.figures.get(prop, []))] + [
        (s, state.figures.get(prop, [])) for s, state in record.states.items()
    ]
    for state, found in groups:
        if found:
            lines += [
                "",
                record.states[state].name if state else "in every state",
                *_explain_group(knowledge, values, material, prop, state, found),
            ]
            for settled in settling.of(material, prop) if settling else ():
                if settled.state == state:
                    lines += in_words(knowledge, settled)
    if len(lines) == 1:
        lines.append("  not found: no source that was read gives it")
    return "\n".join(lines).replace(quantities.NBSP, " ")


def _explain_group(
    knowledge: Knowledge,
    values: Values,
    material: str,
    prop: str,
    state: str | None,
    found: list[models.Figure],
) -> Iterator[str]:
    start = ("states", state, "figures", prop) if state else ("figures", prop)
    places = [(*start, i) for i in range(len(found))]
    ours = [knowledge.from_layer("material", material, place) for place in places]
    units = list(dict.fromkeys(f.unit or values.unit_of(prop) for f in found))
    counted: dict[str, int] = dict.fromkeys(units, 0)
    for figure, own, place in zip(found, ours, places, strict=True):
        alike = [(f, o) for f, o in zip(found, ours, strict=True) if f.unit == figure.unit]
        why_not = _left_out(figure, own, alike, prop, values)
        quantity = figure_quantity(knowledge, figure, figure.unit or values.unit_of(prop))
        counted[quantity.unit] += not why_not
        at = knowledge.place("material", material, place)
        yield from _explain_figure(knowledge, figure, quantity, own, at)
        if why_not:
            yield f"      not counted: {why_not}"
    if prop == "hardness" and "HV" not in units and values.of(material, prop, state, "HV"):
        units.append("HV")
    for unit in units:
        quantity = values.of(material, prop, state, unit)
        if quantity:
            yield _what_counts(knowledge, quantity, counted.get(unit, 0))


def _explain_figure(
    knowledge: Knowledge, figure: models.Figure, quantity: Quantity, own: bool, at: str
) -> Iterator[str]:
    kind = [figure.kind] if figure.kind in ("typical", "range") else []
    ours = ["of this workshop"] if own else []
    evidence = [] if quantity.evidence in SAID else [evidence_words(replace(quantity, of=()))]
    words = ", ".join([*kind, *ours, *evidence])
    yield f"  {with_unit(knowledge, quantity)}{f' ({words})' if words else ''}  {at}"
    if figure.over or figure.note:
        span = f"{figure.over[0]} to {figure.over[1]} degC" if figure.over else None
        yield f"      note: {'; '.join(t for t in (span, figure.note) if t)}"
    yield f"      source: {_source(knowledge, figure.source)}"


def _what_counts(knowledge: Knowledge, quantity: Quantity, many: int) -> str:
    memory = "; from memory, so it decides no verdict" if quantity.from_memory else ""
    return f"  what counts: {with_unit(knowledge, quantity)} ({_how(quantity, many)}{memory})"


def _how(quantity: Quantity, many: int) -> str:
    if quantity.converted_from:
        return f"converted from {quantity.converted_from} by the table for steels"
    if many == 1:
        return "the only figure"
    return f"all {many} agree" if quantity.is_point else f"the span of {many} figures"


def _left_out(
    figure: models.Figure,
    own: bool,
    alike: list[tuple[models.Figure, bool]],
    prop: str,
    values: Values,
) -> str:
    """Why a figure does not go into the envelope, in the order of values.py and
    quantities.envelope; empty when it does."""
    if not own and any(o for _, o in alike):
        return "the workshop's own figure comes first"
    pool = [f for f, o in alike if o == own]
    if prop == "expansion" and not _room(figure) and any(_room(f) for f in pool):
        return f"its span is not that of a room ({ROOM_SPAN[0]} to {ROOM_SPAN[1]} degC)"
    pool = [f for f in pool if prop != "expansion" or _room(f) == _room(figure)]
    if figure.source == "memory" and any(f.source != "memory" for f in pool):
        return "from memory, and a publication gives it too"

    def rank(f: models.Figure) -> int:
        return RANK[evidence_of(values.knowledge, f)]

    better = [f for f in pool if rank(f) < rank(figure)]
    if any(f.kind in ("typical", "range") for f in better):
        return "a figure for the metal itself, or better evidence, is known too"
    pool = [f for f in pool if rank(f) == rank(figure)]
    if figure.kind in ("at_least", "at_most") and any(f.kind in ("typical", "range") for f in pool):
        return "a limit, and a value is known too"
    return ""


def _room(figure: models.Figure) -> bool:
    return figure.over is None or (
        figure.over[0] >= ROOM_SPAN[0] and figure.over[1] <= ROOM_SPAN[1]
    )


def _source(knowledge: Knowledge, key: str) -> str:
    """A source in full, with the place where it is written down."""
    if key in UNPUBLISHED:
        return {"memory": "memory; not found in print", "practice": "common practice"}[key]
    source = knowledge.sources[key]
    seen = "" if source.seen else "; the text itself was not read"
    note = f"; {source.note}" if source.note else ""
    place = knowledge.place("source", key, (key,), at_key=True)
    words = ", ".join(
        p
        for p in (
            source.author,
            source.title,
            source.number,
            source.publisher,
            source.year,
            source.where,
            source.address,
        )
        if p
    )
    return f"{words}{note}{seen} [{key}, {place}]"
