"""The page of pictures: ladders of all metals, colours of heat and volt, coatings beside a hair,
the gasket in its groove, rate against warmth."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from generator.numbers.quantities import Quantity
from generator.site.page import GALLERY, Page, Site, trail
from generator.site.pictures import ladders, on_pages, sections, swatches, tints

ADDRESS = "pictures.html"
LADDERS = (
    ("density", "weight", "How heavy"),
    ("tensile-strength", "strength", "How strong"),
    ("elastic-modulus", "stiffness", "How stiff"),
)


def gallery_page(site: Site) -> Page:
    """Every picture that speaks of more than one page."""
    summary = "The metals drawn to scale: weight, strength, stiffness, growth, colour."
    body = site.view.draw(
        "gallery",
        ADDRESS,
        title=GALLERY,
        summary=summary,
        trail=trail("table", [], GALLERY),
        pictures=[p for p in _pictures(site) if p[2]],
    )
    return Page("pictures.md", GALLERY, summary, body, wide=True)


def _pictures(site: Site) -> Iterator[tuple[str, str, Markup, list[str]]]:
    """(anchor, heading, picture, sources that stand below it)."""
    knowledge, view = site.knowledge, site.view
    for prop, anchor, title in LADDERS:
        rows = on_pages.by_family(site, prop)
        if rows:
            unit = view.unit(view.property_unit(prop))
            yield anchor, title, ladders.ladder(f"{title}: families of metals", unit, rows), []
    rows = on_pages.by_family(site, "expansion")
    if rows:
        yield "growth", "How much they grow when warmed by 30 °C", ladders.lengths(rows), []
    if site.contacts.series:
        sources = list(
            dict.fromkeys(w.source for p in site.contacts.series.values() for w in p.record.whole)
        )
        yield "sea-water", "In sea water", ladders.series(site.contacts.series), sources
    yield "colours", "Polished metal in daylight", *_all_colours(site)
    sources = list(dict.fromkeys(t.source for t in knowledge.words("tints").values()))
    film = knowledge.words("films")[tints.STEEL].source
    yield "heat", "Heat colours of plain carbon steel", tints.steel(site.colours), [*sources, film]
    named = [c.source for c in knowledge.words("anodic_colours").values()]
    film = knowledge.words("films")[tints.TITANIUM].source
    constants = knowledge.words("optical_constants")["titanium"].source
    yield (
        "anodised-titanium",
        "Anodised titanium by voltage",
        tints.titanium(site.colours),
        list(dict.fromkeys([*named, film, constants])),
    )
    rows = _thicknesses(site)
    if rows:
        yield "coatings", "Coatings next to a hair", sections.coatings(rows), []
    yield "gasket", "A gasket in its groove", on_pages.gasket(site), []
    pairs = knowledge.words("rate_pairs").values()
    yield "rate", "Rate against temperature", on_pages.rates(site), [p.source for p in pairs]


def _all_colours(site: Site) -> tuple[Markup, list[str]]:
    entries = site.knowledge.words("metal_colours")
    shown = [
        swatches.swatch(site.colours.of_metal(k), e.name, source=e.source)
        for k, e in entries.items()
    ]
    return swatches.row(shown), list(dict.fromkeys(e.source for e in entries.values()))


def _thicknesses(site: Site) -> list[tuple[str, Quantity]]:
    rows = [
        (site.view.name("material", k), q)
        for k, m in site.knowledge.materials.items()
        if site.knowledge.material_class(m) == "coating"
        and (q := site.values.of(k, "thickness")) is not None
    ]
    return sorted(rows, key=lambda r: r[1].high if r[1].high is not None else r[1].low)
