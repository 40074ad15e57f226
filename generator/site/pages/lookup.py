"""Look-ups in published tables: hardness conversion, tempering temperature."""

from __future__ import annotations

from collections.abc import Iterator

from generator.numbers import quantities
from generator.site.page import Page, Site, as_json, trail
from generator.site.texts import plain_text

LOOKUPS = {
    "hardness-conversion": (
        "Hardness conversion for steels",
        "A steel's hardness in HV, HRC, HRB, HBW and tensile strength, by published table.",
    ),
    "tempering-temperature": (
        "Tempering temperature for a wanted hardness",
        "Where to set the oven, from the steel's published tempering table.",
    ),
}


def lookup_pages(site: Site) -> Iterator[Page]:
    """Look-ups in published tables: hardness scales, and tempering temperatures with their
    colours."""
    yield _hardness_lookup(site)
    yield _tempering_lookup(site)


def _lookup(
    site: Site, key: str, kind: str, table, fields, notes, columns, rows, cautions=()
) -> Page:
    title, summary = LOOKUPS[key]
    entries = [(c, site.knowledge.cautions[c]) for c in cautions if c in site.knowledge.cautions]
    body = site.view.draw(
        "lookup",
        f"formulas/{key}.html",
        title=title,
        summary=summary,
        kind=kind,
        table=as_json(table),
        fields=fields,
        notes=notes,
        columns=columns,
        rows=rows,
        cautions=entries,
        trail=trail("formula", [], title),
    )
    return Page(f"formulas/{key}.md", title, summary, body)


def _hardness_lookup(site: Site) -> Page:
    table = site.knowledge.words("hardness_table")
    scales = ("HV", "HRC", "HRB", "HBW", "Rm")
    data = [
        [
            {s: float(getattr(r, s)) for s in scales if getattr(r, s) is not None}
            for r in table.values()
            if r.source == source
        ]
        for source in ("astm-e140", "din-50150")
    ]
    rows = [
        {
            "cells": [
                quantities.number_text(v) if (v := getattr(r, s)) is not None else ""
                for s in scales
            ],
            "source": r.source,
        }
        for r in table.values()
    ]
    fields = [
        {
            "name": "metal",
            "label": "Metal",
            "options": [
                ("steel", "carbon, tool or hardenable stainless steel"),
                ("other", "case steel, titanium, gold, brass or another"),
            ],
        },
        {
            "name": "scale",
            "label": "Scale",
            "options": [(s, site.view.unit(s)) for s in ("HRC", "HV", "HBW", "HRB")],
        },
        {"name": "value", "label": "Hardness", "options": [], "value": "60", "unit": ""},
    ]
    notes = [
        "The scales are different tests. The table was made for unalloyed, low-alloy and hardened"
        " steels; it does not hold for austenitic case steel, titanium, gold, copper alloys,"
        " coatings or ceramics, and is not used for them anywhere on this site."
    ]
    return _lookup(
        site,
        "hardness-conversion",
        "hardness",
        {"rows": data},
        fields,
        notes,
        ["HV", "HRC", "HRB", "HBW", "Rm, MPa", "source"],
        rows,
    )


def _tempering_lookup(site: Site) -> Page:
    curves, options, rows = [], [], []
    steels = [
        key
        for keys in site.families.values()
        for key in keys
        if site.knowledge.materials[key].tempering
    ]
    # What the bench tempers most stands first: carbon steels with a table of their own.
    steels.sort(
        key=lambda k: (
            site.knowledge.materials[k].family != "carbon-steel",
            all(c.stands_in_for for c in site.knowledge.materials[k].tempering),
        )
    )
    for record in (site.knowledge.materials[key] for key in steels):
        for curve in sorted(
            record.tempering, key=lambda c: c.unit != "HRC"
        ):  # the scale of the bench's files first
            hardnesses = [p.hardness for p in curve.points]
            stand_in = f" Stand-in: {curve.stands_in_for}." if curve.stands_in_for else ""
            text = plain_text(
                f"Hardened from {curve.hardened_from}, quenched in {curve.quenched}.{stand_in}"
            )
            options.append(
                (str(len(curves)), f"{record.name}, {site.view.source_label(curve.source)}")
            )
            curves.append(
                {
                    "unit": curve.unit,
                    "points": [[float(p.temperature), float(p.hardness)] for p in curve.points],
                    "text": text,
                    "low": float(min(hardnesses)),
                    "high": float(max(hardnesses)),
                    "plain": record.family == "carbon-steel",
                }
            )
            shown = ", ".join(
                f"{quantities.number_text(p.temperature)}:{quantities.NBSP}{quantities.number_text(p.hardness)}"
                for p in curve.points
            )
            rows.append({"cells": [record.name, curve.unit, shown], "source": curve.source})
    colours = [
        [c.name, float(c.range[0]), float(c.range[1])]
        for c in site.knowledge.words("temper_colours").values()
    ]
    fields = [
        {
            "name": "curve",
            "label": "Steel and table",
            "options": options or [("", "no steel has a table")],
        },
        {"name": "value", "label": "Hardness wanted", "options": [], "value": "60", "unit": "HRC"},
    ]
    notes = [
        (
            "Straight lines between printed points; a heat, a section and a holding time of your"
            " own shift it. Test a scrap first."
        ),
        (
            "The colour of the film shows temperature and time together: the same brown comes at"
            " 321 degC in eight minutes and at 221 degC in an hour."
        ),
    ]
    return _lookup(
        site,
        "tempering-temperature",
        "tempering",
        {"curves": curves, "colours": colours},
        fields,
        notes,
        ["steel", "scale", "tempered at °C: hardness", "source"],
        rows,
        ("hot-work", "quench-oil"),
    )
