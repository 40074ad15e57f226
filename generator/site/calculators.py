"""Data of the calculators' scripts: what a chosen material fills in, and how units are spelled."""

from __future__ import annotations

from generator.numbers import quantities
from generator.numbers.hardness import SCALES
from generator.numbers.units import exported, unit_table
from generator.numbers.values import Values
from generator.records.knowledge import Knowledge
from generator.site.page import Site, as_json
from generator.site.view import sentence
from generator.verdicts.wording import brief_evidence


def material_values(site: Site) -> str:
    """assets/values.js: `benchMetals.materials`, by family: [[family, [[id, name, {property: text},
    [[state, its name, {property: text}, weak]], weak]]]]; and `benchMetals.deposits`, the same for
    plating. ``weak`` says of which property the text is borrowed; where none is, it is not there.
    """
    wanted = sorted(
        {
            s.property
            for f in site.knowledge.formulas.values()
            for s in f.symbols.values()
            if s.property
        }
    )
    families = []
    for family, keys in site.families.items():
        rows = [row for key in keys if (row := _material(site, key, wanted))]
        if rows:
            families.append([sentence(site.knowledge.words("families")[family].plural), rows])
    found = {"materials": families, "deposits": [["Plating metals", deposits(site.knowledge)]]}
    return f"window.benchMetals={as_json(found)};\n"


def _material(site: Site, key: str, wanted: list[str]) -> list | None:
    """What a choice of a material, and of each of its states, fills in."""
    general = _texts(site.values, key, None, wanted)
    states = [
        [state, site.view.state_name(key, state), texts, *_weak(site, key, state, own)]
        for state in site.knowledge.materials[key].states
        if (own := [p for p in wanted if state in site.values.states_with(key, p)])
        and (texts := _texts(site.values, key, state, own))
    ]
    name = site.knowledge.materials[key].name
    weak = _weak(site, key, None, wanted)
    return [key, sentence(name), general, states, *weak] if general or states else None


def _weak(site: Site, key: str, state: str | None, wanted: list[str]) -> list[dict[str, str]]:
    """For each borrowed property its name with sign and word; no dict where there is none."""
    found = {
        p: f"{site.view.property_name(p)} {quantity_words}"
        for p in wanted
        if (q := site.values.of(key, p, state)) and (quantity_words := brief_evidence(q))
    }
    return [found] if found else []


def _texts(values: Values, key: str, state: str | None, wanted: list[str]) -> dict[str, str]:
    found = {p: values.of(key, p, state) for p in wanted}
    return {
        p: quantities.shown(q).replace(quantities.NBSP, " ")
        for p, q in found.items()
        if q and not q.from_memory
    }


def deposits(knowledge: Knowledge) -> list:
    """What a choice of a plating metal fills in."""
    elements = knowledge.words("elements")
    return [
        [
            key,
            sentence(metal.name),
            {
                "atomic-weight": f"{elements[metal.element].atomic_weight:f}",
                "electrons": f"{metal.electrons:f}",
                "density": f"{elements[metal.element].density:f}",
            },
            [],
        ]
        for key, metal in knowledge.words("plating_metals").items()
    ]


def unit_spellings(knowledge: Knowledge) -> str:
    """assets/units.js: how a bench spells the units of the calculators' fields, with factors."""
    of_fields = {s.unit for f in knowledge.formulas.values() for s in f.symbols.values()}
    targets = sorted(of_fields | {scale for scale in SCALES if scale in knowledge.words("units")})
    table = unit_table(knowledge.words("units"), knowledge.words("asked_units"))
    return f"window.benchUnits={as_json(exported(table, targets))};\n"
