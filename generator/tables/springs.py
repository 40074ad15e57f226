"""Tables about springs and grips: elastic reach and stored energy."""

from __future__ import annotations

from collections.abc import Iterator

from generator.numbers.quantities import Quantity
from generator.records.vocabulary import WorkedOut
from generator.tables.cells import Bench, Column, Computed, Row, Table, in_order

NOTE = (
    "Where no proof strength was found, tensile strength stands in for it: the metal comes back"
    " from less than that, so the result reads `at most`, and the row stands below the others."
)


def elastic_reach(bench: Bench) -> Table:
    """Proof strength over stiffness, state by state, springiest first."""
    return _of(
        bench,
        "elastic-reach",
        "Elastic reach",
        "How far a metal can be bent and still come back: it matters for what grips or is sprung"
        " over an edge.",
    )


def elastic_store(bench: Bench) -> Table:
    """Proof strength squared over twice the stiffness, state by state, the best store first."""
    return _of(
        bench,
        "elastic-store",
        "Elastic store",
        "The work that a spring gives back for its volume: it decides how long a mainspring of a"
        " given size drives a watch.",
    )


def _of(bench: Bench, prop: str, title: str, summary: str) -> Table:
    rule = bench.knowledge.words("properties")[prop].worked_out
    asked = dict.fromkeys((*rule.inputs.values(), *rule.at_most_inputs.values()))
    rows = list(_rows(bench, prop, rule))
    rows.sort(key=lambda row: _known_low(row.cells[prop]), reverse=True)
    words = bench.knowledge.words("properties")
    columns = (
        Column("state", "state", "state"),
        Column(prop, title.lower(), "computed", bench.values.unit_of(prop)),
        *(Column(p, words[p].name, "figure", bench.values.unit_of(p)) for p in asked),
    )
    return Table(prop, title, summary, columns, tuple(rows), (rule.formula,), (NOTE,))


def _rows(bench: Bench, prop: str, rule: WorkedOut) -> Iterator[Row]:
    """One row a material and state, with the figures that the result rests on."""
    symbols = bench.knowledge.formulas[rule.formula].symbols
    for material in in_order(bench.knowledge):
        for state in bench.knowledge.materials[material].states or (None,):
            result = bench.values.of(material, prop, state)
            if result is None:
                continue
            inputs = _inputs(bench, rule, material, state)
            cells: dict[str, object] = {p: q for _, p, q in inputs}
            labels = tuple((symbols[s].meaning, q) for s, _, q in inputs)
            cells[prop] = Computed(result, rule.formula, labels)
            yield Row(cells, material, state or "")


def _inputs(
    bench: Bench, rule: WorkedOut, material: str, state: str | None
) -> list[tuple[str, str, Quantity]]:
    """(symbol, property, figure) of each input; another property where the first is not known."""
    known = {s: (p, bench.values.of(material, p, state)) for s, p in rule.inputs.items()}
    found = {s: pair for s, pair in known.items() if pair[1] is not None}
    for symbol, other in rule.at_most_inputs.items():
        if symbol not in found:
            found[symbol] = (other, bench.values.of(material, other, state))
    return [(s, p, q) for s, (p, q) in found.items()]


def _known_low(cell: Computed) -> tuple[bool, object]:
    """Those known from below first, then by the lowest that is sure."""
    value = cell.value
    return value.low is not None, value.high if value.low is None else value.low
