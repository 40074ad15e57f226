"""What a person types as a number is read the same way on the page and on the command line, or
refused in words. Readings written by hand, before either parser was run on them."""

from decimal import Decimal as D
from pathlib import Path

import pytest
from py_mini_racer import MiniRacer

from generator.numbers.typed import typed

ASSETS = Path(__file__).parents[2] / "site_src" / "pages" / "assets"

READ = [
    ("7.9", "7.9", "7.9"),
    ("7,9", "7.9", "7.9"),
    (" 7.9 ", "7.9", "7.9"),
    (".79", "0.79", "0.79"),
    (".030", "0.030", "0.030"),
    ("7.", "7", "7"),
    ("0,5", "0.5", "0.5"),
    ("+3", "3", "3"),
    ("-3.5", "-3.5", "-3.5"),
    ("\u22123.5", "-3.5", "-3.5"),
    ("28 800", "28800", "28800"),
    ("28\u202f800", "28800", "28800"),
    ("28\u00a0800", "28800", "28800"),
    ("28'800", "28800", "28800"),
    ("28\u2019800", "28800", "28800"),
    ("1,234.5", "1234.5", "1234.5"),
    ("12,5", "12.5", "12.5"),
    ("1,23", "1.23", "1.23"),
    ("1,2345", "1.2345", "1.2345"),
    ("1e-3", "1e-3", "1e-3"),
    ("2.5E4", "2.5E4", "2.5E4"),
    ("7.9 to 8.0", "7.9", "8.0"),
    ("8.0 to 7.9", "7.9", "8.0"),
    ("7.9..8.0", "7.9", "8.0"),
    ("7.9...8.0", "7.9", "8.0"),
    ("7.9\u20138.0", "7.9", "8.0"),
    ("7.9 \u2013 8.0", "7.9", "8.0"),
    ("7.9-8.0", "7.9", "8.0"),
    ("7.9 - 8.0", "7.9", "8.0"),
    ("7.9\u20148.0", "7.9", "8.0"),
    ("7.9\u20268.0", "7.9", "8.0"),
    ("560-600", "560", "600"),
    ("7,9-8,0", "7.9", "8.0"),
    (".5-.6", "0.5", "0.6"),
    ("-3 to 5", "-3", "5"),
    ("-3-5", "-3", "5"),
    ("7.95\u00b10.05", "7.90", "8.00"),
    ("7.95 \u00b1 0.05", "7.90", "8.00"),
    ("7.95+/-0.05", "7.90", "8.00"),
    ("20 \u00b1 2", "18", "22"),
]
ASKED = ["1,234", "4,800", "16,000", "1,500", "-1,234", "1,234,567", "1,234 to 2,000", "5 to 1,234"]
REFUSED = [
    "",
    "lots",
    "7.9.8",
    "7/8",
    "1..2..3",
    "1 2 3 4",
    "NaN",
    "Infinity",
    "1e309",
    "--5",
    "7.9 to",
    "to 8",
    "<b>",
    "0x10",
    "1_000",
    ">7.9",
    "28.8k",
    "\u0661\u0662",
    "12345678901234",
    ",5,",
    ".",
    "-",
    "5 \u00b1",
]


ANY = {"id": "1", "range": ["-1e30", "1e30"], "example": "25", "shown": "", "unit": ""}


@pytest.fixture(scope="module")
def page():
    engine = MiniRacer()
    engine.eval("globalThis.benchUnits = {scales: {}, spellings: {}, asked: {}};")
    for script in ("vendor/decimal.js", "forms.js"):
        engine.eval((ASSETS / script).read_text(encoding="utf-8"))
    engine.eval(
        """
        function reading(text, symbol) {
          const q = benchForms.read(text, symbol);
          return q.fault ? q.fault : [q.low.toFixed(), q.high.toFixed()].join(" ");
        }
        """
    )
    return engine


@pytest.mark.parametrize(("text", "low", "high"), READ)
def test_a_number_or_a_range_is_read(page, text, low, high):
    found = typed(text)
    assert (found.low, found.high) == (D(low), D(high))
    ends = page.call("reading", text, ANY).split()
    assert [D(end) for end in ends] == [D(low), D(high)]


def refusal(text):
    with pytest.raises(ValueError) as caught:
        typed(text)
    return str(caught.value)


@pytest.mark.parametrize("text", ASKED)
def test_a_comma_that_may_be_a_point_is_asked_about(page, text):
    assert "can mean two numbers; type " in refusal(text)
    assert page.call("reading", text, ANY) == refusal(text)


@pytest.mark.parametrize("text", REFUSED)
def test_what_is_no_number_is_refused_and_told_how_to_type_it(page, text):
    assert "type " in refusal(text)
    assert page.call("reading", text, ANY) == refusal(text)


def test_the_question_names_both_numbers(page):
    assert "type 1234 or 1.234" in refusal("1,234")
    assert "type 1234 or 1.234." in page.call("benchForms.one", "1,234")["ask"]
