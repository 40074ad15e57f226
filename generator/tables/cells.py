"""What a computed table is: columns, rows, and cells that carry their formula and inputs.

A table is plain data. Pages draw it, the export writes it, the tests read it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from generator.numbers.formulas import Program, compile_expression, result_of
from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
from generator.records.knowledge import Knowledge


@dataclass(frozen=True)
class Computed:
    """A computed value: what came out, by which formula, from what."""

    value: Quantity
    formula: str
    inputs: tuple[tuple[str, Quantity], ...]


@dataclass(frozen=True)
class Column:
    """``kind`` is material, state, figure (published), computed or text."""

    id: str
    title: str
    kind: str
    unit: str = ""


@dataclass(frozen=True)
class Row:
    """One row; ``material`` and ``state`` say what it is about, cells are keyed by column id
    (absent = not found)."""

    cells: Mapping[str, object]
    material: str = ""
    state: str = ""


@dataclass(frozen=True)
class Table:
    """A computed table with the formula ids it rests on and notes that a reader needs."""

    id: str
    title: str
    summary: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    formulas: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    chooser: str = ""  # which control the page adds when scripts run


@dataclass
class Bench:
    """What the table builders share: the knowledge, its values, and the compiled formulas."""

    knowledge: Knowledge
    values: Values
    programs: dict[str, Program] = field(default_factory=dict)

    def compute(self, formula_id: str, **inputs: Quantity) -> Computed:
        """Evaluate a formula of the knowledge base on quantities."""
        formula = self.knowledge.formulas[formula_id]
        if formula_id not in self.programs:
            self.programs[formula_id] = compile_expression(formula.expression, formula.symbols)
        value = result_of(formula, inputs, self.programs[formula_id])
        labels = tuple(
            (formula.symbols[name].meaning, quantity) for name, quantity in inputs.items()
        )
        return Computed(value, formula_id, labels)


def in_order(knowledge: Knowledge) -> list[str]:
    """Material ids in the order of families, then by name."""
    rank = {family: i for i, family in enumerate(knowledge.words("families"))}
    return sorted(
        knowledge.materials,
        key=lambda m: (rank[knowledge.materials[m].family], knowledge.materials[m].name.casefold()),
    )


def density_of(bench: Bench, material: str) -> Quantity | None:
    """The density where it is known from both sides; a bare limit works nothing out."""
    found = bench.values.of(material, "density")
    return None if found is None or None in (found.low, found.high) else found
