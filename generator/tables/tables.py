"""The computed tables.

Every computed cell carries its formula and its inputs. A table is plain data: columns, rows,
cells. Pages draw it, the export writes it, the tests read it.
"""

from __future__ import annotations

from collections.abc import Callable

from generator.numbers.values import Values
from generator.records.knowledge import Knowledge
from generator.tables import alloys, springs, weight
from generator.tables.cells import Bench, Table

BUILDERS: tuple[Callable[[Bench], Table], ...] = (
    weight.density_ratio,
    weight.case_mass,
    weight.specific_strength,
    weight.specific_stiffness,
    springs.elastic_reach,
    springs.elastic_store,
    alloys.fineness,
    weight.density_from_composition,
    alloys.pitting_index,
    alloys.expansion,
    alloys.hardness,
    alloys.coating_thickness,
)


def build(knowledge: Knowledge, values: Values) -> dict[str, Table]:
    """All computed tables, by id."""
    bench = Bench(knowledge, values)
    return {table.id: table for table in (builder(bench) for builder in BUILDERS)}
