"""The watch as a map: zones and parts of the drawing lead to their pages, by tap and by key; part
pages mark their zone."""

import pytest

from tests.conftest import LYING, until

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page(chromium):
    """A page that may leave while it is still loading."""
    page = chromium.new_page(viewport=LYING)
    yield page
    page.close()


@pytest.mark.parametrize("piece", ["text", ".w-body >> nth=0"])
def test_a_tap_on_a_label_and_on_a_shape_leads_to_the_part(page, site, piece):
    page.goto((site / "map.html").as_uri())
    page.locator(".zone--power a", has_text="Ratchet wheel").locator(piece).click()
    page.wait_for_url("**/parts/ratchet-wheel.html")


def test_a_zone_opens_by_the_keyboard(page, site):
    page.goto((site / "map.html").as_uri())
    page.locator(".zone--seals > a").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/zones/seals.html")


def test_the_lists_name_every_zone_and_every_part(watched, site, knowledge):
    watched.goto((site / "map.html").as_uri())
    links = watched.evaluate(
        "[...document.querySelectorAll('.map__list a')].map(a => a.getAttribute('href'))"
    )
    assert {f"parts/{p}.html" for p in knowledge.parts} <= set(links)
    assert {f"zones/{r.zone}.html" for r in knowledge.parts.values()} <= set(links)


def test_the_page_of_a_part_marks_its_zone_in_words_and_shape(watched, site):
    watched.goto((site / "parts" / "escape-wheel.html").as_uri())
    assert watched.locator(".where").inner_text().strip() == "Where it sits: escapement"
    assert watched.locator(".where").get_attribute("href") == "../map.html#inside"
    drawn = watched.locator(".where img")
    until(watched, "document.querySelector('.where img').naturalWidth > 0")
    watched.goto((site / "parts" / drawn.get_attribute("src")).resolve().as_uri())
    marked = watched.evaluate(
        "[...document.querySelectorAll('.zone--marked')].map(g => g.classList[1])"
    )
    assert marked == ["zone--escapement"]
    width = "selector => parseFloat(getComputedStyle(document.querySelector(selector)).strokeWidth)"
    assert watched.evaluate(width, ".zone--escapement path") > 2 * watched.evaluate(
        width, ".zone--train path"
    )


def test_the_start_page_has_the_new_doors(page, site):
    page.goto((site / "index.html").as_uri())
    page.locator(".md-content a", has_text="The watch, drawn").click()
    assert page.locator("h1").inner_text() == "The watch as a map"
    page.go_back()
    page.locator(".md-content a", has_text="What to tell the owner").click()
    assert page.locator("h1").inner_text() == "What to tell the owner"
