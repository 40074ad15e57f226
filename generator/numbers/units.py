"""The units of the vocabulary, by the spellings used at the bench, with exact factors.

Units are converted only within their kind: a torque is not an energy, and a vibration is half an
oscillation. `exported` is the same table for the page's script.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction

from generator.numbers.dimensions import unit_of
from generator.numbers.quantities import PRECISION
from generator.records.vocabulary import AskedUnit, Unit

MICRO = "\u00b5"
_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")


@dataclass(frozen=True)
class Scale:
    """A unit in the base unit of its kind: base = (value + offset) * over / under."""

    label: str
    over: int
    under: int
    offset: Decimal


@dataclass(frozen=True)
class UnitTable:
    """``scales`` by unit id; ``spellings``: target unit -> plain spelling -> unit id; ``asked``:
    target unit -> plain spelling -> what to type instead."""

    scales: Mapping[str, Scale]
    spellings: Mapping[str, Mapping[str, str]]
    asked: Mapping[str, Mapping[str, str]]

    def spelled(self, text: str, target: str) -> str | None:
        """The unit that a text names in a field of ``target``, or None."""
        found, plain = self.spellings.get(target, {}), plain_unit(text)
        if plain in found:
            return found[plain]
        # Capitals are forgiven, but never where they tell milli from mega.
        for spelling, unit in found.items():
            mixed = plain not in (plain.lower(), plain.upper())
            prefix = plain[:1] in "mM" and plain[:1] != spelling[:1]
            if plain.lower() == spelling.lower() and not (mixed and prefix):
                return unit
        return None

    def ask(self, text: str, target: str) -> str | None:
        """What to type instead of a unit that can mean two things, or None."""
        return self.asked.get(target, {}).get(plain_unit(text).lower())

    def labels(self, target: str) -> list[str]:
        """The units that a field of ``target`` takes, as readers see them."""
        units = dict.fromkeys([target, *self.spellings.get(target, {}).values()])
        return list(dict.fromkeys(self.scales[u].label for u in units if u in self.scales))

    def convert(self, value: Decimal, unit: str, target: str) -> Decimal:
        """A value in another unit of the same kind."""
        if unit == target:
            return value
        a, b = self.scales[unit], self.scales[target]
        with localcontext() as context:
            context.prec = PRECISION
            raised = (value + a.offset) * Decimal(a.over * b.under)
            return raised / Decimal(a.under * b.over) - b.offset


def plain_unit(text: str) -> str:
    """A unit as typed, without the ways in which the same spelling can differ."""
    text = text.strip().translate(_SUPERSCRIPTS).replace("\u03bc", MICRO)
    text = text if text == MICRO else text.replace(MICRO, "u")  # alone it is a micron, a u is not
    text = re.sub(r" per (?=\S)", "/", text.replace("\u00ba", "\u00b0"))
    text = re.sub(r"[\s^]", "", text).replace("\u00b7", ".").replace("*", ".")
    return text.rstrip(".")


def unit_table(units: Mapping[str, Unit], asked: Mapping[str, AskedUnit]) -> UnitTable:
    """The table of a vocabulary."""
    own = {
        key: [plain_unit(word) for word in (key, unit.label, *unit.typed)]
        for key, unit in units.items()
    }
    spellings, asks = {}, {}
    of_kind, asked_of = _by_kind(units), _asked_of(asked)
    for target, unit in units.items():
        found: dict[str, set[str]] = {}
        for key in of_kind.get(unit.kind, ()):
            for word in own[key]:
                found.setdefault(word, set()).add(key)
        sure = {word: next(iter(keys)) for word, keys in found.items() if len(keys) == 1}
        spellings[target] = {**dict.fromkeys(own[target], target), **sure}
        spellings[target] |= dict.fromkeys(own[target], target)
        asks[target] = {
            word.lower(): ask
            for word, ask in asked_of.get(unit.kind, ())
            if word not in own[target]
        }
        for word in asks[target]:
            spellings[target].pop(word, None)
    spellings["1"] = {}
    scales = {
        key: _scale(unit.label, unit.dimension if unit.kind else None)
        for key, unit in units.items()
    }
    return UnitTable(scales, spellings, asks)


def _by_kind(units: Mapping[str, Unit]) -> dict[str, list[str]]:
    """The units of each kind, in their order; a unit can be of several."""
    found: dict[str, list[str]] = {}
    for key, unit in units.items():
        for kind in {unit.kind, *unit.also} - {None}:
            found.setdefault(kind, []).append(key)
    return found


def _asked_of(asked: Mapping[str, AskedUnit]) -> dict[str, list[tuple[str, str]]]:
    """For each kind of unit the words that can mean two of them, with what is asked."""
    found: dict[str, list[tuple[str, str]]] = {}
    for entry in asked.values():
        for word in (entry.name, *entry.typed):
            found.setdefault(entry.kind, []).append((plain_unit(word), entry.ask))
    return found


# Scales that begin elsewhere than at nothing: what is added to a reading, and a degree in kelvin.
_DEGREES = {"degC": ("273.15", Fraction(1)), "degF": ("459.67", Fraction(5, 9))}


def _scale(label: str, dimension: str | None) -> Scale:
    if dimension is None:
        return Scale(label, 1, 1, Decimal(0))
    offset, factor = _DEGREES.get(dimension) or ("0", unit_of(dimension)[0])
    return Scale(label, factor.numerator, factor.denominator, Decimal(offset))


def exported(table: UnitTable, targets) -> dict:
    """The table for the page's script, for fields of these units."""
    wanted = {unit for t in targets for unit in (t, *table.spellings.get(t, {}).values())}
    return {
        "scales": {
            key: [s.label, str(s.over), str(s.under), f"{s.offset:f}"]
            for key, s in table.scales.items()
            if key in wanted
        },
        "spellings": {t: dict(table.spellings.get(t, {})) for t in targets},
        "asked": {t: dict(table.asked[t]) for t in targets if table.asked.get(t)},
    }
