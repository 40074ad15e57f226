"""Look-ups in published tables: hardness conversion, tempering temperature."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.numbers import quantities
from generator.records import models
from generator.site.page import Page, Site, as_json, trail
from generator.site.texts import plain_text

SCALES = ("HV", "HRC", "HRB", "HBW", "Rm")  # columns of the conversion table
STEEL_TABLES = ("astm-e140", "din-50150")
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
    yield _page(site, _hardness_lookup(site))
    yield _page(site, _tempering_lookup(site))


@dataclass(frozen=True)
class Field:
    """One field of a look-up: a choice where it has options, else a number to type."""

    name: str
    label: str
    options: Sequence[tuple[str, str]] = ()
    value: str = ""
    unit: str = ""


@dataclass(frozen=True)
class Row:
    """One line of the published table as shown."""

    cells: list[str]
    source: str


@dataclass(frozen=True)
class Lookup:
    """What a look-up page is made of: the table for its script, its fields, and the table as
    shown."""

    key: str
    kind: str  # which of the script's look-ups
    table: dict
    fields: list[Field]
    notes: list[str]
    columns: list[str]
    rows: list[Row]
    cautions: Sequence[str] = ()


def _page(site: Site, lookup: Lookup) -> Page:
    title, summary = LOOKUPS[lookup.key]
    cautions = site.knowledge.cautions
    body = site.view.draw(
        "lookup",
        f"formulas/{lookup.key}.html",
        title=title,
        summary=summary,
        kind=lookup.kind,
        table=as_json(lookup.table),
        fields=lookup.fields,
        notes=lookup.notes,
        columns=lookup.columns,
        rows=lookup.rows,
        cautions=[(c, cautions[c]) for c in lookup.cautions if c in cautions],
        trail=trail("formula", [], title),
    )
    return Page(f"formulas/{lookup.key}.md", title, summary, body)


def _hardness_lookup(site: Site) -> Lookup:
    rows = site.knowledge.words("hardness_table").values()
    table = [r for r in rows if r.source in STEEL_TABLES]
    metals = [
        ("steel", "carbon, tool or hardenable stainless steel"),
        ("other", "case steel, titanium, gold, brass or another"),
    ]
    scales = [(s, site.view.unit(s)) for s in ("HRC", "HV", "HBW", "HRB")]
    note = (
        "The scales are different tests. The table was made for unalloyed, low-alloy and hardened"
        " steels; it does not hold for austenitic case steel, titanium, gold, copper alloys,"
        " coatings or ceramics, and is not used for them anywhere on this site. What a brass"
        " maker prints in HRB is converted to HV by a table made for brass, GB/T 3771."
    )
    return Lookup(
        "hardness-conversion",
        "hardness",
        {"rows": [_numbers_of(table, source) for source in STEEL_TABLES]},
        [
            Field("metal", "Metal", metals),
            Field("scale", "Scale", scales),
            Field("value", "Hardness", value="60"),
        ],
        [note],
        ["HV", "HRC", "HRB", "HBW", "Rm, MPa", "source"],
        [Row([_number_text(getattr(r, s)) for s in SCALES], r.source) for r in table],
    )


def _numbers_of(table, source: str) -> list[dict[str, float]]:
    """The rows of one published table, each with the scales that it has."""
    return [
        {s: float(getattr(r, s)) for s in SCALES if getattr(r, s) is not None}
        for r in table
        if r.source == source
    ]


def _number_text(number) -> str:
    return "" if number is None else quantities.number_text(number)


def _tempering_lookup(site: Site) -> Lookup:
    curves = [(m, c) for m in _tempered(site) for c in _of_the_bench_first(m.tempering)]
    options = [
        (str(i), f"{record.name}, {site.view.source_label(curve.source)}")
        for i, (record, curve) in enumerate(curves)
    ]
    colours = [
        [c.name, float(c.range[0]), float(c.range[1])]
        for c in site.knowledge.words("temper_colours").values()
    ]
    notes = [
        "Read by straight lines between printed points; another melt, section or holding time"
        " shifts it. Test a scrap first.",
        "The colour of the film shows temperature and time together: the same brown comes at"
        " 321 degC in eight minutes and at 221 degC in an hour.",
    ]
    return Lookup(
        "tempering-temperature",
        "tempering",
        {"curves": [_curve_data(*pair) for pair in curves], "colours": colours},
        [
            Field("curve", "Steel and table", options or [("", "no steel has a table")]),
            Field("value", "Hardness wanted", value="60", unit="HRC"),
        ],
        notes,
        ["steel", "scale", "tempered at °C: hardness", "source"],
        [_curve_row(*pair) for pair in curves],
        ("hot-work", "quench-oil"),
    )


def _tempered(site: Site) -> list[models.Material]:
    """The steels with a table; what the bench tempers most stands first: carbon steels with a
    table of their own."""
    records = (site.knowledge.materials[key] for keys in site.families.values() for key in keys)
    return sorted(
        (r for r in records if r.tempering),
        key=lambda r: (
            r.family != "carbon-steel",
            all(c.stands_in_for for c in r.tempering),
        ),
    )


def _of_the_bench_first(curves: list[models.TemperingCurve]) -> list[models.TemperingCurve]:
    """The scale of the bench's files first."""
    return sorted(curves, key=lambda c: c.unit != "HRC")


def _curve_data(record: models.Material, curve: models.TemperingCurve) -> dict:
    """A curve as the page's script reads it."""
    hardnesses = [p.hardness for p in curve.points]
    stand_in = f" Stand-in: {curve.stands_in_for}." if curve.stands_in_for else ""
    return {
        "unit": curve.unit,
        "points": [[float(p.temperature), float(p.hardness)] for p in curve.points],
        "text": plain_text(
            f"Hardened from {curve.hardened_from}, quenched in {curve.quenched}.{stand_in}"
        ),
        "low": float(min(hardnesses)),
        "high": float(max(hardnesses)),
        "plain": record.family == "carbon-steel",
    }


def _curve_row(record: models.Material, curve: models.TemperingCurve) -> Row:
    number = quantities.number_text
    points = ", ".join(
        f"{number(p.temperature)}:{quantities.NBSP}{number(p.hardness)}" for p in curve.points
    )
    return Row([record.name, curve.unit, points], curve.source)
