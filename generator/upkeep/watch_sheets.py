"""Takes the measurements of saved watch sheets into a workshop's own layer.

A measurement counts for a material where the sheet says what the part is made of. Measurements of
one material, state and property are pooled into one figure that lists them; the shipped figures
stay beside it. Reading a sheet again replaces what it said before. Nothing is written unless every
sheet can be read.
"""

from __future__ import annotations

import json
import re
import shutil
import tempfile
from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from pydantic import ValidationError

from generator.checks.rules import check
from generator.numbers.pooling import pooled
from generator.numbers.quantities import number_text
from generator.numbers.typed import typed
from generator.numbers.units import UnitTable, unit_table
from generator.records.complaints import Complaint, NotDone, Place, Refused, did_you_mean
from generator.records.inserting import Added, NoPlace, Replaced, new_record, with_figures
from generator.records.knowledge import Knowledge
from generator.records.measurements import Measurement
from generator.records.reading import SUFFIX, RawFile, read_file, shown_path
from generator.records.saved_sheets import VERSION, MeasuredOnSheet, SavedSheet
from generator.records.shape_faults import shape_complaints
from generator.records.writing import write_all

LARGEST = 2_000_000  # octets of a sheet
OF_THE_PIECE = ("weight-in-air", "weight-in-water", "magnet", "plating-thickness", "rate")
# Faults that measuring may bring to light: they are told, and the lead settles them.
TO_SETTLE = (
    "verdict_contradicts_the_trade", "grounds_do_not_hold", "watch_contradicts_the_verdict",
)  # fmt: skip
SOURCES = Path("sources") / "measured.yaml"


class Key(NamedTuple):
    """What measurements must share to be pooled."""

    material: str
    state: str | None
    prop: str
    unit: str


class Plan(NamedTuple):
    """Files to write, the figures they hold, what was passed over, what is to be settled."""

    files: list[tuple[Path, str]]
    figures: dict[Key, list[Measurement]]
    passed: list[Complaint]
    settle: list[Complaint]


def read_saved(root: Path, path: Path) -> tuple[SavedSheet, RawFile]:
    """A saved sheet with its places. Raises Refused."""
    name = shown_path(root, path)
    try:
        if path.stat().st_size > LARGEST:
            raise Refused([_at(name, "is too large to be a sheet", "save it again")])
        text = path.read_bytes().decode("utf-8-sig")
        data = json.loads(text, parse_int=str, parse_float=str, parse_constant=_no_number)
    except UnicodeDecodeError:
        raise Refused([_at(name, "is not text", "open it on the page and save it again")]) from None
    except json.JSONDecodeError as error:
        place = Place(name, error.lineno, error.colno)
        cure = "open it on the page of the watch sheet and save it again"
        raise Refused([Complaint(place, f"is damaged: {error.msg.lower()}", cure)]) from None
    except (ValueError, RecursionError):
        raise Refused([_at(name, "is damaged", "save it again from the page")]) from None
    except OSError as error:
        raise Refused([_at(name, f"cannot be read: {error.strerror}", "look at it")]) from None
    if not isinstance(data, dict) or "sheet" not in data or "watch" not in data:
        raise Refused([_at(name, "is not a watch sheet", "take it out of this folder")])
    version = str(data["sheet"])
    if re.fullmatch("[0-9]{1,6}", version) and int(version) > VERSION:
        fault = f"was saved by a newer edition (form {version})"
        raise Refused([_at(name, fault, "use that edition, or leave the sheet out")])
    if version in ("0", "1"):
        data["sheet"] = VERSION
    file = RawFile(name, data, path)
    try:
        return SavedSheet.model_validate(data), file
    except ValidationError as error:
        raise Refused(list(shape_complaints(SavedSheet, file, error))) from None


def _no_number(text: str):
    raise ValueError(text)


def _at(name: str, fault: str, cure: str) -> Complaint:
    return Complaint(Place(name), fault, cure)


def plan(root: Path, knowledge: Knowledge, folder: Path, layer: Path) -> Plan:
    """What the sheets of a folder come to. Raises Refused with every fault, NotDone without any
    sheet."""
    paths = sorted(p for p in folder.glob("*.json") if p.is_file())
    if not paths:
        raise NotDone(f"there is no saved sheet (.json) in {shown_path(root, folder)}; name theirs")
    faults: list[Complaint] = []
    passed: list[Complaint] = []
    found: dict[Key, list[Measurement]] = defaultdict(list)
    table = unit_table(knowledge.words("units"), knowledge.words("asked_units"))
    for path in paths:
        try:
            sheet, file = read_saved(root, path)
        except Refused as refused:
            faults += refused.complaints
            continue
        reader = _Reader(knowledge, table, sheet, file, path.stem)
        for key, measurement in reader.measurements():
            found[key].append(measurement)
        faults += reader.faults
        passed += reader.passed
    if faults:
        raise Refused(faults)
    source = f"measured-{_slug(layer.name)}"
    merged, files = _files(root, knowledge, layer, source, found, {p.stem for p in paths})
    settle = _tried(root, layer, files) if files else []
    return Plan(files, merged, passed, settle)


def write(made: Plan) -> None:
    """Write every file whole, or none."""
    write_all([(path, text, None) for path, text in made.files])


def in_words(root: Path, knowledge: Knowledge, base, made: Plan) -> Iterator[str]:
    """What is written, each figure with that of the base beside it; ``base``: the values without
    the layer."""
    for key, measured in sorted(made.figures.items(), key=str):
        result, material = pooled(measured), knowledge.materials[key.material]
        state = f", {material.states[key.state].name}" if key.state else ""
        unit = knowledge.words("units")[key.unit].label
        shipped = base.of(key.material, key.prop, key.state, key.unit)
        ends = (shipped.low, shipped.high) if shipped else ()
        beside = " to ".join(number_text(e) if e is not None else "open" for e in ends)
        yield (
            f"{material.name}{state}, {knowledge.words('properties')[key.prop].name}: "
            f"{number_text(result.low)} to {number_text(result.high)} {unit}, "
            f"pooled from {len(measured)} measurement{'s' if len(measured) > 1 else ''}; "
            + (f"the base has {beside}" if beside else "the base has none")
        )
    yield from (f"Passed over: {each}" for each in made.passed)
    yield from (f"To settle: {each}" for each in made.settle)


class _Reader:
    """Takes the measurements of one sheet; keeps its faults, and what it passes over."""

    def __init__(
        self, knowledge: Knowledge, table: UnitTable, sheet: SavedSheet, file: RawFile, name: str
    ):
        self.knowledge, self.table, self.sheet, self.file = knowledge, table, sheet, file
        self.name = re.sub(r"[^\w .()+-]", "-", name)[:120] or "sheet"
        self.faults: list[Complaint] = []
        self.passed: list[Complaint] = []

    def fault(self, way: tuple, fault: str, cure: str) -> None:
        self.faults.append(Complaint(self.file.place(way), fault, cure))

    def measurements(self) -> Iterator[tuple[Key, Measurement]]:
        """Every measurement that counts for a material."""
        watch = self.knowledge.watches.get(self.sheet.watch)
        if watch is None:
            kinds = self.knowledge.watches
            cure = did_you_mean(self.sheet.watch, kinds, f"kinds: {', '.join(kinds)}")
            self.fault(("watch",), f"there is no kind of watch {self.sheet.watch}", cure)
            return
        parts = watch.by_key()
        for i, row in enumerate(self.sheet.measured):
            before = len(self.faults)
            if row.part not in parts:
                cure = did_you_mean(row.part, parts, "choose a part of this kind of watch")
                fault = f"{watch.name} has no part {row.part}"
                self.fault(("measured", i, "part"), fault, cure)
                continue
            key = self._key(i, row)
            made = self._measurement(i, row, key) if key else None
            if made and len(self.faults) == before:
                yield key, made

    def _key(self, i: int, row: MeasuredOnSheet) -> Key | None:
        way, properties = ("measured", i), self.knowledge.words("properties")
        if row.property in OF_THE_PIECE:
            return self._pass(way, row, "it is of the piece, not of its metal", "nothing to do")
        prop = properties.get(row.property)
        if prop is None:
            cure = did_you_mean(row.property, properties, "choose a property of the base")
            return self.fault((*way, "property"), f"there is no property {row.property}", cure)
        made = self.sheet.parts.get(row.part)
        if made is None or not made.material:
            cure = "say on the sheet what the part is made of, then it counts"
            return self._pass(way, row, "its metal is not known", cure)
        material = self.knowledge.materials.get(made.material)
        at = ("parts", row.part)
        if material is None:
            cure = did_you_mean(made.material, self.knowledge.materials, "choose a material")
            return self.fault((*at, "material"), f"there is no material {made.material}", cure)
        if made.state and made.state not in material.states:
            cure = did_you_mean(made.state, material.states, "leave it out")
            return self.fault((*at, "state"), f"{made.material} has no state {made.state}", cure)
        if made.coating:
            cure = "measure where the plating is off, and say so without the coating"
            return self._pass(way, row, "it was taken on plating", cure)
        if prop.state_bound and material.states and not made.state:
            cure = "say on the sheet which state the metal is in, then it counts"
            return self._pass(way, row, "it depends on the state, which is not known", cure)
        unit = row.unit or next(iter(prop.units))
        if unit not in prop.units:
            cure = did_you_mean(unit, prop.units, f"write one of: {', '.join(prop.units)}")
            return self.fault((*way, "unit"), f"{prop.name} is not measured in {unit}", cure)
        state = made.state if prop.state_bound else None
        return Key(made.material, state or None, row.property, unit)

    def _pass(self, way: tuple, row: MeasuredOnSheet, why: str, cure: str) -> None:
        what = f"{row.property.replace('-', ' ')} of {row.part.replace('-', ' ')}"
        self.passed.append(Complaint(self.file.place(way), f"{what}: {why}", cure))

    def _measurement(self, i: int, row: MeasuredOnSheet, key: Key) -> Measurement | None:
        way, before = ("measured", i), len(self.faults)
        if not row.doubt.strip():
            cure = "type plus or minus beside the value, then it counts"
            return self._pass(way, row, "without plus or minus it has no weight", cure)
        value = self._number((*way, "value"), row.value, key.unit)
        doubt = self._number((*way, "doubt"), row.doubt, key.unit)
        readings = row.readings.strip()
        if readings and not re.fullmatch("[1-9][0-9]{0,5}", readings):
            self.fault(
                (*way, "readings"), f"{readings!r} is not a count", "type how many, such as 3"
            )
        if value is not None:
            low, high = self.knowledge.words("properties")[key.prop].units[key.unit]
            if not low <= value <= high:
                fault = f"{number_text(value)} is outside {low} to {high} {key.unit}"
                self.fault((*way, "value"), fault, "check the decimal point and the unit")
        known = value is not None and doubt is not None
        if known and not 0 < doubt <= max(abs(value), Decimal(1)):
            fault = f"plus or minus {number_text(doubt)} cannot be"
            self.fault((*way, "doubt"), fault, "it is above nothing and below the value itself")
        day = row.day or self.sheet.day
        try:
            on = date.fromisoformat(day)
        except ValueError:
            cure = "write it as 2026-01-31"
            self.fault((*way, "day") if row.day else ("day",), f"{day!r} is not a date", cure)
            return None
        if not known or len(self.faults) > before:
            return None
        given = {
            "value": f"{value:f}", "doubt": f"{doubt:f}", "readings": readings or None,
            "instrument": row.instrument.strip() or None, "on": on,
            "by": row.by.strip() or None, "part": row.part, "sheet": self.name,
        }  # fmt: skip
        try:
            return Measurement.model_validate(given)
        except ValidationError as error:
            self.faults += shape_complaints(Measurement, _Here(self.file, way), error)
            return None

    def _number(self, way: tuple, text: str, unit: str) -> Decimal | None:
        try:
            found = typed(text, unit, self.table)
            if not found.is_point:
                raise ValueError("one value is wanted; type the middle, and plus or minus beside")
            return found.low
        except (ValueError, ArithmeticError) as error:
            fault, _, cure = str(error).partition("; ")
            self.fault(way, fault, cure or "type a number")
            return None


class _Here:
    """The places of one row of a sheet."""

    def __init__(self, file: RawFile, way: tuple):
        self._file, self._way = file, way

    def place(self, way: tuple = (), key: bool = False) -> Place:
        names = {"on": "day"}
        return self._file.place((*self._way, *(names.get(w, w) for w in way)))


def _files(
    root: Path, knowledge: Knowledge, layer: Path, source: str, found: dict, read: set[str]
) -> tuple[dict[Key, list[Measurement]], list[tuple[Path, str]]]:
    """The figures with what the layer has already, and the files of the layer as they will be."""
    by_material: dict[str, dict[Key, list[Measurement]]] = defaultdict(dict)
    for key, measured in found.items():
        by_material[key.material][key] = measured
    merged, files = {}, []
    for material, ours in sorted(by_material.items()):
        path = layer / knowledge.folders[material] / f"{material}{SUFFIX}"
        there = read_file(root, path).data if path.exists() else {}
        added, replaced = [], []
        for key, fresh in ours.items():
            index, old = _old(there, key, source)
            kept = [m for m in old if m.sheet not in read]
            merged[key] = sorted([*kept, *fresh], key=lambda m: (m.on, m.sheet, m.part))
            figure = _figure(key, source, merged[key])
            if index is None:
                added.append(Added(key.state, key.prop, figure))
            else:
                replaced.append(Replaced(key.state, key.prop, index, figure))
        try:
            text = path.read_text(encoding="utf-8-sig") if there else ""
            new = with_figures(text, added, replaced) if there else new_record(added)
        except NoPlace as error:
            cure = "add it to the record of the layer, then read the sheets again"
            raise Refused([_at(shown_path(root, path), str(error), cure)]) from None
        if new != text:
            files.append((path, new))
    return merged, [*files, *_source_file(layer, source)] if files else []


def _old(there: dict, key: Key, source: str) -> tuple[int | None, list[Measurement]]:
    """Where the layer has a figure of this source already, and the measurements that it lists."""
    home = there.get("states", {}).get(key.state, {}) if key.state else there
    for i, figure in enumerate(home.get("figures", {}).get(key.prop, ())):
        if figure.get("source") == source and figure.get("unit", key.unit) == key.unit:
            return i, [Measurement.model_validate(m) for m in figure.get("measured", ())]
    return None, []


def _figure(key: Key, source: str, measured: list[Measurement]) -> dict:
    """A pooled figure as the record will have it."""
    result = pooled(measured)
    return {
        "range": [result.low, result.high],
        "unit": key.unit,
        "source": source,
        "measured": [m.model_dump(mode="json", exclude_none=True) for m in measured],
    }


def _source_file(layer: Path, source: str) -> Iterator[tuple[Path, str]]:
    """The source that stands for a workshop's measurements, where the layer has it not."""
    path = layer / SOURCES
    old = path.read_text(encoding="utf-8-sig") if path.exists() else ""
    if f"{source}:" not in old:
        entry = {"title": "Measured on pieces at the bench", "publisher": f"Workshop {layer.name}"}
        text = ", ".join(f"{k}: {json.dumps(v, ensure_ascii=False)}" for k, v in entry.items())
        note = 'note: "from saved sheets of watches, pooled"'
        yield path, f"{old}{source}: {{{text}, kind: other, {note}}}\n"


def _slug(name: str) -> str:
    return "-".join(re.findall("[a-z0-9]+", name.lower()))[:40].strip("-") or "workshop"


def _tried(root: Path, layer: Path, files: list[tuple[Path, str]]) -> list[Complaint]:
    """Check the layer as it will be, in a copy; what measuring may bring to light is handed on.
    Raises Refused."""
    with tempfile.TemporaryDirectory() as scratch:
        copy = Path(scratch) / layer.name
        shutil.copytree(layer, copy)
        for path, text in files:
            target = copy / path.relative_to(layer)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(text, encoding="utf-8", newline="\n")
        _, complaints = check(root, [copy])
        said, real = shown_path(root, copy), shown_path(root, layer)
    found = [
        Complaint(
            Place(c.place.file.replace(said, real), c.place.line, c.place.column),
            c.fault,
            c.cure,
            c.rule,
        )
        for c in complaints
    ]
    if any(c.rule not in TO_SETTLE for c in found):
        raise Refused([c for c in found if c.rule not in TO_SETTLE])
    return found
