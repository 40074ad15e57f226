"""Takes figures from a table with the columns of our own export into the records.

A figure that is there already is left alone; one of the same kind, source and conditions with
another value is changed; all others are added. Nothing is written unless every row can be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from pydantic import ValidationError

from generator.checks import figures as figure_rules
from generator.checks import warmth
from generator.export.sheets import SHEETS
from generator.records.complaints import Complaint, NotDone, Refused, did_you_mean
from generator.records.inserting import Added, Changed, NoPlace, new_record, with_figures
from generator.records.knowledge import UNPUBLISHED, Knowledge
from generator.records.materials import Figure, Material
from generator.records.reading import SUFFIX, read_text, shown_path
from generator.records.shape_faults import words_for
from generator.records.signs import invisible
from generator.records.writing import write_all
from generator.upkeep.sheet import Row, Sheet, read_sheet

KNOWN = [c.name for sheet in SHEETS if sheet.name == "figures" for c in sheet.columns]
NEEDED = ("material", "property", "kind", "source")
KINDS = {
    "typical": ("low", "high"),
    "range": ("low", "high"),
    "at_least": ("low",),
    "at_most": ("high",),
}
CONDITIONS = ("unit", "over", "source", "of", "note")
RULES = (
    figure_rules.practice_for_a_figure,
    figure_rules.figure_out_of_bounds,
    figure_rules.figure_unit,
    figure_rules.figure_in_the_wrong_place,
    figure_rules.span_only_for_expansion,
    figure_rules.expansion_without_span,
    *warmth.ALL,
)


class RowsRefused(Exception):
    """Rows that cannot be taken, each as a line: file, row, column, fault, cure."""

    def __init__(self, lines: list[str]):
        super().__init__(f"{len(lines)} faults")
        self.lines = lines


@dataclass
class Taken:
    """What happens to one record."""

    path: Path
    material: str
    old: bytes | None
    data: dict  # as typed in the file that is written
    rows: list[int] = field(default_factory=list)
    added: list[tuple[int, Added]] = field(default_factory=list)
    changed: list[tuple[int, Changed, dict]] = field(default_factory=list)
    there: list[int] = field(default_factory=list)
    text: str = ""

    @property
    def new(self) -> bytes:
        """The whole file as it will be."""
        start = b"\xef\xbb\xbf" if (self.old or b"").startswith(b"\xef\xbb\xbf") else b""
        return start + self.text.encode()


def plan(root: Path, knowledge: Knowledge, path: Path, layer: Path | None = None) -> list[Taken]:
    """What the table would do, record by record.

    Raises SheetFailed, or RowsRefused with every row that cannot be taken.
    """
    sheet = read_sheet(path, KNOWN, NEEDED)
    faults: list[str] = []
    taken: dict[str, Taken] = {}
    seen: dict[tuple, int] = {}
    for row in sheet.rows:
        wanted, wrong = _wanted(knowledge, sheet, row)
        faults += [_line(sheet, row.number, *each) for each in wrong]
        if wrong:
            continue
        material, state, prop, figure = wanted
        key = (material, state, prop, repr(figure))
        if seen.setdefault(key, row.number) != row.number:
            twice = ("material", f"says the same as row {seen[key]}", "delete one of them")
            faults.append(_line(sheet, row.number, *twice))
            continue
        try:
            ours = taken.get(material) or _open(root, knowledge, material, layer)
        except Refused as refused:
            faults.append(_line(sheet, row.number, "material", str(refused.complaints[0]), ""))
            continue
        taken[material] = ours
        ours.rows.append(row.number)
        wrong = _place(knowledge, sheet, ours, row, state, prop, figure)
        faults += [_line(sheet, row.number, *each) for each in wrong]
    if not faults:
        faults = [line for each in taken.values() for line in _put_in(root, sheet, each)]
    if not faults:
        faults = list(_against_the_rules(root, knowledge, sheet, taken, layer))
    if faults:
        raise RowsRefused(faults)
    return [taken[key] for key in sorted(taken)]


def write(root: Path, plans: list[Taken]) -> None:
    """Write every record whole; when one cannot be written, those before it are put back."""
    ours = [each for each in plans if each.added or each.changed]
    for each in ours:
        now = each.path.read_bytes() if each.path.exists() else None
        if now != each.old:
            name = shown_path(root, each.path)
            raise NotDone(f"{name} was saved meanwhile; nothing was taken, start again")
    write_all([(each.path, each.new, None) for each in ours])


def _line(sheet: Sheet, row: int, column: str, fault: str, cure: str) -> str:
    letter = sheet.letters.get(column)
    where = f", column {letter} ({column})" if letter else ""
    return (
        f"{sheet.name}, row {row}{where}: {fault}; {cure}"
        if cure
        else f"{sheet.name}, row {row}{where}: {fault}"
    )


Wrong = tuple[str, str, str]  # column, fault, cure


def _wanted(knowledge: Knowledge, sheet: Sheet, row: Row) -> tuple[tuple | None, list[Wrong]]:
    """Material, state, property and the figure as a record would have it; or what is wrong."""
    cells = row.cells
    wrong = [
        (c, f"{c} is empty", "fill it in, or delete the row") for c in NEEDED if c not in cells
    ]
    wrong += [w for column, text in cells.items() for w in _odd_text(column, text)]
    if wrong:
        return None, wrong
    known = {
        "material": knowledge.materials,
        "property": knowledge.words("properties"),
        "source": {**knowledge.sources, **dict.fromkeys(UNPUBLISHED)},
        "kind": KINDS,
    }
    for column, words in known.items():
        if cells[column] not in words:
            cure = did_you_mean(cells[column], words, "add it to the knowledge base first")
            wrong.append((column, f"there is no {column} {cells[column]!r}", cure))
    if wrong:
        return None, wrong
    material, state = knowledge.materials[cells["material"]], cells.get("state")
    if state and state not in material.states:
        cure = did_you_mean(state, material.states, "add the state to the record first")
        wrong.append(("state", f"{cells['material']} has no state {state!r}", cure))
    units = list(knowledge.words("properties")[cells["property"]].units)
    unit = cells.get("unit")
    if unit is None and len(units) > 1:
        wrong.append(("unit", f"{cells['property']} needs a unit", f"write {' or '.join(units)}"))
    elif unit is not None and unit not in units:
        fault = f"{cells['property']} is not measured in {unit!r}"
        wrong.append(("unit", fault, f"write {' or '.join(units)}"))
    figure, odd = _figure(cells, unit if len(units) > 1 else None)
    return (cells["material"], state, cells["property"], figure), wrong + odd


def _odd_text(column: str, text: str) -> Iterator[Wrong]:
    if text.startswith("="):
        yield column, f"{text[:20]!r} is a formula", "paste its value"
    elif len(text) > 300:
        yield column, "holds more than 300 letters", "shorten it"
    else:
        sign = next(invisible(text), None)
        if sign:
            yield column, f"holds the invisible character {sign[1]}", "delete it"


def _figure(cells: Mapping[str, str], unit: str | None) -> tuple[dict, list[Wrong]]:
    """The figure as plain data with the digits of the table."""
    ends, wrong = {}, []
    for name in ("low", "high", "over_from", "over_to"):
        typed, shown = cells.get(name), cells.get(f"{name}_text")
        ends[name] = shown if shown is not None else typed
    kind = cells["kind"]
    if kind == "range":
        amount: object = [ends["low"], ends["high"]]
    elif kind == "typical":
        amount = ends["low"] if ends["low"] is not None else ends["high"]
        if None not in (ends["low"], ends["high"]) and ends["low"] != ends["high"]:
            wrong.append(
                ("high", "a typical value has one number", "write kind range, or empty high")
            )
    else:
        amount = ends[KINDS[kind][0]]
    for name in KINDS[kind] if kind != "typical" else ("low",):
        if amount is None or (kind == "range" and ends[name] is None):
            wrong.append((_said_in(cells, name), f"{kind} needs {name}", "fill it in"))
    if (ends["over_from"] is None) != (ends["over_to"] is None):
        wrong.append(("over_from", "a span needs both ends", "fill in over_from and over_to"))
    if wrong:
        return {}, wrong
    figure = {kind: amount, "unit": unit}
    if ends["over_from"] is not None:
        figure["over"] = [ends["over_from"], ends["over_to"]]
    figure |= {name: cells.get(name) for name in ("source", "of", "note")}
    figure = {name: value for name, value in figure.items() if value is not None}
    return figure, list(_misshapen(cells, figure))


def _said_in(cells: Mapping[str, str], name: str) -> str:
    return f"{name}_text" if f"{name}_text" in cells else name


def _misshapen(cells: Mapping[str, str], figure: dict) -> Iterator[Wrong]:
    for name in ("low", "high", "over_from", "over_to"):
        typed, shown = cells.get(name), cells.get(f"{name}_text")
        if None not in (typed, shown) and not _same(typed, shown):
            fault = f"{typed} is not {shown} of the column {name}_text"
            yield name, fault, f"correct {name}_text: its digits are the ones that count"
    try:
        Figure.model_validate(figure)
    except ValidationError as error:
        for item in error.errors(include_url=False):
            way = item["loc"]
            column = str(way[0]) if way else "kind"
            if column in ("typical", "range", "at_least", "at_most"):
                column = "high" if column == "at_most" or way[1:] == (1,) else "low"
            elif column == "over":
                column = "over_to" if way[1:] == (1,) else "over_from"
            column = _said_in(cells, column)
            yield column, *words_for(item, column, Figure, tuple(way))


def _same(a: str, b: str) -> bool:
    try:
        return float(a) == float(b)
    except ValueError:
        return a == b


def _open(root: Path, knowledge: Knowledge, material: str, layer: Path | None) -> Taken:
    folder = layer or root / "knowledge"
    path = folder / knowledge.folders[material] / f"{material}{SUFFIX}"
    if not path.exists():
        return Taken(path, material, None, {})
    octets = path.read_bytes()
    return Taken(path, material, octets, read_text(shown_path(root, path), _text(octets)).data)


def _text(octets: bytes) -> str:
    return octets.decode("utf-8-sig")


def _place(
    knowledge: Knowledge, sheet: Sheet, ours: Taken, row: Row, state, prop, figure
) -> list[Wrong]:
    """Decides whether a figure is there already, changes one, or is added."""
    record = knowledge.materials[ours.material]
    home = record.figures if state is None else record.states[state].figures
    if figure in [_as_typed(f) for f in home.get(prop, ())]:
        ours.there.append(row.number)
        return []
    way = ("figures", prop) if state is None else ("states", state, "figures", prop)
    listed = _get(ours.data, way) or []
    kind = next(iter(figure))
    asked = [c for c in CONDITIONS if c in figure or _column(c) in sheet.letters or c == "source"]
    alike = [
        i
        for i, known in enumerate(listed)
        if kind in known and all(known.get(c) == figure.get(c) for c in asked)
    ]
    if len(alike) > 1:
        fault = f"{ours.material} holds {len(alike)} figures of this source for {prop}"
        cure = "give over, of and note as the export has them, or edit the record by hand"
        return [("source", fault, cure)]
    if alike:
        change = Changed(state, prop, alike[0], kind, figure[kind])
        if any(c[:3] == change[:3] for _, c, _ in ours.changed):
            return [("source", "two rows change one figure", "delete one of them")]
        ours.changed.append((row.number, change, listed[alike[0]]))
    else:
        ours.added.append((row.number, Added(state, prop, figure)))
    return []


def _get(data, way: tuple):
    for step in way:
        data = data.get(step) if isinstance(data, dict) else None
    return data


def _column(condition: str) -> str:
    return "over_from" if condition == "over" else condition


def _as_typed(figure: Figure) -> dict:
    return figure.model_dump(mode="json", exclude_none=True, exclude={"measured"})


def _put_in(root: Path, sheet: Sheet, ours: Taken) -> Iterator[str]:
    """Makes the new text of a record and reads it back."""
    name = shown_path(root, ours.path)
    added = [a for _, a in ours.added]
    changed = [c for _, c, _ in ours.changed]
    try:
        if ours.old is None:
            ours.text = new_record(added)
        else:
            ours.text = with_figures(_text(ours.old), added, changed)
        after = read_text(name, ours.text).data
    except (NoPlace, Refused, ValueError) as error:
        why = error.complaints[0] if isinstance(error, Refused) else error
        yield f"{sheet.name}, row {ours.rows[0]}: {name}: {why}; put the figures in by hand"
        return
    if after != _with(ours.data, added, changed):
        yield (
            f"{sheet.name}, row {ours.rows[0]}: {name} would change in more than these figures; "
            "put them in by hand"
        )


def _with(before: dict, added: list[Added], changed: list[Changed]) -> dict:
    """The record as plain data with the figures in it: what the new text must say."""
    after = _copied(before)
    for each in changed:
        home = after if each.state is None else after["states"][each.state]
        item = home["figures"][each.prop][each.index]
        item[each.kind] = each.value
    for each in added:
        home = after
        if each.state is not None:
            home = home.setdefault("states", {}).setdefault(each.state, {})
        home.setdefault("figures", {}).setdefault(each.prop, []).append(dict(each.figure))
    return after


def _copied(value):
    if isinstance(value, dict):
        return {key: _copied(inner) for key, inner in value.items()}
    return [_copied(inner) for inner in value] if isinstance(value, list) else value


def _against_the_rules(
    root: Path, knowledge: Knowledge, sheet: Sheet, taken: Mapping[str, Taken], layer
) -> Iterator[str]:
    """What the rules for figures would say of the records that are not so already."""
    before = {key: knowledge.materials[key] for key in taken}
    after = {key: _record(before[key], ours) for key, ours in taken.items()}
    known = {(c.rule, c.fault) for c in _complaints(knowledge, before)}
    for key, record in after.items():
        for complaint in _complaints(knowledge, {key: record}):
            if (complaint.rule, complaint.fault) not in known:
                guilty = _guilty(knowledge, before[key], taken[key], complaint)
                rows = ", ".join(map(str, guilty[:8]))
                many = "row" if len(guilty) == 1 else "rows"
                yield f"{sheet.name}, {many} {rows} ({key}): {complaint.fault}; {complaint.cure}"


def _guilty(knowledge: Knowledge, record: Material, ours: Taken, complaint: Complaint) -> list[int]:
    """The rows that bring a complaint about by themselves; all of a record's where none does."""
    found = []
    for alone in [(a, []) for a in ours.added] + [([], c) for c in ours.changed]:
        row = (alone[0] or alone[1])[0]
        one = replace(
            ours, added=[alone[0]] if alone[0] else [], changed=[alone[1]] if alone[1] else []
        )
        tried = _complaints(knowledge, {ours.material: _record(record, one)})
        if any((c.rule, c.fault) == (complaint.rule, complaint.fault) for c in tried):
            found.append(row)
    return sorted(found) or ours.rows


def _record(record: Material, ours: Taken) -> Material:
    """The record with the figures, in a layer beside those that are shipped."""
    data = record.model_dump(mode="json", exclude_unset=True)
    for _, change, was in ours.changed:
        home = data if change.state is None else data["states"][change.state]
        listed = home["figures"][change.prop]
        listed[listed.index(was)][change.kind] = change.value
    return Material.model_validate(_with(data, [a for _, a in ours.added], []))


def _complaints(knowledge: Knowledge, materials: Mapping[str, Material]) -> list[Complaint]:
    only = replace(knowledge, materials=materials, _walked=[])
    return [complaint for rule in RULES for complaint in rule(only)]


def in_words(root: Path, plans: list[Taken], knowledge: Knowledge) -> list[str]:
    """What happens, a line a figure."""
    lines = []
    for each in plans:
        if each.added or each.changed:
            lines.append(shown_path(root, each.path))
        for row, a in each.added:
            lines.append(f"  row {row}: adds {_named(a)} {_amount(knowledge, a.prop, a.figure)}")
        for row, c, was in each.changed:
            now = {**was, c.kind: c.value}
            lines.append(
                f"  row {row}: changes {_named(c)} {_amount(knowledge, c.prop, was)} to "
                f"{_amount(knowledge, c.prop, now)}"
            )
    added, changed = (sum(len(getattr(p, name)) for p in plans) for name in ("added", "changed"))
    there = sum(len(p.there) for p in plans)
    records = sum(bool(p.added or p.changed) for p in plans)
    many = "record" if records == 1 else "records"
    lines.append(f"{added} added, {changed} changed, in {records} {many}; {there} there already.")
    return lines


def _named(each: Added | Changed) -> str:
    return f"{each.prop}, {each.state}:" if each.state else f"{each.prop}:"


def _amount(knowledge: Knowledge, prop: str, figure: Mapping) -> str:
    kind = next(k for k in KINDS if k in figure)
    value = figure[kind]
    text = " to ".join(map(str, value)) if kind == "range" else str(value)
    unit = figure.get("unit") or next(iter(knowledge.words("properties")[prop].units))
    words = {"at_least": "at least ", "at_most": "at most "}.get(kind, "")
    return f"{words}{text}{'' if unit == '1' else ' ' + unit} ({figure['source']})"
