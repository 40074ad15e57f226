"""Units and the formulas' dimensions, worked out here and by the library pint."""

import math

import pytest

from generator.numbers.dimensions import BASE, NoUnit, unit_of, units_fault
from tests.external.test_formulas import all_formulas, dimension, run_with_units, units

pytestmark = pytest.mark.external

PINT = {"g": "gram", "m": "meter", "s": "second", "A": "ampere", "K": "kelvin", "mol": "mole"}


def test_every_unit_of_the_vocabulary_is_what_pint_says(knowledge):
    for key, unit in knowledge.words("units").items():
        if unit.dimension:
            text = {"degC": "K", "degF": "K"}.get(unit.dimension, unit.dimension)
            theirs = units.Quantity(units.parse_expression(text)).to_base_units()
            size, powers = unit_of(unit.dimension)
            ours = math.prod(
                (units.Quantity(1, PINT[n]) ** p for n, p in zip(BASE, powers, strict=True)),
                start=units.Quantity(size, ""),
            ).to_base_units()
            assert ours.dimensionality == theirs.dimensionality, key
            assert ours.magnitude == pytest.approx(theirs.magnitude, rel=1e-12), key


def test_every_constant_is_a_unit_that_pint_knows(knowledge):
    said = [f.constant for f in knowledge.formulas.values() if f.constant]
    assert len(said) >= 20
    for constant in said:
        size, powers = unit_of(constant)
        theirs = units.parse_expression(constant).to_base_units()
        found = dict(zip(BASE, powers, strict=True))
        for name, power in dict(units.get_dimensionality(theirs.units)).items():
            base = {"[mass]": "g", "[length]": "m", "[time]": "s", "[current]": "A",
                    "[temperature]": "K", "[substance]": "mol"}[name]  # fmt: skip
            assert found.pop(base) == pytest.approx(float(power)), constant
        assert not any(found.values()), constant


def test_a_wrong_result_unit_is_found_wherever_pint_finds_it(knowledge):
    """Each formula with each other unit as its result: the same verdict as the library's."""
    kinds = ("g", "mm", "MPa", "h", "degC", "V", "1", "cm3", "Hz")
    tried = 0
    for _, record, program in all_formulas(knowledge):
        values = {n: 3.0 * dimension(knowledge, s.unit) for n, s in record.symbols.items()}
        found = units.Quantity(run_with_units(program, values))
        found = found * units.parse_expression(record.constant or "dimensionless")
        for unit in kinds:
            changed = record.model_copy(
                update={"result": record.result.model_copy(update={"unit": unit})}
            )
            theirs = found.dimensionality == dimension(knowledge, unit).dimensionality
            ours = units_fault(knowledge, changed)
            assert (ours is None or "times too" in ours) == theirs, (record.name, unit, ours)
            tried += 1
    assert tried > 1000


def test_a_result_of_another_size(knowledge):
    """V in cm3 times rho in g/cm3 is grams: a thousand times that many milligrams."""
    record = knowledge.formulas["mass-from-volume"]
    assert units_fault(knowledge, record) is None
    wrong = record.model_copy(update={"result": record.result.model_copy(update={"unit": "mg"})})
    assert units_fault(knowledge, wrong) == "the result is 1000 times too small or too large in mg"


@pytest.mark.parametrize("text", ["", "m**", "furlong", "__import__('os')", "m+s", "m" * 4000])
def test_what_is_no_unit(text):
    with pytest.raises(NoUnit):
        unit_of(text)
