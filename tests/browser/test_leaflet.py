"""The owner's leaflet: what is chosen comes out, once each; it fits its page or says so; nothing
is kept or sent."""

import pytest

from generator.site.leaflet import WATER
from generator.site.view import plain_text
from tests.browser.test_paper import A5, sheets
from tests.conftest import settled, until
from tests.unit.test_eight_leaflets import WATCHES

pytestmark = pytest.mark.browser


@pytest.fixture
def leaflet(watched, site):
    watched.goto((site / "leaflet.html").as_uri())
    watched.wait_for_selector("form[data-leaflet]")
    return watched


def tick(page, label):
    page.locator(".ticks label", has_text=label).locator("input").check()


def speak(page, tag):
    """Chooses a language and waits for its sentences."""
    page.select_option("#leaflet-language", tag)
    until(page, f"document.querySelector('.leaflet').lang === {tag or 'en'!r}")


def said(page):
    return page.locator(".leaflet li").all_inner_texts()


def test_what_is_chosen_comes_out(leaflet, knowledge):
    leaflet.select_option("#leaflet-case", "stainless-316l")
    leaflet.select_option("#leaflet-bracelet", "leather-strap")
    leaflet.select_option("#leaflet-water", "1")
    tick(leaflet, "Swimming in the sea")
    lines = said(leaflet)
    for record in (
        knowledge.materials["stainless-316l"],
        knowledge.materials["leather-strap"],
        knowledge.hazards["sea-water"],
    ):
        assert set(record.owner) <= {line.replace("\N{NO-BREAK SPACE}", " ") for line in lines}
    assert "Not for the sea: leather." in lines  # the rule of sea water on leather
    assert not any("Rhodium" in line for line in lines)
    assert len(lines) == len(set(lines))


def test_the_limits_stand_before_anything_is_chosen(leaflet):
    text = " ".join(said(leaflet))
    assert "Water resistance is not permanent" in text and "luminous dials stay closed" in text
    assert "hypoallergenic" not in leaflet.content().lower()


def test_only_a_marked_divers_watch_is_told_how_to_dive(leaflet, knowledge):
    """ISO 6425 reserves the mark of a diver's watch; a depth on the dial alone is not that mark."""
    tick(leaflet, "Diving")
    for water, warned in (("0", True), ("1", True), ("2", False)):
        leaflet.select_option("#leaflet-water", water)
        lines = " ".join(said(leaflet))
        assert ("Do not dive with this watch" in lines) is warned
        assert ("after every swim in the sea" in lines) is not warned


def test_a_watch_not_known_to_be_tight_is_kept_from_water(leaflet):
    for label in ("Washing hands", "Swimming in the sea"):
        tick(leaflet, label)
    lines = " ".join(said(leaflet))
    assert "before you wash your hands" in lines and "before you swim" in lines
    assert "does no harm" not in lines and "after every swim" not in lines


def test_a_plated_case_is_judged_as_plated(leaflet):
    """Bare brass suffers from sweat; below gold it does not meet it (common practice)."""
    leaflet.select_option("#leaflet-case", "brass-cuzn37")
    leaflet.select_option("#leaflet-plating", "gold-hard-plate")
    tick(leaflet, "Sport and sweat")
    assert not any("hard on: brass" in line or "time: brass" in line for line in said(leaflet))


def test_start_again_clears_it(leaflet):
    before = said(leaflet)
    leaflet.select_option("#leaflet-case", "titanium-grade-5")
    assert len(said(leaflet)) > len(before)
    leaflet.locator("button[type=reset]").click()
    settled(leaflet)
    assert said(leaflet) == before


def test_nothing_is_kept(leaflet):
    leaflet.select_option("#leaflet-case", "titanium-grade-5")
    assert (
        leaflet.evaluate("Object.keys(localStorage).filter(key => /leaflet|owner/.test(key))") == []
    )
    assert leaflet.evaluate("document.cookie") == ""
    leaflet.reload()
    assert leaflet.locator("#leaflet-case").input_value() == ""


FITS, TOO_LONG = "Fits one A5 page.", "Too long for one A5 page; leave something out."


def fit(page):
    """Whether the page says that it fits."""
    return page.locator("[role=status].calc__said").inner_text()


def test_it_fits_one_a5_page_or_says_so(leaflet):
    for field in leaflet.locator("form select:not([name=language])").all():
        field.select_option(index=1)
    boxes = leaflet.locator(".ticks input").all()
    for ticked, more in ((0, 3), (3, 6), (6, 17), (17, 17)):
        says = fit(leaflet)
        assert says == FITS or ticked >= 6 and says == TOO_LONG, ticked
        if says == FITS:
            assert sheets(leaflet) == [A5], ticked
        for box in boxes[ticked:more]:
            box.check()
    assert says == TOO_LONG


@pytest.mark.parametrize("tag", ["", "de", "fr"])
def test_each_of_eight_watches_fits_one_a5_page(leaflet, knowledge, tag):
    """The same watches as in tests/unit/test_eight_leaflets.py, in each language."""
    activities, found = knowledge.words("activities"), {}
    for watch, (materials, water, does, _, _) in WATCHES.items():
        leaflet.locator("button[type=reset]").click()
        speak(leaflet, tag)
        for field, key in materials.items():
            leaflet.select_option(f"#leaflet-{field}", key)
        leaflet.select_option("#leaflet-water", str(list(WATER).index(water)))
        for activity in does:
            name = activities[activity].name
            tick(leaflet, name[0].upper() + name[1:])
        assert leaflet.locator(".ticks input:checked").count() == len(does), watch
        found[watch] = fit(leaflet), sheets(leaflet)
    assert len(found) == 8
    assert {w: is_so for w, is_so in found.items() if is_so != (FITS, [A5])} == {}


def test_without_scripts_every_sentence_is_there(chromium, site, knowledge):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "leaflet.html").as_uri())
    assert not page.locator("form[data-leaflet]").is_visible()
    assert "Water resistance is not permanent" in page.locator(".leaflet").inner_text()
    text = page.locator(".md-content__inner").text_content().replace("\N{NO-BREAK SPACE}", " ")
    records = [*knowledge.materials.values(), *knowledge.hazards.values()]
    assert [
        line
        for r in records
        for line in r.owner
        if plain_text(line).replace("\N{NO-BREAK SPACE}", " ") not in text
    ] == []
    assert page.locator("details.group[open]").count() == 0
    context.close()


@pytest.mark.parametrize("tag", ["de", "fr"])
def test_another_language_is_a_choice_on_the_page(leaflet, knowledge, tag):
    """Every word of the sheet is in it or says that it is not; back again, all is English."""
    leaflet.select_option("#leaflet-case", "stainless-316l")
    tick(leaflet, "Diving")
    english = said(leaflet)
    speak(leaflet, tag)
    without = knowledge.words("activities")["diving"]
    assert without.translations[without.without][tag] in [
        line.replace("\N{NO-BREAK SPACE}", " ") for line in said(leaflet)
    ]
    assert not set(english) & set(said(leaflet))
    foreign = leaflet.locator(f".leaflet [lang]:not([lang={tag}])")
    assert foreign.all_inner_texts() == []  # nothing is left in English
    translated = leaflet.locator(".leaflet__translated")
    assert translated.is_visible() and translated.get_attribute("lang") == tag
    speak(leaflet, "")
    assert said(leaflet) == english
    assert not translated.is_visible()


@pytest.mark.parametrize("tag", ["de", "fr"])
def test_long_words_stay_on_a_narrow_screen(leaflet, tag):
    leaflet.set_viewport_size({"width": 320, "height": 700})
    speak(leaflet, tag)
    for field in leaflet.locator("form select:not([name=language])").all():
        field.select_option(index=1)
    for box in leaflet.locator(".ticks input").all():
        box.check()
    assert leaflet.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    spills = """() => [...document.querySelectorAll('.leaflet *')]
        .filter(e => e.scrollWidth > e.clientWidth + 1 && e.clientWidth).map(e => e.textContent)"""
    assert leaflet.evaluate(spills) == []


def test_a_line_that_nobody_has_translated_stands_in_english_and_says_so(leaflet):
    speak(leaflet, "de")
    leaflet.evaluate("delete benchLeafletIn.de.said['Swimming in the sea']")
    tick(leaflet, "Swimming in the sea")
    heading = leaflet.locator(".leaflet h3", has_text="Swimming in the sea")
    assert heading.get_attribute("lang") == "en"
