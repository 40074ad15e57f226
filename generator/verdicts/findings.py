"""What is known of a material in a state for a part: an answer to each demand of the part, and the
effect of each hazard the part is exposed to.

Answers are data (which demand, which figure, which rule); ``rungs`` judges by them, pages and
messages word them. Unknown is an answer. A figure from memory decides nothing: it counts as
unknown.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import copy
from decimal import Decimal
from functools import cached_property
from typing import NamedTuple

from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
from generator.records import models
from generator.records.knowledge import Knowledge, part_of
from generator.verdicts.candidates import Fields
from generator.verdicts.conditions import applies, magnetism_of
from generator.verdicts.contact import FAST, SECOND, Contacts

MET, IN_PART, MISSED, UNKNOWN = OUTCOMES = ("met", "in part", "missed", "unknown")
OFTEN, HARMS = ("often", "always"), ("suffers", "fails")
EXPOSURE_ORDER = ("holds", "holds-with-care", "unknown", "suffers", "fails")  # from best to worst
EXPOSURE_RANK = {verdict: rank for rank, verdict in enumerate(EXPOSURE_ORDER)}


class Exposure(NamedTuple):
    """What a hazard does to a material: the verdict and the rule that decided (None: no rule
    did)."""

    verdict: str
    rule: models.ExposureRule | None
    number: int = 0  # position of the rule on the hazard's page, from 1
    beneath: bool = False  # true: it reaches the base through the pores and edges of a coating


class Answer(NamedTuple):
    """How a material answers one demand."""

    demand: models.Demand
    outcome: str
    quantity: Quantity | None = None
    found: str = ""  # the rating or magnetism found, or the class that never reaches a hardness


class Met(NamedTuple):
    """A hazard that the part meets, and what it does to the material."""

    meeting: models.Meeting
    exposure: Exposure


class Findings(NamedTuple):
    """Everything found on one material in one state, bare or coated, for one part."""

    part: str
    material: str
    state: str | None
    coated: str | None
    answers: tuple[Answer, ...]
    meets: tuple[models.Meeting, ...]
    exposures: tuple[Exposure, ...]  # one for each of ``meets``
    # What is left on the day the coating is worn through, one for each of ``meets``.
    worn: tuple[Exposure, ...] = ()

    @property
    def met(self) -> list[Met]:
        """The hazards met, each with what it does."""
        return [Met(m, e) for m, e in zip(self.meets, self.exposures, strict=True)]


class _Exposures(dict):
    """(material, state) -> what one hazard does in one place of a watch; worked out when first
    asked for."""

    def __init__(self, knowledge: Knowledge, hazard: str, passed_over: frozenset[int]):
        super().__init__()
        rules = enumerate(knowledge.hazards[hazard].rules, 1)
        self._knowledge = knowledge
        self._rules = [(n, r) for n, r in rules if n not in passed_over]
        self._stateless = not any(r.when.states or r.when.magnetism for _, r in self._rules)

    def __missing__(self, key: tuple[str, str | None]) -> Exposure:
        material, state = key
        alike = self._stateless and state is not None
        found = self[key] = self[material, None] if alike else self._expose(material, state)
        return found

    def _expose(self, material: str, state: str | None) -> Exposure:
        for number, rule in self._rules:
            if applies(self._knowledge, rule.when, material, state):
                verdict = "unknown" if rule.source == "memory" else rule.verdict
                return Exposure(verdict, rule, number)
        return Exposure("unknown", None)


class Judge:
    """Asks materials what parts and hazards ask, each question once."""

    def __init__(self, knowledge: Knowledge, values: Values):
        self.knowledge, self.values, self.fields = knowledge, values, Fields(knowledge)
        self._ratings = {r: i for i, r in enumerate(knowledge.words("ratings"))}
        self._magnetism = {m: i for i, m in enumerate(knowledge.words("magnetism"))}
        self._exposures: dict[tuple, _Exposures] = {}
        self._questions = {
            key: [(d, self._question(d)) for d in part.demands]
            for key, part in knowledge.roles.items()
        }
        self._mates: dict[str, list[Quantity]] = {}
        self._part, self._answers = "", dict[tuple, Answer]()  # of the part asked last
        self._met: dict[tuple, tuple[Exposure, ...]] = {}
        self._names = {
            key: material.name.casefold() for key, material in knowledge.materials.items()
        }
        self._meets = {key: tuple(part.meets) for key, part in knowledge.roles.items()}

    def on(self, values: Values) -> Judge:
        """The same judge on other figures."""
        other = copy(self)
        other.values, other._part, other._mates = values, "", {}
        other._answers, other._met = {}, {}
        return other

    def exposure(
        self, hazard: str, material: str, state: str | None = None, part: str | None = None
    ) -> Exposure:
        """The first rule of the hazard that fits the material in the state, and the part that is
        made of it where one is named."""
        return self.exposures_to(hazard, part)[material, state]

    def exposures_to(self, hazard: str, part: str | None = None) -> _Exposures:
        """What a hazard does to each material in each state where a part serves."""
        key = (hazard, part)
        if key not in self._exposures:
            rules = enumerate(self.knowledge.hazards[hazard].rules, 1)
            elsewhere = frozenset(n for n, r in rules if not self._speaks_of(r, part))
            same = (hazard, elsewhere)  # parts of which the same rules speak
            if same not in self._exposures:
                self._exposures[same] = _Exposures(self.knowledge, *same)
            self._exposures[key] = self._exposures[same]
        return self._exposures[key]

    def _speaks_of(self, rule: models.ExposureRule, part: str | None) -> bool:
        """Whether a rule speaks of the place in a watch where a part serves."""
        if not rule.zones and not rule.parts:
            return True
        return part is not None and (
            part_of(part) in rule.parts or self.knowledge.roles[part].zone in rule.zones
        )

    def exposures(
        self, part: str, material: str, state: str | None, coated: str | None = None
    ) -> tuple[Exposure, ...]:
        """What each hazard does that the part meets; below a coating, what reaches the base."""
        self._turn_to(part)
        found = self._met.get((material, state, coated))
        if found is None:
            found = tuple(
                [
                    self.exposure(m.hazard, coated or material, None if coated else state, part)
                    for m in self._meets[part]
                ]
            )
            if coated:
                bare = self.exposures(part, material, state)
                found = tuple(
                    self._through(m.hazard, over, under, coated, material)
                    for m, over, under in zip(self._meets[part], found, bare, strict=True)
                )
            self._met[material, state, coated] = found
        return found

    def _through(
        self, hazard: str, over: Exposure, under: Exposure, coating: str, base: str
    ) -> Exposure:
        """What a hazard does to a coated piece: the coating's own answer, or what reaches the base
        where that is worse.

        At pores and worn edges little of the base lies bare, so the harm is a step milder; unless
        the base is the less noble of the two and goes fast where the hazard wets both.
        """
        mechanism = under.rule.mechanism if under.rule else None
        way = self.knowledge.words("mechanisms")[mechanism].below_coating if mechanism else None
        if way is None or under.verdict not in HARMS:
            return over
        verdict = under.verdict
        if way == "at-pores" and not self._eaten(hazard, coating, base):
            verdict = {"fails": "suffers", "suffers": "holds-with-care"}[verdict]
        if EXPOSURE_RANK[verdict] <= EXPOSURE_RANK[over.verdict]:
            return over
        return Exposure(verdict, under.rule, under.number, beneath=True)

    def _eaten(self, hazard: str, coating: str, base: str) -> bool:
        """Whether a coating makes the bare spots of its base corrode fast."""
        situation = self.knowledge.hazards[hazard].wets
        attack = situation and self.contacts.at_pores(coating, base, situation)
        return bool(attack) and attack.goes == SECOND and attack.degree == FAST

    @cached_property
    def contacts(self) -> Contacts:
        """What metals do to each other."""
        return Contacts(self.knowledge)

    def _turn_to(self, part: str) -> None:
        """Parts are judged one after the other; only what was asked about the last is kept."""
        if part != self._part:
            self._part = part
            self._answers.clear()
            self._met.clear()

    def answers(
        self, part: str, material: str, state: str | None, places: Sequence[int] | None = None
    ) -> tuple[Answer, ...]:
        """How a material in a state answers the demands of a part, all or those at ``places``."""
        self._turn_to(part)
        questions, found = self._questions[part], []
        for i in range(len(questions)) if places is None else places:
            answer = self._answers.get((i, material, state))
            if answer is None:
                demand, ask = questions[i]
                answer = self._answers[i, material, state] = ask(self, demand, material, state)
            found.append(answer)
        return tuple(found)

    def findings(
        self, part: str, material: str, state: str | None = None, coated: str | None = None
    ) -> Findings:
        """All that is found on a material in a state, bare or coated, for a part."""
        return Findings(
            part,
            material,
            state,
            coated,
            self.answers(part, material, state),
            self._meets[part],
            self.exposures(part, material, state, coated),
            self.exposures(part, material, state) if coated else (),
        )

    def name(self, material: str) -> str:
        """The name of a material as lists are sorted by it."""
        return self._names[material]

    @staticmethod
    def _question(demand: models.Demand) -> Callable[..., Answer]:
        """What finds the answer to a demand: a method without its judge."""
        if demand.property:
            return Judge._ask_figure
        if demand.working:
            return Judge._ask_working
        if demand.magnetism:
            return Judge._ask_magnetism
        return Judge._ask_mate if demand.mate else Judge._ask_trait

    def _ask_working(self, demand: models.Demand, material: str, _: str | None) -> Answer:
        working = self.knowledge.materials[material].working.get(demand.working)
        if working is None or working.source == "memory":
            return Answer(demand, UNKNOWN)
        met = self._ratings[working.rating] <= self._ratings[demand.rating]
        return Answer(demand, MET if met else MISSED, found=working.rating)

    def _ask_magnetism(self, demand: models.Demand, material: str, state: str | None) -> Answer:
        record = self.knowledge.materials[material]
        found = magnetism_of(record, state)
        if record.magnetism_source == "memory":
            return Answer(demand, UNKNOWN, found=found)
        met = self._magnetism[found] <= self._magnetism[demand.magnetism]
        return Answer(demand, MET if met else MISSED, found=found)

    def _ask_trait(self, demand: models.Demand, material: str, _: str | None) -> Answer:
        traits = self.knowledge.materials[material].traits
        met = demand.trait in traits if demand.trait else demand.lacks_trait not in traits
        return Answer(demand, MET if met else MISSED)

    def _ask_figure(self, demand: models.Demand, material: str, state: str | None) -> Answer:
        quantity = self.values.of(material, demand.property, state, demand.unit)
        if quantity is None or quantity.from_memory:
            return self._ask_class(demand, material) or Answer(demand, UNKNOWN, quantity)
        return Answer(demand, compare(quantity, demand.at_least, demand.at_most), quantity)

    def _ask_class(self, demand: models.Demand, material: str) -> Answer | None:
        """What no material of the class exceeds, where nobody measured this one."""
        kind = self.knowledge.material_class(self.knowledge.materials[material])
        entry = self.knowledge.words("classes")[kind]
        limits = {("hardness", "HV"): entry.hardest, ("elastic-modulus", None): entry.stiffest}
        most = limits.get((demand.property, demand.unit))
        if most is None:
            return None
        if demand.at_least is not None:
            return Answer(demand, MISSED, found=kind) if most < demand.at_least else None
        return Answer(demand, MET, found=kind) if most <= demand.at_most else None

    def _ask_mate(self, demand: models.Demand, material: str, state: str | None) -> Answer:
        own = self.values.of(material, "expansion", state)
        if own is None or own.from_memory:
            return Answer(demand, UNKNOWN, own)
        results = []
        low, high = _open_ends(own)
        for other in self._expansions_of(demand.mate.part):
            other_low, other_high = _open_ends(other)
            least = max(Decimal(0), low - other_high, other_low - high)
            most = max(abs(high - other_low), abs(other_high - low))
            within = demand.mate.within
            results.append(MET if most <= within else IN_PART if least <= within else MISSED)
        return Answer(demand, min(results, key=OUTCOMES.index, default=UNKNOWN), own)

    def _expansions_of(self, part: str) -> list[Quantity]:
        if part not in self._mates:
            found = (
                self.values.of(c.material, "expansion", c.state)
                for c in self.knowledge.roles[part].usual
            )
            self._mates[part] = [
                q
                for q in found
                if q and not q.from_memory and q.low is not None and q.high is not None
            ]
        return self._mates[part]


def _open_ends(quantity: Quantity) -> tuple[Decimal, Decimal]:
    """Both ends, an open one as infinity."""
    low = Decimal("-Infinity") if quantity.low is None else quantity.low
    return low, Decimal("Infinity") if quantity.high is None else quantity.high


def compare(quantity: Quantity, at_least: Decimal | None, at_most: Decimal | None) -> str:
    """Outcome of a figure against a threshold.

    A value or range is judged by both ends. A guaranteed limit is judged by its closed end: a
    minimum below the demand is missed, because more is not promised; a maximum says nothing about
    how low the value may be, so it meets a minimum only in part.
    """
    low, high = quantity.low, quantity.high
    if at_least is not None:
        if low is None:
            return MISSED if high < at_least else IN_PART
        if low >= at_least:
            return MET
        return MISSED if high is None or high < at_least else IN_PART
    if high is None:
        return MISSED if low > at_most else IN_PART
    if high <= at_most:
        return MET
    return MISSED if low is None or low > at_most else IN_PART
