"""Receives the knowledge; hands on the computed tables.

Every computed cell carries its formula and its inputs. A table is plain data: columns, rows,
cells. Pages draw it, the export writes it, the tests read it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from generator.numbers import composition
from generator.numbers.formulas import Program, compile_expression, result_of
from generator.numbers.quantities import Quantity, Showing, exact, of_figure
from generator.numbers.values import Values
from generator.records.knowledge import Knowledge

REFERENCE = "stainless-316l"
REFERENCE_STATE = "annealed"
RATIO_REFERENCES = ("stainless-316l", "gold-18-yellow-3n", "brass-cuzn39pb3", "titanium-grade-5")
SAMPLE_VOLUME = Decimal("4.0")  # cm3, an invented case; the page lets the reader change it


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
    """One row; ``material`` and ``state`` say what it is about, cells are keyed by column id (absent = not found)."""

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


def build(knowledge: Knowledge, values: Values) -> dict[str, Table]:
    """All computed tables, by id."""
    bench = Bench(knowledge, values)
    return {table.id: table for table in (builder(bench) for builder in BUILDERS)}


BUILDERS: list[Callable[[Bench], Table]] = []


def _table(builder):
    BUILDERS.append(builder)
    return builder


def _order(knowledge: Knowledge) -> list[str]:
    """Material ids in the order of families, then by name."""
    rank = {family: i for i, family in enumerate(knowledge.words("families"))}
    return sorted(
        knowledge.materials,
        key=lambda m: (rank[knowledge.materials[m].family], knowledge.materials[m].name.casefold()),
    )


def _density(bench: Bench, material: str) -> Quantity | None:
    """The density where it is known from both sides; a bare limit works nothing out."""
    found = bench.values.of(material, "density")
    return None if found is None or None in (found.low, found.high) else found


@_table
def density_ratio(bench: Bench) -> Table:
    """Every density against the usual references."""
    knowledge = bench.knowledge
    references = [(r, _density(bench, r)) for r in RATIO_REFERENCES if r in knowledge.materials]
    references = [(r, q) for r, q in references if q]
    rows = []
    for material in _order(knowledge):
        density = _density(bench, material)
        if density is None:
            continue
        cells = {"density": density}
        for reference, its_density in references:
            if reference == material:
                cells[reference] = Computed(
                    exact(1), "density-ratio", (("the reference itself", its_density),)
                )
            else:
                cells[reference] = bench.compute("density-ratio", rho=density, rho_ref=its_density)
        rows.append(Row(cells, material))
    rows.sort(key=lambda row: -row.cells["density"].middle)
    columns = [Column("density", "density", "figure", "g/cm3")]
    columns += [
        Column(r, f"against {knowledge.materials[r].name}", "computed") for r, _ in references
    ]
    return Table(
        "density-ratio",
        "Density and density ratio",
        "How heavy each material is, heaviest first, and how many times heavier or lighter the same part becomes.",
        tuple(columns),
        tuple(rows),
        ("density-ratio",),
        chooser="reference",
    )


@_table
def case_mass(bench: Bench) -> Table:
    """The same case in every case material."""
    volume = Quantity(SAMPLE_VOLUME, SAMPLE_VOLUME, "cm3", 2)
    rows = []
    for material in _order(bench.knowledge):
        density = _density(bench, material)
        if density and bench.knowledge.material_class(bench.knowledge.materials[material]) in (
            "metal",
            "ceramic",
        ):
            cells = {
                "density": density,
                "mass": bench.compute("mass-from-volume", V=volume, rho=density),
            }
            rows.append(Row(cells, material))
    rows.sort(key=lambda row: -row.cells["mass"].value.middle)
    return Table(
        "case-mass",
        "The same case in each material",
        f"What an invented case of {SAMPLE_VOLUME} cm³ of metal weighs, heaviest first. Put in your own volume to "
        f"change it.",
        (Column("density", "density", "figure", "g/cm3"), Column("mass", "mass", "computed", "g")),
        tuple(rows),
        ("mass-from-volume",),
        chooser="volume",
    )


def _specific(
    bench: Bench,
    table_id: str,
    formula: str,
    symbol: str,
    prop: str,
    title: str,
    summary: str,
    notes=(),
) -> Table:
    unit = bench.knowledge.formulas[formula].result.unit
    prop_name = bench.knowledge.words("properties")[prop].name
    reference = None
    if REFERENCE in bench.knowledge.materials:
        strength, density = (
            bench.values.of(REFERENCE, prop, REFERENCE_STATE),
            _density(bench, REFERENCE),
        )
        reference = (
            bench.compute(formula, **{symbol: strength, "rho": density})
            if strength and density
            else None
        )
    rows = []
    for material in _order(bench.knowledge):
        density = _density(bench, material)
        if (
            density is None
            or bench.knowledge.material_class(bench.knowledge.materials[material]) == "coating"
        ):
            continue
        for state in bench.values.states_with(material, prop):
            measured = bench.values.of(material, prop, state)
            if measured is None:
                continue
            computed = bench.compute(formula, **{symbol: measured, "rho": density})
            cells = {prop: measured, "density": density, "specific": computed}
            if reference:
                cells["ratio"] = _ratio(bench, computed, reference)
            rows.append(Row(cells, material, state or ""))
    columns = (
        Column("state", "state", "state"),
        Column(prop, prop_name, "figure", bench.values.unit_of(prop)),
        Column("density", "density", "figure", "g/cm3"),
        Column("specific", title.lower(), "computed", unit),
        Column("ratio", "against annealed 316L", "computed"),
    )
    return Table(table_id, title, summary, columns, tuple(rows), (formula,), notes)


def _ratio(bench: Bench, computed: Computed, reference: Computed) -> Computed | None:
    """A ratio of two lower limits says nothing; only intervals with a closed low end compare, as a
    lower bound."""
    value, base = computed.value, reference.value
    if value.low is None or base.low is None or (value.high is None) != (base.high is None):
        return None
    if value.high is None:
        label, low = (
            "both are guaranteed minima, and minimum is compared with minimum",
            value.low / base.low,
        )
        high = low
    else:
        label, low, high = "value", value.low / base.high, value.high / base.low
    sources = tuple(dict.fromkeys((*value.sources, *base.sources)))
    digits = min(value.digits, base.digits)
    ratio = Quantity(low, high, "1", digits, sources, showing=Showing())
    return Computed(ratio, "", ((label, value), ("annealed 316L", base)))


@_table
def specific_strength(bench: Bench) -> Table:
    """Proof strength over density, state by state."""
    return _specific(
        bench,
        "specific-strength",
        "specific-strength",
        "Rp",
        "proof-strength",
        "Specific strength",
        "Strength for its weight. Titanium grade 5 beats annealed case steel several times over.",
        ("Standards guarantee a minimum, so most results read `at least`.",),
    )


@_table
def specific_stiffness(bench: Bench) -> Table:
    """Elastic modulus over density."""
    return _specific(
        bench,
        "specific-stiffness",
        "specific-stiffness",
        "E",
        "elastic-modulus",
        "Specific stiffness",
        "Stiffness for its weight. It hardly differs between steel, titanium and aluminium.",
    )


@_table
def fineness(bench: Bench) -> Table:
    """Carat and fineness both ways, with the legal marks."""
    marks = bench.knowledge.words("marks")
    rows = []
    for mark in sorted(marks.values(), key=lambda m: (m.metal != "Au", m.metal, -m.fineness)):
        source = mark.source
        stamped = Quantity(mark.fineness, mark.fineness, "permille", 4, (source,), "typical")
        cells: dict[str, object] = {
            "metal": bench.knowledge.words("elements")[mark.metal].name,
            "mark": stamped,
        }
        if mark.metal == "Au":
            cells["carat"] = bench.compute("fineness-to-carat", f=stamped)
            if mark.carat is not None:
                carat = exact(mark.carat, "ct")
                cells["named"] = carat
                cells["arithmetic"] = _four_digits(bench.compute("carat-to-fineness", ct=carat))
        if mark.note:
            cells["note"] = mark.note
        rows.append(Row(cells))
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
        "24 ct is pure gold and 18 ct is 750. The mark is not always the arithmetic: 14 ct is 583.3 but marked 585.",
        columns,
        tuple(rows),
        ("carat-to-fineness", "fineness-to-carat"),
    )


def _four_digits(computed: Computed) -> Computed:
    """Carat is exact by definition; four digits are what marks and assays use."""
    value = computed.value
    return Computed(
        Quantity(value.low, value.high, value.unit, 4, value.sources),
        computed.formula,
        computed.inputs,
    )


@_table
def density_from_composition(bench: Bench) -> Table:
    """The reciprocal rule beside the measured value."""
    rows = []
    for material in _order(bench.knowledge):
        record = bench.knowledge.materials[material]
        if record.family not in composition.MIXED_FAMILIES or record.composition is None:
            continue
        mixed = composition.density_by_mixing(bench.knowledge, record.composition)
        if mixed is None:
            continue
        measured = _density(bench, material)
        cells: dict[str, object] = {
            "mixed": Computed(mixed.value, "density-by-reciprocal-rule", mixed.inputs)
        }
        if measured:
            cells["measured"] = measured
            cells["deviation"] = Computed(
                composition.deviation(mixed.value, measured),
                "",
                (("by the rule", mixed.value), ("measured", measured)),
            )
        rows.append(Row(cells, material))
    columns = (
        Column("mixed", "density by the reciprocal rule", "computed", "g/cm3"),
        Column("measured", "measured density", "figure", "g/cm3"),
        Column("deviation", "rule against measured", "computed", "%"),
    )
    return Table(
        "density-from-composition",
        "Density from composition",
        "What the recipe alone would weigh, beside what was measured. Use the measured value; the rule is a check.",
        columns,
        tuple(rows),
        ("density-by-reciprocal-rule",),
        (
            "The rule lets each metal keep its own volume. Brass shrinks on alloying: 70/30 brass comes out about 2.5 % "
            "too light. "
            "Gold-copper swells a little. This is a known limit, not an error in the figures.",
        ),
    )


@_table
def pitting_index(bench: Bench) -> Table:
    """PREN of the austenitic steels, from the lowest to the highest allowed composition."""
    rows = []
    for material in _order(bench.knowledge):
        record = bench.knowledge.materials[material]
        if record.family != "austenitic-stainless" or record.composition is None:
            continue
        shares = {s: composition.share(record.composition, s) for s in ("Cr", "Mo", "W", "N")}
        cells = {s: q for s, q in shares.items() if s in record.composition.shares}
        cells["index"] = bench.compute("pitting-index", **shares)
        rows.append(Row(cells, material))
    rows.sort(key=lambda row: -row.cells["index"].value.middle)
    columns = tuple(
        Column(s, bench.knowledge.words("elements")[s].name, "figure", "%")
        for s in ("Cr", "Mo", "N")
    )
    return Table(
        "pitting-index",
        "Pitting index (PREN)",
        "Ranks case steels by how well they stand chloride: salt water, sweat, pool water. Higher is better.",
        (*columns, Column("index", "pitting index", "computed")),
        tuple(rows),
        ("pitting-index",),
        (
            "It ranks; it does not permit. A crevice under a seal or in a thread is attacked first in any of them.",
        ),
    )


@_table
def expansion(bench: Bench) -> Table:
    """Thermal expansion, and the mismatch to the usual mates."""
    knowledge = bench.knowledge
    references = [
        (r, bench.values.of(r, "expansion"))
        for r in ("stainless-316l", "brass-cuzn39pb3")
        if r in knowledge.materials
    ]
    references = [(r, q) for r, q in references if q]
    rows = []
    for material in _order(knowledge):
        value = bench.values.of(material, "expansion")
        if value is None:
            continue
        cells: dict[str, object] = {"expansion": value}
        for reference, its in references:
            if reference != material:
                cells[reference] = bench.compute("expansion-mismatch", alpha=value, alpha_ref=its)
        rows.append(Row(cells, material))
    columns = [Column("expansion", "thermal expansion", "figure", "10^-6/K")]
    columns += [
        Column(r, f"difference to {knowledge.materials[r].name}", "computed", "10^-6/K")
        for r, _ in references
    ]
    return Table(
        "expansion",
        "Thermal expansion and mismatch",
        "How much each material grows, and how much more than its mate. "
        "Beryllium copper expands about as much as brass.",
        tuple(columns),
        tuple(rows),
        ("expansion-mismatch",),
        chooser="mate",
    )


@_table
def hardness(bench: Bench) -> Table:
    """Hardness by state in every scale that a source gives."""
    scales = list(bench.knowledge.words("properties")["hardness"].units)
    rows = []
    for material in _order(bench.knowledge):
        for state in bench.values.states_with(material, "hardness"):
            cells = {}
            for scale in scales:
                value = bench.values.of(material, "hardness", state, scale)
                if value:
                    cells[scale] = value
            if cells:
                rows.append(Row(cells, material, state or ""))
    columns = (
        Column("state", "state", "state"),
        *(Column(s, bench.knowledge.words("units")[s].label, "figure") for s in scales),
    )
    return Table(
        "hardness",
        "Hardness by state",
        "How hard each material is in each state, in the scale that the source used.",
        columns,
        tuple(rows),
        notes=(
            "The scales are different tests. They are not converted here; for steels see the conversion table.",
        ),
    )


@_table
def coating_thickness(bench: Bench) -> Table:
    """How thick each coating is, one row a published figure, because each speaks of another
    use."""
    unit, rows = bench.values.unit_of("thickness"), []
    for material in _order(bench.knowledge):
        record = bench.knowledge.materials[material]
        if bench.knowledge.material_class(record) == "coating":
            found = [f for f in record.figures.get("thickness", ()) if f.source != "memory"]
            rows += [
                Row(
                    {"thickness": of_figure(f, unit), **({"use": f.note} if f.note else {})},
                    material,
                )
                for f in found
            ]
    rows.sort(key=lambda row: (-row.cells["thickness"].middle, row.material))
    return Table(
        "coating-thickness",
        "Coatings and their thickness",
        "How thick coatings are made, thickest first, and which rule or use asks for it.",
        (Column("thickness", "thickness", "figure", unit), Column("use", "where", "text")),
        tuple(rows),
        notes=(
            "Half a micrometre is soon polished through: mask rhodium and thin gold, or plate again.",
        ),
    )
