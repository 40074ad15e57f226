"""Tempers: states in which a part is never left, and hardness lost to the heat of soldering.

A part that the trade always hardens is not left soft; a spring is neither left at the temper of a
cutting tool nor unaged; and what is hard from cold work alone is soft again at a soldered joint.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import copy

from generator.numbers.quantities import Quantity
from generator.verdicts.findings import MISSED, Judge
from generator.verdicts.usage import SOFT, Usage

HARDENS, UNHARDENED = "heat-hardens", ("annealed", "drawn", "cold-worked")
AGES, AGED = "age-hardens", "aged"  # the trait, and what the ids of aged states hold
CUTTING_TEMPER = "tempered-hard"  # keeps an edge or a pivot, and snaps where it is bent
SPRINGY = ("elastic-reach", "elastic-store")
STRENGTHS = ("hardness", "tensile-strength", "proof-strength")


class Tempers:
    """What the parts of a knowledge base ask of the temper."""

    def __init__(self, judge: Judge):
        self.judge, self.materials = judge, judge.knowledge.materials
        parts = self.parts = judge.knowledge.roles
        self._wants_strength = {
            k
            for k, p in parts.items()
            if any(d.property in STRENGTHS and d.at_least is not None for d in p.demands)
        }
        self._springs = {
            k
            for k, p in parts.items()
            if any(d.property in SPRINGY for d in p.demands)
            and not any(d.trait == HARDENS for d in p.demands)
        }
        self._hardens = {
            k: any(s not in SOFT and not r.stage for s, r in m.states.items())
            for k, m in self.materials.items()
        }

    def on(self, judge: Judge) -> Tempers:
        """The same by other figures."""
        other = copy(self)
        other.judge = judge
        return other

    def wrong(self, part: str, material: str, state: str | None, usage: Usage) -> Iterator[str]:
        """Kinds of gates that the state of a material shuts for a part."""
        traits = self.materials[material].traits
        if part.partition("/")[0] in self._springs:  # in every setting, whatever it asks
            if state == CUTTING_TEMPER:
                yield "temper"
            if AGES in traits and state and AGED not in state and self._aged(material, usage):
                yield "unaged"
        if (
            usage.hardened
            and state in SOFT
            and self._hardens[material]
            and part in self._wants_strength
        ):
            yield "soft"
        if state in UNHARDENED and HARDENS in traits and self._hardened(usage):
            yield "unhardened"

    def _aged(self, material: str, usage: Usage) -> bool:
        """True when the trade uses metals of its family here, and each of them aged; where it uses
        none, true when the metal is known aged at all."""
        family = self.materials[material].family
        states = [
            u.state for u in usage.choices if u.traits.family == family and AGES in u.traits.traits
        ]
        return all(AGED in (s or "") for s in states) and (
            bool(states) or any(AGED in s for s in self.materials[material].states)
        )

    def _hardened(self, usage: Usage) -> bool:
        """True when the trade uses steels that harden here, and none of them unhardened."""
        named = [
            u.choice.state in (None, *UNHARDENED)
            for u in usage.choices
            if HARDENS in u.traits.traits
        ]
        return bool(named) and not any(named)

    def softest(self, material: str) -> str | None:
        """The softest state of a material, if it has one."""
        return next((s for s in SOFT if s in self.materials[material].states), None)

    def softened(self, part: str, material: str, state: str | None) -> Quantity | None:
        """The hardness that solder leaves, where a part is soldered and asks for more: of a metal
        that is hard by cold work alone, for what ages can be hardened again."""
        soft = self.softest(material)
        ages = AGES in self.materials[material].traits
        if not self.parts[part].soldered or soft in (None, state) or ages:
            return None
        firm = [i for i, d in enumerate(self.parts[part].demands) if d.firm]
        for answer in self.judge.answers(part, material, soft, firm):
            if answer.demand.property == "hardness" and answer.outcome == MISSED:
                return answer.quantity
        return None
