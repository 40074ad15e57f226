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


@pytest.mark.parametrize(
    "start",
    [
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
    ],
)
def test_two_taps_from_any_page(watched, site, start):
    """The first tap opens the page of first aid, the second the place of the accident; every
    accident is tapped in turn."""
    watched.goto((site / start).as_uri())
    watched.locator(".topbar__link--aid").click()
    for accident, words in ACCIDENTS.items():
        watched.locator(".links a", has_text=accident).click()
        section = watched.locator("section.caution:target")
        assert section.is_visible(), accident
        assert words in section.inner_text().replace("\xa0", " "), accident


def test_the_page_says_whom_to_call_before_anything_else(watched, site):
    watched.goto((site / "first-aid.html").as_uri())
    text = watched.locator(".md-content").inner_text()
    assert text.index("Emergency number") < text.index("swallowed")
    assert "safety data sheet" in text
