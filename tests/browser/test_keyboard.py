"""The frame of every page and the keyboard: the choice of light or dark stays, the menu opens, Tab
reaches everything in sight."""

import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from itertools import takewhile

import pytest

from tests.browser.test_access import SEEN
from tests.conftest import settled, until

pytestmark = pytest.mark.browser

SCHEME = "document.body.getAttribute('data-md-color-scheme')"


class Quiet(SimpleHTTPRequestHandler):
    """Serves the site and says nothing."""

    def log_message(self, *_):
        """No line a request."""


@pytest.fixture
def roots(site):
    """The site's address from the folder and from a server."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield {"file": site.as_uri(), "http": f"http://127.0.0.1:{server.server_address[1]}"}
    server.shutdown()
    server.server_close()


def choose(page, name):
    """Take a choice of the menu."""
    page.locator(".menu summary").click()
    page.get_by_role("button", name=name, exact=True).click()
    page.keyboard.press("Escape")


@pytest.mark.parametrize("way", ["file", "http"])
def test_light_or_dark_is_remembered_on_every_page(chromium, roots, way):
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"{roots[way]}/index.html")
    assert page.evaluate(SCHEME) == "default"
    choose(page, "Dark")
    for address in ("parts/crown.html", "tables/hardness.html", "index.html"):
        page.goto(f"{roots[way]}/{address}")
        assert page.evaluate(SCHEME) == "slate", address
    choose(page, "Light")
    page.goto(f"{roots[way]}/materials/stainless-316l.html")
    assert page.evaluate(SCHEME) == "default"
    pressed = page.locator(".menu__choices [aria-pressed=true]").evaluate_all(
        "all => all.map(e => e.textContent)"
    )
    assert pressed == ["Light", "Type for reading"]
    context.close()


def test_the_setting_of_the_device_is_followed_until_somebody_chooses(chromium, site):
    context = chromium.new_context(color_scheme="dark")
    page = context.new_page()
    page.goto((site / "about.html").as_uri())
    assert page.evaluate(SCHEME) == "slate"
    page.emulate_media(color_scheme="light")
    until(page, f"{SCHEME} === 'default'")
    choose(page, "Dark")
    page.goto((site / "index.html").as_uri())
    assert page.evaluate(SCHEME) == "slate"
    choose(page, "As the device")
    assert page.evaluate(SCHEME) == "default"
    context.close()


TOKENS = "ground paper line soft ink quiet link brass yes no warn warn-ink"
COLOURS = f"""(() => {{ const style = getComputedStyle(document.body);
    return '{TOKENS}'.split(' ').map(t => style.getPropertyValue('--bench-' + t))
        .concat(style.backgroundColor); }})()"""


def colours(chromium, address, scripts):
    """For each setting of the device every colour token of a page and what stands behind its
    text."""
    context, found = chromium.new_context(java_script_enabled=scripts), {}
    page = context.new_page()
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        page.goto(address)
        found[scheme] = page.evaluate(COLOURS)
    context.close()
    return found


def test_without_scripts_the_device_decides_and_the_colours_are_the_same(chromium, site):
    address = (site / "parts" / "crown.html").as_uri()
    without = colours(chromium, address, scripts=False)
    assert without == colours(chromium, address, scripts=True)
    assert (
        without["dark"][-1] == "rgb(16, 22, 28)" != without["light"][-1]
    )  # blue-black, else ivory


def test_type_for_the_bench_is_larger_by_a_fifth_and_kept(chromium, site):
    context = chromium.new_context()
    page = context.new_page()
    size = "parseFloat(getComputedStyle(document.querySelector('.md-content p')).fontSize)"
    page.goto((site / "about.html").as_uri())
    before = page.evaluate(size)
    choose(page, "Larger, for the bench")
    page.goto((site / "glossary.html").as_uri())
    page.goto((site / "about.html").as_uri())
    assert page.evaluate(size) == pytest.approx(1.2 * before)
    context.close()


def test_every_page_leads_home_and_the_start_page_names_the_pages_opened_last(chromium, site):
    context = chromium.new_context()
    page = context.new_page()
    for address in ("parts/crown.html", "materials/stainless-316l.html", "parts/crown.html"):
        page.goto((site / address).as_uri())
    page.locator(".topbar__home").click()
    assert page.url == (site / "index.html").as_uri()
    page.locator("#last a").first.wait_for()
    assert page.locator("#last a").all_inner_texts() == ["Crown", "Stainless steel 316L"]
    page.locator("#last a").first.click()
    assert page.url == (site / "parts" / "crown.html").as_uri()
    context.close()


def test_the_menu_opens_and_shuts_by_keyboard(watched, site):
    watched.goto((site / "about.html").as_uri())
    link = watched.locator(".menu a[href='parts/index.html']")
    menu = watched.locator(".menu summary")
    assert not link.is_visible()
    menu.focus()
    watched.keyboard.press("Enter")
    assert link.is_visible()
    watched.keyboard.press("Escape")
    assert not link.is_visible()
    assert watched.evaluate("document.activeElement.textContent") == "Menu"


def test_folded_text_opens_where_a_link_leads_into_it_and_on_paper(watched, site):
    watched.goto((site / "leaflet.html").as_uri())
    watched.evaluate("document.querySelector('details.group li').id = 'inside'")
    watched.evaluate("location.hash = 'inside'")
    until(watched, "document.getElementById('inside').closest('details').open")
    count = "document.querySelectorAll('.md-content details:not([open])').length"
    shut = watched.evaluate(count)
    assert shut > 3
    watched.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert watched.evaluate(count) == 0
    watched.evaluate("dispatchEvent(new Event('afterprint'))")
    assert watched.evaluate(count) == shut


# Everything that can be used, numbered; of a group of radio buttons the keyboard stops at one.
NUMBER = """() => {
  const all = [...document.querySelectorAll(
    'a[href], button, input, select, summary, textarea, [tabindex="0"]')]
    .filter(e => e.tabIndex >= 0 && e.checkVisibility({checkVisibilityCSS: true})
      && e.getClientRects().length && !e.disabled);
  const groups = {}, stops = [];
  all.forEach(e => {
    const group = e.type === 'radio' && e.name;
    if (group && group in groups) { e.dataset.stop = groups[group]; return; }
    if (group) { groups[group] = stops.length; }
    e.dataset.stop = stops.length;
    stops.push(e.outerHTML.slice(0, 100));
  });
  return stops;
}"""
# Where the keyboard is: its number, whether it is seen, and whether it is shown in the window and
# clear of what stays at the top.
WHERE = """() => {
  const e = document.activeElement;
  const head = document.querySelector('.topbar').getBoundingClientRect().bottom;
  const r = e.getBoundingClientRect();
  const clear = e.closest('.topbar, .md-skip') || e.matches('.scroll, .curve')
    || (r.top >= head - 1 && r.top < innerHeight && r.bottom > head);
  return {stop: e.dataset ? e.dataset.stop : undefined, clear: Boolean(clear),
    at: e.outerHTML.slice(0, 100)};
}"""
# Each press notes where the one before it led, when all has been scrolled.
NOTE = f"""() => {{
  const where = {WHERE}, seen = {SEEN};
  window.passed = [];
  window.note = () => passed.push({{...where(), seen: seen()}});
  addEventListener('keydown', press => {{ if (press.key === 'Tab') {{ note(); }} }}, true);
}}"""
BACK = 40  # stops on the way back up, where what stays at the top could cover them


def walk(page, key, presses):
    """The places that a key leads to which is held so long, until it leaves the page."""
    page.evaluate("() => { passed.length = 0; }")
    *with_it, key = key.split("+")
    for held in with_it:
        page.keyboard.down(held)
    for _ in range(presses):  # a key held down comes again
        page.keyboard.down(key)
    for held in (key, *with_it):
        page.keyboard.up(held)
    passed = page.evaluate("() => { note(); return passed; }")[1:]
    assert len(passed) == presses
    return list(takewhile(lambda place: place.get("stop") is not None, passed))


@pytest.mark.parametrize(
    "address",
    [
        "index.html",
        "parts/index.html",
        "parts/pallet-staff.html",
        "materials/tungsten-heavy-alloy.html",
        "hazards/ozone.html",
        "processes/plate-rhodium.html",
        "formulas/density-by-immersion.html",
        "tables/fineness.html",
        "identify.html",
        "leaflet.html",
        "compare.html",
        "lessons/lesson-04-hardening-and-tempering.html",
        "names.html",
    ],
)
def test_tab_reaches_everything_and_the_place_is_seen(watched, site, address):
    watched.goto((site / address).as_uri())
    settled(watched)
    stops = watched.evaluate(NUMBER)
    assert len(stops) > 8
    watched.evaluate(NOTE)
    places = walk(watched, "Tab", len(stops) + 3)
    reached = {int(place["stop"]) for place in places}
    watched.evaluate(
        "last => document.querySelector(`[data-stop='${last}']`).focus()", max(reached)
    )
    back = walk(watched, "Shift+Tab", BACK)
    assert len(back) >= min(BACK, len(reached) - 1)
    assert [p["at"] for p in places + back if not (p["clear"] and p["seen"])] == []
    assert [stop for i, stop in enumerate(stops) if i not in reached] == []
