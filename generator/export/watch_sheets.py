"""Published tables of kinds of watch: their parts, and what touches what."""

from __future__ import annotations

from collections.abc import Iterator

from generator.export.sheet import (
    ID,
    NAME,
    PLACE,
    REVIEWED,
    SUMMARY,
    Column,
    id_of,
    number,
    sheet,
    text,
)
from generator.records.knowledge import Knowledge
from generator.records.materials import figures_of

KEY = text("key", "what the joins call the part", True)


@sheet(
    "watches",
    "Kinds of watch",
    "id",
    ID,
    NAME,
    SUMMARY,
    text("period", "when such watches were made", True),
    Column("invented", "true: stands for many watches", "boolean", True),
    REVIEWED,
)
def _watches(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, w in knowledge.watches.items():
        yield key, w.name, w.summary, w.period, w.invented, w.reviewed.on


@sheet(
    "watch_parts",
    "Parts of kinds of watch, as usually made",
    "watch key",
    id_of("watch", "watches"),
    KEY,
    PLACE,
    id_of("part", "parts"),
    text("setting", "setting of the part"),
    id_of("material", "materials", False),
    text("state", "state of the material"),
    id_of("coating", "materials", False),
    Column("outside", "true: sees skin, sweat and weather", "boolean", True),
    Column("oiled", "true: gets oil or grease", "boolean", True),
    number("grams", "weight in g, invented with the watch"),
)
def _parts(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, w in knowledge.watches.items():
        for i, p in enumerate(w.parts, 1):
            made = (p.material, p.state, p.coating)
            yield key, p.key, i, p.part, p.setting, *made, p.outside, p.oiled, p.grams


@sheet(
    "watch_joins",
    "What touches what in kinds of watch",
    "watch number",
    id_of("watch", "watches"),
    PLACE,
    text("one", "key of one part", True),
    text("other", "key of the other part", True),
    text("how", "way of joining", True),
    text("situation", "the wettest that the place gets", True),
    text("smaller", "key of the smaller part"),
    text("look", "what to look at when the watch is open"),
)
def _joins(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, w in knowledge.watches.items():
        for i, j in enumerate(w.joins, 1):
            yield key, i, *j.between, j.how, j.where, j.smaller, j.look


@sheet(
    "measurements",
    "What a workshop measured, of which its figures are pooled",
    "material property state source number",
    id_of("material", "materials"),
    id_of("property", "properties"),
    text("state", "id of the state; empty: every state"),
    text("source", "id in sources", True),
    PLACE,
    number("value", "in the unit of the figure", True),
    number("doubt", "plus or minus: 95 of 100 such values lie within it", True),
    number("readings", "how many readings the value is the mean of"),
    text("instrument", "instrument"),
    Column("on", "day", "date", True),
    text("by", "a role"),
    text("part", "part of the watch", True),
    text("sheet", "saved sheet", True),
)
def _measurements(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, material in knowledge.materials.items():
        for way, prop, figure in figures_of(material):
            state = way[1] if way[0] == "states" else ""
            for i, m in enumerate(figure.measured, 1):
                measured = (m.value, m.doubt, m.readings, m.instrument, m.on)
                yield key, prop, state, figure.source, i, *measured, m.by, m.part, m.sheet
