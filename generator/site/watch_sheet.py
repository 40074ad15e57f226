"""The data from which the watch sheet answers (assets/watch-data.js).

Everything is judged here, once: which metals attack each other, what each hazard does to each
material, how a material stands for a part. The script (assets/watch.js) only looks up answers for
the watch in hand. What many materials share is stored once and referred to by number; a string
holds one sign per state, and each sign is a number as one letter (``SIGNS``).
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from functools import cache, partial

from generator.numbers.composition import share_range
from generator.numbers.formulas import compile_expression, for_browser
from generator.numbers.quantities import NBSP, Quantity
from generator.records import models
from generator.records.knowledge import Knowledge
from generator.site.page import Site
from generator.site.pictures.swatches import colour_of
from generator.site.reasons import Numbered
from generator.site.texts import sentence
from generator.upkeep import editions
from generator.verdicts.conditions import applies, cautions_of_material, magnetism_of
from generator.verdicts.contact import DEGREES, NONE, SECOND, Attack
from generator.verdicts.rungs import HARMS, PAPER, Judgement

SIGNS = "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
FAR = "~"  # not judged
# Signs for the reasons of a kind of watch: what JSON writes as one letter.
PALETTE = [chr(c) for c in (*range(35, 92), *range(93, 126), *range(161, 2000))]
PROGRAMS = {
    "same": "same-piece-in-another-metal",
    "rate": "thermal-rate-error",
    "fine": "fine-metal-content",
}
STIFFNESS = "modulus-temperature-coefficient"
FIELD = "magnetic-field"  # the hazard whose figure says what a magnetic-resistant watch bears
JOINT = "galvanic-contact"  # the hazard whose rules say what a metal that goes looks like

Stands = tuple[list, list[int]]


def data(site: Site) -> dict:
    """What every kind of watch shares, in the order of the lists that numbers refer to."""
    knowledge = site.knowledge
    keys, hazards, cautions = list(site.rank), list(knowledge.hazards), _cautions(site)
    exposures = Numbered()
    classes, contact = _contacts(site, keys)
    return {
        "edition": editions.last_of(knowledge),
        "kinds": [[k, w.name] for k, w in knowledge.watches.items()],
        "situations": _words(site, "contact_situations"),
        "verdicts": _words(site, "exposure_verdicts"),
        "rungs": _words(site, "rungs"),
        "joins": [
            [k, j.name, int(j.moves), int(j.gap)] for k, j in knowledge.words("joins").items()
        ],
        "zones": [[k, sentence(z.name)] for k, z in knowledge.words("zones").items()],
        "cautions": [[c, knowledge.cautions[c].name] for c in cautions],
        "activities": [
            [k, a.name, [hazards.index(h) for h in a.hazards]]
            for k, a in knowledge.words("activities").items()
        ],
        "hazards": [_hazard(site, h) for h in hazards],
        "galling": [[int(g.usual), g.say] for g in knowledge.words("galling").values()],
        "baths": [
            [b.name, hazards.index(b.hazard), b.loosens, b.spoils, b.say]
            for b in knowledge.words("baths").values()
        ],
        "contact": contact,
        "materials": [
            _material(site, m, hazards, exposures, classes.get(m, -1), cautions) for m in keys
        ],
        "exposures": exposures.things,
        "programs": {k: _program(site, f) for k, f in PROGRAMS.items()},
        "joint": hazards.index(JOINT) if JOINT in hazards else -1,
        "field": _field(site),
    }


def kinds(site: Site) -> Iterator[tuple[str, dict]]:
    """Each kind of watch with its data."""
    stands = cache(partial(_stands, site))  # several kinds have the same parts
    for key in site.knowledge.watches:
        yield key, _kind(site, key, stands)


def _kind(site: Site, key: str, stands: Callable[[str], Stands]) -> dict:
    """One kind of watch: its parts and joins, and for each part role of it where every state of
    every material stands: ``cells`` has a text a state, in it a sign a role; the place of the sign
    in ``signs`` is that of [rung, reason, 1 where a whole coating keeps it off] in ``reasons``."""
    watch = site.knowledge.watches[key]
    place = {m: i for i, m in enumerate(site.rank)}
    roles, reasons = list(dict.fromkeys(p.role for p in watch.parts)), Numbered()
    columns = [_column(stands(role), reasons) for role in roles]
    cautions = _cautions(site)
    return {
        "parts": [_part(site, role, place, cautions) for role in roles],
        "cells": ["".join(signs) for signs in zip(*columns, strict=True)],
        "reasons": reasons.things,
        "signs": "".join(PALETTE[: len(reasons.things)]),
        "watch": _watch(watch, place, roles, cautions),
    }


def scripts(site: Site) -> dict[str, str]:
    """The data as classic scripts, which also load from file://: what is shared, and one file a
    kind of watch."""
    found = {"assets/watch-data.js": _script("window.watchSheet", data(site))}
    for key, content in kinds(site):
        name = f'(window.watchKinds=window.watchKinds||{{}})["{key}"]'
        found[f"assets/watches/{key}.js"] = _script(name, content)
    return found


def _script(name: str, content: dict) -> str:
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return f"{name}=" + text.replace("</", "<\\/") + ";\n"


def _words(site: Site, vocabulary: str) -> list[list[str]]:
    return [[key, entry.name] for key, entry in site.knowledge.words(vocabulary).items()]


def _hazard(site: Site, key: str) -> list:
    """[id, name, what each rule says as [verdict, mechanism, what it looks like, put right at a
    service, how fast]]; rule 0 is that none decides."""
    verdicts = list(site.knowledge.words("exposure_verdicts"))
    met = key == JOINT or any(
        m.hazard == key for p in site.knowledge.parts.values() for m in p.meets
    )
    rules: list[list] = [[verdicts.index("unknown")]]
    for rule in site.knowledge.hazards[key].rules:
        verdict = "unknown" if rule.source == "memory" else rule.verdict
        mechanism = site.knowledge.words("mechanisms").get(rule.mechanism)
        row = [verdicts.index(verdict)]
        if mechanism and verdict in HARMS:
            row += [mechanism.name, met and rule.looks_like or "", int(mechanism.put_right)]
            row += [rule.how_fast] if key == JOINT and rule.how_fast else []
        rules.append(row)
    return [key, site.view.name("hazard", key), rules]


def _material(
    site: Site,
    key: str,
    hazards: list[str],
    exposures: Numbered,
    place: int,
    cautions: list[str],
) -> list:
    """[id, name, kind (0 metal, 1 coating, 2 neither), place in contact, density, fine metal,
    expansion, cautions, galling, colour, states as [id, name, magnetism, exposures, hardness in
    HV, change of stiffness with temperature]]. What stands in
    assets/identify-data.js, which the page loads too, is named by its place there."""
    knowledge, record = site.knowledge, site.knowledge.materials[key]
    kind = {"metal": 0, "coating": 1}.get(knowledge.material_class(record), 2)
    named = _of_material(site, key, record)
    colour = colour_of(knowledge, key)
    known = next((i for i, m in enumerate(site.signs["materials"]) if m["id"] == key), None)
    states = []
    for state in record.states or (None,):
        met = "".join(SIGNS[site.verdicts.judge.exposure(h, key, state).number] for h in hazards)
        states.append(
            [
                state or "",
                record.states[state].name if state and known is None else "",
                list(knowledge.words("magnetism")).index(magnetism_of(record, state)),
                exposures.of(met),
                _ends(site.values.of(key, "hardness", state, "HV"))[:2],
                *([found] if (found := _ends(site.values.of(key, STIFFNESS, state))) else []),
            ]
        )
    return [
        key if known is None else known,
        record.name if known is None else "",
        kind,
        place,
        _ends(site.values.of(key, "density")),
        _fine(knowledge, record),
        _ends(site.values.of(key, "expansion")) if kind == 0 else [],
        [cautions.index(c) for c in cautions if c in named],
        [
            i
            for i, g in enumerate(knowledge.words("galling").values())
            if applies(knowledge, g.when, key)
        ],
        site.colours.of_metal(colour).hex if colour else "",
        states,
    ]


def _ends(quantity: Quantity | None) -> list:
    """[low, high, digits] of a published figure, as texts; nothing where there is none, or only
    from memory."""
    if quantity is None or quantity.from_memory:
        return []
    ends = [None if e is None else f"{e:f}" for e in (quantity.low, quantity.high)]
    return [*ends, quantity.digits]


def _fine(knowledge: Knowledge, record: models.Material) -> list | int:
    """[metal, least and most parts in a thousand] of a precious alloy; 0 of others."""
    elements = knowledge.words("elements")
    stamped = {elements[m.metal].name: m.metal for m in knowledge.words("marks").values()}
    metal = stamped.get(record.family)
    if metal is None:
        return 0
    marks = [Decimal(d.code) for d in record.designations if d.system == "fineness"]
    if marks:
        return [metal, f"{max(marks):f}", f"{max(marks):f}"]
    share = share_range(record.composition, metal)
    return [metal, *(f"{10 * e:f}" for e in share)] if share else 0


def _contacts(site: Site, keys: Iterable[str]) -> tuple[dict[str, int], dict]:
    """The group of every metal in contact, and what happens between two groups.

    Metals in one group have the same place in the sea-water series and the same usual pairings.
    ``pairs[a][b - a]`` names an outcome: for each situation [open, gap, usual pairing or -1]; an
    attack is [who goes (0, 1 or -1), degree, if it is the smaller, if it is the larger].
    """
    contacts, groups = site.contacts, {}
    usual = site.knowledge.words("usual_contacts")
    for m in keys:
        if m in contacts.place_of:
            signs = tuple(m in side for u in usual for side in contacts.joined[u])
            groups.setdefault((contacts.place_of[m].key, signs), []).append(m)
    stand_for = [members[0] for members in groups.values()]
    of = {m: i for i, members in enumerate(groups.values()) for m in members}
    outcomes, pairs = Numbered(), []
    named = list(usual)
    for i, a in enumerate(stand_for):
        row = []
        for b in stand_for[i:]:
            row.append(
                outcomes.of(
                    tuple(
                        (_attack(j.open), _attack(j.gap), named.index(j.usual) if j.usual else -1)
                        for j in contacts.pair(a, b)
                    )
                )
            )
        pairs.append(row)
    coats = [i for i, m in enumerate(stand_for) if _is_coating(site, m)]
    pores = {
        i: [
            "".join(_pore(site, stand_for[i], base, s) for s in contacts.situations)
            for base in stand_for
        ]
        for i in coats
    }
    says = [u.say for u in usual.values()]
    return of, {"pairs": pairs, "outcomes": outcomes.things, "usual": says, "pores": pores}


def _is_coating(site: Site, material: str) -> bool:
    return site.knowledge.material_class(site.knowledge.materials[material]) == "coating"


def _attack(attack: Attack | None) -> tuple | int:
    if attack is None:
        return 0
    if attack.goes is None:
        return 1
    return (attack.goes, *(DEGREES.index(d) for d in attack[1:4]))


def _pore(site: Site, coating: str, base: str, situation: str) -> str:
    """How fast the base goes under a pore."""
    attack = site.contacts.at_pores(coating, base, situation)
    goes = attack is not None and attack.goes == SECOND
    return str(DEGREES.index(attack.degree if goes else NONE))


def _cautions(site: Site) -> list[str]:
    """The cautions that a watch can bring: of materials, and of what is done to its parts."""
    knowledge = site.knowledge
    used = {c for m, r in knowledge.materials.items() for c in _of_material(site, m, r)}
    used |= {c for p in knowledge.parts.values() for c in p.cautions}
    used |= {c for w in knowledge.watches.values() for c in w.cautions}
    return [c for c in knowledge.cautions if c in used]


def _of_material(site: Site, key: str, record: models.Material) -> set[str]:
    return cautions_of_material(site.knowledge, key) | set(record.cautions)


def _part(site: Site, key: str, place: dict[str, int], cautions: list[str]) -> list:
    """[id of the part, name, zone, hazards met as [hazard, severity, lot], usual coated pairs,
    usual materials, cautions] of a role: a part, or one of its settings."""
    knowledge, record, part = site.knowledge, site.knowledge.roles[key], key.partition("/")[0]
    hazards, severities = list(knowledge.hazards), list(knowledge.words("severities"))
    lot = {met.meeting.hazard for met in site.verdicts.ladder.lot(key)}
    return [
        part,
        sentence(knowledge.parts[part].name),
        list(knowledge.words("zones")).index(record.zone),
        [
            [hazards.index(m.hazard), severities.index(m.severity), int(m.hazard in lot)]
            for m in record.meets
        ],
        [[place[c.material], place[c.coated]] for c in record.usual if c.coated],
        list(dict.fromkeys(place[c.material] for c in record.usual)),
        # A caution of some materials holds where the part is made of one of them.
        [cautions.index(c) for c in record.cautions if not knowledge.cautions[c].applies],
    ]


def _stands(site: Site, role: str) -> Stands:
    """Where every state of every material stands for a role: the answers that occur, as [rung,
    reason, 1 where a whole coating keeps it off], and the place of each state's in them."""
    rungs, materials = list(site.knowledge.words("rungs")), site.knowledge.materials
    answers = Numbered()
    given = {
        (j.material, j.state): answers.of((rungs.index(j.rung), *_reason(site, j)))
        for j in site.verdicts.cells[role]
        if not j.coated
    }
    states = ((m, s) for m in site.rank for s in materials[m].states or (None,))
    return answers.things, [given.get(state, -1) for state in states]


def _column(stands: Stands, reasons: Numbered) -> list[str]:
    """A sign a state of every material."""
    answers, places = stands
    signs = [*(PALETTE[reasons.of(answer)] for answer in answers), FAR]  # -1 is the last
    return [signs[place] for place in places]


def _reason(site: Site, j: Judgement) -> tuple[str, int]:
    """The first reason, and 1 where it is a hazard that a whole coating keeps off."""
    worded = site.verdicts.worded
    first, second = next(iter(worded.halves(j)), ("", ""))
    if j.gates:
        kind = j.gates[0].kind
        asked = "asked is: " if kind == "demand" else ""
        return _text(asked + first + (second if kind == "stage" else "")), int(kind == "hazard")
    kept_off = bool(j.shortfalls) and j.shortfalls[0].kind == "hazard"
    said = _text(first if j.rung == PAPER or j.shortfalls or j.missing else "")
    return f"{said} {worded.ground_words(j)}".strip(), int(kept_off)


def _text(said: str) -> str:
    return said.replace(NBSP, " ").rstrip(":;. ")


def _watch(
    watch: models.Watch, place: dict[str, int], roles: list[str], cautions: list[str]
) -> dict:
    """Parts as [id, role, name, material, state, coating, outside, oiled, grams]; joins as [part,
    part, how, where, smaller (0, 1 or -1), what to look at]."""
    parts = [
        [
            p.key,
            roles.index(p.role),
            p.name or "",
            place.get(p.material, -1),
            p.state or "",
            place.get(p.coating, -1),
            int(p.outside),
            int(p.oiled),
            f"{p.grams:f}" if p.grams is not None else "",
        ]
        for p in watch.parts
    ]
    numbers = {p.key: i for i, p in enumerate(watch.parts)}
    joins = [
        [
            *(numbers[k] for k in j.between),
            j.how,
            j.where,
            j.between.index(j.smaller) if j.smaller in j.between else -1,
            j.look or "",
        ]
        for j in watch.joins
    ]
    return {
        "name": watch.name,
        "cautions": [cautions.index(c) for c in watch.cautions],
        "parts": parts,
        "joins": joins,
    }


def _program(site: Site, formula: str) -> list | None:
    record = site.knowledge.formulas.get(formula)
    return record and for_browser(compile_expression(record.expression, record.symbols))


def _field(site: Site) -> str:
    """The field that a magnetic-resistant watch must bear, in A/m; empty where it is not known."""
    hazard = site.knowledge.hazards.get(FIELD)
    found = [f.typical for f in hazard.figures if f.unit == "A/m" and f.typical] if hazard else []
    return f"{found[0]:f}" if found else ""
