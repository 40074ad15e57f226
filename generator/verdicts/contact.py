"""Metals in contact: which of two goes when they are wet together, and where they may touch.

Pure: figures in, judgement out.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from generator.numbers.values import Values

LIMITS = (
    ("harsh", Decimal("0.15")),
    ("damp", Decimal("0.25")),
    ("dry", Decimal("0.50")),
)  # MIL-STD-889 lineage, volts


@dataclass(frozen=True)
class Pair:
    """Two metals in contact: the difference of their anodic indexes, which one is attacked, and
    where the pair is allowed."""

    first: str
    second: str
    difference: Decimal
    attacked: str | None
    allowed: tuple[str, ...]


def pair(values: Values, first: str, second: str) -> Pair | None:
    """The galvanic judgement of two materials by the anodic index; None where one has no index.

    The middle of a range counts.
    """
    ends = [values.of(m, "anodic-index") for m in (first, second)]
    if any(q is None or q.from_memory for q in ends):
        return None
    a, b = (q.middle for q in ends)
    difference = abs(a - b)
    allowed = tuple(place for place, limit in LIMITS if difference <= limit)
    return Pair(first, second, difference, None if a == b else first if a > b else second, allowed)
