"""A piece made to a known recipe and weighed in water: the right metal stays, its neighbours of
other fineness fall out.

The densities come from the recipes by the mixture rule, worked out here with element densities of
the CRC Handbook of Chemistry and
Physics (97th edition, section 4: Au 19.3, Ag 10.5, Cu 8.96, Pt 21.5, Ru 12.1, Pd 12.0, Co 8.86).
The recipes of the colours 2N to 5N are
those usual in the trade (Au-Ag-Cu 750-160-90, 750-125-125, 750-90-160, 750-45-205; from memory, and
for 5N a jeweller's page);
950 platinum with 5 % of the second metal; silver 925 and 958.4 with copper.
"""

from decimal import Decimal as D

import pytest

from generator.verdicts import identify
from generator.verdicts.findings import Judge
from tests.elimination import Elimination

HANDBOOK = {
    "Au": D("19.3"),
    "Ag": D("10.5"),
    "Cu": D("8.96"),
    "Pt": D("21.5"),
    "Ru": D("12.1"),
    "Co": D("8.86"),
    "Ir": D("22.5"),
}
WATER = D("0.9982")  # g/cm3 at 20 degC
PIECES = [
    ("gold-18-yellow-2n", {"Au": 750, "Ag": 160, "Cu": 90}, D("15.59")),
    ("gold-18-yellow-3n", {"Au": 750, "Ag": 125, "Cu": 125}, D("15.45")),
    ("gold-18-rose-4n", {"Au": 750, "Ag": 90, "Cu": 160}, D("15.32")),
    ("gold-18-red-5n", {"Au": 750, "Ag": 45, "Cu": 205}, D("15.15")),
    ("platinum-950-ruthenium", {"Pt": 950, "Ru": 50}, D("20.7")),
    ("platinum-950-cobalt", {"Pt": 950, "Co": 50}, D("20.1")),
    ("platinum-950-iridium", {"Pt": 950, "Ir": 50}, D("21.5")),
    ("silver-925", {"Ag": 925, "Cu": 75}, D("10.37")),
    ("silver-958", {"Ag": D("958.4"), "Cu": D("41.6")}, D("10.43")),
]
OTHER_FINENESS = {
    "gold": ("gold-14-yellow", "gold-22-yellow", "gold-9-yellow", "brass-cuzn37"),
    "platinum": ("gold-18-white-palladium", "silver-925", "palladium-950"),
    "silver": ("palladium-950", "brass-cuzn37"),
}


def by_mixing(recipe: dict) -> D:
    return sum(map(D, recipe.values())) / sum(
        D(share) / HANDBOOK[metal] for metal, share in recipe.items()
    )


@pytest.fixture(scope="module")
def signs(knowledge, values):
    return Elimination(identify.data(knowledge, values, Judge(knowledge, values)))


@pytest.mark.parametrize(("metal", "recipe", "by_hand"), PIECES)
def test_the_rule_by_hand(metal, recipe, by_hand):
    assert abs(by_mixing(recipe) - by_hand) < D("0.06")


@pytest.mark.parametrize(("metal", "recipe", "by_hand"), PIECES)
def test_the_right_metal_stays_when_weighed_in_water(knowledge, signs, metal, recipe, by_hand):
    in_air = D("40.00")
    in_water = (in_air * (1 - WATER / by_mixing(recipe))).quantize(D("0.01"))
    weighed = signs.weighed(float(in_air), float(in_water), 20, 0.01)
    found = signs.identify({"density": [weighed["low"], weighed["high"]]})["bare"]
    assert metal in [e["id"] for e in found["left"]]
    family = knowledge.materials[metal].family
    out = {e["id"] for e in found["out"]}
    assert set(OTHER_FINENESS[family]) <= out, (
        f"{set(OTHER_FINENESS[family]) - out} stayed at {weighed['low']} to {weighed['high']}"
    )
