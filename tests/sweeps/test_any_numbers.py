"""Laws of arithmetic and of judging that hold for any numbers; the library looks for numbers for
which they do not."""

from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from generator.numbers.formulas import compile_expression, evaluate_quantities
from generator.numbers.quantities import shown
from generator.numbers.typed import typed
from generator.verdicts.findings import IN_PART, MET, MISSED, compare
from tests.unit.test_figures import divide, span
from tests.unit.test_findings import quantity


@given(st.integers(1, 99), st.integers(1, 99), st.integers(0, 99), st.floats(0, 1))
def test_a_value_inside_the_inputs_lies_inside_the_result(a, b, width, t):
    program = compile_expression("x / y", {"x", "y"})
    result = evaluate_quantities(
        program, {"x": typed(f"{a}..{a + width}"), "y": typed(str(b))}, "1"
    )
    assert float(result.low) - 1e-9 <= (a + t * width) / b <= float(result.high) + 1e-9


numbers = st.decimals(
    min_value="0.001", max_value="99999", places=3, allow_nan=False, allow_infinity=False
)


@given(numbers, numbers, numbers, numbers, st.floats(0, 1), st.floats(0, 1))
def test_what_is_shown_holds_for_every_value_inside(a, b, c, d, s, t):
    """Any quotient of values inside the two intervals lies inside the shown interval."""
    x, y = span(min(a, b), max(a, b)), span(min(c, d), max(c, d))
    inside = (float(x.low) + s * float(x.high - x.low)) / (float(y.low) + t * float(y.high - y.low))
    text = shown(divide(x, y)).replace("\u202f", "").replace("\u00a0to\u00a0", " ").split()
    low, high = float(text[0]), float(text[-1])
    slack = 0.06 * inside if len(text) == 1 else 1e-9 * inside
    assert low - slack <= inside <= high + slack


@given(st.integers(1, 400), st.integers(0, 100), st.integers(1, 500), st.integers(0, 300))
def test_more_hardness_never_turns_a_met_minimum_into_a_missed_one(low, width, demand, raised):
    order = (MET, IN_PART, MISSED)
    before = compare(quantity(low, low + width), D(demand), None)
    after = compare(quantity(low + raised, low + width + raised), D(demand), None)
    assert order.index(after) <= order.index(before)
