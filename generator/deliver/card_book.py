"""Prints the cards and tables of a built site into one PDF book with a Chromium; the contents
link to each.

A card is what the page of a material or a part prints, a table likewise; the book uses the site's
own style for paper.
"""

from __future__ import annotations

import os
import posixpath
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

from generator.deliver.one_file import ARTICLE, WORKING, title_of

FOLDERS = {"parts/": "Parts", "materials/": "Materials"}
TABLES = "tables/"
CARD, FOOT = (
    re.compile(r'.*?<dl class="card.*?</dl>', re.DOTALL),
    re.compile(r'<p class="foot">.*?</p>', re.DOTALL),
)
SCRIPT = re.compile(r"<script[^>]*></script>")
SHEET = re.compile(r'class="scroll sheet[^"]* sheet--(upright|lying)')
STYLESHEET = re.compile(r'<link rel="stylesheet"(?: media="print")? href="([^"]+)">')
PATIENCE = 300  # seconds
MOST_PRINTS = 4
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome", "microsoft-edge")
MAC_BROWSERS = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
)
# A browser sets every line of a print as wide as its first sheet, an A5 card, and makes the whole
# book smaller where a line is wider than its own sheet: each kind of table has its sheet's width.
_STYLE = """\
body { background: #fff; }
.md-content__inner { break-before: page; }
.md-content__inner:first-of-type { break-before: auto; }
.book--contents, .book--card { page: card; }
.book--table { page: wide; width: 277mm; }
.book--upright, .book--table:has(.contact, .table--hardness) { page: upright; width: 196mm; }
.book--lying { page: lying; width: 283mm; }
.book ul { list-style: none; margin: 0; columns: 2; }
.book li { margin: 0; font-size: 9pt; line-height: 1.3; }
"""


class BookFailed(Exception):
    """Why there is no book."""


def find_browser() -> str | None:
    """The path of a Chromium-family browser, or None."""
    named = os.environ.get("BENCH_CHROMIUM")
    found = (shutil.which(name) for name in BROWSERS)
    return (
        named
        or next((path for path in found if path), None)
        or next((path for path in MAC_BROWSERS if Path(path).exists()), None)
    )


def page_of_cards(site: Path, edition: str) -> str:
    """One HTML page with the table of contents and every card; it lies beside the folder
    ``site``."""
    sections = {**FOLDERS, TABLES: "Tables"}
    names = [
        p.relative_to(site).as_posix()
        for folder in sections
        for p in sorted((site / folder).glob("*.html"))
    ]
    pages = {
        name: (site / name).read_text(encoding="utf-8")
        for name in names
        if not name.endswith("/index.html")
    }
    pages = dict(
        sorted(
            pages.items(),
            key=lambda item: (
                list(sections).index(item[0].partition("/")[0] + "/"),
                title_of(item[1]).casefold(),
                item[0],
            ),
        )
    )
    parts = {
        name: (_table if name.startswith(TABLES) else _card)(name, page, pages)
        for name, page in pages.items()
    }
    drawn = {name: part for name, part in parts.items() if part}
    tables = sum(name.startswith(TABLES) for name in drawn)
    contents = ""
    for folder, title in sections.items():
        entries = (_entry(name, pages[name]) for name in drawn if name.startswith(folder))
        contents += f"<h2>{title}</h2><ul>{''.join(entries)}</ul>"
    sheets = "".join(
        f'<link rel="stylesheet" href="{site.name}/{sheet}">'
        for sheet in STYLESHEET.findall((site / "index.html").read_text(encoding="utf-8"))
    )
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Arbor &amp; Case, cards'
        f" and tables, {edition}</title>"
        f"{sheets}<style>{_STYLE}</style></head>"
        "<body>"
        '<article class="md-content__inner md-typeset book book--contents"><h1>Cards and'
        " tables</h1>"
        f"<p>Edition {edition}. {len(drawn) - tables} cards, {tables}"
        f" tables.</p>{contents}</article>"
        f"{''.join(drawn.values())}</body></html>\n"
    )


def _entry(name: str, page: str) -> str:
    return f'<li><a href="#{_place(name)}">{title_of(page)}</a></li>'


def _place(name: str) -> str:
    return name.removesuffix(".html").replace("/", "-")


def _card(name: str, page: str, pages: dict[str, str]) -> str:
    """The printed part of a page, with links that lead to other cards; empty when the page has no
    card."""
    article = ARTICLE.search(page)
    card = CARD.match(article.group(1)) if article else None
    if card is None:
        return ""

    foot = FOOT.search(article.group(1))
    return _part("card", name, card.group() + (foot.group() if foot else ""), pages)


def _table(name: str, page: str, pages: dict[str, str]) -> str:
    """A table as its page prints it; empty when the page has none."""
    article = ARTICLE.search(page)
    if article is None or 'class="scroll' not in article.group(1):
        return ""
    sheet = SHEET.search(article.group(1))
    return _part(
        sheet.group(1) if sheet else "table",
        name,
        SCRIPT.sub("", WORKING.sub("", article.group(1))),
        pages,
    )


def _part(kind: str, name: str, content: str, pages: dict[str, str]) -> str:
    """One part of the book, with links that lead to other parts of it."""

    def target(found: re.Match) -> str:
        path = posixpath.normpath(
            posixpath.join(posixpath.dirname(name), found.group(1).partition("#")[0])
        )
        return f' href="#{_place(path)}"' if path in pages and path != name else ""

    content = re.sub(r' href="([^"]*)"', target, re.sub(r' id="[^"]*"', "", content))
    return (
        f'<article class="md-content__inner md-typeset book--{kind}"'
        f' id="{_place(name)}">{content}</article>\n'
    )


def print_book(browser: str, page: Path, book: Path, edition: str) -> None:
    """Print the page into a PDF file.

    A browser now and then sets one line of a print half a pixel aside; what two prints agree on is
    taken, so that the same cards are the same bytes. Raises BookFailed.
    """
    prints: list[bytes] = []
    for _ in range(MOST_PRINTS):
        prints.append(_printed(browser, page, edition))
        if prints[-1] in prints[:-1]:
            break
    book.write_bytes(prints[-1])


def _printed(browser: str, page: Path, edition: str) -> bytes:
    """One print of the page, on the day of the edition."""
    with tempfile.TemporaryDirectory() as profile:
        book = Path(profile) / "book.pdf"
        _ask_for(browser, page, book, Path(profile) / "profile")
        content = book.read_bytes()
    # The browser writes the hour of printing; the edition's day in its place makes two prints
    # alike.
    day = edition.replace("-", "").encode()
    return re.sub(
        rb"\(D:\d{14}([+-]\d\d'\d\d')?\)",
        lambda found: b"(D:" + day + b"000000" + (found.group(1) and b"+00'00'" or b"") + b")",
        content,
    )


def _ask_for(browser: str, page: Path, book: Path, profile: Path) -> None:
    """Let the browser print the page."""
    command = [
        browser,
        "--headless",
        "--disable-gpu",
        "--no-first-run",
        "--disable-sync",
        "--disable-background-networking",
        "--disable-component-update",
        f"--user-data-dir={profile}",
        "--no-pdf-header-footer",
        "--disable-pdf-tagging",
        f"--print-to-pdf={book}",
        page.as_uri(),
    ]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.insert(1, "--no-sandbox")  # Chromium refuses its sandbox to root
    try:
        done = subprocess.run(command, capture_output=True, timeout=PATIENCE)
    except (OSError, subprocess.TimeoutExpired) as error:
        raise BookFailed(f"{Path(browser).name} did not print the book: {error}") from None
    if done.returncode or not book.is_file():
        raise BookFailed(
            f"{Path(browser).name} did not print the book (exit code {done.returncode})"
        )
