"""The page of a hallmark or stamp."""

from __future__ import annotations

from generator.numbers import quantities
from generator.records import models
from generator.site.page import Page, Site, mark_title


def mark_page(site: Site, key: str) -> Page:
    """A fineness mark: what it means by arithmetic, and which materials carry it."""
    view, mark = site.view, site.knowledge.words("marks")[key]
    metal = site.knowledge.words("elements")[mark.metal].name
    fineness = quantities.number_text(mark.fineness)
    title = mark_title(site.knowledge, key)
    summary = f"At least {fineness} parts in a thousand are {metal}."
    rows = [("mark", fineness), (metal, f"{quantities.number_text(mark.fineness / 10)} % by mass")]
    rows += _carats(mark) if mark.metal == "Au" else []
    carrying = [
        m
        for m, r in site.knowledge.materials.items()
        if any(d.system == "fineness" and d.code == str(mark.fineness) for d in r.designations)
        and r.family == metal
    ]
    address = f"marks/{key}.html"
    body = view.draw(
        "mark",
        address,
        mark=mark,
        title=title,
        summary=summary,
        key=rows,
        materials=carrying,
        trail=[
            ("Start", "index.html"),
            ("Tables", "tables/index.html"),
            ("Carat, fineness and marks", "tables/fineness.html"),
            (title, ""),
        ],
    )
    return Page(f"marks/{key}.md", title, summary, body)


def _carats(mark: models.Mark) -> list[tuple[str, str]]:
    """What the two ways of stamping gold come to, each worked out from the other: of 24 parts, and
    of a thousand."""
    number, rounded = quantities.number_text, quantities.round_to
    rows = [("by arithmetic", f"{number(rounded(mark.fineness * 24 / 1000, 4))} ct")]
    if mark.carat is not None:
        thousandths = number(rounded(mark.carat / 24 * 1000, 4))
        rows.append((f"{number(mark.carat)} of 24 is", f"{thousandths} in a thousand"))
    return rows
