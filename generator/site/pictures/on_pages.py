"""Chooses the pictures for a page; returns ready HTML, empty where there is nothing to draw."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup

from generator.numbers.quantities import Quantity
from generator.records import models
from generator.site.pictures import drawings, hardness, ladders, sections, swatches, tints

if TYPE_CHECKING:
    from generator.site.page import Site

STRIPS = ("density", "elastic-modulus", "tensile-strength", "expansion")
PLAIN_STEEL = "carbon-steel"  # the family whose heat colours the charts give
TITANIUM = "titanium"
HEAT, PLATING = "heat", "plating"  # groups of work
GASKET = ("gasket-squeeze", "gasket-fill")  # whose example sizes are drawn
RATE = "thermal-rate-error"


def metals(site: Site) -> list[str]:
    """Every material that is a metal."""
    knowledge = site.knowledge
    return [k for k, m in knowledge.materials.items() if knowledge.material_class(m) == "metal"]


def of_material(site: Site, key: str) -> dict[str, object]:
    """Colour, hardness of the states, tempering curves, and where it stands among the metals."""
    record = site.knowledge.materials[key]
    found = swatches.of_material(site.colours, key)
    entry = site.knowledge.words("metal_colours")[found[0]] if found else None
    return {
        "colour": found[1] if found else "",
        "colour_entry": entry,
        "hardness": states(site, key),
        "curves": [
            {
                "curve": c,
                "svg": hardness.tempering(
                    c,
                    site.view.unit(c.unit),
                    site.colours if record.family == PLAIN_STEEL else None,
                ),
            }
            for c in record.tempering
        ],
        "strips": among_metals(site, key),
    }


def _rows(site: Site, key: str, unit: str) -> list[hardness.Row]:
    return [
        hardness.Row(site.view.state_name(key, s), q)
        for s in site.values.states_with(key, "hardness")
        if s and (q := site.values.of(key, "hardness", s, unit))
    ]


def states(site: Site, key: str) -> Markup:
    """The hardness of all states on one scale: the unit in which most of them are known."""
    units = site.knowledge.words("properties")["hardness"].units
    rows = {unit: _rows(site, key, unit) for unit in units}
    best = max(units, key=lambda u: len(rows[u]), default=None)
    if best is None or len(rows[best]) < 2:
        return Markup("")
    return hardness.bars(rows[best], site.view.unit(best), "Hardness of its states")


def of_part(site: Site, key: str) -> dict[str, object]:
    """The part itself, and the hardness that it demands beside that of its usual and wrong
    choices."""
    return {"drawing": drawings.part(site.knowledge, key), "hardness": demanded(site, key)}


def demanded(site: Site, key: str) -> Markup:
    """The demand on hardness as a line across the bars of the usual and the wrong choices."""
    part = site.knowledge.parts[key]
    asked = [d for d in part.demands if d.property == "hardness"]
    if not asked:
        return Markup("")
    unit = asked[0].unit or site.view.property_unit("hardness")
    rows: dict[str, Quantity] = {}
    for sign, choices in (("✓", part.usual), ("✗", part.wrong)):
        for c in choices:
            found = site.values.of(c.material, "hardness", c.state, unit)
            state = f", {site.view.state_name(c.material, c.state)}" if c.state else ""
            if found:
                rows.setdefault(f"{sign} {site.view.name('material', c.material)}{state}", found)
    if not rows:
        return Markup("")
    demands = [
        hardness.Demand(
            float(d.at_least if d.at_least is not None else d.at_most),
            d.at_least is not None,
            d.firm,
        )
        for d in asked
        if (d.unit or site.view.property_unit("hardness")) == unit
    ]
    return hardness.bars(
        [hardness.Row(name, q) for name, q in rows.items()],
        site.view.unit(unit),
        "Hardness of usual (✓) and wrong (✗) choices",
        demands,
    )


def spans(site: Site, prop: str) -> dict[str, Quantity]:
    """A property of every metal for which it is known; worked out once."""
    if prop not in site.spans:
        site.spans[prop] = {
            k: q for k in metals(site) if (q := ladders.span(site.values, k, prop)) is not None
        }
    return site.spans[prop]


def among_metals(site: Site, key: str) -> Markup:
    """Density, stiffness, strength and expansion of a metal among those of all metals."""
    rows = []
    for prop in STRIPS:
        known = spans(site, prop)
        if key in known and len(known) > 2:
            others = [(site.view.name("material", k), q) for k, q in known.items()]
            unit = site.view.unit(site.view.property_unit(prop))
            rows.append((site.view.property_name(prop), unit, known[key], others))
    name = site.view.name("material", key)
    return ladders.strips(f"{name} among all metals here", rows) if rows else Markup("")


def by_family(site: Site, prop: str) -> list[tuple[str, Quantity]]:
    """A property of each family of metals, from its lowest to its highest."""
    known, rows = spans(site, prop), []
    for family, keys in site.families.items():
        found = ladders.wide([known[k] for k in keys if k in known])
        if found:
            rows.append((site.knowledge.words("families")[family].plural, found))
    return rows


def of_process(site: Site, process: models.Process) -> Markup:
    """The colours that the work is watched by: heat on plain carbon steel, volts on titanium."""
    families = list(process.suits.families)
    if process.group == HEAT and families == [PLAIN_STEEL]:
        return tints.steel(site.colours)
    if process.group == PLATING and families == [TITANIUM]:
        return tints.titanium(site.colours)
    return Markup("")


def of_formula(site: Site, key: str) -> Markup:
    """What a sum speaks of, where it is drawn: a gasket in its groove, rate against warmth."""
    if key in GASKET:
        return gasket(site)
    return rates(site) if key == RATE else Markup("")


def gasket(site: Site) -> Markup:
    """The gasket of the example sizes of the two sums; empty where one of them is missing."""
    if not all(key in site.knowledge.formulas for key in GASKET):
        return Markup("")
    squeeze, fill = (site.knowledge.formulas[key].symbols for key in GASKET)
    return sections.gasket(squeeze["d"].default, squeeze["h"].default, fill["w"].default)


def rates(site: Site) -> Markup:
    """Rate against warmth of the springs and balances of the list."""
    formula = site.knowledge.formulas.get(RATE)
    if formula is None:
        return Markup("")
    pairs = site.knowledge.words("rate_pairs").values()
    return sections.rates([(p.name, sections.rate_of(site.values, formula, p)) for p in pairs])
