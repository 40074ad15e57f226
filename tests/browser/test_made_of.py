"""Ten questions at a tablet: what may I make this from, and what if I have only that? Each answered
by one search and one tap, on the first screen.

The questions and answers were written from common practice before the pages were looked at.
"""

import pytest

from tests.browser.test_scenarios import AtTheBench

pytestmark = pytest.mark.browser

# Question: (search, tap), what must stand in sight.
QUESTIONS = {
    "a staff is broken: of what, and what if I have only O1": (
        ("balance staff", "balance staff"),
        ["Silver steel 115CrV3", "O1"],
    ),
    "a new stem, and what if I have only tempered stainless": (
        ("winding stem", "winding stem"),
        ["Silver steel 115CrV3", "1.4197"],
    ),
    "a mainspring, and what if the watch is an old one": (
        ("mainspring", "mainspring"),
        ["cobalt-nickel mainspring alloy", "Spring strip steel C100S"],
    ),
    "a balance spring, and what if the rim is cut": (
        ("balance spring", "balance spring"),
        ["constant-modulus spring alloy", "Spring strip steel C100S"],
    ),
    "a balance wheel, and what if its spring is of blue steel": (
        ("balance wheel", "balance wheel"),
        ["Beryllium copper CuBe2", "Bimetal of cut balances (brass on steel)"],
    ),
    "a crystal, and what if the bezel holds it by its own spring": (
        ("crystal", "crystal"),
        ["synthetic sapphire", "acrylic PMMA"],
    ),
    "a click spring, and what if I have only hard stainless strip": (
        ("click spring", "click spring"),
        ["Music wire", "1.4310"],
    ),
    "a hand, and what if I have only blue strip": (
        ("hour hand", "hour or minute hand"),
        ["Brass CuZn37", "Spring strip steel C75S"],
    ),
    "an escape wheel, and what if a magnet must leave it alone": (
        ("escape wheel", "escape wheel"),
        ["Spring strip steel C75S", "silicon crystal"],
    ),
    "a dial, and what if its face is mother-of-pearl": (
        ("dial", "dial"),
        ["Brass CuZn37", "mother-of-pearl"],
    ),
}
TABLET = """words => {
  const top = document.querySelector('.topbar').getBoundingClientRect().bottom;
  return [...document.querySelectorAll('.at-once dd, #choices li')].some(e => {
    const r = e.getBoundingClientRect();
    return r.width && r.top >= top - 1 && r.bottom <= innerHeight + 1 &&
      e.innerText.replace(/\\s+/g, ' ').toLowerCase().includes(words.toLowerCase());
  });
}"""


@pytest.mark.parametrize("question", QUESTIONS)
def test_one_search_one_tap_and_both_answers_are_in_sight(watched, site, question):
    (words, name), answers = QUESTIONS[question]
    bench = AtTheBench(watched, site, "standing")
    bench.search(words)
    bench.tap(name)
    for answer in answers:
        assert watched.evaluate(TABLET, answer), f"{answer!r} is not in sight at {watched.url}"
