"""Published tables of hazards, processes and parts."""

from __future__ import annotations

from collections.abc import Iterator

from generator.export.sheet import (
    BOUND,
    ID,
    NAME,
    PLACE,
    REVIEWED,
    SOURCE,
    SUMMARY,
    Column,
    compact,
    ends,
    id_of,
    number,
    sheet,
    text,
)
from generator.records import models
from generator.records.knowledge import Knowledge


@sheet(
    "hazards",
    "What attacks materials",
    "id",
    ID,
    NAME,
    SUMMARY,
    text("meets", "how a watch meets it", True),
    REVIEWED,
)
def _hazards(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, h in knowledge.hazards.items():
        yield key, h.name, h.summary, h.meets, h.reviewed.on


@sheet(
    "rules",
    "The ordered rules of the hazards; the first that fits decides",
    "hazard number",
    id_of("hazard", "hazards"),
    PLACE,
    text("condition", "which materials, as JSON; empty: all others"),
    text("places", "only in these zones and parts; empty: everywhere"),
    text("verdict", "what happens", True),
    text("mechanism", "mechanism"),
    text("why", "why", True),
    text("looks_like", "what one sees"),
    text("how_fast", "how fast"),
    SOURCE,
)
def _rules(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, h in knowledge.hazards.items():
        for i, r in enumerate(h.rules, 1):
            condition = r.when.model_dump(mode="json", exclude_none=True, exclude_defaults=True)
            yield (
                key,
                i,
                condition and compact(condition) or None,
                " ".join((*r.zones, *r.parts)) or None,
                r.verdict,
                r.mechanism,
                r.why,
                r.looks_like,
                r.how_fast,
                r.source,
            )


@sheet(
    "processes",
    "What is done to materials",
    "id",
    ID,
    NAME,
    SUMMARY,
    text("group", "group", True),
    text("does", "what happens", True),
    REVIEWED,
)
def _processes(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.processes.items():
        yield key, p.name, p.summary, p.group, p.does, p.reviewed.on


@sheet(
    "steps",
    "Steps of the processes",
    "process number",
    id_of("process", "processes"),
    PLACE,
    text("step", "what to do", True),
)
def _steps(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.processes.items():
        for i, step in enumerate(p.steps, 1):
            yield key, i, step


@sheet(
    "process_figures",
    "Numbers of the processes",
    "process number",
    id_of("process", "processes"),
    PLACE,
    text("what", "what is measured", True),
    *BOUND,
    text("unit", "unit", True),
    SOURCE,
    text("note", "note"),
)
def _process_figures(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.processes.items():
        for i, f in enumerate(p.figures, 1):
            yield key, i, f.what, *ends(f), f.unit, f.source, f.note


@sheet(
    "parts",
    "Part roles",
    "id",
    ID,
    NAME,
    SUMMARY,
    text("zone", "region of the watch", True),
    text("does", "what it does", True),
    REVIEWED,
)
def _parts(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        yield key, p.name, p.summary, p.zone, p.does, p.reviewed.on


_ASKED = (
    id_of("property", "properties", False),
    number("at_least", "least that will do"),
    number("at_most", "most that will do"),
    text("unit", "unit"),
    text("working", "way of working"),
    text("rating", "lowest rating that will do"),
    text("magnetism", "strongest that will do"),
    text("trait", "trait that it must have"),
    text("lacks_trait", "trait that it must not have"),
    id_of("mate", "parts", False),
    number("within", "largest difference of expansion, 10^-6/K"),
    Column("firm", "false: preferred", "boolean", True),
    text("why", "why", True),
    SOURCE,
)


def _asked(knowledge: Knowledge, d: models.Demand) -> tuple:
    unit = d.property and (d.unit or next(iter(knowledge.words("properties")[d.property].units)))
    mate = d.mate and d.mate.part, d.mate and d.mate.within
    traits = d.magnetism, d.trait, d.lacks_trait
    asked = d.property, d.at_least, d.at_most, unit, d.working, d.rating
    return *asked, *traits, *mate, d.firm, d.why, d.source


@sheet(
    "demands",
    "What parts ask of their material",
    "part number",
    id_of("part", "parts"),
    PLACE,
    *_ASKED,
)
def _demands(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        for i, d in enumerate(p.demands, 1):
            yield key, i, *_asked(knowledge, d)


@sheet(
    "settings",
    "Other watches in which a part asks for something else",
    "id",
    Column("id", "part and setting", required=True),
    id_of("part", "parts"),
    NAME,
    text("tells", "how to see that the watch is of this kind", True),
    Column("period", "true: the material of its time, which restoration asks for", "boolean", True),
)
def _settings(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        for name, s in p.settings.items():
            yield f"{key}/{name}", key, s.name, s.tells, s.period


@sheet(
    "setting_demands",
    "What parts ask of their material in another watch, in place of their own demands",
    "setting number",
    id_of("setting", "settings"),
    PLACE,
    *_ASKED,
)
def _setting_demands(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        for name, s in p.settings.items():
            for i, d in enumerate(s.demands, 1):
                yield f"{key}/{name}", i, *_asked(knowledge, d)


@sheet(
    "meetings",
    "Which hazards parts meet",
    "part number",
    id_of("part", "parts"),
    PLACE,
    id_of("hazard", "hazards"),
    text("severity", "how much", True),
    text("note", "note"),
)
def _meetings(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        for i, m in enumerate(p.meets, 1):
            yield key, i, m.hazard, m.severity, m.note


_CHOSEN = (
    text("judged", "usual or wrong", True),
    PLACE,
    id_of("material", "materials"),
    text("state", "state; empty: any"),
    id_of("coated", "materials", False),
    text("why", "why", True),
    SOURCE,
)


def _chosen(p: models.Part | models.Setting) -> Iterator[tuple]:
    for judged in ("usual", "wrong"):
        for i, c in enumerate(getattr(p, judged), 1):
            yield judged, i, c.material, c.state, c.coated, c.why, c.source


@sheet(
    "choices",
    "What the trade uses for a part, and what it knows to be wrong",
    "part judged number",
    id_of("part", "parts"),
    *_CHOSEN,
)
def _choices(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        yield from ((key, *chosen) for chosen in _chosen(p))


@sheet(
    "setting_choices",
    "The same for a part in another watch",
    "setting judged number",
    id_of("setting", "settings"),
    *_CHOSEN,
)
def _setting_choices(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        for name, s in p.settings.items():
            yield from ((f"{key}/{name}", *chosen) for chosen in _chosen(s))
