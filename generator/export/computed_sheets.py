"""Published tables of what was computed: rungs, exposures, substitutes, pairs, tables."""

from __future__ import annotations

from collections.abc import Iterator

from generator.export.sheet import PLACE, Column, id_of, number, sheet, text


@sheet(
    "rungs",
    "Computed: where every material in every state stands for every part",
    "number",
    PLACE,
    id_of("part", "parts"),
    id_of("setting", "settings", False),
    id_of("material", "materials"),
    text("state", "state; empty: the material has none"),
    id_of("coated", "materials", False),
    text("rung", "the rung on which it stands", True),
    text("rests_on", "borrowed or little, where what is offered rests on such figures"),
    text("reasons", "what put it there"),
    id_of("precedent", "parts", False),
    id_of("nearest", "materials", False),
)
def _rungs(_, published: dict) -> Iterator[tuple]:
    for place, r in enumerate(published["verdicts"]["rungs"], 1):
        yield (
            place,
            r["part"],
            r["setting"] and f"{r['part']}/{r['setting']}",
            r["material"],
            r["state"],
            r["coated"],
            r["rung"],
            r["rests_on"],
            "; ".join(r["reasons"]) or None,
            r["precedent"],
            r["nearest"],
        )


@sheet(
    "exposures",
    "Computed: what each hazard does to each material in each state",
    "number",
    PLACE,
    id_of("hazard", "hazards"),
    id_of("material", "materials"),
    text("state", "state; empty: the material has none"),
    text("verdict", "what happens", True),
    text("mechanism", "mechanism"),
    Column("rule", "number of the rule that decided", "integer"),
)
def _exposures(_, published: dict) -> Iterator[tuple]:
    for place, e in enumerate(published["verdicts"]["exposure"], 1):
        yield (
            place,
            e["hazard"],
            e["material"],
            e["state"],
            e["verdict"],
            e["mechanism"],
            e["rule"] or None,
        )


@sheet(
    "substitutes",
    "Computed: what may be used in place of the usual material of a part, nearest first",
    "number",
    PLACE,
    id_of("part", "parts"),
    id_of("original", "materials"),
    id_of("material", "materials"),
    text("state", "state; empty: the material has none"),
    id_of("coated", "materials", False),
    text("lost", "what is lost by it"),
    text("gained", "what is gained by it"),
)
def _substitutes(_, published: dict) -> Iterator[tuple]:
    for place, s in enumerate(published["verdicts"]["substitutes"], 1):
        yield (
            place,
            s["part"],
            s["for"],
            s["material"],
            s["state"],
            s["coated"],
            "; ".join(s["lost"]) or None,
            "; ".join(s["gained"]) or None,
        )


@sheet(
    "pairs",
    "Computed: metals in contact",
    "first second situation",
    id_of("first", "materials"),
    id_of("second", "materials"),
    text("situation", "where they touch", True),
    number("apart", "V apart in the sea-water series, films whole", True),
    id_of("goes", "materials", False),
    text("degree", "how fast it corrodes, films whole", True),
    id_of("goes_in_gap", "materials", False),
    text("degree_in_gap", "how fast it corrodes in a wet salt gap; empty: no film breaks"),
    text("if_small", "how fast if the one that corrodes is the small piece", True),
    text("if_large", "how fast if the one that corrodes is the large piece", True),
    text("usual", "the usual pairing that outranks the volts"),
    text("may_touch", "yes or no: nothing happens, or the pairing is usual", True),
)
def _pairs(_, published: dict) -> Iterator[tuple]:
    for p in published["verdicts"]["pairs"]:
        gap, worst = p["gap"] or {}, p["gap"] if p["gap"] and p["gap"]["goes"] else p["open"]
        yield (
            p["first"],
            p["second"],
            p["situation"],
            p["open"]["apart"],
            p["open"]["goes"],
            p["open"]["degree"],
            gap.get("goes"),
            gap.get("degree"),
            worst["if_small"],
            worst["if_large"],
            p["usual"],
            "yes" if p["may_touch"] else "no",
        )


@sheet(
    "computed",
    "Computed tables, one row a cell",
    "sheet row column",
    text("sheet", "id of the table", True),
    Column("row", "row, from 1", "integer", True),
    text("column", "id of the column", True),
    id_of("material", "materials", False),
    text("state", "state"),
    text("kind", "kind of value", True),
    number("low", "lowest value; empty where open"),
    number("high", "highest value; empty where open"),
    text("unit", "unit"),
    text("shown", "as the page shows it", True),
    text("formula", "id in formulas"),
)
def _computed(_, published: dict) -> Iterator[tuple]:
    for table in published["tables"]:
        for i, row in enumerate(table["rows"], 1):
            for column, c in row["cells"].items():
                yield (
                    table["id"],
                    i,
                    column,
                    row["material"],
                    row["state"],
                    c["kind"],
                    c.get("low"),
                    c.get("high"),
                    c.get("unit"),
                    c["shown"],
                    c.get("formula"),
                )
