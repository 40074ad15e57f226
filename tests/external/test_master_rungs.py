"""Rungs that a master watchmaker would sign, written down before the rules behind them were mended.

Common practice, each with its ground; where a list of the trade says the same, it is named.
"""

import pytest

from generator.verdicts.rungs import NO, OFFERED, PINCH, Ladder
from tests.conftest import shipped

# 22 ct is hard by cold work alone (its producer's sheet: no hardening by heat), and lugs, hinges
# and bows of gold are soldered: some of it is sold, nobody calls it as good as 18 ct.
# trade_choices_b calls it never for links, buckles and backs and acceptable for a case.
SOFT_GOLD = (
    "case-middle",
    "case-back",
    "bezel",
    "lug",
    "bracelet-link",
    "buckle",
    "clasp",
    "crown",
)


@pytest.mark.parametrize("part", SOFT_GOLD)
def test_cold_worked_22_ct_is_for_a_pinch_where_solder_reaches(part):
    found = judged(part, "gold-22-yellow", "cold-worked")
    assert found.rung == PINCH
    assert [s.kind for s in found.shortfalls] == ["solder"]


@pytest.mark.parametrize(
    ("part", "material", "state", "rungs"),
    [
        # Cracks at a slot and crazes in the cleaner; rings are of acetal or ABS.
        ("movement-ring", "acrylic-pmma", None, (PINCH,)),
        # Formed, then aged; not aged it sets (trade_choices_a and b: never).
        ("mainspring", "alloy-co-cr-ni", "cold-worked", (NO,)),
        ("mainspring/blue-spring", "alloy-co-cr-ni", "cold-worked", (NO,)),
        ("setting-lever-spring", "alloy-co-cr-ni", "cold-worked", (NO,)),
        ("setting-lever-spring", "stainless-spring-1-4568", "half-hard", (NO,)),
        # Gives off acid and softener; never shut in with a movement.
        ("movement-ring", "pvc-plastic", None, (NO,)),
        ("date-ring", "pvc-plastic", None, (NO,)),
        ("crystal-gasket", "pvc-plastic", None, (NO,)),
        # Worn through in a lug hole long before it breaks.
        ("spring-bar", "silver-925", "aged", (NO,)),
        ("spring-bar", "gold-22-yellow", "cold-worked", (NO,)),
        ("bracelet-pin", "gold-18-yellow-3n", "annealed", (NO,)),
        ("spring-bar", "stainless-implant-1-4441", "spring-hard", OFFERED),
        # Cases of palladium are made and hallmarked (trade_choices_a and b: acceptable).
        ("case-middle", "palladium-950", "cold-worked", OFFERED),
        ("case-middle", "palladium-950", "annealed", OFFERED),
        ("case-back", "palladium-950", "cold-worked", OFFERED),
        ("bezel", "palladium-950", "cold-worked", OFFERED),
        # Never a movement part (trade_choices_a and b: never or a curiosity).
        ("balance-spring", "palladium-950", "cold-worked", (NO,)),
        # Soft platinum as a screw: one sort as good or bad as the other.
        ("case-screw", "platinum-950-cobalt", "annealed", (PINCH,)),
        ("case-screw", "platinum-950-ruthenium", "annealed", (PINCH,)),
        ("spring-bar", "platinum-950-cobalt", "annealed", (NO,)),
        ("spring-bar", "platinum-950-ruthenium", "annealed", (NO,)),
    ],
)
def test_what_a_master_would_sign(part, material, state, rungs):
    assert judged(part, material, state).rung in rungs


def judged(part, material, state):
    ladder: Ladder = shipped().ladder
    return ladder.judgement(part, material, state)


def test_a_strength_without_its_state_decides_nothing():
    """A casting house prints 64,000 and 66,000 psi and no state; what the hardness gives counts."""
    for material in ("platinum-950-cobalt", "platinum-950-ruthenium"):
        found = shipped().judge.values.of(material, "tensile-strength", "annealed")
        assert found.evidence == "computed", material
