"""The published data (site/data/knowledge.json).

Flat figures with low and high end; every number also as the text that was typed.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from functools import cached_property

from pydantic import BaseModel

from generator.export.document_schema import SCHEMA_ID
from generator.numbers import quantities
from generator.numbers.quantities import Quantity
from generator.numbers.values import figure_quantity
from generator.records.knowledge import Knowledge, part_of, setting_of
from generator.records.materials import figures_of
from generator.tables.cells import Computed, Table
from generator.verdicts import wording
from generator.verdicts.candidates import MOST
from generator.verdicts.conditions import cautions_of_material, cautions_of_process
from generator.verdicts.contact import Attack, Contacts
from generator.verdicts.rungs import Shortfall
from generator.verdicts.verdicts import Verdicts

SUBSTITUTES = 6  # for the first usual material of each part
AT_ONCE = 500  # entries that are written together


class Entries:
    """A list whose entries are made at the first reading, and read again for the tables."""

    def __init__(self, make: Callable[[], Iterable[dict]]):
        self._make = make

    @cached_property
    def _made(self) -> list[dict]:
        return list(self._make())

    def __iter__(self) -> Iterator[dict]:
        return iter(self._made)

    def texts(self) -> Iterator[str]:
        """The JSON of some entries, parted by commas."""
        for start in range(0, len(self._made), AT_ONCE):
            yield _compact(self._made[start : start + AT_ONCE])[1:-1]


def as_json(content: dict | Entries | object) -> Iterator[str]:
    """Published data as compact JSON, piece by piece."""
    if isinstance(content, dict) and any(isinstance(v, dict | Entries) for v in content.values()):
        for i, (key, value) in enumerate(content.items()):
            yield f"{',' if i else '{'}{_compact(key)}:"
            yield from as_json(value)
        yield "}"
    elif isinstance(content, Entries):
        yield "["
        for i, text in enumerate(content.texts()):
            yield f",{text}" if i else text
        yield "]"
    else:
        yield _compact(content)


_compact = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode


def build(knowledge: Knowledge, tables: dict[str, Table], verdicts: Verdicts) -> dict:
    """The whole knowledge base as published: texts, and lists of entries that are made when they
    are read."""
    return {
        "$schema": SCHEMA_ID,
        "title": "Arbor & Case",
        "edition": str(knowledge.newest_review()),
        "materials": Entries(lambda: (_material(knowledge, key) for key in knowledge.materials)),
        "parts": Entries(lambda: (_part(key, record) for key, record in knowledge.parts.items())),
        "hazards": Entries(
            lambda: (_hazard(key, record) for key, record in knowledge.hazards.items())
        ),
        "processes": Entries(lambda: (_process(knowledge, key) for key in knowledge.processes)),
        "tables": Entries(lambda: (_table(table) for table in tables.values())),
        "formulas": Entries(
            lambda: (_formula(key, record) for key, record in knowledge.formulas.items())
        ),
        "verdicts": _verdicts(knowledge, verdicts),
        "watches": _entries(knowledge.watches),
        "sayings": _entries(knowledge.sayings),
        "lessons": _entries(knowledge.lessons),
        "tasks": _entries(knowledge.tasks),
        "cases": _entries(knowledge.cases),
        "weeks": _entries(knowledge.weeks),
        "owner": Entries(
            lambda: (
                {"kind": kind, "id": key, "say": r.owner}
                for kind in ("material", "hazard")
                for key, r in knowledge.of_kind(kind).items()
                if r.owner
            )
        ),
        "cautions": _entries(knowledge.cautions),
        "first_aid": _entries(knowledge.first_aid),
        "sources": _entries(knowledge.sources),
    }


def _entries(records: Mapping[str, BaseModel]) -> Entries:
    return Entries(lambda: ({"id": key, **_plain(record)} for key, record in records.items()))


def number(value: Decimal | None) -> dict | None:
    """A number with the text that was typed: 7.90 stays 7.90; a computed one is cut to the digits
    that a float holds."""
    return (
        None
        if value is None
        else {"value": float(value), "text": f"{quantities.round_to(value, 15):f}"}
    )


def _quantity(quantity: Quantity) -> dict:
    return {
        "kind": quantity.kind,
        "low": number(quantity.low),
        "high": number(quantity.high),
        "unit": quantity.unit,
        "shown": quantities.shown(quantity),
        "evidence": quantity.evidence,
        "of": list(quantity.of),
        "sources": list(quantity.sources),
    }


def _material(knowledge: Knowledge, key: str) -> dict:
    record = knowledge.materials[key]
    found = []
    for way, prop, figure in figures_of(record):
        unit = figure.unit or next(iter(knowledge.words("properties")[prop].units))
        quantity = figure_quantity(knowledge, figure, unit)
        found.append(
            {
                "property": prop,
                "state": way[1] if way[0] == "states" else None,
                "kind": figure.kind,
                "low": number(quantity.low),
                "high": number(quantity.high),
                "unit": unit,
                "over": [str(e) for e in figure.over] if figure.over else None,
                "of": figure.of,
                "evidence": quantity.evidence,
                "note": figure.note,
                "sources": [figure.source],
                "layer": knowledge.from_layer("material", key, way),
            }
        )
    return {
        "id": key,
        "name": record.name,
        "summary": record.summary,
        "family": record.family,
        "class": knowledge.material_class(record),
        "designations": [{"system": d.system, "code": d.code} for d in record.designations],
        "also_called": record.also_called,
        "names": record.names,
        "composition": _plain(record.composition) if record.composition else None,
        "states": {s: st.name for s, st in record.states.items()},
        "magnetism": record.magnetism,
        "traits": record.traits,
        "cautions": sorted(cautions_of_material(knowledge, key)),
        "figures": found,
        "reviewed": str(record.reviewed.on),
    }


def _verdicts(knowledge: Knowledge, verdicts: Verdicts) -> dict[str, Entries]:
    """The rung of every judged material in every state, exposure to every hazard, galvanic pairs
    of metals, and substitutes."""
    return {
        "rungs": Entries(lambda: _rungs(verdicts)),
        "exposure": Entries(lambda: _exposures(knowledge, verdicts)),
        "substitutes": Entries(lambda: _substitutes(knowledge, verdicts)),
        "pairs": Entries(lambda: _pairs(knowledge)),
    }


def _rungs(verdicts: Verdicts) -> Iterator[dict]:
    for cells in verdicts.cells.values():
        for j in cells:
            yield {
                "part": part_of(j.part),
                "setting": setting_of(j.part),
                "material": j.material,
                "state": j.state,
                "coated": j.coated,
                "rung": j.rung,
                "rests_on": verdicts.worded.ground(j),
                "reasons": verdicts.worded.reasons(j),
                "precedent": j.precedent and part_of(j.precedent),
                "nearest": j.nearest.choice.material if j.nearest else None,
            }


def _exposures(knowledge: Knowledge, verdicts: Verdicts) -> Iterator[dict]:
    for hazard in knowledge.hazards:
        for material in verdicts.fields.of_hazard(hazard):
            for state in knowledge.materials[material].states or (None,):
                exposure = verdicts.judge.exposure(hazard, material, state)
                yield {
                    "hazard": hazard,
                    "material": material,
                    "state": state,
                    "verdict": exposure.verdict,
                    "mechanism": exposure.rule.mechanism if exposure.rule else None,
                    "rule": exposure.number,
                }


def _substitutes(knowledge: Knowledge, verdicts: Verdicts) -> Iterator[dict]:
    def said(words: Callable[[Knowledge, Shortfall], str], changes: Iterable[Shortfall]) -> list:
        return [words(knowledge, change) for change in changes]

    for part, record in knowledge.parts.items():
        for choice in record.usual[:1]:
            state = verdicts.ladder.usages.states(choice)[0]
            for s in itertools.islice(
                verdicts.substitutes(part, choice.material, state), SUBSTITUTES
            ):
                yield {
                    "part": part,
                    "for": choice.material,
                    "material": s.judgement.material,
                    "state": s.judgement.state,
                    "coated": s.judgement.coated,
                    "lost": said(wording.lost_words, s.lost),
                    "gained": said(wording.gained_words, s.gained),
                }


def _pairs(knowledge: Knowledge) -> Iterator[dict]:
    contacts = Contacts(knowledge)
    apart: dict[int, dict | None] = {}  # many pairs share an attack, which ``contacts`` keeps

    def attack(a: Attack, first: str, second: str) -> dict:
        if id(a) not in apart:
            apart[id(a)] = number(a.apart)
        return {
            "goes": None if a.goes is None else (first, second)[a.goes],
            "degree": a.degree,
            "if_small": a.if_small,
            "if_large": a.if_large,
            "apart": apart[id(a)],
        }

    for first, second in itertools.combinations(list(contacts.place_of)[:MOST], 2):
        for joint in contacts.pair(first, second):
            yield {
                "first": first,
                "second": second,
                "situation": joint.situation,
                "open": attack(joint.open, first, second),
                "gap": attack(joint.gap, first, second) if joint.gap else None,
                "usual": joint.usual,
                "may_touch": joint.may_touch,
            }


def _plain(model) -> dict:
    return model.model_dump(mode="json", exclude_none=True)


def _part(key: str, record) -> dict:
    return {
        "id": key,
        "name": record.name,
        "summary": record.summary,
        "zone": record.zone,
        "demands": [_plain(d) for d in record.demands],
        "meets": [_plain(m) for m in record.meets],
        "usual": [_plain(c) for c in record.usual],
        "wrong": [_plain(c) for c in record.wrong],
        "settings": [{"id": s, **_plain(e)} for s, e in record.settings.items()],
        "reviewed": str(record.reviewed.on),
    }


def _hazard(key: str, record) -> dict:
    return {
        "id": key,
        "name": record.name,
        "summary": record.summary,
        "rules": [_plain(r) for r in record.rules],
        "owner": record.owner,
        "reviewed": str(record.reviewed.on),
    }


def _process(knowledge: Knowledge, key: str) -> dict:
    record = knowledge.processes[key]
    return {
        "id": key,
        "name": record.name,
        "summary": record.summary,
        "group": record.group,
        "steps": record.steps,
        "figures": [_plain(f) for f in record.figures],
        "cautions": sorted(cautions_of_process(knowledge, key)),
        "reviewed": str(record.reviewed.on),
    }


def _formula(key: str, record) -> dict:
    symbols = [
        {
            "symbol": name,
            "meaning": s.meaning,
            "unit": s.unit,
            "low": number(s.range[0]),
            "high": number(s.range[1]),
            "default": number(s.default),
            "property": s.property,
        }
        for name, s in record.symbols.items()
    ]
    return {
        "id": key,
        "name": record.name,
        "summary": record.summary,
        "symbols": symbols,
        "expression": record.expression,
        "result": {"meaning": record.result.meaning, "unit": record.result.unit},
        "limits": record.limits,
        "cautions": record.cautions,
        "sources": [record.source],
        "readings": [_plain(r) for r in record.readings],
        "examples": [_example(e) for e in record.examples],
    }


def _example(example) -> dict:
    """A worked example: its answer as low and high, its tolerance in the unit of the result or in
    per cent, and what it proves."""
    low, high = example.published_range or (example.published, example.published)
    return {
        "inputs": {name: number(v) for name, v in example.inputs.items()},
        "low": number(low),
        "high": number(high),
        "tolerance": number(example.within),
        "tolerance_percent": number(example.within_percent),
        "independence": example.proves,
        "sources": [example.source],
        "note": example.note,
    }


def _table(table: Table) -> dict:
    def cell(content):
        if isinstance(content, Computed):
            inputs = [{"what": label, **_quantity(q)} for label, q in content.inputs]
            return {
                **_quantity(content.value),
                "kind": "computed",
                "formula": content.formula or None,
                "inputs": inputs,
            }
        return (
            _quantity(content)
            if isinstance(content, Quantity)
            else {"kind": "text", "shown": str(content)}
        )

    rows = [
        {
            "material": r.material or None,
            "state": r.state or None,
            "cells": {c: cell(v) for c, v in r.cells.items() if v is not None},
        }
        for r in table.rows
    ]
    return {
        "id": table.id,
        "title": table.title,
        "formulas": list(table.formulas),
        "rows": rows,
        "columns": [
            {"id": c.id, "title": c.title, "kind": c.kind, "unit": c.unit or None}
            for c in table.columns
        ],
    }
