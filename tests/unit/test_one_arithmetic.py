"""The page and the command line show the same text for the same inputs.

The pages' own scripts run in an engine inside Python; the expected texts of the digit rule are
worked out by hand.
"""

import json
import random
from decimal import Decimal as D
from pathlib import Path

import pytest
from py_mini_racer import MiniRacer

from generator.checks.formulas import example_agrees
from generator.numbers.formulas import (
    CROSSES,
    compile_expression,
    evaluate,
    evaluate_quantities,
    result_of,
)
from generator.numbers.quantities import NBSP, Quantity, shown
from generator.numbers.typed import typed
from generator.records.calculations import Reading
from generator.site.pages.formula import rule_of
from generator.verdicts.wording import meaning_of, rounding_words
from tests.sampling import sample

ASSETS = Path(__file__).parents[2] / "site_src" / "pages" / "assets"
RUNS = (500, pytest.param(10_000, marks=pytest.mark.slow))


@pytest.fixture(scope="module")
def page():
    engine = MiniRacer()
    for script in ("vendor/decimal.js", "calc.js"):
        engine.eval((ASSETS / script).read_text(encoding="utf-8"))
    engine.eval("""
        const rules = {};
        function show(key, cases) {
          return JSON.stringify(cases.map((inputs) => {
            const q = benchCalc.resultOf(rules[key], inputs);
            return q.fault ? ["", q.fault] : [benchCalc.shown(q), benchCalc.meaning(rules[key], q)];
          }));
        }
        """)
    return engine


def of(quantity):
    """A quantity as the page's scripts take it."""
    low, high = (None if e is None else f"{e:f}" for e in (quantity.low, quantity.high))
    return {"low": low, "high": high, "digits": quantity.digits}


def drawn(generator, symbol):
    """A random input as someone may type it: a number, or now and then a range."""
    ends = [sample(generator, symbol) for _ in range(1 + (generator.random() < 0.3))]
    if symbol.whole:
        ends = [D(round(end)) for end in ends]
    found = typed("..".join(f"{end:f}" for end in ends))
    return Quantity(found.low, found.high, symbol.unit, 99 if symbol.exact else found.digits)


@pytest.mark.parametrize("runs", RUNS)
def test_the_page_shows_what_the_command_line_shows_on_random_inputs(page, knowledge, runs):
    generator, different, told = random.Random(19), [], 0
    each = -(-runs // len(knowledge.formulas))
    for key, record in knowledge.formulas.items():
        page.eval(f"rules[{json.dumps(key)}] = {json.dumps(rule_of(record))}")
        cases = [{n: drawn(generator, s) for n, s in record.symbols.items()} for _ in range(each)]
        given = [{n: of(q) for n, q in case.items()} for case in cases]
        found = json.loads(page.eval(f"show({json.dumps(key)}, {json.dumps(given)})"))
        for case, (text, said) in zip(cases, found, strict=True):
            try:
                value = result_of(record, case)
            except ValueError as error:
                here = ("", str(error).split(";")[0].split(":")[0].casefold())
                said = said.split(";")[0].split(":")[0].rstrip(".").casefold()
            else:
                told += 1
                here = (
                    shown(value),
                    meaning_of(record, value).replace("; or: ", " Or: ").casefold(),
                )
                said = said.casefold().replace(". or: ", " or: ").rstrip(".")
                here = (here[0], here[1].replace(". or: ", " or: ").rstrip("."))
            if (text, said) != (here[0], here[1].casefold().rstrip(".")):
                different.append((key, given[cases.index(case)], text, said, here))
    assert different[:3] == []
    assert told > runs / 2


def by_hand(text, **inputs):
    """What is shown for an expression on typed inputs; a trailing ! makes one exact."""
    given = {}
    for name, word in inputs.items():
        found = typed(word.rstrip("!"))
        given[name] = Quantity(found.low, found.high, "1", 99 if "!" in word else found.digits)
    return evaluate_quantities(compile_expression(text, given), given, "1"), given


@pytest.mark.parametrize(
    ("text", "inputs", "expected"),
    [
        # 10 g from 9 to 18 carat: 10 * 9 / 6
        ("m * (b - a) / (24 - b)", {"m": "10", "a": "9!", "b": "18!"}, "15"),
        # 350 * 4 / 10
        ("m * (b - a) / (24 - b)", {"m": "350", "a": "10!", "b": "14!"}, "140"),
        # 2 * 15 * 80 * 75 * 70 / 700
        (
            "2 * e * c * t * f / (k * k * p)",
            {"e": "15!", "c": "80!", "t": "75!", "f": "70!", "k": "10!", "p": "7!"},
            "18\u202f000",
        ),
        ("31.1034768 * w", {"w": "1"}, "about 31.10"),
        ("1.55517384 * w", {"w": "1"}, "about 1.555"),
        ("V * r", {"V": "4", "r": "7.9"}, "about 31.6"),
        ("V * r", {"V": "4.0", "r": "7.98"}, "about 31.92"),
        ("V * r", {"V": "4.00", "r": "7.9..8.0"}, "31.6 to 32.0"),
        ("V * r", {"V": "4.0000", "r": "7.9800"}, "31.920"),
        ("m * r / l", {"m": "36", "r": "0.9982", "l": "2"}, "about 17.97"),  # 17.9676
        ("d - 1.04 * P", {"d": "0.6", "P": "0.15"}, "about 0.444"),
        ("a / b", {"a": "1!", "b": "3!"}, "about 0.333333"),
        ("a * b", {"a": "0.0000012", "b": "0.000003"}, "about 0.0000000000036"),
        ("abs(a - b)", {"a": "0.5..1.2", "b": "0.05"}, "0.45 to 1.15"),
        (
            "10 * (b - 9) / (24 - b)",
            {"b": "8..18!"},
            "\u22120.7 to 15.0",
        ),  # -10/16 and 90/6, three digits of 15.6
        ("a - b", {"a": "0.5", "b": "0.5"}, "0"),
        ("a * b", {"a": "123456", "b": "2!"}, "246\u202f912"),
        ("a * b", {"a": "12345.6", "b": "2"}, "about 24\u202f690"),
        # one digit more than the least exact input, four at least, outwards
        ("a / b", {"a": "1", "b": "3..3.0000003"}, "0.3333 to 0.3334"),
        ("a / b", {"a": "1!", "b": "3.000000..3.000003"}, "0.33333300 to 0.33333334"),
        ("a / b", {"a": "1.82", "b": "8.45..8.47"}, "0.2148 to 0.2154"),  # 0.214876 to 0.215385
        ("V * r", {"V": "12.000", "r": "7.95..8.0"}, "95.4 to 96.0"),
    ],
)
def test_the_digit_rule_by_hand_on_both_sides(page, text, inputs, expected):
    value, given = by_hand(text, **inputs)
    assert shown(value).replace(NBSP, " ") == expected
    program = json.dumps(
        [f"#{s}" if isinstance(s, D) else s for s in compile_expression(text, given)]
    )
    found = page.eval(
        f"benchCalc.shown(benchCalc.evaluate({program},"
        f" {json.dumps({n: of(q) for n, q in given.items()})}))"
    )
    assert found.replace(NBSP, " ") == expected


def test_what_is_shown_never_contradicts_its_reading(knowledge):
    """0.879 999 6 is below 0.88, so it is not shown as 0.88."""
    record = knowledge.formulas["nickel-release-reading"]
    readings = [Reading(below=D("0.88"), say="passes"), Reading(say="fails")]
    record = record.model_copy(update={"readings": readings})
    inputs = {"c": typed("439.9998"), "V": typed("20.0000"), "A": typed("10.0000"), "w": typed("1")}
    value = result_of(record, inputs)
    assert meaning_of(record, value) == "passes"
    assert D(shown(value).split(NBSP)[-1]) < D("0.88")


@pytest.mark.parametrize(
    ("formula", "values", "expected", "said"),
    [
        # fine gold 10 * 5 / 6 = 8.333...: a little more is on the safe side of the mark
        (
            "raise-carat",
            {"m": "10.00", "c_from": "13", "c_to": "18"},
            "8.334",
            " (rounded up, to be safe)",
        ),
        # alloy 31.1 * 6 / 18 = 10.3666...: a little less keeps the mark
        (
            "lower-carat",
            {"m": "31.10", "c_from": "24", "c_to": "18"},
            "10.36",
            " (rounded down, to be safe)",
        ),
        ("raise-carat", {"m": "10", "c_from": "9", "c_to": "18"}, "15", ""),
    ],
)
def test_alloying_rounds_to_the_safe_side_and_says_so(knowledge, formula, values, expected, said):
    record = knowledge.formulas[formula]
    value = result_of(record, {n: typed(v) for n, v in values.items()})
    assert (shown(value), rounding_words(record, value)) == (expected, said)


def test_an_interval_whose_divisor_passes_through_zero_is_refused_in_words(page):
    with pytest.raises(ValueError, match="divisor passes through zero; type a narrower range"):
        by_hand("1 / a", a="-1..2")
    inputs = {"a": {"low": "-1", "high": "2", "digits": 1}}
    fault = page.eval(f"benchCalc.spread(['#1', 'a', '/'], {json.dumps(inputs)}).fault")
    assert fault.rstrip(".").casefold().replace(": type", "; type") == CROSSES


def number_in(text):
    """The number that a reader takes from a shown point."""
    words = text.replace("\u202f", "").replace("\u2212", "-").split(NBSP)
    return D(words[-1])


def as_typed(record, inputs):
    return {n: typed(f"{v:f}", record.symbols[n].unit) for n, v in inputs.items()}


def test_every_worked_example_typed_as_printed_shows_its_published_answer(knowledge):
    """The answers and their tolerances are published; their sources are named in the records."""
    missed, count = [], 0
    for key, record in knowledge.formulas.items():
        for example in record.examples:
            count += 1
            try:
                text = shown(result_of(record, as_typed(record, example.inputs)))
            except ValueError as error:
                missed.append((key, example.inputs, str(error)))
                continue
            if example_agrees(example, number_in(text)) == (example.proves == "wrong"):
                missed.append((key, example.inputs, text, example.published))
    assert missed == [], "\n".join(map(str, missed))
    assert count > 300


def test_every_default_is_shown_within_half_a_percent_and_accepted(knowledge):
    count = 0
    for key, record in knowledge.formulas.items():
        inputs = {n: s.default for n, s in record.symbols.items()}
        if None in inputs.values():
            continue
        count += 1
        value = evaluate(compile_expression(record.expression, record.symbols), inputs)
        text = shown(result_of(record, as_typed(record, inputs)))
        assert abs(number_in(text) - value) <= abs(value) / 200, (key, text, value)
    assert count > 60


@pytest.mark.parametrize(
    ("formula", "values", "words"),
    [
        # each is impossible by what the thing is: common practice
        (
            "screw-breaking-torque",
            {"d_2": "0.785", "P": "2", "X": "0.84", "Rm": "800"},
            "leaves no screw",
        ),
        ("miniature-thread-minor-internal", {"d": "1.0", "P": "1.6"}, "leaves no screw"),
        (
            "copper-mass-by-immersion",
            {"m_air": "36", "m_lost": "6", "rho_w": "0.9982", "rho_1": "19.3", "rho_2": "8.96"},
            "lighter than the second metal",
        ),
        (
            "density-by-immersion",
            {"m_air": "400", "m_lost": "2", "rho_w": "0.9982"},
            "no metal or stone",
        ),
        ("raise-carat", {"m": "10", "c_from": "18", "c_to": "14"}, "use the page on lowering"),
        ("lower-carat", {"m": "10", "c_from": "14", "c_to": "18"}, "use the page on raising"),
        ("polishing-budget", {"s": "2", "s_min": "6", "r": "2"}, "do not polish"),
        ("rate-by-spring-length", {"dL": "-20", "L": "20"}, "more than half of the spring"),
        ("rate-by-spring-thickness", {"dh": "-10", "h": "10"}, "more than half of the thickness"),
        ("mainspring-turns", {"D": "7", "d": "6.9", "e": "1"}, "no room for coils"),
    ],
)
def test_impossible_results_are_refused_in_words_on_both_sides(
    page, knowledge, formula, values, words
):
    record = knowledge.formulas[formula]
    inputs = {n: typed(v) for n, v in values.items()}
    with pytest.raises(ValueError, match=words):
        result_of(record, inputs)
    given = json.dumps({n: of(q) for n, q in inputs.items()})
    fault = page.eval(f"benchCalc.resultOf({json.dumps(rule_of(record))}, {given}).fault")
    assert words.casefold() in fault.casefold()


def test_silver_is_assayed_by_density_too(knowledge):
    """Sterling: 925 parts of silver (10.49) and 75 of copper (8.96) weigh 10.36 g/cm3 by the mixing
    rule: 1000 / (925 / 10.49 + 75 / 8.96)."""
    record = knowledge.formulas["fineness-by-density"]
    inputs = {"rho": typed("10.3566"), "rho_1": typed("10.490"), "rho_2": typed("8.9600")}
    assert abs(result_of(record, inputs).low - 925) < D("0.5")
