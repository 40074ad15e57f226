"""Bars beside figures: ends worked out by hand on a scale from 0 to 1000."""

from decimal import Decimal as D

import pytest

from generator.numbers.quantities import Quantity
from generator.site.pictures.bars import bar, scale_of
from generator.site.pictures.drawing import apart


def quantity(low, high):
    return Quantity(None if low is None else D(low), None if high is None else D(high), "HV", 3)


@pytest.mark.parametrize(
    ("low", "high", "start", "width", "goes_on"),
    [
        (160, 200, "16.0", "4.0", False),
        (500, 500, "50.0", "2.0", False),
        (1000, 1000, "98.0", "2.0", False),
        (200, None, "20.0", "80.0", True),
        (None, 215, "0.0", "21.5", True),
        (900, 3000, "90.0", "10.0", True),
        (2000, 3000, "98.0", "2.0", True),
    ],
)
def test_where_a_bar_begins_and_ends(low, high, start, width, goes_on):
    assert bar(quantity(low, high), D(1000)) == (start, width, goes_on)


def test_the_scale_ends_at_the_greatest_closed_end():
    assert scale_of([quantity(160, 200), quantity(430, None), quantity(None, 215)]) == 430
    assert scale_of([]) == 1


def test_labels_along_a_line_never_touch():
    """With 50 between labels: 30 is too near to 0, 60 has room, 80 is too near to 60, 170 is too
    near to the end at 200."""
    assert apart([0, 30, 60, 80, 115, 170, 200], 50) == {0, 2, 4, 6}
    assert apart([0, 10], 50) == {0, 1}
