"""Hardness: the states of a material, or the usual choices for a part, on one scale with what the
part demands as a line; and hardness after tempering with the colours of the heat.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from markupsafe import Markup, escape

from generator.numbers.colour import Colours
from generator.numbers.quantities import Quantity
from generator.records import models
from generator.site.pictures.drawing import (
    WIDTH,
    Box,
    n,
    path,
    picture,
    plain,
    rect,
    scale_below,
    shortened,
    text,
    ticks,
    width_of,
)
from generator.verdicts.wording import shown_with_evidence

ROW = 40  # a line of text over its bar


class Row(NamedTuple):
    """One bar: what it is called, and how hard."""

    name: str
    hardness: Quantity


class Demand(NamedTuple):
    """A line across the bars: at least or at most so hard, and whether that is required."""

    hardness: float
    least: bool
    firm: bool


def bars(
    rows: Sequence[Row], unit: str, what: str, demands: Sequence[Demand] = (), said: str = ""
) -> Markup:
    """Bars on one scale from zero. An open end fades out in strokes; a demand is a dashed line
    with its number on top."""
    ends = [float(e) for r in rows for e in (r.hardness.low, r.hardness.high) if e is not None]
    marks = ticks(0, max([*ends, *(d.hardness for d in demands)]) * 1.06)
    top, right = 18 * len(demands) + 6, WIDTH - 14
    box = Box(2, top, right, top + ROW * len(rows) + 4)
    most = max(marks[-1], max(ends) * 1.02)

    def x_of(hardness: float) -> float:
        return box.left + hardness / most * (box.right - box.left)

    drawn = path("".join(f"M{n(x_of(m))} {n(top)}V{n(box.bottom)}" for m in marks), "pic__grid")
    drawn += "".join(_bar(row, box, top + i * ROW, x_of) for i, row in enumerate(rows))
    drawn += "".join(
        _demand_line(d, x_of(d.hardness), 14 + 18 * i, top, len(rows))
        for i, d in enumerate(demands)
    )
    drawn += scale_below(box, marks, x_of, unit)
    spoken = [f"{row.name} {shown_with_evidence(row.hardness)}" for row in rows]
    spoken += [f"the part needs {_asked(d, unit)}" for d in demands]
    return picture(
        box.bottom + 38,
        f"{what}, in {unit}: {'; '.join(spoken)}.",
        drawn,
        escape(said),
        "pic--rows",
    )


def _bar(row: Row, box: Box, y: float, x_of: Callable[[float], float]) -> str:
    """A row at height ``y``: name and figure, below them the bar."""
    q = row.hardness
    low = x_of(float(q.low)) if q.low is not None else box.left
    high = x_of(float(q.high)) if q.high is not None else box.right
    css = "pic__open" if q.low is None or q.high is None else "pic__bar"
    shown = shown_with_evidence(q)
    name = shortened(row.name, box.right - width_of(shown) - 10)
    return (
        text(2, y + 17, name)
        + text(box.right, y + 17, shown, "end", "pic__strong")
        + rect(low, y + 23, max(high - low, 4), 10, css)
    )


def _asked(demand: Demand, unit: str = "") -> str:
    words = f"{'at least' if demand.least else 'at most'} {plain(demand.hardness)} {unit}".rstrip()
    return words if demand.firm else f"{words}, better"


def _demand_line(demand: Demand, x: float, y: float, top: float, rows: int) -> str:
    """What the part asks: words at height ``y``, and a dashed line down across the bars."""
    words = _asked(demand)
    fits = x - width_of(words) - 8 > 0
    said = text(x - 6 if fits else x + 6, y, words, "end" if fits else "", "pic__strong")
    down = "".join(f"M{n(x)} {n(top + k * ROW + 19)}v19" for k in range(rows))
    return said + path(f"M{n(x)} {n(y - 11)}V{n(top)}{down}", "pic__demand")


def tempering(curve: models.TemperingCurve, unit: str, colours: Colours | None = None) -> Markup:
    """Hardness over tempering temperature with round numbers on both axes; for plain carbon steel
    the colours of a few minutes stand under the axis, with their names."""
    points = [(float(p.temperature), float(p.hardness)) for p in curve.points]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    if curve.as_quenched:
        ys = [*ys, float(curve.as_quenched)]
    marks_x, marks_y = ticks(min(xs), max(xs), 7), ticks(min(ys), max(ys), 6)
    margin = (max(ys) - min(ys)) * 0.06 + 0.01
    low, high = min(ys) - margin, max(ys) + margin
    box = Box(44, 22, WIDTH - 16, 222)

    def x_of(value: float) -> float:
        return box.left + 8 + (value - min(xs)) / (max(xs) - min(xs)) * (box.right - box.left - 16)

    def y_of(value: float) -> float:
        return box.bottom - (value - low) / (high - low) * (box.bottom - box.top)

    drawn = path(
        "".join(f"M{n(box.left)} {n(y_of(m))}H{n(box.right)}" for m in marks_y)
        + "".join(f"M{n(x_of(m))} {n(box.top)}V{n(box.bottom)}" for m in marks_x),
        "pic__grid",
    )
    drawn += "".join(text(box.left - 6, y_of(m) + 4.5, plain(m), "end") for m in marks_y)
    drawn += text(2, 14, unit, css="pic__quiet") + scale_below(box, marks_x, x_of, "°C")
    if curve.as_quenched:
        y = y_of(float(curve.as_quenched))
        drawn += path(f"M{n(box.left)} {n(y)}H{n(box.right)}", "pic__demand")
        drawn += text(box.right, y - 5, f"as quenched {plain(float(curve.as_quenched))}", "end")
    drawn += path("M" + "L".join(f"{n(x_of(x))} {n(y_of(y))}" for x, y in points), "pic__line")
    drawn += "".join(
        f'<circle class="pic__dot" cx="{n(x_of(x))}" cy="{n(y_of(y))}" r="4"/>' for x, y in points
    )
    tints = [
        t
        for t in (colours.knowledge.words("tints").values() if colours else ())
        if min(xs) <= t.minutes <= max(xs)
    ]
    said = f"Hardness in {unit} after tempering: " + "; ".join(
        f"{plain(x)} °C {plain(y)}" for x, y in points
    )
    height = box.bottom + 40
    if tints:
        drawn += _tints_below(colours, tints, (min(xs), max(xs)), height, x_of)
        said += ". Colours after a few minutes: " + ", ".join(
            f"{t.name} at {plain(float(t.minutes))}" for t in tints
        )
        height += 26
    return picture(height + 2, said + ".", drawn)


def _tints_below(
    colours: Colours,
    tints: Sequence,
    span: tuple[float, float],
    y: float,
    x_of: Callable[[float], float],
) -> str:
    """A band of the colours of a few minutes under the axis, with the names of first and last."""
    edges = [float(t.minutes) for t in tints]
    cuts = [
        max(span[0], edges[0] - 8),
        *((a + b) / 2 for a, b in zip(edges, edges[1:], strict=False)),
        min(span[1], edges[-1] + 8),
    ]
    drawn = ""
    for t, a, b in zip(tints, cuts, cuts[1:], strict=False):
        seen = colours.of_film("iron-oxide", float(t.film))
        drawn += rect(x_of(a), y + 4, x_of(b) - x_of(a), 16, "pic__swatch", seen.hex)
    named = f"{tints[0].name} to {tints[-1].name}, minutes"
    return drawn + text(x_of(cuts[-1]) + 6, y + 17, named)
