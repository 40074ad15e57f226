"""Every field of the invented full records, where a reader finds it: on its page, under its
heading. Drawn in memory, read as text. What is expected was copied by hand from the records in
tests/full, never from a page."""

import pytest

from tests.shown import after, by_section


@pytest.fixture(scope="module")
def drawn(invented_pages):
    """File of each page of the full records -> its words and links by section."""
    return {file: by_section(page.body) for file, page in invented_pages.items()}


STEEL, PINION, DAMP = "materials/full-steel.md", "parts/full-pinion.md", "hazards/full-damp.md"
HARDEN, SUM, SAYING = "processes/full-harden.md", "formulas/full-sum.md", "sayings/full-saying.md"
LESSON = "lessons/full-lesson.md"
TASKS, CASES, PLAN, MENTOR = (f"lessons/{name}.md" for name in ("tasks", "cases", "plan", "mentor"))

SHOWN = [
    (STEEL, "top", "Full steel"),
    (STEEL, "top", "An invented steel with every field."),
    (STEEL, "top", "note of the workshop about full-steel"),
    (STEEL, "top", "Full short"),
    (STEEL, "top", "steel grey"),
    (STEEL, "figures", "density any 7.85 g/cm³"),
    (STEEL, "figures", "density note"),
    (STEEL, "figures", "hardness full annealed at most 200 HV"),
    (STEEL, "figures", "hardness full tempered 58 to 60 HRC"),
    (STEEL, "figures", "hardness full tempered 650 HV"),
    (STEEL, "figures", "hardness note"),
    (STEEL, "figures", "proof strength full tempered at least 1500 MPa"),
    (STEEL, "figures", "elastic modulus any 205 GPa"),
    (STEEL, "figures", "unsourced, from memory"),
    (STEEL, "figures", "11.0 to 12.0 ×10⁻⁶/K"),
    (STEEL, "figures", "20 to 100 °C"),
    (STEEL, "figures", "14 ×10⁻⁶/K"),
    (STEEL, "figures", "20 to 600 °C"),
    (STEEL, "states", "full annealed annealed how"),
    (STEEL, "states", "full tempered tempered how"),
    (
        "materials/full-plate.md",
        "states",
        "full half done half done how. Only a stage of the work. stage words",
    ),
    (STEEL, "tempering", "stand-in words"),
    (STEEL, "tempering", "780 °C words"),
    (STEEL, "tempering", "quench words"),
    (STEEL, "tempering", "held words. Full author"),
    (STEEL, "tempering", "curve note"),
    (STEEL, "tempering", "tempered at, °C not 150 300 HRC 66 64 56"),
    (STEEL, "figures", "No source found for: tensile strength, melting range"),
    (STEEL, "working", "turning and milling goes well turning note"),
    (STEEL, "exposure", "Full damp suffers rust. second why words"),
    (STEEL, "exposure", "Test sea holds"),
    (STEEL, "bench", "bench words"),
    (STEEL, "owner", "owner words of steel"),
    (STEEL, "names", "Fe-1C"),
    (STEEL, "names", "other steel name"),
    (STEEL, "names", "rest 0.9–1.1 ≤ 0.5 0.2"),
    (STEEL, "names", "Composition, per cent by mass. Full author"),
    (STEEL, "names", "composition note"),
    (STEEL, "where-it-belongs", "Full pinion, full tempered: usual words"),
    (STEEL, "where-it-belongs", "coated with Full plate: coated words"),
    (STEEL, "where-it-belongs", "Wrong for Full pinion, full annealed: wrong words"),
    (STEEL, "care", "danger words"),
    (STEEL, "care", "do words"),
    (STEEL, "care", "Reviewed 25 November 2026 by the role of steel"),
    (PINION, "top", "An invented pinion with every field."),
    (PINION, "top", "note of the workshop about full-pinion"),
    (PINION, "demands", "pinion does words"),
    (PINION, "demands", "hardness at least 500 HV"),
    (PINION, "demands", "required first demand words"),
    (PINION, "demands", "density at most 9 g/cm³"),
    (PINION, "demands", "preferred second demand words"),
    (PINION, "demands", "turning and milling: goes badly or better"),
    (PINION, "demands", "third demand words"),
    (PINION, "demands", "fourth demand words"),
    (PINION, "demands", "hardens by quenching"),
    (PINION, "demands", "not transparent"),
    (PINION, "demands", "expansion within 8 ×10⁻⁶/K of Test case"),
    (PINION, "demands", "seventh demand words"),
    (PINION, "meets", "Full damp, seldom: meeting note"),
    (PINION, "identify", "identify words"),
    (PINION, "remake", "remake words"),
    (PINION, "fails", "sign words"),
    (PINION, "fails", "cause words"),
    (PINION, "top", "Setting name Full steel"),
    (PINION, "settings", "Full pinion setting name How to tell: setting tells"),
    (PINION, "settings", "Restoration needs the material of the period."),
    (PINION, "settings", "density at most 8.5 g/cm³: setting demand words"),
    (PINION, "settings", "full annealed: setting usual words"),
    (PINION, "settings", "Test brass: setting wrong words"),
    (STEEL, "fit", "Full pinion setting namefull annealed"),
    (PINION, "care", "danger words"),
    (DAMP, "top", "An invented damp with every field."),
    (DAMP, "meets", "damp meets words"),
    (DAMP, "meets", "damp figure words at most 60 %"),
    (DAMP, "meets", "damp figure note"),
    (DAMP, "exposure", "suffers Full steel: rust. second why words"),
    (DAMP, "exposure", "holds with care Test brass: first why words"),
    (DAMP, "rules", "Looks like: looks words"),
    (DAMP, "rules", "How fast: fast words"),
    (DAMP, "rules", "in the state annealed or tempered hard"),
    (DAMP, "rules", "with at least 12 % chromium"),
    (DAMP, "rules", "with a pitting index of at least 20"),
    (DAMP, "rules", "fails metal; hardens by quenching fourth why words unsourced, from memory"),
    (DAMP, "rules", "holds plastic (only in: train, Test case) placed why words"),
    (DAMP, "care", "danger words"),
    (HARDEN, "steps", "first step words second step third step words"),
    (HARDEN, "numbers", "hardening figure words 770 to 800 °C"),
    (HARDEN, "numbers", "hardening figure note"),
    (HARDEN, "does", "hardening does words"),
    (HARDEN, "needs", "needs words"),
    (HARDEN, "goes-wrong", "wrong sign words. wrong cause words (Full damp)"),
    (HARDEN, "suits", "Full steel"),
    (HARDEN, "not-for", "not for words"),
    (HARDEN, "care", "danger words"),
    (SUM, "readings", "below 10 g: light words"),
    (SUM, "readings", "otherwise: heavy words"),
    (SUM, "limits", "limit words"),
    (SUM, "examples", "example note"),
    (SUM, "examples", "Published: 7 to 9"),
    (SUM, "source", "formula why words"),
    (SUM, "care", "danger words"),
    (SAYING, "top", "because words"),
    (SAYING, "care", "danger words"),
    (LESSON, "top", "lesson words"),
    (LESSON, "questions", "1. first ask words"),
    (LESSON, "questions", "right say words Right. right why words"),
    (LESSON, "questions", "wrong say words No. wrong why words"),
    (LESSON, "questions", "Test brass, Test sea: fails"),
    (LESSON, "questions", "fifth right say Right. fifth right why"),
    (LESSON, "questions", "Full caution: “danger words”; “wear words”"),
    (LESSON, "questions", "Full first aid: “aid words”"),
    (LESSON, "questions", "7.98 to 8.0 g/cm³. second why words"),
    (LESSON, "questions", "one say two say three say third why words"),
    (LESSON, "questions", "at most 7 %. fourth why words"),
    (LESSON, "show", "show words Full caution"),
    (TASKS, "top", "task aim words"),
    (TASKS, "top", "sample words Do first do words second do words Passed when passed words"),
    (TASKS, "top", "Safety: Full caution"),
    (TASKS, "top", "Test brass, Test sea: fails"),
    (CASES, "top", "story words"),
    (CASES, "top", "case right say Right. case right why"),
    (
        PLAN,
        "top",
        "goal words Lessons Full lesson Bench tasks Full task Cases Full case again words",
    ),
    (PLAN, "top", "week because words Source Full author"),
    (MENTOR, "sheet", "show words"),
    (MENTOR, "sheet", "Full task passed words"),
    (MENTOR, "answers", "first ask words right say words"),
    (MENTOR, "answers", "third ask words one say → two say → three say"),
    (LESSON, "care", "danger words"),
    (LESSON, "care", "First aid. call the emergency number words"),
]


@pytest.mark.parametrize(("page", "section", "words"), SHOWN)
def test_a_field_stands_on_its_page_under_its_heading(drawn, page, section, words):
    assert words in drawn[page][section][0]


LINKED = [
    (STEEL, "exposure", "../hazards/full-damp.html#rule-2"),
    (STEEL, "where-it-belongs", "../parts/full-pinion.html"),
    (STEEL, "figures", "../sources/handbook.html#full-book"),
    (PINION, "fails", "../hazards/full-damp.html"),
    (PINION, "remake", "../processes/full-harden.html"),
    (PINION, "demands", "../parts/test-case.html"),
    (DAMP, "exposure", "../materials/full-steel.html"),
    (HARDEN, "suits", "../materials/full-steel.html"),
    (SAYING, "top", "../materials/full-steel.html"),
    (LESSON, "read", "../materials/full-steel.html"),
]


@pytest.mark.parametrize(("page", "section", "target"), LINKED)
def test_a_reference_is_a_link(drawn, page, section, target):
    assert target in drawn[page][section][1]


@pytest.mark.parametrize(
    ("number", "why"),
    [(1, "first"), (2, "second"), (3, "third"), (4, "fourth"), (5, "placed"), (6, "fifth")],
)
def test_a_link_to_a_rule_leads_to_that_rule(invented_pages, number, why):
    """Rules of tests/full/hazards/full-damp.yaml, counted in the record."""
    words = after(f"rule-{number}", invented_pages[DAMP].body)
    assert words.index(" why words") == words.index(f"{why} why words") + len(why)


def test_a_hazard_does_not_name_the_spared_among_the_attacked(drawn):
    """Rules of tests/full: steel suffers, brass holds with care, test steel (18 % Cr) holds."""
    words = drawn[DAMP]["exposure"][0]
    suffers, care, holds = (words.index(w) for w in ("suffers", "holds with care", "holds T"))
    assert suffers < words.index("Full steel") < care < words.index("Test brass") < holds
    assert holds < words.index("Test steel")


def test_a_wrong_choice_is_not_among_the_usual(drawn):
    words = drawn[PINION]["top"][0]
    usual, wrong = words.index("usual words"), words.index("wrong words")
    assert "full tempered" in words[:usual] and "full annealed" in words[usual:wrong]


def test_every_page_ends_with_who_reviewed_it(drawn):
    for page in (STEEL, PINION, DAMP, HARDEN, SUM, SAYING, LESSON):
        last = list(drawn[page].values())[-1][0]
        assert "Reviewed 25 November 2026 by the role of" in last, page
