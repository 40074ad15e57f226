"""What an edit does, in words: each kind of difference made by hand, its line as the lead reads
it, and the order of the lines."""

from generator.upkeep.effects import effects
from generator.upkeep.said import SECTIONS

NOTHING = {section: {} for section in SECTIONS}


def told(site, **sections):
    """Lines of what differs; each section is (old, new) by subject."""
    old = NOTHING | {section: both[0] for section, both in sections.items()}
    new = NOTHING | {section: both[1] for section, both in sections.items()}
    return [e.text for e in effects(site, old, new)]


def one(site, section, was, now, subject="materials/full-steel", what="x"):
    old = {subject: {what: was} if was is not None else {}}
    new = {subject: {what: now} if now is not None else {}}
    return told(site, **{section: (old, new)})


def test_what_a_metal_shows_and_what_a_saying_rests_on(invented):
    assert one(invented, "marks", "yes", "no", subject="full-steel", what="magnet") == [
        "Full steel, magnet: yes -> no"
    ]
    assert one(invented, "grounds", "held", "broken", what="1") == [
        "Full steel, question 1, rests on: held -> broken"
    ]
    assert one(invented, "grounds", "held", None, what="") == [
        "Full steel rests on: held -> nothing"
    ]


def test_a_long_text_keeps_its_two_ends(invented):
    whole, longer = "a" * 160, "b" * 80 + "c" * 81
    assert one(invented, "marks", whole, longer, subject="full-steel", what="file") == [
        f"Full steel, file: {whole} -> {'b' * 77} ... {'c' * 77}"
    ]


def test_a_card_is_printed_again_or_is_no_more(invented):
    other = {"materials/full-brass": {"card": "1"}}
    was = {"materials/full-steel": {"card": "1"}, **other}
    now = {"materials/full-steel": {"card": "2"}, **other}
    assert told(invented, cards=(was, now)) == ["Full steel"]
    assert told(invented, cards=(was, other)) == ["Full steel has no card any more"]


def test_cells_of_a_table_that_differ_and_rows_that_came_or_went(invented):
    was = {"x": {"full-steel": "7; 8; 9", "gone": "1"}}
    now = {"x": {"full-steel": "7; 5; 6", "come": "2"}}
    assert told(invented, tables=(was, now)) == [
        "x: Full steel: 8 -> 5; 9 -> 6",
        "x: come: a new row",
        "x: gone: the row is gone",
    ]


def test_only_some_rows_of_a_table_are_told_one_by_one(invented):
    rows = [f"r{number}" for number in range(7)]
    was, now = {"x": dict.fromkeys(rows, "1")}, {"x": dict.fromkeys([*rows, "same"], "2")}
    was["x"]["same"] = "2"
    assert told(invented, tables=(was, now)) == [
        *(f"x: r{number}: 1 -> 2" for number in range(5)),
        "x: 2 more of its 8 rows",
    ]


def test_weighty_lines_come_first(invented):
    subject = "materials/full-steel"
    found = told(
        invented,
        marks=({"full-steel": {"magnet": "yes"}}, {"full-steel": {"magnet": "no"}}),
        grounds=({subject: {"": "held"}}, {subject: {"": "broken"}}),
        tables=({"x": {"full-steel": "7"}}, {"x": {"full-steel": "8"}}),
        leaflet=({subject: {"x": "a"}}, {subject: {"x": "b"}}),
    )
    assert found == [
        "Full steel: a -> b",
        "Full steel rests on: held -> broken",
        "Full steel, magnet: yes -> no",
        "x: Full steel: 7 -> 8",
    ]
