"""How far the true value of a figure may lie from the value shown.

A range is its own doubt. A single value may be off by as much as sources of one cell differ
elsewhere in this base for that property; for a guaranteed limit, by as much as values exceed
limits. Borrowed and remembered figures get the same margin once more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import cached_property

from generator.numbers.quantities import BORROWED, RANK, Quantity
from generator.numbers.values import Values
from generator.records.knowledge import Knowledge

QUARTER = 4  # three of four cells lie nearer together than what is taken
FEWEST = 8  # cells that a property needs to speak for itself; else all properties speak for it


class Doubts:
    """How far figures may be off, by what sources of one cell say elsewhere."""

    def __init__(self, values: Values):
        self.values, self.knowledge = values, values.knowledge

    def ends(self, prop: str, found: Quantity) -> tuple[Quantity, Quantity]:
        """The figure at the low and at the high end of its doubt, each as one value."""
        apart, beyond = self._apart(prop), self._beyond(prop)
        low, high = found.low, found.high
        if low is None:
            low = min(high / beyond, high * beyond)
        elif high is None:
            high = max(low / beyond, low * beyond)
        elif low == high:
            low, high = _widened(low, high, apart)
            half = Decimal((0, (5,), found.low.adjusted() - found.digits))
            low, high = min(low, found.low - half), max(high, found.high + half)
        if RANK[found.evidence] >= RANK[BORROWED]:
            low, high = _widened(low, high, apart)
        return (
            replace(found, low=low, high=low, kind="typical"),
            replace(found, low=high, high=high, kind="typical"),
        )

    def reach(self, prop: str, found: Quantity) -> tuple[Quantity, Quantity]:
        """Where one more source of the cell might put the figure: the ends of its doubt, those of a
        span as far out again. It stays as wide when a second source agrees with the first."""
        low, high = self.ends(prop, found)
        if found.low == found.high or RANK[found.evidence] >= RANK[BORROWED]:
            return low, high  # these ends were moved apart already
        least, most = _widened(low.low, high.high, self._apart(prop))
        return replace(low, low=least, high=least), replace(high, low=most, high=most)

    def _apart(self, prop: str) -> Decimal:
        return self._ratios[0].get(prop) or self._ratios[0][""]

    def _beyond(self, prop: str) -> Decimal:
        return self._ratios[1].get(prop) or self._ratios[1][""]

    @cached_property
    def _ratios(self) -> tuple[dict[str, Decimal], dict[str, Decimal]]:
        apart: dict[str, list[Decimal]] = defaultdict(list)
        beyond: dict[str, list[Decimal]] = defaultdict(list)
        for prop, middles, limits in _cells(self.knowledge):
            if not middles or min(middles) <= 0:
                continue
            if len(middles) > 1:
                apart[prop].append(max(middles) / min(middles))
            middle = sorted(middles)[len(middles) // 2]
            beyond[prop] += [max(middle / e, e / middle) for e in limits if e > 0]
        return _upper_quarters(apart), _upper_quarters(beyond)


def _cells(knowledge: Knowledge) -> Iterator[tuple[str, list[Decimal], list[Decimal]]]:
    """(property, middles of its values, limits) of each cell: figures of the very metal in one
    unit."""
    for material in knowledge.materials.values():
        for figures in (material.figures, *(s.figures for s in material.states.values())):
            for prop, found in figures.items():
                by_unit: dict = defaultdict(lambda: ([], []))
                for f in found:
                    if f.of is None and f.source != "memory":
                        middles, limits = by_unit[f.unit, f.over]
                        if f.typical is not None:
                            middles.append(f.typical)
                        elif f.range is not None:
                            middles.append((f.range[0] + f.range[1]) / 2)
                        else:
                            limits.append(f.at_most if f.at_least is None else f.at_least)
                for middles, limits in by_unit.values():
                    yield prop, middles, limits


def _upper_quarters(ratios: dict[str, list[Decimal]]) -> dict[str, Decimal]:
    every = [r for found in ratios.values() for r in found]
    known = {prop: _upper_quarter(r) for prop, r in ratios.items() if len(r) >= FEWEST}
    return {**known, "": _upper_quarter(every)}


def _upper_quarter(ratios: Sequence[Decimal]) -> Decimal:
    found = sorted(ratios)
    return found[len(found) - 1 - len(found) // QUARTER] if found else Decimal(1)


def _widened(low: Decimal, high: Decimal, apart: Decimal) -> tuple[Decimal, Decimal]:
    """Both ends moved apart by a ratio, whatever their sign."""
    return min(low / apart, low * apart), max(high / apart, high * apart)
