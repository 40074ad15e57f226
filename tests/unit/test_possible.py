"""Nothing impossible is shown: random inputs inside the ranges give a refusal or a result that can
be, by the bounds in the records and by what the thing is (common sense, stated below)."""

import os
import random
from decimal import Decimal as D
from itertools import product

import pytest

from generator.numbers.formulas import compile_expression, result_of
from generator.numbers.quantities import Quantity
from generator.verdicts.wording import meaning_of
from tests.sampling import sample

EACH = int(os.environ.get("BENCH_INPUTS", "1000"))
A_BIT = D("1e-9")

# What the thing is, formula by formula: the result against its own inputs. Not taken from the
# records.
LAWS = {
    "apparent-weight-in-water": lambda r, v: r < v["m_air"],
    "fine-metal-content": lambda r, v: r <= v["m"],
    "copper-mass-by-immersion": lambda r, v: 0 <= r <= v["m_air"],
    "split-addition": lambda r, v: 0 < r < v["m_add"],
    "alloy-needed-for-lot": lambda r, v: r <= v["m"],
    "weight-lost-in-water": lambda r, v: r < v["m_air"],
    "weight-change-on-replacing": lambda r, v: r > -v["m"],
    "metal-with-waste": lambda r, v: r >= v["m"],
    "blend-fineness": lambda r, v: (
        min(v["f_1"], v["f_2"], v["f_3"]) - A_BIT <= r <= max(v["f_1"], v["f_2"], v["f_3"]) + A_BIT
    ),
    "carat-of-a-melt": lambda r, v: (
        min(v["c_1"], v["c_2"]) - A_BIT <= r <= max(v["c_1"], v["c_2"]) + A_BIT
    ),
    "density-of-three-lots": lambda r, v: (
        min(v["rho_1"], v["rho_2"], v["rho_3"]) - A_BIT
        <= r
        <= max(v["rho_1"], v["rho_2"], v["rho_3"]) + A_BIT
    ),
    "fineness-by-density": lambda r, v: 0 <= r <= 1000,
    "silver-fineness-by-density": lambda r, v: 0 <= r <= 1000,
    "platinum-fineness-by-density": lambda r, v: 0 <= r <= 1000,
    # added metal and metal in hand give the fineness wanted
    "raise-fineness": lambda r, v: (
        abs((v["m"] * v["H"] + r * v["F"]) / (v["m"] + r) - v["R"]) < D("1e-6")
    ),
    "lower-fineness": lambda r, v: (
        abs((v["m"] * v["H"] + r * v["F"]) / (v["m"] + r) - v["R"]) < D("1e-6")
    ),
    "raise-carat": lambda r, v: (
        abs((v["m"] * v["c_from"] + r * 24) / (v["m"] + r) - v["c_to"]) < D("1e-6")
    ),
    "miniature-thread-minor-external": lambda r, v: 0 < r < v["d"],
    "miniature-thread-minor-internal": lambda r, v: 0 < r < v["d"],
    "thread-pitch-diameter": lambda r, v: 0 < r < v["d"],
    "metric-stress-area": lambda r, v: 0 < r < D("0.7854") * v["d"] ** 2,
    "miniature-thread-section": lambda r, v: 0 < r < D("0.7854") * v["d"] ** 2,
    "mainspring-turns": lambda r, v: 0 < r < v["D"] / (2 * v["e"]),
    "polishing-budget": lambda r, v: r == int(r) and 0 <= r * v["r"] <= v["s"] - v["s_min"],
    "cold-reduction-round": lambda r, v: 0 <= r < 100,
    "cold-reduction-flat": lambda r, v: 0 <= r < 100,
    "radioactivity-left": lambda r, v: 0 <= r <= 100,
    "torque-at-escape-wheel": lambda r, v: r <= v["T"] * 1000 / v["i"],
    "gasket-squeeze": lambda r, v: 0 <= r < 100,
    "rate-by-timing-washers": lambda r, v: -86400 < r <= 0,
    "rate-by-spring-length": lambda r, v: (r < 0) == (v["dL"] > 0),
    "rate-by-spring-thickness": lambda r, v: (r < 0) == (v["dh"] < 0),
    "celsius-to-fahrenheit": lambda r, v: r > D("-459.68"),
    "fahrenheit-to-celsius": lambda r, v: r > D("-273.16"),
    "water-density": lambda r, v: D("0.99") < r <= 1,
    "density-by-immersion": lambda r, v: D("0.9") < r < D("22.7"),
}
NEVER_NEGATIVE = ("g", "mg", "mm", "cm2", "mm2", "g/cm3", "permille", "ct", "N", "MPa", "Hz", "h")
MAY_SHRINK = ("weight-change-on-replacing",)


def inputs(generator, symbols, count):
    """Every corner of the ranges, and so many random inputs inside them."""
    ends = [symbol.range for symbol in symbols.values()]
    yield from (dict(zip(symbols, corner, strict=True)) for corner in product(*ends))
    for _ in range(count):
        yield {name: sample(generator, symbol) for name, symbol in symbols.items()}


def tried(knowledge, key, count):
    """(refused, impossible) of the corners and so many random inputs."""
    record, generator = knowledge.formulas[key], random.Random(key)
    program = compile_expression(record.expression, record.symbols)
    floor, roof = record.result.at_least, record.result.at_most
    refused, impossible = 0, []
    for values in inputs(generator, record.symbols, count):
        values = {n: D(round(v)) if record.symbols[n].whole else v for n, v in values.items()}
        try:
            found = result_of(
                record,
                {n: Quantity(v, v, record.symbols[n].unit, 4) for n, v in values.items()},
                program,
            )
        except ValueError as error:
            assert len(str(error)) > 10
            refused += 1
            continue
        result = found.low
        possible = (
            (floor is None or result >= floor)
            and (roof is None or result <= roof)
            and not (result < 0 and record.result.unit in NEVER_NEGATIVE and key not in MAY_SHRINK)
            and LAWS.get(key, lambda r, v: True)(result, values)
        )
        if not possible:
            impossible.append((key, values, result))
    return refused, impossible


def test_every_formula_states_bounds_and_what_is_said_beyond_them(knowledge):
    without = [
        key
        for key, record in knowledge.formulas.items()
        if record.result.at_least is None and record.result.at_most is None
    ]
    assert without == []


def test_every_result_at_the_defaults_is_told_what_it_means(knowledge):
    """Where a field has no default, the middle of its range stands in."""
    silent = []
    for key, record in knowledge.formulas.items():
        given = {
            n: (s.range[0] + s.range[1]) / 2 if s.default is None else s.default
            for n, s in record.symbols.items()
        }
        values = {n: Quantity(v, v, record.symbols[n].unit, 4) for n, v in given.items()}
        if not meaning_of(record, result_of(record, values)):
            silent.append(key)
    assert silent == []


@pytest.mark.parametrize(
    ("key", "given", "words"),
    [
        # common practice: an hour hand that turns once for less than twelve of the minute hand
        ("motion-work-ratio", {"z_m": 48, "z_h": 36, "p_c": 12, "p_m": 12}, "right for a dial"),
        ("motion-work-ratio", {"z_m": 47, "z_h": 36, "p_c": 12, "p_m": 12}, "too fast"),
        ("motion-work-ratio", {"z_m": 49, "z_h": 36, "p_c": 12, "p_m": 12}, "too slow"),
        # common practice: a spring let out is slower, one taken up faster
        ("rate-by-spring-length", {"L": 100, "dL": 1}, "loses"),
        ("rate-by-spring-length", {"L": 100, "dL": -1}, "gains"),
        # a hole in brass (19) opens over steel (11) when both warm; the other way round it closes
        ("fit-change", {"d": 10, "alpha_hole": 19, "alpha_shaft": 11, "dT": 50}, "looser"),
        ("fit-change", {"d": 10, "alpha_hole": 11, "alpha_shaft": 19, "dT": 50}, "grips harder"),
        # a plain steel spring beside plain brass loses in the warm (common practice)
        ("thermal-rate-error", {"TCE": -250, "alpha_s": 11, "alpha_b": 19}, "loses"),
        # EN 1811:2023, clause 9.2.2.2, as two notices list it: 0.88 and less; 2015: below 0.88
        ("nickel-release-reading", {"c": 440, "V": 10, "A": 5, "w": 1}, "counts as a pass"),
        ("nickel-release-reading", {"c": 441, "V": 10, "A": 5, "w": 1}, "fails"),
        ("nickel-release-reading", {"c": 249, "V": 10, "A": 5, "w": 1}, "below the legal limit"),
        # the edition of 2015 and no later notice: below 0.35 for posts
        ("nickel-release-piercing", {"c": 175, "V": 10, "A": 5, "w": 1}, "fails"),
    ],
)
def test_a_meaning_agrees_with_the_trade(knowledge, key, given, words):
    record = knowledge.formulas[key]
    values = {n: Quantity(D(v), D(v), record.symbols[n].unit, 6) for n, v in given.items()}
    assert words in meaning_of(record, result_of(record, values))


def test_nothing_impossible_in_a_first_sample(knowledge):
    found = {key: tried(knowledge, key, 30) for key in knowledge.formulas}
    assert [case for _, cases in found.values() for case in cases][:3] == []


@pytest.mark.slow
def test_nothing_impossible_in_many_random_inputs_a_calculator(knowledge):
    impossible, all_refused = [], []
    for key in knowledge.formulas:
        refused, cases = tried(knowledge, key, EACH)
        impossible += cases
        all_refused += [key] if refused >= EACH else []
    assert impossible[:3] == []
    assert all_refused == []
