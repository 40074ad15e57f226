"""What the pages that `serve` shows on this machine learn beside the site: how many builds there
were, and what is wrong now.

The built site knows nothing of it: the server adds one script to a page as it hands it out.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from html import escape
from pathlib import Path

from generator.records.complaints import Complaint

HOME = "/.desk/"
MOST = 50  # faults that a banner shows
WAITING = (
    b"<!doctype html><html lang=en><meta charset=utf-8><title>Not built yet</title>"
    b"<link rel=icon href=data:,>"
    b"<body><p>The site is being built; this page then shows it.</p></body></html>"
)


class Desk:
    """The state that open pages ask for."""

    def __init__(self, root: Path):
        self._script = root / "site_src" / "serve" / "desk.js"
        self.built = 0
        self.faults: list[tuple[str, str, str]] = []  # place, fault, cure
        self.told = 0  # how often effects were worked out
        self.before: dict | None = None  # what the knowledge base is compared with
        self.effects: list[str] = []  # what was edited and what follows, a line each

    def is_built(self) -> None:
        """A new site stands."""
        self.faults = []
        self.built += 1

    def follows(self, effects: list[str]) -> None:
        """What was edited and what comes of it is known; the pages are still to be drawn."""
        self.faults, self.effects = [], effects
        self.told += 1

    def fails(self, faults: Iterable[Complaint | str]) -> None:
        """The old site stays, for these reasons."""
        self.faults = [_parts(fault) for fault in faults]

    def answer(self, path: str) -> bytes | None:
        """One of the two scripts, or the page of effects; None for anything else."""
        if path == f"{HOME}page.js":
            return self._script.read_bytes()
        if path == f"{HOME}state.js":
            state = {
                "built": self.built,
                "faults": self.faults[:MOST],
                "told": self.told,
                "effects": sum(line.startswith(" ") for line in self.effects),
            }
            return f"benchDesk({json.dumps(state)});".encode()
        if path == f"{HOME}effects.html":
            return self.with_script(_page(self.effects), f' data-told="{self.told}"')
        return None

    def with_script(self, page: bytes, more: str = "") -> bytes:
        """A page that loads again after the next build."""
        tag = f'<script src="{HOME}page.js" data-built="{self.built}"{more}></script>'.encode()
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
