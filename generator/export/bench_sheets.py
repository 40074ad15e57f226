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


@sheet(
    "demands",
    "What parts ask of their material",
    "part number",
    id_of("part", "parts"),
    PLACE,
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
    Column("firm", "false: wished", "boolean", True),
    text("why", "why", True),
    SOURCE,
)
def _demands(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        for i, d in enumerate(p.demands, 1):
            unit = d.property and (
                d.unit or next(iter(knowledge.words("properties")[d.property].units))
            )
            yield (
                key,
                i,
                d.property,
                d.at_least,
                d.at_most,
                unit,
                d.working,
                d.rating,
                d.magnetism,
                d.trait,
                d.lacks_trait,
                d.mate and d.mate.part,
                d.mate and d.mate.within,
                d.firm,
                d.why,
                d.source,
            )


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


@sheet(
    "choices",
    "What the trade uses for a part, and what it knows to be wrong",
    "part judged number",
    id_of("part", "parts"),
    text("judged", "usual or wrong", True),
    PLACE,
    id_of("material", "materials"),
    text("state", "state; empty: any"),
    id_of("coated", "materials", False),
    text("why", "why", True),
    SOURCE,
)
def _choices(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.parts.items():
        for judged in ("usual", "wrong"):
            for i, c in enumerate(getattr(p, judged), 1):
                yield key, judged, i, c.material, c.state, c.coated, c.why, c.source
