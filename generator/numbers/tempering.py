"""Receives published tempering curves; hands on the temperatures that give a wanted hardness, and
the colours seen there.

Straight lines between the printed points of one curve, never across curves and never beyond their
ends. A curve that rises again (secondary hardening) gives more than one temperature.
"""

from __future__ import annotations

from decimal import Decimal

from generator.records.knowledge import Knowledge
from generator.records.materials import TemperingCurve


def temperatures_for(curve: TemperingCurve, wanted: Decimal) -> list[Decimal]:
    """The tempering temperatures in degC at which the curve passes the wanted hardness (in the
    curve's unit), rising."""
    found: list[Decimal] = []
    for a, b in zip(curve.points, curve.points[1:], strict=False):
        low, high = sorted((a.hardness, b.hardness))
        if low <= wanted <= high:
            share = (
                Decimal(0)
                if a.hardness == b.hardness
                else (wanted - a.hardness) / (b.hardness - a.hardness)
            )
            at = a.temperature + share * (b.temperature - a.temperature)
            if not found or at != found[-1]:
                found.append(at)
    return found


def colours_at(knowledge: Knowledge, temperature: Decimal) -> list[str]:
    """The temper colours that the charts give for a temperature, for plain carbon steel and a few
    minutes."""
    return [
        c.name
        for c in knowledge.words("temper_colours").values()
        if c.range[0] <= temperature <= c.range[1]
    ]
