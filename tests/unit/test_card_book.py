"""The book of cards on small pages written by hand: what is printed of a page, which links stay,
and how a browser is asked; that the shipped cards are all in it is in test_bundling.py."""

import os
import re
from types import SimpleNamespace

import pytest

from generator.deliver import card_book


def page_of(title, content):
    return (
        f"<html><head><title>{title} - Arbor &amp; Case</title>"
        '<link rel="stylesheet" href="assets/style.css"></head><body>'
        f'<article class="md-content__inner md-typeset">{content}</article></body></html>'
    )


CARD = '<dl class="card two"><dt id="d">{}</dt></dl>'
PAGES = {
    "index.html": page_of("Start", "").replace(
        "</head>", '<link rel="stylesheet" media="print" href="assets/print.css"></head>'
    ),
    "parts/index.html": page_of("Parts", CARD.format("list")),
    "parts/case.html": page_of(
        "case",
        '<h1 id="top">Case</h1>'
        + CARD.format('<a href="../materials/steel.html#fit">steel</a><a href="case.html">self</a>')
        + '<p>long text</p><p class="foot">Edition <a href="../about.html">2026</a></p><p>more</p>',
    ),
    "parts/bow.html": page_of("Bow", CARD.format("bow")),
    "parts/crown.html": page_of("Crown", "<h1>Crown</h1><p>without a card</p>"),
    "materials/steel.html": page_of("Steel &amp; more", CARD.format("steel")),
    "tables/index.html": page_of("Tables", '<div class="scroll">list</div>'),
    "tables/weights.html": page_of(
        "Weights",
        '<h1>Weights</h1><div class="working__in"><p>sum</p></div></details>'
        '<div class="scroll sheet wide sheet--lying">'
        '<table id="t"><tr><td>1</td></tr></table></div>'
        '<script src="x.js"></script><a href="../parts/case.html">case</a>',
    ),
    "tables/plain.html": page_of("Plain", '<div class="scroll"><table></table></div>'),
    "tables/words.html": page_of("Words", "<p>no table</p>"),
    "tables/empty.html": "<title>no article</title>",
    "hazards/sea.html": page_of("Sea", CARD.format("sea")),
}


@pytest.fixture
def small_site(tmp_path):
    for name, text in PAGES.items():
        path = tmp_path / "site" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return tmp_path / "site"


START = '<article class="md-content__inner md-typeset book--'


def parts_of(book):
    """Place -> (kind, content) of each part of the book, in its order."""
    found = re.findall(f'{START}([a-z]+)" id="([^"]+)">(.*?)</article>\n', book, re.DOTALL)
    return {place: (kind, content) for kind, place, content in found}


def test_the_book_holds_cards_and_tables_in_their_order(small_site):
    """By the alphabet of their titles, parts before materials before tables; lists, and pages
    without a card or a table, are not in it."""
    book = card_book.page_of_cards(small_site, "2026-11-25")
    assert list(parts_of(book)) == [
        "parts-bow",
        "parts-case",
        "materials-steel",
        "tables-plain",
        "tables-weights",
    ]
    assert "<p>Edition 2026-11-25. 3 cards, 2 tables.</p>" in book
    assert re.findall(r"<h2>(.*?)</h2><ul>(.*?)</ul>", book) == [
        ("Parts", entries(("parts-bow", "Bow"), ("parts-case", "case"))),
        ("Materials", entries(("materials-steel", "Steel &amp; more"))),
        ("Tables", entries(("tables-plain", "Plain"), ("tables-weights", "Weights"))),
    ]


def entries(*named):
    return "".join(f'<li><a href="#{place}">{title}</a></li>' for place, title in named)


def test_the_book_is_a_page_of_its_own_in_the_looks_of_the_site(small_site):
    book = card_book.page_of_cards(small_site, "2026-11-25")
    assert book.startswith(
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        "<title>Arbor &amp; Case, cards and tables, 2026-11-25</title>"
        '<link rel="stylesheet" href="site/assets/style.css">'
        '<link rel="stylesheet" href="site/assets/print.css"><style>body { background'
    )
    first = (
        '</style></head><body><article class="md-content__inner md-typeset book book--contents">'
    )
    assert f"{first}<h1>Cards and tables</h1><p>Edition" in book
    assert book.endswith("</article>\n</body></html>\n")


def test_a_card_is_what_stands_down_to_it_and_the_foot(small_site):
    """Links to other cards stay, those to the card itself or out of the book go, and so do its
    own places."""
    book = parts_of(card_book.page_of_cards(small_site, "2026-11-25"))
    assert book["parts-case"] == (
        "card",
        '<h1>Case</h1><dl class="card two"><dt><a href="#materials-steel">steel</a><a>self</a></dt>'
        '</dl><p class="foot">Edition <a>2026</a></p>',
    )
    assert book["parts-bow"] == ("card", '<dl class="card two"><dt>bow</dt></dl>')


def test_a_table_is_printed_without_working_and_scripts_on_its_own_sheet(small_site):
    book = parts_of(card_book.page_of_cards(small_site, "2026-11-25"))
    assert book["tables-weights"] == (
        "lying",
        '<h1>Weights</h1></details><div class="scroll sheet wide sheet--lying">'
        "<table><tr><td>1</td></tr></table></div>"
        '<a href="#parts-case">case</a>',
    )
    assert book["tables-plain"] == ("table", '<div class="scroll"><table></table></div>')


def test_a_page_without_an_article_has_neither_card_nor_table():
    assert card_book._card("parts/x.html", "<p>x</p>", {}) == ""
    assert card_book._table("tables/x.html", "<p>x</p>", {}) == ""


# ----- the browser


def test_the_browser_that_is_named_counts_then_the_path_then_its_usual_place(monkeypatch, tmp_path):
    found = {"google-chrome": "/bin/google-chrome", "chrome": "/bin/chrome"}
    monkeypatch.setattr(card_book.shutil, "which", found.get)
    monkeypatch.setattr(card_book, "MAC_BROWSERS", (str(tmp_path / "gone"), str(tmp_path)))
    monkeypatch.setenv("BENCH_CHROMIUM", "/named")
    assert card_book.find_browser() == "/named"
    monkeypatch.delenv("BENCH_CHROMIUM")
    assert card_book.find_browser() == "/bin/google-chrome"
    found.clear()
    assert card_book.find_browser() == str(tmp_path)
    monkeypatch.setattr(card_book, "MAC_BROWSERS", (str(tmp_path / "gone"),))
    assert card_book.find_browser() is None


def prints(monkeypatch, *contents):
    """In place of the browser: what it prints, one after the other; and what it was asked."""
    asked, left = [], list(contents)

    def run(command, **given):
        asked.append((command, given))
        (book,) = (w.partition("=")[2] for w in command if w.startswith("--print-to-pdf="))
        with open(book, "wb") as file:
            file.write(left.pop(0))
        return SimpleNamespace(returncode=0)

    monkeypatch.setattr(card_book.subprocess, "run", run)
    return asked


def test_the_hour_of_printing_gives_way_to_the_day_of_the_edition(monkeypatch, tmp_path):
    printed = b"a (D:20261128012345+01'00') b (D:20261128012345) c (D:2026)"
    asked = prints(monkeypatch, printed, printed)
    page, book = tmp_path / "cards.html", tmp_path / "book.pdf"
    card_book.print_book("/opt/browser", page, book, "2026-11-25")
    assert book.read_bytes() == b"a (D:20261125000000+00'00') b (D:20261125000000) c (D:2026)"
    assert len(asked) == 2  # the second print is like the first


def test_how_a_browser_is_asked(monkeypatch, tmp_path):
    """Without its head, its user's profile and its own lines on the paper; as root without its
    sandbox, which it refuses to root."""
    asked = prints(monkeypatch, b"x", b"x")
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    card_book._printed("/opt/browser", tmp_path / "cards.html", "2026-11-25")
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    card_book._printed("/opt/browser", tmp_path / "cards.html", "2026-11-25")
    (plain, given), (root, _) = asked
    assert given == {"capture_output": True, "timeout": card_book.PATIENCE}
    fixed = [word for word in plain if "=" not in word]
    assert fixed == [
        "/opt/browser",
        "--headless",
        "--disable-gpu",
        "--no-first-run",
        "--disable-sync",
        "--disable-background-networking",
        "--disable-component-update",
        "--no-pdf-header-footer",
        "--disable-pdf-tagging",
        (tmp_path / "cards.html").as_uri(),
    ]
    assert [w for w in root if "=" not in w] == [fixed[0], "--no-sandbox", *fixed[1:]]
    profile, book = (w.partition("=") for w in plain if "=" in w)
    assert (profile[0], book[0]) == ("--user-data-dir", "--print-to-pdf")
    assert profile[2] == book[2].replace("book.pdf", "profile")  # both go when it is done
    assert not os.path.exists(os.path.dirname(book[2]))


@pytest.mark.parametrize("code", [0, 3])
def test_a_browser_without_a_book_is_told_with_its_exit_code(monkeypatch, tmp_path, code):
    monkeypatch.setattr(
        card_book.subprocess, "run", lambda *_, **__: SimpleNamespace(returncode=code)
    )
    said = rf"^browser did not print the book \(exit code {code}\)$"
    with pytest.raises(card_book.BookFailed, match=said):
        card_book._printed("/opt/browser", tmp_path / "cards.html", "2026-11-25")


def test_a_browser_that_wrote_a_book_and_failed_is_refused(monkeypatch, tmp_path):
    prints(monkeypatch, b"x")
    written = card_book.subprocess.run
    monkeypatch.setattr(
        card_book.subprocess,
        "run",
        lambda *given, **named: written(*given, **named) and SimpleNamespace(returncode=1),
    )
    with pytest.raises(card_book.BookFailed, match="exit code 1"):
        card_book._printed("/opt/browser", tmp_path / "cards.html", "2026-11-25")


def test_a_browser_that_cannot_be_started_is_told(tmp_path):
    with pytest.raises(card_book.BookFailed, match="^none did not print the book: .*No such file"):
        card_book._printed(str(tmp_path / "none"), tmp_path / "cards.html", "2026-11-25")
