"""Combines several measurements of one thing into one value with its uncertainty.

Follows JCGM 100:2008: a plus-or-minus that is twice the standard uncertainty is halved (4.3.3), the
values are weighted by the inverse squares of their uncertainties, which are propagated (5.1.2), and
the result is an interval of twice its standard uncertainty (6.2.1), to two digits of that (7.2.6)
and never finer than anyone read. If the values scatter more than their uncertainties allow, the
uncertainty is scaled by the ratio of the two, as is usual for weighted means (Birge 1932).
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal, localcontext
from typing import NamedTuple

from generator.records.measurements import Measurement

COVERAGE = 2  # how many standard uncertainties a plus-or-minus is


class Pooled(NamedTuple):
    """The weighted mean, its standard uncertainty, the interval that is shown, and by how much the
    uncertainty was widened (1: not at all)."""

    mean: Decimal
    uncertainty: Decimal
    low: Decimal
    high: Decimal
    widened: Decimal


def pooled(measurements: Sequence[Measurement]) -> Pooled:
    """One value from at least one measurement, all in one unit."""
    with localcontext(prec=28):
        weights = [(COVERAGE / m.doubt) ** 2 for m in measurements]
        total = sum(weights)
        pairs = list(zip(weights, measurements, strict=True))
        mean = sum(w * m.value for w, m in pairs) / total
        scatter = sum(w * (m.value - mean) ** 2 for w, m in pairs)
        free = len(measurements) - 1
        widened = max(Decimal(1), (scatter / free).sqrt()) if free else Decimal(1)
        uncertainty = widened / total.sqrt()
        wide = COVERAGE * uncertainty
        typed = min(n.as_tuple().exponent for m in measurements for n in (m.value, m.doubt))
        place = Decimal(1).scaleb(max(wide.adjusted() - 1, typed))
        low = (mean - wide).quantize(place, ROUND_FLOOR)
        high = (mean + wide).quantize(place, ROUND_CEILING)
        return Pooled(mean, uncertainty, _plain(low), _plain(high), widened)


def _plain(number: Decimal) -> Decimal:
    """Without an exponent: 6.2E+2 is 620."""
    return number.quantize(Decimal(1)) if number.as_tuple().exponent > 0 else number
