"""Receives the knowledge and its values; hands on verdicts with their reasons: exposure,
fit, replacements.

A verdict is computed from what a part asks, what it meets, and what is known of a material in a
state. Reasons are kept as data (which demand, which figure, which rule); pages and messages put
them into words. Unknown is a verdict. A figure from memory decides nothing: it counts as unknown.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from generator.numbers.arithmetic import divide
from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
from generator.records import models
from generator.records.knowledge import Knowledge
from generator.records.recent import Recent
from generator.verdicts.candidates import Fields
from generator.verdicts.conditions import applies, magnetism_of

MET, IN_PART, MISSED, UNKNOWN = "met", "in part", "missed", "unknown"
SUITS, CARE, UNFIT, CANNOT_SAY = "suits", "suits-with-care", "unfit", "unknown"
RANK = {SUITS: 0, CARE: 1, CANNOT_SAY: 2, UNFIT: 3}
OFTEN = ("often", "always")
KEPT = 20_000  # fits; the shipped knowledge base has 18,316
_HARMLESS = ("holds", "holds-with-care")
ONE = Decimal(1)


class Exposure(NamedTuple):
    """What a hazard does to a material: the verdict and the rule that decided (None: no rule
    did)."""

    verdict: str
    rule: models.ExposureRule | None
    number: int = 0  # position of the rule on the hazard's page, from 1


class Answer(NamedTuple):
    """How a material answers one demand.

    ``margin`` is value over demand (or demand over value for a maximum).
    """

    demand: models.Demand
    outcome: str
    quantity: Quantity | None = None
    margin: Decimal | None = None
    found: str = ""  # the rating, magnetism or trait found, or what is missing


class Met(NamedTuple):
    """A hazard that the part meets, and what it does to the material."""

    meeting: models.Meeting
    exposure: Exposure


class Fit(NamedTuple):
    """The verdict on one material in one state for one part, with everything that led to it."""

    part: str
    material: str
    state: str | None
    coated: str | None
    verdict: str
    answers: tuple[Answer, ...]
    meets: tuple[models.Meeting, ...]
    exposures: tuple[Exposure, ...]  # one for each of ``meets``
    worn: tuple[
        Exposure, ...
    ] = ()  # a coated part on the day its coating is worn through, one for each of ``meets``
    stage: str = ""  # what must follow, where the state is only a stage of the work

    @property
    def met(self) -> list[Met]:
        """The hazards met, each with what it does."""
        return [Met(m, e) for m, e in zip(self.meets, self.exposures, strict=True)]

    @property
    def margin(self) -> Decimal:
        """The tightest margin of all demands that were met; for sorting."""
        return min((a.margin for a in self.answers if a.margin is not None), default=ONE)


class Judge:
    """Judges materials against parts and hazards, each exposure once."""

    def __init__(self, knowledge: Knowledge, values: Values):
        self.knowledge, self.values, self.fields = knowledge, values, Fields(knowledge)
        self._ratings = {r: i for i, r in enumerate(knowledge.words("ratings"))}
        self._magnetism = {m: i for i, m in enumerate(knowledge.words("magnetism"))}
        self._exposures: dict[tuple, Exposure] = {}
        self._mates: dict[str, list[Quantity]] = {}
        self._part, self._answers = (
            "",
            dict[tuple, Answer](),
        )  # answers to the demands of the part judged last
        self._names = {
            key: material.name.casefold() for key, material in knowledge.materials.items()
        }
        self._demands = {
            key: tuple(enumerate(part.demands)) for key, part in knowledge.parts.items()
        }
        self._meets = {key: tuple(part.meets) for key, part in knowledge.parts.items()}

    def exposure(self, hazard: str, material: str, state: str | None = None) -> Exposure:
        """The first rule of the hazard that fits the material in the state."""
        key = (hazard, material, state)
        if key not in self._exposures:
            self._exposures[key] = self._expose(*key)
        return self._exposures[key]

    def _expose(self, hazard: str, material: str, state: str | None) -> Exposure:
        for number, rule in enumerate(self.knowledge.hazards[hazard].rules, 1):
            if applies(self.knowledge, rule.when, material, state):
                verdict = "unknown" if rule.source == "memory" else rule.verdict
                return Exposure(verdict, rule, number)
        return Exposure("unknown", None)

    def fit(
        self, part: str, material: str, state: str | None = None, coated: str | None = None
    ) -> Fit:
        """The verdict on a material in a state, bare or coated, for a part."""
        if part != self._part:
            self._part = part
            self._answers.clear()
        known, keep = self._answers, []
        for index, demand in self._demands[part]:
            # What a material lets be done to it does not depend on its state: ask once.
            key = (
                index,
                material,
                None if demand.working or demand.trait or demand.lacks_trait else state,
            )
            answer = known.get(key)
            if answer is None:
                answer = known[key] = self._ask(demand, material, state)
            keep.append(answer)
        answers, meets = tuple(keep), self._meets[part]
        meeting, in_state = (coated, None) if coated else (material, state)
        exposures = tuple([self.exposure(m.hazard, meeting, in_state) for m in meets])
        worn = tuple([self.exposure(m.hazard, material, state) for m in meets]) if coated else ()
        states = self.knowledge.materials[material].states
        stage = (states[state].stage or "") if state in states else ""
        verdict = UNFIT if stage else combine(answers, meets, exposures, coated is not None)
        return Fit(part, material, state, coated, verdict, answers, meets, exposures, worn, stage)

    def name(self, material: str) -> str:
        """The name of a material as lists are sorted by it."""
        return self._names[material]

    def _ask(self, demand: models.Demand, material: str, state: str | None) -> Answer:
        record = self.knowledge.materials[material]
        if demand.property:
            return self._ask_figure(demand, material, state)
        if demand.working:
            working = record.working.get(demand.working)
            if working is None or working.source == "memory":
                return Answer(demand, UNKNOWN)
            outcome = (
                MET if self._ratings[working.rating] <= self._ratings[demand.rating] else MISSED
            )
            return Answer(demand, outcome, found=working.rating)
        if demand.magnetism:
            found = magnetism_of(record, state)
            if record.magnetism_source == "memory":
                return Answer(demand, UNKNOWN, found=found)
            return Answer(
                demand,
                MET if self._magnetism[found] <= self._magnetism[demand.magnetism] else MISSED,
                found=found,
            )
        if demand.trait:
            return Answer(demand, MET if demand.trait in record.traits else MISSED)
        if demand.lacks_trait:
            return Answer(demand, MISSED if demand.lacks_trait in record.traits else MET)
        return self._ask_mate(demand, material, state)

    def _ask_figure(self, demand: models.Demand, material: str, state: str | None) -> Answer:
        quantity = self.values.of(material, demand.property, state, demand.unit)
        if quantity is None or quantity.from_memory:
            return Answer(demand, UNKNOWN, quantity)
        outcome, margin = compare(quantity, demand.at_least, demand.at_most)
        return Answer(demand, outcome, quantity, margin)

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
            results.append(
                (
                    MET
                    if most <= demand.mate.within
                    else IN_PART
                    if least <= demand.mate.within
                    else MISSED,
                    most,
                )
            )
        if not results:
            return Answer(demand, UNKNOWN, own)
        best, difference = min(results, key=lambda r: ((MET, IN_PART, MISSED).index(r[0]), r[1]))
        return Answer(demand, best, own, demand.mate.within / difference if difference else None)

    def _expansions_of(self, part: str) -> list[Quantity]:
        if part not in self._mates:
            found = (
                self.values.of(c.material, "expansion", c.state)
                for c in self.knowledge.parts[part].usual
            )
            self._mates[part] = [
                q
                for q in found
                if q and not q.from_memory and q.low is not None and q.high is not None
            ]
        return self._mates[part]


class Cell(NamedTuple):
    """The verdict alone, of one material in one state for one part."""

    part: str
    material: str
    state: str | None
    verdict: str
    margin: Decimal


class Verdicts:
    """The verdict of every cell, worked out once: for each part the bare materials of its field in
    all states, and the usual coated ones.

    What led to a verdict is much larger; of that only the fits asked for last are kept, the others
    are judged again.
    """

    def __init__(self, knowledge: Knowledge, values: Values):
        self.knowledge, self.judge = knowledge, Judge(knowledge, values)
        self.fields = self.judge.fields
        self._kept = Recent(KEPT)
        self.cells = {part: self._judged(part) for part in knowledge.parts}
        self.coated = {
            part: [
                self.judge.fit(part, c.material, c.state, c.coated)
                for c in record.usual
                if c.coated
            ]
            for part, record in knowledge.parts.items()
        }
        self._by_material: dict[str, dict[str, list[Cell]]] = {}
        for part, cells in self.cells.items():
            for cell in cells:
                self._by_material.setdefault(cell.material, {}).setdefault(part, []).append(cell)

    def _fit(self, part: str, material: str, state: str | None) -> Fit:
        return self._kept.get_or(
            (part, material, state), lambda: self.judge.fit(part, material, state)
        )

    def _judged(self, part: str) -> list[Cell]:
        materials = self.knowledge.materials
        fits = [
            self._fit(part, m, s)
            for m in self.fields.of_part(part)
            for s in materials[m].states or (None,)
        ]
        fits.sort(
            key=lambda f: (RANK[f.verdict], -f.margin, self.judge.name(f.material), f.state or "")
        )
        return [Cell(part, f.material, f.state, f.verdict, f.margin) for f in fits]

    def fit(self, cell: Cell) -> Fit:
        """A cell with everything that led to its verdict."""
        return self._fit(cell.part, cell.material, cell.state)

    def fits(self, part: str) -> list[Fit]:
        """Every bare material of the part's field in every state, best first, then by margin and
        name."""
        return [self.fit(cell) for cell in self.cells[part]]

    def of_part(self, part: str) -> Iterator[list[Cell]]:
        """The cells of a part, one list a material (its best state first), best material first."""
        order = dict.fromkeys(cell.material for cell in self.cells[part])
        return (self._by_material[material][part] for material in order)

    def of_material(self, material: str) -> list[list[Cell]]:
        """The cells of a material, one list a part (best state first), best part first."""
        groups = self._by_material.get(material, {}).values()
        return sorted(groups, key=lambda g: (RANK[g[0].verdict], g[0].part))


def _open_ends(quantity: Quantity) -> tuple[Decimal, Decimal]:
    """Both ends, an open one as infinity."""
    low = Decimal("-Infinity") if quantity.low is None else quantity.low
    return low, Decimal("Infinity") if quantity.high is None else quantity.high


def compare(
    quantity: Quantity, at_least: Decimal | None, at_most: Decimal | None
) -> tuple[str, Decimal | None]:
    """Outcome and margin of a figure against a threshold.

    A value or range is judged by both ends. A guaranteed limit is judged by its closed end: a
    minimum below the demand is missed, because more is not promised; a maximum says nothing about
    how low the value may be, so it meets a minimum only in part.
    """
    low, high = quantity.low, quantity.high
    if at_least is not None:
        if low is not None:
            if low >= at_least:
                return MET, _share(low, at_least)
            if high is None or high < at_least:
                return MISSED, _share(low if high is None else high, at_least)
            return IN_PART, _share(low, at_least)
        return (MISSED if high < at_least else IN_PART), _share(high, at_least)
    if high is not None:
        if high <= at_most:
            return MET, _share(at_most, high)
        if low is None or low > at_most:
            return MISSED, _share(at_most, high if low is None else low)
        return IN_PART, _share(at_most, high)
    return (MISSED if low > at_most else IN_PART), _share(at_most, low)


def _share(value: Decimal, of: Decimal) -> Decimal | None:
    """Value over threshold; None where there is nothing to divide by."""
    return value / of if of else None


def combine(
    answers: Sequence[Answer],
    meets: Sequence[models.Meeting],
    exposures: Sequence[Exposure],
    coated: bool = False,
) -> str:
    """One verdict from all answers and all hazards met; the worst reason decides.

    Unfit: a firm demand is missed, or a hazard met often or always destroys the material. Cannot say: a firm demand or a
    hazard met often has no answer. With care: a wish is missed, a demand is met only in part, a hazard harms slowly or by
    accident, or a coating will one day be worn through.
    """
    care, unknown = coated, False
    for answer in answers:
        outcome = answer.outcome
        if outcome == MET:
            continue
        if answer.demand.firm and outcome == MISSED:
            return UNFIT
        if outcome == UNKNOWN:
            unknown = unknown or answer.demand.firm
        else:
            care = True
    for meeting, exposure in zip(meets, exposures, strict=True):
        verdict = exposure.verdict
        if verdict in _HARMLESS:
            continue
        often = meeting.severity in OFTEN
        if verdict == "fails" and often:
            return UNFIT
        if verdict == "unknown" and often:
            unknown = True
        else:
            care = True
    if unknown:
        return CANNOT_SAY
    return CARE if care else SUITS


def deciding(fit: Fit) -> Answer | Met | None:
    """The one answer or hazard that decided a verdict, in the order of ``combine``; for a clean
    `suits`, the tightest answer. None where the state is only a stage of the work."""
    if fit.stage:
        return None
    if fit.verdict == UNFIT:
        return next(
            (a for a in fit.answers if a.outcome == MISSED and a.demand.firm), None
        ) or _first_met(fit, ("fails",), often=True)
    if fit.verdict == CANNOT_SAY:
        return next(
            (a for a in fit.answers if a.outcome == UNKNOWN and a.demand.firm), None
        ) or _first_met(fit, ("unknown",), often=True)
    if fit.verdict == CARE:
        return next((a for a in fit.answers if a.outcome in (MISSED, IN_PART)), None) or _first_met(
            fit, ("fails", "suffers", "unknown"), often=False
        )
    return min(
        fit.answers, key=lambda a: ONE * 1000 if a.margin is None else a.margin, default=None
    )


def _first_met(fit: Fit, verdicts: Sequence[str], often: bool) -> Met | None:
    for meeting, exposure in zip(fit.meets, fit.exposures, strict=True):
        if exposure.verdict in verdicts and (not often or meeting.severity in OFTEN):
            return Met(meeting, exposure)
    return None


@dataclass(frozen=True)
class Replacement:
    """A material that may stand in for another in a part: what is gained and what is lost, demand
    by demand."""

    fit: Fit
    gained: tuple[str, ...]
    lost: tuple[str, ...]
    weight: Quantity | None  # density ratio


def collisions(
    knowledge: Knowledge, judge: Judge
) -> Iterator[tuple[str, tuple, models.Choice, Fit]]:
    """Where a computed verdict contradicts what the trade does: (part, way to the choice, the
    choice, the verdict).

    Usual choices must come out as suits or suits with care, wrong ones as unfit. A choice without
    a state is usual when any state of the material will do, and wrong when none will.
    """
    for key, part in knowledge.parts.items():
        for i, choice in enumerate(part.usual):
            fits = [
                judge.fit(key, choice.material, state, choice.coated)
                for state in _states(knowledge, choice)
            ]
            best = min(fits, key=lambda f: RANK[f.verdict])
            if best.verdict not in (SUITS, CARE):
                yield key, ("usual", i), choice, best
        for i, choice in enumerate(part.wrong):
            fits = [
                judge.fit(key, choice.material, state, choice.coated)
                for state in _states(knowledge, choice)
            ]
            best = min(fits, key=lambda f: RANK[f.verdict])
            if best.verdict != UNFIT:
                yield key, ("wrong", i), choice, best


def _states(knowledge: Knowledge, choice: models.Choice) -> tuple[str | None, ...]:
    return (
        (choice.state,)
        if choice.state
        else tuple(knowledge.materials[choice.material].states) or (None,)
    )


EXPOSURE_ORDER = ("holds", "holds-with-care", "unknown", "suffers", "fails")  # from best to worst
EXPOSURE_RANK = {verdict: rank for rank, verdict in enumerate(EXPOSURE_ORDER)}


def replacements(
    verdicts: Verdicts, part: str, material: str, state: str | None, most: int = 6
) -> list[Replacement]:
    """What may stand in for a material in a part, best first: verdict, then fewest losses, then
    margin."""
    base = verdicts.judge.fit(part, material, state)
    density = verdicts.judge.values.of(material, "density")
    found = []
    for best, *_ in verdicts.of_part(part):
        if best.material != material and best.verdict in (SUITS, CARE):
            found.append((best, *_differences(base, verdicts.fit(best))))
    found.sort(
        key=lambda f: (RANK[f[0].verdict], len(f[2]), -len(f[1]), -f[0].margin, f[0].material)
    )
    return [
        Replacement(
            verdicts.fit(f[0]),
            *f[1:],
            _ratio(verdicts.judge.values.of(f[0].material, "density"), density),
        )
        for f in found[:most]
    ]


def _ratio(value: Quantity | None, base: Quantity | None) -> Quantity | None:
    if value is None or base is None:
        return None
    return divide(value, base)


def _differences(base: Fit, fit: Fit) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Ids of demands and hazards in which the second does better and worse: `demand:0`,
    `hazard:sweat`."""
    better, worse = [], []
    order = {MET: 0, IN_PART: 1, UNKNOWN: 2, MISSED: 3}
    for i, (a, b) in enumerate(zip(base.answers, fit.answers, strict=True)):
        if a.outcome != b.outcome:
            (better if order[b.outcome] < order[a.outcome] else worse).append(f"demand:{i}")
    for meeting, c, d in zip(base.meets, base.exposures, fit.exposures, strict=True):
        if c.verdict != d.verdict:
            (better if EXPOSURE_RANK[d.verdict] < EXPOSURE_RANK[c.verdict] else worse).append(
                f"hazard:{meeting.hazard}"
            )
    return tuple(better), tuple(worse)
