"""On paper: a material or a part is an A5 card, a matrix few A4 sheets, the leaflet one A5 page,
and dark prints light."""

import re
from functools import cache

import pytest

from tests.printed import needs_pdftohtml, smallest_letters

pytestmark = pytest.mark.browser

A5, A4, A4_LYING = (420, 595), (595, 842), (842, 595)  # points


@pytest.fixture(scope="module")
def printer(chromium):
    context = chromium.new_context(viewport={"width": 1180, "height": 820})
    yield context.new_page()
    context.close()


@pytest.fixture(scope="module")
def printed(printer, site):
    """What gives an address as it prints; each page is printed once."""

    @cache
    def pdf(address):
        printer.goto((site / address).as_uri())
        printer.wait_for_selector("tbody.rest", state="detached")
        return printer.pdf(prefer_css_page_size=True)

    return pdf


def sheets(page):
    """The sizes of the sheets that a page prints on, in whole points."""
    return sizes(page.pdf(prefer_css_page_size=True))


def sizes(pdf):
    """The sizes of the printed sheets, in whole points."""
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == len(
        boxes := re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    )
    return [tuple(round(float(n)) for n in box) for box in boxes]


def longest(site, folder):
    """The ten pages with the most text."""
    pages = [p for p in (site / folder).glob("*.html") if p.name != "index.html"]
    return sorted(pages, key=lambda p: p.stat().st_size)[-10:]


@pytest.mark.parametrize("folder", ["materials", "parts"])
def test_the_longest_cards_take_two_sides_of_a5_or_where_8_points_would_not_fit_of_a4(
    printed, site, folder
):
    found, sides, size = {}, {}, {}
    for path in longest(site, folder):
        found[path.stem] = sizes(printed(f"{folder}/{path.name}"))
        text = path.read_text(encoding="utf-8")
        sides[path.stem] = 2 if "card--sides-2" in text else 1
        size[path.stem] = A4 if "card--sheet" in text else A5
    assert len(found) == 10 and 2 in sides.values() and A5 in size.values()
    assert {k: v for k, v in found.items() if v != [size[k]] * sides[k]} == {}


@pytest.mark.parametrize(
    "address",
    [
        "materials/stainless-316l.html",
        "materials/sapphire-synthetic.html",
        "parts/train-pinion.html",
    ],
)
def test_no_letter_of_a_card_is_under_8_points(printer, site, address):
    """8 pt is the bar of the bench; 8 pt are 10.67 px."""
    printer.goto((site / address).as_uri())
    printer.emulate_media(media="print")
    letters = printer.evaluate(
        "[...document.querySelectorAll('.md-content__inner *')]"
        ".filter(e => e.checkVisibility() && !e.closest('svg')"
        " && [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()))"
        ".map(e => [parseFloat(getComputedStyle(e).fontSize), e.outerHTML.slice(0, 80)])"
    )
    printer.emulate_media(media="null")
    assert len(letters) > 10
    assert [found for found in letters if found[0] < 10.66] == []


@needs_pdftohtml
@pytest.mark.parametrize(
    ("address", "least"),
    [
        ("materials/stainless-316l.html", 8),
        ("parts/train-pinion.html", 8),
        ("processes/harden-carbon-steel.html", 8),
        ("hazards/sweat.html", 8),
        ("tables/hardness.html", 8),
        ("tables/density-ratio.html", 7),  # the raised numbers of the sources
        ("tables/pairs.html", 7),  # the overview of all pairs, on one sheet
        ("tables/matrix-hazards.html", 6),
        ("tables/matrix-parts-movement.html", 6),
    ],
)
def test_no_page_is_shrunk_on_its_way_to_paper(printed, tmp_path, address, least):
    (tmp_path / "page.pdf").write_bytes(printed(address))
    assert min(smallest_letters(tmp_path / "page.pdf").values()) >= least


def test_the_overview_of_metals_in_contact_takes_one_sheet(printed):
    assert sizes(printed("tables/pairs.html")).count(A4_LYING) == 1


@pytest.mark.parametrize("folder", ["processes", "hazards"])
def test_half_of_the_work_and_of_the_hazards_take_four_sheets(printed, site, folder):
    """Ten pages spread over the folder, from short to long."""
    found = (p for p in (site / folder).glob("*.html") if p.name != "index.html")
    pages = sorted(found, key=lambda p: p.stat().st_size)
    counts = [sizes(printed(f"{folder}/{p.name}")) for p in pages[:: len(pages) // 10]]
    assert len(counts) >= 10 and {size for found in counts for size in found} == {A4}
    assert sorted(len(found) for found in counts)[len(counts) // 2] <= 4


def test_a_printed_process_has_every_line_of_its_cautions(printer, site, knowledge):
    printer.goto((site / "processes" / "harden-carbon-steel.html").as_uri())
    printer.emulate_media(media="print")
    ids = printer.evaluate("[...document.querySelectorAll('.care')].map(e => e.id.slice(5))")
    printer.evaluate("dispatchEvent(new Event('beforeprint'))")
    text = " ".join(printer.locator(".md-content").inner_text().split())
    printer.evaluate("dispatchEvent(new Event('afterprint'))")
    shown = [a.inner_text() for a in printer.locator(".cautions a:visible").all()]
    printer.emulate_media(media="null")
    assert sorted(shown) == sorted(knowledge.cautions[c].short for c in ids)  # each once
    said = [line for c in ids for line in (knowledge.cautions[c].danger, *knowledge.cautions[c].do)]
    assert len(ids) == 7
    assert [line for line in said if line not in text.replace("\u00a0", " ")] == []


def test_the_hardness_table_takes_four_sheets_at_most(printed):
    assert sizes(printed("tables/hardness.html")) in ([A4] * n for n in (1, 2, 3, 4))


CONTROLS = """[...document.querySelectorAll('td:has(.ref)')]
    .map(cell => cell.querySelectorAll(':scope > :is(.ref, .srcs)').length)"""
IN_SIGHT = "e => e.checkVisibility({contentVisibilityAuto: false}) && e.offsetHeight > 0"


def test_several_sources_of_a_figure_stand_behind_one_button_and_on_paper_in_sight(chromium, site):
    """All without scripts; the overview of materials has figures that rest on several sources."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "tables" / "density-ratio.html").as_uri())
    controls = page.evaluate(CONTROLS)
    assert len(controls) > 50 and set(controls) == {1}
    several = page.locator("td > .srcs").first
    source = several.locator(".ref").last
    assert not source.evaluate(IN_SIGHT)
    page.emulate_media(media="print")
    assert source.evaluate(IN_SIGHT)
    page.emulate_media(media="screen")
    several.locator("summary").press("Enter")
    assert source.evaluate(IN_SIGHT) and several.locator(".ref").count() > 1
    context.close()


def test_a_card_leaves_no_reason_out(printer, site, knowledge):
    printer.goto((site / "parts" / "case-middle.html").as_uri())
    printer.emulate_media(media="print")
    text, shown = (
        printer.locator("#choices").inner_text().replace("\u00a0", " "),
        printer.locator("#choices .why").all(),
    )
    overleaf = printer.locator(".overleaf").is_visible()
    printer.emulate_media(media="null")
    part = knowledge.parts["case-middle"]
    assert [c.why for c in (*part.usual, *part.wrong) if c.why not in text] == []
    two_sides = "card--sides-2" in (site / "parts" / "case-middle.html").read_text(encoding="utf-8")
    assert overleaf == two_sides and len(shown) > 10


@pytest.mark.parametrize(
    ("name", "size"),
    [
        ("matrix-hazards", [A4] * 2),
        ("matrix-parts-outside", [A4] * 2),
        ("matrix-parts-movement", [A4_LYING] * 3),
    ],
)
def test_a_matrix_takes_few_a4_sheets_and_no_letter_is_under_6_points(
    printed, printer, site, name, size
):
    assert sizes(printed(f"tables/{name}.html")) == size
    printer.goto((site / "tables" / f"{name}.html").as_uri())
    printer.emulate_media(media="print")
    letters = printer.evaluate(
        "[...document.querySelectorAll('.sheet th, .sheet td, .sheet a, .sheet span')].map(e => "
        "parseFloat(getComputedStyle(e).fontSize))"
    )
    clipped = printer.evaluate(
        "[...document.querySelectorAll('.sheet th')].filter(e => e.scrollWidth > e.clientWidth +"
        " 1).length"
    )
    printer.emulate_media(media="null")
    assert min(letters) >= 8 * 0.999  # 6 pt are 8 px
    assert clipped == 0


ON_THE_CARD = {
    ".head": True,
    ".cautions": True,
    ".key": True,
    ".two": True,
    ".card": True,
    ".foot": True,
    ".scroll": False,
    ".siblings": False,
}
FOOT = (
    r"Reviewed \d+ \w+ \d{4} .*Edition of the knowledge base: \d{4}-\d\d-\d\d\. Page"
    r" materials/stainless-316l\.html\."
)


def test_what_a_card_shows(printer, site):
    printer.goto((site / "materials" / "stainless-316l.html").as_uri())
    printer.emulate_media(media="print")
    seen = {s: printer.locator(f".md-content__inner > {s}").first.is_visible() for s in ON_THE_CARD}
    foot, lines = printer.locator(".foot").last.inner_text(), printer.locator(".card").inner_text()
    printer.emulate_media(media="null")
    assert seen == ON_THE_CARD
    assert re.search(FOOT, foot)
    assert "Goes well" in lines and "1.4404" in lines
    assert not printer.locator(".card").is_visible()


def test_dark_prints_light(printer, site):
    printer.goto((site / "parts" / "train-wheel.html").as_uri())
    printer.evaluate("() => document.body.setAttribute('data-md-color-scheme', 'slate')")
    printer.emulate_media(media="print")
    paper = printer.evaluate("getComputedStyle(document.body).backgroundColor")
    ink = printer.evaluate("getComputedStyle(document.querySelector('.answer')).color")
    printer.emulate_media(media="null")
    light, dark = (sum(int(n) for n in re.findall(r"\d+", colour)[:3]) for colour in (paper, ink))
    assert light > 3 * 240 and dark < 3 * 60


def test_the_map_prints_one_drawing_a_page(printed):
    assert sizes(printed("map.html")) == [(595, 842)] * 2


def test_a_computed_table_prints_lying_without_its_workings(printed, printer, site):
    assert set(sizes(printed("tables/case-mass.html"))) == {A4_LYING}
    printer.goto((site / "tables" / "case-mass.html").as_uri())
    printer.emulate_media(media="print")
    assert not printer.locator(".working__in").first.is_visible()
    printer.emulate_media(media="null")


def test_what_a_reading_of_a_metal_prints(printer, site):
    """The answer and what was observed; the questions, tests and rules stay on the screen."""
    printer.goto(
        (site / "identify.html").as_uri() + "?colour=yellow&magnet=none&in_air=20.00&in_water=18.70"
    )
    assert len(sheets(printer)) <= 2
    printer.emulate_media(media="print")
    seen = {
        s: printer.locator(s).first.is_visible()
        for s in (
            ".observe__found",
            ".observe__made",
            ".observe__ask",
            "#tests",
            "#signs-table",
            ".test",
        )
    }
    text = printer.locator(".observe__answer").inner_text()
    printer.emulate_media(media="null")
    assert [s for s, visible in seen.items() if visible] == [".observe__found", ".observe__made"]
    assert "Observed: colour: yellow; magnet: not attracted; weighed 20.00" in text
    assert "18 ct yellow gold, colour 2N" in text and "by colour, density" in text
    assert not printer.locator(".observe__made").is_visible()


def test_nothing_observed_prints_the_tests(printer, site):
    printer.goto((site / "identify.html").as_uri())
    printer.emulate_media(media="print")
    assert printer.locator("#tests").is_visible() and printer.locator("#signs-table").is_visible()
    printer.emulate_media(media="null")
