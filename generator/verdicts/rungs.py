"""The rung on which a material stands for a part, with everything that put it there.

Three ideas instead of scores. Gates are what no margin buys. The span is what the usual choices of
a part reach together; a candidate is short only outside it, on the wrong side. Precedent is whether
a family is used for this part or for a sister part whose usual choices are much the same; or, as a
weaker one, the very metal in this state for another part of the zone, or stock that is sold for the
purpose which the part serves.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator
from copy import copy
from typing import NamedTuple

from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
from generator.records import models
from generator.verdicts.findings import (
    EXPOSURE_ORDER,
    EXPOSURE_RANK,
    HARMS,
    MISSED,
    OFTEN,
    UNKNOWN,
    Answer,
    Exposure,
    Judge,
    Met,
)
from generator.verdicts.tempers import Tempers
from generator.verdicts.usage import (
    Span,
    Traits,
    Usage,
    Usages,
    Usual,
    distance,
    falls_short,
    nearest,
    span,
)

OWN, BESIDE, PINCH, PAPER, NO, CANNOT_SAY = RUNGS = (
    "own",
    "beside",
    "pinch",
    "paper",
    "no",
    "cannot-say",
)
OFFERED = (OWN, BESIDE, PINCH)
ORDER = {rung: place for place, rung in enumerate((OWN, BESIDE, PINCH, CANNOT_SAY, PAPER, NO))}
FREE_CUTTING = "free-cutting"  # no reservation where the part is turned
# said where no usual choice has them
RESERVED = (FREE_CUTTING, "brittle", "very-soft", "constant-modulus")
IDEAS = (
    "stage",
    "firm",
    "stock",
    "partner",
    "soft",
    "hazard",
    "span",
    "precedent",
    "purpose",
    "use",
    "nearness",
)


class Gate(NamedTuple):
    """What shuts a material out: a stage, a demand missed, the stock, a soft state, a hazard."""

    kind: str
    answer: Answer | None = None
    met: Met | None = None
    words: tuple[str, ...] = ()


class Shortfall(NamedTuple):
    """Where a material lies outside the span of the usual choices, on the wrong side."""

    kind: str  # use, purpose, property, working, magnetism, price, trait, solder, galling, hazard
    key: str
    found: Quantity | str
    span: tuple[Quantity, Quantity] | str  # the lowest and the highest of the usual choices
    low: bool = True  # a property too low (or too high)
    exposure: Exposure | None = None


class Cell(NamedTuple):
    """What is judged: a material in a state, bare or under a coating, for a part."""

    part: str
    material: str
    state: str | None
    coated: str | None


class Judgement(NamedTuple):
    """The rung of a material in a state for a part, and everything that put it there."""

    part: str
    material: str
    state: str | None
    coated: str | None
    rung: str
    gates: tuple[Gate, ...] = ()
    missing: tuple[Answer, ...] = ()
    shortfalls: tuple[Shortfall, ...] = ()
    precedent: str | None = None  # the part whose usual choices are of this family
    choice: models.Choice | None = None  # the usual choice that this is
    nearest: Usual | None = None  # the usual choice that it is most like
    distance: float = 0.0


class Substitute(NamedTuple):
    """What may be used in place of the piece in hand, judged by that piece alone."""

    judgement: Judgement
    lost: tuple[Shortfall, ...]
    gained: tuple[Shortfall, ...]
    distance: float


class Ladder:
    """Puts materials on rungs. ``without`` leaves one idea out, to see what it is for."""

    def __init__(self, judge: Judge, without: str = ""):
        self.judge, self.knowledge, self.without = judge, judge.knowledge, without
        self.usages = Usages(judge)
        self._part, self._known = "", dict[tuple, Traits]()  # of the part asked last
        parts = self.knowledge.roles
        self._firm = {k: [i for i, d in enumerate(p.demands) if d.firm] for k, p in parts.items()}
        self._often = {
            k: [
                (i, m, judge.exposures_to(m.hazard, k))
                for i, m in enumerate(p.meets)
                if m.severity in OFTEN
            ]
            for k, p in parts.items()
        }
        self._minds_magnets = {k: any(d.magnetism for d in p.demands) for k, p in parts.items()}
        self.tempers = Tempers(judge)

    def on(self, values: Values) -> Ladder:
        """The same ladder for a material with other figures, beside the same usual choices."""
        other = copy(self)
        other.judge = self.judge.on(values)
        other.usages, other.tempers = self.usages.on(other.judge), self.tempers.on(other.judge)
        other._part, other._known = "", {}
        return other

    def judgement(
        self,
        part: str,
        material: str,
        state: str | None = None,
        coated: str | None = None,
        hidden: models.Choice | None = None,
    ) -> Judgement:
        """The rung of a material; ``hidden`` is a usual choice that is left out of account."""
        usage, cell = self.usages.of(part, hidden), Cell(part, material, state, coated)
        choice = usage.named.get((material, state, coated))
        family = self.knowledge.materials[material].family
        precedent = part if self.without == "precedent" else usage.families.get(family)
        answers = self.judge.answers(part, material, state, self._firm[part])
        gates = tuple(self._gates(cell, usage, choice, answers))
        if gates:
            return Judgement(*cell, NO, gates, (), (), precedent, choice)
        missing = tuple([a for a in answers if a.outcome == UNKNOWN])
        if choice is not None:
            return Judgement(*cell, OWN, (), missing, (), part, choice)
        weaker = None if precedent else self._weaker_precedent(part, material, state)
        if precedent is None and weaker is None:
            return Judgement(*cell, PAPER, (), missing)
        return self._offered(cell, usage, missing, precedent, weaker)

    def _offered(
        self,
        cell: Cell,
        usage: Usage,
        missing: tuple[Answer, ...],
        precedent: str | None,
        weaker: Shortfall | None,
    ) -> Judgement:
        """The rung of what no gate shuts out and what has a precedent, by where it falls short."""
        own, short = self.usages.traits(*cell), ()
        if usage.span is not None and self.without != "span":
            short = tuple(self._shortfalls(cell, own, usage.span))
        if weaker is not None:
            short = (weaker, *short)
            precedent = weaker.key if weaker.kind == "use" else None
        apart, like = min(nearest(own, usage.choices), key=lambda n: n[0], default=(0.0, None))
        rung = CANNOT_SAY if missing else PINCH if short else BESIDE
        return Judgement(*cell, rung, (), missing, short, precedent, None, like, apart)

    def _weaker_precedent(self, part: str, material: str, state: str | None) -> Shortfall | None:
        """What speaks for a material whose family is in use neither here nor for a sister part."""
        neighbour = self.usages.beside(part, material, state)
        if neighbour is not None:
            return Shortfall("use", neighbour, "", "")
        sold_for = None if self.without == "purpose" else self.usages.sold_for(part, material)
        return Shortfall("purpose", *sold_for, "") if sold_for else None

    def of_part(
        self,
        part: str,
        hidden: models.Choice | None = None,
        materials: Container[str] | None = None,
    ) -> list[Judgement]:
        """Everything that a part may be made of, or only ``materials``, bare, and its usual coated
        choices: the usual ones in their order, then by rung, fewest shortfalls, use in parts like
        it, and nearness."""
        usual = self.knowledge.roles[part].usual
        found = [
            self.judgement(part, m, s, None, hidden)
            for m in self.judge.fields.of_part(part)
            if materials is None or m in materials
            for s in self.knowledge.materials[m].states or (None,)
        ]
        found += [
            self.judgement(part, c.material, s, c.coated, hidden)
            for c in usual
            if c.coated and (materials is None or c.material in materials)
            for s in self.usages.states(c)
        ]
        place = {id(c): i for i, c in enumerate(usual)}
        name, used = self.judge.name, {}
        if self.without != "use":
            used = self.usages.used_in_like_parts(part, hidden)
        return sorted(
            found,
            key=lambda j: (
                ORDER[j.rung],
                place[id(j.choice)] if j.rung == OWN else 0,
                len(j.shortfalls),
                -used.get((j.material, j.state), 0.0),
                0.0 if self.without == "nearness" else j.distance,
                name(j.material),
                j.state or "",
            ),
        )

    def lot(self, part: str) -> list[Met]:
        """The hazards that harm every usual choice, with what they do to the first: said once, for
        they tell none from another."""
        usage = self.usages.of(part)
        if not usage.choices:
            return []
        first = usage.choices[0]
        exposures = self.judge.exposures(
            part, first.choice.material, first.state, first.choice.coated
        )
        least = zip(*(u.traits.exposures for u in usage.choices), strict=True)
        return [
            Met(meeting, exposure)
            for meeting, exposure, ranks in zip(
                self.knowledge.roles[part].meets, exposures, least, strict=True
            )
            if min(ranks) >= EXPOSURE_RANK["suffers"]
        ]

    def substitutes(
        self, judgements: Iterable[Judgement], material: str, state: str | None
    ) -> Iterator[Substitute]:
        """What may be used in place of a piece, nearest first: the piece as the only usual choice.
        Nothing that the part shuts out, and no state that is only a stage."""
        offered = [j for j in judgements if j.rung in OFFERED and j.material != material]
        if not offered:
            return
        part = offered[0].part
        base = self.usages.traits(part, material, state)
        alone = span([base])
        found = []
        for j in offered:
            own = self._traits_of(j)
            lost = tuple(self._shortfalls(Cell(*j[:4]), own, alone))
            apart = 0.0 if self.without == "nearness" else distance(own, base)
            found.append((j, lost, apart))
        found.sort(key=lambda f: (f[2] + len(f[1]), self.judge.name(f[0].material)))
        for j, lost, apart in found:  # what is gained is asked for the few that are shown
            piece = Cell(part, material, state, None)
            gained = self._shortfalls(piece, base, span([self._traits_of(j)]))
            yield Substitute(j, lost, tuple(gained), apart)

    def _traits_of(self, j: Judgement) -> Traits:
        """What a judged material has; asked again for every usual choice of a part."""
        if j.part != self._part:
            self._part = j.part
            self._known.clear()
        if j[1:4] not in self._known:
            self._known[j[1:4]] = self.usages.traits(j.part, j.material, j.state, j.coated)
        return self._known[j[1:4]]

    def _gates(
        self,
        cell: Cell,
        usage: Usage,
        choice: models.Choice | None,
        answers: Iterable[Answer],
    ) -> list[Gate]:
        part, material, state, _ = cell
        record, without = self.knowledge.materials[material], self.without
        made_from = self.knowledge.roles[part].made_from
        found = []
        of_state = record.states.get(state)
        stage = of_state.stage if of_state else None
        if stage and without != "stage":
            found.append(Gate("stage", words=(stage,)))
        if without != "firm":
            found += [Gate("demand", a) for a in answers if a.outcome == MISSED]
        sold = made_from and ((of_state and of_state.sold_as) or record.sold_as)
        if sold and without != "stock" and set(made_from).isdisjoint(sold):
            found.append(Gate("stock", words=tuple(made_from)))
        if choice is None and without != "partner":
            found += self._partners(part, material, usage)
        if choice is None and without != "soft":
            found += map(Gate, self.tempers.wrong(part, material, state, usage))
        if without != "hazard":
            found += self._harmed(cell, usage, choice)
        return found

    def _partners(self, part: str, material: str, usage: Usage) -> Iterator[Gate]:
        """Where the trade keeps two parts that rub of unlike metals, one of the partner's metal."""
        rubs_on = self.knowledge.roles[part].rubs_on
        if not rubs_on:
            return
        family = self.knowledge.materials[material].family
        usual = {u.traits.family for u in usage.choices}
        for partner in rubs_on:
            theirs = self.usages.families[partner]
            if family in theirs and usual and usual.isdisjoint(theirs):
                yield Gate("partner", words=(partner,))

    def _put_right(self, exposure: Exposure) -> bool:
        """True where the harm is cleaned off, polished out, or the piece renewed at a service."""
        mechanism = exposure.rule.mechanism if exposure.rule else None
        return bool(mechanism and self.knowledge.words("mechanisms")[mechanism].put_right)

    def _harmed(self, cell: Cell, usage: Usage, choice: models.Choice | None) -> Iterator[Gate]:
        """A hazard that destroys what the part always meets, unless a usual choice suffers
        alike."""
        bare = cell.material, cell.state
        whole = self.judge.exposures(*cell) if cell.coated else None
        for i, meeting, known in self._often[cell.part]:
            exposure = whole[i] if whole else known[bare]
            verdict = exposure.verdict
            if verdict not in HARMS:
                continue
            if verdict == "suffers" and (meeting.severity != "always" or choice is not None):
                continue
            if verdict == "suffers" and self._put_right(exposure):
                continue
            spared = usage.span is None or usage.span.exposures[i] < EXPOSURE_RANK[verdict]
            if spared or choice is not None:  # what is usual and destroyed contradicts itself
                yield Gate("hazard", met=Met(meeting, exposure))

    def _shortfalls(self, cell: Cell, own: Traits, usual: Span) -> Iterator[Shortfall]:
        yield from self._lacks(cell.part, own, usual)
        if own.magnetism > usual.magnetism and self._minds_magnets[cell.part]:
            names = self.usages.magnetism
            yield Shortfall("magnetism", "", names[own.magnetism], names[usual.magnetism])
        if own.price > usual.price:
            names = self.usages.prices
            yield Shortfall("price", "", names[own.price], names[usual.price])
        turned = "turn" in self.usages.workings[cell.part]
        for trait in RESERVED:
            if turned and trait == FREE_CUTTING:
                continue
            if trait in own.traits and trait not in usual.traits:
                yield Shortfall("trait", trait, trait, "")
        yield from self._softens(cell)
        yield from self._galls(cell.part, cell.material)
        if own.exposures != usual.exposures:
            yield from self._suffers(cell, own, usual)

    def _lacks(self, part: str, own: Traits, usual: Span) -> Iterator[Shortfall]:
        """Figures and workings on the wrong side of the span."""
        asked_of = zip(self.usages.asked[part], own.figures, usual.figures, strict=True)
        for asked, mine, theirs in asked_of:
            if mine is None or theirs is None:
                continue
            wished = self.usages.wishes[part].get(asked)
            if falls_short(mine, theirs, asked, wished):
                yield Shortfall("property", asked.property, mine, theirs, asked.low)
        names, workings = self.usages.ratings, self.usages.workings[part]
        for working, mine, worst in zip(workings, own.ratings, usual.ratings, strict=True):
            if mine is not None and worst is not None and mine > worst:
                yield Shortfall("working", working, names[mine], names[worst])

    def _suffers(self, cell: Cell, own: Traits, usual: Span) -> Iterator[Shortfall]:
        """Hazards that harm it more than any usual choice."""
        exposures, meets = self.judge.exposures(*cell), self.knowledge.roles[cell.part].meets
        for i, (mine, worst) in enumerate(zip(own.exposures, usual.exposures, strict=True)):
            if mine > max(worst, EXPOSURE_RANK["unknown"]):
                found, span_ = EXPOSURE_ORDER[mine], EXPOSURE_ORDER[worst]
                yield Shortfall("hazard", meets[i].hazard, found, span_, exposure=exposures[i])

    def _softens(self, cell: Cell) -> Iterator[Shortfall]:
        """Hardness that is gone at a soldered joint, as that of no usual choice is; a plated piece
        meets no torch, for its plating would burn."""
        left = self.tempers.softened(cell.part, cell.material, cell.state)
        if left is not None and not self.usual_softens(cell.part):
            yield Shortfall("solder", "", left, "")

    def usual_softens(self, part: str) -> bool:
        """Whether a bare usual choice of a part goes soft at a soldered joint."""
        return any(
            self.tempers.softened(part, u.choice.material, u.state)
            for u in self.usages.of(part).choices
            if not u.choice.coated
        )

    def _galls(self, part: str, material: str) -> Iterator[Shortfall]:
        """Where it seizes on the usual metal of the part that it rubs on, as no usual choice
        does."""
        usual = {c.material for c in self.knowledge.roles[part].usual}
        for kind, partner in self.usages.galls(part, material).items():
            if not any(kind in self.usages.galls(part, m) for m in usual):
                yield Shortfall("galling", kind, partner, "")
