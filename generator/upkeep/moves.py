"""Finds the fewest rows whose moving explains the difference between two orders.

A row that only makes room for another has not moved: what stays is the longest run of rows whose
order is unchanged.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence


def moved(was: Mapping[str, str], now: Mapping[str, str]) -> list[str]:
    """The rows that moved, of those that both orders have; values are places, counted from 1."""
    common = sorted(was.keys() & now.keys(), key=lambda row: int(was[row]))
    stays = _longest_rise([int(now[row]) for row in common])
    return [row for i, row in enumerate(common) if i not in stays]


def _longest_rise(numbers: Sequence[int]) -> set[int]:
    """Where the longest rising run of a sequence stands (patience sorting)."""
    ends: list[int] = []  # the smallest end of a run of each length
    at: list[int] = []  # where that end stands
    before: list[int] = []
    for i, number in enumerate(numbers):
        length = bisect_left(ends, number)
        ends[length : length + 1] = [number]
        at[length : length + 1] = [i]
        before.append(at[length - 1] if length else -1)
    found, i = set(), at[-1] if at else -1
    while i >= 0:
        found.add(i)
        i = before[i]
    return found
