"""How the numbers of a table come about, said once: which cells share it, and which keep a working
of their own."""

from decimal import Decimal

from generator.numbers.quantities import Quantity
from generator.tables.cells import Column, Computed, Row, Table
from generator.tables.derivations import derivations, number_of


def point(value: str, source: str = "a") -> Quantity:
    return Quantity(Decimal(value), Decimal(value), "g/cm3", 3, (source,))


STEEL = point("8.00", "steel")
COLUMNS = (Column("density", "density", "figure"), Column("ratio", "against steel", "computed"))


def ratio(own: Quantity, to: Quantity = STEEL, label: str = "density of the material") -> Computed:
    value = own.low / to.low
    return Computed(
        Quantity(value, value), "density-ratio", ((label, own), ("density of the reference", to))
    )


def table(*cells: tuple[Quantity, Computed]) -> Table:
    rows = tuple(
        Row({"density": own, "ratio": made}, f"m{i}") for i, (own, made) in enumerate(cells)
    )
    return Table("t", "T", "", COLUMNS, rows)


def test_four_cells_made_alike_share_one_derivation():
    made = table(*((own, ratio(own)) for own in map(point, ("19.3", "10.5", "4.42", "2.70"))))
    (only,) = derivations(made)["ratio"]
    assert only.formula == "density-ratio"
    assert only.inputs == (
        ("density of the material", "density"),
        ("density of the reference", STEEL),
    )
    assert [number_of(row.cells["ratio"], row, [only]) for row in made.rows] == [0, 0, 0, 0]


def test_three_are_too_few():
    assert (
        derivations(table(*((own, ratio(own)) for own in map(point, ("19.3", "10.5", "4.42")))))
        == {}
    )


def test_a_cell_from_another_figure_meaning_or_source_keeps_its_own_working():
    alike = [(own, ratio(own)) for own in map(point, ("19.3", "10.5", "4.42", "2.70"))]
    own = point("7.13")
    odd = [
        (own, ratio(point("7.14"))),
        (own, ratio(own, label="the reference itself")),
        (own, ratio(point("7.13", "b"))),
        (own, ratio(own, to=point("8.00", "other"))),
    ]
    made = table(*alike, *odd)
    common = derivations(made)["ratio"]
    assert [number_of(row.cells["ratio"], row, common) for row in made.rows] == [
        0,
        0,
        0,
        0,
        None,
        None,
        None,
        None,
    ]


def test_a_row_that_holds_the_reference_shares_it_too():
    """Its own density is the reference figure: which of the two was meant does not change what is
    said."""
    alike = [(own, ratio(own)) for own in map(point, ("19.3", "10.5", "4.42", "2.70"))]
    made = table(*alike, (STEEL, ratio(STEEL)))
    common = derivations(made)["ratio"]
    assert len(common) == 1
    assert number_of(made.rows[4].cells["ratio"], made.rows[4], common) == 0
