"""The expression language: arithmetic and nothing else; points, intervals, digits. Expected values are worked out by hand."""

from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.figures import shown
from generator.formulas import FormulaFault, as_mathml, compile_expression, evaluate, evaluate_quantities, for_browser, typed


def value(text, **symbols):
    return evaluate(compile_expression(text, symbols), {k: D(v) for k, v in symbols.items()})


@pytest.mark.parametrize(("text", "symbols", "expected"), [
    ("a + b * c", {"a": "1", "b": "2", "c": "3"}, "7"), ("(a + b) * c", {"a": "1", "b": "2", "c": "3"}, "9"), ("a - b - c", {"a": "9", "b": "2", "c": "3"}, "4"),
    ("a / b / c", {"a": "24", "b": "2", "c": "3"}, "4"), ("-a + 5", {"a": "2"}, "3"), ("a ** 3", {"a": "2"}, "8"), ("sqrt(a)", {"a": "9"}, "3"),
    ("abs(a)", {"a": "-4"}, "4"), ("min(a, b) + max(a, b)", {"a": "2", "b": "7"}, "9"), ("2.5e2 * a", {"a": "2"}, "500")])
def test_arithmetic(text, symbols, expected):
    assert value(text, **symbols) == D(expected)


def test_functions_and_pi():
    assert float(value("exp(ln(a)) * pi", a="2")) == pytest.approx(6.283185307179586, rel=1e-14)


@pytest.mark.parametrize(("text", "fault"), [
    ("__import__('os')", "only numbers"), ("m.__class__", "only numbers"), ("m[0]", "only numbers"), ("m if m else 1", "only numbers"), ("lambda: m", "only numbers"),
    ("m == 1", "only numbers"), ("'a' * m", "only numbers"), ("True * m", "only numbers"), ("eval(m)", "only numbers"), ("sqrt(x=m)", "only numbers"),
    ("m ** 9999", "a power must be"), ("m ** m", "a power must be"), ("9**9**9 * m", "a power must be"), ("m * 1e99", "too large"), ("m + x", "x is no symbol"),
    ("sqrt(m, m)", "takes 1"), ("m +", "cannot be read"), ("(" * 60 + "m" + ")" * 60 + "+(", "cannot be read"), ("-" * 40 + "m", "nested too deep"),
    ("m + " * 70 + "m", "nested too deep"), ("+".join(["(m*m*m*m)"] * 20), "steps"), ("m" * 400, "longer than"), ("1 + 2", "the symbol m does not occur"), ("m + [i for i in m]", "only numbers"), ("m; m", "cannot be read")])
def test_hostile_expressions_are_refused_with_fault_and_cure(text, fault):
    with pytest.raises(FormulaFault) as caught:
        compile_expression(text, {"m"})
    assert any(f in str(caught.value) for f in fault.split("|"))
    assert "; " in str(caught.value)


@pytest.mark.parametrize(("text", "symbols"), [("a / b", {"a": "1", "b": "0"}), ("sqrt(a)", {"a": "-1"}), ("ln(a)", {"a": "0"}), ("a / (b - b)", {"a": "1", "b": "2"})])
def test_what_has_no_result_says_so(text, symbols):
    with pytest.raises(ValueError, match="division by zero"):
        value(text, **symbols)


def test_an_interval_takes_the_extremes_of_all_corners():
    # density by immersion: 8.60..8.66 in air, 7.80 in water at 0.998: 8.66/0.86 and 8.60/0.80, times 0.998
    program = compile_expression("m * r / (m - w)", {"m", "r", "w"})
    result = evaluate_quantities(program, {"m": typed("8.60..8.66"), "r": typed("0.998"), "w": typed("7.80")}, "g/cm3")
    assert (float(result.low), float(result.high)) == (pytest.approx(0.998 * 8.66 / 0.86), pytest.approx(0.998 * 8.60 / 0.80))


def test_a_difference_costs_digits():
    # 8.63 - 7.80 = 0.83 has two digits, so the density has two
    program = compile_expression("m * r / (m - w)", {"m", "r", "w"})
    assert shown(evaluate_quantities(program, {"m": typed("8.63"), "r": typed("0.9982"), "w": typed("7.80")}, "g/cm3")) == "10"


def test_an_open_end_comes_out_open():
    from generator.figures import Quantity
    program = compile_expression("R / r", {"R", "r"})
    result = evaluate_quantities(program, {"R": Quantity(D(200), None, "MPa", 3), "r": typed("8.00")}, "kN.m/kg")
    assert (result.low, result.high) == (D(25), None)


def test_dividing_by_an_open_end_leaves_an_open_end():
    from generator.figures import Quantity
    program = compile_expression("E / r", {"E", "r"})
    result = evaluate_quantities(program, {"E": typed("79.0"), "r": Quantity(D("15.8"), None, "g/cm3", 3)}, "MN.m/kg")
    assert (result.low, result.high) == (None, D(5))
    assert shown(result) == "at most\u00a05"


def test_the_browser_gets_plain_data():
    assert for_browser(compile_expression("2 * sqrt(a) - pi", {"a"})) == ["#2", "a", "sqrt", "*", "pi", "-"]


@pytest.mark.parametrize(("text", "expected"), [
    ("a / (b + c)", "<mfrac><mrow><mi>a</mi></mrow><mrow><mrow><mi>b</mi><mo>+</mo><mi>c</mi></mrow></mrow></mfrac>"),
    ("a - (b - c)", "<mrow><mi>a</mi><mo>−</mo><mrow><mo>(</mo><mrow><mi>b</mi><mo>−</mo><mi>c</mi></mrow><mo>)</mo></mrow></mrow>")])
def test_the_formula_is_set_out_with_its_brackets(text, expected):
    assert as_mathml(compile_expression(text, {"a", "b", "c"}), {}) == f'<math display="block">{expected}</math>'


@given(st.integers(1, 99), st.integers(1, 99), st.integers(0, 99), st.floats(0, 1))
def test_a_value_inside_the_inputs_lies_inside_the_result(a, b, width, t):
    program = compile_expression("x / y", {"x", "y"})
    result = evaluate_quantities(program, {"x": typed(f"{a}..{a + width}"), "y": typed(str(b))}, "1")
    assert float(result.low) - 1e-9 <= (a + t * width) / b <= float(result.high) + 1e-9
