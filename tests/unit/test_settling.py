"""What the measuring of a figure would settle: held against judging everything again with the
measured figure in the record, and against doubts worked out by hand."""

import dataclasses
import os
import random
from decimal import Decimal as D

import pytest

from generator import cli
from generator.checks.settling import UNOFFERED, Settling, measured_by
from generator.commands import lead
from generator.numbers.doubt import Doubts
from generator.numbers.quantities import BORROWED, MEMORY, Quantity
from generator.numbers.values import Values
from generator.records.common import Figure
from generator.records.loading import load
from generator.site.page import Site
from generator.upkeep import said
from generator.upkeep.said import site_of
from generator.verdicts.verdicts import Verdicts
from tests.unit.test_effects import change, made

PART, STEEL = "parts/test-case.yaml", "alloys/test-steel.yaml"


def settling_of(site: Site) -> Settling:
    return Settling(site.verdicts, site.tables, site.signs)


@pytest.fixture
def root(tmp_path):
    return made(tmp_path, "one")


def small_settling(root) -> Settling:
    knowledge, complaints = load(root)
    assert complaints == []
    return settling_of(site_of(root, knowledge))


# -- how far a figure may be off


class Told(Doubts):
    """Doubts with ratios that are given: values agree within a tenth, limits are passed by half."""

    _ratios = ({"": D("1.1")}, {"": D("1.5")})


@pytest.mark.parametrize(
    ("low", "high", "evidence", "expected"),
    [
        ("140", "215", "own", ("140", "215")),  # a span is its own doubt
        ("200", "200", "own", ("181.8", "220")),  # 200 / 1.1 and 200 x 1.1
        ("200", None, "own", ("200", "300")),  # a minimum, passed by half
        (None, "300", "own", ("200", "300")),
        ("220", "330", BORROWED, ("200", "363")),  # a relative's: a tenth once more
        ("100", "100", MEMORY, ("82.6", "121")),  # 100 / 1.21
        ("-20", "-20", "own", ("-22", "-18.2")),
    ],
)
def test_the_ends_of_a_doubt_by_hand(values, low, high, evidence, expected):
    def end(text):
        return None if text is None else D(text)

    quantity = Quantity(end(low), end(high), "HV", 3, ("x",), "range", evidence=evidence)
    at_low, at_high = Told(values).ends("hardness", quantity)
    assert at_low.low == at_low.high and at_high.low == at_high.high
    assert round(at_low.low, 1) == D(expected[0])
    assert round(at_high.low, 1) == D(expected[1])


def test_the_room_of_a_value_is_what_sources_of_one_cell_leave_elsewhere(root):
    """The only cell with two values has 7.98 and 8.0; the brass's 8.53 may be off by as much."""
    found = next(iter(small_settling(root).of("test-brass", "density")))
    assert round(found.low.low, 6) == round(D("8.53") * D("7.98") / D("8.0"), 6)
    assert round(found.high.low, 6) == round(D("8.53") * D("8.0") / D("7.98"), 6)


# -- what turns


def test_a_usual_choice_that_would_miss_what_the_part_asks(root):
    """140 to 215 HV: with a demand of 150 the soft end is ruled out, the hard end stays."""
    assert [s.turns for s in small_settling(root).of("test-steel", "hardness")] == [()]
    change(root, PART, "at_least: 120", "at_least: 150")
    (settled,) = small_settling(root).of("test-steel", "hardness")
    (turn,) = settled.turns
    assert (turn.judgement.part, turn.judgement.rung, turn.rung, turn.at_low) == (
        "test-case", "own", "no", True,
    )  # fmt: skip


def judged_again(site: Site, settled, end: Quantity) -> Verdicts:
    """Everything judged with the figure measured as one value."""
    record = site.knowledge.materials[settled.material]
    prop, unit = settled.property, settled.now.unit
    source = next(k for k, s in site.knowledge.sources.items() if s.kind == "standard")
    several = len(site.knowledge.words("properties")[prop].units) > 1
    plain = Figure(typical="1", unit=unit if several else None, source=source)
    figure = plain.model_copy(update={"typical": end.low})
    if settled.state is None:
        record = record.model_copy(update={"figures": {**record.figures, prop: [figure]}})
    else:
        state = record.states[settled.state]
        state = state.model_copy(update={"figures": {**state.figures, prop: [figure]}})
        record = record.model_copy(update={"states": {**record.states, settled.state: state}})
    materials = {**site.knowledge.materials, settled.material: record}
    knowledge = dataclasses.replace(site.knowledge, materials=materials, _walked=[])
    return Verdicts(knowledge, Values(knowledge))


def rungs(verdicts: Verdicts) -> dict:
    return {
        (part, j.material, j.state, j.coated): j.rung
        for part, cells in verdicts.cells.items()
        for j in cells
    }


@pytest.fixture(scope="module")
def shipped(site_pages):
    return site_pages


@pytest.fixture(scope="module")
def ranked(shipped):
    return settling_of(shipped).all()


def assert_turns_as_judged_again(shipped, settled):
    before = rungs(shipped.verdicts)
    for end, at_low in ((settled.low, True), (settled.high, False)):
        after = rungs(judged_again(shipped, settled, end))
        expected = {
            (cell, rung)
            for cell, rung in after.items()
            if rung != before[cell] and not {rung, before[cell]} <= UNOFFERED
        }
        told = {
            ((t.judgement.part, *t.judgement[1:4]), t.rung)
            for t in settled.turns
            if t.at_low == at_low
        }
        assert told == expected, (settled.material, settled.property, settled.state)


@pytest.mark.slow
def test_each_turn_is_what_judging_everything_again_gives(shipped, ranked):
    """Drawn by lot among the first hundred and among all; BENCH_MEASURED says how many."""
    dice = random.Random(3)
    many = int(os.environ.get("BENCH_MEASURED", "2"))
    drawn = dice.sample(ranked[:100], many // 2) + dice.sample(ranked, many - many // 2)
    for settled in drawn:
        assert_turns_as_judged_again(shipped, settled)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("material", "turning"),
    [
        ("gold-21-yellow", "annealed"),  # from memory: measured, it may be good enough
        ("gold-14-white-palladium", "cold-worked"),  # its soldered joints are as soft as annealed
    ],
)
def test_an_annealed_hardness_turns_what_rests_on_it(shipped, material, turning):
    found = settling_of(shipped).of(material, "hardness")
    settled = next(s for s in found if s.state == "annealed")
    assert turning in {t.judgement.state for t in settled.turns}
    assert_turns_as_judged_again(shipped, settled)


def test_metals_told_apart_are_those_whose_shown_densities_part(shipped):
    """A piece weighed exactly: by hand, what spans of 1 % (melts) about both ends leave."""
    settled = next(iter(settling_of(shipped).of("alloy-nb-zr", "density")))
    assert (settled.low.low, settled.high.low) == (D("7.9"), D("8.5"))
    shown = {m["id"]: m for m in shipped.signs["materials"]}
    for other in settled.told_apart:
        low, high = shown[other]["density"]
        assert high < 8.5 * 0.99 or low > 7.9 * 1.01, other
    assert "stainless-316l" in settled.told_apart  # 7.95 to 8.0: not where the piece has 8.5


def test_places_in_a_table_are_the_rows_between(shipped):
    """Nb-Zr between 7.9 and 8.5: the heaviest first, the rows that stand between its middle and
    either end."""
    settled = next(iter(settling_of(shipped).of("alloy-nb-zr", "density")))
    middles = [r.cells["density"].middle for r in shipped.tables["density-ratio"].rows
               if r.material != "alloy-nb-zr"]  # fmt: skip
    passed = max(
        sum(D("7.9") < m < D("8.2") for m in middles), sum(D("8.2") < m < D("8.5") for m in middles)
    )
    assert settled.places["density-ratio"] == passed > 5


# -- what the reader sees


@pytest.mark.slow
def test_the_page_ranks_and_names_a_test_for_each_row(shipped, ranked):
    from generator.site.pages.measure import MOST, measure_page

    weights = [s.weight for s in ranked]
    assert weights == sorted(weights, reverse=True)
    text = measure_page(shipped).text()
    body = text.split("<tbody>", 1)[1].split("</table>")[0]
    rows = body.split("<tr>")[1:]
    assert len(rows) == min(MOST, sum(bool(s.weight[0]) for s in ranked))
    for settled, row in zip(ranked, rows, strict=False):
        assert shipped.view.address("material", settled.material) in row
        assert measured_by(shipped.knowledge, settled.property) is not None, settled.property
        assert not row.rstrip().endswith("<td></td></tr>")


def test_explain_says_it_for_one_figure(capsys, monkeypatch, shipped):
    monkeypatch.setattr(lead, "known", lambda *_: shipped.knowledge)
    monkeypatch.setattr(said, "site_of", lambda *_: shipped)
    assert cli.main(["explain", "alloy-nb-zr.density"]) == 0
    told = capsys.readouterr().out
    assert "if it lay elsewhere in its uncertainty (7.9 to 8.5 g/cm³): verdicts " in told
    assert "test: weigh in water (weighing in water)" in told
