"""Rungs on an invented base: each gate, each shortfall and each precedent by hand, and what the
reader is told of it."""

import pytest

from generator.checks.rules import check
from generator.numbers.values import Values
from generator.records.loading import load
from generator.site.page import Site
from generator.site.pages.part import part_page
from generator.tables import tables
from generator.verdicts import wording
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import BESIDE, CANNOT_SAY, NO, OWN, PAPER, PINCH, Ladder
from generator.verdicts.verdicts import Verdicts, collisions
from tests.conftest import FULL, ROOT, SMALL, edit, make_root

STEEL, CASE, PINION = "alloys/full-steel.yaml", "parts/test-case.yaml", "parts/full-pinion.yaml"


@pytest.fixture
def full(tmp_path):
    return make_root(tmp_path / "full", SMALL, FULL)


@pytest.fixture
def kin(full):
    """Both steels are of one family, so either gives the other a precedent."""
    edit(full, "alloys/test-steel.yaml", "family: austenitic-stainless", "family: carbon-steel")
    return full


def ladder_of(root):
    knowledge, complaints = load(root)
    assert complaints == []
    return Ladder(Judge(knowledge, Values(knowledge)))


def stands(root, part="test-case", material="full-steel", state="tempered-hard", coated=None):
    """The rung, and what the reader is told."""
    ladder = ladder_of(root)
    found = ladder.judgement(part, material, state, coated)
    said = [r.replace("\u00a0", " ") for r in wording.reasons(ladder.knowledge, found)]
    return found.rung, said


def rungs_of(root):
    knowledge, _ = load(root)
    cells = Verdicts(knowledge, Values(knowledge)).cells
    return {(j.part, j.material, j.state, j.coated): j.rung for js in cells.values() for j in js}


def test_every_material_of_the_invented_base_stands_somewhere(full):
    """The case: steel of another family is on paper, the sea eats brass. The pinion: 500 HV rule
    out the soft ones, brass has no hardness and no precedent. The pinion of an old watch asks for
    no hardness and at most 8.5 g/cm3; brass has 8.53, and the other steel is that of the case,
    on which the pinion rubs."""
    assert rungs_of(full) == {
        ("test-case", "test-steel", "annealed", None): OWN,
        ("test-case", "full-steel", "tempered-hard", None): PAPER,
        ("test-case", "full-steel", "annealed", None): PAPER,
        ("test-case", "test-brass", None, None): NO,
        ("full-pinion", "full-steel", "tempered-hard", None): OWN,
        ("full-pinion", "full-steel", "tempered-hard", "full-plate"): OWN,
        ("full-pinion", "full-steel", "annealed", None): NO,
        ("full-pinion", "test-steel", "annealed", None): NO,
        ("full-pinion", "test-brass", None, None): PAPER,
        ("full-pinion/old-watch", "full-steel", "annealed", None): OWN,
        ("full-pinion/old-watch", "full-steel", "tempered-hard", None): BESIDE,
        ("full-pinion/old-watch", "test-steel", "annealed", None): NO,
        ("full-pinion/old-watch", "test-brass", None, None): NO,
    }


def test_as_good_in_all_that_is_asked_stands_beside_the_usual_choice(kin):
    assert stands(kin) == (BESIDE, ["as good as Test steel, annealed on every count"])


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        (
            "alloys/test-steel.yaml",
            "range: [140, 215]",
            "range: [800, 820]",
            "softer than any usual choice: 650 HV, against 800 to 820 HV",
        ),
        (
            CASE,
            "rating: with-care, why: it is turned}",
            "rating: with-care, why: it is turned}\n  - {magnetism: strong, why: a trial}",
            "attracted by a magnet; a usual choice is not attracted",
        ),
        (
            STEEL,
            "traits: [heat-hardens]",
            "traits: [heat-hardens, brittle]",
            "brittle, unlike any usual choice",
        ),
        (
            STEEL,
            "shares: {C: {range: [0.9, 1.1]}",
            "shares: {Au: {range: [30, 31]}, C: {range: [0.9, 1.1]}",
            "dearer: a precious metal",
        ),
        (
            "hazards/test-sea.yaml",
            "rules:\n",
            (
                "rules:\n  - {when: {materials: [full-steel]}, verdict: suffers, mechanism: rust,"
                " why: a trial, source: practice}\n"
            ),
            "test sea: suffers (rust); a usual choice holds",
        ),
    ],
)
def test_each_shortfall_is_told_against_the_usual_choices(kin, file, old, new, said):
    edit(kin, file, old, new)
    assert stands(kin) == (PINCH, [said])


def test_a_working_that_goes_worse_than_with_a_usual_choice_is_a_shortfall(kin):
    edit(kin, CASE, "rating: with-care, why: it is turned", "rating: badly, why: it is turned")
    edit(kin, STEEL, "turn: {rating: well, note: turning note", "turn: {rating: badly, note: n")
    assert stands(kin) == (
        PINCH,
        ["turning and milling goes badly; with a usual choice it needs care"],
    )


def test_free_cutting_is_a_reservation_only_where_nothing_is_turned(kin):
    edit(kin, STEEL, "traits: [heat-hardens]", "traits: [free-cutting]")
    assert stands(kin)[0] == BESIDE
    edit(kin, CASE, "{working: turn, rating: with-care,", "{lacks_trait: transparent,")
    assert stands(kin) == (PINCH, ["free-cutting, unlike any usual choice"])


@pytest.mark.parametrize(("usual", "rung"), [("[720, 740]", BESIDE), ("[730, 740]", PINCH)])
def test_a_figure_within_a_tenth_of_the_span_is_no_shortfall(kin, usual, rung):
    """650 HV: a tenth below 720 is 648, below 730 is 657."""
    edit(kin, STEEL, "{range: [58, 60], unit: HRC, source: full-book}, ", "")
    edit(kin, "alloys/test-steel.yaml", "range: [140, 215]", f"range: {usual}")
    assert stands(kin)[0] == rung, stands(kin)


@pytest.mark.parametrize(("wished", "rung"), [(640, BESIDE), (700, PINCH), (745, BESIDE)])
def test_what_the_part_would_like_tells_apart_what_lies_near(kin, wished, rung):
    """650 HV beside usual 720 to 740 is near enough, unless only the usual choice reaches what the
    part would like; what the usual choice misses too is no shortfall."""
    edit(kin, STEEL, "{range: [58, 60], unit: HRC, source: full-book}, ", "")
    edit(kin, "alloys/test-steel.yaml", "range: [140, 215]", "range: [720, 740]")
    wish = f"{{property: hardness, at_least: {wished}, unit: HV, firm: false, why: words}}"
    edit(kin, "parts/test-case.yaml", "  - {working: turn", f"  - {wish}\n  - {{working: turn")
    assert stands(kin)[0] == rung, stands(kin)


@pytest.mark.parametrize(
    ("part", "material", "state", "word"),
    [
        ("movement-screw", "steel-silver-115crv3", "tempered-hard", "harder"),
        ("click", "steel-o1", "tempered-hard", "harder"),
        ("balance-staff", "stainless-420-1-4028", "tempered-hard", "softer"),
        ("case-middle", "silver-800", "annealed", "softer"),
    ],
)
def test_glass_hard_screws_and_soft_cases_do_not_stand_beside(ladder, part, material, state, word):
    """Common practice: screws and clicks are let down to blue so that they do not snap, pivots are
    rolled above 600 HV, and a silver case is not left annealed."""
    found = ladder.judgement(part, material, state)
    said = " ".join(wording.reasons(ladder.knowledge, found))
    assert (found.rung, f"{word} than any usual choice" in said) == (PINCH, True), said


def test_the_very_metal_in_the_same_zone_is_a_weaker_precedent(full):
    """No case is of this family; the pinion is, and here it lies in the same zone."""
    edit(full, PINION, "zone: train", "zone: case")
    assert stands(full) == (
        PINCH,
        ["not used for this part, but for the full pinion"],
    )
    assert stands(full, state="annealed")[0] == PAPER


def test_stock_that_is_sold_for_the_purpose_is_a_weaker_precedent(full):
    """No case is of this family; an invented sheet names the very metal for cases."""
    edit(full, "vocabulary/purposes.yaml", "materials: [test-brass]", "materials: [full-steel]")
    assert stands(full) == (
        PINCH,
        ["not used for this part, but sold for watch cases: its sheet names cases"],
    )


def test_the_metal_of_the_partner_is_ruled_out_where_the_trade_keeps_them_unlike(full):
    edit(full, CASE, "demands:", "rubs_on: [full-pinion]\ndemands:")
    assert stands(full) == (
        NO,
        ["the same kind of metal as the Full pinion it rubs on; the two gall and wear"],
    )


def test_what_seizes_on_the_metal_of_its_partner_falls_short(full):
    """Full steel seizes on its own kind, of which the pinion is; the usual metal of the case does
    not. Common practice for titanium on titanium; an invented list here."""
    galling = full / "knowledge" / "vocabulary" / "galling.yaml"
    galling.write_text(
        "own-kind: {name: steel on steel, when: {families: [carbon-steel]}, say: w, source:"
        " practice}\n"
    )
    edit(full, CASE, "demands:", "rubs_on: [full-pinion]\ndemands:")
    edit(full, CASE, "zone: case", "zone: train")
    edit(
        full,
        PINION,
        "  - {material: full-steel, state: tempered-hard, why: usual words,",
        "  - {material: test-steel, why: w}\n  - {material: full-steel, state: tempered-hard, why:"
        " usual words,",
    )
    assert stands(full) == (
        PINCH,
        ["steel on steel: it may seize on the full pinion"],
    )
    galling.write_text(galling.read_text().replace("name:", "usual: true, name:"))
    assert stands(full)[0] == BESIDE


def test_harm_that_is_put_right_shuts_nothing_out(kin):
    """Tarnish is cleaned off; rust eats."""
    rule = (
        "  - {{when: {{materials: [full-steel]}}, verdict: suffers, mechanism: {},"
        " why: w, source: practice}}\n"
    )
    edit(kin, CASE, "severity: often", "severity: always")
    edit(kin, "hazards/test-sea.yaml", "rules:\n", "rules:\n" + rule.format("tarnish"))
    assert stands(kin) == (PINCH, ["test sea: suffers (tarnish); a usual choice holds"])
    edit(kin, "hazards/test-sea.yaml", "mechanism: tarnish", "mechanism: rust")
    assert stands(kin) == (NO, ["test sea: suffers (rust)"])


def test_what_is_no_worse_than_a_usual_choice_is_no_shortfall(kin):
    """A magnet matters to no part that does not ask; harder than asked is not a fault."""
    edit(kin, STEEL, "typical: 650, unit: HV", "typical: 900, unit: HV")
    assert stands(kin)[0] == BESIDE
    edit(kin, CASE, "why: it stands the sea}", "why: w}\n  - {material: full-steel, why: w}")
    assert stands(kin) == (OWN, ["w"])


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        (STEEL, "name: full tempered", "name: full tempered\n    stage: Grind it.",
         "only a stage of the work: Grind it."),
        (CASE, "demands:", "made_from: [sheet, tube]\ndemands:",
         "the part is made from sheet or tube; this is sold only in other forms"),
        (STEEL, "typical: 650, unit: HV", "typical: 110, unit: HV",
         "hardness at least 120 HV: found 110 to 698 HV"),
        (
            "hazards/test-sea.yaml",
            "rules:\n",
            "rules:\n  - {when: {materials: [full-steel]}, verdict: fails, mechanism: rust,"
            " why: a trial, source: practice}\n",
            "test sea: fails (rust)",
        ),
    ],
)  # fmt: skip
def test_each_gate_is_told(kin, file, old, new, said):
    if "found" in said:  # the HRC figure would stand beside it
        edit(kin, STEEL, "{range: [58, 60], unit: HRC, source: full-book}, ", "")
        said = "hardness at least 120 HV: found 110 HV"
    edit(kin, file, old, new)
    assert stands(kin) == (NO, [said])


def test_what_harms_a_usual_choice_alike_shuts_nothing_out(kin):
    edit(kin, "hazards/test-sea.yaml", "verdict: holds", "verdict: suffers, mechanism: rust")
    edit(kin, CASE, "severity: often", "severity: always")
    assert stands(kin)[0] == BESIDE
    ladder = ladder_of(kin)
    (met,) = ladder.lot("test-case")
    assert (met.meeting.hazard, met.exposure.rule.mechanism) == ("test-sea", "rust")


def test_a_part_that_is_always_hardened_is_not_left_soft(kin):
    """At most 200 HV meets 120 HV in part; still nobody leaves the pinion's steel annealed."""
    edit(kin, PINION, "at_least: 500", "at_least: 120")
    edit(
        kin,
        PINION,
        "wrong:\n  - {material: full-steel, state: annealed, why: wrong words, source:"
        " full-book}\n",
        "",
    )
    assert stands(kin, "full-pinion", "full-steel", "annealed") == (
        NO,
        [
            "its softest state; the trade always makes this part harder",
            "not hardened; the trade hardens this part",
        ],
    )  # fmt: skip


def test_without_a_precedent_a_material_is_on_paper_only(full):
    assert stands(full) == (PAPER, ["the figures allow it, but nobody makes it from this"])


def test_a_sister_part_gives_a_precedent(full):
    """Two of the three usual materials are shared: brass is used for the sister, so it is no
    stranger here."""
    edit(full, CASE, "why: it stands the sea}", "why: w}\n  - {material: full-steel, why: w}")
    edit(
        full,
        PINION,
        "usual:\n",
        "usual:\n  - {material: test-steel, why: w}\n  - {material: test-brass, why: w}\n",
    )
    found = ladder_of(full).judgement("test-case", "test-brass")
    assert found.precedent == "full-pinion"


def test_a_setting_is_judged_by_its_own_demands_and_choices(full):
    """No figure of the pinion's own 500 HV counts in the old watch, and no other part gives it a
    precedent, though the case shares its zone and its metal."""
    edit(full, PINION, "zone: train", "zone: case")
    edit(full, PINION, "rubs_on: [test-case]\n", "")
    role = "full-pinion/old-watch"
    assert stands(full, role, "full-steel", "annealed") == (OWN, ["setting usual words"])
    assert stands(full, role, "test-steel", "annealed")[0] == PAPER
    assert stands(full, role, "test-brass", None) == (
        NO,
        ["density at most 8.5 g/cm³: found 8.53 g/cm³"],
    )


def test_a_usual_choice_of_a_setting_that_is_ruled_out_stops_the_build(full):
    edit(full, PINION, "at_most: 8.5,", "at_most: 7.5,")
    assert (
        "knowledge/parts/full-pinion.yaml:38:13: usual says full-steel, annealed, the verdict is"
        " 'no' (density at most 7.5 g/cm³: found 7.85 g/cm³ ◇ borrowed from density relative); mend"
        " the figure, the demand, the hazard's rule or the choice"
    ) in [str(c) for c in check(full)[1]]


def test_a_missing_figure_that_decides_is_named(kin):
    edit(kin, STEEL, "{range: [58, 60], unit: HRC, source: full-book}, ", "")
    edit(
        kin,
        STEEL,
        "typical: 650, unit: HV, source: test-sheet",
        "typical: 650, unit: HV, source: memory",
    )
    assert stands(kin) == (
        CANNOT_SAY,
        [
            "known only from memory: hardness",
            "otherwise as good as Test steel, annealed on every count",
        ],
    )  # fmt: skip


def test_rows_hold_the_states_of_one_rung_and_the_usual_choice_leads(kin):
    knowledge, _ = load(kin)
    verdicts = Verdicts(knowledge, Values(knowledge))
    rows = verdicts.of_part("test-case")
    assert [[(j.material, j.state, j.rung) for j in row] for row in rows] == [
        [("test-steel", "annealed", OWN)],
        [("full-steel", "annealed", BESIDE), ("full-steel", "tempered-hard", BESIDE)],
        [("test-brass", None, NO)],
    ]  # fmt: skip


def test_the_rows_of_a_material_stand_best_part_first(full):
    knowledge, _ = load(full)
    verdicts = Verdicts(knowledge, Values(knowledge))
    assert [(row[0].part, row[0].rung) for row in verdicts.of_material("full-steel")] == [
        ("full-pinion", OWN),
        ("full-pinion", OWN),
        ("full-pinion/old-watch", OWN),
        ("full-pinion/old-watch", BESIDE),
        ("test-case", PAPER),
        ("full-pinion", NO),
    ]
    assert verdicts.of_material("full-plate") == []


def test_a_substitute_is_judged_by_the_piece_in_hand(kin):
    """Full steel tempered for test steel: harder, and a part that minds magnets would notice."""
    turned = "rating: with-care, why: it is turned}"
    edit(kin, CASE, turned, turned + "\n  - {magnetism: strong, why: a trial}")
    knowledge, _ = load(kin)
    verdicts = Verdicts(knowledge, Values(knowledge))
    (found,) = verdicts.substitutes("test-case", "test-steel", "annealed")
    assert (found.judgement.material, found.judgement.state) == ("full-steel", "annealed")
    assert [wording.lost_words(knowledge, s) for s in found.lost] == ["attracted by a magnet"]
    assert [wording.gained_words(knowledge, s) for s in found.gained] == [
        "turning and milling goes well"
    ]


def test_what_is_lost_stands_before_what_is_gained(kin, tmp_path):
    """On the page of the part, under these headings."""
    turned = "rating: with-care, why: it is turned}"
    edit(kin, CASE, turned, turned + "\n  - {magnetism: strong, why: a trial}")
    knowledge, _ = load(kin)
    values = Values(knowledge)
    verdicts, computed = Verdicts(knowledge, values), tables.build(knowledge, values)
    templates = ROOT / "site_src" / "templates"
    site = Site(knowledge, values, computed, verdicts, templates, tmp_path / "templates")
    page = part_page(site, "test-case").body
    places = [
        page.index(words)
        for words in (
            ">what is lost<",
            ">what is gained<",
            ">attracted by a magnet<",
            ">turning and milling goes well<",
        )
    ]
    assert places == sorted(places)


def test_no_stage_and_nothing_ruled_out_is_a_substitute(kin):
    edit(kin, STEEL, "name: full annealed", "name: full annealed\n    stage: Harden it.")
    edit(kin, STEEL, "name: full tempered", "name: full tempered\n    stage: Grind it.")
    knowledge, _ = load(kin)
    verdicts = Verdicts(knowledge, Values(knowledge))
    assert not list(verdicts.substitutes("test-case", "test-steel", "annealed"))


def test_a_coated_part_meets_hazards_with_its_coating_and_wears_down_to_its_base(full):
    knowledge, _ = load(full)
    judge = Judge(knowledge, Values(knowledge))
    found = judge.findings("full-pinion", "full-steel", "tempered-hard", "full-plate")
    assert [e.verdict for e in found.exposures] == ["unknown"]  # no rule speaks of the plate
    assert [e.verdict for e in found.worn] == ["suffers"]
    bare = judge.findings("full-pinion", "full-steel", "tempered-hard")
    assert (bare.worn, [e.verdict for e in bare.exposures]) == ((), ["suffers"])


def colliding(root):
    ladder = ladder_of(root)
    return [
        (part, way, choice.material, found.state, found.rung)
        for part, way, choice, found in collisions(ladder.knowledge, ladder)
    ]


def test_what_the_trade_does_and_the_judgement_collide_by_name(full):
    assert colliding(full) == []
    edit(
        full,
        CASE,
        "wrong:\n",
        "wrong:\n  - {material: test-steel, why: w}\n  - {material: full-steel, state: annealed,"
        " why: w}\n",
    )
    edit(
        full, CASE, "usual:\n", "usual:\n  - {material: full-steel, state: tempered-hard, why: w}\n"
    )
    edit(full, CASE, "at_least: 120", "at_least: 300")
    assert colliding(full) == [
        ("test-case", ("usual", 1), "test-steel", "annealed", NO),
    ]
    edit(full, CASE, "at_least: 300", "at_least: 120")
    assert colliding(full) == [("test-case", ("wrong", 0), "test-steel", "annealed", OWN)]


def test_a_usual_choice_without_a_state_needs_one_state_that_will_do(full):
    """Annealed it is too soft for a pinion; tempered hard it will do."""
    edit(
        full,
        PINION,
        "usual:\n  - {material: full-steel, state: tempered-hard, why",
        "usual:\n  - {material: full-steel, why",
    )
    assert colliding(full) == []


def test_the_build_names_the_figure_that_contradicts_the_trade(small):
    edit(small, "alloys/test-steel.yaml", "range: [140, 215]", "range: [100, 110]")
    assert [str(c) for c in check(small)[1]] == [
        "knowledge/parts/test-case.yaml:11:5: usual says test-steel, annealed, the verdict is 'no'"
        " (hardness at least 120 HV: found 100 to 110 HV); mend the figure, the demand, the"
        " hazard's rule or the choice"
    ]


def test_the_build_names_a_wrong_choice_that_is_not_ruled_out(small):
    edit(small, CASE, "wrong:\n", "wrong:\n  - {material: test-steel, why: w}\n")
    complaints = check(small)[1]
    assert {c.rule for c in complaints} == {"verdict_contradicts_the_trade"}


def test_the_order_of_files_changes_nothing(small):
    first = rungs_of(small)
    path = small / "knowledge" / "alloys" / "test-brass.yaml"
    text = path.read_text()
    path.unlink()
    path.write_text(text)
    assert rungs_of(small) == first


def test_another_demand_never_opens_a_gate(knowledge, verdicts, ladder):
    """What is ruled out by a firm demand stays so, whatever else is asked."""
    for part, cells in verdicts.cells.items():
        firm = [i for i, d in enumerate(knowledge.roles[part].demands) if d.firm]
        for j in cells:
            answers = ladder.judge.answers(part, j.material, j.state, firm)
            missed = any(a.outcome == "missed" for a in answers)
            assert not missed or j.rung == NO, (part, j.material, j.state)


@pytest.fixture(scope="module")
def ladder(verdicts):
    return verdicts.ladder


@pytest.mark.parametrize(
    "material", ["stainless-316l", "brass-cuzn39pb3", "gold-18-yellow-3n", "sapphire-synthetic"]
)
def test_a_material_by_itself_is_judged_as_among_all(verdicts, material):
    alone = Verdicts(verdicts.knowledge, verdicts.judge.values)
    alone.hurried = True
    told = [
        [(j.part, j.state, j.coated, j.rung, j.shortfalls) for j in row]
        for row in alone.of_material(material)
    ]
    assert told
    assert not alone._judged
    assert told == [
        [(j.part, j.state, j.coated, j.rung, j.shortfalls) for j in row]
        for row in verdicts.of_material(material)
    ]
