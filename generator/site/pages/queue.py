"""The page that shows the workshop lead where an hour of work helps most."""

from __future__ import annotations

from generator.checks.queue import TITLES, Look, queue
from generator.site.page import QUEUE, Page, Site

MOST = 40  # of each kind


def queue_page(site: Site) -> Page:
    """What to look at next, each kind with what weighs most first."""
    found = queue(site.settling, site.knowledge.newest_review())
    groups = [
        {
            "id": kind,
            "title": TITLES[kind],
            "looks": [_row(site, x) for x in looks[:MOST]],
            "more": len(looks[MOST:]),
        }
        for kind, looks in found.items()
    ]
    summary = (
        "Where an hour of work helps most: gaps, weak figures, sources that disagree, reviews due."
    )
    body = site.view.draw(
        "queue",
        "queue.html",
        title=QUEUE,
        summary=summary,
        groups=groups,
        trail=[("Start", "index.html"), (QUEUE, "")],
    )
    return Page("queue.md", QUEUE, summary, body)


def _row(site: Site, look: Look) -> dict:
    kind, key = look.record
    view = site.view
    if kind == "leaflet":  # an entry of a list that has no page of its own
        page = "leaflet.html"
    else:
        page = view.source_address(key) if kind == "source" else view.address(kind, key)
    return {"what": look.what, "cure": look.cure, "weight": look.weight, "page": page}
