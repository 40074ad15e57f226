"""The elimination of "What is this metal" is the page's script; here it runs in an engine inside
Python, for tests."""

from __future__ import annotations

import json
from pathlib import Path

from py_mini_racer import MiniRacer

ASSETS = Path(__file__).parent.parent / "site_src" / "pages" / "assets"
SCRIPTS = ("vendor/decimal.js", "calc.js", "identify.js")


class Elimination:
    """The page's script with the data of a knowledge base, or with invented materials."""

    def __init__(self, data: dict):
        self.data = data
        self._engine = MiniRacer()
        for script in SCRIPTS:
            self._engine.eval((ASSETS / script).read_text(encoding="utf-8"))
        self._engine.eval(f"const data = {json.dumps(data)}; benchIdentify.take(data)")

    def _call(self, name: str, *given):
        words = ", ".join(["data", *(json.dumps(g) for g in given)])
        return json.loads(self._engine.eval(f"JSON.stringify(benchIdentify.{name}({words}))"))

    def identify(self, observed: dict) -> dict:
        """What a bare piece may be, and what a coated one."""
        return self._call("identify", observed)

    def eliminate(self, observed: dict) -> dict:
        """What of all materials remains, and what fell out by which observations."""
        call = f"benchIdentify.eliminate(data.materials, {json.dumps(observed)})"
        return json.loads(self._engine.eval(f"JSON.stringify({call})"))

    def next_tests(self, left: list, observed: dict) -> dict:
        """How many pairs of what remains each further test tells apart, and which comes first."""
        return self._call("nextTests", left, observed)

    def weighed(self, in_air: float, in_water: float, warmth: float, step: float) -> dict | None:
        """Density from two weighings, as low and high."""
        return self._call("weighed", in_air, in_water, warmth, step)

    def overlap(self, a: list, b: list) -> bool:
        """True when two intervals share a value."""
        call = f"benchIdentify.overlaps({json.dumps(a)}, {json.dumps(b)})"
        return bool(self._engine.eval(call))
