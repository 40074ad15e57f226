"""What a reader sees of a drawn page: its words, section by section, and where its links lead."""

from __future__ import annotations

import re
from html.parser import HTMLParser

HEADING = re.compile(r'(?:^## .+? \{: #|<h2 id=")([a-z-]+)(?: \}$|">[^<]+</h2>)', re.MULTILINE)
BLOCKS = {"p", "li", "dt", "dd", "th", "td", "h1", "h3", "div", "section", "summary", "tr", "ul"}


class Reader(HTMLParser):
    """What a reader sees of a piece of HTML: its words, and where its links lead."""

    def __init__(self):
        super().__init__()
        self.words, self.links, self._unseen = [], [], 0
        self.places = {}  # where the words of an anchor begin

    def handle_starttag(self, tag, attrs):
        if tag in ("script", "style"):
            self._unseen += 1
        if tag == "a":
            self.links.append(dict(attrs).get("href"))
        if tag in BLOCKS:
            self.words.append(" ")
        self.places[dict(attrs).get("id")] = len(self.words)

    def handle_endtag(self, tag):
        if tag in ("script", "style"):
            self._unseen -= 1
        if tag in BLOCKS:
            self.words.append(" ")

    def handle_data(self, data):
        if not self._unseen:
            self.words.append(data)


def read(piece: str) -> tuple[str, list[str]]:
    """The words and the links of a piece of a page."""
    reader = Reader()
    reader.feed(piece)
    return " ".join("".join(reader.words).split()), reader.links


def after(anchor: str, piece: str) -> str:
    """The words from an anchor on: what a reader sees who follows a link to it."""
    reader = Reader()
    reader.feed(piece)
    return " ".join("".join(reader.words[reader.places[anchor] :]).split())


def by_section(body: str) -> dict[str, tuple[str, list[str]]]:
    """The words and links of each section of a page by its place; "top" is what stands above the
    first heading."""
    top, *rest = HEADING.split(body)
    pieces = {"top": top, **dict(zip(rest[::2], rest[1::2], strict=True))}
    return {name: read(piece) for name, piece in pieces.items()}
