"""Receives judgements; hands on their reasons in numbers, as the data of page scripts holds them:
each reason is two half sentences, and what many materials share stands once."""

from __future__ import annotations

from collections.abc import Hashable

from generator.numbers.quantities import NBSP
from generator.verdicts import wording
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import Gate, Judgement


class Numbered:
    """A list in which equal things stand once."""

    def __init__(self):
        self.things: list = []
        self._places: dict[Hashable, int] = {}

    def of(self, thing: Hashable) -> int:
        """The place of a thing; a new one is added at the end."""
        if thing not in self._places:
            self._places[thing] = len(self.things)
            self.things.append(thing)
        return self._places[thing]


class Reasons:
    """The reasons of judgements as numbered half sentences, each half worded once."""

    def __init__(self, judge: Judge, texts: Numbered):
        self._judge, self._knowledge, self._texts = judge, judge.knowledge, texts
        self._known: dict[Hashable, tuple[int, int]] = {}

    def first(self, judgement: Judgement) -> tuple[int, ...]:
        """The numbers of the two halves of the first reason, and of a weak ground behind them."""
        if judgement.gates:
            return self._gate(judgement.gates[0])
        first, second = next(wording.reason_halves(self._knowledge, judgement), ("", ""))
        ground = wording.ground_words(self._judge, judgement)
        halves = self._worded((first, second))
        return (*halves, self._texts.of(_breaking(f" {ground}"))) if ground else halves

    def all(self, judgement: Judgement) -> tuple[int, ...]:
        """The numbers of the halves of all reasons, one after the other; a weak ground is the
        last."""
        if judgement.gates:
            halves = [self._gate(gate) for gate in judgement.gates]
        else:
            halves = [self._worded(h) for h in wording.reason_halves(self._knowledge, judgement)]
            ground = wording.ground_words(self._judge, judgement)
            halves += [self._worded((ground, ""))] if ground else []
        return tuple(number for pair in halves for number in pair)

    def _gate(self, gate: Gate) -> tuple[int, int]:
        met, answer = gate.met, gate.answer
        key = (  # of records, which outlive this
            gate.kind,
            gate.words,
            met and (id(met.meeting), id(met.exposure.rule)),
            answer and (id(answer.demand), id(answer.quantity), answer.found),
        )
        if key not in self._known:
            self._known[key] = self._worded(wording.gate_reason(self._knowledge, gate))
        return self._known[key]

    def _worded(self, halves: tuple[str, str]) -> tuple[int, int]:
        first, second = halves
        return self._texts.of(_breaking(first)), self._texts.of(_breaking(second))


def _breaking(text: str) -> str:
    """The text with plain spaces: the columns are narrow."""
    return text.replace(NBSP, " ")
