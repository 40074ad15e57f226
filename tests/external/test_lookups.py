"""Hardness conversion and tempering temperatures against the printed tables, read by hand."""

from decimal import Decimal as D

import pytest

from generator.commands.calculate import WorkFailed, hardness_words
from generator.numbers.hardness import convert
from generator.numbers.tempering import colours_at, temperatures_for

pytestmark = pytest.mark.external


@pytest.mark.parametrize(
    ("scale", "value", "other", "printed"),
    [
        ("HRC", 60, "HV", 697),
        ("HRC", 56, "HV", 613),
        ("HRC", 40, "HV", 392),
        ("HRC", 60, "HBW", 654),  # ASTM E140 Table 1
        ("HV", 400, "Rm", 1290),
        ("HV", 200, "HBW", 190),
        ("HV", 200, "HRB", 90.9),
        ("HV", 360, "Rm", 1155),
    ],
)  # DIN 50150
def test_printed_rows_come_out(knowledge, scale, value, other, printed):
    assert float(convert(knowledge, D(value), scale)[other]) == pytest.approx(printed)


def test_two_published_misprints_are_not_reproduced(knowledge):
    """A copy of DIN 50150 prints 1115 MPa at HV 360; a table on the web gives HB 613 for HRC 60
    (613 is HV at HRC 56)."""
    assert convert(knowledge, D(360), "HV")["Rm"] != 1115
    assert convert(knowledge, D(60), "HRC")["HBW"] != 613


def test_between_rows_and_outside(knowledge):
    assert float(convert(knowledge, D("59.5"), "HRC")["HV"]) == pytest.approx((674 + 697) / 2)
    with pytest.raises(ValueError, match="outside the tables"):
        convert(knowledge, D(75), "HRC")


def test_other_metals_are_refused(knowledge):
    for family in ("austenitic-stainless", "titanium", "gold", "brass"):
        with pytest.raises(WorkFailed, match="is not converted"):
            hardness_words(knowledge, ["HRC=30", f"metal={family}"])


def curve(knowledge, material, source):
    return next(c for c in knowledge.materials[material].tempering if c.source == source)


@pytest.mark.parametrize(
    ("hardness", "temperature"), [(62, 204), (60, 260), (57, 316), (50, 427), (61, 232)]
)
def test_o1_tempering_table(knowledge, hardness, temperature):
    """Diamond Metals' O1 table: 62 HRC at 204 degC, 60 at 260, 57 at 316, 50 at 427; 61 lies half
    way between 204 and 260."""
    assert [
        float(t)
        for t in temperatures_for(curve(knowledge, "steel-o1", "diamond-metals-o1"), D(hardness))
    ] == [temperature]


def test_a_hardness_off_the_curve_has_no_temperature(knowledge):
    assert temperatures_for(curve(knowledge, "steel-o1", "diamond-metals-o1"), D(70)) == []


def test_colours_with_their_spread(knowledge):
    """Sheffield chart: dark blue 290 degC; five charts of 1921 put blue at 293 to 307."""
    assert "dark blue" in colours_at(knowledge, D(300))
    assert colours_at(knowledge, D(150)) == []
