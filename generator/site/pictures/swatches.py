"""Swatches: polished metal, tarnished metal, and what shows when a plating has worn through.

Each carries its name and coordinates, because the eye alone is not enough.
"""

from __future__ import annotations

import json

from markupsafe import Markup, escape

from generator.numbers.colour import Colours, Seen
from generator.numbers.quantities import MEMORY
from generator.records.knowledge import Knowledge
from generator.site.pictures.drawing import plain
from generator.verdicts.conditions import applies
from generator.verdicts.wording import SIGNS


def colour_of(knowledge: Knowledge, material: str) -> str | None:
    """The entry of the list of metal colours that speaks of a material; None where none does."""
    for key, entry in knowledge.words("metal_colours").items():
        if applies(knowledge, entry.when, material):
            return key
    return None


def swatch(colour: Seen, name: str, below: str = "", source: str = "") -> Markup:
    """One swatch with its name, with sign and word where its source is memory, and below it what
    is given or its coordinates."""
    sign = f' <small class="evidence">{SIGNS[MEMORY]}</small>' if source == MEMORY else ""
    below = below or "L*a*b* " + ", ".join(plain(round(v)) for v in colour.lab)
    return Markup(
        '<li><svg viewBox="0 0 64 26" aria-hidden="true"><rect class="pic__swatch" x=".5" y=".5"'
        ' width="63" height="25" rx="3"'
        f' fill="{colour.hex}"/></svg>{escape(name)}{sign}<br><small>{escape(below)}</small></li>'
    )


def row(swatches: list[Markup]) -> Markup:
    """Swatches in a row."""
    return Markup(f'<ul class="swatches">{Markup("").join(swatches)}</ul>')


def of_material(colours: Colours, material: str) -> tuple[str, Markup] | None:
    """(entry, its swatches): clean, tarnished, worn through; None where no colour was found."""
    knowledge = colours.knowledge
    key = colour_of(knowledge, material)
    if key is None:
        return None
    entries = knowledge.words("metal_colours")
    entry = entries[key]
    coating = knowledge.material_class(knowledge.materials[material]) == "coating"
    found = [swatch(colours.of_metal(key), f"{entry.name}, polished", source=entry.source)]
    if entry.tarnish:
        film = knowledge.words("films")[entry.tarnish]
        found += [
            swatch(
                colours.of_film(entry.tarnish, float(nm)),
                f"tarnished: {plain(float(nm))} nm of"
                f" {film.name.split(' on ')[0].removesuffix(' film')}",
                source=film.source,
            )
            for nm in entry.tarnish_steps
        ]
    found += [
        swatch(
            colours.of_metal(under),
            f"worn through to {entries[under].name}",
            source=entries[under].source,
        )
        for under in (entry.worn if coating else ())
    ]
    return key, row(found)


def script(colours: Colours) -> str:
    """The colour of each polished metal for the pages that put metals side by side, as a classic
    script."""
    found = {
        material: colours.of_metal(key).hex
        for material in colours.knowledge.materials
        if (key := colour_of(colours.knowledge, material))
    }
    return f"window.benchSwatches={json.dumps(found, separators=(',', ':'))};\n"
