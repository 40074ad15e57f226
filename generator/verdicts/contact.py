"""Metals in contact: which of the two corrodes when they are wet together, how fast, and where the
trade joins them all the same.

Judgements are plain data. A metal has a place in the sea-water series; one that relies on its
passive film may have two: film whole, as in the open, and film broken, as in a salt-wet gap. Both
are judged.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from functools import cached_property
from typing import NamedTuple

from generator.records import models
from generator.records.knowledge import Knowledge
from generator.verdicts.conditions import applies

NONE, SLOW, FAST = DEGREES = ("none", "slow", "fast")  # from best to worst
FIRST, SECOND = 0, 1


class Place(NamedTuple):
    """A group of metals with its volts in sea water: in the open, and in a gap (None: its film
    does not break there, or it has none)."""

    key: str
    record: models.SeriesPlace
    open: Decimal
    gap: Decimal | None


class Attack(NamedTuple):
    """What happens at a joint: which of the two goes (0 or 1; None: neither), how fast where both
    show alike, where the one that goes is the small piece, and where it is the large one."""

    goes: int | None
    degree: str
    if_small: str
    if_large: str
    apart: Decimal


class Joint(NamedTuple):
    """Two metals in one situation: in the open, in a gap (None: no film breaks), and the usual
    pairing that outranks the volts."""

    situation: str
    open: Attack
    gap: Attack | None
    usual: str | None

    @property
    def worst(self) -> str:
        """The worse degree of open and gap."""
        return worst(a.degree for a in (self.open, self.gap) if a)

    @property
    def may_touch(self) -> bool:
        """True where nothing happens, or the trade joins the two all the same."""
        return self.usual is not None or self.worst == NONE


def worst(degrees) -> str:
    """The worst of some degrees."""
    return max(degrees, key=DEGREES.index)


class Contacts:
    """Judges pairs of metals by the sea-water series of the knowledge base."""

    def __init__(self, knowledge: Knowledge):
        self.knowledge = knowledge
        self.series = {
            key: _place(key, record) for key, record in knowledge.words("sea_water_series").items()
        }
        self.situations = knowledge.words("contact_situations")
        self._known: dict[tuple[str, str, str], tuple[Attack, Attack | None]] = {}
        # the hardest place, for the overview: the first with salt
        self.hardest = next((i for i, s in enumerate(self.situations.values()) if s.salt), 0)

    @cached_property
    def place_of(self) -> dict[str, Place]:
        """The place of every material that has one: the first group that fits it."""
        found = {}
        for material in self.knowledge.materials:
            for place in self.series.values():
                if applies(self.knowledge, place.record.when, material):
                    found[material] = place
                    break
        return found

    @cached_property
    def members(self) -> dict[str, list[str]]:
        """The materials of every place, noblest place first; places without any are left out."""
        order = sorted(self.series.values(), key=lambda p: -p.open)
        groups = {p.key: [m for m, q in self.place_of.items() if q is p] for p in order}
        return {key: materials for key, materials in groups.items() if materials}

    def pair(self, first: str, second: str) -> list[Joint] | None:
        """Two materials in every situation; None where one has no place in the series."""
        if first not in self.place_of or second not in self.place_of:
            return None
        a, b = self.place_of[first], self.place_of[second]
        return [
            Joint(key, *self._judged(key, a.key, b.key), self.usual(key, first, second))
            for key in self.situations
        ]

    def _judged(self, situation: str, a: str, b: str) -> tuple[Attack, Attack | None]:
        """What happens between two places; many materials lie in each."""
        if (situation, a, b) not in self._known:
            found = _attacks(self.situations[situation], self.series[a], self.series[b])
            self._known[situation, a, b] = found
        return self._known[situation, a, b]

    @cached_property
    def joined(self) -> dict[str, tuple[frozenset[str], frozenset[str]]]:
        """The materials on both sides of each usual pairing."""
        return {
            key: tuple(
                frozenset(m for m in self.knowledge.materials if applies(self.knowledge, when, m))
                for when in (usual.one, usual.other)
            )
            for key, usual in self.knowledge.words("usual_contacts").items()
        }

    def usual(self, situation: str, first: str, second: str) -> str | None:
        """The usual pairing that names the two in a situation."""
        for key, one, other in self._usual_in[situation]:
            if (first in one and second in other) or (second in one and first in other):
                return key
        return None

    @cached_property
    def _usual_in(self) -> dict[str, list[tuple[str, frozenset[str], frozenset[str]]]]:
        """The usual pairings of each situation, with the materials on both sides."""
        usual = self.knowledge.words("usual_contacts")
        return {
            situation: [(k, *self.joined[k]) for k, u in usual.items() if situation in u.situations]
            for situation in self.situations
        }

    def at_pores(self, coating: str, base: str, situation: str) -> Attack | None:
        """What happens at the pores and worn edges of a coating; None where one has no place.

        The bare spot is small beside the coating, so a base that equal areas would spare goes
        slowly. A film in a pore is judged whole: the rim of a pore is no gap.
        """
        if coating not in self.place_of or base not in self.place_of:
            return None
        places, conditions = (
            (self.place_of[coating], self.place_of[base]),
            self.situations[situation],
        )
        attack, _ = _attacks(conditions, *places)
        spared = places[SECOND].record.film or places[SECOND].record.goes == NONE
        lower = places[SECOND].open < places[FIRST].open
        if attack.degree != NONE or spared or not lower or conditions.pore_up_to is None:
            return attack
        if attack.apart <= conditions.pore_up_to:
            return attack
        return Attack(SECOND, SLOW, FAST, SLOW, attack.apart)


def _ends(potentials: list[models.Potential]) -> Iterator[Decimal]:
    for potential in potentials:
        yield from potential.range or (potential.typical,)


def _place(key: str, record: models.SeriesPlace) -> Place:
    """The middle of all sources counts in the open, the lowest in a gap: that is judged at its
    worst."""
    whole = list(_ends(record.whole))
    broken = min(_ends(record.broken)) if record.broken else None
    return Place(key, record, (min(whole) + max(whole)) / 2, broken)


def _attacks(
    situation: models.ContactSituation, a: Place, b: Place
) -> tuple[Attack, Attack | None]:
    in_the_open = _attack(situation, (a, b), (a.open, b.open), (False, False))
    # Beside a metal that goes fast the film does not break: that metal goes in its place.
    broken = tuple(
        situation.salt and p.gap is not None and other.record.goes != FAST
        for p, other in ((a, b), (b, a))
    )
    if a is b or not any(broken):
        return in_the_open, None
    volts = tuple(p.gap if gone else p.open for p, gone in zip((a, b), broken, strict=True))
    return in_the_open, _attack(situation, (a, b), volts, broken)


def _attack(
    situation: models.ContactSituation,
    pair: tuple[Place, Place],
    volts: tuple[Decimal, Decimal],
    broken: tuple[bool, bool],
) -> Attack:
    apart = abs(volts[FIRST] - volts[SECOND])
    lower = FIRST if volts[FIRST] < volts[SECOND] else SECOND
    loser, winner = pair[lower].record, pair[1 - lower].record
    if situation.none_up_to is None or (loser.film and not broken[lower]):
        return Attack(None, NONE, NONE, NONE, apart)
    degree = (
        NONE if apart <= situation.none_up_to else SLOW if apart <= situation.slow_up_to else FAST
    )
    if winner.poor_partner and degree == FAST:
        degree = SLOW
    if broken[lower]:  # a broken film is attacked anyway; a nobler neighbour makes it worse
        degree = worst((degree, SLOW))
    degree = min(degree, loser.goes, key=DEGREES.index)
    if degree == NONE:
        return Attack(None, NONE, NONE, NONE, apart)
    return Attack(lower, degree, FAST, SLOW, apart)
