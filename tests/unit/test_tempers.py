"""Tempers on an invented base: a spring left unaged, and hardness that a solder takes away."""

import pytest

from generator.numbers.values import Values
from generator.records.loading import load
from generator.verdicts import wording
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import BESIDE, NO, OWN, PINCH, Ladder
from tests.conftest import FULL, SMALL, edit, make_root

STEEL, CASE = "alloys/full-steel.yaml", "parts/test-case.yaml"
ASKS = (
    "demands:\n  - {property: elastic-reach, at_least: 0.01, firm: false, why: it springs}\n"
    "  - {property: hardness, at_least: 10, unit: HV, firm: false, why: it must not bend}\n"
)


@pytest.fixture
def kin(tmp_path):
    """Both metals are of one family, so either gives the other a precedent."""
    root = make_root(tmp_path / "full", SMALL, FULL)
    edit(root, "alloys/test-steel.yaml", "family: austenitic-stainless", "family: carbon-steel")
    return root


def stands(root, state="tempered-hard", material="full-steel"):
    """The rung for the case, and what the reader is told."""
    knowledge, complaints = load(root)
    assert complaints == []
    ladder = Ladder(Judge(knowledge, Values(knowledge)))
    found = ladder.judgement("test-case", material, state)
    return found.rung, [r.replace("\u00a0", " ") for r in wording.reasons(knowledge, found)]


def of_ageing_metal(root, usual_state):
    """The case is a spring of full steel, which now hardens by ageing and has two hard states."""
    edit(root, CASE, "demands:\n", ASKS)
    edit(root, STEEL, "traits: [heat-hardens]", "traits: [age-hardens]")
    edit(
        root,
        STEEL,
        "tempering:\n",
        "  aged:\n    name: full aged\n    figures:\n"
        "      hardness: [{typical: 660, unit: HV, source: test-sheet}]\n"
        "  drawn:\n    name: full drawn\n    figures:\n"
        "      hardness: [{typical: 640, unit: HV, source: test-sheet}]\n"
        "tempering:\n",
    )
    edit(
        root,
        CASE,
        "why: it stands the sea}",
        f"why: w}}\n  - {{material: full-steel, state: {usual_state}, why: w}}",
    )


UNAGED = "not aged; the trade ages this metal for a spring, or it sets"


def test_a_spring_that_the_trade_ages_is_not_left_unaged(kin):
    of_ageing_metal(kin, "aged")
    assert stands(kin, "drawn") == (NO, [UNAGED])
    assert stands(kin, "aged")[0] == OWN


def test_nor_is_one_whose_family_the_trade_does_not_use(kin):
    of_ageing_metal(kin, "aged")
    edit(kin, CASE, "\n  - {material: full-steel, state: aged, why: w}", "")
    assert UNAGED in stands(kin, "drawn")[1]
    edit(kin, STEEL, "  aged:\n    name: full aged", "  harder:\n    name: full harder")
    assert UNAGED not in stands(kin, "drawn")[1]  # nobody knows it aged


def test_what_the_trade_uses_unaged_too_may_be_left_so(kin):
    of_ageing_metal(kin, "drawn")
    assert stands(kin, "drawn")[0] == OWN
    assert UNAGED not in stands(kin, "tempered-hard")[1]


def test_a_part_that_is_no_spring_may_be_left_unaged(kin):
    of_ageing_metal(kin, "aged")
    edit(kin, CASE, "property: elastic-reach, at_least: 0.01", "property: density, at_least: 1")
    assert UNAGED not in stands(kin, "drawn")[1]


def soldered(root):
    """The case asks 250 HV and is soldered; full steel has 650 HV and annealed at most 200."""
    edit(root, CASE, "demands:\n", "soldered: its lug\ndemands:\n")
    edit(root, CASE, "at_least: 120, unit", "at_least: 250, unit")
    edit(
        root,
        "alloys/test-steel.yaml",
        "{range: [140, 215], unit: HV",
        "{range: [300, 315], unit: HV",
    )


def test_hardness_that_a_solder_takes_away_is_told(kin):
    soldered(kin)
    told = (PINCH, ["soft again wherever solder heats it: at most 200 HV"])
    assert stands(kin) == told
    edit(kin, STEEL, "traits: [heat-hardens]", "traits: [age-hardens]")
    assert stands(kin)[0] == BESIDE  # ageing brings it back


def test_a_part_that_no_solder_reaches_keeps_its_hardness(kin):
    soldered(kin)
    edit(kin, CASE, "soldered: its lug\n", "")
    assert stands(kin)[0] == BESIDE


def test_what_goes_soft_like_a_usual_choice_is_no_shortfall(kin):
    soldered(kin)
    edit(
        kin,
        STEEL,
        "  tempered-hard:\n",
        "  drawn:\n    name: full drawn\n    figures:\n"
        "      hardness: [{typical: 640, unit: HV, source: test-sheet}]\n  tempered-hard:\n",
    )
    usual = "  - {material: full-steel, state: drawn, why: w}"
    edit(kin, CASE, "why: it stands the sea}", f"why: w}}\n{usual}")
    assert stands(kin)[0] == BESIDE
