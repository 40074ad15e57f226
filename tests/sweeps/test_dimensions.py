"""Units and the formulas' dimensions, worked out here and by the library pint."""

import math
from decimal import Decimal as D

import pint
import pytest

from generator.numbers.dimensions import BASE, NoUnit, unit_of, units_fault
from generator.numbers.formulas import PI
from tests.sampling import all_formulas

pytestmark = pytest.mark.external

units = pint.UnitRegistry()
for definition in ("permille = 0.001", "carat_part = 1 / 24"):
    units.define(definition)
UNITLESS = {"ct": "carat_part"}

# Formulas with a constant of nature or of definition inside: what its unit is, so that the rest can
# be checked. Faraday's
# constant stands as C/mol, 26.8 as A h/mol, mu0 inside the field formulas as T m/A, free fall as
# m/s2, a day as 86 400 s.
CONSTANTS = {
    "plating-mass": "mol/C",
    "plating-thickness": "mol/C",
    "plating-time-by-current": "C/mol",
    "plating-time-by-density": "C/mol",
    "plating-current-needed": "C/mol",
    "electrochemical-equivalent": "mol/(A*hour)",
    "field-in-air-millitesla": "T*m/A",
    "field-from-millitesla": "A/(T*m)",
    "drop-energy": "m/s**2",
    "depth-to-pressure": "m/s**2",
    "drop-speed": "m**0.5/s",
    "iso-3159-thermal-variation": "1/K",
    "beats-of-train": "1/hour",
    "water-density": "g/cm**3/K**2",
    "fahrenheit-to-celsius": None,
    "rate-by-spring-length": "s/day",
    "rate-by-spring-thickness": "s/day",
    "rate-by-timing-washers": "s/day",
    "inertia-change-for-rate": "day/s",
    "thermal-rate-error": "s/day",
    "ligne-to-millimetre": None,
    "poise-moment": "m/s**2",
    "rate-by-poise": "m/s**2",
    "power-reserve": "hour",
    "value-of-metal": "1/g",
}

PINT = {"g": "gram", "m": "meter", "s": "second", "A": "ampere", "K": "kelvin", "mol": "mole"}


def dimension(knowledge, unit):
    if unit in UNITLESS:
        return units(UNITLESS[unit])
    text = knowledge.words("units")[unit].dimension
    assert text, f"{unit} has no dimension"
    return units.parse_expression({"degC": "K", "degF": "K"}.get(text, text)) * units.dimensionless


def run_with_units(program, values):
    """The program on quantities with units; a number in a sum takes the unit of its partner."""
    stack = []
    for step in program:
        if isinstance(step, D) or step == "pi":
            stack.append(float(PI if step == "pi" else step))
        elif step in ("+", "-", "min", "max"):
            b, a = stack.pop(), stack.pop()
            a, b = _alike(a, b)
            stack.append(a + b)  # only the dimension counts
        elif step in ("*", "/", "**"):
            b, a = stack.pop(), stack.pop()
            stack.append(a * b if step == "*" else a / b if step == "/" else a ** int(b))
        elif step == "sqrt":
            stack.append(stack.pop() ** 0.5)
        elif step in ("exp", "ln"):
            inner = units.Quantity(1.0) * stack.pop()
            assert inner.dimensionless, f"{step} of something with a unit"
            stack.append(1.0)
        elif step in ("neg", "abs"):
            pass
        else:
            stack.append(values[step])
    return stack[0]


def _alike(a, b):
    if not isinstance(a, units.Quantity) and isinstance(b, units.Quantity):
        a = units.Quantity(a, b.units)
    if not isinstance(b, units.Quantity) and isinstance(a, units.Quantity):
        b = units.Quantity(b, a.units)
    return a, b


def test_dimensions_of_every_expression(knowledge):
    for key, record, program in all_formulas(knowledge):
        if key in CONSTANTS and CONSTANTS[key] is None:
            # temperatures with an offset, lengths by definition: their numbers are checked by
            # examples
            continue
        result = run_with_units(
            program, {n: 3.0 * dimension(knowledge, s.unit) for n, s in record.symbols.items()}
        )
        result = (
            result
            if isinstance(result, units.Quantity)
            else units.Quantity(result, "dimensionless")
        )
        if key in CONSTANTS:
            result = result * units.parse_expression(CONSTANTS[key])
        wanted = dimension(knowledge, record.result.unit)
        assert result.dimensionality == wanted.dimensionality, (
            key,
            result.dimensionality,
            wanted.dimensionality,
        )


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
