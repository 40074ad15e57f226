"""The page of a hazard: what it attacks and what it leaves alone."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from generator.site.page import Page, Site, record_page, trail
from generator.site.pages.contact import HAZARD
from generator.site.pages.rung_rows import judged
from generator.site.pictures import drawings
from generator.verdicts.candidates import near
from generator.verdicts.findings import EXPOSURE_ORDER


@dataclass(frozen=True)
class Exposed:
    """The materials to which one rule of a hazard gives one verdict."""

    materials: list[str]
    rule: int  # 0: none decides
    why: str
    mechanism: str


def exposed(site: Site, hazard: str) -> list[tuple[str, list[Exposed]]]:
    """What a hazard does: materials grouped by verdict and by the rule that decided, worst
    first."""
    groups: dict[tuple[str, int], list[str]] = defaultdict(list)
    for key in sorted(site.fields.of_hazard(hazard), key=site.rank.get):
        states = site.knowledge.materials[key].states or (None,)
        found = (site.verdicts.judge.exposure(hazard, key, s) for s in states)
        for verdict, number in sorted({(e.verdict, e.number) for e in found}, key=lambda e: e[1]):
            groups[verdict, number].append(key)
    return [
        (verdict, [_exposed(site, hazard, n, groups[v, n]) for v, n in of_it])
        for verdict in reversed(EXPOSURE_ORDER)
        if (of_it := sorted((g for g in groups if g[0] == verdict), key=lambda g: g[1]))
    ]


def _exposed(site: Site, hazard: str, number: int, materials: list[str]) -> Exposed:
    if not number:
        return Exposed(materials, number, "No rule decides.", "")
    rule = site.knowledge.hazards[hazard].rules[number - 1]
    mechanism = site.view.word("mechanisms", rule.mechanism) if rule.mechanism else ""
    return Exposed(materials, number, rule.why, mechanism)


def hazard_page(site: Site, key: str) -> Page:
    """A hazard: what to tell the owner and do at the bench first, then what it does to each
    material."""
    view, record = site.view, site.knowledge.hazards[key]
    address = view.address("hazard", key)
    body = view.draw(
        "hazard",
        address,
        r=record,
        judged=judged(site, site.fields.of_hazard(key), site.fields.materials),
        trail=trail("hazard", [], record.name),
        cautions=site.cautions(record),
        mentions=site.mentioned("hazard", key),
        exposure=exposed(site, key),
        contact=key == HAZARD,
        damages=drawings.damage(site.knowledge, key),
        siblings=[("hazard", k) for k in near(list(site.knowledge.hazards), key)],
    )
    return record_page(address, record, body)
