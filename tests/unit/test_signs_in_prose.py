"""Units in sentences are written as readers expect (SI brochure, 5.4.1 and 5.4.3)."""

import pytest

from generator.site.texts import plain_text

SPACE = "\N{NO-BREAK SPACE}"


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("20 cm2 off a case", f"20{SPACE}cm² off a case"),
        ("a balance of 10 mg cm2", f"a balance of 10{SPACE}mg cm²"),
        ("is 0.02 cm3;", f"is 0.02{SPACE}cm³;"),
        ("carries 0.46 mm2.", f"carries 0.46{SPACE}mm²."),
        ("15.45 g/cm3", f"15.45{SPACE}g/cm³"),
        ("15.6 N.mm at the driver", f"15.6{SPACE}N·mm at the driver"),
        ("1.6 N.cm, 5 mN.m", f"1.6{SPACE}N·cm, 5{SPACE}mN·m"),
        ("parts 1 N. More of it", "parts 1 N. More of it"),
    ],
)
def test_powers_and_products_of_units(typed, read):
    assert plain_text(typed) == read
