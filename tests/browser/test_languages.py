"""Cautions and first aid in each language: chosen on the page, tagged, whole, numbered alike."""

import re

import pytest

from generator.records.languages import offered
from generator.site.find_index import squash
from tests.browser.test_paper import sheets
from tests.conftest import settled, until

pytestmark = pytest.mark.browser

TAGS = ("de", "fr")
TITLES = {
    "first-aid": {"de": "Erste Hilfe an der Werkbank", "fr": "Premiers secours à l'établi"},
    "cautions": {"de": "Sicherheitshinweise", "fr": "Mises en garde"},
}


@pytest.mark.parametrize("page", TITLES)
@pytest.mark.parametrize("tag", ["de", "fr"])
def test_a_tap_changes_the_language(watched, site, page, tag):
    watched.goto((site / f"{page}.html").as_uri())
    watched.locator(f".languages a[hreflang={tag}]").click()
    watched.wait_for_url(f"**/{page}-{tag}.html")
    heading = watched.locator("h1")
    assert heading.inner_text() == TITLES[page][tag]
    assert heading.evaluate("h => h.closest('[lang]').lang") == tag
    # Whatever of a caution is not in its language is marked; sources keep their own titles.
    left = watched.locator(".caution:not([lang]), .caution [lang]:not(.from, td)").count()
    assert left == watched.locator(".caution .from [lang]").count()


def test_numbers_are_written_as_the_language_writes_them(watched, site):
    """Beryllium, 0.2 ug/m3 over 8 hours: OSHA 29 CFR 1910.1024; decimal comma: DIN 1338, and the
    style of the French bureau of measures."""
    for tag, said in (("de", "höchstens 0,2 µg/m³"), ("fr", "au plus 0,2 µg/m³")):
        watched.goto((site / f"cautions-{tag}.html").as_uri())
        text = watched.locator("#beryllium-dust table").inner_text().replace("\xa0", " ")
        assert said in text


def test_each_accident_has_its_lines_and_numbers(watched, site, knowledge):
    for tag in offered(knowledge):
        watched.goto((site / f"first-aid-{tag}.html").as_uri())
        for key, accident in knowledge.first_aid.items():
            section = watched.locator(f"#{key}")
            assert section.locator("ol li").count() == len(accident.do)
            wanted = re.findall(r"\d+", " ".join([*accident.do, accident.then]))
            text = " ".join(section.locator("ol, p:not(.from)").all_text_contents())
            assert sorted(re.findall(r"\d+", text)) == sorted(wanted)


@pytest.mark.parametrize(
    "page",
    [
        *(f"{name}-{tag}.html" for name in ("first-aid", "cautions", "leaflet") for tag in TAGS),
        *("glossary.html", "leaflet.html", "coverage.html"),
    ],
)
def test_nothing_runs_over_a_narrow_screen(watched, site, page):
    watched.set_viewport_size({"width": 320, "height": 700})
    watched.goto((site / page).as_uri())
    assert watched.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0


def test_the_glossary_has_a_column_for_each_language_and_sorts(watched, site):
    watched.goto((site / "glossary.html").as_uri())
    heads = watched.locator("#glossary thead th")
    assert [h.split()[0] for h in heads.all_inner_texts()] == ["English", "Deutsch", "français"]
    watched.locator("#glossary thead th").nth(1).locator("button").click()
    until(watched, "document.querySelector('#glossary th[aria-sort]') !== null")
    settled(watched)
    column = [t for t in watched.locator("#glossary tbody td:nth-child(2)").all_inner_texts() if t]
    first = [squash(t) for t in column[:8]]  # ä beside a, as a dictionary has it
    assert first == sorted(first)


def test_a_word_of_the_trade_is_tagged_on_its_page(watched, site):
    watched.goto((site / "parts" / "balance-staff.html").as_uri())
    for tag, word in (("de", "Unruhwelle"), ("fr", "axe de balancier")):
        assert word in watched.locator(f".in-languages [lang={tag}]").inner_text()


def test_the_glossary_prints_in_its_columns(watched, site):
    """A4 sheets, lying, nothing cut off at the right, each row whole on its sheet."""
    watched.set_viewport_size({"width": 1047, "height": 718})  # A4 less its margins, at 96 dpi
    watched.goto((site / "glossary.html").as_uri())
    found = sheets(watched)
    assert set(found) == {(842, 595)} and len(found) < 20
    watched.emulate_media(media="print")
    assert watched.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    rows = watched.locator("#glossary tbody tr")
    assert rows.first.evaluate("row => getComputedStyle(row).breakInside") == "avoid"
    assert rows.first.locator("td:visible").count() == 2
    watched.emulate_media(media="screen")
