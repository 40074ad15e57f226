"""The find box puts the right page first for what people type."""

import re
import shutil

import pytest
import yaml

from generator.site import find_index
from tests.conftest import ROOT, until
from tests.finding import Finder

pytestmark = pytest.mark.browser

QUERIES = yaml.load(
    (ROOT / "tests" / "browser" / "queries.yaml").read_text(), Loader=yaml.CBaseLoader
)
AT_THE_BENCH = yaml.load(
    (ROOT / "tests" / "browser" / "queries_bench.yaml").read_text(), Loader=yaml.CBaseLoader
)
BY_KIND = yaml.load(
    (ROOT / "tests" / "browser" / "queries_kinds.yaml").read_text(), Loader=yaml.BaseLoader
)
NAMED = [
    "1.4404",
    "4404",
    "14404",
    "316L",
    "316 l",
    "X2CrNiMo17-12-2",
    "C360",
    "CW614N",
    "berylium",
    "rhodum",
    "18 ct",
    "18k",
    "750",
    "grade 5",
    "Ti-6Al-4V",
]
MAY_MISS = 2  # of at least 60
IN_LANGUAGES = yaml.load(
    (ROOT / "tests" / "browser" / "queries_languages.yaml").read_text(encoding="utf-8"),
    Loader=yaml.CBaseLoader,
)
FIRST_AT_LEAST = 185  # of 200


READY = "window.benchSearch !== undefined && benchSearch.missing('').length === 0"
HITS = "q => benchSearch.ask(q).map(i => benchSearch.entry(i).address)"


def answers(page, site, queries):
    """Hits of each query, with all languages loaded."""
    page.goto((site / "index.html").as_uri())
    page.locator("#find-input").fill("Unruhwelle")
    until(page, "window.benchFindNames && benchSearch.missing('Unruhwelle').length === 0")
    return {q: page.evaluate(HITS, q) for q in queries}


def test_the_words_of_a_bench_find_a_page_that_answers(site):
    """Symptoms, sizes, stamps, tools, standards, frightened words, slang: the list that the ranking
    was tuned on; the lead keeps another."""
    finder = Finder(site)
    found = {query: finder.hits(query) for query in AT_THE_BENCH}
    first = [q for q, right in AT_THE_BENCH.items() if found[q][:1] and found[q][0] in right]
    some = [q for q, right in AT_THE_BENCH.items() if set(found[q]) & set(right)]
    assert len(AT_THE_BENCH) >= 120
    assert len(first) >= 0.88 * len(AT_THE_BENCH), set(AT_THE_BENCH) - set(first)
    assert len(some) >= 0.97 * len(AT_THE_BENCH), set(AT_THE_BENCH) - set(some)


def test_kinds_of_question_find_a_page_that_answers(site):
    finder = Finder(site)
    found = {query: finder.hits(query) for query in BY_KIND}
    first = [q for q, right in BY_KIND.items() if found[q][:1] and found[q][0] in right]
    some = [q for q, right in BY_KIND.items() if set(found[q]) & set(right)]
    assert len(BY_KIND) >= 300
    assert len(first) >= 0.8 * len(BY_KIND), set(BY_KIND) - set(first)
    assert len(some) >= 0.97 * len(BY_KIND), set(BY_KIND) - set(some)


def test_some_words_missing_is_not_nothing_found(site):
    finder = Finder(site)
    assert "hazards/pool-chlorine.html" in finder.hits("qqqqzzzz pool chlorine wwwwxx")
    assert finder.hits("qqqqzzzz") == []


def test_the_right_page_comes_first(watched, site):
    found = answers(watched, site, QUERIES)
    assert len(QUERIES) >= 60
    missed = {q: found[q][:3] for q, wanted in QUERIES.items() if found[q][:1] != [wanted]}
    assert len(missed) <= MAY_MISS, missed


def test_what_is_typed_in_other_languages_finds_its_page_first(watched, site):
    wanted = {q: w for queries in IN_LANGUAGES.values() for q, w in queries.items()}
    assert sum(len(queries) for queries in IN_LANGUAGES.values()) == 200
    found = answers(watched, site, wanted)
    missed = {
        q: found[q][:3]
        for q, w in wanted.items()
        if not found[q] or found[q][0] not in ([w] if isinstance(w, str) else w)
    }
    assert 200 - len(missed) >= FIRST_AT_LEAST, missed


@pytest.mark.parametrize(
    ("typed", "lang", "word"),
    [
        ("Unruhwelle", "de", "Unruhwelle (Deutsch)"),
        ("gehaeuseboden", "de", "Gehäuseboden (Deutsch)"),
        ("Federhausdeckel", "de", "Federhaus (Deutsch)"),
        ("axe de balencier", "fr", "axe de balancier (français)"),
        ("verre de montre", "fr-FR", "verre de montre (français (France))"),
    ],
)
def test_a_hit_says_which_word_it_answers_to(watched, site, typed, lang, word):
    watched.goto((site / "index.html").as_uri())
    watched.locator("#find-input").fill(typed)
    watched.wait_for_selector("#find-list li .find__word")
    said = watched.locator("#find-list li").first.locator(".find__word")
    assert (said.get_attribute("lang"), said.inner_text()) == (lang, word)


def test_a_hit_in_the_language_of_the_page_says_no_other_word(watched, site):
    watched.goto((site / "index.html").as_uri())
    watched.locator("#find-input").fill("balance staff")
    watched.wait_for_selector("#find-list li")
    assert not watched.locator("#find-list li").first.locator(".find__word").count()


@pytest.mark.parametrize("query", NAMED)
def test_the_named_queries_all_come_first(watched, site, query):
    assert answers(watched, site, [query])[query][:1] == [QUERIES[query]]


def test_every_address_in_the_index_is_a_page(watched, site):
    watched.goto((site / "index.html").as_uri())
    watched.locator("#find-input").focus()
    until(watched, "window.benchFindIndex !== undefined")
    for address in watched.evaluate("benchFindIndex.addresses.split('\\n')"):
        page, _, anchor = address.partition("#")
        assert (site / page).is_file(), address
        assert not anchor or f'id="{anchor}"' in (site / page).read_text(encoding="utf-8"), address


def test_the_browser_takes_words_apart_as_the_generator_does(watched, site, knowledge):
    watched.goto((site / "index.html").as_uri())
    watched.locator("#find-input").focus()
    until(watched, READY)
    texts = [
        *QUERIES,
        *(q for queries in IN_LANGUAGES.values() for q in queries),
        "déjà 1,4404",
        "Weißgold, cœur, Ægir",
        "X2 CrNiMo 17-12-2",
        "½ µm 10²",
        "ﬁne",
        *(m.summary for m in knowledge.materials.values()),
    ]
    assert watched.evaluate("texts => texts.map(benchWords.words)", texts) == [
        find_index.words(t) for t in texts
    ]
    assert watched.evaluate("texts => texts.map(benchWords.squash)", texts) == [
        find_index.squash(t) for t in texts
    ]


def test_the_index_comes_with_the_first_focus_and_not_before(watched, site):
    watched.goto((site / "index.html").as_uri())
    watched.wait_for_load_state("networkidle")
    assert watched.evaluate("window.benchFindIndex === undefined")
    watched.locator("#find-input").focus()
    until(watched, "window.benchFindIndex !== undefined")


def test_other_languages_come_where_a_word_is_not_known(watched, site):
    """An English visit does not load them; a half typed word waits until the hand rests."""
    watched.goto((site / "index.html").as_uri())
    box = watched.locator("#find-input")
    for query in ("crown", "hardness of 1.4310", "annealing brass", "watch got wet"):
        box.fill("")
        watched.keyboard.type(query)
        watched.wait_for_selector("#find-list li")
    assert watched.evaluate("window.benchFindNames === undefined")
    box.fill("Zugfeder")
    until(watched, "window.benchFindNames !== undefined && benchSearch.missing('x').length === 0")
    until(watched, "document.querySelector('#find-list a')?.href.endsWith('parts/mainspring.html')")


def test_a_device_set_to_a_language_gets_its_names_at_once(chromium, site):
    context = chromium.new_context(locale="de-CH")
    page = context.new_page()
    page.goto((site / "index.html").as_uri())
    page.locator("#find-input").fill("gold")
    until(page, READY)
    assert page.evaluate("Object.keys(benchFindNames)") == ["de"]
    context.close()


def test_what_the_eye_sees_leads_to_what_did_it(watched, site):
    asked = [
        "rose gold turned yellow",
        "yellow blotchy patches on red gold",
        "mercury grey patch that spreads",
    ]
    found = answers(watched, site, asked)
    assert [found[q][0] for q in asked[:2]] == ["hazards/pool-chlorine.html"] * 2
    assert found[asked[2]][0] == "hazards/mercury.html"


def test_typing_shows_results_and_enter_opens_the_first(watched, site):
    watched.goto((site / "index.html").as_uri())
    watched.keyboard.press("/")
    watched.keyboard.type("1.4404")
    watched.wait_for_selector("#find-list li")
    assert watched.locator("#find-status").inner_text().endswith("found")
    watched.keyboard.press("Enter")
    watched.wait_for_url("**/materials/stainless-316l.html")


def test_arrow_keys_choose_and_escape_closes(watched, site):
    watched.goto((site / "tables" / "density-ratio.html").as_uri())
    watched.locator("#find-input").fill("gold")
    watched.wait_for_selector("#find-list li")
    watched.keyboard.press("ArrowDown")
    watched.keyboard.press("ArrowDown")
    assert watched.locator("#find-input").get_attribute("aria-activedescendant") == "find-1"
    watched.keyboard.press("Escape")
    assert watched.locator("#find-list").is_hidden()


def test_two_metals_lead_to_the_first_of_them_among_the_pairs(watched, site):
    watched.goto((site / "index.html").as_uri())
    watched.locator("#find-input").fill("aluminium steel contact")
    watched.wait_for_selector("#find-list li")
    watched.keyboard.press("Enter")
    watched.wait_for_url("**/tables/pairs.html#aluminium")


def test_a_closed_list_chooses_nothing_and_an_arrow_opens_it_again(watched, site):
    watched.goto((site / "index.html").as_uri())
    box = watched.locator("#find-input")
    box.fill("gold")
    watched.wait_for_selector("#find-list li")
    watched.keyboard.press("ArrowDown")
    watched.keyboard.press("Escape")
    assert box.get_attribute("aria-activedescendant") is None
    watched.keyboard.press("Enter")
    assert watched.url.endswith("index.html")
    watched.keyboard.press("ArrowUp")
    assert watched.locator("#find-list").is_visible()
    last = watched.locator("#find-list li").last
    assert last.get_attribute("aria-selected") == "true"
    watched.keyboard.press("Tab")
    until(watched, "document.getElementById('find-list').hidden")


def test_a_screen_reader_is_told_the_box_its_hits_and_the_chosen_one(watched, site):
    """WAI-ARIA 1.2, combobox: it names its listbox and the active option, and says whether it is
    open; the count is a live status."""
    watched.goto((site / "index.html").as_uri())
    watched.locator("#find-input").fill("mainspring")
    watched.wait_for_selector("#find-list li")
    watched.keyboard.press("ArrowDown")
    tree = watched.locator(".find").aria_snapshot()
    assert 'combobox "Find a part, metal, hazard or number" [expanded]' in tree
    assert 'listbox "Found pages"' in tree
    assert re.search(r'option "Mainspring parts .*\[selected\]', tree)
    assert re.search(r"status: \d+ pages found", tree)
    assert len(re.findall(r"\[selected\]", tree)) == 1


def test_on_a_narrow_phone_the_box_fits_and_its_last_hit_is_reached(chromium, site):
    context = chromium.new_context(viewport={"width": 320, "height": 568}, has_touch=True)
    page = context.new_page()
    page.goto((site / "index.html").as_uri())
    page.locator("#find-input").tap()
    page.locator("#find-input").fill("gold")
    page.wait_for_selector("#find-list li")
    box, hits = (
        page.locator("#find-input").bounding_box(),
        page.locator("#find-list").bounding_box(),
    )
    assert box["height"] >= 48 and box["width"] >= 200
    assert hits["x"] >= 0 and hits["x"] + hits["width"] <= 320
    assert hits["y"] + hits["height"] <= 568
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    last = page.locator("#find-list li a").last
    last.scroll_into_view_if_needed()
    assert last.bounding_box()["y"] + last.bounding_box()["height"] <= 568
    context.close()


def test_without_scripts_nothing_speaks_of_a_box(chromium, site):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "index.html").as_uri())
    tree = page.locator(".topbar").aria_snapshot()
    assert "Find a part" not in tree and "combobox" not in tree and "search" not in tree
    assert 'link "A to Z"' in tree
    context.close()


def test_a_tap_on_a_result_opens_it(chromium, site):
    context = chromium.new_context(viewport={"width": 820, "height": 1180}, has_touch=True)
    page = context.new_page()
    page.goto((site / "index.html").as_uri())
    page.locator("#find-input").tap()
    page.locator("#find-input").fill("sea water")
    page.locator("#find-list li a").first.tap()
    page.wait_for_url("**/hazards/sea-water.html")
    context.close()


def test_without_its_index_the_box_says_so(chromium, site, tmp_path):
    copy = tmp_path / "site"
    shutil.copytree(site, copy)
    (copy / "assets" / "find-index.js").unlink()
    page = chromium.new_page()
    page.goto((copy / "index.html").as_uri())
    page.locator("#find-input").fill("brass")
    until(page, "document.getElementById('find-status').textContent.includes('Use A to Z')")
    page.close()


def test_nothing_found_says_so(watched, site):
    watched.goto((site / "index.html").as_uri())
    watched.locator("#find-input").fill("qqqqzzzz")
    until(watched, "document.getElementById('find-status').textContent.startsWith('Nothing found')")


# What people type who know no name, and names in the plural; common words of both languages.
ASKED = {
    "Grünspan": "hazards/sweat.html",
    "Meersalz": "hazards/sea-water.html",
    "Beschlag unter dem Glas": "hazards/humidity-inside.html",
    "heruntergefallen": "hazards/shock.html",
    "geht plötzlich vor": "hazards/magnetic-field.html",
    "Batterie leer": "processes/change-cell.html",
    "Schrauben": "parts/movement-screw.html",
    "spiralfedern": "parts/balance-spring.html",
    "bruecken": "parts/bridge.html",
    "etwas im Auge": "first-aid.html#eye-struck",
    "buée sous la glace": "hazards/humidity-inside.html",
    "vert de gris": "hazards/sweat.html",
    "montre tombee": "hazards/shock.html",
    "pile vide": "processes/change-cell.html",
    "argent noirci": "hazards/sulfur-tarnish.html",
    "couronnes": "parts/crown.html",
    "levees": "parts/jewel-pallet.html",
    "quelle huile": "processes/oil-and-grease.html",
}


def test_symptoms_and_plurals_in_other_languages(site):
    finder = Finder(site)
    found = {query: finder.hits(query)[:1] for query in ASKED}
    assert {q: hit for q, hit in found.items() if hit != [ASKED[q]]} == {}
