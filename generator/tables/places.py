"""How many rows of each computed table a material would pass, up or down, with another value of one
figure.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import NamedTuple

from generator.numbers.formulas import result_of
from generator.numbers.quantities import Quantity
from generator.records.knowledge import Knowledge
from generator.tables.cells import Computed, Row, Table


class _Ordered(NamedTuple):
    """A column of numbers: its name, its table, its values in order, the cells by material."""

    name: str
    table: str
    order: list[Decimal]
    cells: dict[str, list[tuple[Row, Quantity | Computed]]]


class Places:
    """The order of every column of numbers."""

    def __init__(self, knowledge: Knowledge, tables: Mapping[str, Table]):
        self.knowledge, self._columns = knowledge, list(_columns(tables))
        self.names = dict.fromkeys(column.name for column in self._columns)

    def passed(
        self,
        material: str,
        states: tuple[str | None, ...],
        now: Quantity,
        ends: tuple[Quantity, ...],
    ) -> dict[str, int]:
        """Table -> the most rows passed when the figure ``now``, which holds in ``states``, stands
        at one of ``ends``."""
        found: dict[str, int] = {}
        for column in self._columns:
            for row, cell in column.cells.get(material, ()):
                if row.state and row.state not in states:
                    continue
                for old, new in _at_ends(self.knowledge, cell, now, ends):
                    count = _between(column.order, old, new)
                    if count > found.get(column.table, 0):
                        found[column.table] = count
        return found


def _columns(tables: Mapping[str, Table]) -> Iterator[_Ordered]:
    for key, table in tables.items():
        for column in table.columns:
            if column.kind == "figure" or (column.kind == "computed" and _mixes(table, column.id)):
                cells: dict = {}
                order = []
                for row in table.rows:
                    cell = row.cells.get(column.id)
                    value = cell.value if isinstance(cell, Computed) else cell
                    if isinstance(value, Quantity) and row.material:
                        order.append(value.middle)
                        cells.setdefault(row.material, []).append((row, cell))
                yield _Ordered(column.id, key, sorted(order), cells)


def _mixes(table: Table, column: str) -> bool:
    """Whether a computed column orders its rows by more than one figure of theirs."""
    cells = [row.cells[column] for row in table.rows if isinstance(row.cells.get(column), Computed)]
    inputs = zip(*([q for _, q in cell.inputs] for cell in cells if cell.formula), strict=False)
    return sum(any(q != place[0] for q in place) for place in inputs) > 1


def _at_ends(
    knowledge: Knowledge, cell: Quantity | Computed, now: Quantity, ends: tuple
) -> Iterator[tuple[Decimal, Decimal]]:
    """A cell's value as it is and at each end, where the figure goes into it."""
    if isinstance(cell, Quantity):
        if cell == now:
            yield from ((cell.middle, end.middle) for end in ends)
    elif cell.formula and any(q == now for _, q in cell.inputs):
        formula = knowledge.formulas[cell.formula]
        names = {symbol.meaning: name for name, symbol in formula.symbols.items()}
        if all(label in names for label, _ in cell.inputs):
            for end in ends:
                inputs = {names[label]: end if q == now else q for label, q in cell.inputs}
                yield cell.value.middle, result_of(formula, inputs).middle


def _between(order: list[Decimal], old: Decimal, new: Decimal) -> int:
    """How many rows lie between two values."""
    if new > old:
        return bisect_left(order, new) - bisect_right(order, old)
    return bisect_left(order, old) - bisect_right(order, new)
