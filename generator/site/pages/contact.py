"""The page of metals in contact: which one corrodes, in the open and in a wet gap, and where the
two may touch.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from generator.site.page import MATRICES, Page, Site, trail
from generator.site.pages.matrix import other_tables
from generator.site.pictures import ladders
from generator.verdicts.contact import DEGREES, FAST, FIRST, NONE, SLOW, Attack, Contacts, Joint

PAIRS = "tables/pairs.html"
HAZARD = "galvanic-contact"  # the hazard whose page sends readers here
SIGNS = {NONE: "+", SLOW: "(−)", FAST: "−"}
CSS = {NONE: "holds", SLOW: "holds-with-care", FAST: "fails"}
USUAL = "u"


def pairs_page(site: Site) -> Page:
    """Every two groups of metals in contact: an overview for sweat, then each group with its
    partners."""
    contacts, title = site.contacts, MATRICES["pairs"]
    stand_for = {key: materials[0] for key, materials in contacts.members.items()}
    joints = {
        (a, b): contacts.pair(stand_for[a], stand_for[b])
        for a in stand_for
        for b in stand_for
        if a != b
    }
    summary = (
        "Which of two metals corrodes when they are wet together, how fast, and where they may"
        " touch: in sweat, in a damp case, dry."
    )
    body = site.view.draw(
        "pairs",
        PAIRS,
        title=title,
        ladder=ladders.series(contacts.series),
        summary=summary,
        groups=[_group(site, key, joints) for key in contacts.members],
        rows=[
            (key, [_sign(joints.get((key, other)), contacts.hardest) for other in contacts.members])
            for key in contacts.members
        ],
        names={key: place.record.name for key, place in contacts.series.items()},
        legend=[(SIGNS[d], site.view.word("contact_degrees", d)) for d in DEGREES],
        degrees=site.knowledge.words("contact_degrees"),
        situations=site.knowledge.words("contact_situations"),
        usual=site.knowledge.words("usual_contacts"),
        pores=list(_pores(contacts)),
        without=[
            m
            for m, record in site.knowledge.materials.items()
            if site.knowledge.material_class(record) in ("metal", "coating")
            and m not in contacts.place_of
        ],
        css=CSS,
        hazard=HAZARD if HAZARD in site.knowledge.hazards else None,
        trail=trail("table", [], title),
        siblings=other_tables(site, "pairs"),
    )
    return Page("tables/pairs.md", title, summary, body, wide=True)


@dataclass(frozen=True)
class Partners:
    """Groups of metals beside which a group fares alike: which one corrodes, and (degree, usual
    pairing) in each situation.
    """

    partners: list[str]
    open: str
    gap: str
    cells: tuple
    usual: list[str]


@dataclass(frozen=True)
class MetalGroup:
    """A group of metals with its places in sea water and its partners."""

    key: str
    place: object
    materials: list[str]
    rows: list[Partners]
    sources: list[str]
    notes: list[str]


def _group(site: Site, key: str, joints: dict[tuple[str, str], list[Joint]]) -> MetalGroup:
    """One group of metals: its places, and its partners, those with the same answer in one row."""
    place = site.contacts.series[key]
    answers: dict[tuple, list[str]] = defaultdict(list)
    for (a, b), found in joints.items():
        if a == key:
            salty = found[site.contacts.hardest]
            answers[
                _who(salty.open),
                _who(salty.gap),
                tuple((j.worst, j.usual) for j in found),
            ].append(b)
    rows = [
        Partners(
            partners=partners,
            open=in_the_open,
            gap=in_a_gap,
            cells=cells,
            usual=list(dict.fromkeys(u for _, u in cells if u)),
        )
        for (in_the_open, in_a_gap, cells), partners in answers.items()
    ]
    rows.sort(key=lambda r: [DEGREES.index(degree) for degree, _ in r.cells])
    steps = (*place.record.whole, *place.record.broken)
    return MetalGroup(
        key=key,
        place=place,
        materials=site.contacts.members[key],
        rows=rows,
        sources=list(dict.fromkeys(step.source for step in steps)),
        notes=[step.note for step in steps if step.note],
    )


def _who(attack: Attack | None) -> str:
    """`this`, `other`, `neither`, or nothing where no film breaks."""
    if attack is None:
        return ""
    if attack.goes is None:
        return "neither"
    return "this" if attack.goes == FIRST else "other"


def _sign(joints: list[Joint] | None, hardest: int) -> dict:
    """The cell of the overview: how bad in sweat, and which one corrodes in the open."""
    if joints is None:
        return {"text": "·", "css": "same"}
    salty = joints[hardest]
    who = {"this": " ◂", "other": " ▴"}.get(_who(salty.open), "")
    sign = USUAL if salty.usual and salty.worst != NONE else SIGNS[salty.worst]
    return {"text": sign + who, "css": "holds" if salty.may_touch else CSS[salty.worst]}


def _pores(contacts: Contacts) -> list[tuple[str, list[tuple[str, list[str]]]]]:
    """For each coating the bases under its pores in sweat, by how fast the base corrodes, worst
    first.
    """
    salt = list(contacts.situations)[contacts.hardest]
    found = []
    for coating, materials in contacts.members.items():
        record = contacts.knowledge.materials[materials[-1]]
        if contacts.knowledge.material_class(record) != "coating":
            continue
        bases: dict[str, list[str]] = {d: [] for d in reversed(DEGREES)}
        for base, of_base in contacts.members.items():
            record = contacts.knowledge.materials[of_base[0]]
            if contacts.knowledge.material_class(record) == "metal" and base != coating:
                attack = contacts.at_pores(materials[-1], of_base[0], salt)
                bases[NONE if attack.goes == FIRST else attack.degree].append(base)
        found.append((coating, [(d, keys) for d, keys in bases.items() if keys]))
    return found
