"""Ladders: where materials stand on one scale. A strip shows one material among all metals; a
ladder shows the families; expansion is drawn as lengths, the sea-water series with both places.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from markupsafe import Markup, escape

from generator.numbers import quantities
from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
from generator.site.pictures.drawing import (
    WIDTH,
    Box,
    n,
    path,
    picture,
    rect,
    scale_below,
    shortened,
    text,
    ticks,
    width_of,
)
from generator.verdicts.contact import Place
from generator.verdicts.wording import brief_evidence, shown_with_evidence


def span(values: Values, material: str, prop: str) -> Quantity | None:
    """All that is known of a property of a material in the states in which parts are used; nothing
    where limits alone are known, for a promise has no place on a scale."""
    record = values.knowledge.materials[material]
    found = [
        q
        for s in values.states_with(material, prop)
        if (s is None or not record.states[s].stage) and (q := values.of(material, prop, s))
    ]
    return wide(found) if any(None not in (q.low, q.high) for q in found) else None


def wide(found: Sequence[Quantity]) -> Quantity | None:
    """One interval over several; ends that are open are left to those that are not. It keeps the
    digits of the more exact end: rounded outwards to those of the other, lead would weigh 12."""
    lows = [e for q in found for e in (q.low, q.high) if e is not None]
    if not lows:
        return None
    ends = [q for q in found if {q.low, q.high} & {min(lows), max(lows)}]
    weakest = max((q.evidence for q in ends), key=quantities.RANK.__getitem__)
    digits = max(q.digits for q in ends)
    return Quantity(min(lows), max(lows), found[0].unit, digits, evidence=weakest)


def strips(
    title: str, rows: Sequence[tuple[str, str, Quantity, Sequence[tuple[str, Quantity]]]]
) -> Markup:
    """For each property a line from the lowest to the highest metal: a tick for each metal, a mark
    for this one. Rows: name, unit, this metal's figure, (name, figure) of all metals."""
    drawn, spoken, y = "", [], 0
    left, right = 8, WIDTH - 8
    for name, unit, own, others in rows:
        ends = sorted(
            (float((q.low + q.high) / 2), other)
            for other, q in others
            if q.low is not None and q.high is not None
        )
        low, high = ends[0][0], ends[-1][0]
        low = min(low, float(own.low if own.low is not None else low))
        high = max(high, float(own.high if own.high is not None else high))

        def x_of(v: float, low=low, high=high) -> float:
            return left + (v - low) / ((high - low) or 1) * (right - left)

        shown = f"{quantities.shown(own)} {unit} {brief_evidence(own)}".rstrip()
        drawn += text(left, y + 16, name) + text(right, y + 16, shown, "end", "pic__strong")
        line = y + 34
        drawn += path(f"M{left} {line}H{right}", "pic__axis")
        drawn += path("".join(f"M{n(x_of(v))} {line - 5}v10" for v, _ in ends), "pic__grid")
        a = x_of(float(own.low if own.low is not None else own.high))
        b = x_of(float(own.high if own.high is not None else own.low))
        drawn += rect(a - 3, line - 8, max(b - a, 0) + 6, 16, "pic__mark")
        room = (right - left) / 2 - 6
        drawn += text(left, line + 21, shortened(ends[0][1], room), css="pic__quiet")
        drawn += text(right, line + 21, shortened(ends[-1][1], room), "end", "pic__quiet")
        spoken.append(f"{name} {shown}, between {ends[0][1]} and {ends[-1][1]}")
        y += 68
    return picture(y, f"{title}: {'; '.join(spoken)}.", drawn, css="pic--strips")


def ladder(title: str, unit: str, rows: Sequence[tuple[str, Quantity]]) -> Markup:
    """One bar a family on a scale from zero, highest first, with its figures: from where to where
    its metals reach."""
    rows = sorted(rows, key=lambda r: -(r[1].low + r[1].high))
    top, step = 4, 34
    box = Box(2, top, WIDTH - 14, top + step * len(rows) + 2)
    most = float(max(q.high for _, q in rows))
    marks = ticks(0, most, 7)

    def x_of(v: float) -> float:
        return box.left + v / most * (box.right - box.left)

    drawn = path("".join(f"M{n(x_of(m))} {top}V{n(box.bottom)}" for m in marks), "pic__grid")
    for i, (name, q) in enumerate(rows):
        y, shown = top + i * step, shown_with_evidence(q)
        drawn += text(2, y + 15, shortened(name, box.right - width_of(shown) - 8))
        drawn += text(box.right, y + 15, shown, "end", "pic__strong")
        a, b = x_of(float(q.low)), x_of(float(q.high))
        drawn += rect(a, y + 20, max(b - a, 4), 8, "pic__bar")
    said = f"{title}, in {unit}, highest first: " + "; ".join(
        f"{name} {shown_with_evidence(q)}" for name, q in rows
    )
    return picture(
        box.bottom + 38, said + ".", drawn + scale_below(box, marks, x_of, unit), css="pic--ladder"
    )


WARMER = 30  # degrees by which the bar of 100 mm is warmed in the picture of expansion


def lengths(rows: Sequence[tuple[str, Quantity]]) -> Markup:
    """How much longer a bar of 100 mm is when it is 30 degrees warmer, a thousand times as large
    as it is: 10^-6 a degree times 100 mm times 30 is 3 micrometres."""
    grown = [
        (name, Quantity(q.low * 3, q.high * 3, "um", q.digits), q)
        for name, q in sorted(rows, key=lambda r: r[1].low + r[1].high)
    ]
    most = float(max(g.high for _, g, _ in grown))
    left, step = 120, 34
    drawn, spoken = "", []
    for i, (name, g, q) in enumerate(grown):
        y = 4 + i * step
        shown = f"{quantities.shown(g)} µm {brief_evidence(q)}".rstrip()
        a, b = (max(float(e), 0) / most * (WIDTH - left - 10) for e in (g.low, g.high))
        drawn += text(2, y + 15, shortened(name, WIDTH - width_of(shown) - 10))
        drawn += text(WIDTH - 4, y + 15, shown, "end", "pic__strong")
        drawn += rect(2, y + 20, left - 2, 8, "pic__soft")
        drawn += path(f"M{left} {y + 17}v14", "pic__axis")
        drawn += rect(left, y + 20, max(a, 1), 8, "pic__bar")
        drawn += rect(left + a, y + 20, max(b - a, 0), 8, "pic__open") if b - a > 1 else ""
        spoken.append(f"{name} {shown}")
    y = 4 + len(grown) * step
    said = f"Growth of a bar of 100 mm that is {WARMER} degrees warmer: " + "; ".join(spoken)
    return picture(y + 4, said + ".", drawn, css="pic--ladder")


def series(places: Mapping[str, Place], marked: Sequence[str] = ()) -> Markup:
    """Metals in sea water, noblest on top: a bar for the metal in the open, an open one where the
    film of a metal breaks in a wet gap."""
    rows = sorted(places.values(), key=lambda p: -p.open)
    step, left, right = 34, 2, WIDTH - 14
    reach = {p.key: [float(v) for v in _ends(p.record.whole)] for p in rows}
    gaps = {p.key: [float(v) for v in _ends(p.record.broken)] for p in rows if p.record.broken}
    low = min(a for a, _ in [*reach.values(), *gaps.values()])
    high = max(b for _, b in [*reach.values(), *gaps.values()])
    marks = ticks(low, high, 6)
    box = Box(left, 4, right, 6 + step * len(rows))

    def x_of(v: float) -> float:
        return left + (v - low) / (high - low) * (right - left)

    drawn = path("".join(f"M{n(x_of(m))} 4V{n(box.bottom)}" for m in marks), "pic__grid")
    spoken = []
    for i, p in enumerate(rows):
        y, (a, b) = 4 + i * step, reach[p.key]
        volts = f"{_volts(a)} to {_volts(b)}" if a != b else _volts(a)
        css = "pic__strong" if p.key in marked else ""
        drawn += text(left, y + 15, shortened(p.record.name, right - width_of(volts) - 8), css=css)
        drawn += text(right, y + 15, volts, "end", "pic__strong")
        drawn += rect(x_of(a), y + 20, max(x_of(b) - x_of(a), 4), 8, "pic__bar")
        words = f"{p.record.name} {volts}"
        if p.key in gaps:
            a, b = gaps[p.key]
            drawn += rect(x_of(a), y + 20, max(x_of(b) - x_of(a), 4), 8, "pic__open")
            words += f", in a wet gap {_volts(a)} to {_volts(b)}"
        spoken.append(words)
    return picture(
        box.bottom + 38,
        f"Volts in sea water against the calomel electrode, noblest first: {'; '.join(spoken)}.",
        drawn + scale_below(box, marks, x_of, "V"),
        escape(
            "Filled: in the open, film whole. Dashed outline: in a salt-wet gap, film broken. "
            "The lower of two metals in wet contact is the one that corrodes."
        ),
        "pic--ladder",
    )


def _ends(found) -> tuple[Decimal, Decimal]:
    ends = [e for f in found for e in (f.range or (f.typical, f.typical))]
    return min(ends), max(ends)


def _volts(v: float) -> str:
    return f"{v:.2f}".replace("-", "−")
