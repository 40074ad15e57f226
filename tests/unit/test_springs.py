"""What springs and grips ask for: worked out from strength and stiffness, on an invented steel, and
the tables of the shipped base by hand."""

from decimal import Decimal

import pytest

from generator.numbers.quantities import shown
from generator.numbers.values import Values
from generator.records.loading import load
from generator.verdicts.findings import MISSED, Judge
from tests.conftest import FULL, SMALL, edit, make_root

STEEL = "alloys/full-steel.yaml"
MODULUS = "elastic-modulus: [{typical: 205, source: memory}]"


@pytest.fixture
def full(tmp_path):
    root = make_root(tmp_path / "full", SMALL, FULL)
    edit(root, STEEL, MODULUS, MODULUS.replace("205, source: memory", "200, source: full-book"))
    return root


def worked_out(root, prop, state="tempered-hard"):
    knowledge, complaints = load(root)
    assert complaints == []
    return Values(knowledge).of("full-steel", prop, state)


def test_reach_and_store_follow_from_proof_strength_and_stiffness(full):
    """1500 MPa at 200 GPa: 1500/200 = 7.5 thousandths, 1500^2/(2 x 200 000) = 5.625 MJ/m3; a
    guaranteed minimum stays one."""
    reach, store = (worked_out(full, f"elastic-{p}") for p in ("reach", "store"))
    assert (reach.low, reach.high, reach.unit) == (Decimal("0.75"), None, "%")
    assert (store.low, store.high, store.unit) == (Decimal("5.625"), None, "MJ/m3")
    assert (reach.evidence, store.evidence) == ("computed", "computed")


def test_without_a_proof_strength_tensile_strength_gives_a_highest_value(full):
    edit(full, STEEL, "proof-strength:", "tensile-strength:")
    edit(full, STEEL, "at_least: 1500", "range: [1600, 1800]")
    reach, store = (worked_out(full, f"elastic-{p}") for p in ("reach", "store"))
    assert (reach.low, reach.high) == (None, Decimal("0.9"))
    assert (store.low, store.high) == (None, Decimal("8.1"))


def test_a_highest_proof_strength_gives_a_highest_value(full):
    edit(full, STEEL, "at_least: 1500", "at_most: 1500")
    store = worked_out(full, "elastic-store")
    assert (store.low, store.high) == (None, Decimal("5.625"))


def test_a_lowest_tensile_strength_alone_says_nothing(full):
    edit(full, STEEL, "proof-strength:", "tensile-strength:")
    assert worked_out(full, "elastic-reach") is None


def rows(computed, table):
    found = {}
    for row in computed[table].rows:
        said = shown(row.cells[table].value).replace("\u00a0", " ")
        found[row.material, row.state] = said
    return found


def test_the_tables_of_reach_and_store_by_hand(computed):
    """CuBe2 hard aged: 1150 to 1450 MPa, 135 GPa. C100S blue: 1860 MPa tensile, 207 GPa. CuZn37
    hard: 430 MPa, 99 to 115 GPa; ends are cut outwards."""
    reach, store = (rows(computed, f"elastic-{t}") for t in ("reach", "store"))
    assert reach["beryllium-copper-cube2", "hard-aged"] == "0.851 to 1.075"
    assert store["beryllium-copper-cube2", "hard-aged"] == "4.89 to 7.79"
    assert reach["steel-c100s", "tempered-blue"] == "at most 0.8986"
    assert store["steel-c100s", "tempered-blue"] == "at most 8.357"
    assert reach["brass-cuzn37", "hard"] == "0.3739 to 0.4344"


def test_what_is_surely_springy_stands_before_what_may_be(computed):
    found = computed["elastic-reach"].rows
    known = [r.cells["elastic-reach"].value.low is not None for r in found]
    assert known == sorted(known, reverse=True)


def test_blade_steel_stores_too_little_for_a_mainspring(knowledge, values):
    """1579 MPa and 200 to 220 GPa give 5.7 to 6.2 MJ/m3; common practice: nobody makes a
    mainspring of it, while its tensile strength alone, 2022 MPa, would let it pass."""
    asked = knowledge.parts["mainspring"].demands
    (index,) = (i for i, d in enumerate(asked) if d.property == "elastic-store")
    judge = Judge(knowledge, values)
    answer = judge.answers("mainspring", "stainless-420-1-4034", "tempered-hard")[index]
    assert answer.outcome == MISSED
    assert judge.answers("mainspring", "steel-c100s", "tempered-blue")[index].outcome != MISSED
