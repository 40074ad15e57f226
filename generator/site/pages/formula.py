"""The page of a formula with its calculator and worked examples."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
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
from generator.numbers.typed import example_of
from generator.records.calculations import Formula, FormulaSymbol
from generator.site.page import Page, Site, as_json, record_page, trail
from generator.site.pictures import on_pages
from generator.site.texts import sentence
from generator.verdicts.candidates import near

PLATING = "plating metal"  # chosen from the vocabulary of that name, not from the materials
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
        picture=on_pages.of_formula(site, key),
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
    symbols = [field_data(name, s, view.unit(s.unit)) for name, s in record.symbols.items()]
    fields = [typed_field(site, name, name, s) for name, s in record.symbols.items()]
    return {
        "rule": as_json(rule_of(record)),
        "symbols": as_json(symbols),
        "fields": fields,
        "pieces": list(dict.fromkeys(filter(None, map(piece_of, record.symbols.values())))),
    }


@dataclass(frozen=True)
class TypedField:
    """A field into which the value of a symbol is typed."""

    name: str
    symbol: str
    meaning: str
    unit: str
    value: str
    whole: bool


def typed_field(site: Site, name: str, symbol: str, record: FormulaSymbol) -> TypedField:
    """The field ``name`` for a symbol, with the symbol's default in it."""
    return TypedField(
        name=name,
        symbol=symbol,
        meaning=sentence(record.meaning),
        unit=site.view.unit(record.unit),
        value="" if record.default is None else f"{record.default:f}",
        whole=record.whole,
    )


def piece_of(symbol: FormulaSymbol) -> str:
    """The piece whose one choice of material fills the symbol's field; empty where there is
    none."""
    if symbol.deposit:
        return PLATING
    return symbol.of if symbol.property else ""


def field_data(name: str, symbol: FormulaSymbol, label: str) -> dict:
    """What the page's script must know of a symbol to read its field."""
    low, high = (quantities.number_text(e) for e in symbol.range)
    return {
        "name": name,
        "meaning": sentence(symbol.meaning),
        "unit": label,
        "id": symbol.unit,
        "fills": symbol.deposit or symbol.property or "",
        "of": piece_of(symbol),
        "range": [f"{e:f}" for e in symbol.range],
        "exact": symbol.exact,
        "whole": symbol.whole,
        "shown": f"{low} to {high}",
        "example": example_of(symbol),
    }


def rule_of(record: Formula) -> dict:
    """What the page's calculator does with the inputs: the same that ``result_of`` does."""
    result = record.result
    return {
        "program": for_browser(compile_expression(record.expression, record.symbols)),
        "readings": [
            [_plain(r.threshold), r.at_most is not None, sentence(r.say)] for r in record.readings
        ],
        "readingsFor": [
            [name, f"{low:f}", f"{high:f}"] for name, (low, high) in record.readings_for.items()
        ],
        "demands": [
            [for_browser(compile_demand(d, record.symbols)), sentence(d.otherwise)]
            for d in record.demands
        ],
        "bounds": [_plain(result.at_least), _plain(result.at_most)],
        "otherwise": sentence(result.otherwise or ""),
        "rounded": result.rounded or "",
        "whole": result.whole,
    }


def _plain(number: Decimal | None) -> str | None:
    return None if number is None else f"{number:f}"


def _examples(site: Site, key: str) -> Iterator[dict]:
    record, view = site.knowledge.formulas[key], site.view
    for example in record.examples:
        inputs = {
            n: Quantity(v, v, record.symbols[n].unit, quantities.significant_digits(v))
            for n, v in example.inputs.items()
        }
        result = result_of(record, inputs)
        spoken = ", ".join(
            f"{record.symbols[n].meaning} {quantities.number_text(v)}"
            f"{quantities.NBSP}{view.unit(record.symbols[n].unit)}".strip()
            for n, v in example.inputs.items()
        )
        if example.published_range:
            answer = (
                f"{quantities.number_text(example.published_range[0])} to"
                f" {quantities.number_text(example.published_range[1])}"
            )
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
