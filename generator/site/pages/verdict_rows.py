"""Rows of verdicts as part and material pages show them."""

from __future__ import annotations

from generator.site.page import Site
from generator.verdicts.fit import CARE, SUITS, Cell, Exposure, Fit

SHOWN_AT_ONCE = 6  # names in one line at the top of a page; the tables below hold all


def fit_row(site: Site, kind: str, cells: list[Cell]) -> dict:
    """The best verdict of one material for one part, the states it holds in, and the working."""
    best = cells[0]
    states = [
        site.view.state_name(c.material, c.state)
        for c in cells
        if c.verdict == best.verdict and c.state
    ]
    return verdict_row(site, kind, site.verdicts.fit(best), ", ".join(states) or "any")


def verdict_row(site: Site, kind: str, fit: Fit, states: str) -> dict:
    reasons = site.reasons(fit)
    return {
        "kind": kind,
        "id": fit.part if kind == "part" else fit.material,
        "verdict": fit.verdict,
        "states": states,
        "reason": reasons[0] if reasons else "",
        "reasons": "; ".join(reasons),
        "fit": fit,
    }


def judged(site: Site, field, every) -> str:
    """What a page says when not all materials were judged; nothing when they were."""
    if len(field) == len(every):
        return ""
    return f"{len(field)} of {len(every)} materials are judged here, first those that this page names and their families."


def coated_row(site: Site, fit: Fit) -> dict:
    """A usual coated choice, with what is left on the day the coating is worn through."""
    state = f"{site.view.state_name(fit.material, fit.state)}, " if fit.state else ""
    return verdict_row(
        site, "material", fit, f"{state}coated: {site.knowledge.materials[fit.coated].name}"
    )


def mechanism(site: Site, exposure: Exposure) -> str:
    return (
        site.view.word("mechanisms", exposure.rule.mechanism)
        if exposure.rule and exposure.rule.mechanism
        else ""
    )


def split(rows: list[dict]) -> tuple[list[dict], list[dict]]:
    good = [r for r in rows if r["verdict"] in (SUITS, CARE)]
    return good, [r for r in rows if r["verdict"] not in (SUITS, CARE)]
