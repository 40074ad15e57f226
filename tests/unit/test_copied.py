"""A figure that stands in the wrong row is asked about; one that has its own ground is not.

Common practice of those who read sheets: two mills hardly measure the same three digits by chance,
and one mill prints a family's constant on each of its sheets.
"""

import pytest

from generator.checks.copied import _is_habit
from generator.checks.rules import check
from tests.benchmarks.planted import noticed, place_of

BRASS, OTHER = "alloys/test-brass.yaml", "alloys/other-brass.yaml"
EXPANSION = "expansion: [{typical: 19.9, over: [20, 300], source: test-standard}]"
MILL = "test-mill: {title: Invented mill sheet, publisher: Somebody else, kind: producer}\n"


def asked_about(root, other, answered=""):
    """The files in which a copy is suspected, with a second brass of this expansion."""
    knowledge = root / "knowledge"
    sources = next(p for p in (knowledge / "sources").glob("*.yaml") if "test-st" in p.read_text())
    sources.write_text(sources.read_text() + MILL)
    text = (knowledge / BRASS).read_text()
    assert EXPANSION in text
    text = text.replace("Test brass", "Other brass").replace("An invented", "Another invented")
    text = text.replace("CuZn30", "CuZn31").replace(EXPANSION, other) + answered
    (knowledge / OTHER).write_text(text)
    found = [c for c in check(root)[1] if c.rule == "copied_from_a_relative"]
    return {c.place.file.split("/")[-1] for c in found}


MINE = "{typical: 19.9, over: [20, 300], source: test-mill}"


@pytest.mark.parametrize(
    ("other", "files"),
    [
        (f"expansion: [{MINE}]", {"test-brass.yaml", "other-brass.yaml"}),
        (EXPANSION, set()),  # one body printed both
        (f"expansion: [{MINE.replace('19.9', '20.1')}]", set()),
        (f"expansion: [{MINE.replace('300', '200')}]", set()),  # not the same quantity
    ],
)
def test_a_relatives_figure_under_another_source(small, other, files):
    assert asked_about(small, other) == files


def test_a_second_source_beside_it_bears_it_out(small):
    second = MINE.replace("19.9", "20").replace("test-mill", "test-standard")
    assert asked_about(small, f"expansion: [{MINE}, {second}]") == {"test-brass.yaml"}


@pytest.mark.parametrize(
    ("why", "still_asked"),
    [
        ("two mills measured 19.9", {"test-brass.yaml"}),
        ("two mills measured 19.90 alike", {"test-brass.yaml"}),
        ("two mills measured alike", {"test-brass.yaml", "other-brass.yaml"}),
        ("two mills measured 119.9", {"test-brass.yaml", "other-brass.yaml"}),
    ],
)
def test_the_record_may_say_why_of_the_numbers_that_it_names(small, why, still_asked):
    answered = f"answered: {{copied_from_a_relative: {why}}}\n"
    assert asked_about(small, f"expansion: [{MINE}]", answered) == still_asked


@pytest.mark.parametrize(
    ("key", "way", "source", "slip", "told"),
    [
        (  # a table of the platinum metals has a row for each, and no two alike
            "palladium-plate",
            ("figures", "density"),
            "pgm-table-1972",
            {"typical": "12.41"},
            "copied_from_a_relative: density 12.41 is also that of rhodium-plate",
        ),
        (  # the standard prints one round figure for many stainless steels
            "stainless-303",
            ("figures", "elastic-modulus"),
            "en-10088-1",
            {"typical": "200"},
            "",
        ),
        (  # what was worked out for a relative was copied to a printed figure
            "silver-925",
            ("states", "half-hard", "figures", "tensile-strength"),
            "espi-sterling",
            {"range": ["260", "510"]},
            "copied_from_a_relative: tensile strength 260 to 510 is also that of silver-958",
        ),
        (  # one digit tells enough beside another temper of the same metal
            "copper-nickel-tin-cuni15sn8",
            ("states", "hard-aged", "figures", "elongation"),
            "shlion-c72900",
            {"typical": "4"},
            "copied_from_another_state: elongation at break 4 is also that of",
        ),
    ],
)
def test_a_copy_in_the_shipped_records(knowledge, key, way, source, slip, told):
    found = noticed(knowledge, ("", key, place_of(knowledge.materials[key], way, source), slip))
    assert found.startswith(told) and bool(found) == bool(told)


@pytest.mark.parametrize(
    ("pairs", "alike", "here", "habit"),
    [
        (200, 1, 1, False),  # no other of the body is in the group
        (6, 1, 2, False),  # five other pairs, all apart
        (5, 1, 2, True),  # four are too few to tell
        (25, 3, 2, True),  # two of the 24 others are alike
        (61, 4, 2, True),  # three of 60 others, one in twenty
        (62, 4, 2, False),  # fewer
    ],
)
def test_what_a_body_does_elsewhere(pairs, alike, here, habit):
    assert _is_habit((pairs, alike), here) == habit
