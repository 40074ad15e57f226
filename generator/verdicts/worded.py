"""The reasons and weak grounds of judgements in words. Pages, page scripts and the published data
share them, so each is worded once.
"""

from __future__ import annotations

from typing import NamedTuple

from generator.verdicts import wording
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import Gate, Judgement

Halves = tuple[str, str]


class _Said(NamedTuple):
    """The words of a judgement; keeps it alive, so that no other can take its id()."""

    judgement: Judgement
    halves: tuple[Halves, ...]
    ground: str | None


class Worded:
    """The words for judgements of one judge."""

    def __init__(self, judge: Judge):
        self._judge, self._knowledge = judge, judge.knowledge
        self._said: dict[int, _Said] = {}
        self._gates: dict[tuple, tuple[Gate, Halves]] = {}

    def halves(self, judgement: Judgement) -> tuple[Halves, ...]:
        """The reasons, each in two halves that many materials share."""
        return self._of(judgement).halves

    def reasons(self, judgement: Judgement) -> list[str]:
        """The reasons, whole."""
        return [first + second for first, second in self._of(judgement).halves]

    def ground(self, judgement: Judgement) -> str | None:
        """The weak ground of what is offered: `borrowed`, `little`; none where it stands firm."""
        return self._of(judgement).ground

    def ground_words(self, judgement: Judgement) -> str:
        """Sign and word of a weak ground; nothing where what is offered stands firm."""
        return wording.GROUNDS.get(self._of(judgement).ground, "")

    def gate(self, gate: Gate) -> Halves:
        """What shuts a material out; the same figure or rule shuts it out of many parts."""
        met, answer = gate.met, gate.answer
        key = (
            gate.kind,
            gate.words,
            met
            and (
                id(met.meeting),
                id(met.exposure.rule),
                met.exposure.verdict,
                met.exposure.beneath,
            ),
            answer and (id(answer.demand), id(answer.quantity), answer.outcome, answer.found),
        )
        known = self._gates.get(key)
        if known is None:  # kept with the gate, whose parts then keep their identity
            known = self._gates[key] = gate, wording.gate_reason(self._knowledge, gate)
        return known[1]

    def _of(self, judgement: Judgement) -> _Said:
        said = self._said.get(id(judgement))
        if said is None:
            if judgement.gates:
                halves = map(self.gate, judgement.gates)
            else:
                halves = wording.reason_halves(self._knowledge, judgement)
            ground = wording.ground(self._judge, judgement)
            said = self._said[id(judgement)] = _Said(judgement, tuple(halves), ground)
        return said
