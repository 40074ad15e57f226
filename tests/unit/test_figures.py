"""Intervals in, intervals out, and the digit rule.

Expected values are worked out by hand.
"""

from decimal import ROUND_CEILING, ROUND_FLOOR
from decimal import Decimal as D

import pytest

from generator.numbers.arithmetic import add, divide, multiply, subtract, total
from generator.numbers.quantities import (
    EXACT,
    NBSP,
    Quantity,
    envelope,
    exact,
    number_text,
    of_bound,
    of_figure,
    round_to,
    shown,
    significant_digits,
)
from generator.records.common import Bound, Figure
from generator.records.materials import figures_of
from generator.site.texts import plain_text


def point(text, unit="1"):
    return Quantity(D(text), D(text), unit, significant_digits(D(text)), ("s",), "typical")


def span(low, high, digits=3):
    return Quantity(D(low), D(high), "1", digits, ("s",), "range")


@pytest.mark.parametrize(
    ("typed", "digits"),
    [
        ("7.90", 3),
        ("7.9", 2),
        ("0.05", 1),
        ("0.050", 2),
        ("170", 3),
        ("1E3", 4),
        ("0", 1),
        ("0.00", 2),
    ],
)
def test_digits_are_counted_as_typed(typed, digits):
    assert significant_digits(D(typed)) == digits


@pytest.mark.parametrize(
    ("bound", "low", "high"),
    [
        ({"typical": "7.98"}, "7.98", "7.98"),
        ({"range": ["140", "215"]}, "140", "215"),
        ({"at_least": "200"}, "200", None),
        ({"at_most": "0.03"}, None, "0.03"),
    ],
)
def test_each_kind_is_its_interval(bound, low, high):
    quantity = of_bound(Bound(**bound), "MPa", "s")
    assert (quantity.low, quantity.high) == (D(low) if low else None, D(high) if high else None)


def test_mass_of_a_case_shows_two_digits_when_the_volume_has_two():
    assert shown(multiply(point("4.0"), point("7.98"), "g")) == "32"


def test_sum_keeps_the_last_sure_place():
    # 17 is good to the ones, so 17 + 0.05 is 17
    assert shown(add(point("17"), point("0.05"))) == "17"
    assert shown(subtract(point("8.63"), point("7.80"))) == "0.83"


def test_a_typed_hyphen_before_a_number_is_shown_as_a_minus():
    """The minus of Unicode, U+2212; between words and in a span a hyphen stays one."""
    assert plain_text("from -20 degC") == "from \u221220\u00a0°C"
    assert plain_text("spring-hard, 7-13") == "spring-hard, 7-13"


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
    published, remembered = (
        point("7.98"),
        Quantity(D("8.1"), D("8.1"), "1", 2, ("memory",), "typical"),
    )
    assert envelope([remembered, published]) == published


def test_sources_that_disagree_make_a_range():
    assert shown(envelope([point("7.98"), point("8.0")])) == "7.98\u00a0to\u00a08.0"
    assert shown(envelope([point("7.95"), point("8.0")])) == "7.95\u00a0to\u00a08.0"


def test_limits_count_only_where_there_is_no_value():
    assert envelope([Quantity(D(170), None, "MPa", 3, ("a",), "at_least"), point("205")]).low == D(
        205
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("12345.6", "12\u202f345.6"),
        ("-3.5", "\u22123.5"),
        ("9999", "9999"),
        ("1E+5", "100\u202f000"),
    ],
)
def test_numbers_are_written_for_readers(text, expected):
    assert number_text(D(text)) == expected


@pytest.mark.parametrize(
    ("number", "digits", "expected"),
    [
        ("21.4875", 3, "21.5"),
        ("2.5", 1, "2"),
        ("3.5", 1, "4"),
        ("7.9", 5, "7.9"),
        ("1234", 2, "1.2E+3"),
    ],
)
def test_rounding_never_adds_digits(number, digits, expected):
    assert round_to(D(number), digits) == D(expected)


def test_an_exact_number_does_not_limit_digits():
    assert shown(divide(point("7.98"), exact(1))) == "7.98"


@pytest.mark.parametrize(
    ("ends", "text"),
    [
        (["88", "103"], "88 to 103"),
        (["1.0004", "1.001"], "1.0004 to 1.001"),
        (["3.8", "25.4"], "3.8 to 25.4"),
    ],
)
def test_a_published_range_is_shown_as_it_was_published(ends, text):
    assert shown(of_bound(Bound(range=ends), "1", "s")).replace(NBSP, " ") == text


def test_every_shipped_figure_is_shown_as_it_was_typed(knowledge):
    typed = [f for m in knowledge.materials.values() for *_, f in figures_of(m)]
    wrong = [
        (f, shown(of_figure(f, "1")))
        for f in typed
        if not all(
            number_text(end) in shown(of_figure(f, "1")) for end in f.range or [getattr(f, f.kind)]
        )
    ]
    assert len(typed) > 1500
    assert wrong == []


def at_least(text, unit="1", source="s"):
    return Quantity(D(text), None, unit, significant_digits(D(text)), (source,), "at_least")


def at_most(text, unit="1", source="s"):
    return Quantity(None, D(text), unit, significant_digits(D(text)), (source,), "at_most")


def ends(quantity):
    return tuple(None if end is None else float(end) for end in (quantity.low, quantity.high))


def test_low_above_high_is_no_quantity():
    with pytest.raises(ValueError, match="^low 3 is above high 2$"):
        span("3", "2")
    assert span("2", "2").is_point


@pytest.mark.parametrize(
    ("quantity", "middle", "is_point"),
    [
        (span("2", "5"), 3.5, False),
        (point("7.98"), 7.98, True),
        (at_least("170"), 170, False),
        (at_most("0.03"), 0.03, False),
    ],
)
def test_the_middle_sorts_and_an_open_end_leaves_the_closed_one(quantity, middle, is_point):
    assert (float(quantity.middle), quantity.is_point) == (middle, is_point)


def test_memory_and_unit_are_kept_apart_from_the_numbers():
    remembered = Quantity(D(2), D(3), "g", 1, ("a", "memory"))
    assert remembered.from_memory and not point("1").from_memory
    assert remembered.as_unit("mg") == Quantity(D(2), D(3), "mg", 1, ("a", "memory"), "computed")


def test_an_exact_number_is_a_point_of_any_digits():
    assert exact("0.5", "ct") == Quantity(D("0.5"), D("0.5"), "ct", EXACT, (), "computed")
    assert exact(3).unit == "1"


@pytest.mark.parametrize(
    ("bound", "digits"),
    [
        ({"typical": "7.90"}, 3),
        ({"range": ["140", "215.5"]}, 4),
        ({"range": ["0", "0.10"]}, 2),
        ({"typical": "0.00"}, 2),
        ({"at_least": "200"}, 3),
        ({"at_most": "0.03"}, 1),
        ({"at_least": "0"}, 1),
    ],
)
def test_a_figure_has_the_digits_of_its_most_exact_end_and_a_zero_has_none(bound, digits):
    assert of_bound(Bound(**bound), "MPa", "s").digits == digits


def test_a_figure_brings_unit_source_and_kind_along():
    assert of_figure(Figure(range=["140", "215"], source="sheet"), "HV") == Quantity(
        D(140), D(215), "HV", 3, ("sheet",), "range"
    )
    assert of_figure(Figure(at_most="0.03", source="memory"), "%") == Quantity(
        None, D("0.03"), "%", 1, ("memory",), "at_most", evidence="memory"
    )


A = Quantity(D(2), D(3), "g", 2, ("x", "y"), "range")
B = Quantity(D(4), D(5), "cm3", 4, ("y", "z"), "range")


@pytest.mark.parametrize(
    ("operation", "units", "low", "high", "unit"),
    [
        (multiply, ["g.cm3"], "8", "15", "g.cm3"),
        (divide, ["g/cm3"], "0.4", "0.75", "g/cm3"),
        (add, [], "6", "8", "g"),
        (subtract, [], "-3", "-1", "g"),
        (multiply, [], "8", "15", "1"),
        (divide, [], "0.4", "0.75", "1"),
    ],
)
def test_a_result_has_its_unit_the_fewest_digits_and_every_source_once(
    operation, units, low, high, unit
):
    assert operation(A, B, *units) == Quantity(
        D(low), D(high), unit, 2, ("x", "y", "z"), "computed"
    )


@pytest.mark.parametrize(
    ("operation", "a", "b", "expected"),
    [
        (add, at_least("200"), span("5", "6"), (205, None)),
        (add, span("5", "6"), at_least("200"), (205, None)),
        (add, at_most("200"), span("5", "6"), (None, 206)),
        (add, span("5", "6"), at_most("200"), (None, 206)),
        (add, at_least("200"), at_most("6"), (None, None)),
        (subtract, at_least("200"), span("5", "6"), (194, None)),
        (subtract, span("5", "6"), at_least("200"), (None, -194)),
        (subtract, at_most("200"), span("5", "6"), (None, 195)),
        (subtract, span("5", "6"), at_most("2"), (3, None)),
        (multiply, at_least("2"), span("3", "4"), (6, None)),
        (multiply, span("3", "4"), at_least("2"), (6, None)),
        (multiply, at_most("2"), span("3", "4"), (None, 8)),
        (multiply, span("3", "4"), at_most("2"), (None, 8)),
        (divide, at_least("200"), span("2", "4"), (50, None)),
        (divide, span("8", "12"), at_least("4"), (None, 3)),
        (divide, at_most("8"), span("2", "4"), (None, 4)),
        (divide, span("8", "12"), at_most("4"), (2, None)),
        (multiply, span("0", "2"), span("3", "4"), (0, 8)),
        (multiply, span("3", "4"), span("0", "2"), (0, 8)),
        (divide, span("0", "2"), span("4", "5"), (0, 0.5)),
    ],
)
def test_each_end_by_hand_and_open_where_it_is_not_known(operation, a, b, expected):
    assert ends(operation(a, b)) == expected


NEGATIVE = (span("-1", "2"), at_most("-1"), at_least("-1"))


@pytest.mark.parametrize("negative", NEGATIVE)
@pytest.mark.parametrize("operation", [multiply, divide])
def test_negative_factors_are_refused_on_either_side(operation, negative):
    for sides in ((negative, point("2")), (point("2"), negative)):
        with pytest.raises(
            ValueError, match="^negative numbers do not belong in a product or quotient here$"
        ):
            operation(*sides)


@pytest.mark.parametrize("divisor", [span("0", "2"), at_least("0"), at_most("0")])
def test_a_divisor_that_may_be_zero_is_refused_by_name(divisor):
    with pytest.raises(ZeroDivisionError, match="^the divisor may be zero$"):
        divide(point("1"), divisor)


@pytest.mark.parametrize(
    ("operation", "a", "b", "expected"),
    [
        (divide, exact(1), exact(3), "0." + "3" * 40),
        (divide, exact(2), exact(3), "0." + "6" * 39 + "7"),
        (
            multiply,
            exact("1.0000000000000000001"),
            exact("1.0000000000000000001"),
            "1.00000000000000000020000000000000000001",
        ),
        (add, exact("1E+20"), exact("1E-19"), "1" + "0" * 20 + "." + "0" * 18 + "1"),
        (subtract, exact("1E+20"), exact("1E-19"), "9" * 20 + "." + "9" * 19),
    ],
)
def test_forty_digits_are_carried(operation, a, b, expected):
    result = operation(a, b)
    assert result.low == result.high == D(expected)


@pytest.mark.parametrize(
    ("operation", "a", "b", "digits"),
    [
        (add, exact(6), exact(6), EXACT),  # nothing limits it
        (add, exact(1), point("0.05"), 3),  # 1.05
        (add, point("0"), point("0.050"), 2),  # a zero has no place of its own
        (subtract, point("8.63"), point("8.62"), 1),  # 0.01
        (subtract, point("8.625"), point("8.62"), 1),  # 0.005, surely not more than one digit
        (
            subtract,
            Quantity(D(7), D(7), "1", 3),
            Quantity(D(7), D(7), "1", 3),
            1,
        ),  # nothing is left
        (add, at_least("5.00"), at_most("6.00"), 1),  # nothing is known
        (add, point("995"), point("7.0"), 4),
    ],
)  # 1002, good to the ones
def test_digits_of_a_sum_by_hand(operation, a, b, digits):
    assert operation(a, b).digits == digits


def test_a_total_is_the_sum_of_all_in_the_first_unit():
    result = total(
        [
            Quantity(D(1), D(2), "g", 3, ("a",)),
            Quantity(D(10), D(20), "x", 3, ("b",)),
            Quantity(D(100), D(200), "x", 3, ("c",)),
        ]
    )
    assert (ends(result), result.unit, result.sources) == ((111, 222), "g", ("a", "b", "c"))


def test_nothing_known_has_no_envelope():
    assert envelope([]) is None


@pytest.mark.parametrize(
    ("quantities", "low", "high", "kind"),
    [
        ([at_least("170"), at_least("205")], "170", None, "at_least"),
        ([at_most("0.03"), at_most("0.08")], None, "0.08", "at_most"),
        ([at_least("100"), at_most("200")], "100", "200", "range"),
        (
            [at_least("200"), at_most("100")],
            "100",
            "200",
            "range",
        ),  # limits that contradict each other: anything between
        ([at_least("100"), at_most("100")], "100", "100", "range"),
        ([point("7.98"), point("7.98")], "7.98", "7.98", "typical"),
        ([point("7.98"), point("8.0")], "7.98", "8.0", "range"),
        (
            [point("7.98"), Quantity(D("7.98"), D("7.98"), "1", 3, ("s",), "range")],
            "7.98",
            "7.98",
            "range",
        ),
        ([span("140", "215"), span("150", "230")], "140", "230", "range"),
        (
            [Quantity(D(5), D(6)), at_least("3")],
            "5",
            "6",
            "range",
        ),  # a computed value counts before a limit
        ([at_least("3", source="memory")], "3", None, "at_least"),
        # worked out from a limit, beside what was worked out from values: open as before
        ([Quantity(D(5), D(6)), Quantity(D(3), None)], "3", None, "at_least"),
        ([Quantity(D(5), D(6)), Quantity(None, D(7))], None, "7", "at_most"),
    ],
)
def test_envelopes_by_hand(quantities, low, high, kind):
    found = envelope(quantities)
    assert (found.low, found.high, found.kind) == (
        None if low is None else D(low),
        None if high is None else D(high),
        kind,
    )


def test_an_envelope_has_the_most_digits_every_source_once_and_the_unit():
    found = envelope(
        [
            Quantity(D(140), D(215), "HV", 3, ("a", "b"), "range"),
            Quantity(D("150.5"), D("150.5"), "HV", 4, ("b", "c"), "typical"),
        ]
    )
    assert (found.digits, found.sources, found.unit, found.converted_from) == (
        4,
        ("a", "b", "c"),
        "HV",
        "",
    )


def test_an_envelope_is_converted_only_where_all_of_it_is():
    own, other = span("300", "310"), Quantity(D(300), D(320), "1", 2, ("s",), "range", "HRC")
    assert envelope([other]).converted_from == envelope([other, other]).converted_from == "HRC"
    assert envelope([other, own]).converted_from == ""


def test_a_zero_stays_as_it_was_typed():
    assert str(round_to(D("0.000"), 2)) == "0.000"


@pytest.mark.parametrize(
    ("number", "rounding", "expected"),
    [
        ("21.49", ROUND_FLOOR, "21.4"),
        ("21.41", ROUND_CEILING, "21.5"),
        ("-21.41", ROUND_FLOOR, "-21.5"),
        ("1.00", ROUND_CEILING, "1.00"),
    ],
)
def test_rounding_to_a_side(number, rounding, expected):
    assert str(round_to(D(number), 3, rounding)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1234567.5", "1\u202f234\u202f567.5"),
        ("0", "0"),
        ("-12345", "\u221212\u202f345"),
        ("1E-7", "0.0000001"),
    ],
)
def test_long_numbers_stand_in_threes(text, expected):
    assert number_text(D(text)) == expected


@pytest.mark.parametrize(
    ("quantity", "in_text", "in_table"),
    [
        (at_least("200"), "at least\u00a0200", "≥\u00a0200"),
        (at_most("0.03"), "at most\u00a00.03", "≤\u00a00.03"),
        (span("140", "215"), "140\u00a0to\u00a0215", "140–215"),
        (span("0", "5", 1), "0\u00a0to\u00a05", "0–5"),
        (span("0.5", "5", 1), "0.5\u00a0to\u00a05", "0.5–5"),
        (span("-5", "5", 1), "−5\u00a0to\u00a05", "−5\u00a0to\u00a05"),
        (point("7.98"), "7.98", "7.98"),
        (Quantity(D("2.5"), D("2.5"), "1", 1), "2", "2"),
        (Quantity(D("3.5"), D("3.5"), "1", 1), "4", "4"),
        (
            Quantity(D("24.98"), None, "1", 2),
            "at least\u00a024",
            "≥\u00a024",
        ),  # outwards: what is shown holds
        (Quantity(None, D("24.02"), "1", 2), "at most\u00a025", "≤\u00a025"),
        (Quantity(D(1234), D(1234), "1", 2), "1200", "1200"),
        (exact(100), "100", "100"),
        (exact("7.980"), "7.98", "7.98"),
        (Quantity(D(2) / 3, D(2) / 3), "0.666666666667", "0.666666666667"),
        (
            Quantity(D(1) / 3, D(2) / 3),
            "0.333333333333\u00a0to\u00a00.666666666667",
            "0.333333333333–0.666666666667",
        ),
        (Quantity(D(2) / 3, None), "at least\u00a00.666666666666", "≥\u00a00.666666666666"),
        (Quantity(None, D(1) / 3), "at most\u00a00.333333333334", "≤\u00a00.333333333334"),
    ],
)
def test_what_a_reader_sees(quantity, in_text, in_table):
    assert (shown(quantity), shown(quantity, table=True)) == (in_text, in_table)
