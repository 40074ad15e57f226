"""The expression language: arithmetic and nothing else; points, intervals, digits.

Expected values are worked out by hand.
"""

from decimal import Decimal as D

import pytest

from generator.numbers.formulas import (
    NO_RESULT,
    FormulaFault,
    as_mathml,
    compile_expression,
    evaluate,
    evaluate_quantities,
    for_browser,
    symbol_html,
)
from generator.numbers.quantities import EXACT, Quantity, Showing, exact, shown
from generator.numbers.typed import typed


def value(text, **symbols):
    return evaluate(compile_expression(text, symbols), {k: D(v) for k, v in symbols.items()})


@pytest.mark.parametrize(
    ("text", "symbols", "expected"),
    [
        ("a + b * c", {"a": "1", "b": "2", "c": "3"}, "7"),
        ("(a + b) * c", {"a": "1", "b": "2", "c": "3"}, "9"),
        ("a - b - c", {"a": "9", "b": "2", "c": "3"}, "4"),
        ("a / b / c", {"a": "24", "b": "2", "c": "3"}, "4"),
        ("-a + 5", {"a": "2"}, "3"),
        ("a ** 3", {"a": "2"}, "8"),
        ("sqrt(a)", {"a": "9"}, "3"),
        ("abs(a)", {"a": "-4"}, "4"),
        ("min(a, b) + max(a, b)", {"a": "2", "b": "7"}, "9"),
        ("2.5e2 * a", {"a": "2"}, "500"),
    ],
)
def test_arithmetic(text, symbols, expected):
    assert value(text, **symbols) == D(expected)


def test_functions_and_pi():
    assert float(value("exp(ln(a)) * pi", a="2")) == pytest.approx(6.283185307179586, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("__import__('os')", "only numbers"),
        ("m.__class__", "only numbers"),
        ("m[0]", "only numbers"),
        ("m if m else 1", "only numbers"),
        ("lambda: m", "only numbers"),
        ("m == 1", "only numbers"),
        ("'a' * m", "only numbers"),
        ("True * m", "only numbers"),
        ("eval(m)", "only numbers"),
        ("sqrt(x=m)", "only numbers"),
        ("m ** 9999", "a power must be"),
        ("m ** m", "a power must be"),
        ("9**9**9 * m", "a power must be"),
        ("m * 1e99", "too large"),
        ("m + x", "x is not a symbol"),
        ("sqrt(m, m)", "takes 1"),
        ("m +", "cannot be read"),
        ("(" * 60 + "m" + ")" * 60 + "+(", "cannot be read"),
        ("-" * 40 + "m", "nested too deep"),
        ("m + " * 70 + "m", "nested too deep"),
        ("+".join(["(m*m*m*m)"] * 20), "steps"),
        ("m" * 400, "longer than"),
        ("1 + 2", "the symbol m does not occur"),
        ("m + [i for i in m]", "only numbers"),
        ("m; m", "cannot be read"),
    ],
)
def test_hostile_expressions_are_refused_with_fault_and_cure(text, fault):
    with pytest.raises(FormulaFault) as caught:
        compile_expression(text, {"m"})
    assert any(f in str(caught.value) for f in fault.split("|"))
    assert "; " in str(caught.value)


@pytest.mark.parametrize(
    ("text", "symbols"),
    [
        ("a / b", {"a": "1", "b": "0"}),
        ("sqrt(a)", {"a": "-1"}),
        ("ln(a)", {"a": "0"}),
        ("a / (b - b)", {"a": "1", "b": "2"}),
    ],
)
def test_what_has_no_result_says_so(text, symbols):
    with pytest.raises(ValueError, match="divide by zero"):
        value(text, **symbols)


def test_an_interval_takes_the_extremes_of_all_corners():
    # density by immersion: 8.60..8.66 in air, 7.80 in water at 0.998: 8.66/0.86 and 8.60/0.80,
    # times 0.998
    program = compile_expression("m * r / (m - w)", {"m", "r", "w"})
    result = evaluate_quantities(
        program, {"m": typed("8.60..8.66"), "r": typed("0.998"), "w": typed("7.80")}, "g/cm3"
    )
    assert (float(result.low), float(result.high)) == (
        pytest.approx(0.998 * 8.66 / 0.86),
        pytest.approx(0.998 * 8.60 / 0.80),
    )


def test_a_difference_costs_digits_and_the_doubt_is_said():
    # 8.63 - 7.80 = 0.83 has two digits, so the inputs bear two of 10.3790...
    program = compile_expression("m * r / (m - w)", {"m", "r", "w"})
    assert (
        shown(
            evaluate_quantities(
                program, {"m": typed("8.63"), "r": typed("0.9982"), "w": typed("7.80")}, "g/cm3"
            )
        )
        == "about\u00a010.38"
    )


def test_an_open_end_comes_out_open():
    program = compile_expression("R / r", {"R", "r"})
    result = evaluate_quantities(
        program, {"R": Quantity(D(200), None, "MPa", 3), "r": typed("8.00")}, "kN.m/kg"
    )
    assert (result.low, result.high) == (D(25), None)


def test_dividing_by_an_open_end_leaves_an_open_end():
    program = compile_expression("E / r", {"E", "r"})
    result = evaluate_quantities(
        program, {"E": typed("79.0"), "r": Quantity(D("15.8"), None, "g/cm3", 3)}, "MN.m/kg"
    )
    assert (result.low, result.high) == (None, D(5))
    assert shown(result) == "at most\u00a05.00"


def test_the_browser_gets_plain_data():
    assert for_browser(compile_expression("2 * sqrt(a) - pi", {"a"})) == [
        "#2",
        "a",
        "sqrt",
        "*",
        "pi",
        "-",
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "a / (b + c)",
            "<mfrac><mrow><mi>a</mi></mrow><mrow><mrow><mi>b</mi><mo>+</mo><mi>c</mi></mrow></mrow></mfrac>",
        ),
        (
            "a - (b - c)",
            "<mrow><mi>a</mi><mo>−</mo><mrow><mo>(</mo><mrow><mi>b</mi><mo>−</mo><mi>c</mi></mrow><mo>)</mo></mrow></mrow>",
        ),
    ],
)
def test_the_formula_is_set_out_with_its_brackets(text, expected):
    assert (
        as_mathml(compile_expression(text, {"a", "b", "c"}), {})
        == f'<math display="block">{expected}</math>'
    )


ONLY = "only numbers, symbols, + - * / ** and the listed functions are allowed; rewrite this part"
POWER = "a power must be a whole number from 2 to 6; write it as a product"
LARGE = "a number is too large; use a smaller unit"


def balanced(leaves: int) -> str:
    """A sum of so many m, nested as little as possible: 2 * leaves - 1 steps."""
    return "m" if leaves == 1 else f"({balanced(leaves // 2)}+{balanced(leaves - leaves // 2)})"


@pytest.mark.parametrize(
    ("text", "fault", "column"),
    [
        ("m + x", "x is not a symbol of this formula; define it under symbols", 5),
        ("m * 1e99", LARGE, 5),
        ("m + 1e999", LARGE, 5),
        ("m + 1000000000000001", LARGE, 5),
        ("m ** 7", POWER, 1),
        ("m + m ** 1", POWER, 5),
        ("m ** 2.0", POWER, 1),
        ("m ** -2", POWER, 1),
        ("2 * sqrt(m, m)", "sqrt takes 1 value(s); separate them with commas", 5),
        ("max(m)", "max takes 2 value(s); separate them with commas", 1),
        ("m + [1]", ONLY, 5),
        ("m + True", ONLY, 5),
        ("m * 2j", ONLY, 5),
        ("+m", ONLY, 1),
        ("m + sqrt(x=m)", ONLY, 5),
        ("m + sqrt(m, x=m)", ONLY, 5),
        ("m % 2", ONLY, 1),
        ("m + eval(m)", ONLY, 5),
        ("-" * 31 + "m", "the expression is nested too deep; split the formula", 32),
        ("(m ** 2)" + " " * 293, "the expression is longer than 300 letters; split the formula", 1),
        (balanced(61), "the expression has more than 120 steps; split the formula", 1),
        ("m ? 2", "the expression cannot be read; check brackets and operators", 3),
        ("m\0", "the expression cannot be read; check brackets and operators", 1),
        ("1 + 2", "the symbol m does not occur in the expression; use it or delete it", 1),
    ],
)
def test_each_fault_of_an_expression_has_its_words_and_its_column(text, fault, column):
    with pytest.raises(FormulaFault) as caught:
        compile_expression(text, {"m"})
    assert (str(caught.value), caught.value.column) == (fault, column)


def test_the_first_symbol_that_is_not_used_is_named():
    with pytest.raises(FormulaFault, match="^the symbol a does not occur"):
        compile_expression("m + 1", {"m", "b", "a"})


def test_what_is_just_within_the_limits_is_taken():
    assert compile_expression("-" * 30 + "m", {"m"}) == ("m", *["neg"] * 30)
    assert len(compile_expression("-" + balanced(60), {"m"})) == 120
    assert compile_expression("m ** 2" + " " * 294, {"m"}) == ("m", D(2), "**")
    assert compile_expression("m ** 6 + 1e15", {"m"}) == ("m", D(6), "**", D("1E+15"), "+")


@pytest.mark.parametrize(
    ("opening", "closing"), [("-", ""), ("(m+", ")"), ("(", "+m)"), ("sqrt(", ")")]
)
def test_every_way_of_nesting_counts(opening, closing):
    compile_expression(opening * 30 + "m" + closing * 30, {"m"})
    with pytest.raises(FormulaFault, match="nested too deep"):
        compile_expression(opening * 31 + "m" + closing * 31, {"m"})


def test_operands_keep_their_order():
    assert compile_expression("min(a - b, a / b) * pi", {"a", "b"}) == (
        "a",
        "b",
        "-",
        "a",
        "b",
        "/",
        "min",
        "pi",
        "*",
    )


def test_forty_digits_are_carried():
    assert value("a / b", a="1", b="3") == D("0." + "3" * 40)
    assert value("pi * a", a="1") == D(
        "3.141592653589793238462643383279502884197"
    )  # the published digits of pi


@pytest.mark.parametrize(
    ("text", "symbols"), [("a / b", {"a": "1", "b": "0"}), ("a * 2", {"a": "Infinity"})]
)
def test_no_result_is_said_in_whole(text, symbols):
    with pytest.raises(ValueError) as caught:
        value(text, **symbols)
    assert str(caught.value) == NO_RESULT == "these values divide by zero or have no real answer"


def quantities(text, **symbols):
    inputs = {k: typed(v) if isinstance(v, str) else v for k, v in symbols.items()}
    return evaluate_quantities(compile_expression(text, symbols), inputs, "u")


@pytest.mark.parametrize(
    ("text", "symbols", "digits"),
    [
        ("a * b", {"a": "3.0", "b": "7.98"}, 2),
        ("a / b", {"a": "7.98", "b": "3.0"}, 2),
        ("2 * a", {"a": "7.98"}, 3),
        ("pi * a", {"a": "7.98"}, 3),
        ("a ** 2", {"a": "7.98"}, 3),
        ("sqrt(a)", {"a": "9.00"}, 3),
        ("-a", {"a": "9.00"}, 3),
        ("max(a, b)", {"a": "3.0", "b": "7.98"}, 2),
        ("a + b", {"a": "17", "b": "0.05"}, 2),  # 17.05 is good to the ones
        ("1 + a", {"a": "0.05"}, 3),
        ("a + b", {"a": "0.00", "b": "7.98"}, 3),
        ("a - b", {"a": "8.63", "b": "8.62"}, 1),
        ("a - b", {"a": "8.625", "b": "8.62"}, 1),
        ("a - b", {"a": "170", "b": "170"}, 1),
        ("a * 2 - b", {"a": "0.3500", "b": "0.7000"}, 1),
        ("sqrt(a) - sqrt(a)", {"a": "49.00"}, 1),
        ("a + b", {"a": exact(6), "b": exact(6)}, EXACT),
        ("a + b", {"a": "995", "b": "7.0"}, 4),
    ],
)
def test_digits_by_hand(text, symbols, digits):
    assert quantities(text, **symbols).digits == digits


@pytest.mark.parametrize(
    ("text", "symbols", "low", "high"),
    [
        ("a - b", {"a": "5..6", "b": "1..3"}, "2", "5"),
        ("abs(a - b)", {"a": "1..3", "b": "2..5"}, "0", "4"),  # both may be 2
        ("abs(a - b)", {"a": "1..2", "b": "4..5"}, "2", "4"),
        ("min(a, b)", {"a": "1..4", "b": "2..3"}, "1", "3"),
        ("max(a, b)", {"a": "1..4", "b": "2..3"}, "2", "4"),
        ("abs(a - b) + 0 * c", {"a": "1..3", "b": "2..5", "c": "7"}, "0", "4"),
        ("2 * a", {"a": Quantity(None, D(5), "u", 1)}, None, "10"),
        ("2 * a", {"a": Quantity(D(5), None, "u", 1)}, "10", None),
        ("a - b", {"a": "5", "b": Quantity(D(3), None, "u", 1)}, None, "2"),
        ("a - b", {"a": "5", "b": Quantity(None, D(3), "u", 1)}, "2", None),
    ],
)
def test_intervals_by_hand(text, symbols, low, high):
    found = quantities(text, **symbols)
    assert (found.low, found.high) == (
        None if low is None else D(low),
        None if high is None else D(high),
    )


def test_a_result_has_its_unit_its_kind_and_every_source_once():
    found = quantities(
        "a * b",
        a=Quantity(D(2), D(3), "g", 2, ("x", "y"), "range"),
        b=Quantity(D(4), D(4), "g", 3, ("y", "z"), "typical"),
    )
    assert found == Quantity(D(8), D(12), "u", 2, ("x", "y", "z"), "computed", showing=Showing())


def test_what_is_not_known_at_all_stays_so():
    found = quantities("2 * a", a=Quantity(None, None, "u", 3))
    assert (found.low, found.high, found.digits) == (None, None, 1)


def test_two_open_ends_that_may_cancel_have_no_result():
    with pytest.raises(ValueError, match="divide by zero"):
        quantities("a - b", a=Quantity(D(5), None), b=Quantity(D(3), None))


def test_where_one_corner_has_no_result_there_is_none():
    with pytest.raises(ValueError, match="divide by zero"):
        quantities("1 / a", a="0..2")


@pytest.mark.parametrize(
    ("text", "low", "high", "digits"),
    [
        ("7.98", "7.98", "7.98", 3),
        ("215..140.5", "140.5", "215", 3),
        ("7.9..8.00", "7.9", "8.00", 2),
    ],
)
def test_what_a_person_types(text, low, high, digits):
    assert typed(text, "g") == Quantity(D(low), D(high), "g", digits)
    assert typed(text).unit == "1"


def i(name):
    return f"<mi>{name}</mi>"


def row(*pieces):
    return f"<mrow>{''.join(pieces)}</mrow>"


def o(sign):
    return f"<mo>{sign}</mo>"


def bracketed(piece):
    return row(o("("), piece, o(")"))


a, b, c = i("a"), i("b"), i("c")
a_plus_b = row(a, o("+"), b)
a_over_b = "<mfrac><mrow><mi>a</mi></mrow><mrow><mi>b</mi></mrow></mfrac>"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2.5 * a", row("<mn>2.5</mn>", o("·"), a)),
        ("(a + b) * c", row(bracketed(a_plus_b), o("·"), c)),
        ("c * (a + b)", row(c, o("·"), bracketed(a_plus_b))),
        ("a * b + c", row(row(a, o("·"), b), o("+"), c)),
        ("c + a * b", row(c, o("+"), row(a, o("·"), b))),
        ("c + (a + b)", row(c, o("+"), a_plus_b)),
        ("a + b - c", row(a_plus_b, o("−"), c)),
        ("c - (a + b)", row(c, o("−"), bracketed(a_plus_b))),
        ("c - a * b", row(c, o("−"), row(a, o("·"), b))),
        ("c * (a * b)", row(c, o("·"), row(a, o("·"), b))),
        ("c * (a / b)", row(c, o("·"), a_over_b)),
        ("(a / b) ** 2", f"<msup>{bracketed(a_over_b)}<mn>2</mn></msup>"),
        ("a ** 2 * b", row("<msup><mi>a</mi><mn>2</mn></msup>", o("·"), b)),
        (
            "(a ** 2) ** 3",
            f"<msup>{bracketed('<msup><mi>a</mi><mn>2</mn></msup>')}<mn>3</mn></msup>",
        ),
        ("-a", row(o("−"), a)),
        ("-(a + b)", row(o("−"), bracketed(a_plus_b))),
        ("-(a * b)", row(o("−"), row(a, o("·"), b))),
        ("-a + b", row(row(o("−"), a), o("+"), b)),
        ("b - -a", row(b, o("−"), bracketed(row(o("−"), a)))),
        ("b * -a", row(b, o("·"), bracketed(row(o("−"), a)))),
        ("sqrt(a) ** 2", "<msup><msqrt><mi>a</mi></msqrt><mn>2</mn></msup>"),
        ("max(a, b)", row(i("max"), o("("), a, o(","), b, o(")"))),
        ("ln(a) ** 2", f"<msup>{row(i('ln'), o('('), a, o(')'))}<mn>2</mn></msup>"),
        ("pi ** 2 + a", row(f"<msup>{i('π')}<mn>2</mn></msup>", o("+"), a)),
    ],
)
def test_brackets_stand_where_they_must_and_nowhere_else(text, expected):
    symbols = {s for s in "abc" if s in text.replace("max", "")}
    assert (
        as_mathml(compile_expression(text, symbols), {})
        == f'<math display="block">{expected}</math>'
    )


def test_symbols_are_shown_by_their_names():
    assert (
        as_mathml(compile_expression("r * s", {"r", "s"}), {"r": "rho_1"}) == "<math"
        f' display="block">{row("<msub><mi>ρ</mi><mi>1</mi></msub>", o("·"), i("s"))}</math>'
    )


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("m", "<mi>m</mi>"),
        ("m_in_air", "<msub><mi>m</mi><mi>in air</mi></msub>"),
        ("rho_a<b", "<msub><mi>ρ</mi><mi>a&lt;b</mi></msub>"),
        ("a&b", "<mi>a&amp;b</mi>"),
        ("Delta_T", "<msub><mi>Δ</mi><mi>T</mi></msub>"),
    ],
)
def test_an_index_hangs_below_and_greek_is_greek(name, expected):
    assert symbol_html(name) == expected


@pytest.mark.parametrize("text", ["abc", "", "nan", "inf", "1..2..3", "1..", ".."])
def test_what_is_no_number_is_refused_in_words(text):
    with pytest.raises(ValueError, match="type (digits|a number), such as"):
        typed(text)
