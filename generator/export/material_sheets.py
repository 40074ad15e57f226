"""Published tables of sources, properties and materials."""

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
    ends,
    id_of,
    number,
    sheet,
    text,
)
from generator.numbers.values import evidence_of
from generator.records.knowledge import Knowledge
from generator.records.materials import figures_of


@sheet(
    "sources",
    "Where figures and judgements come from",
    "id",
    ID,
    text("title", "title", True),
    text("author", "who wrote or issued it"),
    text("number", "document number or edition"),
    text("publisher", "publisher", True),
    text("year", "year or edition"),
    text("kind", "kind of source", True),
    text("place", "table, clause, page"),
    text("address", "web address or DOI"),
    text("read_in", "where it was seen, if not in the original"),
    Column("seen", "true: the text itself was read", "boolean", True),
    text("note", "note"),
)
def _sources(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, s in knowledge.sources.items():
        yield (
            key,
            s.title,
            s.author,
            s.number,
            s.publisher,
            s.year,
            s.kind,
            s.where,
            s.address,
            s.read_in,
            s.seen,
            s.note,
        )


@sheet(
    "properties",
    "Measurable properties",
    "id",
    ID,
    NAME,
    text("group", "group", True),
    text("meaning", "meaning"),
    Column("state_bound", "true: depends on the state", "boolean", True),
)
def _properties(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, p in knowledge.words("properties").items():
        yield key, p.name, p.group, p.meaning, p.state_bound


@sheet(
    "materials",
    "What parts are made of and covered with",
    "id",
    ID,
    NAME,
    SUMMARY,
    text("family", "family", True),
    text("class", "metal, plastic, glass ...", True),
    text("folder", "alloys, nonmetals or coatings", True),
    text("colour", "colour"),
    text("magnetism", "what a magnet does", True),
    text("balance", "element that takes the rest of the composition"),
    text("composition_source", "id in sources, or memory"),
    REVIEWED,
)
def _materials(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        made = m.composition
        yield (
            key,
            m.name,
            m.summary,
            m.family,
            knowledge.material_class(m),
            knowledge.folders[key],
            m.colour,
            m.magnetism,
            made and made.balance,
            made and made.source,
            m.reviewed.on,
        )


@sheet(
    "states",
    "States of materials",
    "material state",
    id_of("material", "materials"),
    text("state", "id of the state", True),
    NAME,
    text("reached", "how the material gets there"),
    text("stage", "what must follow, where no part is used in this state"),
    text("magnetism", "where it differs from the material's"),
)
def _states(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for state, s in m.states.items():
            yield key, state, s.name, s.reached, s.stage, s.magnetism


@sheet(
    "designations",
    "What standards call a material",
    "material number",
    id_of("material", "materials"),
    PLACE,
    text("system", "system of designations", True),
    text("code", "designation", True),
)
def _designations(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for i, d in enumerate(m.designations, 1):
            yield key, i, d.system, d.code


@sheet(
    "shares",
    "Compositions, per cent by mass",
    "material element",
    id_of("material", "materials"),
    text("element", "symbol", True),
    *BOUND,
)
def _shares(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for element, share in m.composition.shares.items() if m.composition else ():
            yield key, element, *ends(share)


@sheet(
    "figures",
    "Every figure of every material",
    "material number",
    id_of("material", "materials"),
    PLACE,
    text("state", "state it belongs to; empty: every state"),
    id_of("property", "properties"),
    *BOUND,
    text("unit", "unit", True),
    number("over_from", "span of temperature, degC"),
    number("over_to", "span of temperature, degC"),
    SOURCE,
    text("of", "the relative that the figure was measured on; empty: the very metal"),
    text("evidence", "own, converted, computed, borrowed or memory", True),
    text("note", "condition of the test"),
    Column("layer", "true: from a workshop's own layer", "boolean", True),
)
def _figures(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for i, (way, prop, f) in enumerate(figures_of(m), 1):
            unit = f.unit or next(iter(knowledge.words("properties")[prop].units))
            yield (
                key,
                i,
                way[1] if way[0] == "states" else None,
                prop,
                *ends(f),
                unit,
                *(f.over or (None, None)),
                f.source,
                f.of,
                evidence_of(knowledge, f),
                f.note,
                knowledge.from_layer("material", key, way),
            )


@sheet(
    "tempering",
    "Hardness after tempering, as published",
    "material curve number",
    id_of("material", "materials"),
    Column("curve", "number of the curve, from 1", "integer", True),
    PLACE,
    text("hardened_from", "hardening temperature", True),
    text("quenched", "quenched in", True),
    number("temperature", "tempered at, degC; empty: not tempered"),
    number("hardness", "hardness", True),
    text("unit", "scale", True),
    text("stands_in_for", "set when the curve belongs to a near relative"),
    SOURCE,
)
def _tempering(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for i, c in enumerate(m.tempering, 1):
            points = [(None, c.as_quenched)] if c.as_quenched is not None else []
            points += [(p.temperature, p.hardness) for p in c.points]
            for n, (temperature, hardness) in enumerate(points, 1):
                yield (
                    key,
                    i,
                    n,
                    c.hardened_from,
                    c.quenched,
                    temperature,
                    hardness,
                    c.unit,
                    c.stands_in_for,
                    c.source,
                )


@sheet(
    "working",
    "How well a material is worked",
    "material working",
    id_of("material", "materials"),
    text("working", "way of working", True),
    text("rating", "how it goes", True),
    text("note", "note"),
    SOURCE,
)
def _working(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for working, w in m.working.items():
            yield key, working, w.rating, w.note, w.source


@sheet(
    "traits",
    "Yes-or-no traits of materials",
    "material trait",
    id_of("material", "materials"),
    text("trait", "trait", True),
)
def _traits(knowledge: Knowledge, _) -> Iterator[tuple]:
    for key, m in knowledge.materials.items():
        for trait in dict.fromkeys(m.traits):
            yield key, trait
