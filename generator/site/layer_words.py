"""Words for what a workshop added in its own layer: its notes, and where they apply."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from generator.numbers.pooling import pooled
from generator.numbers.quantities import number_text, round_to
from generator.records import models
from generator.records.knowledge import KINDS, Knowledge

MARK = "\u25c6"  # ◆ stands beside every name, row and page that the layer touches


class Added(NamedTuple):
    """What a workshop added to one record: the fields of its own layer in words, its notes, the
    rows of a table."""

    fields: list[str]
    notes: list[str]
    rows: list[int]


def notice(knowledge: Knowledge) -> str:
    """The line that every page carries when the site holds a workshop's own layer; empty when it
    holds none."""
    touched = [(kind, key) for kind, key in knowledge.layered if kind in KINDS]
    if not knowledge.layered:
        return ""
    figures = sum(
        knowledge.from_layer("material", key, way)
        for kind, key in touched
        if kind == "material"
        for way in _figure_ways(knowledge.materials[key])
    )
    counts = f"{_count(len(touched), 'record')}, {_count(figures, 'figure')}"
    return f"{MARK} marks what comes from this workshop\u2019s own layer: {counts}."


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _figure_ways(material: models.Material):
    for prop, figures in material.figures.items():
        yield from (("figures", prop, i) for i in range(len(figures)))
    for state, record in material.states.items():
        for prop, figures in record.figures.items():
            yield from (("states", state, "figures", prop, i) for i in range(len(figures)))


def added(knowledge: Knowledge) -> dict[tuple[str, str], Added]:
    """What was added to each record that a workshop touched, by kind and id."""
    found = {}
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            ways = knowledge.layered.get((kind, key), frozenset())
            if ways or record.notes:
                words = (
                    _words(knowledge, record, way)
                    for way in sorted(ways, key=str)
                    if way[:1] != ("notes",)
                )
                rows = [
                    way[1]
                    for way in ways
                    if way[:1] == ("figures",) and isinstance(way[-1], int) and len(way) == 2
                ]
                found[kind, key] = Added(list(dict.fromkeys(words)), record.notes, rows)
    return found


def _words(knowledge: Knowledge, record: models.Record, way: tuple) -> str:
    """A way into a record as a reader would say it: `hardness, annealed`."""
    if not way:
        return "the whole page"
    if way[0] == "states" and len(way) > 1:
        state = record.states[way[1]].name
        return f"{_property(knowledge, way[3])}, {state}" if len(way) > 3 else state
    if way[0] == "figures" and len(way) > 1 and isinstance(way[1], str):
        return _property(knowledge, way[1])
    if way[0] == "working" and len(way) > 1:
        return knowledge.words("workings")[way[1]].name
    return way[0].replace("_", " ")


def _property(knowledge: Knowledge, key: str) -> str:
    return knowledge.words("properties")[key].name


class Measured(NamedTuple):
    """How a figure was pooled, in one line, and each of its measurements."""

    pooled: str
    each: list[str]


def measured(figure: models.Figure, unit: str) -> Measured | None:
    """What a figure rests on that a workshop measured; None where it was published."""
    if not figure.measured:
        return None
    found = pooled(figure.measured)
    many = len(figure.measured)
    line = (
        f"Pooled from {_count(many, 'measurement')} on {_count(_sheets(figure), 'sheet')}: "
        f"{number_text(_rounded(found.mean, found.uncertainty))} with a standard uncertainty of "
        f"{number_text(round_to(found.uncertainty, 2))} {unit}".rstrip()
    )
    if found.widened > 1:
        times = number_text(round_to(found.widened, 2))
        line += f", widened {times} times because they scatter more than their uncertainties allow"
    return Measured(line + ".", [_measurement(m, unit) for m in figure.measured])


def _sheets(figure: models.Figure) -> int:
    return len({m.sheet for m in figure.measured})


def _rounded(value: Decimal, uncertainty: Decimal) -> Decimal:
    """A value to the place of the first digit of its uncertainty, or to whole units."""
    place = min(0, uncertainty.adjusted())
    return value.quantize(Decimal(1).scaleb(place))


def _measurement(m: models.Measurement, unit: str) -> str:
    readings = f"{_count(int(m.readings), 'reading')}" if m.readings else ""
    by = f"by the {m.by}" if m.by else ""
    value = f"{number_text(m.value)} \u00b1 {number_text(m.doubt)} {unit}".rstrip()
    place = m.part.replace("-", " ")
    said = (value, readings, m.instrument, by, str(m.on), place, f"sheet {m.sheet}")
    return ", ".join(text for text in said if text)
