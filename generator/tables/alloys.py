"""Tables that need no density: fineness, pitting index, expansion, hardness, coatings."""

from __future__ import annotations

from collections.abc import Iterator

from generator.numbers import composition
from generator.numbers.quantities import Quantity, exact, of_figure
from generator.tables.cells import Bench, Column, Computed, Row, Table, in_order

MATES = ("stainless-316l", "brass-cuzn39pb3")  # to which a mismatch is told


def fineness(bench: Bench) -> Table:
    """Carat and fineness both ways, with the legal marks."""
    columns = (
        Column("metal", "metal", "text"),
        Column("named", "called", "figure", "ct"),
        Column("arithmetic", "fineness by arithmetic", "computed", "permille"),
        Column("mark", "fineness as marked", "figure", "permille"),
        Column("carat", "carat of the mark", "computed", "ct"),
        Column("note", "note", "text"),
    )
    return Table(
        "fineness",
        "Carat, fineness and marks",
        "24 ct is pure gold and 18 ct is 750. The mark is not always the arithmetic: 14 ct is 583.3"
        " but marked 585.",
        columns,
        tuple(_mark_rows(bench)),
        ("carat-to-fineness", "fineness-to-carat"),
    )


def _mark_rows(bench: Bench) -> Iterator[Row]:
    """One row a mark, gold first, the finest of each metal first."""
    elements, marks = bench.knowledge.words("elements"), bench.knowledge.words("marks").values()
    for mark in sorted(marks, key=lambda m: (m.metal != "Au", m.metal, -m.fineness)):
        stamped = Quantity(mark.fineness, mark.fineness, "permille", 4, (mark.source,), "typical")
        cells: dict[str, object] = {"metal": elements[mark.metal].name, "mark": stamped}
        if mark.metal == "Au":
            cells["carat"] = bench.compute("fineness-to-carat", f=stamped)
            if mark.carat is not None:
                carat = exact(mark.carat, "ct")
                cells["named"] = carat
                cells["arithmetic"] = _four_digits(bench.compute("carat-to-fineness", ct=carat))
        if mark.note:
            cells["note"] = mark.note
        yield Row(cells)


def _four_digits(computed: Computed) -> Computed:
    """Carat is exact by definition; four digits are what marks and assays use."""
    value = computed.value
    return Computed(
        Quantity(value.low, value.high, value.unit, 4, value.sources),
        computed.formula,
        computed.inputs,
    )


def pitting_index(bench: Bench) -> Table:
    """PREN of the austenitic steels, from the lowest to the highest allowed composition."""
    rows = list(_pitting_rows(bench))
    rows.sort(key=lambda row: -row.cells["index"].value.middle)
    columns = tuple(
        Column(s, bench.knowledge.words("elements")[s].name, "figure", "%")
        for s in ("Cr", "Mo", "N")
    )
    return Table(
        "pitting-index",
        "Pitting index (PREN)",
        "Ranks case steels by how well they stand chloride: salt water, sweat, pool water. Higher"
        " is better.",
        (*columns, Column("index", "pitting index", "computed")),
        tuple(rows),
        ("pitting-index",),
        (
            (
                "It ranks; it does not permit. A crevice under a seal or in a thread is attacked"
                " first in any of them."
            ),
        ),
    )


def _pitting_rows(bench: Bench) -> Iterator[Row]:
    for material in in_order(bench.knowledge):
        record = bench.knowledge.materials[material]
        if record.family != "austenitic-stainless" or record.composition is None:
            continue
        shares = {s: composition.share(record.composition, s) for s in ("Cr", "Mo", "W", "N")}
        cells = {s: q for s, q in shares.items() if s in record.composition.shares}
        yield Row({**cells, "index": bench.compute("pitting-index", **shares)}, material)


def expansion(bench: Bench) -> Table:
    """Thermal expansion, and the mismatch to the usual mates."""
    materials = bench.knowledge.materials
    known = ((r, bench.values.of(r, "expansion")) for r in MATES if r in materials)
    references = [(r, q) for r, q in known if q]
    columns = [Column("expansion", "thermal expansion", "figure", "10^-6/K")]
    columns += [
        Column(r, f"difference to {materials[r].name}", "computed", "10^-6/K")
        for r, _ in references
    ]
    return Table(
        "expansion",
        "Thermal expansion and mismatch",
        "How much each material grows, and how much more than its mate. "
        "Beryllium copper expands about as much as brass.",
        tuple(columns),
        tuple(_expansion_rows(bench, references)),
        ("expansion-mismatch",),
        chooser="mate",
    )


def _expansion_rows(bench: Bench, references: list[tuple[str, Quantity]]) -> Iterator[Row]:
    for material in in_order(bench.knowledge):
        value = bench.values.of(material, "expansion")
        if value is None:
            continue
        cells: dict[str, object] = {"expansion": value}
        for reference, its in references:
            if reference != material:
                cells[reference] = bench.compute("expansion-mismatch", alpha=value, alpha_ref=its)
        yield Row(cells, material)


def hardness(bench: Bench) -> Table:
    """Hardness by state in every scale that a source gives."""
    scales = list(bench.knowledge.words("properties")["hardness"].units)
    columns = (
        Column("state", "state", "state"),
        *(Column(s, bench.knowledge.words("units")[s].label, "figure") for s in scales),
    )
    return Table(
        "hardness",
        "Hardness by state",
        "How hard each material is in each state, in the scale that the source used.",
        columns,
        tuple(_hardness_rows(bench, scales)),
        notes=(
            (
                "The scales are different tests. They are not converted here; for steels see the"
                " conversion table."
            ),
        ),
    )


def _hardness_rows(bench: Bench, scales: list[str]) -> Iterator[Row]:
    for material in in_order(bench.knowledge):
        for state in bench.values.states_with(material, "hardness"):
            found = {s: bench.values.of(material, "hardness", state, s) for s in scales}
            cells = {scale: value for scale, value in found.items() if value}
            if cells:
                yield Row(cells, material, state or "")


def coating_thickness(bench: Bench) -> Table:
    """How thick each coating is, one row a published figure, because each speaks of another
    use."""
    unit = bench.values.unit_of("thickness")
    rows = list(_thickness_rows(bench, unit))
    rows.sort(key=lambda row: (-row.cells["thickness"].middle, row.material))
    return Table(
        "coating-thickness",
        "Coatings and their thickness",
        "How thick coatings are made, thickest first, and which rule or use requires it.",
        (Column("thickness", "thickness", "figure", unit), Column("use", "where", "text")),
        tuple(rows),
        notes=(
            (
                "Half a micrometre is soon polished through: mask rhodium and thin gold, or plate"
                " again."
            ),
        ),
    )


def _thickness_rows(bench: Bench, unit: str) -> Iterator[Row]:
    for material in in_order(bench.knowledge):
        record = bench.knowledge.materials[material]
        if bench.knowledge.material_class(record) != "coating":
            continue
        for figure in record.figures.get("thickness", ()):
            if figure.source != "memory":
                use = {"use": figure.note} if figure.note else {}
                yield Row({"thickness": of_figure(figure, unit), **use}, material)
