"""Reads published tempering curves: which temperatures give a wanted hardness, and which colours
appear there.

Linear between the printed points of one curve, never across curves and never beyond their ends. A
curve that rises again (secondary hardening) gives more than one temperature.
"""

from __future__ import annotations

from decimal import Decimal

from generator.records.knowledge import Knowledge
from generator.records.materials import CurvePoint, TemperingCurve


def spans_for(curve: TemperingCurve, low: Decimal, high: Decimal) -> list[tuple[Decimal, Decimal]]:
    """The spans of tempering temperature in degC in which the curve lies between two hardnesses
    (in the curve's unit), rising; of one point where a single hardness is passed."""
    found: list[tuple[Decimal, Decimal]] = []
    for a, b in zip(curve.points, curve.points[1:], strict=False):
        inside = _inside(a, b, low, high)
        if inside and found and inside[0] <= found[-1][1]:
            found[-1] = (found[-1][0], inside[1])
        elif inside:
            found.append(inside)
    return found


def _inside(a: CurvePoint, b: CurvePoint, low: Decimal, high: Decimal):
    """The part of the line from one printed point to the next between two hardnesses, or None."""
    soft, hard = sorted((a.hardness, b.hardness))
    if high < soft or hard < low:
        return None
    if soft == hard:
        return a.temperature, b.temperature
    shares = [
        (min(max(h, soft), hard) - a.hardness) / (b.hardness - a.hardness) for h in (low, high)
    ]
    return tuple(sorted(a.temperature + s * (b.temperature - a.temperature) for s in shares))


def colours_at(knowledge: Knowledge, low: Decimal, high: Decimal | None = None) -> list[str]:
    """The temper colours that the charts give for a temperature, or from one to another, for plain
    carbon steel and a few minutes."""
    high = low if high is None else high
    return [
        c.name
        for c in knowledge.words("temper_colours").values()
        if c.range[0] <= high and low <= c.range[1]
    ]
