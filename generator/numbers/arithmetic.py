"""Sums, products and quotients of quantities: interval in, interval out.

Sums keep the last sure decimal place, products the fewest digits of what went in.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal, localcontext

from generator.numbers.quantities import EXACT, PRECISION, RANK, Quantity


def _combined(a: Quantity, b: Quantity, low, high) -> Quantity:
    sources = tuple(dict.fromkeys((*a.sources, *b.sources)))
    weaker = max((a, b), key=lambda q: RANK[q.evidence])
    return Quantity(
        low,
        high,
        "1",
        min(a.digits, b.digits),
        sources,
        "computed",
        evidence=weaker.evidence,
        of=weaker.of,
    )


def add(a: Quantity, b: Quantity) -> Quantity:
    """A + b, in a's unit."""
    with localcontext() as context:
        context.prec = PRECISION
        low = None if a.low is None or b.low is None else a.low + b.low
        high = None if a.high is None or b.high is None else a.high + b.high
    return _sum_digits(a, b, _combined(a, b, low, high).as_unit(a.unit))


def subtract(a: Quantity, b: Quantity) -> Quantity:
    """a - b, in a's unit."""
    with localcontext() as context:
        context.prec = PRECISION
        low = None if a.low is None or b.high is None else a.low - b.high
        high = None if a.high is None or b.low is None else a.high - b.low
    return _sum_digits(a, b, _combined(a, b, low, high).as_unit(a.unit))


def _sum_digits(a: Quantity, b: Quantity, result: Quantity) -> Quantity:
    """In a sum the last sure decimal place counts, not the number of digits: 17 + 0.05 is good to
    the ones."""
    places = [
        _largest(q).adjusted() - q.digits + 1 for q in (a, b) if q.digits < EXACT and _largest(q)
    ]
    if not places:
        return result
    digits = max(1, _largest(result).adjusted() - max(places) + 1) if _largest(result) else 1
    return replace(result, digits=digits)


def _largest(quantity: Quantity) -> Decimal:
    return max(
        (abs(end) for end in (quantity.low, quantity.high) if end is not None), default=Decimal(0)
    )


def multiply(a: Quantity, b: Quantity, unit: str = "1") -> Quantity:
    """A times b for quantities that are not negative.

    Raises ValueError for negative ends.
    """
    _refuse_negative(a, b)
    with localcontext() as context:
        context.prec = PRECISION
        low = (
            (a.low or Decimal(0)) * (b.low or Decimal(0))
            if a.low is not None and b.low is not None
            else None
        )
        high = None if a.high is None or b.high is None else a.high * b.high
    return _combined(a, b, low, high).as_unit(unit)


def divide(a: Quantity, b: Quantity, unit: str = "1") -> Quantity:
    """A divided by b for quantities that are not negative.

    Raises ValueError for negative ends, ZeroDivisionError.
    """
    _refuse_negative(a, b)
    if b.low == 0 or b.high == 0:
        raise ZeroDivisionError("the divisor may be zero")
    with localcontext() as context:
        context.prec = PRECISION
        low = None if a.low is None or b.high is None else a.low / b.high
        high = None if a.high is None or b.low is None else a.high / b.low
    return _combined(a, b, low, high).as_unit(unit)


def _refuse_negative(*quantities: Quantity) -> None:
    for quantity in quantities:
        if any(end is not None and end < 0 for end in (quantity.low, quantity.high)):
            raise ValueError("negative numbers do not belong in a product or quotient here")


def total(quantities: Iterable[Quantity]) -> Quantity:
    """The sum of at least one quantity, in the unit of the first."""
    first, *rest = quantities
    for quantity in rest:
        first = add(first, quantity)
    return first
