"""The parametric set that parts are drawn from: wheels, rings, turned pieces, spirals, screws,
hands and outlines, in a box of 96 by 96.

Each form is a function from the numbers of its entry in knowledge/vocabulary/part_drawings.yaml to
strokes. Wheels are seen from above, turned pieces from the side, lying along the box.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from itertools import pairwise
from math import cos, pi, sin

from generator.records import models
from generator.site.pictures.drawing import n, path

SIDE = 96
MIDDLE = SIDE / 2
Numbers = Mapping[str, float]


def circle(r: float, css: str, x: float = MIDDLE, y: float = MIDDLE) -> str:
    """A circle."""
    return f'<circle class="{css}" cx="{n(x)}" cy="{n(y)}" r="{n(r)}"/>'


def at(angle: float, r: float, x: float = MIDDLE, y: float = MIDDLE) -> str:
    """A point by its angle in turns and its distance from the middle."""
    return f"{n(x + r * cos(2 * pi * angle))} {n(y + r * sin(2 * pi * angle))}"


def hole(r: float, x: float = MIDDLE, y: float = MIDDLE) -> str:
    """A round hole as part of a path."""
    return f"M{n(x - r)} {n(y)}a{n(r)} {n(r)} 0 1 0 {n(2 * r)} 0a{n(r)} {n(r)} 0 1 0 {n(-2 * r)} 0Z"


# How a tooth runs from root to root: (share of the pitch, share of the depth).
TEETH = {
    0: ((0.12, 0), (0.28, 1), (0.58, 1), (0.74, 0)),  # of a train
    1: ((0.0, 0), (0.86, 1), (0.94, 0)),  # of a ratchet
    2: ((0.1, 0), (0.62, 0.86), (0.5, 1), (0.9, 1), (0.86, 0.8), (0.7, 0.1)),  # of an escape wheel
}


def rim(teeth: int, outer: float, depth: float, kind: int = 0) -> str:
    """The toothed edge of a wheel."""
    points = [
        at((i + share) / teeth, outer - depth + depth * out)
        for i in range(teeth)
        for share, out in TEETH[kind]
    ]
    return "M" + "L".join(points) + "Z"


def wheel(v: Numbers) -> str:
    """A wheel from above: teeth, spokes, hub, bore; a pinion on it, a square hole."""
    outer, depth = v.get("outer", 44), v.get("depth", 5)
    edge = rim(int(v["teeth"]), outer, depth, int(v.get("kind", 0)))
    band, hub = v.get("band", 7), v.get("hub", 9)
    inner = outer - depth - band
    bore = v.get("bore", 3)
    if v.get("spokes"):
        edge += hole(inner)
        drawn = _even(edge)
        drawn += _spokes(int(v["spokes"]), hub - 1, inner + 1, v.get("spoke", 5))
        drawn += circle(hub, "pic__body")
    else:
        drawn = path(edge, "pic__body")
    if v.get("pinion"):
        drawn += path(rim(int(v["pinion"]), hub, 3.4), "pic__soft")
    if v.get("square"):
        drawn += _square(v["square"])
    elif bore:
        drawn += circle(bore, "pic__hole")
    return drawn


def _even(d: str) -> str:
    return f'<path class="pic__body" fill-rule="evenodd" d="{d}"/>'


def _spokes(count: int, low: float, high: float, wide: float) -> str:
    """Spokes without their ends, so that hub and rim run through."""
    drawn = ""
    for i in range(count):
        turn = 360 * i / count - 90
        drawn += (
            f'<g transform="rotate({n(turn)} {n(MIDDLE)} {n(MIDDLE)})">'
            f'<rect class="pic__fill" x="{n(MIDDLE + low)}" y="{n(MIDDLE - wide / 2)}" '
            f'width="{n(high - low)}" height="{n(wide)}"/>'
            + path(
                f"M{n(MIDDLE + low)} {n(MIDDLE - wide / 2)}h{n(high - low)}"
                f"M{n(MIDDLE + low)} {n(MIDDLE + wide / 2)}h{n(high - low)}",
                "pic__edge",
            )
            + "</g>"
        )
    return drawn


def _square(side: float) -> str:
    return (
        f'<rect class="pic__hole" x="{n(MIDDLE - side / 2)}" y="{n(MIDDLE - side / 2)}" '
        f'width="{n(side)}" height="{n(side)}"/>'
    )


def ring(v: Numbers) -> str:
    """A ring from above, with marks, notches, teeth inside, spokes and hub, or a slit."""
    outer, inner = v.get("outer", 44), v.get("inner", 34)
    drawn = _even(hole(outer) + hole(inner))
    if v.get("line"):
        drawn += circle(v["line"], "pic__edge")
    if v.get("marks"):
        long = v.get("mark", 4)
        start = v.get("from", (outer + inner) / 2 - long / 2)
        drawn += path(
            "".join(
                f"M{at(i / v['marks'] - 0.25, start)}L{at(i / v['marks'] - 0.25, start + long)}"
                for i in range(int(v["marks"]))
            ),
            "pic__edge",
        )
    if v.get("teeth"):
        drawn += path(rim(int(v["teeth"]), inner, -4), "pic__body")
    if v.get("spokes"):
        drawn += _spokes(int(v["spokes"]), v.get("hub", 8) - 1, inner + 1, v.get("spoke", 5))
        drawn += circle(v.get("hub", 8), "pic__body") + circle(v.get("bore", 2.5), "pic__hole")
    if v.get("screws"):
        for i in range(int(v["screws"])):
            angle = (i + 0.5) / v["screws"]
            drawn += (
                f'<g transform="rotate({n(360 * angle)} {n(MIDDLE)} {n(MIDDLE)})">'
                f'<rect class="pic__soft" x="{n(MIDDLE + outer)}" y="{n(MIDDLE - 3.5)}" '
                'width="5" height="7"/></g>'
            )
    if v.get("slit"):
        drawn += path(f"M{n(MIDDLE)} {n(MIDDLE - outer - 1)}v{n(outer - inner + 2)}", "pic__slit")
    return drawn


def spiral(v: Numbers) -> str:
    """A spring from above: turns, from the inner to the outer radius, with a straight end."""
    turns, inner, outer = v.get("turns", 6), v.get("inner", 6), v.get("outer", 42)
    points, steps = [], int(turns * 20)
    for i in range(steps + 1):
        share = i / steps
        points.append(at(share * turns, inner + (outer - inner) * share))
    # Each point draws the curve between the middles of its two sides to itself: no corner is left.
    curve = "".join(f"Q{p} {_between(p, after)}" for p, after in pairwise(points[1:]))
    drawn = f"M{points[0]}L{_between(*points[:2])}{curve}L{points[-1]}"
    return path(drawn, "pic__thick" if v.get("thick") else "pic__edge")


def _between(a: str, b: str) -> str:
    """The middle of two points, each told as `x y`."""
    (ax, ay), (bx, by) = (map(float, re.findall(r"-?[\d.]+", point)) for point in (a, b))
    return f"{n((ax + bx) / 2)} {n((ay + by) / 2)}"


def turned(v: Numbers, profile) -> str:
    """A turned piece from the side: steps of [length, diameter] along the box, scaled to it; leaves
    or a thread on one of the steps."""
    lengths = [float(a) for a, _ in profile]
    scale = min(88 / sum(lengths), 80 / max(float(d) for _, d in profile))
    x, drawn = MIDDLE - sum(lengths) * scale / 2, ""
    for i, (length, diameter) in enumerate(profile):
        wide, high = float(length) * scale, float(diameter) * scale
        drawn += (
            f'<rect class="pic__body" x="{n(x)}" y="{n(MIDDLE - high / 2)}" width="{n(wide)}" '
            f'height="{n(high)}"/>'
        )
        if v.get("leaves_on") == i:
            rows = int(v.get("leaves", 4))
            drawn += path(
                "".join(
                    f"M{n(x)} {n(MIDDLE - high / 2 + high * k / rows)}h{n(wide)}"
                    for k in range(1, rows)
                ),
                "pic__edge",
            )
        if v.get("thread_on") == i:
            step = 5
            drawn += path(
                "".join(
                    f"M{n(x + k * step)} {n(MIDDLE + high / 2)}l{step * 0.6:g} {n(-high)}"
                    for k in range(max(int(wide / step), 1))
                ),
                "pic__edge",
            )
        if v.get("cross_on") == i:  # a square: the flats show as a cross
            drawn += path(
                f"M{n(x)} {n(MIDDLE - high / 2)}l{n(wide)} {n(high)}"
                f"m0 {n(-high)}l{n(-wide)} {n(high)}",
                "pic__edge",
            )
        if v.get("bore"):
            inside = high * v["bore"]
            drawn += path(
                f"M{n(x)} {n(MIDDLE - inside / 2)}h{n(wide)}m0 {n(inside)}h{n(-wide)}", "pic__dash"
            )
        x += wide
    return drawn


def disc(v: Numbers) -> str:
    """A disc from above, with a line near its edge and marks."""
    outer = v.get("outer", 44)
    drawn = circle(outer, "pic__body")
    if v.get("line"):
        drawn += circle(v["line"], "pic__edge")
    if v.get("marks"):
        start, long = v.get("from", 34), v.get("mark", 6)
        drawn += path(
            "".join(
                f"M{at(i / v['marks'] - 0.25, start)}L{at(i / v['marks'] - 0.25, start + long)}"
                for i in range(int(v["marks"]))
            ),
            "pic__strokes",
        )
    if v.get("bore"):
        drawn += circle(v["bore"], "pic__hole")
    return drawn


def balls(v: Numbers) -> str:
    """A ball bearing from above."""
    drawn = _even(hole(44) + hole(33)) + _even(hole(21) + hole(9))
    for i in range(int(v.get("count", 9))):
        angle = 2 * pi * i / v.get("count", 9)
        drawn += circle(5.4, "pic__soft", MIDDLE + 27 * cos(angle), MIDDLE + 27 * sin(angle))
    return drawn


def plain_outline(v: Numbers) -> str:
    """Nothing but the shapes of the entry."""
    return ""


FORMS: Mapping[str, Callable[..., str]] = {
    "wheel": wheel,
    "ring": ring,
    "spiral": spiral,
    "turned": turned,
    "disc": disc,
    "balls": balls,
    "outline": plain_outline,
}
STROKES = {
    "body": "pic__body",
    "soft": "pic__soft",
    "thin": "pic__edge",
    "thick": "pic__thick",
    "dash": "pic__dash",
    "solid": "pic__solid",
    "hole": "pic__hole",
    "rubber": "pic__rubber",
}


def drawn(entry: models.Drawn) -> str:
    """The strokes of an entry: its form, and its own shapes on top."""
    numbers = {k: float(v) for k, v in entry.numbers.items()}
    form = FORMS[entry.form]
    base = form(numbers, entry.profile) if entry.form == "turned" else form(numbers)
    return base + "".join(path(s.d, STROKES[s.stroke]) for s in entry.shapes)
