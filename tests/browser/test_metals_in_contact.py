"""What a reader at the tablet sees of metals in contact.

Expected answers are common practice of the trade, and for the direction the published table of
potentials in flowing sea water.
"""

import lxml.html
import pytest

from tests.conftest import laid_out
from tests.finding import Finder

pytestmark = pytest.mark.browser


def row_of(page, metal, partner):
    """The text of the row that answers for a partner in the table of a metal."""
    rows = page.locator(f"#{metal} tbody tr", has=page.locator(f"th a[href$='#{partner}']"))
    assert rows.count() == 1, (metal, partner)
    return " ".join(rows.first.inner_text().split())


SAID = {  # (metal, partner): words that its row says, words that it must not say
    # both ways: in the open the brass goes, in a wet gap the steel; usual all the same
    ("brass", "steel-316"): (
        ["in the open: brass", "in a wet gap: the partner", "Usual:", "small piece"],
        [],
    ),
    # what benches join daily
    ("titanium", "steel-316"): (["usual"], []),
    ("gold", "steel-316"): (["usual"], []),
    ("steel-17-4", "titanium"): (["usual"], []),
    ("aluminium", "steel-316"): (["in the open: aluminium", "fast"], ["Usual"]),
}


def test_each_pair_says_which_metal_goes_and_what_is_usual(watched, site):
    watched.goto((site / "tables" / "pairs.html").as_uri())
    laid_out(watched)
    for (metal, partner), (words, others) in SAID.items():
        said = row_of(watched, metal, partner)
        assert [w for w in words if w not in said] == [], said
        assert [w for w in others if w in said] == [], said


def test_the_find_box_knows_the_page(site):
    finder = Finder(site)
    for query in ("metals in contact", "galvanic series", "two metals"):
        assert "tables/pairs.html" in finder.hits(query)[:3], query


@pytest.mark.parametrize(
    "page",
    [
        "hazards/galvanic-contact.html",
        "formulas/galvanic-difference.html",
        "materials/stainless-316l.html",
        "materials/gold-9-yellow.html",
    ],
)
def test_pages_that_raise_the_question_lead_there(site, page):
    text = lxml.html.fromstring((site / page).read_text(encoding="utf-8"))
    links = text.xpath("//*[contains(@class, 'md-content')]//a/@href")
    assert any("tables/pairs.html" in link for link in links)
