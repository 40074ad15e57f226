"""What all pictures share: the frame with its text, lines of text, scales.

A picture is 360 units wide, so that on a phone one unit is one pixel and letters keep their size.
Colours are those of the page (``currentColor`` and the classes of styles/figures.css); only
swatches and tints bring their own, and name them in words as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from markupsafe import Markup, escape

from generator.numbers.quantities import NBSP

WIDTH = 360
SIZE = 13  # letters; 12 px is the least that a screen may show
LETTER = 0.56  # width of an average letter in letter sizes


class Box(NamedTuple):
    """Where a plot stands in its picture."""

    left: float
    top: float
    right: float
    bottom: float


def n(number: float) -> str:
    """A coordinate: a tenth of a pixel is enough."""
    return f"{number:.1f}".removesuffix(".0")


def picture(height: float, said: str, body: str, caption: str = "", css: str = "") -> Markup:
    """A picture with the text that says what it shows; ``caption`` stands below it."""
    below = f"<figcaption>{caption}</figcaption>" if caption else ""
    return Markup(
        f'<figure class="pic{" " + css if css else ""}"><svg viewBox="0 0 {WIDTH} {n(height)}" '
        f'role="img" aria-label="{escape(said)}">{body}</svg>{below}</figure>'
    )


def text(x: float, y: float, words: str, anchor: str = "", css: str = "") -> str:
    """One line of text; ``anchor`` is middle or end."""
    return (
        f'<text x="{n(x)}" y="{n(y)}"'
        + (f' text-anchor="{anchor}"' if anchor else "")
        + (f' class="{css}"' if css else "")
        + f">{escape(words)}</text>"
    )


def path(d: str, css: str) -> str:
    """A path in one of the strokes of the style file."""
    return f'<path class="{css}" d="{d}"/>'


def rect(x: float, y: float, width: float, height: float, css: str, fill: str = "") -> str:
    """A box; ``fill`` is a colour of its own, for swatches."""
    own = f' fill="{fill}"' if fill else ""
    return (
        f'<rect class="{css}" x="{n(x)}" y="{n(y)}" width="{n(width)}" height="{n(height)}"{own}/>'
    )


def width_of(words: str, size: float = SIZE) -> float:
    """About how wide a line of text is."""
    return len(words) * size * LETTER


def shortened(words: str, room: float) -> str:
    """The text, or as many of its words as fit the room and a sign that there is more."""
    if width_of(words) <= room:
        return words
    kept = words
    while kept and width_of(kept + " …") > room:
        kept = kept.rpartition(" ")[0]
    return f"{kept} …" if kept else words[: int(room / SIZE / LETTER)]


def apart(places: Sequence[float], room: float = 56) -> set[int]:
    """Which of these places along a line may carry a label so that no two touch: the ends first,
    then from the left."""
    kept = [0]
    for i, place in enumerate(places[1:-1], 1):
        if place - places[kept[-1]] >= room and places[-1] - place >= room:
            kept.append(i)
    return {*kept, len(places) - 1}


def ticks(low: float, high: float, most: int = 6) -> list[float]:
    """Round numbers between two ends, at most so many: steps of 1, 2 or 5 times a power of ten."""
    span, step = high - low, 1e-6
    while span / step > most - 1:
        for times in (2, 2.5, 2):
            step *= times
            if span / step <= most - 1:
                break
    first = -(-low // step) * step
    return [round(first + i * step, 6) for i in range(int((high - first) / step + 1e-9) + 1)]


def plain(number: float) -> str:
    """A number on an axis."""
    return f"{number:g}".replace("-", "−")


def scale_below(box: Box, marks: Sequence[float], x_of, unit: str) -> str:
    """An axis below a plot with its numbers; the last carries the unit."""
    kept = apart([x_of(m) for m in marks], 34)
    lines = "".join(f"M{n(x_of(m))} {n(box.bottom)}v5" for m in marks)
    numbers = "".join(
        text(x_of(m), box.bottom + 18, plain(m), "middle") for i, m in enumerate(marks) if i in kept
    )
    return (
        path(f"M{n(box.left)} {n(box.bottom)}H{n(box.right)}{lines}", "pic__axis")
        + numbers
        + text(box.right, box.bottom + 34, unit.replace(" ", NBSP), "end", "pic__quiet")
    )
