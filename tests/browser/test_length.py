"""How long the pages are on a standing tablet, and what stands on their first screen.

The bars are those of the bench: a material in five screens, a part in four, a hazard and a work in
three and a half (median of all pages at 820 by 1180). Nothing of it is lost: what is folded opens
by its heading, by a link that leads into it, and on paper.
"""

import html
import re
import statistics

import pytest

from tests.conftest import laid_out, until
from tests.sampling import MANY_PAGES, spread

pytestmark = pytest.mark.browser

STANDING = {"width": 820, "height": 1180}
SCREENS = {"materials": 5, "parts": 4, "hazards": 3.5, "processes": 3.5}
HEIGHT = "document.documentElement.scrollHeight / innerHeight"
FIRST_SCREEN = "e => e.getBoundingClientRect().top < innerHeight"


@pytest.fixture
def standing(watched):
    watched.set_viewport_size(STANDING)
    return watched


@pytest.mark.parametrize("folder", SCREENS)
def test_half_of_the_pages_fit_their_bar(standing, site, folder):
    """Twenty-one pages from the smallest file to the largest, or BENCH_PAGES: their median is that
    of all pages where longer files are longer pages."""
    pages = [p for p in (site / folder).glob("*.html") if p.name != "index.html"]
    heights = []
    for path in spread(pages, lambda page: page.stat().st_size, MANY_PAGES):
        standing.goto(path.as_uri())
        laid_out(standing)
        heights.append(standing.evaluate(HEIGHT))
    assert len(heights) > 20
    assert statistics.median(heights) <= SCREENS[folder]


@pytest.mark.parametrize(
    ("address", "pieces"),
    [
        ("materials/stainless-316l.html", [".answer", ".cautions", ".key", ".swatches svg"]),
        ("parts/train-pinion.html", [".answer", ".cautions", ".at-once", ".head svg", "#choices"]),
    ],
)
def test_answer_picture_and_next_step_stand_on_the_first_screen(standing, site, address, pieces):
    standing.goto((site / address).as_uri())
    assert [
        p for p in [*pieces, ".sections a"] if not standing.locator(p).first.evaluate(FIRST_SCREEN)
    ] == []


TURNED = [(390, 844), (320, 640), (1180, 820)]


@pytest.mark.parametrize(("width", "height"), TURNED)
@pytest.mark.parametrize(
    ("address", "picture", "answer"),
    [
        ("parts/case-middle.html", ".head > svg", "Stainless steel 316L"),
        ("parts/lug.html", ".head > svg", "Stainless steel 316L"),
        ("parts/roller.html", ".head > svg", "Beryllium"),
        ("materials/gold-9-yellow.html", "h1", "375 fineness"),
        ("materials/silver-925.html", ".swatches svg", "92.5 %"),
    ],
)
def test_many_cautions_leave_the_answer_on_the_first_screen(
    watched, site, knowledge, address, picture, answer, width, height
):
    """Phones and a lying tablet: what it is, its picture, the cautions on one line, and the next
    step or, beside the list of sections, what was asked; each caution is at most two taps away."""
    watched.set_viewport_size({"width": width, "height": height})
    watched.goto((site / address).as_uri())
    line = watched.locator(".cautions")
    boxes = [watched.locator(p).first.bounding_box() for p in (picture, ".answer", ".cautions")]
    assert max(box["y"] + box["height"] for box in boxes) <= height
    assert boxes[-1]["height"] <= 66
    on = ".onpage a" if width > 1000 else "nav.sections a"
    assert watched.locator(on).first.evaluate(FIRST_SCREEN)
    if height > 640:
        shown = watched.get_by_text(answer, exact=False).locator("visible=true").first
        assert shown.evaluate(FIRST_SCREEN)
    listed = {a.get_attribute("href").removeprefix("#care-") for a in line.locator("a").all()}
    named = {a.inner_text() for a in line.locator(":scope > ul a").all()}
    assert named >= {knowledge.cautions[c].short for c in listed if knowledge.cautions[c].grave}
    whole = line.locator(":scope > ul")
    if line.locator("summary:visible").count():
        line.locator("summary").click()
        whole = line.locator("details")
    assert len(listed) == whole.locator("a:visible").count() == watched.locator(".care").count()


BROKEN_WORDS = """() => [...document.querySelectorAll("h1")].flatMap(head => {
  const walk = document.createTreeWalker(head, NodeFilter.SHOW_TEXT), found = [];
  for (let node; node = walk.nextNode();)
    for (const word of node.data.matchAll(/[^\\s\u2013\u2014\\/-]+/g)) {
      const range = document.createRange();
      range.setStart(node, word.index); range.setEnd(node, word.index + word[0].length);
      const tops = new Set([...range.getClientRects()].map(r => Math.round(r.top)));
      const right = range.getBoundingClientRect().right;
      if (tops.size > 1 || right > innerWidth) found.push(word[0]);
    }
  return found;
})"""


def heads_of(path):
    """The headings of a page, as they are written."""
    return re.findall(r"<h1.*?</h1>", path.read_text(encoding="utf-8"), re.DOTALL)


def longest_word(path):
    """How many letters the longest word of a page's headings has."""
    text = html.unescape(re.sub("<[^>]*>", " ", " ".join(heads_of(path))))
    return max(map(len, re.split(r"[\s\u2013\u2014/-]+", text)))


def with_long_words(site):
    """The forty pages with the longest words in their headings, and the two of each folder: where
    those have room, shorter ones have. By folder, for the pages of one are of one kind."""
    folders = {path.parent for path in site.rglob("*.html")}
    by_folder = {f: sorted(f.glob("*.html"), key=longest_word) for f in folders}
    every = sorted((page for pages in by_folder.values() for page in pages), key=longest_word)
    return {f: sorted({*pages[-2:], *every[-40:]} & {*pages}) for f, pages in by_folder.items()}


PUT_HEADS = """heads => {
  const [first, ...others] = document.querySelectorAll('h1');
  others.forEach(head => head.remove());
  first.outerHTML = heads;
}"""


def test_no_heading_breaks_inside_a_word_on_the_narrowest_phone(chromium, site):
    """In a folder the headings of all its pages stand in the place of that of the first."""
    page = chromium.new_page(viewport={"width": 320, "height": 640}, java_script_enabled=False)
    broken, tried = {}, 0
    for folder, paths in with_long_words(site).items():
        for number, path in enumerate(paths):
            if folder == site or not number:
                page.goto(path.as_uri())
            page.evaluate(PUT_HEADS, "".join(heads_of(path)))
            tried += 1
            if words := page.evaluate(BROKEN_WORDS):
                broken[path.relative_to(site).as_posix()] = words
    page.close()
    assert tried >= 40
    assert broken == {}


@pytest.mark.parametrize(
    ("address", "fold"),
    [
        ("materials/stainless-316l.html#figures", "Figures"),
        ("materials/stainless-316l.html#colour", "Figures"),
        ("parts/train-pinion.html#substitutes", "Substitutes"),
        ("parts/train-pinion.html#care-lead-dust", "Lead in dust and on hands"),
    ],
)
def test_a_link_opens_the_fold_it_leads_into(standing, site, address, fold):
    name, _, place = address.partition("#")
    standing.goto((site / name).as_uri())
    folded = standing.locator("details:is(.fold, .care)", has_text=fold).first
    assert folded.get_attribute("open") is None
    standing.goto((site / name).as_uri() + f"#{place}")
    until(standing, f"document.getElementById('{place}').closest('details').open")
    assert folded.get_attribute("open") is not None
    assert standing.locator(":target").bounding_box()["y"] < STANDING["height"]


def test_a_caution_is_one_line_and_its_text_one_tap_away(standing, site, knowledge):
    standing.goto((site / "parts" / "train-pinion.html").as_uri())
    lines = standing.locator("details.care > summary")
    assert standing.locator(".cautions").bounding_box()["height"] <= 66
    standing.locator(".cautions summary").click()
    assert lines.count() == standing.locator(".cautions details li:visible").count() == 3
    assert max(box["height"] for box in (line.bounding_box() for line in lines.all())) <= 60
    lead = knowledge.cautions["lead-dust"]
    assert not standing.locator("#care-lead-dust").get_by_text(lead.danger).is_visible()
    standing.locator(".cautions details a", has_text="Lead").click()
    assert standing.locator("#care-lead-dust").get_by_text(lead.danger).is_visible()
    assert all(line in standing.locator("#care-lead-dust").inner_text() for line in lead.do)
