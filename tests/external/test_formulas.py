"""Every formula of the knowledge base: published answers, dimensions, intervals.

Each example names its source in its record.
"""

import random
from collections import Counter
from decimal import Decimal as D

import pint
import pytest

from generator.checks.formulas import example_agrees
from generator.numbers.formulas import PI, compile_expression, evaluate, result_of
from generator.numbers.quantities import Quantity

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


def all_formulas(knowledge):
    return [
        (key, record, compile_expression(record.expression, record.symbols))
        for key, record in knowledge.formulas.items()
    ]


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


def test_at_least_45_independent_published_answers_come_out(knowledge):
    counts = Counter()
    for key, record, program in all_formulas(knowledge):
        for example in record.examples:
            agrees = example_agrees(example, evaluate(program, example.inputs))
            assert agrees == (example.proves != "wrong"), (key, example.inputs)
            counts[example.proves] += 1
    assert counts["independent"] >= 45
    assert counts["wrong"] >= 3


# Published answers that are wrong and must not come out; the source and its slip stand in the
# records' notes.
@pytest.mark.parametrize(
    ("formula", "values", "printed", "right"),
    [
        # an online solution takes the diameter of 5.0 cm as the radius: 51.565 days instead of 12.9
        (
            "plating-time-by-current",
            {
                "s": "200",
                "rho": "19.3",
                "A": "0.19635",
                "n": "3",
                "M": "196.96657",
                "I": "0.01",
                "eta": "100",
            },
            51.565 * 1440,
            12.89 * 1440,
        ),
        # a mass-weighted mean of densities
        (
            "density-by-reciprocal-rule",
            {"w_1": "75", "w_2": "25", "rho_1": "19.32", "rho_2": "10.49"},
            17.11,
            15.96,
        ),
    ],
)
def test_wrong_printed_answers_are_not_reproduced(knowledge, formula, values, printed, right):
    record = knowledge.formulas[formula]
    value = float(
        evaluate(
            compile_expression(record.expression, record.symbols),
            {k: D(v) for k, v in values.items()},
        )
    )
    assert value == pytest.approx(right, rel=0.003)
    assert value != pytest.approx(printed, rel=0.02)


def sample(generator, symbol):
    """A value inside a symbol's range with four digits; wide ranges are sampled by decades."""
    low, high = float(symbol.range[0]), float(symbol.range[1])
    share, by_decades = generator.random(), low > 0 and high / low > 100
    value = low * (high / low) ** share if by_decades else low + (high - low) * share
    return min(max(D(f"{value:.4g}"), symbol.range[0]), symbol.range[1])


def test_values_inside_the_inputs_lie_inside_the_result(knowledge):
    """The corners bound the result for every formula: each rises or falls with each symbol over
    its range."""
    generator = random.Random(7)
    for key, record, program in all_formulas(knowledge):
        for _ in range(25):
            ends = {
                n: sorted(sample(generator, s) for _ in range(2)) for n, s in record.symbols.items()
            }
            try:
                result = result_of(
                    record, {n: Quantity(a, b, "1", 6) for n, (a, b) in ends.items()}, program
                )
            except ValueError:
                continue  # a division by zero or an impossible corner; the page says so
            for _ in range(4):
                inside = {n: a + (b - a) * D(str(generator.random())) for n, (a, b) in ends.items()}
                try:
                    points = {n: Quantity(v, v) for n, v in inside.items()}
                    value = result_of(record, points, program).low
                except ValueError:
                    continue
                slack = abs(value) * D("1e-9")
                assert result.low - slack <= value <= result.high + slack, (key, ends, inside)
