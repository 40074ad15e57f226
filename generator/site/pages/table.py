"""The page of a computed table."""

from __future__ import annotations

from decimal import Decimal

from generator.numbers import quantities
from generator.numbers.formulas import compile_expression, for_browser
from generator.numbers.quantities import Quantity
from generator.site.page import Page, Site, as_json, trail
from generator.site.pages.matrix import other_tables
from generator.site.pictures import bars
from generator.site.texts import sort_text
from generator.tables.cells import Computed, Table
from generator.tables.derivations import Derivation, derivations, number_of

# Columns whose figures are drawn as bars beside their numbers, and the top of their scale (None:
# the greatest figure).
BARS = {
    "density-ratio": {"density": None},
    "hardness": {"HV": Decimal(1000)},
    "specific-strength": {"proof-strength": None},
    "coating-thickness": {"thickness": Decimal(30)},
}


def table_page(site: Site, key: str) -> Page:
    """A computed table with its formula, its inputs and its sources."""
    view, table = site.view, site.tables[key]
    tops = _tops(table)
    refs: dict[str, int] = {}
    shared = derivations(table)
    rows = _rows(site, table, tops, shared, refs)
    body = view.draw(
        "table",
        view.address("table", table.id),
        t=table,
        rows=rows,
        scales=[
            _scale(site, column, tops[column.id]) for column in table.columns if column.id in tops
        ],
        refs=refs,
        shared=shared,
        columns={column.id: (i, column) for i, column in enumerate(table.columns, 1)},
        absent=any(cell["kind"] == "none" for row in rows for cell in row["cells"]),
        by_material=any(r.material for r in table.rows),
        data=_chooser(site, table),
        trail=trail("table", [], table.title),
        siblings=other_tables(site, table.id),
    )
    return Page(f"tables/{table.id}.md", table.title, table.summary, body, wide=True)


def _tops(table: Table) -> dict[str, Decimal]:
    """Where the bars of a column end, for columns that have bars."""
    tops = BARS.get(table.id, {})
    columns = {c: [row.cells.get(c) for row in table.rows] for c in tops}
    return {
        c: top or bars.scale_of([q for q in columns[c] if isinstance(q, Quantity)])
        for c, top in tops.items()
    }


def _scale(site: Site, column, top: Decimal) -> str:
    unit = site.view.unit(column.unit)
    end = f"{quantities.number_text(top)}{quantities.NBSP}{unit}".strip()
    return f"{column.title} from 0 to {end}"


def _rows(
    site: Site,
    table: Table,
    tops: dict[str, Decimal],
    shared: dict[str, list[Derivation]],
    refs: dict[str, int],
) -> list[dict]:
    """The rows with their cells; ``refs`` takes the number of each source, in order of reading."""
    rows = []
    for row in table.rows:
        cells = [
            _cell(
                site,
                row,
                column,
                row.cells.get(column.id),
                base=bool(table.chooser) and i == 0,
                refs=refs,
                top=tops.get(column.id),
                shared=shared.get(column.id, []),
            )
            for i, column in enumerate(table.columns)
        ]
        key = row.material if table.chooser else ""
        rows.append({"material": row.material, "id": key, "cells": cells})
    return rows


def _cell(
    site: Site,
    row,
    column,
    content,
    base: bool,
    refs: dict[str, int],
    top: Decimal | None,
    shared: list[Derivation],
) -> dict:
    if column.kind == "state":
        return {
            "kind": "text",
            "text": site.view.state_name(row.material, row.state) if row.state else "any",
        }
    if content is None:
        return {"kind": "none"}
    if isinstance(content, Computed):
        return {
            "kind": "computed",
            "computed": content,
            "sort": sort_text(content.value.middle),
            "shared": number_of(content, row, shared),
        }
    if isinstance(content, Quantity):
        for source in content.sources:
            refs.setdefault(source, len(refs) + 1)
        return {
            "kind": "figure",
            "q": content,
            "sort": sort_text(content.middle),
            "base": base,
            "bar": top and bars.bar(content, top),
        }
    return {"kind": "text", "text": str(content)}


def _chooser(site: Site, table: Table) -> dict[str, str]:
    """What the page's script needs to compute against a reference or a volume of the reader's
    choice."""
    if not table.chooser:
        return {}
    formula = site.knowledge.formulas[table.formulas[0]]
    names = list(formula.symbols)
    program = for_browser(compile_expression(formula.expression, formula.symbols))
    choose = {"reference": "Compare with", "mate": "Joined to", "volume": "Volume, cm³"}[
        table.chooser
    ]
    result = {
        "reference": "against chosen",
        "mate": "difference to chosen, ×10⁻⁶/K",
        "volume": "mass at this volume, g",
    }[table.chooser]
    kind = {"kind": "number", "start": "4.0"} if table.chooser == "volume" else {"kind": "row"}
    return {
        "program": as_json(program),
        "symbols": " ".join(names),
        "choose": choose,
        "result": result,
        **kind,
    }
