"""How far a figure speaks of the very metal: what counts, and that the reader sees what is
borrowed.

The order (own, then converted or worked out, then borrowed, then remembered) is this project's own
rule; the hardness pair is from ASTM E140 Table 1 (50 HRC is 513 HV), the densities are handbook
values of fine gold and silver (19.3 and 10.5 g/cm3).
"""

from decimal import Decimal as D

import pytest

from generator.checks.rules import check
from generator.numbers.quantities import of_figure, outranked, shown
from generator.numbers.values import Values
from generator.records.common import Figure
from generator.records.parts import Demand
from generator.site.pages.part import part_page
from generator.upkeep.review import explain
from generator.upkeep.said import site_of
from generator.verdicts.findings import Judge
from generator.verdicts.wording import answer_words, rests_on_little, with_unit
from tests.conftest import ROOT

OWN = Figure(typical="15.1", source="sheet")
BORROWED = Figure(typical="14.7", source="chart", of="a redder gold")
REMEMBERED = Figure(typical="16.0", source="memory")


def counted(*figures, computed=()):
    return outranked(
        [of_figure(f, "g/cm3") for f in figures]
        + [of_figure(f, "g/cm3", "computed") for f in computed]
    )


@pytest.mark.parametrize(
    ("figures", "computed", "number", "evidence"),
    [
        ((OWN, BORROWED, REMEMBERED), (), "15.1", "own"),
        ((BORROWED, REMEMBERED), (), "14.7", "borrowed"),
        ((REMEMBERED,), (), "16.0", "memory"),
        ((BORROWED, REMEMBERED), (Figure(typical="15.2", source="rule"),), "15.2", "computed"),
        ((OWN, BORROWED), (Figure(typical="15.2", source="rule"),), "15.1", "own"),
    ],
)
def test_better_evidence_counts_alone(figures, computed, number, evidence):
    for order in (figures, figures[::-1]):
        found = counted(*order, computed=computed)
        assert (shown(found), found.evidence) == (number, evidence)


def test_a_limit_stays_and_a_relative_may_close_its_open_end():
    found = counted(
        Figure(at_most="200", source="a"), Figure(range=["160", "230"], source="b", of="r")
    )
    assert (found.low, found.high) == (D(160), D(200))
    assert (found.evidence, found.of) == ("borrowed", ("r",))


def test_a_relative_that_contradicts_the_limit_is_left_out():
    found = counted(Figure(at_most="200", source="a"), Figure(typical="266", source="b", of="r"))
    assert (found.low, found.high, found.evidence) == (None, D(200), "own")


def test_memory_never_closes_a_limit():
    found = counted(Figure(at_most="200", source="a"), Figure(typical="150", source="memory"))
    assert (found.low, found.high) == (None, D(200))


def with_hardness(small, figures):
    path = small / "knowledge/alloys/test-steel.yaml"
    old = "hardness: [{range: [140, 215], unit: HV, source: test-sheet}]"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, f"hardness: [{figures}]"), encoding="utf-8")
    knowledge, complaints = check(small)
    assert [str(c) for c in complaints] == []
    return knowledge


def test_the_reader_is_told_from_what_a_figure_is_borrowed(small):
    """In what a verdict found, and in `explain`, by word and sign."""
    knowledge = with_hardness(small, "{typical: 190, unit: HV, source: test-sheet, of: 1.4441}")
    values = Values(knowledge)
    found = values.of("test-steel", "hardness", "annealed")
    assert with_unit(knowledge, found) == "190\u00a0HV ◇ borrowed from 1.4441"
    said = explain(knowledge, "test-steel.hardness")
    assert "190 HV ◇ borrowed from 1.4441" in said
    demand = Demand(property="hardness", at_least="180", unit="HV", why="invented")
    answer = Judge(knowledge, values)._ask_figure(demand, "test-steel", "annealed")
    assert answer_words(knowledge, answer) == "found 190\u00a0HV ◇ borrowed from 1.4441"


@pytest.mark.parametrize(
    ("figures", "little"),
    [
        ("{typical: 190, unit: HV, source: test-sheet}", True),  # the kind data-sheet, alone
        ("{typical: 190, unit: HV, source: test-standard}", False),
        ("{typical: 190, unit: HV, source: test-sheet}, "
         "{typical: 195, unit: HV, source: test-standard}", False),
    ],
)  # fmt: skip
def test_a_verdict_on_one_weak_source_says_that_it_rests_on_little(small, figures, little):
    knowledge = with_hardness(small, figures)
    answers = Judge(knowledge, Values(knowledge)).answers("test-case", "test-steel", "annealed")
    assert answers[0].quantity is not None
    assert rests_on_little(knowledge, answers) == little


@pytest.mark.parametrize(("source", "told"), [("test-sheet", True), ("test-standard", False)])
def test_the_page_of_a_part_shows_on_what_little_a_verdict_rests(small, source, told):
    knowledge = with_hardness(small, f"{{typical: 190, unit: HV, source: {source}}}")
    page = part_page(site_of(ROOT, knowledge), "test-case").text()
    assert ("◔ rests on little" in page) == told


def test_explain_says_why_a_borrowed_figure_is_not_counted(small):
    knowledge = with_hardness(
        small,
        "{typical: 170, unit: HV, source: test-sheet}, "
        "{typical: 190, unit: HV, source: test-standard, of: 1.4441}",
    )
    said = explain(knowledge, "test-steel.hardness")
    assert "what counts: 170 HV" in said
    assert "not counted: a figure of the very metal, or better evidence, is known too" in said


def test_no_shipped_borrowed_or_remembered_figure_outranks_an_own_one(knowledge, values):
    """Over every cell: where the very metal has a value of its own, it alone counts."""
    not_measured = {"memory", "din-50150"} | {
        key for key, source in knowledge.sources.items() if source.kind == "calculation"
    }
    wrong = []
    for key, record in knowledge.materials.items():
        for state, figures in [
            (None, record.figures),
            *((s, t.figures) for s, t in record.states.items()),
        ]:
            for prop, found in figures.items():
                for unit in {f.unit or values.unit_of(prop) for f in found}:
                    own = [
                        f
                        for f in found
                        if (f.unit or values.unit_of(prop)) == unit
                        and f.of is None
                        and f.source not in not_measured
                        and f.kind in ("typical", "range")
                    ]
                    counts = values.of(key, prop, state, unit)
                    if own and prop != "expansion" and counts.evidence != "own":
                        wrong.append((key, state, prop, unit))
    assert wrong == []


@pytest.mark.parametrize(
    ("sources", "text"),
    [
        (("7.95", "8.0"), "7.9\u00a0to\u00a08.0"),  # the less exact source was printed to a tenth
        (("15.53", "15.59"), "15.53\u00a0to\u00a015.59"),
        (("16", "16.5"), "16\u00a0to\u00a016.5"),  # 3 % apart: the width tells the doubt
        (("120", "135"), "120\u00a0to\u00a0135"),
    ],
)
def test_shown_digits_follow_the_spread(sources, text):
    """What is shown rounds outwards, so that both sources stay inside; by hand."""
    assert (
        shown(counted(*(Figure(typical=t, source=f"s{i}") for i, t in enumerate(sources)))) == text
    )


def test_the_case_steel_and_the_platinum_are_shown_to_what_is_known(values):
    """316L is printed between 7.9 and 8.0 by its sheets (EN 10088-1 gives 8.0); 95 Pt 5 Ir is
    21.5."""
    assert shown(values.of("stainless-316l", "density")) == "7.9\u00a0to\u00a08.0"
    assert shown(values.of("platinum-950-iridium", "density")) == "21.5"
