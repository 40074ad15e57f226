"""A whole watch judged: every contact between two metals, worst first, and parts whose material
does not suit them.

Judgements are plain data.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from generator.records import models
from generator.records.knowledge import Knowledge
from generator.verdicts.contact import DEGREES, NONE, Attack, Contacts, Joint, worst
from generator.verdicts.rungs import NO, ORDER, Judgement, Ladder


class Made(NamedTuple):
    """What one part of a watch is made of; None: open."""

    material: str | None
    state: str | None = None
    coating: str | None = None

    @property
    def surface(self) -> str | None:
        """What another part touches."""
        return self.coating or self.material


class Touch(NamedTuple):
    """One contact of a watch: as it is, and with the plating of its parts worn through (None: no
    plating, or one has no place in the series)."""

    place: int  # in the watch's list of joins
    join: models.Join
    joint: Joint | None
    worn: Joint | None
    attack: Attack | None  # the worse of open and gap, of the surfaces
    worn_attack: Attack | None
    degree: str  # of the surfaces, with the size of the one that goes

    @property
    def rank(self) -> tuple:
        """For sorting, worst first; what the trade joins all the same comes after what it does
        not, and what cannot be judged last."""
        if self.joint is None:
            return (3, 0, 0, self.place)
        usual = self.joint.usual is not None
        worn = DEGREES.index(self.worn_attack.degree) if self.worn_attack else 0
        kind = 2 if self.degree == NONE else 1 if usual else 0
        return (kind, -DEGREES.index(self.degree), -worn, self.place)


def as_usual(watch: models.Watch) -> dict[str, Made]:
    """Every part as this kind is usually made."""
    return {p.key: Made(p.material, p.state, p.coating) for p in watch.parts}


def touches(contacts: Contacts, watch: models.Watch, made: Mapping[str, Made]) -> list[Touch]:
    """Every contact of a watch, worst first."""
    found = [_touch(contacts, i, join, made) for i, join in enumerate(watch.joins)]
    return sorted(found, key=lambda t: t.rank)


def _touch(contacts: Contacts, place: int, join: models.Join, made: Mapping[str, Made]) -> Touch:
    one, other = (made[end] for end in join.between)
    joint = _joint(contacts, join, one.surface, other.surface)
    coated = one.coating or other.coating
    worn = _joint(contacts, join, one.material, other.material) if coated else None
    gap = contacts.knowledge.words("joins")[join.how].gap
    attack, worn_attack = _attack(joint, gap), _attack(worn, gap)
    return Touch(place, join, joint, worn, attack, worn_attack, _degree(join, attack))


def _joint(contacts: Contacts, join: models.Join, one: str | None, other: str | None):
    if one is None or other is None or join.how == "one-piece":
        return None
    found = contacts.pair(one, other)
    return next(j for j in found if j.situation == join.where) if found else None


def _attack(joint: Joint | None, gap: bool) -> Attack | None:
    """The worse of what happens in the open and, where the joint has a crevice, in the gap."""
    if joint is None:
        return None
    both = [joint.open, *([joint.gap] if gap and joint.gap else [])]
    return max(both, key=lambda a: DEGREES.index(a.degree))


def _degree(join: models.Join, attack: Attack | None) -> str:
    """How fast, where it is known which of the two is the small piece."""
    if attack is None or attack.goes is None:
        return NONE
    if join.smaller is None:
        return attack.degree
    goes = join.between[attack.goes]
    return attack.if_small if goes == join.smaller else attack.if_large


def under_plating(
    contacts: Contacts, watch: models.Watch, made: Mapping[str, Made]
) -> Iterator[tuple[models.WatchPart, Attack]]:
    """Outside parts whose base corrodes in sweat at pores and worn edges of the plating."""
    salt = list(contacts.situations)[contacts.hardest]
    for part in watch.parts:
        its = made[part.key]
        if part.outside and its.material and its.coating:
            attack = contacts.at_pores(its.coating, its.material, salt)
            if attack and attack.goes == 1 and worst((attack.degree, NONE)) != NONE:
                yield part, attack


def misplaced(
    knowledge: Knowledge, ladder: Ladder
) -> Iterator[tuple[str, int, models.WatchPart, Judgement]]:
    """Where a kind of watch is made of what the verdict rules out: (watch, place of the part, the
    part, the judgement). What the part's own record calls usual is judged there."""
    for key, watch in knowledge.watches.items():
        for i, part in enumerate(watch.parts):
            usual = {(c.material, c.state, c.coated) for c in knowledge.roles[part.role].usual}
            if part.material and (part.material, part.state, part.coating) not in usual:
                states = (
                    (part.state,)
                    if part.state
                    else tuple(knowledge.materials[part.material].states) or (None,)
                )
                found = [
                    ladder.judgement(part.role, part.material, s, part.coating) for s in states
                ]
                best = min(found, key=lambda j: ORDER[j.rung])
                if best.rung == NO:
                    yield key, i, part, best
