"""Receives the answers and exposures of a material for a part; hands on the rung it lands on, with
what put it there.

Three ideas instead of scores. Gates are what no margin buys. The span is what the usual choices of
a part reach together; a candidate is short only outside it, on the wrong side. Precedent is whether
a family is used for this part, or for a sister part whose usual choices are much the same.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from functools import cached_property
from math import log
from typing import NamedTuple

from generator.numbers.hardness import CONVERTIBLE, interpolate
from generator.numbers.quantities import CONVERTED, RANK, Quantity
from generator.records import models
from generator.verdicts.conditions import magnetism_of, share_range
from generator.verdicts.fit import (
    EXPOSURE_RANK,
    MISSED,
    OFTEN,
    UNKNOWN,
    Answer,
    Fit,
    Judge,
    Met,
    compare,
)

OWN, BESIDE, PINCH, PAPER, NO, CANNOT_SAY = RUNGS = (
    "own",
    "beside",
    "pinch",
    "paper",
    "no",
    "cannot-say",
)
ORDER = {rung: place for place, rung in enumerate((OWN, BESIDE, PINCH, CANNOT_SAY, PAPER, NO))}
SOFT = ("annealed", "solution-annealed")  # the softest state that a metal is bought in
HARDENS, UNHARDENED = "heat-hardens", ("annealed", "drawn", "cold-worked")
STRENGTHS = ("hardness", "tensile-strength", "proof-strength")
HARMS = ("suffers", "fails")
ALIKE = 0.4  # share of the usual materials that two sister parts have in common, at least
DEAR = {"Au": 30, "Pt": 30, "Pd": 30, "Rh": 30}  # per cent by mass, from the analysis
SILVER = 50
DISTANT_FAMILY, EXPOSURE_STEP = 0.5, 0.25  # in the sum of |log ratio| that nearness is


class Gate(NamedTuple):
    """What shuts a material out: a demand missed, a stage, the stock, a hazard, a soft state."""

    kind: str
    answer: Answer | None = None
    met: Met | None = None
    words: str = ""


class Shortfall(NamedTuple):
    """Where a material lies outside the span of the usual choices, on the wrong side."""

    kind: str  # a property, a working, `magnetism`, `price`, a trait, or a hazard
    key: str
    found: Quantity | str
    span: tuple[Quantity, Quantity] | str  # the lowest and the highest of the usual choices
    low: bool = True  # a property too low (or too high)


class Judgement(NamedTuple):
    """The rung of a material in a state for a part, and everything that put it there."""

    fit: Fit
    rung: str
    gates: tuple[Gate, ...]
    missing: tuple[Answer | Met, ...]
    shortfalls: tuple[Shortfall, ...]
    precedent: str | None  # the part whose usual choices are of this family
    distance: float  # from the nearest usual choice
    choice: models.Choice | None = None


class Traits(NamedTuple):
    """What a span is made of, of one material in one state."""

    figures: tuple[Quantity | None, ...]
    ratings: tuple[int | None, ...]
    magnetism: int
    price: int
    traits: frozenset[str]
    exposures: tuple[int, ...]
    density: Quantity | None
    family: str


class Usage(NamedTuple):
    """A part as its usual choices describe it."""

    choices: tuple[tuple[models.Choice, Traits], ...]
    hardened: bool  # the trade never leaves it in the softest state
    families: dict[str, str]  # family -> the part that gives the precedent


class Ladder:
    """Puts materials on rungs. ``without`` leaves one gate or idea out, to see what it is for."""

    def __init__(self, judge: Judge, without: str = ""):
        self.judge, self.knowledge, self.without = judge, judge.knowledge, without
        words = self.knowledge.words
        self._ratings = {r: i for i, r in enumerate(words("ratings"))}
        self._magnetism = {m: i for i, m in enumerate(words("magnetism"))}
        self._asked = {k: _asked(p) for k, p in self.knowledge.parts.items()}
        self._price = {k: price(m) for k, m in self.knowledge.materials.items()}
        self._usages: dict[str, Usage] = {}

    def usage(self, part: str, hidden: models.Choice | None = None) -> Usage:
        """The part's usual choices, or those that are left when one is hidden."""
        if hidden is None and part in self._usages:
            return self._usages[part]
        choices = [c for c in self.knowledge.parts[part].usual if not _same(c, hidden)]
        described = tuple(
            (c, self._traits(part, self.judge.fit(part, c.material, s, c.coated)))
            for c in choices
            for s in self._states(c)
        )
        metals = [
            s
            for c in choices
            for s in self._states(c)
            if self.knowledge.material_class(self.knowledge.materials[c.material]) == "metal"
        ]
        families: dict[str, str] = {}
        for sister in (part, *self._sisters[part]):
            for c in self.knowledge.parts[sister].usual:
                if not (sister == part and _same(c, hidden)):
                    families.setdefault(self.knowledge.materials[c.material].family, sister)
        found = Usage(described, bool(metals) and not set(metals) & {None, *SOFT}, families)
        if hidden is None:
            self._usages[part] = found
        return found

    def judge_fit(self, fit: Fit, hidden: models.Choice | None = None) -> Judgement:
        """The rung of a fit; ``hidden`` is a usual choice that is left out of account."""
        part, usage = self.knowledge.parts[fit.part], self.usage(fit.part, hidden)
        choice = next(
            (
                c
                for c, _ in usage.choices
                if c.material == fit.material
                and c.state in (None, fit.state)
                and c.coated == fit.coated
            ),
            None,
        )
        answers = tuple(self._answer(fit, a) for a in fit.answers)
        gates = tuple(self._gates(part, fit, answers, usage, choice))
        family = self.knowledge.materials[fit.material].family
        precedent = usage.families.get(family)
        if self.without == "precedent":
            precedent = fit.part
        if gates:
            return Judgement(fit, NO, gates, (), (), precedent, 0.0, choice)
        missing = tuple(a for a in answers if a.outcome == UNKNOWN and a.demand.firm)
        if choice is not None:
            return Judgement(fit, OWN, (), missing, (), fit.part, 0.0, choice)
        if precedent is None:
            return Judgement(fit, PAPER, (), missing, (), None, 0.0)
        own = self._traits(fit.part, fit)
        short = () if self.without == "span" else tuple(self._shortfalls(fit.part, own, usage))
        nearest = min((_distance(own, t) for _, t in usage.choices), default=0.0)
        rung = CANNOT_SAY if missing else PINCH if short else BESIDE
        return Judgement(fit, rung, (), missing, short, precedent, nearest)

    def of_part(self, part: str, hidden: models.Choice | None = None) -> list[Judgement]:
        """Everything that a part may be made of, bare, and its usual coated choices: the trade's
        own in its order, then by rung, fewest shortfalls and nearness."""
        fits = [
            self.judge.fit(part, m, s)
            for m in self.judge.fields.of_part(part)
            for s in self.knowledge.materials[m].states or (None,)
        ]
        fits += [
            self.judge.fit(part, c.material, s, c.coated)
            for c in self.knowledge.parts[part].usual
            if c.coated
            for s in self._states(c)
        ]
        usual = list(self.knowledge.parts[part].usual)
        found = [self.judge_fit(f, hidden) for f in fits]
        return sorted(
            found,
            key=lambda j: (
                ORDER[j.rung],
                usual.index(j.choice) if j.rung == OWN else 0,
                len(j.shortfalls),
                j.distance,
                self.judge.name(j.fit.material),
                j.fit.state or "",
            ),
        )

    def lot(self, part: str) -> list[models.Meeting]:
        """The hazards that harm every usual choice: said once, for they tell none from another."""
        usage, meets = self.usage(part), self.knowledge.parts[part].meets
        return [
            m
            for i, m in enumerate(meets)
            if usage.choices
            and all(t.exposures[i] >= EXPOSURE_RANK["suffers"] for _, t in usage.choices)
        ]

    def _gates(self, part, fit, answers, usage, choice) -> Iterable[Gate]:
        record = self.knowledge.materials[fit.material]
        if fit.stage and self.without != "stage":
            yield Gate("stage", words=fit.stage)
        if self.without != "firm":
            yield from (Gate("demand", a) for a in answers if a.outcome == MISSED and a.demand.firm)
        if (
            self.without != "stock"
            and part.made_from
            and record.sold_as
            and not set(part.made_from) & set(record.sold_as)
        ):
            yield Gate("stock", words=", ".join(part.made_from))
        if (
            usage.hardened
            and fit.state in SOFT
            and choice is None
            and self.without != "soft"
            and any(s not in SOFT and not r.stage for s, r in record.states.items())
            and any(d.property in STRENGTHS and d.at_least is not None for d in part.demands)
        ):
            yield Gate("soft")
        if (
            HARDENS in record.traits
            and fit.state in UNHARDENED
            and choice is None
            and self.without != "soft"
            and any(HARDENS in t.traits for _, t in usage.choices)
            and not any(
                HARDENS in t.traits and c.state in (None, *UNHARDENED) for c, t in usage.choices
            )
        ):
            yield Gate("unhardened")
        if self.without == "hazard":
            return
        for i, met in enumerate(fit.met):
            verdict, severity = met.exposure.verdict, met.meeting.severity
            if verdict not in HARMS or (severity not in OFTEN):
                continue
            if verdict == "suffers" and (severity != "always" or choice is not None):
                continue
            rank = EXPOSURE_RANK[verdict]
            if all(t.exposures[i] < rank for _, t in usage.choices):
                yield Gate("hazard", met=met)

    def _shortfalls(self, part: str, own: Traits, usage: Usage) -> Iterable[Shortfall]:
        figures, workings = self._asked[part]
        usual = [t for _, t in usage.choices]
        if not usual:
            return
        for i, (prop, _, low) in enumerate(figures):
            mine = own.figures[i]
            theirs = sorted((t.figures[i] for t in usual if t.figures[i]), key=lambda q: q.middle)
            if mine is None or not theirs:
                continue
            edge = theirs[0] if low else theirs[-1]
            ends = [e for e in (edge.low, edge.high) if e is not None]
            if (low and mine.middle < min(ends)) or (not low and mine.middle > max(ends)):
                yield Shortfall("property", prop, mine, (theirs[0], theirs[-1]), low)
        for i, working in enumerate(workings):
            mine, theirs = own.ratings[i], [t.ratings[i] for t in usual if t.ratings[i] is not None]
            if mine is not None and theirs and mine > max(theirs):
                names = list(self._ratings)
                yield Shortfall("working", working, names[mine], names[max(theirs)])
        worst = max(t.magnetism for t in usual)
        if own.magnetism > worst and self._minds_magnets(part):
            names = list(self._magnetism)
            yield Shortfall("magnetism", "", names[own.magnetism], names[worst])
        if own.price > max(t.price for t in usual):
            yield Shortfall("price", "", str(own.price), str(max(t.price for t in usual)))
        for trait in ("free-cutting", "brittle"):
            if trait in own.traits and not any(trait in t.traits for t in usual):
                yield Shortfall("trait", trait, trait, "")
        for i, meeting in enumerate(self.knowledge.parts[part].meets):
            worst = max(t.exposures[i] for t in usual)
            if own.exposures[i] > max(worst, EXPOSURE_RANK["unknown"]) and not (
                meeting.hazard == "magnetic-field" and not self._minds_magnets(part)
            ):
                names = list(EXPOSURE_RANK)
                yield Shortfall("hazard", meeting.hazard, names[own.exposures[i]], names[worst])

    def _minds_magnets(self, part: str) -> bool:
        return any(d.magnetism for d in self.knowledge.parts[part].demands)

    def _traits(self, part: str, fit: Fit) -> Traits:
        record, values = self.knowledge.materials[fit.material], self.judge.values
        figures, workings = self._asked[part]
        return Traits(
            tuple(self.figure(fit.material, p, fit.state, u) for p, u, _ in figures),
            tuple(
                self._ratings[record.working[w].rating] if w in record.working else None
                for w in workings
            ),
            self._magnetism[magnetism_of(record, fit.state)],
            self._price[fit.material],
            frozenset(record.traits),
            tuple(EXPOSURE_RANK[e.verdict] for e in fit.exposures),
            values.of(fit.material, "density", fit.state),
            record.family,
        )

    def figure(self, material: str, prop: str, state: str | None, unit: str | None):
        """A figure that decides: published, or for steels a tensile strength converted from
        hardness."""
        found = self.judge.values.of(material, prop, state, unit)
        if found is None and prop == "tensile-strength":
            found = self._strength_from_hardness(material, state)
        return None if found is None or found.from_memory else found

    def _strength_from_hardness(self, material: str, state: str | None) -> Quantity | None:
        """Tensile strength by the table that ISO 18265 took over from DIN 50150."""
        hardness = self.judge.values.of(material, "hardness", state, "HV")
        family = self.knowledge.materials[material].family
        if family not in CONVERTIBLE or hardness is None:
            return None
        ends = [
            e if e is None else interpolate(self._strengths, e)
            for e in (hardness.low, hardness.high)
        ]
        if ends == [None, None]:
            return None
        return replace(
            hardness,
            low=ends[0],
            high=ends[1],
            unit="MPa",
            digits=3,
            converted_from="HV",
            sources=(*hardness.sources, "din-50150"),
            evidence=max(CONVERTED, hardness.evidence, key=RANK.get),
        )

    @cached_property
    def _strengths(self) -> list[tuple[Decimal, Decimal]]:
        rows = self.knowledge.words("hardness_table").values()
        return sorted((r.HV, r.Rm) for r in rows if r.Rm is not None)

    def _answer(self, fit: Fit, answer: Answer) -> Answer:
        """The answer, once more where a strength can be converted."""
        if answer.outcome != UNKNOWN or answer.demand.property != "tensile-strength":
            return answer
        found = self._strength_from_hardness(fit.material, fit.state)
        if found is None:
            return answer
        outcome, margin = compare(found, answer.demand.at_least, answer.demand.at_most)
        return Answer(answer.demand, outcome, found, margin)

    @cached_property
    def _sisters(self) -> dict[str, list[str]]:
        """Part -> the parts with much the same usual materials, most alike first."""
        made_of = {k: {c.material for c in p.usual} for k, p in self.knowledge.parts.items()}
        holders = defaultdict(set)
        for part, materials in made_of.items():
            for material in materials:
                holders[material].add(part)
        found = {}
        for part, materials in made_of.items():
            near = {o for m in materials for o in holders[m]} - {part}
            alike = {o: len(materials & made_of[o]) / len(materials | made_of[o]) for o in near}
            found[part] = sorted(
                (o for o in near if alike[o] >= ALIKE), key=lambda o: (-alike[o], o)
            )
        return found

    def _states(self, choice: models.Choice) -> tuple[str | None, ...]:
        states = self.knowledge.materials[choice.material].states
        usable = tuple(s for s, record in states.items() if not record.stage)
        return (choice.state,) if choice.state else usable or (None,)


def _same(choice: models.Choice, hidden: models.Choice | None) -> bool:
    """True when hiding one choice hides the other: the same material in the same state."""
    return hidden is not None and (choice.material, choice.state) == (hidden.material, hidden.state)


def _asked(part: models.Part) -> tuple[list[tuple[str, str | None, bool]], list[str]]:
    """What a part asks: (property, unit, a minimum) and workings, each once."""
    figures = dict.fromkeys(
        (d.property, d.unit, d.at_least is not None) for d in part.demands if d.property
    )
    return list(figures), list(dict.fromkeys(d.working for d in part.demands if d.working))


def price(material: models.Material) -> int:
    """2 for gold, platinum, palladium and rhodium, 1 for silver, 0 for the rest."""
    if material.composition is None:
        return 0
    least = {s: (share_range(material.composition, s) or (0, 0))[0] for s in (*DEAR, "Ag")}
    if sum(least[s] for s in DEAR) >= min(DEAR.values()):
        return 2
    return 1 if least["Ag"] >= SILVER else 0


def _distance(a: Traits, b: Traits) -> float:
    """How far two materials are apart in what a part asks, in density and in what harms them."""
    pairs = [*zip(a.figures, b.figures, strict=True), (a.density, b.density)]
    total = sum(_apart(x, y) for x, y in pairs if x is not None and y is not None)
    total += EXPOSURE_STEP * sum(
        max(0, x - y) for x, y in zip(a.exposures, b.exposures, strict=True)
    )
    return total + (DISTANT_FAMILY if a.family != b.family else 0)


def _apart(x: Quantity, y: Quantity) -> float:
    """A ratio as a logarithm; of signed figures and temperatures the difference, in hundreds."""
    if x.unit == "degC" or min(x.middle, y.middle) <= 0:
        return abs(float(x.middle - y.middle)) / 100
    return abs(log(float(x.middle / y.middle)))
