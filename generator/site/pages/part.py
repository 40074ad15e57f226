"""The page of a part."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from generator.numbers import quantities
from generator.numbers.quantities import Quantity
from generator.records import models
from generator.site import print_layout, watch_map
from generator.site.page import Page, Site, card_choices, record_page, trail
from generator.site.pages.verdict_rows import SHOWN_AT_ONCE, coated_row, fit_row, judged, split
from generator.verdicts import wording
from generator.verdicts.candidates import near
from generator.verdicts.fit import CARE, SUITS, Replacement, replacements


def replacement_rows(site: Site, part: str) -> Iterator[tuple[str, str, list[dict]]]:
    """For each usual material of a part (once), what may stand in, with what is gained, lost, and
    what the owner notices."""
    knowledge, record, seen = site.knowledge, site.knowledge.parts[part], set()
    for choice in record.usual:
        if choice.material in seen:
            continue
        seen.add(choice.material)
        state = choice.state or next(iter(knowledge.materials[choice.material].states), None)
        rows = []
        for r in replacements(site.verdicts, part, choice.material, state, most=5):
            rows.append(
                {
                    "material": r.fit.material,
                    "state": site.view.state_name(r.fit.material, r.fit.state)
                    if r.fit.state
                    else "",
                    "verdict": r.fit.verdict,
                    "gained": [_difference_words(site, part, d) for d in r.gained],
                    "lost": [_difference_words(site, part, d) for d in r.lost],
                    "owner": _owner_notices(site, choice.material, r),
                }
            )
        yield choice.material, site.view.state_name(choice.material, state) if state else "", rows


def _difference_words(site: Site, part: str, difference: str) -> str:
    kind, _, key = difference.partition(":")
    if kind == "hazard":
        return site.knowledge.hazards[key].name.lower()
    return wording.demand_words(site.knowledge, site.knowledge.parts[part].demands[int(key)])


def _owner_notices(site: Site, material: str, r: Replacement) -> list[str]:
    """Weight, colour and magnet: what changes for the owner."""
    old, new = site.knowledge.materials[material], site.knowledge.materials[r.fit.material]
    found = []
    if r.weight and abs(r.weight.middle - 1) >= Decimal("0.03"):
        found.append(f"{quantities.shown(r.weight)} times the weight")
    if old.colour and new.colour and old.colour != new.colour:
        found.append(site.view.word("colours", new.colour))
    if old.magnetism != new.magnetism:
        found.append(f"a magnet: {site.view.word('magnetism', new.magnetism)}")
    return found or ["no difference to see"]


def part_page(site: Site, key: str) -> Page:
    """A part role: usual and wrong materials first, then what it asks, meets, and how it is
    remade."""
    view, record = site.view, site.knowledge.parts[key]
    fit, unfit = split([fit_row(site, "material", cells) for cells in site.verdicts.of_part(key)])
    at_once = part_at_once(site, key, fit, unfit)
    fit = [coated_row(site, f) for f in site.verdicts.coated[key]] + fit
    address = view.address("part", key)
    cautions = site.cautions(record)
    lines = print_layout.part_lines(site.knowledge, key, (c for _, c in cautions))
    body = view.draw(
        "part",
        address,
        r=record,
        judged=judged(site, site.fields.of_part(key), site.fields.bases),
        card=card_choices(site, address, record, lines, [*record.usual, *record.wrong]),
        trail=trail(
            "part",
            [(view.name("zone", record.zone), view.address("zone", record.zone))],
            record.name,
        ),
        cautions=cautions,
        mentions=site.mentioned("part", key),
        fit=fit,
        unfit=unfit,
        at_once=at_once,
        replacements=[(m, s, rows) for m, s, rows in replacement_rows(site, key) if rows],
        siblings=[("part", k) for k in near(site.zones[record.zone], key)],
        drawing=site.marks[record.zone],
        side=watch_map.SIDES[site.knowledge.words("zones")[record.zone].side],
    )
    return record_page(address, record, body)


def part_at_once(site: Site, key: str, fit: list[dict], unfit: list[dict]) -> dict:
    """What is asked of a part most often: how hard, by which heat, and which relatives of its
    usual material may take its place."""
    knowledge, record = site.knowledge, site.knowledge.parts[key]
    hardness = [
        f"{'at least' if d.at_least is not None else 'at most'} "
        f"{wording.with_unit(knowledge, _asked(site, d))}{'' if d.firm else ' wished'}"
        for d in record.demands
        if d.property == "hardness"
    ]
    family = knowledge.materials[record.usual[0].material].family
    relatives = []
    for words, rows in (
        ("suit", [r for r in fit if r["verdict"] == SUITS]),
        ("suit with care", [r for r in fit if r["verdict"] == CARE]),
        ("do not", unfit),
    ):
        ids = list(
            dict.fromkeys(r["id"] for r in rows if knowledge.materials[r["id"]].family == family)
        )
        if ids:
            relatives.append((words, ids[:SHOWN_AT_ONCE], len(ids) - SHOWN_AT_ONCE))
    return {
        "hardness": "; ".join(hardness),
        "family": family,
        "relatives": relatives,
        "heat": [
            s for s in record.remake if s.process and knowledge.processes[s.process].group == "heat"
        ],
    }


def _asked(site: Site, demand: models.Demand) -> Quantity:
    number = demand.at_least if demand.at_least is not None else demand.at_most
    return Quantity(
        number,
        number,
        demand.unit or site.view.property_unit(demand.property),
        quantities.significant_digits(number),
    )
