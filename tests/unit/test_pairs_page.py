"""The page of metals in contact, read as the trade reads it: who corrodes beside whom, where, and
what is usual all the same. Of the four groups of the invented records: plating, 316L and its like,
brass, carbon steel."""

import re

import pytest

from generator.site.pages.contact import pairs_page
from tests.shown import by_section, read


@pytest.fixture(scope="module")
def groups(invented_pages):
    """Each group of metals by its place on the page: its piece of the page."""
    found = re.findall(
        r'<section class="contact" id="(.*?)">(.*?)</section>',
        invented_pages["tables/pairs.md"].body,
        re.DOTALL,
    )
    return dict(found)


def rows(piece: str) -> list[list[str]]:
    """Partners, who corrodes, and a verdict for sweat, damp and dry; what is usual left out."""
    body = re.sub(r"<br><small>.*?</small>", "", piece.split("<tbody>")[1], flags=re.DOTALL)
    return [
        [read(cell)[0] for cell in re.findall(r"<t[hd].*?</t[hd]>", row, re.DOTALL)]
        for row in re.findall(r"<tr>.*?</tr>", body, re.DOTALL)
    ]


def test_groups_stand_from_noble_to_base_with_a_way_to_each(groups, invented_pages):
    """Volts against the saturated calomel electrode fall down the page."""
    assert list(groups) == ["noble-plate", "steel-316", "brass", "carbon-steel"]
    ways = by_section(invented_pages["tables/pairs.md"].body)["find"]
    assert ways == (
        "Precious plating 316L and its like Brass Carbon steel and soft iron",
        [f"#{key}" for key in groups],
    )
    volts = [
        float(re.search("Place: (.*?) V", read(g)[0].replace("−", "-"))[1]) for g in groups.values()
    ]
    assert volts == sorted(volts, reverse=True)


def test_a_group_names_its_metals_its_places_and_their_sources(groups):
    plate, steel = (read(groups[key])[0] for key in ("noble-plate", "steel-316"))
    assert plate.startswith(
        "Precious plating 2 materials; place in sea water Full plate, Test plate. Place:"
    )
    assert steel.startswith(
        "316L and its like 1 material; place in sea water Stainless steel with 2 to 3 % molybdenum."
        " Test steel. Place: −0.05 V in the open, −0.46 V in a gap, against the saturated calomel"
        " electrode. Australasian Corrosion … ASM International beside"
    )
    assert "V in a gap" not in plate  # no film that could break
    assert steel.count("ASM International") == 1  # a source that gave two places is named once


def test_beside_carbon_steel_nearly_all_is_nobler(groups):
    """Partners with the same answer share a row, the mildest first in the order of the degrees."""
    assert rows(groups["carbon-steel"]) == [
        [
            "precious plating; brass",
            "in the open: carbon steel and soft iron (fast if it is the small piece)",
            *("fast", "usual (slow)", "usual"),
        ],
        [
            "316L and its like",
            "in the open: carbon steel and soft iron (fast if it is the small piece)",
            *("fast", "slow", "no attack"),
        ],
    ]


def test_a_film_that_breaks_in_a_gap_turns_the_pair_round(groups):
    """Brass goes beside 316L in the open, 316L itself in a wet gap; beside plating neither goes in
    the open; beside carbon steel, which goes fast, the film holds and no gap is named."""
    found = {row[0]: row[1:] for row in rows(groups["steel-316"])}
    both = "; in a wet gap: 316L and its like (fast if it is the small piece)"
    assert found == {
        "precious plating": [f"in the open: neither{both}", "usual (slow)", "usual", "usual"],
        "brass": [
            f"in the open: the partner{both}",
            *("usual (slow)", "usual (slow)", "usual"),
        ],
        "carbon steel and soft iron": [
            "in the open: the partner (fast if it is the small piece)",
            *("fast", "slow", "no attack"),
        ],
    }


def test_a_usual_pairing_says_once_what_to_look_for(groups):
    """Three situations, one pairing; its source stands behind it."""
    brass = read(groups["brass"])[0]
    assert brass.count("Steel backs and crown tubes in brass and bronze cases are usual.") == 1
    assert brass.count("Gilt plates, dials and hands sit on bare brass in every movement.") == 1
    assert "greens slowly at the seam. common practice" in brass


def test_in_the_overview_the_sign_and_the_colour_agree(invented_pages):
    """A usual pairing is coloured as what holds, though one of the two goes."""
    overview = invented_pages["tables/pairs.md"].body.split('id="overview"')[-1]
    overview = overview.split("#overview }")[-1].split("<tbody>")[-1].split("</tbody>")[0]
    cells = set(re.findall(r'<td class="m m--([a-z-]+)">(.*?)</td>', overview))
    assert cells == {
        ("same", "·"),
        ("holds", "u"),
        ("holds", "u ▴"),
        ("holds", "u ◂"),
        ("holds-with-care", "(−) ▴"),
        ("holds-with-care", "(−) ◂"),
        ("fails", "− ▴"),
        ("fails", "− ◂"),
    }


def test_bases_under_a_coating_worst_first(invented_pages):
    pores = invented_pages["tables/pairs.md"].body.split("#pores }")[1].split("##")[0]
    assert re.findall(r'verdict--([a-z-]+)">(.*?)<', pores) == [
        ("fails", "fast at pores"),
        ("holds-with-care", "slow at pores"),
        ("holds", "no attack at pores"),
    ]
    assert re.findall(r'href="#(.*?)"', pores) == ["carbon-steel", "brass", "steel-316"]


def test_only_metals_without_a_place_are_named_as_such(invented, invented_pages, monkeypatch):
    said = "Not placed, because no published figure was found or the film insulates:"
    assert said not in invented_pages["tables/pairs.md"].body
    monkeypatch.delitem(invented.contacts.place_of, "test-brass")
    monkeypatch.delitem(invented.contacts.members, "brass")
    told = by_section(pairs_page(invented).body)["how"][0]
    assert f"{said} Test brass. By the older" in told


def test_the_page_sends_readers_to_the_hazard_where_there_is_one(invented_pages, site_pages):
    """The shipped base has a hazard of metals in a wet joint, the invented one has none."""
    assert "hazards/galvanic-contact.html" not in invented_pages["tables/pairs.md"].body
    assert "../hazards/galvanic-contact.html" in pairs_page(site_pages).body
