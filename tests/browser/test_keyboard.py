"""The frame of every page and the keyboard: the choice of light or dark stays, the menu opens, Tab
reaches everything in sight."""

import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer

import pytest

from tests.browser.test_access import SEEN
from tests.conftest import until

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


@pytest.mark.parametrize("way", ["file", "http"])
def test_light_or_dark_is_remembered_on_every_page(chromium, roots, way):
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"{roots[way]}/index.html")
    assert page.evaluate(SCHEME) == "default"
    page.locator("label[title='Switch to dark']").click()
    for address in ("parts/crown.html", "tables/hardness.html", "index.html"):
        page.goto(f"{roots[way]}/{address}")
        assert page.evaluate(SCHEME) == "slate", address
    page.locator("label[title='Switch to light']").click()
    page.goto(f"{roots[way]}/materials/stainless-316l.html")
    assert page.evaluate(SCHEME) == "default"
    assert page.locator("label[title='Switch to dark']").is_visible()
    assert not page.locator("label[title='Switch to light']").is_visible()
    context.close()


def test_light_or_dark_by_keyboard(watched, site):
    watched.goto((site / "about.html").as_uri())
    watched.locator("input[name=__palette]:checked").focus()
    for key, scheme in (("Enter", "slate"), (" ", "default"), ("ArrowRight", "slate")):
        watched.keyboard.press(key)
        assert watched.evaluate(SCHEME) == scheme, key
        assert watched.evaluate("document.activeElement.name") == "__palette"


def test_the_menu_opens_and_shuts_by_keyboard(watched, site):
    watched.goto((site / "about.html").as_uri())
    link = watched.locator(".md-sidebar--primary a[href='parts/index.html']").first
    assert not link.is_visible()
    menu = watched.get_by_role("button", name="Menu")
    menu.focus()
    watched.keyboard.press("Enter")
    assert menu.get_attribute("aria-expanded") == "true"
    assert link.is_visible()
    watched.keyboard.press("Escape")
    assert menu.get_attribute("aria-expanded") == "false"
    until(
        watched,
        "getComputedStyle(document.querySelector('.md-sidebar--primary')).visibility === 'hidden'",
    )


def test_folded_text_opens_where_a_link_leads_into_it_and_on_paper(watched, site):
    watched.goto((site / "leaflet.html").as_uri())
    watched.evaluate("document.querySelector('details.group li').id = 'inside'")
    watched.evaluate("location.hash = 'inside'")
    until(watched, "document.getElementById('inside').closest('details').open")
    shut = watched.evaluate("document.querySelectorAll('details:not([open])').length")
    assert shut > 3
    watched.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert watched.evaluate("document.querySelectorAll('details:not([open])').length") == 0
    watched.evaluate("dispatchEvent(new Event('afterprint'))")
    assert watched.evaluate("document.querySelectorAll('details:not([open])').length") == shut


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
# Where the keyboard is: its number, and whether it is shown in the window and clear of what stays
# at the top.
WHERE = """() => {
  const e = document.activeElement;
  const head = document.querySelector('.find').getBoundingClientRect().bottom;
  const r = (e.matches('.md-option') ? e.nextElementSibling : e).getBoundingClientRect();
  const clear = e.closest('.md-header, .find, .md-skip') || e.matches('.scroll, .curve')
    || (r.top >= head - 1 && r.top < innerHeight && r.bottom > head);
  return {stop: e.dataset ? e.dataset.stop : undefined, clear: Boolean(clear),
    at: e.outerHTML.slice(0, 100)};
}"""


BACK = 40  # stops on the way back up, where what stays at the top could cover them


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
    watched.wait_for_timeout(100)
    stops, reached, hidden = watched.evaluate(NUMBER), set(), []
    assert len(stops) > 8
    for direction, presses in (("Tab", len(stops) + 3), ("Shift+Tab", BACK)):
        for _ in range(presses):
            watched.keyboard.press(direction)
            where = watched.evaluate(WHERE)
            if where["stop"] is None:
                break
            reached.add(int(where["stop"]))
            if not where["clear"] or not watched.evaluate(SEEN):
                hidden.append((direction, where["at"]))
    assert hidden == []
    assert [stops[i] for i in range(len(stops)) if i not in reached] == []
