"""Intervals in, intervals out; never more digits than the inputs carry. Expected values are worked out by hand."""

from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.checking import figures_of
from generator.figures import (NBSP, Quantity, add, divide, envelope, exact, multiply, number_text, of_bound, of_figure, round_to, shown,
                               significant_digits, subtract)
from generator.models import Bound


def point(text, unit="1"):
    return Quantity(D(text), D(text), unit, significant_digits(D(text)), ("s",), "typical")


def span(low, high, digits=3):
    return Quantity(D(low), D(high), "1", digits, ("s",), "range")


@pytest.mark.parametrize(("typed", "digits"), [("7.90", 3), ("7.9", 2), ("0.05", 1), ("0.050", 2), ("170", 3), ("1E3", 4), ("0", 1), ("0.00", 2)])
def test_digits_are_counted_as_typed(typed, digits):
    assert significant_digits(D(typed)) == digits


@pytest.mark.parametrize(("bound", "low", "high"), [
    ({"typical": "7.98"}, "7.98", "7.98"), ({"range": ["140", "215"]}, "140", "215"), ({"at_least": "200"}, "200", None), ({"at_most": "0.03"}, None, "0.03")])
def test_each_kind_is_its_interval(bound, low, high):
    quantity = of_bound(Bound(**bound), "MPa", "s")
    assert (quantity.low, quantity.high) == (D(low) if low else None, D(high) if high else None)


def test_mass_of_a_case_shows_two_digits_when_the_volume_has_two():
    assert shown(multiply(point("4.0"), point("7.98"), "g")) == "32"


def test_sum_keeps_the_last_sure_place():
    # 17 is good to the ones, so 17 + 0.05 is 17
    assert shown(add(point("17"), point("0.05"))) == "17"
    assert shown(subtract(point("8.63"), point("7.80"))) == "0.83"


def test_an_open_end_stays_open():
    strength = Quantity(D(200), None, "MPa", 3, ("s",), "at_least")
    assert shown(divide(strength, point("7.98"))) == "at least\u00a025.0"


def test_ranges_divide_outwards():
    # 140/8.0 = 17.5 and 215/7.9 = 27.2...; shown to two digits, outwards
    assert shown(divide(span("140", "215"), span("7.9", "8.0", 2))) == "17\u00a0to\u00a028"


def test_division_by_a_range_that_touches_zero_is_refused():
    with pytest.raises(ZeroDivisionError):
        divide(point("1"), span("0", "2"))


def test_published_figures_come_before_memory():
    published, remembered = point("7.98"), Quantity(D("8.1"), D("8.1"), "1", 2, ("memory",), "typical")
    assert envelope([remembered, published]) == published


def test_sources_that_disagree_make_a_range():
    assert shown(envelope([point("7.98"), point("8.0")])) == "7.98\u00a0to\u00a08.0"


def test_limits_count_only_where_there_is_no_value():
    assert envelope([Quantity(D(170), None, "MPa", 3, ("a",), "at_least"), point("205")]).low == D(205)


@pytest.mark.parametrize(("text", "expected"), [("12345.6", "12\u202f345.6"), ("-3.5", "\u22123.5"), ("9999", "9999"), ("1E+5", "100\u202f000")])
def test_numbers_are_written_for_readers(text, expected):
    assert number_text(D(text)) == expected


@pytest.mark.parametrize(("number", "digits", "expected"), [("21.4875", 3, "21.5"), ("2.5", 1, "2"), ("3.5", 1, "4"), ("7.9", 5, "7.9"), ("1234", 2, "1.2E+3")])
def test_rounding_never_adds_digits(number, digits, expected):
    assert round_to(D(number), digits) == D(expected)


def test_an_exact_number_does_not_limit_digits():
    assert shown(divide(point("7.98"), exact(1))) == "7.98"


numbers = st.decimals(min_value="0.001", max_value="99999", places=3, allow_nan=False, allow_infinity=False)


@given(numbers, numbers, numbers, numbers, st.floats(0, 1), st.floats(0, 1))
def test_what_is_shown_holds_for_every_value_inside(a, b, c, d, s, t):
    """Any quotient of values inside the two intervals lies inside the shown interval."""
    x, y = span(min(a, b), max(a, b)), span(min(c, d), max(c, d))
    inside = (float(x.low) + s * float(x.high - x.low)) / (float(y.low) + t * float(y.high - y.low))
    text = shown(divide(x, y)).replace("\u202f", "").replace("\u00a0to\u00a0", " ").split()
    low, high = float(text[0]), float(text[-1])
    slack = 0.06 * inside if len(text) == 1 else 1e-9 * inside
    assert low - slack <= inside <= high + slack


@pytest.mark.parametrize(("ends", "text"), [(["88", "103"], "88 to 103"), (["1.0004", "1.001"], "1.0004 to 1.001"), (["3.8", "25.4"], "3.8 to 25.4")])
def test_a_published_range_is_shown_as_it_was_published(ends, text):
    assert shown(of_bound(Bound(range=ends), "1", "s")).replace(NBSP, " ") == text


def test_every_shipped_figure_is_shown_as_it_was_typed(knowledge):
    typed = [f for m in knowledge.materials.values() for *_, f in figures_of(m)]
    wrong = [(f, shown(of_figure(f, "1"))) for f in typed
             if not all(number_text(end) in shown(of_figure(f, "1")) for end in (f.range or [getattr(f, f.kind)]))]
    assert len(typed) > 1500
    assert wrong == []
