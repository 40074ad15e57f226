"""Receives numbers; hands on small inline drawings (SVG with currentColor, no colour and no size
of their own)."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from markupsafe import Markup, escape

from generator.numbers.quantities import Quantity, number_text
from generator.records.materials import TemperingCurve

WIDTH, HEIGHT, LEFT, BOTTOM, TOP, RIGHT = 640, 260, 56, 44, 16, 24


def tempering_curve(curve: TemperingCurve, unit: str) -> Markup:
    """Hardness over tempering temperature; the numbers stand in the table below it as well."""
    xs = [float(p.temperature) for p in curve.points]
    ys = [float(p.hardness) for p in curve.points]
    x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
    pad = max((y1 - y0) * 0.1, 1)
    y0, y1 = y0 - pad, y1 + pad

    def x_of(value: float) -> float:
        return LEFT + (value - x0) / (x1 - x0) * (WIDTH - LEFT - RIGHT)

    def y_of(value: float) -> float:
        return HEIGHT - BOTTOM - (value - y0) / (y1 - y0) * (HEIGHT - BOTTOM - TOP)

    line = " ".join(f"{x_of(x):.0f},{y_of(y):.0f}" for x, y in zip(xs, ys, strict=True))
    dots = "".join(
        f'<circle cx="{x_of(x):.0f}" cy="{y_of(y):.0f}" r="4"/>'
        for x, y in zip(xs, ys, strict=True)
    )
    named = apart([x_of(x) for x in xs])
    across = "".join(
        f'<text x="{x_of(x):.0f}" y="{HEIGHT - BOTTOM + 22}" text-anchor="middle">{escape(number_text(p.temperature))}</text>'
        for i, (x, p) in enumerate(zip(xs, curve.points, strict=True))
        if i in named
    )
    high, low = (
        max(curve.points, key=lambda p: p.hardness),
        min(curve.points, key=lambda p: p.hardness),
    )
    up = "".join(
        f'<text x="{LEFT - 8}" y="{y_of(float(p.hardness)) + 5:.0f}" text-anchor="end">{escape(number_text(p.hardness))}</text>'
        for p in (high, low)
    )
    return Markup(
        f'<svg class="chart" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="Hardness in {escape(unit)} over tempering '
        f'temperature in degrees Celsius">'
        f'<path d="M{LEFT},{TOP}V{HEIGHT - BOTTOM}H{WIDTH - RIGHT}" fill="none" stroke="currentColor"/>'
        f'<polyline points="{line}" fill="none" stroke="currentColor" stroke-width="2.5"/>'
        f'<g fill="currentColor">{dots}{across}{up}'
        f'<text x="{LEFT}" y="12">{escape(unit)}</text><text x="{WIDTH - RIGHT}" y="{HEIGHT - 4}" '
        f'text-anchor="end">°C</text></g></svg>'
    )


def apart(places: list[float], room: float = 56) -> set[int]:
    """Which of these places along a line may carry a label so that no two touch: the ends first,
    then from the left."""
    kept = [0]
    for i, place in enumerate(places[1:-1], 1):
        if place - places[kept[-1]] >= room and places[-1] - place >= room:
            kept.append(i)
    return {*kept, len(places) - 1}


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
    return Bar(f"{min(low, 100 - width):.1f}", f"{width:.1f}", goes_on)


def scale_of(quantities: list[Quantity]) -> Decimal:
    """The top of the scale for bars of these figures: the greatest end that is closed."""
    return max(
        (end for q in quantities for end in (q.low, q.high) if end is not None), default=Decimal(1)
    ) or Decimal(1)
