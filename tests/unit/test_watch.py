"""The drawn watch: every zone stands in it, its parts are known, labels are as large as a finger
and keep apart."""

import re
from itertools import pairwise

import pytest

from generator.checks.rules import check
from generator.site.view import View
from generator.site.watch_map import HEIGHTS, PLACES, SIDES, labels, linked, marks, wrapped
from tests.conftest import ROOT

TEMPLATES = ROOT / "site_src" / "templates"


@pytest.fixture(scope="module")
def view(knowledge):
    return View(knowledge, TEMPLATES, {})


def placed(side):
    return [
        (zone, part)
        for column in PLACES[side].values()
        for zone, parts in column.items()
        for part in parts
    ]


def test_every_zone_is_drawn_once_and_on_its_side(knowledge):
    drawn = {side: [zone for column in PLACES[side].values() for zone in column] for side in SIDES}
    assert sorted(drawn["exterior"] + drawn["movement"]) == sorted(knowledge.words("zones"))
    assert all(
        knowledge.words("zones")[zone].side == side
        for side, zones in drawn.items()
        for zone in zones
    )


@pytest.mark.parametrize("side", list(SIDES))
def test_a_drawn_part_stands_in_the_zone_of_its_record(knowledge, side):
    assert [
        (zone, part)
        for zone, part in placed(side)
        if part in knowledge.parts and knowledge.parts[part].zone != zone
    ] == []


def test_every_label_has_a_shape_and_every_shape_a_label():
    shapes = re.findall(
        r"call part\('([a-z-]+)'\)", (TEMPLATES / "watch.j2").read_text(encoding="utf-8")
    )
    assert sorted(shapes) == sorted(part for side in SIDES for _, part in placed(side))


@pytest.mark.parametrize("side", list(SIDES))
def test_labels_are_large_and_keep_apart(knowledge, view, side):
    found = labels(knowledge, view, side, list(knowledge.words("zones")))
    for x in {label.x for label in found.values()}:
        column = sorted(
            (label for label in found.values() if label.x == x), key=lambda label: label.y
        )
        assert all(label.height >= 48 and label.width >= 48 for label in column)
        assert all(second.y - (first.y + first.height) >= 8 for first, second in pairwise(column))
        assert column[-1].y + column[-1].height <= HEIGHTS[side]


def test_every_label_is_a_link_with_its_name_as_text(knowledge, view):
    drawing = linked(knowledge, view, "movement", list(knowledge.words("zones")), "map.html")
    texts = {
        re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", found)).strip(): address
        for address, found in re.findall(r'<a href="([^"]+)">(.*?)</a>', drawing, re.DOTALL)
    }
    assert texts["Escape wheel"] == "parts/escape-wheel.html"
    assert texts["Barrel and mainspring"] == "zones/power.html"
    assert len(texts) == len(labels(knowledge, view, "movement", list(knowledge.words("zones"))))


def test_what_has_no_page_is_drawn_without_a_link(small):
    knowledge, _ = check(small)  # one part, which the drawing does not know, in one zone
    drawing = linked(knowledge, View(knowledge, TEMPLATES, {}), "exterior", ["case"], "map.html")
    assert re.findall(r'<a href="([^"]+)"', drawing) == ["zones/case.html", "#inside"]


def test_the_small_drawing_marks_one_zone_and_says_which(knowledge, view):
    small = marks(knowledge, view, ["case", "train"])["train"]
    assert re.findall(r"zone--(\w+) zone--marked", small) == ["train"]
    assert "marked: train" in small
    assert "<a " not in small and "<text" not in small


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Crown", ["Crown"]),
        ("Crown and pushers", ["Crown and", "pushers"]),
        ("Case back gasket", ["Case back gasket"]),
        ("Setting of the shock protection", ["Setting of the", "shock protection"]),
    ],
)
def test_long_labels_take_two_lines(text, lines):
    assert wrapped(text, 16) == lines
