"""The page of a hazard: who is attacked and who is spared."""

from __future__ import annotations

from collections import defaultdict

from generator.site.page import Page, Site, record_page, trail
from generator.site.pages.contact import HAZARD
from generator.site.pages.rung_rows import judged
from generator.site.pictures import drawings
from generator.verdicts.candidates import near


def exposed(site: Site, hazard: str) -> list[tuple[str, list[dict]]]:
    """What a hazard does: materials grouped by verdict and by the rule that decided, worst
    first."""
    groups: dict[tuple, list[str]] = defaultdict(list)
    for key in sorted(site.fields.of_hazard(hazard), key=site.rank.get):
        exposures = (
            site.verdicts.judge.exposure(hazard, key, s)
            for s in site.knowledge.materials[key].states or (None,)
        )
        for verdict_and_rule in sorted(
            {(e.verdict, e.number) for e in exposures}, key=lambda pair: pair[1]
        ):
            groups[verdict_and_rule].append(key)
    rules = site.knowledge.hazards[hazard].rules
    result = []
    for verdict in ("fails", "suffers", "unknown", "holds-with-care", "holds"):
        rows = []
        for (v, number), keys in sorted(groups.items(), key=lambda g: g[0][1]):
            if v == verdict:
                rule = rules[number - 1] if number else None
                rows.append(
                    {
                        "materials": keys,
                        "rule": number,
                        "why": rule.why if rule else "No rule decides.",
                        "mechanism": site.view.word("mechanisms", rule.mechanism)
                        if rule and rule.mechanism
                        else "",
                    }
                )
        if rows:
            result.append((verdict, rows))
    return result


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
