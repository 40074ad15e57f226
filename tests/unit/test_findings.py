"""What materials answer to the demands of parts, and what hazards do to them: one changed figure
changes the one answer."""

from decimal import Decimal as D

import pytest

from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
from generator.records.loading import load
from generator.verdicts.findings import IN_PART, MET, MISSED, UNKNOWN, Judge, compare
from tests.conftest import FULL, SMALL, edit, make_root


def quantity(low, high):
    return Quantity(
        None if low is None else D(low), None if high is None else D(high), "HV", 3, ("s",), "range"
    )


@pytest.mark.parametrize(
    ("low", "high", "at_least", "outcome"),
    [
        (150, 200, 120, MET),
        (150, 200, 180, IN_PART),
        (150, 200, 250, MISSED),
        (150, 150, 150, MET),
        (200, None, 200, MET),
        (200, None, 250, MISSED),  # more than the minimum is not promised
        (None, 215, 120, IN_PART),
        (None, 215, 300, MISSED),
    ],
)
def test_a_figure_against_a_minimum(low, high, at_least, outcome):
    assert compare(quantity(low, high), D(at_least), None) == outcome


@pytest.mark.parametrize(
    ("low", "high", "at_most", "outcome"),
    [
        (150, 200, 200, MET),
        (150, 200, 180, IN_PART),
        (150, 200, 120, MISSED),
        (None, 215, 215, MET),
        (None, 215, 200, MISSED),
        (200, None, 300, IN_PART),
    ],
)
def test_a_figure_against_a_maximum(low, high, at_most, outcome):
    assert compare(quantity(low, high), None, D(at_most)) == outcome


@pytest.fixture
def full(tmp_path):
    return make_root(tmp_path / "full", SMALL, FULL)


PINION = "parts/full-pinion.yaml"
DAMP = "hazards/full-damp.yaml"


def answers_of(root, material="full-steel", state="tempered-hard", part="full-pinion"):
    """(outcome, what was found) of each demand, read anew."""
    knowledge, complaints = load(root)
    assert complaints == []
    return [
        (a.outcome, a.found)
        for a in Judge(knowledge, Values(knowledge)).answers(part, material, state)
    ]


@pytest.fixture(scope="module")
def untouched(tmp_path_factory):
    """The answers before any edit."""
    return answers_of(make_root(tmp_path_factory.mktemp("untouched") / "full", SMALL, FULL))


def test_each_kind_of_demand_by_hand(full):
    """650 HV against 500; 7.85 g/cm3 under 9; steel expands by 11 to 12, the case by 16: at least 4
    and at most 5 apart, 8 allowed."""
    found = answers_of(full)
    assert [a[0] for a in found] == [MET] * 7
    assert [a[1] for a in found] == ["", "", "well", "strong", "", "", ""]
    found = answers_of(full, "test-brass", None)
    assert [a[0] for a in found] == [UNKNOWN, MET, MET, MET, MISSED, MET, MET]


@pytest.mark.parametrize(
    ("file", "old", "new", "number", "outcome"),
    [
        (
            PINION,
            "property: hardness, at_least: 500",
            "property: hardness, at_least: 651",
            0,
            MISSED,
        ),
        (PINION, "property: density, at_most: 9", "property: density, at_most: 7.84", 1, MISSED),
        (
            PINION,
            "property: density, at_most: 9",
            "property: elastic-modulus, at_least: 100",
            1,
            UNKNOWN,
        ),  # 205 GPa is from memory
        (
            "alloys/full-steel.yaml",
            "turn: {rating: well, note: turning note, source: full-book}",
            "turn: {rating: not, source: full-book}",
            2,
            MISSED,
        ),
        (
            "alloys/full-steel.yaml",
            "turn: {rating: well, note: turning note, source: full-book}",
            "turn: {rating: badly, source: full-book}",
            2,
            MET,
        ),
        (
            "alloys/full-steel.yaml",
            "turn: {rating: well, note: turning note, source: full-book}",
            "turn: {rating: well, source: memory}",
            2,
            UNKNOWN,
        ),
        ("alloys/full-steel.yaml", "turn: {rating", "polish: {rating", 2, UNKNOWN),
        (PINION, "magnetism: strong", "magnetism: trace", 3, MISSED),
        (
            "alloys/full-steel.yaml",
            "magnetism_source: full-book",
            "magnetism_source: memory",
            3,
            UNKNOWN,
        ),
        (PINION, "trait: heat-hardens", "trait: transparent", 4, MISSED),
        (PINION, "lacks_trait: transparent", "lacks_trait: heat-hardens", 5, MISSED),
        (PINION, "within: 8", "within: 5", 6, MET),
        (PINION, "within: 8", "within: 4.9", 6, IN_PART),
        (PINION, "within: 8", "within: 4", 6, IN_PART),
        (PINION, "within: 8", "within: 3.9", 6, MISSED),
        (
            "alloys/full-steel.yaml",
            "over: [20, 100], source: full-book}",
            "over: [20, 100], source: memory}",
            6,
            UNKNOWN,
        ),
        (
            "alloys/test-steel.yaml",
            "typical: 16.0, over: [20, 100], source: test-standard",
            "typical: 16.0, over: [20, 100], source: memory",
            6,
            UNKNOWN,
        ),
        ("alloys/test-steel.yaml", "{typical: 16.0,", "{at_least: 16.0,", 6, UNKNOWN),
        ("alloys/test-steel.yaml", "{typical: 16.0,", "{range: [6.0, 7.0],", 6, MET),
        ("alloys/test-steel.yaml", "{typical: 16.0,", "{range: [1.0, 2.0],", 6, MISSED),
        ("alloys/test-steel.yaml", "{typical: 16.0,", "{range: [1.0, 2.9],", 6, MISSED),
        ("alloys/test-steel.yaml", "{typical: 16.0,", "{range: [1.0, 3.0],", 6, IN_PART),
    ],
)
def test_one_edit_turns_the_one_answer(full, untouched, file, old, new, number, outcome):
    edit(full, file, old, new)
    after = answers_of(full)
    assert after[number][0] == outcome
    assert [a for n, a in enumerate(after) if n != number] == [
        a for n, a in enumerate(untouched) if n != number
    ]


def test_the_best_of_several_mates_counts(full):
    """Brass, by 19.9, is 7.9 to 8.9 apart; with 4.5 allowed only the steel case, 4 to 5 apart,
    answers in part."""
    edit(
        full, "parts/test-case.yaml", "usual:\n", "usual:\n  - {material: test-brass, why: also}\n"
    )
    edit(full, PINION, "within: 8", "within: 4.5")
    assert answers_of(full)[6][0] == IN_PART
    edit(full, PINION, "within: 4.5", "within: 10")
    assert answers_of(full)[6][0] == MET


def test_a_mate_that_may_expand_alike_answers_in_part_however_little_is_allowed(full):
    """Steel by 11 to 12, the mate by 11.5 to 11.6: nothing to 0.6 apart."""
    edit(full, "alloys/test-steel.yaml", "{typical: 16.0,", "{range: [11.5, 11.6],")
    edit(full, PINION, "within: 8", "within: 0.4")
    assert answers_of(full)[6][0] == IN_PART


def test_an_equal_mate_answers(full):
    edit(
        full,
        "parts/test-case.yaml",
        "{material: test-steel, state: annealed",
        "{material: test-brass",
    )
    assert answers_of(full, "test-brass", None)[6][0] == MET


def test_what_a_hazard_does_is_its_first_rule_that_fits_and_memory_decides_nothing(full):
    knowledge, _ = load(full)
    judge = Judge(knowledge, Values(knowledge))
    rules = knowledge.hazards["full-damp"].rules
    assert judge.exposure("full-damp", "test-brass") == ("holds-with-care", rules[0], 1, False)
    assert judge.exposure("full-damp", "full-steel", "annealed") == ("suffers", rules[1], 2, False)
    assert judge.exposure("full-damp", "full-steel") == (
        "unknown",
        rules[3],
        4,
        False,
    )  # the rule says fails, from memory
    assert judge.exposure("full-damp", "test-steel", "annealed") == ("holds", rules[2], 3, False)
    assert judge.exposure("full-damp", "test-plate") == ("unknown", rules[5], 6, False)


def test_a_rule_of_a_place_speaks_only_of_what_serves_there(full):
    """Brass of the train suffers, the brass of a case does not; asked in general, neither."""
    edit(
        full,
        DAMP,
        "rules:\n",
        "rules:\n  - {when: {materials: [test-brass]}, zones: [train], verdict: suffers, why: w,"
        " source: practice}\n",
    )
    knowledge, _ = load(full)
    judge = Judge(knowledge, Values(knowledge))
    asked = ("full-pinion", "full-pinion/old-watch", "test-case", None)
    assert [judge.exposure("full-damp", "test-brass", None, part).verdict for part in asked] == [
        "suffers",
        "suffers",
        "holds-with-care",
        "holds-with-care",
    ]


@pytest.mark.parametrize(
    ("under", "wets", "verdict", "beneath"),
    [
        ("suffers, mechanism: rust", "damp", "holds-with-care", True),  # at pores, a step milder
        ("fails, mechanism: rust", "damp", "suffers", True),
        ("suffers, mechanism: rust", "sweat", "suffers", True),  # gold makes the steel go fast
        ("suffers, mechanism: bending", "damp", "suffers", True),  # a coating does not stiffen
        ("suffers, mechanism: abrasion", "damp", "holds", False),  # that is the coating's own
    ],
)
def test_what_reaches_the_base_of_a_coated_piece(full, under, wets, verdict, beneath):
    """Steel below a plating of gold that the damp itself leaves alone."""
    edit(
        full,
        DAMP,
        "rules:\n",
        "rules:\n  - {when: {materials: [full-plate]}, verdict: holds, why: w, source: practice}\n",
    )
    edit(full, DAMP, "verdict: suffers, mechanism: rust, why: second", f"verdict: {under}, why: s")
    edit(full, DAMP, "wets: damp", f"wets: {wets}")
    knowledge, _ = load(full)
    judge = Judge(knowledge, Values(knowledge))
    (found,) = judge.exposures("full-pinion", "full-steel", "tempered-hard", "full-plate")
    assert (found.verdict, found.beneath) == (verdict, beneath)


TEMPERED = "      hardness: [{range: [58, 60], unit: HRC"
EXPANDS = "      expansion: [{{typical: {}, over: [20, 100], source: full-book}}]\n"


@pytest.mark.parametrize(
    ("file", "old", "new", "number", "state", "outcome"),
    [
        (
            PINION,
            "at_least: 500, unit: HV",
            "at_least: 61, unit: HRC",
            0,
            "tempered-hard",
            MISSED,
        ),  # 58 to 60 HRC
        (PINION, "at_least: 500, unit: HV", "at_least: 58, unit: HRC", 0, "tempered-hard", MET),
        (
            "alloys/full-steel.yaml",
            "    magnetism: strong\n",
            "    magnetism: none\n",
            3,
            "annealed",
            MET,
        ),
        (
            "alloys/full-steel.yaml",
            TEMPERED,
            EXPANDS.format("24.1") + TEMPERED,
            6,
            "tempered-hard",
            MISSED,
        ),  # the case expands by 16
        ("alloys/full-steel.yaml", TEMPERED, EXPANDS.format("24.1") + TEMPERED, 6, "annealed", MET),
        (
            "alloys/test-steel.yaml",
            "      hardness:",
            EXPANDS.format("20.1") + "      hardness:",
            6,
            "annealed",
            MISSED,
        ),
    ],
)
def test_the_state_and_the_unit_that_are_asked_answer(full, file, old, new, number, state, outcome):
    edit(full, file, old, new)
    edit(full, PINION, "magnetism: strong", "magnetism: trace")
    assert answers_of(full, state=state)[number][0] == outcome
    assert answers_of(full, state="tempered-hard")[3][0] == MISSED


def test_an_answer_shows_what_was_found_even_where_it_decides_nothing(full):
    edit(full, PINION, "property: density, at_most: 9", "property: elastic-modulus, at_least: 100")
    edit(full, "alloys/full-steel.yaml", "magnetism_source: full-book", "magnetism_source: memory")
    knowledge, _ = load(full)
    hardness, modulus, _, magnetism, *_, mate = Judge(knowledge, Values(knowledge)).answers(
        "full-pinion", "full-steel", "tempered-hard"
    )
    assert [hardness.quantity.low, modulus.quantity.low, mate.quantity.low, mate.quantity.high] == [
        650,
        205,
        11,
        12,
    ]
    assert (modulus.outcome, magnetism.outcome, magnetism.found) == (UNKNOWN, UNKNOWN, "strong")
    edit(
        full,
        "alloys/full-steel.yaml",
        "over: [20, 100], source: full-book",
        "over: [20, 100], source: memory",
    )
    knowledge, _ = load(full)
    mate = Judge(knowledge, Values(knowledge)).answers(
        "full-pinion", "full-steel", "tempered-hard"
    )[6]
    assert (mate.outcome, mate.quantity.low) == (UNKNOWN, 11)
    edit(
        full,
        "alloys/full-steel.yaml",
        "over: [20, 100], source: memory",
        "over: [20, 100], source: full-book",
    )
    edit(
        full,
        "alloys/test-steel.yaml",
        "over: [20, 100], source: test-standard",
        "over: [20, 100], source: memory",
    )
    knowledge, _ = load(full)  # now nothing is known of the mate
    mate = Judge(knowledge, Values(knowledge)).answers(
        "full-pinion", "full-steel", "tempered-hard"
    )[6]
    assert (mate.outcome, mate.quantity.low) == (UNKNOWN, 11)


def test_no_plastic_reaches_the_hardness_of_a_metal(full):
    """Acrylic, the hardest of the common ones, has some 20 to 30 HV (maker's sheets)."""
    edit(full, "alloys/test-brass.yaml", "family: brass", "family: plastic")
    knowledge, _ = load(full)
    judge = Judge(knowledge, Values(knowledge))
    assert judge.answers("full-pinion", "test-brass", None)[0].outcome == MISSED
    edit(full, PINION, "at_least: 500", "at_least: 20")
    knowledge, _ = load(full)
    judge = Judge(knowledge, Values(knowledge))
    assert judge.answers("full-pinion", "test-brass", None)[0].outcome == UNKNOWN
