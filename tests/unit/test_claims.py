"""What sayings and answers rest on: sums and contents that come out, and such that must not."""

from __future__ import annotations

import pytest

from generator.checks.claims import broken_grounds
from generator.records import models
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import Ladder


def faults(knowledge, values, **grounds) -> list[str]:
    """What the checker says of the grounds."""
    ladder = Ladder(Judge(knowledge, values))
    return [fault for _, fault in broken_grounds(ladder, models.Grounds(**grounds))]


# Ten metres of sea water of 1025 kg/m3 weigh 100.5 kPa on their foot: school physics, g = 9.80665.
TEN_METRES = {"formula": "depth-to-pressure", "inputs": {"h": "10", "rho": "1025"}}


@pytest.mark.parametrize(
    ("claim", "wrong"),
    [
        ({"relation": "about", "number": "1.005", "within_percent": "0.5"}, ""),
        ({"relation": "above", "number": "1"}, ""),
        ({"relation": "below", "number": "1"}, "is not below 1"),
        ({"relation": "about", "number": "2", "within_percent": "5"}, "is not about 2"),
    ],
)
def test_a_sum_comes_out_or_is_a_fault(knowledge, values, claim, wrong):
    found = faults(knowledge, values, sums=[TEN_METRES | claim])
    assert [wrong in f for f in found] == ([True] if wrong else [])


def test_a_sum_names_the_symbol_that_is_missing(knowledge, values):
    claim = {"formula": "depth-to-pressure", "inputs": {"h": "10"}, "relation": "above"}
    (found,) = faults(knowledge, values, sums=[claim | {"number": "1"}])
    assert found == "depth-to-pressure needs exactly h, rho; it has h"


def test_a_sum_takes_figures_of_materials(knowledge, values):
    """Titanium has little more than half the density of steel: any handbook, 4.4 to 7.9 g/cm3."""
    claim = {
        "formula": "density-ratio",
        "figures": {
            "rho": {"material": "titanium-grade-5", "property": "density"},
            "rho_ref": {"material": "stainless-316l", "property": "density"},
        },
        "relation": "about",
        "number": "0.56",
        "within_percent": "3",
    }
    assert faults(knowledge, values, sums=[claim]) == []
    (found,) = faults(knowledge, values, sums=[claim | {"number": "0.7"}])
    assert "is not about 0.7" in found


def test_listed_figures_of_a_process(knowledge, values):
    """Colvin and Juthe, The Working of Steel (1921): the same dark blue at 660 degF in 8 minutes
    (349 degC) and at 490 degF in an hour (254 degC)."""
    quick = {"process": "blue-steel-by-heat", "what": "dark blue if held 8 minutes"}
    slow = {"process": "blue-steel-by-heat", "what": "dark blue if held 1 hour"}
    assert (
        faults(knowledge, values, listed=[{"left": quick, "relation": "above", "right": slow}])
        == []
    )
    (found,) = faults(
        knowledge, values, listed=[{"left": quick, "relation": "below", "right": slow}]
    )
    assert found == "349 °C is not below 254 °C"
    gone = quick | {"what": "sky blue"}
    (found,) = faults(
        knowledge, values, listed=[{"left": gone, "relation": "above", "number": "1"}]
    )
    assert found == "'sky blue' of blue-steel-by-heat is not known"


@pytest.mark.parametrize(
    ("material", "element", "bound", "sound"),
    [  # EN 10088-1 for 316L: 10 to 13 % nickel; 115CrV3 is a carbon steel without silver
        ("stainless-316l", "Ni", {"at_least": "10"}, True),
        ("stainless-316l", "Ni", {"at_most": "5"}, False),
        ("steel-silver-115crv3", "Ag", {"at_most": "0"}, True),
        ("silver-925", "Ag", {"at_most": "0"}, False),
        ("nickel-silver-cuni18zn20", "Ni", {"range": ["15", "20"]}, True),
    ],
)
def test_contents(knowledge, values, material, element, bound, sound):
    claim = {"material": material, "element": element} | bound
    found = faults(knowledge, values, shares=[claim])
    assert (found == []) is sound
    assert all(f.startswith(f"{material} holds ") for f in found)


def test_every_saying_rests_on_something_that_the_build_checks(knowledge):
    grounds = {k: r.rests_on for k, r in knowledge.sayings.items()}
    assert not [
        k for k, g in grounds.items() if not any(getattr(g, n) for n in type(g).model_fields)
    ]
