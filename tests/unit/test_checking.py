"""One deliberately broken record set breaks each rule once; the complete list of messages is
asserted, with place and cure."""

import pytest

from generator.checks.rules import RULES, check
from tests.conftest import ROOT, SMALL, make_root

BROKEN = [
    (
        "stands_alone",
        (
            "knowledge/alloys/bad-alone.yaml:6:16: elongation at break 300 is far from all its "
            "relatives, 20 to 40; mend the figure, or say under `answered: stands_alone:` why "
            "300 is right"
        ),
    ),
    (
        "between_the_steps",
        (
            "knowledge/alloys/bad-alone.yaml:7:18: 0.035 is no row of the table of compatible "
            "couples, MIL-F-14072: it goes by steps of 0.05; mend the figure, or say under "
            "`answered: between_the_steps:` why 0.035 is right"
        ),
    ),
    (
        "composition_off_100",
        (
            "knowledge/alloys/bad-brass.yaml:6:3: the shares add up to 98 %; add what is "
            "missing, or name the balance element"
        ),
    ),
    (
        "derivable_written_out",
        (
            "knowledge/alloys/bad-brass.yaml:8:12: the caution test-dust applies here by "
            "itself; delete it"
        ),
    ),
    (
        "no_caution_unexplained",
        (
            "knowledge/alloys/bad-brass.yaml:9:13: no_caution does not go with the caution "
            "test-dust; delete it"
        ),
    ),
    (
        "copied_from_another_state",
        (
            "knowledge/alloys/bad-copy.yaml:9:18: hardness 73.5 is also that of forged; look "
            "at its source again, or say under `answered: copied_from_another_state:` why "
            "both have 73.5"
        ),
    ),
    (
        "copied_from_another_state",
        (
            "knowledge/alloys/bad-copy.yaml:13:18: hardness 73.5 is also that of as-cast; "
            "look at its source again, or say under `answered: copied_from_another_state:` "
            "why both have 73.5"
        ),
    ),
    (
        "copied_from_a_relative",
        (
            "knowledge/alloys/bad-copy.yaml:14:26: tensile strength 290 to 310 is also that "
            "of bad-states; look at its source again, or say under `answered: "
            "copied_from_a_relative:` why both have 290"
        ),
    ),
    (
        "worked_out_otherwise",
        (
            "knowledge/alloys/bad-copy.yaml:19:26: tensile strength 230 is not what was "
            "worked out, 237.8 to 377.2; mend the figure, or say under `answered: "
            "worked_out_otherwise:` why 230 is right"
        ),
    ),
    (
        "density_off_the_recipe",
        (
            "knowledge/alloys/bad-figures.yaml:7:13: density 7.4 does not fit the recipe, "
            "8.13 to 8.45; mend the figure, or say under `answered: density_off_the_recipe:` "
            "why 7.4 is right"
        ),
    ),
    (
        "outside_the_family",
        (
            "knowledge/alloys/bad-figures.yaml:8:15: thermal expansion 11.5 is not that of "
            "the family, 17.5 to 22; mend the figure, or say under `answered: "
            "outside_the_family:` why 11.5 is right"
        ),
    ),
    (
        "expansion_without_span",
        (
            "knowledge/alloys/bad-figures.yaml:8:72: an expansion without its span of "
            "temperature; add over: [20, 100], or a note that the source gives none"
        ),
    ),
    (
        "more_digits_than_known",
        (
            "knowledge/alloys/bad-figures.yaml:9:26: 120.25 has more digits than can be "
            "known; mend the figure, or say under `answered: more_digits_than_known:` why "
            "120.25 is right"
        ),
    ),
    (
        "celsius_is_not_fahrenheit",
        (
            "knowledge/alloys/bad-figures.yaml:10:24: 600 degF in the note is 316 degC; mend "
            "the figure, or say under `answered: celsius_is_not_fahrenheit:` why 600 is right"
        ),
    ),
    (
        "lowest_is_not_highest",
        (
            "knowledge/alloys/bad-figures.yaml:11:32: 30 degC cannot be right; is a sign "
            "missing?; mend the figure, or say under `answered: lowest_is_not_highest:` why "
            "30 is right"
        ),
    ),
    (
        "states_out_of_order",
        (
            "knowledge/alloys/bad-figures.yaml:16:17: hardness of annealed, 120 to 120 HV, "
            "is not below that of hard, 110 to 110; mend the figure, or say under `answered: "
            "states_out_of_order:` why 120 is right"
        ),
    ),
    (
        "sources_far_apart",
        (
            "knowledge/alloys/bad-figures.yaml:17:65: tensile strength 720 is more than 1.5 "
            "times 340 beside it; mend the figure, or say under `answered: "
            "sources_far_apart:` why 720 is right"
        ),
    ),
    (
        "hardness_against_strength",
        (
            "knowledge/alloys/bad-figures.yaml:19:5: hard: 800 to 800 MPa do not go with 110 "
            "to 110 HV; mend the figure, or say under `answered: hardness_against_strength:` "
            "why 800 is right"
        ),
    ),
    (
        "scales_disagree",
        (
            "knowledge/alloys/bad-figures.yaml:21:67: 105 HRB is far above 110 HV of the "
            "same state; mend the figure, or say under `answered: scales_disagree:` why 105 "
            "is right"
        ),
    ),
    (
        "scale_of_no_other",
        (
            "knowledge/alloys/bad-figures.yaml:21:67: 105 is in HRB, and test-standard prints "
            "other metals or states in HV; mend the figure, or say under `answered: "
            "scale_of_no_other:` why 105 is right"
        ),
    ),
    (
        "outside_the_family",
        (
            "knowledge/alloys/bad-figures.yaml:21:67: hardness 105 HRB is not that of the "
            "family, 50 to 250 HV; mend the figure, or say under `answered: "
            "outside_the_family:` why 105 is right"
        ),
    ),
    (
        "against_its_own_limit",
        (
            "knowledge/alloys/bad-figures.yaml:22:26: tensile strength 800 breaks the limit "
            "beside it, at most 600; mend the figure, or say under `answered: "
            "against_its_own_limit:` why 800 is right"
        ),
    ),
    (
        "proof_above_tensile",
        (
            "knowledge/alloys/bad-figures.yaml:23:23: hard: proof strength 810 MPa is above "
            "tensile strength 800 MPa; mend the figure, or say under `answered: "
            "proof_above_tensile:` why 810 is right"
        ),
    ),
    (
        "outside_the_family",
        (
            "knowledge/alloys/bad-figures.yaml:23:24: proof strength 810 is not that of the "
            "family, 70 to 800; mend the figure, or say under `answered: "
            "outside_the_family:` why 810 is right"
        ),
    ),
    (
        "answer_to_no_rule",
        (
            "knowledge/alloys/bad-figures.yaml:25:12: there is no rule no_such_rule; the "
            "message of the check names it"
        ),
    ),
    (
        "pooled_otherwise",
        (
            "knowledge/alloys/bad-measured.yaml:11:7: its measurements come to 8.43 to 8.47; "
            "write range: [8.43, 8.47], or mend a measurement"
        ),
    ),
    (
        "state_name_twice",
        (
            "knowledge/alloys/bad-slips.yaml:9:11: the name 'Soft' is also that of the state "
            "soft; say how they differ"
        ),
    ),
    (
        "review_in_the_future",
        (
            "knowledge/alloys/bad-slips.yaml:11:16: the review of 2999-01-01 is in the "
            "future; correct the date, or this machine's clock"
        ),
    ),
    (
        "heat_against_melting",
        (
            "knowledge/alloys/bad-states.yaml:6:24: annealing temperature 50 degC is not "
            "between 58 and 1090 degC; mend the figure, or say under `answered: "
            "heat_against_melting:` why 50 is right"
        ),
    ),
    (
        "belongs_to_another_state",
        (
            "knowledge/alloys/bad-states.yaml:11:65: tensile strength 300 is that of forged, "
            "not of as-cast; mend the figure, or say under `answered: "
            "belongs_to_another_state:` why 300 is right"
        ),
    ),
    (
        "copied_from_a_relative",
        (
            "knowledge/alloys/bad-states.yaml:15:26: tensile strength 290 to 310 is also "
            "that of bad-copy; look at its source again, or say under `answered: "
            "copied_from_a_relative:` why both have 290"
        ),
    ),
    (
        "duplicate_name",
        (
            "knowledge/alloys/bad-steel.yaml:1:7: the name 'Test steel' is also that of "
            "test-steel; say how they differ"
        ),
    ),
    (
        "unknown_id",
        (
            "knowledge/alloys/bad-steel.yaml:3:9: there is no family austenitic-stainles; "
            "did you mean austenitic-stainless?"
        ),
    ),
    (
        "designation_form",
        (
            "knowledge/alloys/bad-steel.yaml:6:25: 31603 is not a valid UNS number; one "
            "looks like S31603"
        ),
    ),
    (
        "designation_contradicts_composition",
        (
            "knowledge/alloys/bad-steel.yaml:7:31: 1.4399 does not go with 35 % Mo; check "
            "number and composition"
        ),
    ),
    (
        "derivable_written_out",
        (
            "knowledge/alloys/bad-steel.yaml:8:26: 'Bad Steel' repeats a name already in "
            "this record; delete it"
        ),
    ),
    (
        "unknown_id",
        (
            "knowledge/alloys/bad-steel.yaml:10:11: there is no source test-standart; did "
            "you mean test-standard?"
        ),
    ),
    (
        "composition_off_100",
        (
            "knowledge/alloys/bad-steel.yaml:12:3: the shares add up to at least 165 %, more "
            "than 100 %; lower a share"
        ),
    ),
    (
        "derivable_written_out",
        ("knowledge/alloys/bad-steel.yaml:12:58: Fe is the balance and a share; keep one of them"),
    ),
    (
        "figure_out_of_bounds",
        (
            "knowledge/alloys/bad-steel.yaml:15:23: density: 79.8 is outside 0.8 to 25 "
            "g/cm3; check the decimal point and the unit"
        ),
    ),
    (
        "figure_unit",
        ("knowledge/alloys/bad-steel.yaml:15:74: density is always in g/cm3; delete the unit"),
    ),
    (
        "practice_for_a_figure",
        (
            "knowledge/alloys/bad-steel.yaml:15:89: a figure cannot rest on `practice`; cite "
            "a source or write memory"
        ),
    ),
    (
        "figure_unit",
        (
            "knowledge/alloys/bad-steel.yaml:16:14: hardness needs a unit; add unit: HV or "
            "HK or HRC or HRB or HBW or ShoreA or ShoreD"
        ),
    ),
    (
        "span_only_for_expansion",
        (
            "knowledge/alloys/bad-steel.yaml:17:43: `over` does not go with "
            "tensile-strength; write [from, to] in degC, for expansion"
        ),
    ),
    (
        "figure_in_the_wrong_place",
        (
            "knowledge/alloys/bad-steel.yaml:22:7: melting-range does not depend on the "
            "state; move it to figures"
        ),
    ),
    (
        "curve_out_of_order",
        (
            "knowledge/alloys/bad-steel.yaml:24:57: points are not in order of temperature; "
            "sort them"
        ),
    ),
    (
        "duplicate_designation",
        (
            "knowledge/alloys/test-steel.yaml:5:31: 1.4499 is also the designation of "
            "bad-steel; keep it where it belongs"
        ),
    ),
    (
        "caution_never_asked",
        (
            "knowledge/cautions.yaml:1:12: no question of a lesson or case asks about "
            "test-dust; ask one, with its words under `rests_on: {said: ...}`"
        ),
    ),
    (
        "limit_without_authority",
        ("knowledge/cautions.yaml:1:161: this limit was not read anywhere; cite where it was read"),
    ),
    (
        "first_aid_without_help",
        (
            "knowledge/cautions.yaml:2:12: first_aid does not begin with calling for help; "
            "let its first line say when to call the emergency number"
        ),
    ),
    (
        "formula_units_do_not_meet",
        (
            "knowledge/formulas/bad-example.yaml:7:31: the result cannot be in mm: the "
            "symbols' units give g; check the unit, or say under `constant` what a number "
            "inside is measured in"
        ),
    ),
    (
        "worked_example_does_not_come_out",
        (
            "knowledge/formulas/bad-example.yaml:10:5: the published answer 5 does not come "
            "out: 4; check expression, inputs and answer"
        ),
    ),
    (
        "readings_out_of_order",
        (
            "knowledge/formulas/bad-example.yaml:11:1: readings do not rise to one without a "
            "threshold; sort them"
        ),
    ),
    (
        "formula_symbol_range",
        (
            "knowledge/formulas/bad-formula.yaml:5:38: m: the range 5 to 1 does not hold "
            "anything; check both ends"
        ),
    ),
    (
        "formula_cannot_be_read",
        (
            "knowledge/formulas/bad-formula.yaml:6:13: expression: only numbers, symbols, + "
            "- * / ** and the listed functions are allowed; rewrite this part"
        ),
    ),
    (
        "rule_never_reached",
        (
            "knowledge/hazards/bad-hazard.yaml:5:5: the rules below this one are never "
            "reached; move it to the end or add conditions"
        ),
    ),
    (
        "hazard_without_last_rule",
        (
            "knowledge/hazards/bad-hazard.yaml:6:5: the last rule has a condition, so some "
            "materials have no verdict; add a rule without `when` below it"
        ),
    ),
    (
        "condition_on_no_state",
        (
            "knowledge/hazards/bad-hazard.yaml:6:41: no material has a state anealed; did "
            "you mean annealed?"
        ),
    ),
    (
        "job_does_not_join",
        (
            "knowledge/jobs.yaml:7:62: there is no field or earlier step nowhere; take a "
            "field, an earlier step or a number"
        ),
    ),
    (
        "lesson_number_twice",
        (
            "knowledge/lessons/lesson-b.yaml:3:9: number 1 is also that of lesson-a; choose "
            "a number that is not taken"
        ),
    ),
    (
        "answer_without_grounds",
        (
            "knowledge/lessons/lesson-b.yaml:11:33: the answer '750 parts' gives a figure "
            "that nothing checks; say under `rests_on` which figures, sums or verdicts it "
            "follows from"
        ),
    ),
    (
        "unknown_state",
        (
            "knowledge/parts/bad-choice.yaml:8:35: test-steel has no state anealed; did you "
            "mean annealed?"
        ),
    ),
    (
        "coating_that_is_none",
        (
            "knowledge/parts/bad-choice.yaml:9:36: test-steel is not a coating; name a "
            "record in coatings/"
        ),
    ),
    (
        "usual_and_wrong",
        (
            "knowledge/parts/bad-choice.yaml:12:5: test-brass is both usual and wrong; name "
            "the states in which it differs"
        ),
    ),
    (
        "name_twice",
        (
            "knowledge/parts/bad-choice.yaml:14:13: en is the language of the records; write "
            "these names under also_called"
        ),
    ),
    (
        "name_twice",
        (
            "knowledge/parts/bad-choice.yaml:14:41: 'auswahl' repeats a name of this "
            "language; delete it"
        ),
    ),
    (
        "name_twice",
        (
            "knowledge/parts/bad-choice.yaml:15:13: there is no name in fr; write the "
            "description under names, or delete this"
        ),
    ),
    (
        "translation_of_nothing",
        (
            "knowledge/parts/bad-choice.yaml:17:22: no sentence of the record reads 'Nothing "
            "at all.'; translate the sentence as it reads now, or delete this"
        ),
    ),
    (
        "translation_with_other_numbers",
        (
            "knowledge/parts/bad-choice.yaml:18:18: its numbers are 2; the sentence has "
            "none; write the same numbers, with ',' for the decimal sign"
        ),
    ),
    (
        "part_without_usual_material",
        (
            "knowledge/parts/bad-part.yaml:1:7: usual is missing; name at least one material "
            "that the trade uses"
        ),
    ),
    (
        "text_still_to_write",
        (
            "knowledge/parts/bad-part.yaml:2:10: placeholder text from `new` has not been "
            "replaced: 'The answer in one line.'; write your own, or delete it"
        ),
    ),
    (
        "figure_unit",
        "knowledge/parts/bad-part.yaml:6:44: density is not measured in HV; use g/cm3",
    ),
    (
        "source_without_publication",
        (
            "knowledge/sources/bad.yaml:1:1: practice is kept for what has no publication; "
            "choose another id"
        ),
    ),
    (
        "unused_source",
        "knowledge/sources/bad.yaml:2:1: source unused is cited nowhere; delete it",
    ),
    (
        "friction_partner_denied",
        (
            "knowledge/watches/bad-watch.yaml:8:5: bad-part rubs on test-case by its own "
            "record, and no join here says so; add the join, or mend how the two are joined"
        ),
    ),
    (
        "part_touches_nothing",
        (
            "knowledge/watches/bad-watch.yaml:9:5: loose-part touches no other part; say "
            "under `joins` what holds it, or take it out"
        ),
    ),
    (
        "unknown_setting",
        ("knowledge/watches/bad-watch.yaml:11:63: bad-part has no setting of-old; leave it out"),
    ),
    (
        "watch_part_twice",
        (
            "knowledge/watches/bad-watch.yaml:12:12: test-case stands in this watch already; "
            "give this one an id and a name of its own"
        ),
    ),
    (
        "falls_in_pieces",
        (
            "knowledge/watches/bad-watch.yaml:14:3: nothing joins lost-part, last-part to "
            "test-case; add the join that holds them in the watch"
        ),
    ),
    (
        "one_piece_of_two_metals",
        (
            "knowledge/watches/bad-watch.yaml:14:46: test-case and second-case are one piece "
            "of unlike material; make material, state and coating alike, or say how they are "
            "joined"
        ),
    ),
    (
        "wet_where_it_is_not",
        (
            "knowledge/watches/bad-watch.yaml:16:62: both parts are outside, so the joint "
            "does not stay dry; mend `where`, or `outside` of the parts"
        ),
    ),
    (
        "joined_to_itself",
        (
            "knowledge/watches/bad-watch.yaml:17:15: bad-part is joined to itself; name the "
            "other side"
        ),
    ),
    (
        "join_without_both_sides",
        (
            "knowledge/watches/bad-watch.yaml:18:15: a join has two sides, this one has 1; "
            "write between: [one-part, other-part]"
        ),
    ),
]
MISSHAPEN = [
    "knowledge/alloys/bad-shape.yaml:1:1: name is missing; add it",
    "knowledge/alloys/bad-shape.yaml:1:1: unknown key nam; did you mean name?",
    "knowledge/alloys/bad-shape.yaml:2:10: summary is empty; write something or delete the line",
    "knowledge/alloys/bad-shape.yaml:3:9: family: 'Brass!' cannot be an id; write brass",
    (
        "knowledge/alloys/bad-shape.yaml:5:47: copper: 'copper' is not the symbol of an element;"
        " write Fe, Cu, Au ..."
    ),
    "knowledge/alloys/bad-shape.yaml:7:12: density must be a list; put it in brackets: [{...}]",
    "knowledge/alloys/bad-shape.yaml:8:13: hardness needs at least 1 entry; add what is missing",
    (
        "knowledge/alloys/bad-shape.yaml:9:27: 98 stands alone, as if it were a key; write the"
        " decimal point as a point, and quote text that holds commas"
    ),
    (
        "knowledge/alloys/bad-shape.yaml:10:21: elastic-modulus: needs exactly one of typical,"
        " range, at_least, at_most and has typical and at_least; keep one of them"
    ),
    "knowledge/alloys/bad-shape.yaml:11:17: resistivity: range runs backwards: 20 is not below 10",
    (
        "knowledge/alloys/bad-shape.yaml:12:22: tensile-strength: 400 stands alone; say what kind"
        " it is: {typical: 400, source: ID}"
    ),
    "knowledge/alloys/bad-shape.yaml:13:16: on: '25.11.2026' is not a date; write it as 2026-11-25",
    (
        "knowledge/nowhere/lost.yaml: is in no folder that is read; records live in alloys,"
        " nonmetals, coatings, parts, hazards, processes, formulas, sayings, lessons, watches"
    ),
    (
        "knowledge/parts/bad-shape.yaml:6:5: demands: needs exactly one of property, working,"
        " magnetism, trait, lacks_trait, mate; it has none"
    ),
    (
        "knowledge/parts/bad-shape.yaml:7:5: demands: property goes with exactly one of at_least"
        " and at_most, and they with property alone"
    ),
    "knowledge/parts/bad-shape.yaml:8:5: demands: working and rating go together",
    (
        "knowledge/parts/bad-shape.yaml:9:32: firm: 'perhaps' is neither true nor false; write true"
        " or false"
    ),
]


def test_the_small_knowledge_base_has_no_faults(small):
    assert [str(c) for c in check(small)[1]] == []


def test_the_shipped_knowledge_base_has_no_faults():
    assert [str(complaint) for complaint in check(ROOT)[1]] == []


def test_every_rule_speaks_once_and_clearly(tmp_path):
    _, complaints = check(make_root(tmp_path, SMALL, ROOT / "tests" / "broken"))
    assert [(c.rule, str(c)) for c in complaints] == BROKEN


def test_every_rule_is_broken_by_the_broken_set():
    assert {rule for rule, _ in BROKEN} == {rule.__name__ for rule in RULES}


def test_every_rule_says_what_it_is():
    assert all(rule.__doc__ and rule.__doc__.strip().endswith(".") for rule in RULES)


def test_every_fault_of_shape_is_found_in_one_run(tmp_path):
    _, complaints = check(make_root(tmp_path, SMALL, ROOT / "tests" / "misshapen"))
    assert [str(c) for c in complaints] == MISSHAPEN


def test_an_unreadable_file_does_not_hide_faults_elsewhere(tmp_path):
    root = make_root(tmp_path, SMALL, ROOT / "tests" / "broken")
    (root / "knowledge" / "parts" / "torn.yaml").write_text("name: [\n")
    messages = [str(c) for c in check(root)[1]]
    assert any("torn.yaml" in m for m in messages)
    assert any("79.8 is outside 0.8 to 25 g/cm3" in m for m in messages)


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>",
        "{{ 7 * 7 }}",
        "a | b | c",
        "**bold** _it_ [x](javascript:1)",
        "&amp; <b>",
        "# no heading",
    ],
)
def test_markup_in_a_text_field_is_no_fault(small, text):
    path = small / "knowledge" / "parts" / "test-case.yaml"
    quoted = text.replace('"', "'")
    path.write_text(path.read_text().replace("does: Holds the rest.", f'does: "{quoted}"'))
    knowledge, complaints = check(small)
    assert complaints == []
    assert knowledge.parts["test-case"].does == quoted


def test_a_family_that_is_gone_from_the_list_is_named_where_it_is_asked_for(small):
    path = small / "knowledge" / "vocabulary" / "families.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("\nbrass: {", "\nbrasz: {"), "utf-8")
    said = [str(c) for c in check(small)[1]]
    assert any("there is no family brass; did you mean brasz?" in line for line in said)
