"""Drawings of parts and of kinds of damage, for pages, lists and find hits: the shapes of
``shapes.py`` in a frame with a spoken text, and as files of their own.
"""

from __future__ import annotations

from markupsafe import Markup, escape

from generator.records.knowledge import Knowledge
from generator.site.pictures import shapes
from generator.site.texts import sentence

# What a file of its own needs, for it does not see the style of the page: black on white.
ALONE = (
    "<style>path,circle,rect{stroke:#1c2224;stroke-width:2.4;stroke-linejoin:round;fill:none}"
    ".pic__body,.pic__fill,.pic__hole{fill:#fff}.pic__soft{fill:#ddd8c8}.pic__fill{stroke:none}"
    ".pic__solid{fill:#1c2224}.pic__rubber{fill:#8a8c86}.pic__thick{stroke-width:4}"
    ".pic__edge,.pic__dash{stroke-width:1.8}.pic__dash{stroke-dasharray:4 3}"
    ".pic__slit{stroke:#fff;stroke-width:7}.pic__strokes{stroke-width:3.5}</style>"
)


def part(knowledge: Knowledge, key: str, css: str = "drawn") -> Markup:
    """The drawing of a part; empty where none is kept."""
    entry = knowledge.words("part_drawings").get(key)
    if entry is None:
        return Markup("")
    said = f"Drawing of {knowledge.parts[key].name.lower()}: {entry.said}."
    return Markup(
        f'<svg class="{css}" viewBox="0 0 {shapes.SIDE} {shapes.SIDE}" role="img" '
        f'aria-label="{escape(said)}">{shapes.drawn(entry)}</svg>'
    )


def files(knowledge: Knowledge) -> dict[str, str]:
    """Address below the drawings -> text of an image: each part, and each hazard by the first of
    its kinds of damage; for the hits of the find box and the doors of the start page."""
    found = {f"parts/{key}": entry for key, entry in knowledge.words("part_drawings").items()}
    for entry in reversed(knowledge.words("damage_drawings").values()):
        found |= {f"hazards/{hazard}": entry for hazard in entry.hazards}
    return {
        address: f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {shapes.SIDE} '
        f'{shapes.SIDE}">{ALONE}{shapes.drawn(entry)}</svg>\n'
        for address, entry in sorted(found.items())
    }


def damage(knowledge: Knowledge, hazard: str) -> list[Markup]:
    """The kinds of damage that a hazard does, each drawn and named."""
    return [
        Markup(
            f'<figure class="damage"><svg class="drawn" viewBox="0 0 {shapes.SIDE} {shapes.SIDE}" '
            f'role="img" aria-label="{escape(sentence(entry.name))}: {escape(entry.said)}.">'
            f"{shapes.drawn(entry)}</svg><figcaption>{escape(sentence(entry.name))}: "
            f"{escape(entry.said)}.</figcaption></figure>"
        )
        for entry in knowledge.words("damage_drawings").values()
        if hazard in entry.hazards
    ]
