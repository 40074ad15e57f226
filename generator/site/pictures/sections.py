"""Things cut open and drawn to scale: coatings beside a hair, a gasket in its groove; and what a
watch gains or loses as it warms.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from math import pi

from markupsafe import Markup, escape

from generator.numbers import formulas, quantities
from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
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
    text,
    ticks,
    width_of,
)
from generator.site.watch_map import wrapped
from generator.verdicts.wording import brief_evidence

HAIR = 70  # micrometres: a human hair, as common practice has it; 50 to 100
ROOM = 20  # degC at which the watch was set


def coatings(rows: Sequence[tuple[str, Quantity]]) -> Markup:
    """Coatings cut through, to scale with the section of a hair: a micrometre is 1.2 units of the
    picture. Rows: name and thickness in micrometres."""
    scale, left, y, drawn = 1.2, 98, 8, ""
    spoken = []
    drawn += f'<circle class="pic__soft" cx="46" cy="60" r="{n(HAIR / 2 * scale)}"/>'
    drawn += text(46, 58, "a hair", "middle") + text(46, 75, f"{HAIR} µm", "middle")
    for name, q in rows:
        shown = f"{quantities.shown(q)} µm {brief_evidence(q)}".rstrip()
        drawn += text(left, y + 13, name)
        if width_of(name) + width_of(shown) + 8 > WIDTH - left:
            y += 17
        drawn += text(WIDTH - 2, y + 13, shown, "end", "pic__strong")
        high = float(q.high if q.high is not None else q.low) * scale
        low = float(q.low if q.low is not None else 0) * scale
        top = y + 20
        drawn += rect(left, top, WIDTH - left - 2, max(high, 0.4), "pic__open pic__hairline")
        drawn += rect(left, top + max(high - low, 0), WIDTH - left - 2, max(low, 0.4), "pic__gilt")
        y = top + max(high, 2) + 10
        spoken.append(f"{name} {shown}")
    height = max(y, 110)
    said = f"Thickness of coatings to scale next to a hair of {HAIR} µm: {'; '.join(spoken)}."
    caption = escape(
        "To scale. Filled: the least that is usual; dashed outline: the most. "
        "The hair is common practice, 50 to 100 µm."
    )
    return picture(height, said, drawn, caption)


def gasket(d: Decimal, h: Decimal, w: Decimal) -> Markup:
    """A round gasket in its groove, free and closed: what the lid takes off its thickness bulges
    to the sides, for rubber keeps its volume. ``d``, ``h``, ``w`` in mm: gasket, depth, width."""
    squeeze = float(100 * (d - h) / d)
    scale = 110.0
    across, deep, wide = float(d) * scale, float(h) * scale, float(w) * scale
    drawn, top = "", 128
    flat = (pi * across**2 / 4 - pi * deep**2 / 4) / deep  # of a section with round ends
    for x, closed in ((14, False), (WIDTH - 14 - wide - 32, True)):
        left = x + 16
        groove = f"h16v{n(deep)}h{n(wide)}v{n(-deep)}h16v{n(deep + 22)}h{n(-wide - 32)}Z"
        drawn += path(f"M{n(x)} {n(top - deep)}{groove}", "pic__soft")
        if closed:
            middle = left + wide / 2
            drawn += (
                f'<rect class="pic__rubber" x="{n(middle - (flat + deep) / 2)}" y="{n(top - deep)}"'
                f' width="{n(flat + deep)}" height="{n(deep)}" rx="{n(deep / 2)}"/>'
            )
            drawn += rect(x, top - deep - 22, wide + 32, 22, "pic__soft")
            drawn += text(x + (wide + 32) / 2, top - deep - 7, "lid, shut", "middle")
        else:
            drawn += (
                f'<circle class="pic__rubber" cx="{n(left + wide / 2)}" cy="{n(top - across / 2)}" '
                f'r="{n(across / 2)}"/>'
            )
    drawn += text(14, 170, f"free: {plain(float(d))} mm thick")
    drawn += text(WIDTH - 14, 170, f"shut: {plain(float(h))} mm", "end")
    drawn += text(WIDTH / 2, 190, f"squeeze {plain(round(squeeze, 1))} %", "middle", "pic__strong")
    said = (
        f"A gasket of {d} mm in a groove {h} mm deep and {w} mm wide: free it stands above the "
        f"groove; shut it is pressed to {h} mm, a squeeze of {plain(round(squeeze, 1))} per cent, "
        "and bulges to the sides."
    )
    return picture(196, said, drawn)


def rate_of(values: Values, formula: models.Formula, pair: models.RatePair) -> Quantity:
    """Seconds a day for each degree that a spring and balance gain or lose."""
    units = {key: s.unit for key, s in formula.symbols.items()}

    def exact(number: Decimal, unit: str) -> Quantity:
        return Quantity(number, number, unit, 4)

    if pair.spring:
        inputs = {
            "TCE": values.of(pair.spring, "modulus-temperature-coefficient", pair.state),
            "alpha_s": values.of(pair.spring, "expansion", pair.state),
            "alpha_b": values.of(pair.balance, "expansion"),
        }
    else:
        given = (pair.coefficient, pair.spring_grows, pair.balance_grows)
        inputs = {k: exact(v, units[k]) for k, v in zip(units, given, strict=True)}
    program = formulas.compile_expression(formula.expression, formula.symbols)
    return formulas.evaluate_quantities(program, inputs, formula.result.unit)


def rates(rows: Sequence[tuple[str, Quantity]]) -> Markup:
    """Gain and loss a day against warmth, set right at 20 degC: a line, or a fan between two
    dashed lines where the makers give a span. Rows: name and seconds a day per degree."""
    cold, warm = 5, 35
    box = Box(50, 24, WIDTH - 12, 234)
    most = max(abs(float(e)) * 15 for _, q in rows for e in (q.low, q.high))
    marks = ticks(-most, most, 6)

    def x_of(v: float) -> float:
        return box.left + (v - cold) / (warm - cold) * (box.right - box.left)

    def y_of(v: float) -> float:
        return box.bottom - (v + most) / (2 * most) * (box.bottom - box.top)

    across = ticks(cold, warm, 7)
    drawn = path(
        "".join(f"M{n(box.left)} {n(y_of(m))}H{n(box.right)}" for m in marks)
        + "".join(f"M{n(x_of(m))} {n(box.top)}V{n(box.bottom)}" for m in across),
        "pic__grid",
    )
    drawn += "".join(text(box.left - 6, y_of(m) + 4.5, plain(m), "end") for m in marks)
    drawn += text(2, 14, "seconds a day", css="pic__quiet")
    drawn += scale_below(box, across, x_of, "°C")
    spoken, names, y = [], "", box.bottom + 52
    for name, q in rows:
        ends = sorted({float(q.low), float(q.high)})
        for e in ends:
            css = "pic__line" if len(ends) == 1 else "pic__demand"
            drawn += path(
                f"M{n(x_of(cold))} {n(y_of(e * (cold - ROOM)))}L{n(x_of(warm))}"
                f" {n(y_of(e * (warm - ROOM)))}",
                css,
            )
        css = "pic__line" if len(ends) == 1 else "pic__demand"
        names += path(f"M4 {n(y - 4)}h28", css)
        for line in wrapped(name, 44):
            names += text(38, y, line)
            y += 18
        spoken.append(f"{name}: {quantities.shown(q)} seconds a day per degree")
    return picture(
        y - 8,
        f"Rate against temperature, set right at {ROOM} °C. {'; '.join(spoken)}.",
        drawn + names,
    )
