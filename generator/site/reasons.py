"""The reasons of judgements, numbered for the page scripts: each reason is two half sentences, and
what many materials share is stored once.
"""

from __future__ import annotations

from collections.abc import Hashable

from generator.numbers.quantities import NBSP
from generator.verdicts.rungs import Judgement
from generator.verdicts.worded import Halves, Worded


class Numbered:
    """A list in which equal things stand once."""

    def __init__(self):
        self.things: list = []
        self._places: dict[Hashable, int] = {}

    def of(self, thing: Hashable) -> int:
        """The place of a thing; a new one is added at the end."""
        place = self._places.get(thing)
        if place is None:
            place = self._places[thing] = len(self.things)
            self.things.append(thing)
        return place


class Reasons:
    """The reasons of judgements as numbered half sentences."""

    def __init__(self, worded: Worded, texts: Numbered):
        self._said, self._texts = worded, texts
        self._known: dict[Halves, tuple[int, int]] = {}

    def first(self, judgement: Judgement) -> tuple[int, ...]:
        """The numbers of the two halves of the first reason, and of a weak ground behind them."""
        halves = next(iter(self._said.halves(judgement)), ("", ""))
        ground = self._said.ground_words(judgement)
        numbers = self._worded(halves)
        return (*numbers, self._texts.of(_breaking(f" {ground}"))) if ground else numbers

    def all(self, judgement: Judgement) -> tuple[int, ...]:
        """The numbers of the halves of all reasons, one after the other; a weak ground is the
        last."""
        halves = self._said.halves(judgement)
        ground = self._said.ground_words(judgement)
        if ground:
            halves = (*halves, (ground, ""))
        return tuple([number for pair in halves for number in self._worded(pair)])

    def _worded(self, halves: Halves) -> tuple[int, int]:
        numbers = self._known.get(halves)
        if numbers is None:
            first, second = halves
            numbers = self._texts.of(_breaking(first)), self._texts.of(_breaking(second))
            self._known[halves] = numbers
        return numbers


def _breaking(text: str) -> str:
    """The text with plain spaces: the columns are narrow."""
    return text.replace(NBSP, " ")
