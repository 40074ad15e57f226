"""Pictures as a reader meets them: on a phone, in forced colours, on paper, in find hits."""

import pytest

from generator.site.pictures import shapes
from tests.conftest import until

pytestmark = pytest.mark.browser

PAGES = (
    "pictures.html",
    "materials/steel-o1.html",
    "materials/gold-18-yellow-3n.html",
    "parts/train-pinion.html",
)
SMALLEST = """[...document.querySelectorAll('.pic text')]
  .filter(e => e.getBoundingClientRect().width)
    .map(e => parseFloat(getComputedStyle(e).fontSize) * e.getScreenCTM().a)
    .reduce((a, b) => Math.min(a, b), 99)"""
# Labels of one picture that lie on each other, as a reader would find them.
TOUCHING = """[...document.querySelectorAll('figure.pic svg')].flatMap(svg => {
    const boxes = [...svg.querySelectorAll('text')]
      .map(t => [t.textContent, t.getBoundingClientRect()]);
    const bad = [];
    boxes.forEach(([a, p], i) => boxes.slice(i + 1).forEach(([b, q]) => {
        const across = Math.min(p.right, q.right) - Math.max(p.left, q.left);
        const down = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
        if (across > 1 && down > 4) { bad.push(a + ' | ' + b); }
    }));
    return bad;
})"""


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("width", [320, 390, 820])
def test_letters_are_large_enough_and_nothing_sticks_out(watched, site, page, width):
    """12 px is the least that issue and audit allow on a screen."""
    watched.set_viewport_size({"width": width, "height": 844})
    watched.goto((site / page).as_uri())
    smallest = watched.evaluate(SMALLEST)
    assert smallest >= (12 if width >= 390 else 10)
    wide = watched.evaluate(
        "[...document.querySelectorAll('.pic, .swatches, .drawn')]"
        ".filter(e => e.getBoundingClientRect().right > innerWidth + 1).length"
    )
    assert wide == 0
    assert watched.evaluate(TOUCHING) == []


@pytest.mark.parametrize("page", PAGES)
def test_letters_on_paper_are_six_points_or_more(watched, site, page):
    watched.set_viewport_size({"width": 700, "height": 900})
    watched.emulate_media(media="print")
    watched.goto((site / page).as_uri())
    assert watched.evaluate(SMALLEST) >= 6 * 96 / 72


def test_bars_show_in_forced_colours_and_swatches_keep_theirs(watched, site):
    watched.emulate_media(forced_colors="active", color_scheme="dark")
    watched.goto((site / "pictures.html").as_uri())
    fills = watched.evaluate(
        "['.pic__bar', '.pic__swatch'].map(s => getComputedStyle(document.querySelector(s)).fill)"
    )
    background = watched.evaluate("getComputedStyle(document.body).backgroundColor")
    assert fills[0] not in (background, "none")
    assert fills[1] == "rgb(255, 222, 162)"  # fine gold, as in the light


def test_find_hits_show_the_part(watched, site):
    watched.goto((site / "index.html").as_uri())
    watched.fill("#find-input", "train pinion")
    picture = watched.locator("#find-list img").first
    picture.wait_for()
    assert "parts/train-pinion.svg" in picture.get_attribute("src")
    until(watched, "document.querySelector('#find-list img').naturalWidth > 0")


def test_every_drawing_stays_in_its_box(watched, knowledge):
    """Parts and damage: nothing runs out of the frame by more than a stroke, and each fills at
    least half of it, so that 64 px are enough to know it."""
    drawings = {**knowledge.words("part_drawings"), **knowledge.words("damage_drawings")}
    body = "".join(
        f'<svg id="{k}" viewBox="0 0 96 96" width="96" height="96"><g>{shapes.drawn(e)}</g></svg>'
        for k, e in drawings.items()
    )
    watched.set_content(f"<body>{body}</body>")
    boxes = watched.evaluate(
        "[...document.querySelectorAll('svg')].map(s => { const b = s.firstChild.getBBox();"
        "return [s.id, b.x, b.y, b.width, b.height]; })"
    )
    assert len(boxes) == len(drawings)
    for key, x, y, width, height in boxes:
        assert x >= -1 and y >= -1 and x + width <= 97 and y + height <= 97, key
        assert max(width, height) >= 58, key
