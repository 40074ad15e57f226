"""The watch sheet: one watch in hand, its metals, and every answer about them at once."""

from __future__ import annotations

from generator.site import leaflet, watch_map
from generator.site.page import Page, Site

TITLE = "The watch in hand"


def watch_sheet_page(site: Site) -> Page:
    """The page that the scripts work on; without scripts it leads to the pages of the kinds."""
    knowledge, address = site.knowledge, "watch-sheet.html"
    summary = (
        "Choose its kind and set the metals that you know; what attacks what, what is wrong and"
        " what to test appears below at once."
    )
    body = site.view.draw(
        "watch_sheet",
        address,
        title=TITLE,
        summary=summary,
        kinds=[(k, w.name) for k, w in knowledge.watches.items()],
        activities=[(k, a.name) for k, a in knowledge.words("activities").items()],
        water=list(leaflet.WATER.items()),
        limits=leaflet.limits(knowledge),
        tongues=leaflet.languages(knowledge),
        says=leaflet.phrases(knowledge),
        drawings=[
            (name, watch_map.linked(knowledge, site.view, side, list(site.zones), address))
            for side, name in watch_map.SIDES.items()
        ],
        trail=[("Start", "index.html"), (TITLE, "")],
    )
    return Page("watch-sheet.md", TITLE, summary, body, wide=True)
