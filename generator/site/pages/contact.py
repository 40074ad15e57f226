"""The table of metals in contact."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal

from generator.numbers import quantities
from generator.site.page import MATRICES, Page, Site, trail
from generator.site.pages.matrix import other_tables
from generator.verdicts.contact import LIMITS


def pairs_page(site: Site) -> Page:
    """Galvanic difference of every two families of metals in contact, and where the pair is
    allowed."""
    members: dict[Decimal, list[str]] = defaultdict(list)
    sources: dict[str, None] = {}
    for key, record in site.knowledge.materials.items():
        index = site.values.of(key, "anodic-index")
        if index and not index.from_memory:
            members[index.middle].append(record.family)
            sources.update(dict.fromkeys(index.sources))
    names = {
        i: ", ".join(dict.fromkeys(site.view.word("families", f) for f in fs))
        for i, fs in sorted(members.items())
    }
    numbered = {i: f"{name} ({quantities.number_text(i)})" for i, name in names.items()}
    rows = [(name, [_pair_cell(i, other) for other in names]) for i, name in numbered.items()]
    title = MATRICES["pairs"]
    summary = "How far apart two metals are, and where they may touch: in sweat and salt, in damp, or only in the dry."
    legend = [
        ("h", "harsh place allowed (up to 0.15 V)"),
        ("d", "damp place allowed (up to 0.25 V)"),
        ("dry", "dry place only (up to 0.50 V)"),
        ("−", "keep apart"),
    ]
    body = site.view.draw(
        "pairs",
        "tables/pairs.html",
        title=title,
        summary=summary,
        names=list(numbered.values()),
        rows=rows,
        legend=legend,
        sources=list(sources),
        trail=trail("table", [], title),
        siblings=other_tables(site, "pairs"),
    )
    return Page("tables/pairs.md", title, summary, body, listed=True, wide=True)


def _pair_cell(row: Decimal, column: Decimal) -> dict:
    if row == column:
        return {"text": "·", "css": "same"}
    difference = abs(row - column)
    allowed = [place for place, limit in LIMITS if difference <= limit]
    sign, css = (
        {
            "harsh": ("h", "suits"),
            "damp": ("d", "suits-with-care"),
            "dry": ("dry", "suits-with-care"),
        }[allowed[0]]
        if allowed
        else ("−", "unfit")
    )
    return {
        "text": f"{quantities.number_text(difference)} {sign} {'◂' if row > column else '▴'}",
        "css": css,
    }
