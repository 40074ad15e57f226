"""Verdicts: each word comes from the right reason, and one changed figure changes the right verdicts and no others."""

from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.checking import check
from generator.figures import Quantity
from generator.values import Values
from generator.verdicts import CANNOT_SAY, CARE, IN_PART, MET, MISSED, SUITS, UNFIT, Judge, Verdicts, combine, compare, pair


def quantity(low, high):
    return Quantity(None if low is None else D(low), None if high is None else D(high), "HV", 3, ("s",), "range")


@pytest.mark.parametrize(("low", "high", "at_least", "outcome"), [
    (150, 200, 120, MET), (150, 200, 180, IN_PART), (150, 200, 250, MISSED), (150, 150, 150, MET),
    (200, None, 200, MET), (200, None, 250, MISSED),  # more than the minimum is not promised
    (None, 215, 120, IN_PART), (None, 215, 300, MISSED)])
def test_a_figure_against_a_minimum(low, high, at_least, outcome):
    assert compare(quantity(low, high), D(at_least), None)[0] == outcome


@pytest.mark.parametrize(("low", "high", "at_most", "outcome"), [
    (150, 200, 200, MET), (150, 200, 180, IN_PART), (150, 200, 120, MISSED), (None, 215, 215, MET), (None, 215, 200, MISSED), (200, None, 300, IN_PART)])
def test_a_figure_against_a_maximum(low, high, at_most, outcome):
    assert compare(quantity(low, high), None, D(at_most))[0] == outcome


def judged(root):
    knowledge, complaints = check(root)
    assert [str(c) for c in complaints] == []
    return Judge(knowledge, Values(knowledge))


def edit(root, file, old, new):
    path = root / "knowledge" / file
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def verdicts_of(root):
    from generator.linking import load
    knowledge, _ = load(root)
    judge = Judge(knowledge, Values(knowledge))
    return {(f.part, f.material, f.state): f.verdict for cells in Verdicts(knowledge, judge.values).cells.values() for f in cells}


def test_the_small_case(small):
    judge = judged(small)
    assert judge.fit("test-case", "test-steel", "annealed").verdict == SUITS
    assert judge.fit("test-case", "test-brass").verdict == UNFIT  # the sea eats it
    assert judge.exposure("test-sea", "test-brass").rule.mechanism == "dezincification"
    assert judge.exposure("test-sea", "test-steel", "annealed").verdict == "holds"


STEEL = ("test-case", "test-steel", "annealed")


@pytest.mark.parametrize(("file", "old", "new", "changed"), [
    ("alloys/test-steel.yaml", "range: [140, 215]", "range: [100, 215]", {STEEL: CARE}),
    ("alloys/test-steel.yaml", "range: [140, 215]", "range: [100, 110]", {STEEL: UNFIT}),
    ("alloys/test-steel.yaml", "hardness: [{range: [140, 215], unit: HV, source: test-sheet}]", "hardness: [{range: [140, 215], unit: HV, source: memory}]", {STEEL: CANNOT_SAY}),
    ("alloys/test-steel.yaml", "turn: {rating: with-care}", "turn: {rating: badly}", {STEEL: UNFIT}),
    ("hazards/test-sea.yaml", "{families: [brass]}, verdict: fails", "{families: [brass]}, verdict: holds", {("test-case", "test-brass", None): CANNOT_SAY}),
    ("alloys/test-steel.yaml", "typical: 7.98", "typical: 7.95", {}),
])
def test_one_edit_changes_the_right_verdicts_and_no_others(small, file, old, new, changed):
    before = verdicts_of(small)
    edit(small, file, old, new)
    after = verdicts_of(small)
    assert {k: v for k, v in after.items() if v != before[k]} == changed


def test_the_build_names_the_figure_that_contradicts_the_trade(small):
    edit(small, "alloys/test-steel.yaml", "range: [140, 215]", "range: [100, 110]")
    assert [str(c) for c in check(small)[1]] == [
        "knowledge/parts/test-case.yaml:11:5: usual says test-steel, annealed, the verdict is 'does not suit' "
        "(hardness at least 120 HV: misses, found 100 to 110 HV); mend the figure, the demand, the hazard's rule or the choice"]


def test_a_wrong_material_that_comes_out_fit_is_a_fault(small):
    edit(small, "parts/test-case.yaml", "test-brass, why: it is eaten", "test-steel, why: it is not")
    edit(small, "parts/test-case.yaml", "usual:\n  - {material: test-steel, state: annealed", "usual:\n  - {material: test-steel")
    edit(small, "parts/test-case.yaml", "wrong:\n  - {material: test-steel", "wrong:\n  - {material: test-steel, state: annealed")
    assert [c.rule for c in check(small)[1]] == ["verdict_contradicts_the_trade"]


@given(st.integers(1, 400), st.integers(0, 100), st.integers(1, 500), st.integers(0, 300))
def test_more_hardness_never_turns_a_met_minimum_into_a_missed_one(low, width, demand, raised):
    order = (MET, IN_PART, MISSED)
    before = compare(quantity(low, low + width), D(demand), None)[0]
    after = compare(quantity(low + raised, low + width + raised), D(demand), None)[0]
    assert order.index(after) <= order.index(before)


def test_another_demand_never_widens_the_set(knowledge, values):
    judge = Judge(knowledge, values)
    order = (SUITS, CARE, CANNOT_SAY, UNFIT)
    for part in knowledge.parts:
        for fit in Verdicts(knowledge, judge.values).fits(part):
            for n in range(len(fit.answers)):
                fewer = combine(fit.answers[:n], fit.meets, fit.exposures)
                assert order.index(fewer) <= order.index(fit.verdict) or {fewer, fit.verdict} == {CANNOT_SAY, UNFIT}


def test_the_order_of_files_changes_nothing(small):
    first = verdicts_of(small)
    for folder, old, new in (("alloys", "test-brass.yaml", "a.yaml"),):
        path = small / "knowledge" / folder / old
        text = path.read_text()
        path.unlink()
        (path.parent / old).write_text(text)
    assert verdicts_of(small) == first


def test_a_pair_by_the_anodic_index(knowledge, values):
    found = pair(values, "gold-18-yellow-3n", "silver-925")
    assert found.difference == D("0.15")  # gold 0.00, silver 0.15 in the compatible-couples table
    assert found.attacked == "silver-925"
    assert found.allowed == ("harsh", "damp", "dry")
