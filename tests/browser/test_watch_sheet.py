"""The watch in hand: what is set is answered at once, sheets outlive what can happen to them, and
both papers fit their sheets."""

import functools
import gzip
import http.server
import json
import threading

import pytest

from tests.browser.test_access import COLOURS, SIZES, add_axe, put_on, violations
from tests.browser.test_paper import A4, A5, sheets
from tests.conftest import Watched, until

pytestmark = pytest.mark.browser

DIVER, DRESS = "three-hand-automatic-diver", "dress-watch-plated-brass"
LOADED = 41_500  # bytes, packed, of scripts and data that only this page has; 1,100 of them
# say of each verdict whether it rests on a borrowed figure or on little
SHEET = {"sheet": 1, "watch": DIVER, "parts": {"crown": {"material": "brass-cuzn37"}}}


@pytest.fixture
def sheet(watched, site):
    open_kind(watched, site, DIVER)
    return watched


def open_kind(page, site, kind=""):
    page.goto((site / "watch-sheet.html").as_uri() + (f"?watch={kind}" if kind else ""))
    until(page, "Boolean(document.querySelector('form[data-watch]:not([hidden])'))")
    if kind:
        until(page, "document.querySelectorAll('.tile').length > 30")


def tile(page, part):
    return page.locator(f'.tile[data-part="{part}"]')


def set_metal(page, part, metal):
    if tile(page, part).get_attribute("aria-expanded") != "true":
        tile(page, part).click()
    page.select_option(".panel [name=material]", metal)


def said(page):
    return page.locator("[data-said]").inner_text()


def kept(page):
    return page.evaluate(
        "() => Object.entries(localStorage).filter(([k]) => k.startsWith('bench.watch.'))"
    )


def give(page, name, content):
    text = content if isinstance(content, str) else json.dumps(content)
    page.set_input_files(
        "#sheet-file",
        {"name": name, "mimeType": "application/json", "buffer": text.encode()},
    )


def test_a_wrong_metal_is_named_at_once_and_first(sheet):
    """Brass screws of a diver's case corrode; an unplated brass crown is the weak one in sweat
    (common practice)."""
    assert "assumed" in tile(sheet, "crown").inner_text()
    set_metal(sheet, "crown", "steel-c75s")
    first = sheet.locator(".finding").first.inner_text()
    assert first.startswith("Now") and "Crown" in first and "rust" in first
    assert "now" in tile(sheet, "crown").inner_text()
    set_metal(sheet, "crown", "=")
    assert "assumed" in tile(sheet, "crown").inner_text()


def test_the_answers_stand_in_the_first_screen_of_a_standing_tablet(watched, site):
    watched.set_viewport_size(SIZES["standing"])
    open_kind(watched, site, DRESS)
    box = watched.locator(".finding").first.bounding_box()
    assert box["y"] + box["height"] < 1180 / 2


def test_what_is_set_outlives_a_reload(sheet, site):
    set_metal(sheet, "crown", "brass-cuzn37")
    sheet.locator(".panel summary").click()
    sheet.fill(".panel [name=hardness]", "150")
    sheet.fill(".panel [name=by]", "bench")
    ((_, text),) = kept(sheet)
    (measured,) = json.loads(text)["measured"]
    assert (measured["value"], measured["unit"], measured["by"]) == ("150", "HV", "bench")
    open_kind(sheet, site)
    until(sheet, "document.querySelectorAll('.tile').length > 30")
    assert "Brass" in tile(sheet, "crown").inner_text()
    tile(sheet, "crown").click()
    assert sheet.input_value(".panel [name=hardness]") == "150"


def test_full_storage_is_said_and_nothing_is_lost(sheet):
    sheet.evaluate("() => { Storage.prototype.setItem = () => { throw new Error('full'); }; }")
    set_metal(sheet, "crown", "brass-cuzn37")
    assert "storage is full" in said(sheet)
    with sheet.expect_download() as saved:
        sheet.locator("[data-said] button").click()
    text = saved.value.path().read_text()
    assert json.loads(text)["parts"]["crown"]["material"] == "brass-cuzn37"


def test_a_damaged_kept_sheet_is_left_as_it_is(watched, site):
    open_kind(watched, site)
    watched.evaluate("() => localStorage.setItem('bench.watch.x', '{\"sheet\": 1, \"watch')")
    open_kind(watched, site)
    assert "damaged" in said(watched)
    watched.select_option("[name=kind]", DIVER)
    until(watched, "document.querySelectorAll('.tile').length > 30")
    set_metal(watched, "crown", "brass-cuzn37")
    assert dict(kept(watched))["bench.watch.x"] == '{"sheet": 1, "watch'
    assert len(kept(watched)) == 2


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("{", "damaged"),
        ("[1]", "not a watch sheet"),
        ({**SHEET, "sheet": 9}, "newer edition"),
        ({**SHEET, "watch": "sundial"}, "sundial"),
    ],
)
def test_a_file_that_cannot_be_opened_says_why_and_changes_nothing(sheet, content, says):
    set_metal(sheet, "bezel", "brass-cuzn37")
    before = kept(sheet)
    give(sheet, "a.json", content)
    until(sheet, "document.querySelector('[data-said]').textContent !== ''")
    assert says in said(sheet)
    assert "Brass" in tile(sheet, "bezel").inner_text() and kept(sheet) == before


def test_an_older_file_is_brought_up_and_a_saved_one_comes_back(sheet):
    give(sheet, "old.json", {**SHEET, "sheet": 0})
    until(sheet, "document.querySelector('[data-said]').textContent.includes('older')")
    tile(sheet, "crown").filter(has_text="Brass").wait_for()
    with sheet.expect_download() as saved:
        sheet.locator("[data-act=save]").click()
    text = saved.value.path().read_text()
    assert json.loads(text)["sheet"] == 1 and saved.value.suggested_filename.endswith(".json")
    set_metal(sheet, "crown", "=")
    give(sheet, "again.json", text)
    until(sheet, "document.querySelector('[data-said]').textContent.includes('Opened again')")
    tile(sheet, "crown").filter(has_text="Brass").wait_for()


def test_two_windows_lose_nothing(chromium, site):
    context = chromium.new_context(viewport=SIZES["lying"])
    one, other = context.new_page(), context.new_page()
    open_kind(one, site, DIVER)
    set_metal(one, "crown", "brass-cuzn37")
    open_kind(other, site)
    until(other, "document.querySelectorAll('.tile').length > 30")
    set_metal(other, "bezel", "titanium-grade-2")
    until(one, "document.querySelector('[data-said]').textContent.includes('another window')")
    set_metal(one, "case-back", "silver-925")
    found = [json.loads(text)["parts"] for _, text in kept(one)]
    assert len(found) == 2
    assert {"crown", "bezel"} in map(set, found) and {"crown", "case-back"} in map(set, found)
    context.close()


def open_paper(page):
    page.locator("details:has(> summary:text('Note, paper'))").evaluate("d => { d.open = true; }")


def printed(page, act):
    page.evaluate("() => { window.print = () => {}; }")
    open_paper(page)
    page.locator(f"[data-act={act}]").click()
    until(page, "Boolean(document.querySelector('.watch-paper'))")


def test_the_job_sheet_is_a4_and_has_every_part(sheet, knowledge):
    set_metal(sheet, "crown", "brass-cuzn37")
    printed(sheet, "job")
    found = sheets(sheet)
    assert set(found) == {A4} and len(found) <= 4
    rows = sheet.locator(".jobsheet tbody tr")
    assert rows.count() == len(knowledge.watches[DIVER].parts)
    text = sheet.locator(".jobsheet").text_content()
    assert "Cautions" in text and "radium" in text and "licensed practice" in text


def test_the_owners_page_is_one_a5(sheet):
    sheet.locator("summary", has_text="How the owner wears it").click()
    for word in ("swimming in the sea", "sport and sweat"):
        sheet.locator(".ticks label", has_text=word[1:]).locator("input").check()
    printed(sheet, "owner")
    assert sheets(sheet) == [A5]
    text = sheet.locator(".watch-paper .leaflet").text_content()
    assert "Water resistance is not permanent" in text and "not known to keep water out" in text


@pytest.mark.parametrize("tag", ["de", "fr"])
def test_the_owners_page_is_printed_in_the_chosen_language(sheet, knowledge, tag):
    """The sentences of the leaflet, one A5 page, nothing left in English; the form says how the
    sentences were translated."""
    sheet.locator("summary", has_text="How the owner wears it").click()
    for word in ("swimming in the sea", "sport and sweat"):
        sheet.locator(".ticks label", has_text=word[1:]).locator("input").check()
    open_paper(sheet)
    sheet.select_option("[name=language]", tag)
    trust = sheet.locator("form p[data-trust]").text_content()
    assert "No native practitioner has signed it." in trust
    printed(sheet, "owner")
    assert sheets(sheet) == [A5]
    paper = sheet.locator(".watch-paper .leaflet")
    assert paper.get_attribute("lang") == tag
    assert sheet.locator(f".watch-paper .leaflet [lang]:not([lang={tag}])").count() == 0
    text = paper.text_content().replace("\N{NO-BREAK SPACE}", " ")
    for entry in knowledge.words("leaflet_limits").values():
        assert entry.translations[entry.says][tag] in text
    steel = knowledge.materials["stainless-316l"]
    assert steel.translations[steel.owner[0]][tag] in text


@pytest.mark.parametrize("kind", ["", DIVER])
def test_a_narrow_window_does_not_scroll_sideways(watched, site, kind):
    watched.set_viewport_size({"width": 320, "height": 700})
    open_kind(watched, site, kind)
    if kind:
        tile(watched, "balance-wheel").click()
        watched.locator(".panel summary").click()
    assert watched.evaluate("document.documentElement.scrollWidth") <= 320


def test_axe_finds_nothing_with_everything_open(watched, site):
    watched.set_viewport_size(SIZES["standing"])
    open_kind(watched, site, DIVER)
    tile(watched, "balance-wheel").click()
    watched.locator(".panel summary").click()
    for summary in watched.locator(".fold:not([hidden]) > summary").all():
        summary.click()
    until(watched, "Boolean(document.querySelector('[data-fold=baths] h3'))")
    add_axe(watched)
    put_on(watched, "light")
    light = violations(watched)
    put_on(watched, "dark")
    assert (light, violations(watched, COLOURS)) == ([], [])


def test_every_tile_and_control_is_large(sheet):
    boxes = sheet.evaluate(
        "() => [...document.querySelectorAll('.tile, .watchsheet select, .watchsheet .button,"
        " .watchsheet summary')].filter(e => e.checkVisibility())"
        ".map(e => e.getBoundingClientRect()).map(r => [r.width, r.height])"
    )
    assert len(boxes) > 70 and min(min(b) for b in boxes) >= 47.5


def test_an_open_part_leads_to_the_elimination_among_its_own_metals(sheet, site):
    set_metal(sheet, "case-middle", "")
    assert "not known" in tile(sheet, "case-middle").inner_text()
    link = sheet.locator("[data-found] a").last
    among = link.get_attribute("href").partition("among=")[2].partition("&")[0].partition("#")[0]
    link.click()
    sheet.wait_for_url("**/identify.html*")
    until(sheet, "[...document.querySelectorAll('.calc__result')].some(o => / of /.test(o.value))")
    total = int(sheet.locator(".calc__result").inner_text().split(" of ")[1].split()[0])
    assert 5 < total <= len(among.split(","))


def test_a_new_metal_shows_what_it_weighs_and_what_it_brings(sheet):
    sheet.locator("summary", has_text="Weight and fine metal").click()
    sheet.select_option("[name=other]", "titanium-grade-5")
    until(sheet, "document.querySelector('[data-fold=weight]').textContent.includes('titanium')")
    text = sheet.locator("[data-fold=weight] .fold__in").inner_text()
    assert "invented" in text and "titanium swarf" in text.lower()


def test_the_drawing_bears_the_metals_of_this_watch(sheet):
    set_metal(sheet, "crown", "brass-cuzn37")
    sheet.locator("summary", has_text="The drawn watch").click()
    until(sheet, "Boolean(document.querySelector('.w-metal'))")
    label = sheet.locator(".map__drawing a[href$='parts/crown.html'] .w-metal")
    assert label.text_content() == "Brass CuZn37"
    assert sheet.locator(".map__drawing a.w-absent").count() > 0  # the kind has no buckle


def test_what_only_this_page_loads_is_small(apart, site):
    asked = set()
    apart.on("request", lambda request: asked.add(request.url.partition("?")[0]))
    for kind in ("titanium-chronograph", DIVER):
        asked.clear()
        open_kind(apart, site, kind)
        own = {u.rpartition("/assets/")[2] for u in asked if "/assets/watch" in u}
        assert f"watches/{kind}.js" in own
        sizes = [len(gzip.compress((site / "assets" / n).read_bytes(), 9, mtime=0)) for n in own]
        assert sum(sizes) <= LOADED


def test_it_works_from_a_server_too(chromium, site):
    quiet = type("Quiet", (http.server.SimpleHTTPRequestHandler,), {"log_message": lambda *_: None})
    server = http.server.ThreadingHTTPServer(
        ("127.0.0.1", 0), functools.partial(quiet, directory=str(site))
    )
    threading.Thread(target=server.serve_forever, daemon=True).start()
    page = chromium.new_page()
    watch = Watched(page)
    page.goto(f"http://127.0.0.1:{server.server_port}/watch-sheet.html?watch={DIVER}")
    until(page, "document.querySelectorAll('.tile').length > 30")
    page.close()
    server.shutdown()
    server.server_close()
    assert [f for f in watch.faults if not f.startswith("left the site: http://127.0.0.1")] == []
