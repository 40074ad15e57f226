"""Tables about weight: density ratios, the same case in each material, strength and stiffness for
their weight, density from composition.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from generator.numbers import composition
from generator.numbers.quantities import Quantity, Showing, exact
from generator.tables.cells import Bench, Column, Computed, Row, Table, density_of, in_order

REFERENCE = "stainless-316l"
REFERENCE_STATE = "annealed"
RATIO_REFERENCES = ("stainless-316l", "gold-18-yellow-3n", "brass-cuzn39pb3", "titanium-grade-5")
SAMPLE_VOLUME = Decimal("4.0")  # cm3, an invented case; the page lets the reader change it


def density_ratio(bench: Bench) -> Table:
    """Every density against the usual references."""
    materials = bench.knowledge.materials
    known = ((r, density_of(bench, r)) for r in RATIO_REFERENCES if r in materials)
    references = [(r, q) for r, q in known if q]
    rows = list(_ratio_rows(bench, references))
    rows.sort(key=lambda row: -row.cells["density"].middle)
    columns = [Column("density", "density", "figure", "g/cm3")]
    columns += [Column(r, f"against {materials[r].name}", "computed") for r, _ in references]
    return Table(
        "density-ratio",
        "Density and density ratio",
        "How heavy each material is, heaviest first, and how many times heavier or lighter the same"
        " part becomes.",
        tuple(columns),
        tuple(rows),
        ("density-ratio",),
        chooser="reference",
    )


def _ratio_rows(bench: Bench, references: list[tuple[str, Quantity]]) -> Iterator[Row]:
    for material in in_order(bench.knowledge):
        density = density_of(bench, material)
        if density is None:
            continue
        cells: dict[str, object] = {"density": density}
        for reference, its in references:
            cells[reference] = (
                Computed(exact(1), "density-ratio", (("the reference itself", its),))
                if reference == material
                else bench.compute("density-ratio", rho=density, rho_ref=its)
            )
        yield Row(cells, material)


def case_mass(bench: Bench) -> Table:
    """The same case in every case material."""
    volume = Quantity(SAMPLE_VOLUME, SAMPLE_VOLUME, "cm3", 2)
    rows = []
    for material in in_order(bench.knowledge):
        density = density_of(bench, material)
        if density and _class_of(bench, material) in ("metal", "ceramic"):
            mass = bench.compute("mass-from-volume", V=volume, rho=density)
            rows.append(Row({"density": density, "mass": mass}, material))
    rows.sort(key=lambda row: -row.cells["mass"].value.middle)
    return Table(
        "case-mass",
        "The same case in each material",
        f"What an example case of {SAMPLE_VOLUME} cm³ of metal weighs, heaviest first. Put in your"
        " own volume to change it.",
        (Column("density", "density", "figure", "g/cm3"), Column("mass", "mass", "computed", "g")),
        tuple(rows),
        ("mass-from-volume",),
        chooser="volume",
    )


def _class_of(bench: Bench, material: str) -> str:
    return bench.knowledge.material_class(bench.knowledge.materials[material])


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
    columns = (
        Column("state", "state", "state"),
        Column(prop, prop_name, "figure", bench.values.unit_of(prop)),
        Column("density", "density", "figure", "g/cm3"),
        Column("specific", title.lower(), "computed", unit),
        Column("ratio", "against annealed 316L", "computed"),
    )
    rows = tuple(_specific_rows(bench, formula, symbol, prop))
    return Table(table_id, title, summary, columns, rows, (formula,), notes)


def _specific_rows(bench: Bench, formula: str, symbol: str, prop: str) -> Iterator[Row]:
    """One row a material and state, with its ratio to the reference where that is known."""
    reference = _for_its_weight(bench, formula, symbol, prop, REFERENCE, REFERENCE_STATE)
    for material in in_order(bench.knowledge):
        if _class_of(bench, material) == "coating":
            continue
        for state in bench.values.states_with(material, prop):
            computed = _for_its_weight(bench, formula, symbol, prop, material, state)
            if computed is None:
                continue
            measured, density = (quantity for _, quantity in computed.inputs)
            cells = {prop: measured, "density": density, "specific": computed}
            if reference:
                cells["ratio"] = _ratio(computed, reference)
            yield Row(cells, material, state or "")


def _for_its_weight(
    bench: Bench, formula: str, symbol: str, prop: str, material: str, state: str | None
) -> Computed | None:
    """A property over the density; None where either is not known."""
    if material not in bench.knowledge.materials:
        return None
    measured, density = bench.values.of(material, prop, state), density_of(bench, material)
    if measured is None or density is None:
        return None
    return bench.compute(formula, **{symbol: measured, "rho": density})


def _ratio(computed: Computed, reference: Computed) -> Computed | None:
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


def density_from_composition(bench: Bench) -> Table:
    """The reciprocal rule beside the measured value."""
    columns = (
        Column("mixed", "density by the reciprocal rule", "computed", "g/cm3"),
        Column("measured", "measured density", "figure", "g/cm3"),
        Column("deviation", "rule against measured", "computed", "%"),
    )
    return Table(
        "density-from-composition",
        "Density from composition",
        "What the recipe alone would weigh, beside what was measured. Use the measured value; the"
        " rule is a check.",
        columns,
        tuple(_mixed_rows(bench)),
        ("density-by-reciprocal-rule",),
        (
            (
                "The rule lets each metal keep its own volume. Brass shrinks on alloying: 70/30"
                " brass comes out about 2.5 % too light. Gold-copper swells a little. This is a"
                " known limit, not an error in the figures."
            ),
        ),
    )


def _mixed_rows(bench: Bench) -> Iterator[Row]:
    families = bench.knowledge.words("families")
    for material in in_order(bench.knowledge):
        record = bench.knowledge.materials[material]
        if not families[record.family].mixes or record.composition is None:
            continue
        mixed = composition.density_by_mixing(bench.knowledge, record.composition)
        if mixed is None:
            continue
        by_rule = Computed(mixed.value, "density-by-reciprocal-rule", mixed.inputs)
        cells: dict[str, object] = {"mixed": by_rule}
        measured = density_of(bench, material)
        if measured:
            apart = composition.deviation(mixed.value, measured)
            inputs = (("by the rule", mixed.value), ("measured", measured))
            cells |= {"measured": measured, "deviation": Computed(apart, "", inputs)}
        yield Row(cells, material)
