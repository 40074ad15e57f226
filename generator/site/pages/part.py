"""The page of a part."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from itertools import islice

from generator.numbers import quantities
from generator.numbers.arithmetic import divide
from generator.numbers.quantities import Quantity
from generator.records import models
from generator.site import print_layout, watch_map
from generator.site.page import KIND_TITLES, Page, Site, card_choices, record_page, trail
from generator.site.pages.rung_rows import UNFOLDED, by_rung, judged
from generator.site.pages.watch import in_watches
from generator.site.pictures import on_pages
from generator.site.texts import sentence
from generator.verdicts import wording
from generator.verdicts.candidates import near
from generator.verdicts.rungs import NO, OFFERED, OWN, PAPER, Judgement, Substitute

NAMED, OWN_NAMED = 3, 4  # materials of a rung in one line at the top of the page
SUBSTITUTES = 5  # rows of what may be used in place of a piece


def substitutes(site: Site, part: str) -> Iterator[tuple[str, str, list[dict]]]:
    """For each usual material of a part (once), what may be used in its place: what is lost, what
    is gained, and what the owner notices."""
    knowledge, seen = site.knowledge, set()
    for choice in knowledge.parts[part].usual:
        if choice.material in seen:
            continue
        seen.add(choice.material)
        state = site.verdicts.ladder.usages.states(choice)[0]
        found = islice(site.verdicts.substitutes(part, choice.material, state), SUBSTITUTES)
        rows = [
            {
                "material": s.judgement.material,
                "state": site.view.state_name(s.judgement.material, s.judgement.state)
                if s.judgement.state
                else "",
                "coated": s.judgement.coated,
                "ground": site.verdicts.worded.ground_words(s.judgement),
                "lost": [wording.lost_words(knowledge, x) for x in s.lost],
                "gained": [wording.gained_words(knowledge, x) for x in s.gained],
                "owner": _owner_notices(site, choice.material, s),
            }
            for s in found
        ]
        yield choice.material, site.view.state_name(choice.material, state) if state else "", rows


def _owner_notices(site: Site, material: str, s: Substitute) -> list[str]:
    """Weight, colour and magnet: what changes for the owner."""
    other = s.judgement.material
    old, new = site.knowledge.materials[material], site.knowledge.materials[other]
    found = []
    densities = [site.values.of(m, "density") for m in (other, material)]
    weight = divide(*densities) if all(densities) else None
    if weight and abs(weight.middle - 1) >= Decimal("0.03"):
        borrowed = any(d.evidence == quantities.BORROWED for d in densities)
        sign = f" {wording.SIGNS[quantities.BORROWED]}" if borrowed else ""
        found.append(f"{quantities.shown(weight)} times the weight{sign}")
    if old.colour and new.colour and old.colour != new.colour and not s.judgement.coated:
        found.append(site.view.word("colours", new.colour))
    if old.magnetism != new.magnetism:
        found.append(f"a magnet: {site.view.word('magnetism', new.magnetism)}")
    return found or ["no visible difference"]


def part_page(site: Site, key: str) -> Page:
    """A part: what it may be made of first, then what it needs, meets, and how it is remade."""
    view, record = site.view, site.knowledge.parts[key]
    rungs = by_rung(site, "material", site.verdicts.of_part(key))
    address = view.address("part", key)
    cautions = site.cautions(record)
    lines = _else_lines(site, rungs)
    lines += print_layout.part_lines(site.knowledge, key, (c for _, c in cautions))
    body = view.draw(
        "part",
        address,
        key=key,
        r=record,
        judged=judged(site, site.fields.of_part(key), site.fields.bases),
        card=card_choices(site, address, record, lines, [*record.usual, *record.wrong]),
        trail=trail(
            "part",
            [(view.name("zone", record.zone), view.address("zone", record.zone))],
            record.name,
        ),
        cautions=cautions,
        mentions=[m for m in site.mentioned("part", key) if m[0] != KIND_TITLES["watch"]],
        watches=in_watches(site, key),
        own=[(r["judgement"].choice, r) for r in rungs[OWN]],
        rungs=rungs,
        shown={rung: rungs[rung][:most] for rung, most in UNFOLDED.items()},
        further={rung: rungs[rung][most:] for rung, most in UNFOLDED.items()},
        lot=site.verdicts.ladder.lot(key),
        at_once=part_at_once(site, key, rungs),
        settings=[_setting(site, key, s, rungs) for s in record.settings],
        substitutes=[(m, s, rows) for m, s, rows in substitutes(site, key) if rows],
        siblings=[("part", k) for k in near(site.zones[record.zone], key)],
        pictures=on_pages.of_part(site, key),
        side=watch_map.SIDES[site.knowledge.words("zones")[record.zone].side],
    )
    return record_page(address, record, body)


def _setting(site: Site, key: str, setting: str, base: dict[str, list[dict]]) -> dict:
    """What a part may be made of in another watch. What is not offered for the part anyway
    (``base``) and stands on the same rung here is counted and not listed again; so is what stands
    there with its figures and hazards and here lacks nothing but a use."""
    role = f"{key}/{setting}"
    rungs = by_rung(site, "material", site.verdicts.of_part(role))
    above = {rung: {row["id"] for row in base[rung]} for rung in (NO, PAPER)}
    shown = {row["id"] for rung, rows in base.items() if rung not in above for row in rows}
    unused = [r for r in rungs[PAPER] if r["id"] in shown - above[PAPER]]
    rungs[PAPER] = [r for r in rungs[PAPER] if r not in unused]
    return {
        "id": setting,
        "r": site.knowledge.parts[key].settings[setting],
        "own": [(r["judgement"].choice, r) for r in rungs[OWN]],
        "named": [
            (r["judgement"].choice.material, _ground(site, r["judgement"])) for r in rungs[OWN]
        ],
        "rungs": {
            rung: [r for r in rows if r["id"] not in above.get(rung, ())]
            for rung, rows in rungs.items()
        },
        "as_above": {
            rung: count
            for rung, ids in above.items()
            if (count := sum(r["id"] in ids for r in rungs[rung]))
        },
        "unused": len(unused),
    }


def _else_lines(site: Site, rungs: dict[str, list[dict]]) -> list[tuple[str, str]]:
    """What the card says of other materials: the nearest on each rung, with what they lack."""
    lines = []
    for rung, most in UNFOLDED.items():
        said = [
            wording.state_name(site.knowledge, j.material, j.state)
            + (f" ({site.verdicts.worded.reasons(j)[0]})" if j.shortfalls else "")
            + _ground(site, j)
            for j in (row["judgement"] for row in rungs[rung][:most])
        ]
        if said:
            lines.append((sentence(site.view.word("rungs", rung)), "; ".join(said)))
    return lines


def _ground(site: Site, judgement: Judgement) -> str:
    words = site.verdicts.worded.ground_words(judgement)
    return f" {words}" if words else ""


def part_at_once(site: Site, key: str, rungs: dict[str, list[dict]]) -> dict:
    """What is asked of a part most often: of what, what else, how hard, and by which heat."""
    knowledge, record = site.knowledge, site.knowledge.parts[key]
    hardness = [
        f"{'at least' if d.at_least is not None else 'at most'} "
        f"{wording.with_unit(knowledge, _asked(site, d))}{'' if d.firm else ' preferred'}"
        for d in record.demands
        if d.property == "hardness"
    ]
    return {
        "rungs": list(_named(site, rungs)),
        "hardness": "; ".join(hardness),
        "heat": [
            s for s in record.remake if s.process and knowledge.processes[s.process].group == "heat"
        ],
    }


def _named(
    site: Site, rungs: dict[str, list[dict]]
) -> Iterator[tuple[str, list[tuple[str, str]], int]]:
    """Each rung that is offered, its first materials with their first shortfall, and how many more.
    A material is named once, on its best rung: the tables below tell its states apart."""
    named: set[str] = set()
    for rung in OFFERED:
        first: dict[str, str] = {}
        for row in rungs[rung]:
            short = row["judgement"].shortfalls
            said = "".join(wording.shortfall_reason(site.knowledge, short[0])) if short else ""
            if row["id"] not in named:
                first.setdefault(row["id"], (said, _ground(site, row["judgement"])))
        named |= first.keys()
        if first:
            most = OWN_NAMED if rung == OWN else NAMED
            yield rung, _said_once(list(first.items())[:most]), len(first) - most


def _said_once(found: list[tuple[str, tuple[str, str]]]) -> list[tuple[str, str]]:
    """What stands behind each name: its shortfall, but one that several in a row share only behind
    the last of them."""
    lines = []
    for place, (material, (short, ground)) in enumerate(found):
        before = place > 0 and found[place - 1][1][0] == short
        after = place + 1 < len(found) and found[place + 1][1][0] == short
        reason = f" ({'each: ' if before else ''}{short})" if short and not after else ""
        lines.append((material, reason + ground))
    return lines


def _asked(site: Site, demand: models.Demand) -> Quantity:
    number = demand.at_least if demand.at_least is not None else demand.at_most
    return Quantity(
        number,
        number,
        demand.unit or site.view.property_unit(demand.property),
        quantities.significant_digits(number),
    )
