"""Plants errors of a tired hand, one at a time, and tells how many the checker notices.

python -m tests.benchmarks.planted SEED [-v]: 100 errors, 20 of each kind, each material at most
once in a kind, drawn by lot over every published value (typical or range, not from memory) of the
very material. With -v each error is listed. Nothing here times anything.

swapped units     the number as another unit has it, or the sign of another hardness scale
wrong state       the figure of another state of the material, value and unit
relative's figure the figure of another material of the family in the same place, value and unit
lost minus        10 lost signs; 6 ranges whose hyphen was lost (110-140: 110140); 4 whose hyphen
                  was taken for a sign (110, -140)
shifted decimal   ten times as much, or a tenth

A state's or a relative's figure is drawn where it differs by more than the last digit typed. An
error counts as noticed when its record is refused, or a rule complains of its file.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from random import Random

from pydantic import ValidationError

from generator.checks.rules import RULES
from generator.records.knowledge import Knowledge
from generator.records.loading import load
from generator.records.materials import Material, figures_of

ROOT = Path(__file__).resolve().parents[2]
KINDS = ("swapped units", "wrong state", "relative's figure", "lost minus", "shifted decimal")
EACH = 20
SIGNS = (10, 6, 4)
SCALES = ("HV", "HBW", "HRC")
# What a number becomes in the units that a source may have: (factor, what is added then).
OTHER_UNITS = {
    "MPa": (("0.001", 0), ("0.145038", 0), ("0.101972", 0)),  # GPa, ksi, kp/mm2
    "GPa": (("1000", 0), ("0.145038", 0)),  # MPa, Mpsi
    "g/cm3": (("1000", 0), ("0.0361273", 0)),  # kg/m3, lb/in3
    "10^-6/K": (("0.000001", 0), ("0.555556", 0)),  # without the power; per degF
    "degC": (("1.8", 32), ("1", 273)),  # degF, K
    "W/m/K": (("0.00239006", 0), ("0.577789", 0)),  # cal/cm/s/K, BTU/ft/h/degF
    "uOhm.cm": (("0.01", 0), ("10", 0)),  # uOhm.m, nOhm.m
}
Error = tuple[str, str, tuple, dict]  # kind, material, way, the fields put in


def slots(knowledge: Knowledge) -> list[tuple]:
    """(material, way, property, figure) of every published value."""
    return [
        (key, way, prop, f)
        for key, material in knowledge.materials.items()
        for way, prop, f in figures_of(material)
        if f.kind in ("typical", "range") and f.source != "memory" and not f.of
    ]


def value(figure) -> tuple[Decimal, ...]:
    return figure.range or (figure.typical,)


def put(numbers, unit=None) -> dict:
    """The fields of a figure with these numbers."""
    texts = [str(n) for n in numbers]
    found = {"range": texts} if len(texts) > 1 else {"typical": texts[0]}
    return found | ({"unit": unit} if unit else {})


def rounded(number: Decimal) -> Decimal:
    """Three digits, as a hand writes it."""
    return Decimal(f"{number:.3g}").normalize() + 0


def plain(number: Decimal) -> Decimal:
    return Decimal(f"{number:f}")


def differs(a, b) -> bool:
    """True when one figure is not the other within the last digit typed."""
    last = max(Decimal(1).scaleb(n.as_tuple().exponent) for n in (*value(a), *value(b)))
    ends = [(min(value(f)), max(value(f))) for f in (a, b)]
    return a.unit != b.unit or any(abs(x - y) > last for x, y in zip(*ends, strict=True))


def others(all_slots, slot, knowledge, kind) -> list:
    """Figures that a hand may take for this one."""
    key, way, prop, figure = slot
    family = knowledge.materials[key].family
    return [
        f
        for k, w, p, f in all_slots
        if p == prop
        and f.over == figure.over
        and differs(f, figure)
        and (
            (k == key and w[0] == "states" == way[0] and w[1] != way[1])
            if kind == "wrong state"
            else (k != key and w[:-1] == way[:-1] and knowledge.materials[k].family == family)
        )
    ]


def slips(kind, slot, all_slots, knowledge, lot: Random, sign: int) -> Iterator[dict]:
    """The one error of this kind that the lot makes of a figure; nothing where it has none."""
    _, _, prop, figure = slot
    unit = figure.unit or next(iter(knowledge.words("properties")[prop].units))
    numbers = value(figure)
    if kind == "swapped units" and unit in SCALES:
        yield put(numbers, lot.choice([s for s in SCALES if s != unit]))
    elif kind == "swapped units" and unit in OTHER_UNITS:
        factor, more = lot.choice(OTHER_UNITS[unit])
        yield put([plain(rounded(n * Decimal(factor) + more)) for n in numbers], figure.unit)
    elif kind in ("wrong state", "relative's figure"):
        found = others(all_slots, slot, knowledge, kind)
        if found:
            other = lot.choice(found)
            yield put(value(other), other.unit)
    elif kind == "lost minus" and sign == 0 and min(numbers) < 0:
        yield put(sorted(abs(n) for n in numbers), figure.unit)
    elif kind == "lost minus" and sign and len(numbers) == 2 and min(numbers) > 0:
        low, high = numbers
        joined = sign == 1 and "." not in str(low)
        yield put([Decimal(f"{low}{high}")] if joined else [low, -high], figure.unit)
    elif kind == "shifted decimal" and any(numbers):
        factor = Decimal(lot.choice(("10", "0.1")))
        yield put([plain(n * factor) for n in numbers], figure.unit)


def drawn(knowledge: Knowledge, seed: int) -> list[Error]:
    """The errors of one list."""
    all_slots, errors = slots(knowledge), []
    for kind in KINDS:
        lot = Random(f"{kind} {seed}")
        parts = enumerate(SIGNS) if kind == "lost minus" else [(0, EACH)]
        for sign, many in parts:
            used, order = set(), lot.sample(all_slots, len(all_slots))
            for slot in order:
                if slot[0] in used or len(used) == many:
                    continue
                for fields in slips(kind, slot, all_slots, knowledge, lot, sign):
                    used.add(slot[0])
                    errors.append((kind, slot[0], slot[1], fields))
    return errors


def place_of(material: Material, way: tuple, source: str) -> tuple:
    """The way to the first figure of a source in a cell of figures."""
    holder = material.states[way[1]] if way[0] == "states" else material
    places = (i for i, figure in enumerate(holder.figures[way[-1]]) if figure.source == source)
    return (*way, next(places))


def noticed(knowledge: Knowledge, error: Error) -> str:
    """The first complaint of the record with the error in it, or nothing."""
    _, key, way, fields = error
    record = knowledge.materials[key].model_dump(mode="json", exclude_none=True)
    place = record
    for step in way:
        place = place[step]
    for field in ("typical", "range", "unit"):
        place.pop(field, None)
    place |= fields
    try:
        material = Material.model_validate(record)
    except ValidationError as fault:
        return str(fault.errors()[0]["msg"])
    sure = {k: frozenset() for k in knowledge.raw if k != ("material", key)}
    changed = replace(knowledge, materials={**knowledge.materials, key: material}, sure=sure)
    file = knowledge.place("material", key).file
    told = (c for rule in RULES for c in rule(changed) if c.place.file == file)
    return next((f"{c.rule}: {c.fault}" for c in told), "")


def main(words: list[str]) -> None:
    """Draw, plant, count."""
    knowledge, complaints = load(ROOT)
    assert not complaints, complaints
    counts = dict.fromkeys(KINDS, 0)
    errors = drawn(knowledge, int(words[0]))
    for error in errors:
        told = noticed(knowledge, error)
        counts[error[0]] += bool(told)
        if "-v" in words:
            kind, key, way, fields = error
            print(f"{told[:90] or 'MISSED':<90} {kind}: {key} {'/'.join(map(str, way))} {fields}")
    for kind, n in counts.items():
        print(f"{kind:<18} {n:>3} of {sum(e[0] == kind for e in errors)}")
    print(f"{'all':<18} {sum(counts.values()):>3} of {len(errors)}")


if __name__ == "__main__":
    main(sys.argv[1:])
