"""A part as its usual choices describe it: what they have in figures, workings, price, traits and
exposure, the span that they reach together, and which families give a precedent.

``Usages`` holds the description of every part; ``rungs`` judges other materials by it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from copy import copy
from decimal import Decimal
from functools import cached_property
from math import log
from typing import NamedTuple

from generator.numbers.composition import share_range
from generator.numbers.quantities import Quantity
from generator.records import models
from generator.records.knowledge import setting_of
from generator.verdicts.conditions import applies, magnetism_of
from generator.verdicts.findings import EXPOSURE_RANK, Judge

SOFT = ("annealed", "solution-annealed")  # the softest state that a metal is bought in
ALIKE = 0.3  # share of the usual materials that two sister parts have in common, at least
NEAR = Decimal("0.1")  # a figure less than this share outside the span is no shortfall
NEAR_DIFFERENCE = Decimal(10)  # the same for temperatures and what may be negative
DISTANT_FAMILY, EXPOSURE_STEP = 0.5, 0.25  # in the sum of |log ratio| that nearness is


class Asked(NamedTuple):
    """A figure that a part asks about: the property, its unit, and whether it wants a minimum."""

    property: str
    unit: str | None
    low: bool
    signed: bool  # true: values may be negative, so two are apart by their difference


class Traits(NamedTuple):
    """What a span is made of, of one material in one state."""

    figures: tuple[Quantity | None, ...]
    places: tuple[float | None, ...]  # of the figures and the density, on the scale of nearness
    ratings: tuple[int | None, ...]
    magnetism: int
    price: int
    traits: frozenset[str]
    exposures: tuple[int, ...]
    family: str


class Usual(NamedTuple):
    """A usual choice in one state, with what it has."""

    choice: models.Choice
    state: str | None
    traits: Traits


class Span(NamedTuple):
    """What the usual choices of a part reach together, each limit with who reaches it."""

    figures: tuple[tuple[Quantity, Quantity] | None, ...]  # the lowest and the highest
    ratings: tuple[int | None, ...]  # the worst that is usual
    magnetism: int
    price: int
    traits: frozenset[str]
    exposures: tuple[int, ...]


class Usage(NamedTuple):
    """A part as its usual choices describe it."""

    choices: tuple[Usual, ...]
    named: dict[tuple, models.Choice]  # (material, state, coating) -> the usual choice that it is
    span: Span | None  # None: the part has no usual choice
    hardened: bool  # the trade never leaves it in the softest state
    families: dict[str, str]  # family -> the part that gives the precedent


class Usages:
    """The usage of every part, each worked out once."""

    def __init__(self, judge: Judge):
        self.judge, self.knowledge = judge, judge.knowledge
        words = self.knowledge.words
        self.ratings, self.magnetism = list(words("ratings")), list(words("magnetism"))
        self._ratings = {r: i for i, r in enumerate(self.ratings)}
        self._magnetism = {m: i for i, m in enumerate(self.magnetism)}
        self.asked = {k: self._asked(p) for k, p in self.knowledge.roles.items()}
        self.wishes = {k: self._wishes(p) for k, p in self.knowledge.roles.items()}
        self.workings = {
            k: tuple(dict.fromkeys(d.working for d in p.demands if d.working))
            for k, p in self.knowledge.roles.items()
        }
        self.prices = list(words("prices"))
        self._price = {
            k: price(m, words("prices").values()) for k, m in self.knowledge.materials.items()
        }
        self._traits = {k: frozenset(m.traits) for k, m in self.knowledge.materials.items()}
        self._figures: dict[tuple, tuple[Quantity | None, float | None]] = {}
        self._usages: dict[str, Usage] = {}

    def on(self, judge: Judge) -> Usages:
        """The same usages, what is asked of other materials looked up by another judge."""
        other = copy(self)
        other.judge, other._figures = judge, {}
        return other

    def of(self, part: str, hidden: models.Choice | None = None) -> Usage:
        """The part's usage, or what is left of it when one choice is hidden."""
        if hidden is not None:
            return self._describe(part, hidden)
        if part not in self._usages:
            self._usages[part] = self._describe(part, None)
        return self._usages[part]

    def _describe(self, part: str, hidden: models.Choice | None) -> Usage:
        materials = self.knowledge.materials
        choices = [c for c in self.knowledge.roles[part].usual if not same(c, hidden)]
        usual = tuple(
            Usual(c, s, self.traits(part, c.material, s, c.coated))
            for c in choices
            for s in self.states(c)
        )
        metals = {
            s
            for c, s, _ in usual
            if self.knowledge.material_class(materials[c.material]) == "metal"
        }
        families: dict[str, str] = {}
        alike = {o: a for o, a in self._like(part, hidden).items() if a >= ALIKE}
        for sister in (part, *sorted(alike, key=lambda o: (-alike[o], o))):
            for c in self.knowledge.roles[sister].usual:
                if not (sister == part and same(c, hidden)):
                    families.setdefault(materials[c.material].family, sister)
        hardened = bool(metals) and not metals & {None, *SOFT}
        named = {(c.material, s, c.coated): c for c, s, _ in reversed(usual)}  # the first counts
        return Usage(usual, named, span([u.traits for u in usual]), hardened, families)

    @cached_property
    def families(self) -> dict[str, set[str]]:
        """Part -> the families of its usual choices."""
        return {
            k: {self.knowledge.materials[c.material].family for c in p.usual}
            for k, p in self.knowledge.parts.items()
        }

    def beside(self, part: str, material: str, state: str | None) -> str | None:
        """Another part of the same zone that is made of this very material in this state; a setting
        is a case apart."""
        if setting_of(part):
            return None
        return next(
            (
                o
                for o in self._zones[self.knowledge.parts[part].zone].get((material, state), ())
                if o != part
            ),
            None,
        )

    def sold_for(self, part: str, material: str) -> tuple[str, str] | None:
        """The purpose that the standard or sheet of a material names and the part serves, and what
        it says; a setting is a case apart."""
        return self._sold_for.get((part, material))

    @cached_property
    def _sold_for(self) -> dict[tuple[str, str], tuple[str, str]]:
        return {
            (part, material): (key, stock.says)
            for key, purpose in self.knowledge.words("purposes").items()
            for stock in purpose.stock
            for material in stock.materials
            for part in purpose.parts
        }

    def galls(self, part: str, material: str) -> dict[str, str]:
        """Kind of galling -> the partner that it rubs on, where a usual metal of the partner is of
        the kind that seizes on its own; not where the trade does it all the same."""
        found = {}
        for partner in self.knowledge.roles[part].rubs_on:
            for kind, entry in self.knowledge.words("galling").items():
                if not entry.usual and all(
                    any(applies(self.knowledge, entry.when, m) for m in one)
                    for one in ([material], self._made_of[partner])
                ):
                    found.setdefault(kind, partner)
        return found

    @cached_property
    def _zones(self) -> dict[str, dict[tuple[str, str | None], list[str]]]:
        """Zone -> the parts in it that are made of a material in a state."""
        found: dict = defaultdict(lambda: defaultdict(list))
        for part, cells in self._named.items():
            for cell in cells:
                found[self.knowledge.parts[part].zone][cell].append(part)
        return found

    def used_in_like_parts(
        self, part: str, hidden: models.Choice | None = None
    ) -> dict[tuple[str, str | None], float]:
        """(material, state) -> how much the trade uses it for other parts, each part counting by
        its likeness to this one."""
        found: dict[tuple[str, str | None], float] = defaultdict(float)
        for other, alike in self._like(part, hidden).items():
            for cell in self._named[other]:
                found[cell] += alike
        return found

    @cached_property
    def _made_of(self) -> dict[str, set[str]]:
        return {k: {c.material for c in p.usual} for k, p in self.knowledge.parts.items()}

    @cached_property
    def _named(self) -> dict[str, set[tuple[str, str | None]]]:
        return {
            k: {(c.material, s) for c in p.usual for s in self.states(c)}
            for k, p in self.knowledge.parts.items()
        }

    def states(self, choice: models.Choice) -> tuple[str | None, ...]:
        """The states that a choice means: its own, or all in which the material is used."""
        if choice.state:
            return (choice.state,)
        states = self.knowledge.materials[choice.material].states
        return tuple(s for s, record in states.items() if not record.stage) or (None,)

    def traits(
        self, part: str, material: str, state: str | None, coated: str | None = None
    ) -> Traits:
        """What a material in a state has of what the part asks about."""
        record = self.knowledge.materials[material]
        found = [self._figure(material, state, *a) for a in self.asked[part]]
        density = self._figure(material, state, "density", None, True, False)
        return Traits(
            tuple([q for q, _ in found]),
            tuple([place for _, place in (*found, density)]),
            tuple(
                [
                    self._ratings[record.working[w].rating] if w in record.working else None
                    for w in self.workings[part]
                ]
            ),
            self._magnetism[magnetism_of(record, state)],
            self._price[material],
            self._traits[material],
            tuple(
                [
                    EXPOSURE_RANK[e.verdict]
                    for e in self.judge.exposures(part, material, state, coated)
                ]
            ),
            record.family,
        )

    def _figure(
        self,
        material: str,
        state: str | None,
        prop: str,
        unit: str | None,
        _: bool,
        signed: bool,
    ) -> tuple[Quantity | None, float | None]:
        """A figure that decides, and its place on the scale of nearness: the logarithm, of what may
        be negative the value in hundreds."""
        key = (material, state, prop, unit)
        if key not in self._figures:
            found = self.judge.values.of(material, prop, state, unit)
            if found is None or found.from_memory:
                self._figures[key] = None, None
            else:
                middle = float(found.middle)
                self._figures[key] = found, middle / 100 if signed else log(middle)
        return self._figures[key]

    def _wishes(self, part: models.Part) -> dict[Asked, Decimal]:
        """The limit of each figure that the part would like and does not need."""
        found = {}
        for d in part.demands:
            limit = d.at_least if d.at_least is not None else d.at_most
            if d.property and not d.firm and limit is not None:
                found[self._asks(d)] = limit
        return found

    def _asked(self, part: models.Part) -> tuple[Asked, ...]:
        return tuple(dict.fromkeys(self._asks(d) for d in part.demands if d.property))

    def _asks(self, demand: models.Demand) -> Asked:
        units = self.knowledge.words("properties")[demand.property].units
        lowest = units[demand.unit or next(iter(units))][0]
        return Asked(demand.property, demand.unit, demand.at_least is not None, lowest <= 0)

    def _like(self, part: str, hidden: models.Choice | None) -> dict[str, float]:
        """Part -> the share of usual materials that it has in common with this one."""
        if setting_of(part):  # a case apart: it is like no other part
            return {}
        mine = {c.material for c in self.knowledge.parts[part].usual if not same(c, hidden)}
        return {
            other: len(mine & theirs) / len(mine | theirs)
            for other, theirs in self._made_of.items()
            if other != part and not mine.isdisjoint(theirs)
        }


def same(choice: models.Choice, hidden: models.Choice | None) -> bool:
    """True when hiding one choice hides the other: the same material in the same state."""
    return hidden is not None and (choice.material, choice.state) == (hidden.material, hidden.state)


def span(usual: list[Traits]) -> Span | None:
    """What these reach together; None where there are none."""
    if not usual:
        return None
    return Span(
        tuple(reached(figures) for figures in zip(*(t.figures for t in usual), strict=True)),
        tuple(
            max((r for r in ratings if r is not None), default=None)
            for ratings in zip(*(t.ratings for t in usual), strict=True)
        ),
        max(t.magnetism for t in usual),
        max(t.price for t in usual),
        frozenset().union(*(t.traits for t in usual)),
        tuple(max(e) for e in zip(*(t.exposures for t in usual), strict=True)),
    )


def reached(figures: Iterable[Quantity | None]) -> tuple[Quantity, Quantity] | None:
    """The lowest and the highest of some figures."""
    known = sorted((q for q in figures if q is not None), key=lambda q: q.middle)
    return (known[0], known[-1]) if known else None


def falls_short(
    mine: Quantity, usual: tuple[Quantity, Quantity], asked: Asked, wished: Decimal | None
) -> bool:
    """True when a figure lies on the wrong side of the usual choices, clearly so or because what
    the part would like (``wished``) lies between."""
    return outside(mine, usual, asked) or misses_wish(mine, usual, asked, wished)


def misses_wish(
    mine: Quantity, usual: tuple[Quantity, Quantity], asked: Asked, wished: Decimal | None
) -> bool:
    """True when a whole figure misses what the part would like, and each usual choice reaches it at
    least in part."""
    if wished is None:
        return False
    if asked.low:
        best, worst = mine.high, usual[0].high
        return best is not None and best < wished and (worst is None or worst >= wished)
    best, worst = mine.low, usual[1].low
    return best is not None and best > wished and (worst is None or worst <= wished)


def outside(mine: Quantity, usual: tuple[Quantity, Quantity], asked: Asked) -> bool:
    """True when a whole figure lies clearly on the wrong side of what the usual choices have.

    A limit alone says nothing of how far beyond it a usual choice may lie.
    """
    edge = usual[0].low if asked.low else usual[1].high
    if edge is None:
        return False
    best = mine.high if asked.low else mine.low
    best = mine.middle if best is None else best
    apart = edge - best if asked.low else best - edge
    return apart > (NEAR_DIFFERENCE if asked.signed else abs(edge) * NEAR)


def price(material: models.Material, prices: Iterable[models.Price]) -> int:
    """The place of the dearest kind of price whose elements the analysis holds."""
    found = 0
    for place, kind in enumerate(prices):
        least = [share_range(material.composition, s) or (0, 0) for s in kind.elements]
        if kind.elements and sum(low for low, _ in least) >= kind.at_least:
            found = place
    return found


def distance(a: Traits, b: Traits) -> float:
    """How far a material is from another in what a part asks, in density and in what harms it."""
    total = 0.0 if a.family == b.family else DISTANT_FAMILY
    for x, y in zip(a.places, b.places, strict=True):
        if x is not None and y is not None:
            total += abs(x - y)
    if a.exposures != b.exposures:
        for x, y in zip(a.exposures, b.exposures, strict=True):
            if x > y:
                total += EXPOSURE_STEP * (x - y)
    return total


def nearest(own: Traits, choices: tuple[Usual, ...]) -> Iterator[tuple[float, Usual]]:
    """Each usual choice with its distance."""
    return ((distance(own, u.traits), u) for u in choices)
