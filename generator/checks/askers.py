"""Which parts ask for a figure, and where their answers change: at the limits of firm demands and
at the edges of what the usual choices reach.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
from generator.records import models
from generator.verdicts.usage import NEAR, NEAR_DIFFERENCE, Asked, Usages


class Asker(NamedTuple):
    """A part that asks about a figure: its firm demands, and what its usual choices reach."""

    part: str
    place: int  # of the figure among those that the part asks about
    asked: Asked
    firm: tuple[models.Demand, ...]
    span: tuple[Quantity, Quantity] | None
    usual: frozenset[str]
    limits: tuple[Decimal, ...]  # where an answer or a shortfall turns

    @property
    def pairs(self) -> set[tuple]:
        """The limits as (at least, at most)."""
        edges = self.limits[len(self.firm) :]
        low = self.asked.low
        return {
            *((d.at_least, d.at_most) for d in self.firm),
            *((edge, None) if low else (None, edge) for edge in edges),
        }

    def turns_between(self, low: Quantity | None, high: Quantity | None) -> bool:
        """Whether one of the limits lies between two ends, or memory decides nothing yet, or
        nothing is known at an end, as where a hardness leaves the table."""
        if low is None or high is None:
            return True
        return low.from_memory or any(
            (low.low is None or low.low <= limit) and (high.high is None or limit <= high.high)
            for limit in self.limits
        )


def askers(usages: Usages, values: Values) -> dict[tuple[str, str], list[Asker]]:
    """(property, unit) -> the parts that ask about it."""
    found: dict[tuple[str, str], list[Asker]] = {}
    for part, asked in usages.asked.items():
        usage = usages.of(part)
        usual = frozenset(u.choice.material for u in usage.choices)
        for place, a in enumerate(asked):
            span = usage.span.figures[place] if usage.span else None
            firm = tuple(
                d
                for d in values.knowledge.roles[part].demands
                if d.firm and d.property == a.property and d.unit == a.unit
            )
            limits = [d.at_most if d.at_least is None else d.at_least for d in firm]
            edge = _edge(span, a)
            if edge is not None:
                room = NEAR_DIFFERENCE if a.signed else abs(edge) * NEAR
                limits.append(edge - room if a.low else edge + room)
            if a in usages.wishes[part]:
                limits.append(usages.wishes[part][a])
            key = a.property, a.unit or values.unit_of(a.property)
            asker = Asker(part, place, a, firm, span, usual, tuple(limits))
            found.setdefault(key, []).append(asker)
    return found


def _edge(reach: tuple | None, asked: Asked) -> Decimal | None:
    if reach is None:
        return None
    return reach[0].low if asked.low else reach[1].high
