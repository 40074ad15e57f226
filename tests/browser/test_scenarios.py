"""Questions of the bench, each answered from the start page in three taps at most, or one search
and one tap, without scrolling.

The path is driven with real taps on what stands in sight; the answers are what the records say,
typed here by hand.
"""

import pytest

from tests.conftest import settled, until

pytestmark = pytest.mark.browser

SIZES = {"lying": {"width": 1180, "height": 820}, "standing": {"width": 820, "height": 1180}}
MOST_TAPS, MOST_TAPS_AFTER_SEARCH = 3, 1

# What is in sight: inside the window, below what stays at the top, and not covered.
IN_SIGHT = """const IN_SIGHT = e => {
  const r = e.getBoundingClientRect();
  const top = e.closest('.topbar') ? 0 :
  document.querySelector('.topbar').getBoundingClientRect().bottom;
  if (!r.width || r.top < top - 1 || r.bottom > innerHeight + 1 || r.left < 0 || r.right >
  innerWidth + 1) { return false; }
  const lines = e.getClientRects();
  const at = document.elementFromPoint(lines[0].left + lines[0].width / 2, lines[0].top +
  lines[0].height / 2);
  return Boolean(at) && (e.contains(at) || at.contains(e));
};
const plain = text => text.replace(/\\s+/g, ' ').trim();
"""
# A link, tick or result by what stands on it: its own text, the name in bold on a card, or name and
# kind of a result.
TARGET = (
    "name => {"
    + IN_SIGHT
    + """
  const all = [...document.querySelectorAll('.md-content a, .onpage a, .ticks label, ' +
    '#find-list a')];
  const named = all.filter(e => [e.textContent, e.querySelector('strong')?.textContent,
    [...e.children].slice(0, 2).map(c => c.textContent).join(', ')]
    .some(t => t && plain(t).toLowerCase() === name.toLowerCase()));
  const e = named.find(IN_SIGHT);
  if (!e) { return {there: named.length}; }
  const r = e.getClientRects()[0], href = e.getAttribute('href') || '';
  return {x: r.x + Math.min(r.width / 2, 60), y: r.y + r.height / 2, leaves: Boolean(href) &&
  !href.startsWith('#')};
}"""
)
# The smallest element that holds the answer must be wholly in sight.
ANSWER = (
    "text => {"
    + IN_SIGHT
    + """
  const held = e => [...e.children].filter(c => plain(c.innerText || '').includes(text));
  const smallest = e => held(e).flatMap(c => held(c).length ? smallest(c) : [c]);
  const found = smallest(document.querySelector('.md-content'));
  return {there: found.length, seen: found.some(IN_SIGHT)};
}"""
)


class AtTheBench:
    """Somebody with a tablet: goes to the start page, taps what is in sight, searches, reads;
    counts taps and searches."""

    def __init__(self, page, site, size):
        self.page, self.taps, self.searches = page, 0, 0
        page.set_viewport_size(SIZES[size])
        page.goto((site / "index.html").as_uri())

    def tap(self, name):
        """Tap what carries this name; it must be in sight before."""
        target = self.page.evaluate(TARGET, name)
        assert "x" in target, (
            f"{name!r} is not in sight at {self.page.url} (on the page: {target['there']})"
        )
        self.taps += 1
        if target["leaves"]:
            with self.page.expect_navigation():
                self.page.mouse.click(target["x"], target["y"])
        else:
            self.page.mouse.click(target["x"], target["y"])
            settled(self.page)

    def search(self, words):
        """Type into the find box."""
        self.searches += 1
        self.page.locator("#find-input").click()
        self.page.keyboard.type(words)
        until(self.page, "document.querySelectorAll('#find-list li').length > 0")

    def reads(self, text):
        """The answer stands in sight, nothing scrolled."""
        found = self.page.evaluate(ANSWER, text)
        assert found["seen"], (
            f"{text!r} is not in sight at {self.page.url} (on the page: {found['there']})"
        )


# Question: taps, (search, tap), answers after the taps, answers after the search (None: the same).
SCENARIOS = {
    "how hard must a pinion be, and how is it made so": (
        ["A part", "Train", "Train pinion"],
        ("train pinion", "train pinion"),
        [
            "at least 500 HV; at least 600 HV preferred",
            "Temper at 180 to 200 °C for an hour so that the leaves stay hard.",
        ],
        None,
    ),
    "may this crown be replaced in another steel": (
        ["A part", "Crown and pushers", "Crown"],
        ("crown", "crown"),
        [
            "Stainless steel 316L; Stainless steel 904L ◔ thinly sourced; Titanium grade 5",
        ],
        None,
    ),
    "why has the rose gold case turned yellow": (
        ["Something attacked it", "Pool chlorine"],
        ("rose gold turned yellow", "pool chlorine"),
        [
            "Rose or red gold has turned yellow: chlorine drew copper from the skin. Light"
            " polishing brings the colour back"
        ],
        None,
    ),
    "rhodium worn after polishing: how thick, how long in the bath": (
        ["Work to do", "Plating and coating", "Rhodium plating"],
        ("rhodium", "rhodium plating, work"),
        ["thickness served on jewellery 0.13 to 0.25 µm", "plating time 30 to 120 s"],
        None,
    ),
    "which of two cases is gold and which is plated": (
        ["What is this metal?", "Weigh in water"],
        ("gold or plated", "weighing in water"),
        ["18 ct yellow gold, colour 3N 15.45 g/cm³", "brass CuZn37 below gold plate 8.44 g/cm³"],
        None,
    ),
    "how much heavier in platinum": (  # 21.5 / 8.0 and 21.5 / 7.95 rounded outwards, against 316L
        ["Tables", "Density and density ratio"],
        ("heavier in platinum", "density and density ratio"),
        ["Platinum 950 with iridium", "2.687–2.705"],
        None,
    ),
    "what to tell an owner who swims": (
        ["What to tell the owner", "Swimming in the sea"],
        ("swimming", "pool chlorine"),
        ["Take this watch off before you swim: it is not known to keep water out."],
        ["If pool water has reached the watch, rinse it in tap water."],
    ),
}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("question", SCENARIOS)
def test_three_taps_and_the_answer_is_in_sight(watched, site, question, size):
    taps, _, answers, _ = SCENARIOS[question]
    bench = AtTheBench(watched, site, size)
    for name in taps:
        bench.tap(name)
    for text in answers:
        bench.reads(text)
    assert bench.taps <= MOST_TAPS


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("question", SCENARIOS)
def test_one_search_and_one_tap_and_the_answer_is_in_sight(watched, site, question, size):
    _, (words, name), by_taps, by_search = SCENARIOS[question]
    bench = AtTheBench(watched, site, size)
    bench.search(words)
    bench.tap(name)
    for text in by_search or by_taps:
        bench.reads(text)
    assert (bench.searches, bench.taps) == (1, MOST_TAPS_AFTER_SEARCH)


def test_what_lies_below_the_window_is_not_in_sight(watched, site):
    """The check itself: a line at the foot of a long page is there and not seen."""
    bench = AtTheBench(watched, site, "lying")
    watched.goto((site / "parts" / "crown.html").as_uri())
    with pytest.raises(AssertionError, match="not in sight"):
        bench.reads("Pressure test passed with the crown home.")
    with pytest.raises(AssertionError, match="not in sight"):
        bench.tap("Passivating")
