"""Bounded cache for things that will be asked for again soon; it starts afresh when full."""

from __future__ import annotations

from collections.abc import Callable, Hashable


class Recent(dict):
    """At most ``most`` values by key."""

    def __init__(self, most: int):
        super().__init__()
        self._most = most

    def get_or(self, key: Hashable, make: Callable[[], object]):
        """The value of a key; made if missing."""
        if key not in self:
            if len(self) >= self._most:
                self.clear()
            self[key] = make()
        return self[key]
