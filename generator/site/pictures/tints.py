"""Colours of films: heat tints on plain carbon steel by temperature and time, anodised titanium by
voltage.

The colour of a thickness is calculated by interference; the thickness at a temperature or voltage
comes from published tables. Every colour is named beside it.
"""

from __future__ import annotations

from markupsafe import Markup

from generator.numbers.colour import Colours
from generator.site.pictures.drawing import (
    WIDTH,
    Box,
    path,
    picture,
    plain,
    scale_below,
    text,
    ticks,
)
from generator.site.pictures.swatches import row, swatch

STEEL, TITANIUM = "iron-oxide", "titanium-oxide"
TIMES = (("minutes", "a few minutes"), ("eight", "8 minutes"), ("hour", "1 hour"))


def film_at(points: list[tuple[float, float]], at: float) -> float:
    """The film between two published points, by a straight line."""
    for (a, low), (b, high) in zip(points, points[1:], strict=False):
        if a <= at <= b:
            return low + (high - low) * (at - a) / (b - a)
    raise ValueError(f"{at} lies outside the table")


def steel(colours: Colours) -> Markup:
    """Three bands over one scale of temperature: the same colour comes earlier the longer the heat
    lasts."""
    tints = colours.knowledge.words("tints").values()
    tables = {
        when: [(float(getattr(t, when)), float(t.film)) for t in tints if getattr(t, when)]
        for when, _ in TIMES
    }
    ends = [at for points in tables.values() for at, _ in points]
    low, high = min(ends) - 4, max(ends) + 4
    box = Box(8, 0, WIDTH - 8, 3 * 52 + 4)

    def x_of(v: float) -> float:
        return box.left + (v - low) / (high - low) * (box.right - box.left)

    step = 4
    drawn = path(
        "".join(f"M{x_of(m):.1f} 0v{box.bottom}" for m in ticks(low, high, 7)), "pic__grid"
    )
    for i, (when, words) in enumerate(TIMES):
        points, y = tables[when], 4 + i * 52
        drawn += text(box.left, y + 13, words, css="pic__strong")
        at = points[0][0]
        while at < points[-1][0]:
            wide = min(step, points[-1][0] - at)
            seen = colours.of_film(STEEL, film_at(points, at + wide / 2))
            drawn += (
                f'<rect class="pic__band" x="{x_of(at):.1f}" y="{y + 20}" '
                f'width="{x_of(at + wide) - x_of(at) + 0.4:.1f}" height="24" fill="{seen.hex}"/>'
            )
            at += wide
    drawn += scale_below(box, ticks(low, high, 7), x_of, "°C")
    said = "Heat colours of plain carbon steel. " + " ".join(
        f"{t.name}: {plain(float(t.minutes))} °C in a few minutes"
        + (f", {plain(float(t.eight))} in 8 minutes" if t.eight else "")
        + (f", {plain(float(t.hour))} in an hour." if t.hour else ".")
        for t in tints
    )
    names = row(
        [
            swatch(
                colours.of_film(STEEL, float(t.film)),
                t.name,
                " / ".join(plain(float(v)) for v in (t.minutes, t.eight, t.hour) if v) + " °C",
                t.source,
            )
            for t in tints
        ]
    )
    return picture(box.bottom + 38, said, drawn) + names


def titanium(colours: Colours) -> Markup:
    """The band of anodised titanium by volt, with the published order of its colours below."""
    named = colours.knowledge.words("anodic_colours").values()
    high = 140
    box = Box(8, 0, WIDTH - 8, 48)

    def x_of(v: float) -> float:
        return box.left + v / high * (box.right - box.left)

    drawn = "".join(
        f'<rect class="pic__band" x="{x_of(v):.1f}" y="4" width="{x_of(2) - x_of(0) + 0.4:.1f}" '
        f'height="40" fill="{colours.by_volts(TITANIUM, v + 1).hex}"/>'
        for v in range(0, high, 2)
    )
    drawn += scale_below(box, ticks(0, high, 8), x_of, "V")
    said = "Anodised titanium: " + ", ".join(
        f"{c.name} at about {plain(float(c.volts))} V" for c in named
    )
    film = colours.knowledge.words("films")[TITANIUM]
    names = row(
        [
            swatch(
                colours.by_volts(TITANIUM, float(c.volts)),
                c.name,
                f"{plain(float(c.volts))} V, "
                f"{plain(float(film.natural) + float(c.volts) * float(film.per_volt))} nm",
            )
            for c in named
        ]
    )
    return picture(box.bottom + 38, said + ".", drawn) + names
