"""A figure that stands in the wrong row is asked about; one that has its own ground is not.

Common practice of those who read sheets: two mills hardly measure the same three digits by chance,
and one mill prints a family's constant on each of its sheets.
"""

import pytest

from generator.checks.rules import check

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
