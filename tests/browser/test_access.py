"""Every page kind loads cleanly from file:// and passes axe (WCAG 2.2 AA) light, dark and in forced
colours, on a lying and a standing tablet, at 320 pixels and at 200 %; controls and links are large;
focus is seen."""

import pytest

from tests.conftest import LYING, ROOT, Watched, laid_out, settled, until

pytestmark = pytest.mark.browser

KINDS = [
    "index.html",
    "materials/stainless-316l.html",
    "parts/train-pinion.html",
    "hazards/sea-water.html",
    "processes/plate-rhodium.html",
    "tables/density-ratio.html",
    "tables/case-mass.html",
    "tables/matrix-hazards.html",
    "tables/pairs.html",
    "formulas/pitting-index.html",
    "marks/gold-750.html",
    "families/gold.html",
    "zones/train.html",
    "names.html",
    "names/a.html",
    "sources.html",
    "sources/paper.html",
    "glossary.html",
    "cautions.html",
    "coverage.html",
    "about.html",
    "compare.html",
    "identify.html",
    "map.html",
    "pictures.html",
    "poster.html",
    "leaflet.html",
    "first-aid.html",
    "parts/case-middle.html",
    "parts/index.html",
    "watches/index.html",
    "watches/dress-watch-plated-brass.html",
    "materials/index.html",
    "materials/steel-o1.html",
    "hazards/index.html",
    "processes/index.html",
    "tables/index.html",
    "tables/hardness.html",
    "tables/matrix-parts-movement.html",
    "formulas/index.html",
    "formulas/hardness-conversion.html",
    "formulas/tempering-temperature.html",
    "lessons/index.html",
    "lessons/lesson-04-hardening-and-tempering.html",
    "sayings/index.html",
    "sayings/14-ct-is-583.html",
    "compare.html?m=brass-cuzn37,stainless-316l,gold-18-yellow-3n&part=case-middle",
    "identify.html?colour=yellow&magnet=none&in_air=20.00&in_water=18.70",
    "identify.html?colour=yellow&magnet=strong",
    "watch-sheet.html",
    "queue.html",
    "measure.html",
    "editions.html",
    "poster-a4.html",
    "first-aid-de.html",
    "cautions-fr.html",
    "formulas/job-remake-a-case.html",
    "lessons/plan.html",
    "lessons/tasks.html",
    "lessons/cases.html",
    "lessons/again.html",
    "lessons/mentor.html",
    "lessons/safety-gate.html",
]
AXE = (ROOT / "tests" / "browser" / "axe.min.js").read_text(encoding="utf-8")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
SCHEMES = {"light": "default", "dark": "slate"}
SIZES = {"lying": LYING, "standing": {"width": 820, "height": 1180}}
# 320 px across, and a lying tablet at 200 %: half as many pixels of the page
NARROW = {"phone": {"width": 320, "height": 640}, "doubled": {"width": 590, "height": 410}}
# No page has sound or film (asserted below), which is all that needs its sheets fetched beforehand.
RUN = """only => {
  const where = %s, how = {runOnly: only, resultTypes: ['violations'], preload: false};
  return where.length ? axe.run(where, how) : {violations: []};
}"""
# What can differ where only colours do: in the dark the same elements stand at the same places.
COLOURS = ["color-contrast", "link-in-text-block"]
NOTE_HIDDEN = """() => {
  window.hid = [...document.body.querySelectorAll('*')].filter(e => !e.checkVisibility());
}"""
SHOWN_NOW = "window.hid.filter(e => e.checkVisibility())"
STILL = """() => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync('* { transition: none !important }');
  document.adoptedStyleSheets.push(sheet);
}"""
# Rows of a table, entries of a list and sections of a page are alike. Of the first eight those of a
# shape of their own (tags, classes, attributes, text or none) say what there is to say.
SHORTEN = """() => {
  const seen = new Set();
  const shape = e => [e.tagName, e.className.baseVal ?? e.className, e.getAttributeNames(),
    Boolean(e.textContent.trim()), '(', [...e.children].map(shape), ')'].join(' ');
  document.querySelectorAll('tbody, .md-typeset ul, .md-typeset ol, dl').forEach(list =>
    [...list.children].forEach((child, n) => {
      const said = list.tagName + list.className + shape(child);
      if (n > 7 || n && seen.has(said)) { child.remove(); }
      seen.add(said);
    }));
  document.querySelectorAll('.md-content__inner > section:nth-of-type(n + 9)').forEach(section =>
  section.remove());
}"""


@pytest.fixture(scope="module")
def lab(chromium):
    """The page in which axe runs, with notes of what must not happen."""
    context = chromium.new_context()
    yield Watched(context.new_page())
    context.close()


def url(site, address):
    """The address of a page on this machine, with what stands after its name."""
    name, mark, query = address.partition("?")
    return (site / name).as_uri() + mark + query


def add_axe(page):
    """Hand axe into a page as a debugger would, which the site's policy does not forbid; what moves
    stands still."""
    session = page.context.new_cdp_session(page)
    session.send("Runtime.evaluate", {"expression": AXE})
    session.detach()
    page.evaluate(STILL)


def violations(page, only=TAGS, where="[document]"):
    found = page.evaluate(RUN % where, only)["violations"]
    return [(v["id"], v["nodes"][0]["html"][:120]) for v in found]


def put_on(page, scheme):
    """Show a page in its light or dark colours."""
    page.evaluate("s => document.body.setAttribute('data-md-color-scheme', s)", SCHEMES[scheme])


def seen_by_axe(page):
    """What axe finds on a page, by size and colours.

    Each size and each way of colours is looked at whole once; lying in the dark, where only the
    colours are others than in the light, the colours of what did not show standing in the dark.
    """
    found = {}
    for size, scheme, where, only in (
        ("phone", "light", "[document]", TAGS),
        ("standing", "dark", "[document]", TAGS),
        ("lying", "dark", SHOWN_NOW, COLOURS),
        ("lying", "light", "[document]", TAGS),
    ):
        page.set_viewport_size((SIZES | NARROW)[size])
        put_on(page, scheme)
        found[size, scheme] = violations(page, only, where)
        page.evaluate(NOTE_HIDDEN)
    page.set_viewport_size(NARROW["doubled"])
    page.emulate_media(forced_colors="active")
    found["doubled", "forced colours"] = violations(page)
    page.emulate_media(forced_colors="none")
    return found


@pytest.fixture(scope="module", params=KINDS)
def visit(lab, site, request):
    """All that is asked of a page kind, gathered in one visit: what it notes and its headings,
    small links, how far it scrolls sideways by size, sound and film, what axe finds."""
    page = lab.page
    page.set_viewport_size(SIZES["standing"])
    page.goto(url(site, request.param))
    laid_out(page)
    settled(page)
    loaded, wide = {"headings": page.locator("h1").count(), "links": page.evaluate(LINKS)}, {}
    for size in ("standing", "doubled", "phone"):
        page.set_viewport_size((SIZES | NARROW)[size])
        wide[size] = page.evaluate(SIDEWAYS)
    films, faults = page.locator("audio, video").count(), list(lab.faults)
    add_axe(page)
    page.evaluate(SHORTEN)
    found = seen_by_axe(page)
    lab.faults.clear()
    return {**loaded, "wide": wide, "films": films, "faults": faults, "axe": found}


def test_each_page_kind_loads_cleanly(visit):
    """No console message, no error, no request that leaves the site; one heading of the page."""
    assert (visit["faults"], visit["headings"]) == ([], 1)


def test_axe_finds_nothing(visit):
    assert {k: v for k, v in visit["axe"].items() if v} == {}
    assert visit["films"] == 0


def test_axe_would_find_a_fault(lab, site):
    page = lab.page
    page.goto((site / "about.html").as_uri())
    add_axe(page)
    page.evaluate("document.querySelector('.md-content__inner').append(new Image())")
    assert [v[0] for v in violations(page)] == ["image-alt"]


def test_axe_would_find_a_faint_text_that_shows_only_lying_in_the_dark(lab, site):
    """The list of sections is beside the page where there is room."""
    page = lab.page
    page.set_viewport_size(SIZES["standing"])
    page.goto((site / "hazards" / "sea-water.html").as_uri())
    add_axe(page)
    page.evaluate("document.querySelector('.onpage p').style.color = '#2a3038'")
    found = {k: [v[0] for v in by] for k, by in seen_by_axe(page).items()}
    assert found["lying", "dark"] == ["color-contrast"]
    assert found["standing", "dark"] == []


CONTROLS = """.md-typeset .crumbs a, .md-typeset .links a, .cards a, .doors a, summary,
  .md-typeset button, .md-typeset select,
  .md-typeset input:not([type=checkbox]), .ticks label, .topbar a, .find__input, .where,
  .letters a,
  .watch a > .w-tag > rect"""
# Rows that a table's own box has scrolled out of sight are not there to be tapped.
MEASURE = """controls => [...document.querySelectorAll(controls)]
  .filter(e => e.checkVisibility({checkOpacity: true, checkVisibilityCSS: true}))
  .map(e => ({e, r: e.getBoundingClientRect(), box: e.closest('.scroll')}))
  .filter(({r, box}) => r.width && r.height && (!box || r.bottom <
  box.getBoundingClientRect().bottom))
  .map(({e, r}) => ({what: e.textContent.trim().slice(0, 30) || e.tagName,
    x: r.x, y: r.y + scrollY, w: r.width, h: r.height}))"""


def gap(a, b):
    """How far two boxes are apart, across or down, whichever is more."""
    across = max(a["x"], b["x"]) - min(a["x"] + a["w"], b["x"] + b["w"])
    down = max(a["y"], b["y"]) - min(a["y"] + a["h"], b["y"] + b["h"])
    return max(across, down)


@pytest.mark.parametrize(
    "address",
    [
        "index.html",
        "map.html",
        "leaflet.html",
        "parts/case-middle.html",
        "names.html",
        "materials/stainless-316l.html",
        "tables/hardness.html",
        "formulas/pitting-index.html",
    ],
)
def test_main_controls_are_48_pixels_and_keep_8_apart(watched, site, address):
    watched.set_viewport_size(SIZES["standing"])
    watched.goto((site / address).as_uri())
    laid_out(watched)
    settled(watched)
    boxes = watched.evaluate(MEASURE, CONTROLS)[:150]
    assert len(boxes) > 4
    assert [b for b in boxes if b["w"] < 47.5 or b["h"] < 47.5] == []  # half a pixel for rounding
    assert [
        (a["what"], b["what"])
        for i, a in enumerate(boxes)
        for b in boxes[i + 1 :]
        if gap(a, b) < 7.5
    ] == []


SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


# A link that is all its block says stands alone; what names the source of a line does not, and
# the questions at the top of a page are answered in lines of text.
LINKS = """() => [...document.querySelectorAll('.md-typeset a[href]')]
  .filter(e => !e.closest('svg') && e.checkVisibility({checkOpacity: true,
    checkVisibilityCSS: true, contentVisibilityAuto: true}))
  .map(e => {
    let block = e.parentElement;
    while (getComputedStyle(block).display.startsWith('inline')) { block = block.parentElement; }
    const says = x => x.textContent.replace(/[^\\p{L}]/gu, '').length;
    const r = e.getBoundingClientRect();
    return {what: e.textContent.trim().slice(0, 40), w: r.width, h: r.height,
      alone: says(e) > 0 && says(block) === says(e) && !e.matches('.src, .ref')
        && !e.closest('.refs, .from, .at-once')};
  }).filter(link => link.w && link.h)"""


def test_links_are_large_and_no_page_scrolls_sideways(visit):
    """In text links are 24 pixels high, alone 48; not sideways on a tablet, a phone or at 200 %."""
    small = [
        link
        for link in visit["links"]
        if link["h"] < (47.5 if link["alone"] else 23.5) or link["w"] < 19
    ]
    wide = {size: by for size, by in visit["wide"].items() if by > 0}
    assert (small, wide) == ([], {})


SEEN = """() => {
  const e = document.activeElement, label = e.querySelector && e.querySelector('.w-tag > rect');
  if (e === document.body) { return true; }
  if (label) { return parseFloat(getComputedStyle(label).strokeWidth) >= 4; }
  const style = getComputedStyle(e);
  return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 1;
}"""


@pytest.mark.parametrize(("address", "stops"), [("map.html", 25), ("tables/hardness.html", 20)])
def test_the_keyboard_focus_is_always_seen(watched, site, address, stops):
    watched.goto((site / address).as_uri())
    for stop in range(stops):
        watched.keyboard.press("Tab")
        at = watched.evaluate("document.activeElement.outerHTML.slice(0, 120)")
        assert watched.evaluate(SEEN), f"stop {stop}: {at}"


@pytest.mark.parametrize("scripts", [True, False])
def test_a_column_is_hidden_by_its_tick_with_and_without_scripts(chromium, site, scripts):
    context = chromium.new_context(java_script_enabled=scripts, viewport=SIZES["lying"])
    page = context.new_page()
    page.goto((site / "tables" / "density-ratio.html").as_uri())
    page.locator(".columns summary").click()
    head, cell = page.locator("thead th.c2"), page.locator("tbody tr").first.locator("td.c2")
    assert head.is_visible() and cell.is_visible()
    page.locator(".columns input[name=c2]").uncheck()
    assert not head.is_visible() and not cell.is_visible()
    assert page.locator("thead th.c1").is_visible()
    page.locator(".columns input[name=c2]").check()
    assert cell.is_visible()
    context.close()


def test_head_and_first_column_stay_in_sight(watched, site):
    watched.goto((site / "tables" / "density-ratio.html").as_uri())
    watched.set_viewport_size(SIZES["standing"])
    watched.evaluate("() => document.querySelector('.scroll').scrollTo(300, 600)")
    until(watched, "document.querySelector('.scroll').scrollTop > 500")
    box, head, first = (
        watched.locator(s).first.bounding_box() for s in (".scroll", "thead th", "tbody th")
    )
    assert head["y"] == pytest.approx(box["y"], abs=2)
    assert head["x"] == pytest.approx(box["x"], abs=2)
    assert first["x"] == pytest.approx(box["x"], abs=2)


def test_a_bar_stands_beside_each_figure(watched, site):
    watched.goto((site / "tables" / "hardness.html").as_uri())
    figures = watched.locator("td.c2:not(.absent)")
    assert figures.count() == watched.locator("td.c2 svg.bar[aria-hidden=true]").count() > 50
    assert all(any(c.isdigit() for c in text) for text in figures.all_inner_texts())


@pytest.mark.parametrize(
    "address", ["materials/steel-o1.html", "parts/case-middle.html", "hazards/sea-water.html"]
)
def test_the_sections_are_named_where_the_list_beside_the_page_is_not(watched, site, address):
    watched.set_viewport_size(SIZES["standing"])
    watched.goto((site / address).as_uri())
    links = watched.locator(".sections a")
    assert links.evaluate_all(
        "all => all.map(a => a.getAttribute('href').slice(1))"
    ) == watched.locator(".md-content h2[id]").evaluate_all("all => all.map(h => h.id)")
    assert links.first.is_visible() and not watched.locator(".onpage").is_visible()
    watched.set_viewport_size(SIZES["lying"])
    assert not links.first.is_visible() and watched.locator(".onpage").is_visible()
