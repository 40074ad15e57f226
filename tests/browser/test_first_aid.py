"""From any page, what to do after an accident is at most two taps away; the print has room for the
numbers."""

import pytest

pytestmark = pytest.mark.browser

ACCIDENTS = {
    "swallowed button cell": "Hospital for an X-ray",
    "splash in the eye": "15 to 20 minutes",
    "burn or scald": "Cool running water for 20 minutes",
    "flaking luminous dial": "radiation protection authority",
}


STARTS = [
    "index.html",
    "map.html",
    "identify.html",
    "materials/beryllium-copper-cube2.html",
    "processes/change-cell.html",
    "tables/hardness.html",
    "lessons/index.html",
    "names.html",
    "parts/crystal.html",
    "hazards/battery-leak.html",
    "formulas/density-ratio.html",
    "sayings/acid-into-water.html",
    "lessons/safety-gate.html",
    "glossary.html",
]


def test_two_taps_from_any_page(watched, site):
    """The first tap opens the page of first aid, the second the place of the accident; from each
    page another accident, from the last page every one."""
    turns = list(ACCIDENTS.items())
    for number, start in enumerate(STARTS):
        watched.goto((site / start).as_uri())
        watched.locator(".topbar__link--aid").click()
        last = start == STARTS[-1]
        for accident, words in turns if last else [turns[number % len(turns)]]:
            watched.locator(".links a", has_text=accident).click()
            section = watched.locator("section.caution:target")
            assert section.is_visible(), (start, accident)
            assert words in section.inner_text().replace("\xa0", " "), (start, accident)


def test_the_page_says_whom_to_call_before_anything_else(watched, site):
    watched.goto((site / "first-aid.html").as_uri())
    text = watched.locator(".md-content").inner_text()
    assert text.index("Emergency number") < text.index("swallowed")
    assert "safety data sheet" in text
