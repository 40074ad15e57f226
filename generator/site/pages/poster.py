"""The poster: the watch and what its parts are made of, for the wall; once for a sheet of A3, once
as four of A4."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from markupsafe import Markup

from generator.site import watch_map
from generator.site.page import Page, Site, trail
from generator.site.pictures.swatches import colour_of

POSTER = "The watch and its metals"
SHEETS = 4
NAMED = 3  # materials that stand beside a part
TITLE = 0.6  # what the title of a zone takes of a sheet, in parts


def poster_pages(site: Site) -> Iterator[Page]:
    """The poster on one large sheet, and on four that an office printer takes."""
    zones = [(zone, [_part(site, key) for key in keys]) for zone, keys in site.zones.items()]
    weights = [len(parts) + TITLE for _, parts in zones]
    for name, sheets in (
        ("poster", [zones]),
        ("poster-a4", [[zones[i] for i in sheet] for sheet in shared(weights, SHEETS)]),
    ):
        yield _page(site, name, [s for s in sheets if s])


def _page(site: Site, name: str, sheets: list) -> Page:
    summary = (
        "Every part with what the trade makes it from. Print it on one A3 sheet, or on four of A4."
    )
    address = f"{name}.html"
    watches = [
        Markup(
            site.view.draw(
                "watch",
                address,
                side=side,
                box=f"{watch_map.COLUMN + 8} 0 "
                f"{watch_map.WIDTH - 2 * watch_map.COLUMN - 16} {height}",
                labels={},
                spoken=f"Section of a watch, {watch_map.SIDES[side].lower()}.",
            )
        )
        for side, height in watch_map.HEIGHTS.items()
    ]
    body = site.view.draw(
        "poster",
        address,
        title=POSTER,
        summary=summary,
        trail=trail("part", [], POSTER),
        sheets=sheets,
        watches=watches if len(sheets) == 1 else [],
        one=len(sheets) == 1,
    )
    title = POSTER if name == "poster" else f"{POSTER}, four sheets"
    return Page(f"{name}.md", title, summary, body, wide=True)


def _part(site: Site, key: str) -> dict:
    """A part: its drawing, and the materials that the trade uses, each with its colour where one
    is known."""
    materials = list(dict.fromkeys(c.material for c in site.knowledge.parts[key].usual))
    shown = []
    for material in materials[:NAMED]:
        colour = colour_of(site.knowledge, material)
        shown.append(
            (
                site.view.name("material", material),
                site.colours.of_metal(colour).hex if colour else "",
            )
        )
    return {
        "id": key,
        "drawn": key in site.knowledge.words("part_drawings"),
        "materials": shown,
        "more": len(materials) - len(shown),
    }


def shared(weights: Sequence[float], sheets: int) -> list[list[int]]:
    """Things in order shared among so many sheets, so that the fullest is as empty as can be."""
    best: tuple[float, list[list[int]]] = (float("inf"), [])

    def split(start: int, left: int) -> Iterator[list[list[int]]]:
        if left == 1:
            yield [list(range(start, len(weights)))]
            return
        for end in range(start, len(weights) + 1):
            for rest in split(end, left - 1):
                yield [list(range(start, end)), *rest]

    for found in split(0, sheets):
        fullest = max(sum(weights[i] for i in sheet) for sheet in found)
        if fullest < best[0]:
            best = fullest, found
    return best[1]
