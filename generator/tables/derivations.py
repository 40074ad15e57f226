"""How the numbers of a computed table come about, stated once for all cells of a column that share
it.

Most numbers of a column come from other columns of the same row and from figures that are the same
in every row. Stating that once below the table saves a working per cell, which would be most of a
long page.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from generator.numbers.quantities import Quantity
from generator.tables.cells import Computed, Row, Table

SHARED_BY = 4  # cells; fewer are not worth a line below the table


@dataclass(frozen=True)
class Derivation:
    """A formula id ("" when plain arithmetic) and its inputs: what each means, and the id of the
    column of the same row that holds it, or the figure itself."""

    formula: str
    inputs: tuple[tuple[str, str | Quantity], ...]


def derivations(table: Table) -> dict[str, list[Derivation]]:
    """For each computed column, the derivations that at least ``SHARED_BY`` of its cells share,
    the commonest first."""
    shared = {}
    for column in table.columns:
        cells = [
            (row, cell)
            for row in table.rows
            if isinstance(cell := row.cells.get(column.id), Computed)
        ]
        counts = Counter(_of_cell(row, column.id, cell) for row, cell in cells)
        common = [derivation for derivation, count in counts.most_common() if count >= SHARED_BY]
        if common:
            shared[column.id] = common
    return shared


def number_of(cell: Computed, row: Row, common: list[Derivation]) -> int | None:
    """Which derivation of ``derivations`` makes this cell, from 0; None when the cell has a
    working of its own."""
    return next((i for i, derivation in enumerate(common) if _fits(derivation, cell, row)), None)


def _of_cell(row: Row, column_id: str, cell: Computed) -> Derivation:
    return Derivation(
        cell.formula, tuple((label, _holder(row, column_id, q) or q) for label, q in cell.inputs)
    )


def _holder(row: Row, column_id: str, quantity: Quantity) -> str | None:
    return next((c for c in row.cells if c != column_id and _quantity(row, c) == quantity), None)


def _fits(derivation: Derivation, cell: Computed, row: Row) -> bool:
    return (
        derivation.formula == cell.formula
        and len(derivation.inputs) == len(cell.inputs)
        and all(
            label == said and quantity == (_quantity(row, held) if isinstance(held, str) else held)
            for (label, held), (said, quantity) in zip(derivation.inputs, cell.inputs, strict=True)
        )
    )


def _quantity(row: Row, column_id: str) -> Quantity | None:
    content = row.cells.get(column_id)
    return (
        content.value
        if isinstance(content, Computed)
        else content
        if isinstance(content, Quantity)
        else None
    )
