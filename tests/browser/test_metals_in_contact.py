"""What a reader at the tablet sees of metals in contact.

Expected answers are common practice of the trade, and for the direction the published table of
potentials in flowing sea water.
"""

import pytest

from tests.browser.test_find import answers

pytestmark = pytest.mark.browser


def row_of(page, site, metal, partner):
    """The text of the row that answers for a partner in the table of a metal."""
    page.goto(f"{(site / 'tables' / 'pairs.html').as_uri()}#{metal}")
    rows = page.locator(f"#{metal} tbody tr", has=page.locator(f"th a[href$='#{partner}']"))
    assert rows.count() == 1
    return " ".join(rows.first.inner_text().split())


def test_brass_beside_316l_is_told_both_ways(watched, site):
    """In the open the brass goes; in a wet gap the steel; usual all the same."""
    said = row_of(watched, site, "brass", "steel-316")
    assert "in the open: brass" in said
    assert "in a wet gap: the partner" in said
    assert "Usual:" in said
    assert "small piece" in said


@pytest.mark.parametrize(
    ("metal", "partner", "said"),
    [
        ("titanium", "steel-316", "usual"),
        ("gold", "steel-316", "usual"),
        ("steel-17-4", "titanium", "usual"),
    ],
)
def test_what_benches_join_daily_is_called_usual(watched, site, metal, partner, said):
    assert said in row_of(watched, site, metal, partner)


def test_aluminium_beside_steel_goes_fast(watched, site):
    said = row_of(watched, site, "aluminium", "steel-316")
    assert "in the open: aluminium" in said
    assert "fast" in said
    assert "Usual" not in said


@pytest.mark.parametrize("query", ["metals in contact", "galvanic series", "two metals"])
def test_the_find_box_knows_the_page(watched, site, query):
    assert "tables/pairs.html" in answers(watched, site, [query])[query][:3]


@pytest.mark.parametrize(
    "page",
    [
        "hazards/galvanic-contact.html",
        "formulas/galvanic-difference.html",
        "materials/stainless-316l.html",
        "materials/gold-9-yellow.html",
    ],
)
def test_pages_that_raise_the_question_lead_there(watched, site, page):
    watched.goto((site / page).as_uri())
    assert watched.locator(".md-content a[href*='tables/pairs.html']").count() >= 1
