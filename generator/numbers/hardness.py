"""Converts hardness to Vickers, for steels and brass only and only inside the published tables.

Hardness scales are different tests. The tables hold for non-austenitic steels (ASTM E140 Table 1,
DIN 50150) and for brass (GB/T 3771, made for H62 and HPb59-1); austenitic steel, titanium, gold,
other copper alloys and coatings are refused.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from generator.numbers.quantities import CONVERTED, OWN, Quantity
from generator.records.knowledge import Knowledge

CONVERTIBLE = ("carbon-steel", "hardenable-stainless", "ferritic-stainless", "soft-iron")
# HRC is read from E140, which has it throughout; HBW and HRB from DIN 50150, which has the softer
# steels.
SCALES = ("HV", "HRC", "HRB", "HBW", "Rm")
TABLE_OF = {"HRC": "astm-e140", "HBW": "din-50150", "HRB": "din-50150"}
BRASS_TABLE_OF = {"HRB": "gb-t-3771"}
TABLES = frozenset({*TABLE_OF.values(), *BRASS_TABLE_OF.values()})


def tables_for(family: str) -> Mapping[str, str]:
    """The table that turns each scale into Vickers for a family of metals; none for most."""
    if family == "brass":
        return BRASS_TABLE_OF
    return TABLE_OF if family in CONVERTIBLE else {}


def scale_points(knowledge: Knowledge, scale: str, table: str) -> list[tuple[Decimal, Decimal]]:
    """(value in the scale, HV), rising, from a table."""
    rows = (r for r in knowledge.words("hardness_table").values() if r.source == table)
    return sorted((getattr(r, scale), r.HV) for r in rows if getattr(r, scale) is not None)


def interpolate(points: list[tuple[Decimal, Decimal]], value: Decimal) -> Decimal | None:
    """Linear between two rows; None outside the table."""
    if not points or not points[0][0] <= value <= points[-1][0]:
        return None
    for (x0, y0), (x1, y1) in zip(points, points[1:], strict=False):
        if x0 <= value <= x1:
            return y0 if x1 == x0 else y0 + (y1 - y0) * (value - x0) / (x1 - x0)
    return points[-1][1]


def convert(knowledge: Knowledge, value: Decimal, scale: str) -> dict[str, Decimal]:
    """A steel's hardness in every other scale that the same table has, and its tensile strength
    (Rm, MPa) where printed.

    Raises ValueError when the value lies outside the table of its scale. Only for the families in
    ``CONVERTIBLE``.
    """
    found: dict[str, Decimal] = {}
    for table in ("astm-e140", "din-50150"):
        rows = [
            r
            for r in knowledge.words("hardness_table").values()
            if r.source == table and getattr(r, scale) is not None
        ]
        for other in SCALES:
            points = sorted(
                (getattr(r, scale), getattr(r, other))
                for r in rows
                if other != scale and getattr(r, other) is not None
            )
            at = interpolate(points, value)
            if at is not None:
                found.setdefault(other, at)
    if not found:
        rows = [
            getattr(r, scale)
            for r in knowledge.words("hardness_table").values()
            if r.source in TABLE_OF.values() and getattr(r, scale) is not None
        ]
        raise ValueError(
            f"{scale} {value} is outside the tables, {min(rows)} to {max(rows)}; they do not reach"
            " there"
        )
    return found


def to_vickers(knowledge: Knowledge, quantity: Quantity, table: str) -> Quantity | None:
    """The quantity in HV to three digits, marked with what it was converted from; None when the
    table does not cover it."""
    points = scale_points(knowledge, quantity.unit, table)
    ends = []
    for end in (quantity.low, quantity.high):
        converted = None if end is None else interpolate(points, end)
        if end is not None and converted is None:
            return None
        ends.append(converted)
    return replace(
        quantity,
        low=ends[0],
        high=ends[1],
        unit="HV",
        digits=3,
        sources=(*quantity.sources, table),
        converted_from=quantity.unit,
        evidence=CONVERTED if quantity.evidence == OWN else quantity.evidence,
    )


def to_tensile(points: list[tuple[Decimal, Decimal]], hardness: Quantity) -> Quantity | None:
    """The tensile strength of a steel from its hardness in HV, by (HV, Rm) of the table; an end
    outside the table stays open."""
    low, high = (
        None if end is None else interpolate(points, end) for end in (hardness.low, hardness.high)
    )
    if low is None and high is None:
        return None
    return replace(
        hardness,
        low=low,
        high=high,
        unit="MPa",
        digits=3,
        sources=tuple(dict.fromkeys((*hardness.sources, TABLE_OF["HBW"]))),
        converted_from="HV",
        evidence=CONVERTED if hardness.evidence == OWN else hardness.evidence,
    )
