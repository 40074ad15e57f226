"""The page of a kind of watch: its parts with what they are usually made of, every contact judged,
worst first; and what a part touches in each kind, for the part's own page."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from generator.records import models
from generator.site.page import Page, Site, record_page, trail
from generator.verdicts.contact import NONE, Attack
from generator.verdicts.watches import Touch, as_usual, touches, under_plating


class Contact(NamedTuple):
    """One contact in words: its two sides, which corrodes and how fast, and what to look at."""

    sides: tuple[str, str]  # names
    parts: tuple[str, str]  # ids of their pages
    how: str
    where: str
    inside: bool  # the wet is not met on the wrist: something let it in
    goes: str  # the name of the one that goes, or nothing
    degree: str
    usual: models.UsualContact | None
    worn: str  # the name of what goes once the plating is worn through, or nothing
    worn_degree: str
    look: str


def watch_page(site: Site, key: str) -> Page:
    """A kind of watch: what goes first, then every part, then every contact."""
    record, names = site.knowledge.watches[key], names_in(site, key)
    made = as_usual(record)
    found = touches(site.contacts, record, made)
    bad = [t for t in found if t.joint and t.degree != NONE and not t.joint.usual]
    usual = [t for t in found if _goes(t) and _usual(site, t) and t not in bad]
    shown = {id(t) for t in (*bad, *usual)}
    rest = [t for t in found if id(t) not in shown]
    weights = [p.grams for p in record.parts if p.grams is not None]
    body = site.view.draw(
        "watch_kind",
        site.view.address("watch", key),
        r=record,
        names=names,
        zones=_by_zone(site, record),
        weight=sum(weights, Decimal(0)) if weights else None,
        bad=[_contact(site, record, names, t) for t in bad],
        usual=_by_usual([_contact(site, record, names, t) for t in usual]),
        rest=[_contact(site, record, names, t) for t in rest],
        plated=[
            (names[p.key], p.part, p.material, p.coating, attack.degree)
            for p, attack in under_plating(site.contacts, record, made)
        ],
        cautions=site.cautions(record),
        siblings=[("watch", k) for k in site.knowledge.watches if k != key],
        trail=trail("watch", [], record.name),
    )
    return record_page(site.view.address("watch", key), record, body)


def names_in(site: Site, key: str) -> dict[str, str]:
    """What each part is called in a kind of watch, in the middle of a sentence."""
    return {
        p.key: p.name or _small(site.knowledge.parts[p.part].name)
        for p in site.knowledge.watches[key].parts
    }


def _small(name: str) -> str:
    """A name in the middle of a sentence."""
    return name[:1].lower() + name[1:]


def in_watches(site: Site, part: str) -> list[tuple[str, list[tuple[str, list[str]]]]]:
    """Each kind of watch with a part, and there what it touches: (watch, [(its name there, what it
    touches and how)])."""
    found = []
    for key, watch in site.knowledge.watches.items():
        names = names_in(site, key) if any(p.part == part for p in watch.parts) else {}
        places = []
        for its in (p for p in watch.parts if p.part == part):
            touched = [
                f"{names[other]} ({site.view.word('joins', j.how)})"
                for j in watch.joins
                for other in j.between
                if its.key in j.between and other != its.key
            ]
            places.append((its.name or "", touched))
        if places:
            found.append((key, places))
    return found


def _goes(touch: Touch) -> bool:
    return any(a and a.goes is not None for a in (touch.attack, touch.worn_attack))


def _contact(site: Site, watch: models.Watch, names: dict[str, str], touch: Touch) -> Contact:
    join, parts = touch.join, watch.by_key()
    situation = site.knowledge.words("contact_situations")[join.where]

    def who(attack: Attack | None) -> str:
        return "" if attack is None or attack.goes is None else names[join.between[attack.goes]]

    return Contact(
        tuple(names[end] for end in join.between),
        tuple(parts[end].part for end in join.between),
        site.view.word("joins", join.how),
        situation.name,
        not situation.salt,
        who(touch.attack),
        touch.degree,
        _usual(site, touch),
        who(touch.worn_attack),
        touch.worn_attack.degree if touch.worn_attack else NONE,
        join.look or "",
    )


def _by_usual(contacts: list[Contact]) -> list[tuple[models.UsualContact, list[Contact]]]:
    """Contacts by the usual pairing that they are, so that it is said once."""
    found: dict[int, tuple[models.UsualContact, list[Contact]]] = {}
    for contact in contacts:
        if contact.usual:
            found.setdefault(id(contact.usual), (contact.usual, []))[1].append(contact)
    return list(found.values())


def _usual(site: Site, touch: Touch) -> models.UsualContact | None:
    """The usual pairing that a contact is: of its surfaces, or else with the plating worn."""
    key = next((j.usual for j in (touch.joint, touch.worn) if j and j.usual), None)
    return site.knowledge.words("usual_contacts")[key] if key else None


def _by_zone(site: Site, watch: models.Watch) -> list[tuple[str, list[models.WatchPart]]]:
    """The parts by the zone of their role, zones and parts in their order."""
    zones: dict[str, list[models.WatchPart]] = {z: [] for z in site.knowledge.words("zones")}
    for part in watch.parts:
        zones[site.knowledge.parts[part.part].zone].append(part)
    return [(zone, parts) for zone, parts in zones.items() if parts]
