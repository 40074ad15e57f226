"""What open pages learn from `serve`: whether they have changed, what an edit changes, and what is
wrong.

The built site knows nothing of this: the server adds one script to each page it sends. Open pages
are drawn first and served from memory until the whole site is ready.
"""

from __future__ import annotations

import json
import re
import time
import zlib
from collections.abc import Iterable, Mapping
from html import escape
from pathlib import Path

from generator.records.complaints import Complaint

HOME = "/.desk/"
MOST = 50  # faults that a banner shows
OPEN = 12  # seconds; a page that asked since then is looked at (a hidden one asks every third)
FIRST = 6  # pages that are drawn before all others
_SCRIPTS = re.compile(rb'<script[^>]* src="((?:\.\./)*assets/[\w./-]+\.js)')
WAITING = (
    b"<!doctype html><html lang=en><meta charset=utf-8><title>Not built yet</title>"
    b"<link rel=icon href=data:,>"
    b"<body><p>The site is being built; this page then shows it.</p></body></html>"
)


class Desk:
    """The state that open pages ask for."""

    def __init__(self, root: Path):
        self._script, self._site = root / "site_src" / "serve" / "desk.js", root / "site"
        self.built = 0  # how many sites stood
        self.faults: list[tuple[str, str, str]] = []  # place, fault, cure
        self.told = 0  # how often effects were worked out
        self.before: dict | None = None  # what the knowledge base is compared with
        self.effects: list[str] = []  # what was edited and what follows, a line each
        self._asked: dict[str, float] = {}  # page -> when it was last asked for
        self._early: dict[str, bytes] = {}  # pages that are newer than the site
        self._drawn: set[str] = set()  # those of the build that runs

    def begins(self) -> None:
        """A build begins; pages of the one before are shown until it has others."""
        self._drawn = set()

    def asked(self) -> list[str]:
        """The pages that somebody looks at and that were not drawn yet, the last one first."""
        now = time.monotonic()
        seen = [(when, page) for page, when in list(self._asked.items()) if now - when < OPEN]
        return [page for _, page in sorted(seen, reverse=True)[:FIRST] if page not in self._drawn]

    def shows(self, pages: Mapping[str, bytes | None]) -> None:
        """Pages that are drawn before the site stands; None for those that must wait for it."""
        early = {name: octets for name, octets in pages.items() if octets is not None}
        self.faults, self._early = [], {**self._early, **early}
        self._drawn |= pages.keys()

    def page(self, name: str) -> bytes | None:
        """A page of the site, the newest that there is; None for other files. Remembers that
        somebody looks at it."""
        if not name.endswith(".html"):
            return None
        early, path = self._early.get(name), self._site / name
        octets = early if early is not None else path.read_bytes() if path.is_file() else None
        if octets is not None:
            self._asked[name] = time.monotonic()
        return octets

    def mark(self, name: str, page: bytes) -> str:
        """What tells one state of a page, and of the scripts that it loads, from another."""
        folder = (self._site / name).parent
        scripts = [folder / source.decode() for source in _SCRIPTS.findall(page)]
        stamps = [script.stat().st_mtime_ns if script.is_file() else 0 for script in scripts]
        return f"{zlib.crc32(repr(stamps).encode(), zlib.crc32(page)):08x}"

    def is_built(self) -> None:
        """A new site stands."""
        self.faults, self._early = [], {}
        self.built += 1

    def follows(self, effects: list[str]) -> None:
        """What was edited and what comes of it is known; the pages are still to be drawn."""
        self.faults, self.effects = [], effects
        self.told += 1

    def fails(self, faults: Iterable[Complaint | str]) -> None:
        """The old site stays, for these reasons."""
        self.faults = [_parts(fault) for fault in faults]

    def withdraws(self) -> None:
        """The site could not be made, so no page of it is shown."""
        self._early = {}

    def answer(self, path: str, looked_at: str = "") -> bytes | None:
        """One of the two scripts, or the page of effects; None for anything else. ``looked_at`` is
        the page that asks."""
        if path == f"{HOME}page.js":
            return self._script.read_bytes()
        if path == f"{HOME}state.js":
            page = self.page(looked_at)
            state = {
                "mark": "" if page is None else self.mark(looked_at, page),
                "faults": self.faults[:MOST],
                "told": self.told,
                "effects": sum(line.startswith(" ") for line in self.effects),
            }
            return f"benchDesk({json.dumps(state)});".encode()
        if path == f"{HOME}effects.html":
            return _with_script(_page(self.effects), f'data-told="{self.told}"')
        return None

    def with_script(self, name: str, page: bytes) -> bytes:
        """A page that loads again when it says something else."""
        return _with_script(page, f'data-mark="{self.mark(name, page)}"')


def _with_script(page: bytes, attribute: str) -> bytes:
    tag = f'<script src="{HOME}page.js" {attribute}></script>'.encode()
    head, end, tail = page.rpartition(b"</body>")
    return head + tag + end + tail if end else page + tag


def _page(lines: list[str]) -> bytes:
    """What was edited since the last edition, and what follows, as a plain page."""
    body = []
    for line in lines or ["Nothing differs."]:
        text = escape(line.strip())
        body.append(f"<p>{text}</p>" if line.startswith(" ") else f"<h2>{text}</h2>")
    style = "body{font:17px/1.5 sans-serif;max-width:60rem;margin:1rem auto;padding:0 1rem}"
    return (
        "<!doctype html><html lang=en><meta charset=utf-8>"
        "<meta name=viewport content='width=device-width'>"
        "<meta name=color-scheme content='light dark'>"
        "<link rel=icon href=data:,>"
        f"<title>What your edits change</title><style>{style}</style>"
        "<body><p><a href='/'>Start</a></p><h1>What your edits change</h1>"
        f"{''.join(body)}</body></html>"
    ).encode()


def _parts(fault: Complaint | str) -> tuple[str, str, str]:
    if isinstance(fault, str):
        said, _, cure = fault.partition("; ")
        return "", said, cure
    place, said = str(fault.place), str(fault).removeprefix(f"{fault.place}: ")
    cure = fault.cure if said.endswith(f"; {fault.cure}") else ""
    return place, said.removesuffix(f"; {cure}") if cure else said, cure
