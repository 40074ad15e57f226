"""The page of a formula with its calculator and worked examples."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from generator.checks.formulas import example_agrees
from generator.numbers import quantities
from generator.numbers.formulas import (
    compile_demand,
    compile_expression,
    for_browser,
    result_of,
)
from generator.numbers.quantities import Quantity
from generator.records.calculations import Formula
from generator.site.page import Page, Site, as_json, record_page, trail
from generator.site.view import sentence
from generator.verdicts.candidates import near

PROVES = {
    "independent": "Published",
    "partly-from-memory": "Published, recalled in part",
    "circular": "Inputs were fitted to the printed answer",
    "definition": "By definition or arithmetic",
    "wrong": "A printed answer that is wrong",
}


def formula_page(site: Site, key: str) -> Page:
    """A formula: set out, its symbols, its limits, its worked examples."""
    view, record = site.view, site.knowledge.formulas[key]
    address = view.address("formula", key)
    body = view.draw(
        "formula",
        address,
        r=record,
        id=key,
        trail=trail("formula", [], record.name),
        cautions=site.cautions(record),
        examples=list(_examples(site, key)),
        calc=_calculator(site, key),
        contact=any(s.property == "anodic-index" for s in record.symbols.values()),
        computed_in=[(t.id, t.title) for t in site.tables.values() if key in t.formulas],
        siblings=[("formula", k) for k in near(site.formula_groups[record.group], key)],
    )
    return record_page(address, record, body)


def _calculator(site: Site, key: str) -> dict:
    """What the page's calculator starts from: program, symbols, thresholds, and one field a
    symbol."""
    record, view = site.knowledge.formulas[key], site.view
    symbols, fields = [], []
    for name, s in record.symbols.items():
        start = s.default if s.default is not None else None
        low, high = (quantities.number_text(e) for e in s.range)
        symbols.append(
            {
                "name": name,
                "meaning": sentence(s.meaning),
                "unit": view.unit(s.unit),
                "typed": s.unit,
                "property": s.property or "",
                "range": [f"{e:f}" for e in s.range],
                "exact": s.exact,
                "whole": s.whole,
                "shown": f"{low} to {high}",
                "example": f"{start if start is not None else s.range[1]:f}",
            }
        )
        fields.append(
            {
                "name": name,
                "meaning": sentence(s.meaning),
                "unit": view.unit(s.unit),
                "property": s.property,
                "value": "" if start is None else f"{start:f}",
            }
        )
    return {"rule": as_json(rule_of(record)), "symbols": as_json(symbols), "fields": fields}


def rule_of(record: Formula) -> dict:
    """What the page's calculator does with the inputs: the same that ``result_of`` does."""
    result = record.result
    return {
        "program": for_browser(compile_expression(record.expression, record.symbols)),
        "readings": [
            [_plain(r.threshold), r.at_most is not None, sentence(r.say)] for r in record.readings
        ],
        "demands": [
            [for_browser(compile_demand(d, record.symbols)), sentence(d.otherwise)]
            for d in record.demands
        ],
        "bounds": [_plain(result.at_least), _plain(result.at_most)],
        "otherwise": sentence(result.otherwise or ""),
        "rounded": result.rounded or "",
    }


def _plain(number: Decimal | None) -> str | None:
    return None if number is None else f"{number:f}"


def material_values(site: Site) -> str:
    """assets/values.js: for each property that a calculator may take from a material, [name,
    shown, low, high, digits]."""
    wanted = sorted(
        {
            s.property
            for f in site.knowledge.formulas.values()
            for s in f.symbols.values()
            if s.property
        }
    )
    found: dict[str, list] = {}
    for prop in wanted:
        rows = []
        for keys in site.families.values():
            for key in keys:
                for state in site.values.states_with(key, prop):
                    q = site.values.of(key, prop, state)
                    if q and not q.from_memory:
                        name = site.knowledge.materials[key].name + (
                            f", {site.view.state_name(key, state)}" if state else ""
                        )
                        ends = [None if e is None else float(e) for e in (q.low, q.high)]
                        rows.append(
                            [
                                name,
                                quantities.shown(q).replace(quantities.NBSP, " "),
                                *ends,
                                q.digits,
                            ]
                        )
        found[prop] = rows
    return f"window.benchValues={as_json(found)};\n"


def _examples(site: Site, key: str) -> Iterator[dict]:
    record, view = site.knowledge.formulas[key], site.view
    for example in record.examples:
        inputs = {
            n: Quantity(v, v, record.symbols[n].unit, quantities.significant_digits(v))
            for n, v in example.inputs.items()
        }
        result = result_of(record, inputs)
        spoken = ", ".join(
            f"{record.symbols[n].meaning} {quantities.number_text(v)}{quantities.NBSP}{view.unit(record.symbols[n].unit)}".strip()
            for n, v in example.inputs.items()
        )
        if example.published_range:
            answer = f"{quantities.number_text(example.published_range[0])} to {quantities.number_text(example.published_range[1])}"
        else:
            answer = quantities.number_text(example.published)
        answer = f"{PROVES[example.proves]}: {answer}."
        assert example_agrees(example, result.middle) != (example.proves == "wrong"), (
            "the checker lets no such example through"
        )
        yield {
            "inputs": sentence(spoken),
            "result": quantities.shown(result),
            "answer": answer,
            "source": example.source,
            "note": example.note,
        }
