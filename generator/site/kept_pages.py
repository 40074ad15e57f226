"""Keeps what was drawn for the next build of the same process.

A page is what its template makes of what it was given and of what every page may name. Where both
are as they were, so is the page. An unchanged file gives the very same record again, so most of the
comparing is a look at identity.
"""

from __future__ import annotations

from collections.abc import Callable


class KeptPages:
    """The pages of the last build, each with what its template was given."""

    def __init__(self):
        self.makers: dict[str, tuple] = {}  # file of a page -> what draws it (site/render.py)
        self._common: object = None
        self._before: dict[str, list[tuple[tuple, str]]] = {}
        self._now: dict[str, list[tuple[tuple, str]]] = {}

    def begin(self, common: object) -> None:
        """Start a build, the last one may be unfinished; ``common`` is what any page may name."""
        self._before = {**self._before, **self._now} if common == self._common else {}
        self._now, self._common = {}, common

    def text(self, page: str, given: tuple, draw: Callable[[], str]) -> str:
        """What a template makes for a page (some pages need several); drawn where it was given
        something else than before."""
        drawn = self._now.setdefault(page, [])
        for before, text in drawn:  # a page may be asked for before its turn
            if before == given:
                return text
        found = (text for before, text in self._before.get(page, ()) if before == given)
        text = next(found, None)
        if text is None:
            text = draw()
        drawn.append((given, text))
        return text
