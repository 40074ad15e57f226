"""The find box is the page's script; here it runs in an engine inside Python, for tests and for
lists of queries."""

from __future__ import annotations

import json
from pathlib import Path

from py_mini_racer import MiniRacer

SCRIPT = Path(__file__).parent.parent / "site_src" / "pages" / "assets" / "find.js"
# What the script asks of a page before anything is typed.
PAGE = """
var any = () => ({dataset: {root: "./"}, classList: {add() {}, toggle() {}},
  addEventListener() {}, setAttribute() {}, removeAttribute() {}});
var window = globalThis;
var document = {querySelector: any, getElementById: any, addEventListener() {},
  createElement: any, head: {appendChild(element) { setTimeout = null; element.onload(); }}};
"""


class Finder:
    """The find box of a site with the index that was built for it."""

    def __init__(self, index: str):
        """``index`` is the text of assets/find-index.js."""
        self._engine = MiniRacer()
        for script in (PAGE, index, SCRIPT.read_text(encoding="utf-8")):
            self._engine.eval(script)
        self._engine.eval("benchFind.load(() => {})")

    def hits(self, query: str) -> list[str]:
        """Addresses of what is found, best first."""
        return json.loads(self._engine.eval(f"JSON.stringify(benchFind.ask({json.dumps(query)}))"))
