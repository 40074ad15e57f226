"""The data of the page that sets materials side by side (assets/compare-data.js).

Texts and figures shared by many materials are stored once and referred to by number; the script
(assets/compare.js) combines them and judges nothing itself.
"""

from __future__ import annotations

import json
from decimal import Decimal

from generator.numbers.formulas import compile_expression, for_browser
from generator.numbers.quantities import NBSP, Quantity, shown
from generator.site.page import Site
from generator.site.reasons import Numbered, Reasons
from generator.site.texts import sentence
from generator.verdicts import wording
from generator.verdicts.candidates import makes_parts
from generator.verdicts.conditions import magnetism_of

# What is shown of every material, in this order; hardness has one row a scale.
SHOWN = (
    "density",
    "hardness",
    "proof-strength",
    "tensile-strength",
    "elongation",
    "fatigue-strength",
    "elastic-modulus",
    "expansion",
    "thermal-conductivity",
    "melting-range",
    "service-temperature",
    "anodic-index",
)
FORMULAS = {
    "ratio": "density-ratio",
    "specific": "specific-strength",
}  # a ratio of densities is a ratio like any other


def data(site: Site) -> dict:
    """Everything the script needs."""
    knowledge, view = site.knowledge, site.view
    units = {p: knowledge.words("properties")[p].units for p in SHOWN}
    rows = [
        (p, unit)
        for p in SHOWN
        for unit in (units[p] if p == "hardness" else [next(iter(units[p]))])
    ]
    sources, texts = Numbered(), Numbered()
    keys = list(site.rank)
    places = {h: i for i, h in enumerate(knowledge.hazards)}
    specific = knowledge.formulas.get("specific-strength")
    return {
        "rows": [[p, view.property_name(p), view.unit(unit)] for p, unit in rows],
        "specific": [specific.name, view.unit(specific.result.unit)] if specific else None,
        "programs": {name: _program(site, formula) for name, formula in FORMULAS.items()},
        "families": [[view.name("family", f), f, members] for f, members in site.families.items()],
        "materials": {k: _material(site, k, rows, sources, places) for k in keys},
        "hazards": [_hazard(site, h) for h in knowledge.hazards],
        "exposureVerdicts": _words(site, "exposure_verdicts"),
        "rungs": _words(site, "rungs"),
        "zones": [[view.name("zone", z), members] for z, members in site.zones.items()],
        "parts": _parts(site, [k for k in keys if makes_parts(knowledge, k)], texts),
        "cautions": {c: entry.name for c, entry in knowledge.cautions.items()},
        "texts": texts.things,
        "sources": [
            [s, view.source_label(s), view.source_address(s).removesuffix(f"#{s}")]
            for s in sources.things
        ],
    }


def as_script(content: dict) -> str:
    """The data as a classic script."""
    data = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return f"window.benchCompareData={data};\n"


def _words(site: Site, vocabulary: str) -> list[list[str]]:
    return [[v, entry.name] for v, entry in site.knowledge.words(vocabulary).items()]


def _program(site: Site, formula: str) -> dict | None:
    record = site.knowledge.formulas.get(formula)
    if record is None:
        return None
    return {
        "symbols": list(record.symbols),
        "steps": for_browser(compile_expression(record.expression, record.symbols)),
    }


def _material(
    site: Site, key: str, rows: list[tuple[str, str]], sources: Numbered, places: dict[str, int]
) -> dict:
    """One material: identity, and for each state its figures by row and the rule of each hazard
    that decided."""
    record, view = site.knowledge.materials[key], site.view
    states = []
    for state in record.states or (None,):
        found = {}
        for i, (prop, unit) in enumerate(rows):
            quantity = site.values.of(key, prop, state, unit)
            if quantity:
                found[i] = _quantity(quantity, sources)
        rules = _sparse(
            {
                places[h]: site.verdicts.judge.exposure(h, key, state).number
                for h in site.fields.hazards_of(key)
            },
            len(places),
        )
        name = view.state_name(key, state) if state else ""
        states.append(
            [state or "", name, view.word("magnetism", magnetism_of(record, state)), found, rules]
        )
    shared = {i: q for i, q in states[0][3].items() if all(s[3].get(i) == q for s in states[1:])}
    for s in states:
        s[3] = {i: q for i, q in s[3].items() if i not in shared}
    return {
        "name": sentence(record.name),
        "colour": view.word("colours", record.colour) if record.colour else "",
        "codes": [d.code for d in record.designations],
        **({"coating": True} if site.knowledge.folders[key] == "coatings" else {}),
        **({"solder": True} if "joining" in record.traits else {}),
        "cautions": [c for c, _ in site.cautions(record, key)],
        "figures": shared,
        "states": states,
    }


def _quantity(quantity: Quantity, sources: Numbered) -> list:
    """[as shown, low, high, digits, numbers of sources, scale it was converted from]; an open end
    is null, the high end of a point is an empty text."""
    low, high = (None if e is None else _brief(e) for e in (quantity.low, quantity.high))
    converted = [quantity.converted_from] if quantity.converted_from else []
    return [
        f"{shown(quantity)} {wording.brief_evidence(quantity)}".strip().replace(NBSP, " "),
        low,
        "" if high == low else high,
        quantity.digits,
        [sources.of(s) for s in quantity.sources],
        *converted,
    ]


def _brief(number: Decimal) -> int | float:
    """A number with the fewest letters as JSON: 490, not 490.0."""
    return int(number) if number == number.to_integral_value() else float(number)


def _hazard(site: Site, key: str) -> list:
    """[id, name, what each rule says as [verdict, mechanism]]; rule 0 is that none decides."""
    verdicts = list(site.knowledge.words("exposure_verdicts"))
    rules = [[verdicts.index("unknown"), ""]]
    for rule in site.knowledge.hazards[key].rules:
        verdict = "unknown" if rule.source == "memory" else rule.verdict
        rules.append(
            [
                verdicts.index(verdict),
                site.view.word("mechanisms", rule.mechanism) if rule.mechanism else "",
            ]
        )
    return [key, sentence(site.view.name("hazard", key)), rules]


def _parts(site: Site, bases: list[str], texts: Numbered) -> dict[str, list]:
    """For each part its name, the reasons that occur as [rung, first half, second half, weak
    ground where there is one], and the
    reason of each base in each state."""
    places = {
        base: i
        for i, base in enumerate(
            (k, s) for k in bases for s in site.knowledge.materials[k].states or (None,)
        )
    }
    rungs = {rung: i for i, rung in enumerate(site.knowledge.words("rungs"))}
    words = Reasons(site.verdicts.worded, texts)
    result = {}
    for part in site.knowledge.parts:  # the page offers parts, not their settings
        cells = site.verdicts.cells[part]
        reasons = Numbered()
        by_place = sorted(
            ((places[j.material, j.state], j) for j in cells if not j.coated),
            key=lambda pair: pair[0],
        )
        given = {place: reasons.of((rungs[j.rung], *words.first(j))) for place, j in by_place}
        result[part] = [
            sentence(site.view.name("part", part)),
            reasons.things,
            _sparse(given, len(places)),
        ]
    return result


def _sparse(by_place: dict[int, int], length: int) -> list[int] | dict[int, int]:
    """A list when every place has its number; else only the places that have one.

    The script reads both alike.
    """
    return [by_place[i] for i in range(length)] if len(by_place) == length else by_place
