"""The bars that stand beside figures in tables: start and width, in per cent of the column."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from generator.numbers.quantities import Quantity


class Bar(NamedTuple):
    """A figure on a line from 0 to 100: where the bar begins, how wide it is, and whether it goes
    on beyond what is drawn."""

    start: str
    width: str
    goes_on: bool = False


def bar(quantity: Quantity, top: Decimal) -> Bar:
    """A figure as a bar on the scale from zero to ``top``: a single value is a narrow tick, an
    open end runs on to the end."""
    low = (
        Decimal(0)
        if quantity.low is None
        else min(Decimal(98), max(Decimal(0), quantity.low / top * 100))
    )
    high = Decimal(100) if quantity.high is None else min(Decimal(100), quantity.high / top * 100)
    width = max(high - low, Decimal(2))
    goes_on = quantity.low is None or quantity.high is None or quantity.high > top
    return Bar(f"{low:.1f}", f"{width:.1f}", goes_on)


def scale_of(quantities: list[Quantity]) -> Decimal:
    """The top of the scale for bars of these figures: the greatest end that is closed."""
    return max(
        (end for q in quantities for end in (q.low, q.high) if end is not None), default=Decimal(1)
    ) or Decimal(1)
