"""The search of the find box is a script without a page; here it runs in an engine inside Python,
for tests and for lists of queries."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path

from py_mini_racer import MiniRacer

ASSETS = Path(__file__).parent.parent / "site_src" / "pages" / "assets"
SEARCH = [ASSETS / f"find-{name}.js" for name in ("words", "meant", "search")]
LANGUAGES = """
for (const tag of Object.keys(window.benchFindNames || {})) {
  benchSearch.add(tag, benchFindNames[tag]);
}"""


def scripts_of(site: Path) -> dict[str, str]:
    """The index and the names in other languages of a built site, by file."""
    files = sorted((site / "assets").glob("find-[in]*.js"))
    return {file.name: file.read_text(encoding="utf-8") for file in files}


class Finder:
    """The find box with what was built for it, all languages loaded, for a reader of some of
    them."""

    def __init__(self, built: Path | Mapping[str, str], readers: Sequence[str] = ()):
        """``built`` is the folder of a site, or its scripts (`find_index.scripts`)."""
        scripts = scripts_of(built) if isinstance(built, Path) else built
        self._engine = MiniRacer()
        self._engine.eval("var window = globalThis;")
        search = (file.read_text(encoding="utf-8") for file in SEARCH)
        for script in (*search, *scripts.values()):
            self._engine.eval(script)
        self._engine.eval(f"benchSearch.start(benchFindIndex, {json.dumps(list(readers))})")
        self._engine.eval(LANGUAGES)

    def hits(self, query: str) -> list[str]:
        """Addresses of what is found, best first."""
        asked = f"benchSearch.ask({json.dumps(query)}).map(i => benchSearch.entry(i).address)"
        return json.loads(self._engine.eval(f"JSON.stringify({asked})"))

    def place(self, query: str) -> str:
        """Where on its page the first hit stands."""
        asked = json.dumps(query)
        return self._engine.eval(f"benchSearch.place_on(benchSearch.ask({asked})[0], {asked})")
