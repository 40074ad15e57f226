"""Rows of judgements as part and material pages show them, sorted by rung."""

from __future__ import annotations

from functools import partial

from generator.site.page import Site
from generator.verdicts.rungs import BESIDE, PINCH, Judgement

SHOWN_AT_ONCE = 6  # names in one line at the top of a page; the tables below hold all
UNFOLDED = {BESIDE: 6, PINCH: 4}  # rows of a part; those further from its usual choices fold


def by_rung(site: Site, kind: str, rows: list[list[Judgement]]) -> dict[str, list[dict]]:
    """The rows of a part or a material, by the rung on which they stand."""
    found = {rung: [] for rung in site.knowledge.words("rungs")}
    for cells in rows:
        found[cells[0].rung].append(_row(site, kind, cells))
    return found


def _row(site: Site, kind: str, cells: list[Judgement]) -> dict:
    first = cells[0]
    states = [site.view.state_name(c.material, c.state) for c in cells if c.state]
    if first.coated:
        covered = f"coated: {site.knowledge.materials[first.coated].name}"
        states = [f"{s}, {covered}" for s in states] or [covered]
    return {
        "kind": kind,
        "id": first.part if kind == "part" else first.material,
        "states": states,
        "judgement": first,
        "findings": partial(site.verdicts.findings, first),
    }


def judged(site: Site, field, every) -> str:
    """What a page says when not all materials were judged; nothing when they were."""
    if len(field) == len(every):
        return ""
    return f"{len(field)} of {len(every)} materials are judged here, first those that this page names and their families."
