"""How long the pages are on a standing tablet, and what stands on their first screen.

The bars are those of the bench: a material in five screens, a part in four, a hazard and a work in
three and a half (median of all pages at 820 by 1180). Nothing of it is lost: what is folded opens
by its heading, by a link that leads into it, and on paper.
"""

import statistics

import pytest

from tests.conftest import laid_out, until

pytestmark = pytest.mark.browser

STANDING = {"width": 820, "height": 1180}
SCREENS = {"materials": 5, "parts": 4, "hazards": 3.5, "processes": 3.5}
HEIGHT = "document.documentElement.scrollHeight / innerHeight"
FIRST_SCREEN = "e => e.getBoundingClientRect().top < innerHeight"


@pytest.fixture
def standing(chromium):
    page = chromium.new_page(viewport=STANDING)
    yield page
    page.close()


@pytest.mark.parametrize("folder", SCREENS)
def test_half_of_the_pages_fit_their_bar(standing, site, folder):
    heights = []
    for path in (site / folder).glob("*.html"):
        if path.name != "index.html":
            standing.goto(path.as_uri())
            laid_out(standing)
            heights.append(standing.evaluate(HEIGHT))
    assert len(heights) > 20
    assert statistics.median(heights) <= SCREENS[folder]


@pytest.mark.parametrize(
    ("address", "pieces"),
    [
        ("materials/stainless-316l.html", [".answer", ".cautions", ".key", ".swatches svg"]),
        ("parts/train-pinion.html", [".answer", ".cautions", ".at-once", ".head svg", "#choices"]),
    ],
)
def test_answer_picture_and_next_step_stand_on_the_first_screen(standing, site, address, pieces):
    standing.goto((site / address).as_uri())
    assert [
        p for p in [*pieces, ".sections a"] if not standing.locator(p).first.evaluate(FIRST_SCREEN)
    ] == []


@pytest.mark.parametrize(
    ("address", "fold"),
    [
        ("materials/stainless-316l.html#figures", "Figures"),
        ("materials/stainless-316l.html#colour", "Figures"),
        ("parts/train-pinion.html#substitutes", "Substitutes"),
        ("parts/train-pinion.html#care-lead-dust", "Lead in dust and on hands"),
    ],
)
def test_a_link_opens_the_fold_it_leads_into(standing, site, address, fold):
    name, _, place = address.partition("#")
    standing.goto((site / name).as_uri())
    folded = standing.locator("details:is(.fold, .care)", has_text=fold).first
    assert folded.get_attribute("open") is None
    standing.goto((site / name).as_uri() + f"#{place}")
    until(standing, f"document.getElementById('{place}').closest('details').open")
    assert folded.get_attribute("open") is not None
    assert standing.locator(":target").bounding_box()["y"] < STANDING["height"]


def test_a_caution_is_one_line_and_its_text_one_tap_away(standing, site, knowledge):
    standing.goto((site / "parts" / "train-pinion.html").as_uri())
    lines = standing.locator("details.care > summary")
    assert lines.count() == standing.locator(".cautions li").count() == 3
    assert max(box["height"] for box in (line.bounding_box() for line in lines.all())) <= 60
    lead = knowledge.cautions["lead-dust"]
    assert not standing.locator("#care-lead-dust").get_by_text(lead.danger).is_visible()
    standing.locator(".cautions a", has_text="Lead").click()
    assert standing.locator("#care-lead-dust").get_by_text(lead.danger).is_visible()
    assert all(line in standing.locator("#care-lead-dust").inner_text() for line in lead.do)
