"""Facts of the trade (common practice, no source) that the computed tables and verdicts must
show."""

import pytest

from generator.verdicts.findings import Judge
from generator.verdicts.rungs import NO, OFFERED, OWN

pytestmark = pytest.mark.external

MOVEMENT_STEELS = [
    ("steel-free-cutting-1c", "tempered-hard"),
    ("steel-52100", "tempered-hard"),
    ("steel-o1", "tempered-hard"),
]


def density(values, material):
    return values.of(material, "density")


def test_case_metals_from_heavy_to_light(values):
    order = ["platinum-950-ruthenium", "gold-18-yellow-3n", "stainless-316l", "titanium-grade-5"]
    for heavier, lighter in zip(order, order[1:], strict=False):
        assert density(values, heavier).low > density(values, lighter).high, (heavier, lighter)


def test_the_case_mass_table_is_in_that_order(computed):
    rows = [r.material for r in computed["case-mass"].rows]
    order = ["platinum-950-ruthenium", "gold-18-yellow-3n", "stainless-316l", "titanium-grade-5"]
    assert sorted(order, key=rows.index) == order


def test_24_carat_is_pure_and_18_carat_is_750(computed):
    arithmetic = {
        int(r.cells["named"].low): float(r.cells["arithmetic"].value.low)
        for r in computed["fineness"].rows
        if "named" in r.cells
    }
    assert arithmetic[24] == 1000
    assert arithmetic[18] == 750


def test_gold_plate_is_thicker_than_flash_and_rhodium(computed):
    """Classes of ISO 10713: A from 5, B from 3, C from 0.5 micrometres of fine gold; below that it
    is gilt."""
    rows = [(r.material, r.cells["thickness"]) for r in computed["coating-thickness"].rows]
    assert {float(q.low) for m, q in rows if m == "gold-hard-plate" and q.kind == "at_least"} == {
        5,
        3,
        0.5,
    }
    assert max(float(q.high) for m, q in rows if m in ("rhodium-plate", "gold-flash")) <= 0.5


def test_titanium_grade_5_is_stronger_for_its_weight_than_316l(computed):
    rows = {
        (r.material, r.state): r.cells["specific"].value for r in computed["specific-strength"].rows
    }
    titanium = min(q.low for (m, _), q in rows.items() if m == "titanium-grade-5")
    steel = rows["stainless-316l", "annealed"]
    assert titanium > (steel.high or steel.low)


@pytest.mark.parametrize(("material", "state"), MOVEMENT_STEELS)
def test_case_steel_in_any_state_is_far_softer_than_hardened_movement_steel(
    knowledge, values, material, state
):
    hard = values.of(material, "hardness", state, "HV")
    assert hard.low > 550
    for own in knowledge.materials["stainless-316l"].states:
        soft = values.of("stainless-316l", "hardness", own, "HV")
        if soft:
            assert hard.low > 1.3 * float(soft.high), own


def test_beryllium_copper_expands_about_as_much_as_brass(values):
    """A common saying claims that it does not expand."""
    copper, brass = (
        values.of("beryllium-copper-cube2", "expansion"),
        values.of("brass-cuzn39pb3", "expansion"),
    )
    assert float(copper.middle) == pytest.approx(float(brass.middle), rel=0.25)
    assert copper.low > 16


@pytest.fixture(scope="module")
def ladder(verdicts):
    return verdicts.ladder


def rungs(ladder, part, material):
    """Where a material stands for a part, in all its states."""
    states = ladder.knowledge.materials[material].states or (None,)
    return {ladder.judgement(part, material, s).rung for s in states}


@pytest.mark.parametrize("part", ["case-middle", "crown", "case-screw"])
def test_316l_suits_the_outside(ladder, part):
    assert rungs(ladder, part, "stainless-316l") & set(OFFERED)


@pytest.mark.parametrize("part", ["train-pinion", "movement-screw"])
def test_316l_does_not_suit_pinions_and_movement_screws(ladder, part):
    found = rungs(ladder, part, "stainless-316l")
    assert NO in found
    assert not found & set(OFFERED)


@pytest.mark.parametrize("part", ["train-pinion", "movement-screw"])
@pytest.mark.parametrize("material", ["steel-free-cutting-1c", "stainless-420-1-4034"])
def test_hardened_steel_suits_pinions_and_movement_screws(ladder, part, material):
    assert rungs(ladder, part, material) & set(OFFERED)


def test_carbon_steel_does_not_suit_the_outside(ladder):
    for part in ("case-middle", "case-back", "crown", "bracelet-link"):
        assert rungs(ladder, part, "steel-free-cutting-1c") == {NO}, part


def test_fine_gold_is_too_soft_for_a_case_and_18_carat_is_not(ladder):
    assert rungs(ladder, "case-middle", "gold-24") == {NO}
    assert rungs(ladder, "case-middle", "gold-18-yellow-3n") & set(OFFERED)


def test_a_balance_spring_wants_a_constant_modulus_alloy(ladder):
    assert rungs(ladder, "balance-spring", "alloy-constant-modulus") & set(OFFERED)
    assert rungs(ladder, "balance-spring", "stainless-316l") == {NO}
    assert rungs(ladder, "balance-spring", "brass-cuzn37") == {NO}


def test_beryllium_copper_suits_a_plain_balance_and_brass_the_plates(ladder):
    assert rungs(ladder, "balance-wheel", "beryllium-copper-cube2") & set(OFFERED)
    assert rungs(ladder, "main-plate", "brass-cuzn39pb3") & set(OFFERED)


def test_stabilised_red_gold_holds_better_in_chlorinated_water(knowledge, values):
    judge, order = (
        Judge(knowledge, values),
        ("holds", "holds-with-care", "unknown", "suffers", "fails"),
    )
    plain = judge.exposure("pool-chlorine", "gold-18-red-5n", "annealed").verdict
    stabilised = judge.exposure("pool-chlorine", "gold-18-red-stabilised", "annealed").verdict
    assert order.index(stabilised) < order.index(plain)


def test_a_coated_part_is_judged_for_the_day_it_is_worn_through(ladder):
    """Nickel-plated brass plates: the plating stands the damp, the brass below tarnishes (common
    practice)."""
    plate = ladder.knowledge.parts["main-plate"]
    choice = next(c for c in plate.usual if c.coated == "nickel-plate")
    key = ("main-plate", choice.material, choice.state, choice.coated)
    assert ladder.judgement(*key).rung == OWN
    found = ladder.judge.findings(*key)
    damp = [m.hazard for m in found.meets].index("humidity-inside")
    assert (found.exposures[damp].verdict, found.worn[damp].verdict) == (
        "holds-with-care",
        "suffers",
    )


def test_pitting_ranks_of_the_case_steels(knowledge, values, computed):
    """IMOA and producers: 304 about 19, 316L about 24, 904L about 35. Ranked by the lowest
    composition."""
    lowest = {r.material: r.cells["index"].value.low for r in computed["pitting-index"].rows}
    assert lowest["stainless-304"] < lowest["stainless-316l"] < lowest["stainless-904l"]
    assert 17 <= lowest["stainless-304"] <= 19
    assert 32 <= lowest["stainless-904l"] <= 36


STAGES = [  # common practice: steel as quenched is tempered, spring and bearing alloys are aged
    ("steel-free-cutting-1c", "hardened"),
    ("steel-silver-115crv3", "hardened"),
    ("steel-silver-115crv3", "failed-hardening"),
    ("steel-c75s", "hardened"),
    ("steel-52100", "hardened"),
    ("stainless-440c", "hardened"),
    ("stainless-420-1-4034", "hardened"),
    ("stainless-17-4ph", "solution-annealed"),
    ("beryllium-copper-cube2", "solution-annealed"),
]


@pytest.mark.parametrize(("material", "state"), STAGES)
def test_a_stage_of_the_work_is_offered_for_no_part(ladder, material, state):
    parts = ladder.knowledge.parts
    assert {ladder.judgement(part, material, state).rung for part in parts} == {NO}


def test_fine_gold_nowhere_stands_beside_what_the_trade_uses(verdicts):
    """Pure gold is too soft to be made into parts, so it is alloyed (C. W. Corti, "Strong 24 carat
    golds", introduction: 20 to 30 HV soft, 50 to 80 HV cold worked, too soft for jewellery)."""
    found = [
        (p, j) for p, cells in verdicts.cells.items() for j in cells if j.material == "gold-24"
    ]
    assert {p for p, j in found} >= {"dial", "rotor-weight"}
    assert {j.rung for _, j in found} <= {"pinch", "paper", "no"}
    for part, j in found:
        if j.rung == "pinch":
            assert ("trait", "very-soft") in {(s.kind, s.key) for s in j.shortfalls}, part


def test_what_is_very_soft_is_so_in_its_hardest_state(knowledge, values):
    """Below 90 HV or HBW worked as hard as it gets; copper and silver, which are used soft, are
    not: cold rolled they pass 100 HV (makers' sheets in their records)."""
    for name, material in knowledge.materials.items():
        hardest = [
            q.high
            for state in (material.states or (None,))
            for unit in ("HV", "HBW")
            if (q := values.of(name, "hardness", state, unit)) and q.high is not None
        ]
        if "very-soft" in material.traits:
            assert hardest and max(hardest) < 90, name
    assert "very-soft" not in knowledge.materials["copper-pure"].traits
