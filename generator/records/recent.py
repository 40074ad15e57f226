"""A memory of what was made last, for things that are asked for again soon; full, it starts
anew."""

from __future__ import annotations

from collections.abc import Callable, Hashable


class Recent(dict):
    """At most ``most`` things by their key."""

    def __init__(self, most: int):
        super().__init__()
        self._most = most

    def get_or(self, key: Hashable, make: Callable[[], object]):
        """The thing of this key; made when it is not there."""
        if key not in self:
            if len(self) >= self._most:
                self.clear()
            self[key] = make()
        return self[key]
