"""Receives knowledge and values; hands on what each material would show at the bench, and which
remain after observations.

``data`` is plain JSON: for every material the answers it allows to each observation. Both the
page's script (assets/identify.js) and the functions here read it; the tests compare the two. What
is unknown, or known from memory alone, allows every answer.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Collection, Mapping
from decimal import Decimal

from generator.numbers.arithmetic import subtract
from generator.numbers.composition import density_by_mixing, share_range
from generator.numbers.formulas import compile_expression, evaluate_quantities, for_browser
from generator.numbers.quantities import BORROWED, Quantity
from generator.numbers.values import Values
from generator.records import models
from generator.records.knowledge import Knowledge
from generator.verdicts.conditions import magnetism_of
from generator.verdicts.findings import Judge

# What can be observed, gentlest first; the name is what the reader sees.
OBSERVED = {
    "colour": "colour",
    "mark": "mark",
    "tarnish": "film or rust",
    "magnet": "magnet",
    "density": "density",
    "file": "file",
    "spark": "sparks",
}
OF_STATE = ("magnet", "file")  # these depend on the state; one state must allow both
# On a coated piece these belong to the metal below. A mark does not: on filled work it gives the
# fineness of the skin, on gilt silver that of the silver.
BELOW = ("magnet", "density", "spark")
# A reader's colour and the colours of the records that may be seen as it.
COLOURS = {
    "yellow": ("yellow", ("yellow", "pale-yellow", "brown-yellow")),
    "pale": ("pale yellow or yellowish white", ("pale-yellow", "warm-white", "yellow")),
    "red": ("rose, red or copper", ("rose", "red", "copper-red", "brown-yellow")),
    "grey": ("white or grey", ("white", "warm-white", "steel-grey", "dark-grey")),
    "black": ("black or very dark", ("black", "dark-grey")),
    "blue": ("blue, purple or another tint", ()),
}
TINTED_BY = (
    "blue",
    "anodise",
)  # workings that colour a metal itself; `goes well` or `goes with care` allows "blue"
BLUED = ("carbon-steel", "hardenable-stainless")  # families whose blue may be nearly black
MAGNET = {
    "none": ("none", "trace"),
    "trace": ("trace",),
    "strong": ("strong",),
}  # answer: records that may give it
FILE = {
    "easy": (None, 300),
    "bites": (150, 700),
    "skates": (500, None),
}  # answer: HV from, to; they overlap because hands differ
TARNISH = {
    "bright": "bright, no film",
    "film": "brown or black film",
    "green": "green",
    "rust": "rust",
}
MAGNET_WORDS = {
    "none": "not attracted",
    "trace": "barely attracted",
    "strong": "strongly attracted",
}
FILE_WORDS = {"easy": "bites easily", "bites": "bites with effort", "skates": "skates off"}
FILM = ("tarnish", "staining", "copper-loss", "rust")  # mechanisms that leave a brown or black film
SPARKS = {
    "branches": "many, branched",
    "red": "few, short and red",
    "white": "brilliant white",
    "none": "none",
}
SPARKS_OF = {
    "carbon-steel": ("branches",),
    "hardenable-stainless": ("branches", "red"),
    "ferritic-stainless": ("branches", "red"),
    "austenitic-stainless": ("red",),
    "titanium": ("white",),
    **dict.fromkeys(
        (
            *("gold", "silver", "copper", "brass", "bronze", "nickel-silver", "beryllium-copper"),
            # Common practice: soft and low-melting metals smear on the wheel and throw no sparks.
            *("copper-nickel", "aluminium", "zinc-alloy", "soft-metal"),
        ),
        ("none",),
    ),
}
METALS = {
    "Au": "gold",
    "Ag": "silver",
    "Pt": "platinum",
    "Pd": "palladium",
}  # element of a mark: family of its alloys
MARK_ROOM = Decimal("1.02")  # a mark is a floor: alloys up to 2 % finer also carry it
SPREAD, MIXED_SPREAD = (
    Decimal("0.01"),
    Decimal("0.05"),
)  # of a published density; of one from the composition
# Golds below this fineness have no standard recipe: silver, copper and some zinc make up the rest,
# so the density runs from the copper-rich to the silver-rich mixture, with room for zinc.
FREE_GOLD, ZINC_ROOM = Decimal(600), Decimal("0.03")
LIGHT = (1.7, 2.0)  # g/cm3: magnesium and its alloys, and beryllium; nothing else the bench meets
HARDNESS_ROOM = Decimal(
    "1.5"
)  # an open end of a hardness is taken to reach half as far again, not for ever
STREAK = 83  # parts in a thousand (two carats) that a touchstone tells apart
WEIGHED = ("density-by-immersion", "water-density")  # the formulas of the weighing
# Tests for telling apart what remains, gentlest first: observation it makes, process that tells
# how, whether it marks.
TESTS = {
    "look": ("colour", None, False),
    "magnet": ("magnet", "magnet-test", False),
    "weigh": ("density", "weigh-in-water", False),
    "file": ("file", "file-and-hardness-test", True),
    "stone": ("stone", "touchstone-test", True),
}
TEST_NAMES = {
    "look": "look at the colour",
    "magnet": "a magnet",
    "weigh": "weigh in water",
    "file": "a file on a hidden place",
    "stone": "the touchstone",
}

LOOK = (
    "Daylight, a loupe, the whole piece: colour, worn edges, marks, film, rust. Nothing is touched,"
    " and a mark may answer all."
)


def rules() -> list[str]:
    """The rules of elimination in plain sentences, with the numbers they use."""
    return [
        (
            "What is not known of a material, or only from memory, never excludes it; it stays, and"
            " it is said what is not known. Density alone is never left open: without a published"
            " figure it is worked out from the composition or taken from the family, and the answer"
            " says so."
        ),
        (
            "Magnet and file depend on the state; a material stays when one of its states fits"
            " both. Barely attracted metals may also seem not attracted at all."
        ),
        (
            f"A published density may differ by {SPREAD * 100:.0f} % from melt to melt, and by half"
            " of its last digit. Where only a limit is published, the composition sets the other"
            f" end, with {MIXED_SPREAD * 100:.0f} % to spare; a density borrowed from a relative"
            f" (◇) gets {MIXED_SPREAD * 100:.0f} % as well."
        ),
        (
            "Each weighing is taken to be good to one step of the balance either way; both errors"
            " go through the immersion formula."
        ),
        (
            f"A file bites easily up to {FILE['easy'][1]} HV, bites with effort from"
            f" {FILE['bites'][0]} to {FILE['bites'][1]} HV, and skates off from {FILE['skates'][0]}"
            " HV. The classes overlap because hands and files differ."
        ),
        (
            "A mark is a floor: it stands for alloys of that fineness or up to"
            f" {(MARK_ROOM - 1) * 100:.0f} % finer. It tells what was stamped, not what is there. A"
            " mark that no record carries is named as such; it makes nothing false."
        ),
        (
            "Gold of 14 ct and below is mixed to no standard recipe: its density is taken from the"
            f" copper-rich to the silver-rich mixture, with {ZINC_ROOM * 100:.0f} % to spare for"
            " zinc."
        ),
        (
            "Film, green and rust are judged by family, from what the hazards do to its alloys. "
            "A bright piece may be any metal: somebody has polished it."
        ),
        (
            "Colours are read with room: what is called white gold, nickel silver or steel grey may"
            " all be seen as white or grey."
        ),
        (
            f"A touchstone is taken to tell golds apart that differ by more than {STREAK} parts in"
            " a thousand, two carats."
        ),
        (
            "On a coated piece the colour chooses the coating; magnet, density and sparks choose"
            " the metal below. The mark rules nothing out there: on filled work it gives the"
            " fineness of the skin. A nickel skin is attracted by itself, so then the magnet tells"
            " nothing."
        ),
    ]


def data(knowledge: Knowledge, values: Values, judge: Judge) -> dict:
    """Everything the page's script needs: materials with the answers they allow, weighing
    programs, constants."""
    keys = [
        k
        for f in knowledge.words("families")
        for k in _sorted_members(knowledge, f)
        if _is_candidate(knowledge, k)
    ]
    signs = {f: _signs(knowledge, judge, f) for f in {knowledge.materials[k].family for k in keys}}
    return {
        "materials": [_candidate(knowledge, values, k, signs) for k in keys],
        "observed": OBSERVED,
        "ofState": list(OF_STATE),
        "below": list(BELOW),
        "light": list(LIGHT),
        "streak": STREAK,
        "tests": [[t, TEST_NAMES[t], observation] for t, (observation, _, _) in TESTS.items()],
        "weigh": _weighing(knowledge),
    }


def as_script(content: dict) -> str:
    """The data as a classic script."""
    data = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return f"window.benchIdentifyData={data};\n"


def _sorted_members(knowledge: Knowledge, family: str) -> list[str]:
    members = (k for k, r in knowledge.materials.items() if r.family == family)
    return sorted(members, key=lambda k: knowledge.materials[k].name.casefold())


def _is_candidate(knowledge: Knowledge, key: str) -> bool:
    """Metals, coatings, and what may be taken for a metal: ceramics that one cannot look
    through."""
    record = knowledge.materials[key]
    kind = knowledge.material_class(record)
    return kind in ("metal", "coating") or (
        kind == "ceramic" and "transparent" not in record.traits
    )


def _candidate(
    knowledge: Knowledge, values: Values, key: str, signs: Mapping[str, list[str]]
) -> dict:
    record = knowledge.materials[key]
    coating = knowledge.folders[key] == "coatings"
    return {
        "id": key,
        "name": record.name,
        "coating": coating,
        "colour": _colours(record),
        "mark": None if coating else _marks(knowledge, record),
        # What shows on a coating may come from the metal below, through pores.
        "tarnish": None if coating else signs[record.family],
        "density": _ends(density_span(knowledge, values, key)),
        "densityFrom": density_origin(knowledge, values, key),
        "spark": list(SPARKS_OF[record.family]) if record.family in SPARKS_OF else None,
        "stone": _streak(record),
        "states": [
            {
                "name": record.states[s].name if s else "",
                "magnet": _magnet(record, s),
                "file": _file(values, key, s),
            }
            for s in record.states or (None,)
        ],
    }


def _colours(record: models.Material) -> list[str] | None:
    if record.colour in (None, "various"):
        return None
    tinted = any(
        w in record.working and record.working[w].rating in ("well", "with-care") for w in TINTED_BY
    )
    # A dark blue skin is blue to one eye and black to the next.
    dark = tinted and record.family in BLUED
    return [
        c
        for c, (_, seen) in COLOURS.items()
        if record.colour in seen or (c == "blue" and tinted) or (c == "black" and dark)
    ]


def _marks(knowledge: Knowledge, record: models.Material) -> list[str] | None:
    """The numbers an alloy may be stamped with: its fineness, or a mark just below it.

    Other metals carry none.
    """
    own = [Decimal(d.code) for d in record.designations if d.system == "fineness"]
    fitting = [m for m in knowledge.words("marks").values() if METALS.get(m.metal) == record.family]
    if own:
        fitting = [
            m for m in fitting if any(m.fineness <= f <= m.fineness * MARK_ROOM for f in own)
        ]
    return sorted({f"{m.fineness:f}" for m in fitting})


def _magnet(record: models.Material, state: str | None) -> list[str] | None:
    if record.magnetism_source == "memory":
        return None
    return [answer for answer, seen in MAGNET.items() if magnetism_of(record, state) in seen]


def _file(values: Values, key: str, state: str | None) -> list[str] | None:
    hardness = values.of(key, "hardness", state, "HV")
    if hardness is None or hardness.from_memory:
        return None
    low = hardness.high / HARDNESS_ROOM if hardness.low is None else hardness.low
    high = hardness.low * HARDNESS_ROOM if hardness.high is None else hardness.high
    return [answer for answer, limits in FILE.items() if overlaps((low, high), limits)]


def _signs(knowledge: Knowledge, judge: Judge, family: str) -> list[str]:
    """What a metal of the family may show on its skin, from the mechanisms of the hazards' rules.

    Bright proves nothing.
    """
    members = [(k, r) for k, r in knowledge.materials.items() if r.family == family]
    exposures = (
        judge.exposure(h, k, s)
        for k, r in members
        for h in judge.fields.hazards_of(k)
        for s in r.states or (None,)
    )
    found = {e.rule.mechanism for e in exposures if e.rule}
    signs = ["bright"]
    if found & set(FILM):
        signs.append("film")
    if "tarnish" in found and any(_most(r, "Cu") >= 5 for _, r in members):
        signs.append("green")
    if "rust" in found or ("pitting" in found and any(_most(r, "Fe") >= 50 for _, r in members)):
        signs.append("rust")
    return signs


def _most(record: models.Material, symbol: str) -> Decimal:
    ends = share_range(record.composition, symbol)
    return ends[1] if ends else Decimal(0)


def density_span(
    knowledge: Knowledge, values: Values, key: str
) -> tuple[Decimal | None, Decimal | None] | None:
    """The densities a piece of the material may have: published ends, widened by half the last
    digit and by the spread of melts.

    An end that the publications leave open is closed by the composition, with more room. Without
    a published figure the composition sets both ends, or else the family does. None only when
    the whole family has none.
    """
    record = knowledge.materials[key]
    published = _published_density(values, key)
    mixed = _mixed_density(knowledge, record)
    if published is None:
        return mixed or _family_span(knowledge, values, key)
    low, high = _widened(published, MIXED_SPREAD if published.evidence == BORROWED else SPREAD)
    if mixed and record.composition.source != "memory":
        low = min(mixed[0], high) if low is None else low
        high = max(mixed[1], low) if high is None else high
    free = _free_gold(knowledge, record)
    return (min(low, free[0]), max(high, free[1])) if free and low and high else (low, high)


def density_origin(knowledge: Knowledge, values: Values, key: str) -> str | None:
    """Where a density comes from that nobody published for the material itself."""
    published = _published_density(values, key)
    if published is not None:
        return "borrowed from a relative" if published.evidence == BORROWED else None
    if _mixed_density(knowledge, knowledge.materials[key]):
        return "worked out from the composition"
    return "that of its family" if density_span(knowledge, values, key) else None


def _published_density(values: Values, key: str) -> Quantity | None:
    found = values.of(key, "density")
    return None if found is None or found.from_memory else found


def _mixed_density(knowledge: Knowledge, record: models.Material) -> tuple[Decimal, Decimal] | None:
    mixed = density_by_mixing(knowledge, record.composition) if record.composition else None
    if not mixed or mixed.value.low is None or mixed.value.high is None:
        return None
    return mixed.value.low * (1 - MIXED_SPREAD), mixed.value.high * (1 + MIXED_SPREAD)


def _family_span(
    knowledge: Knowledge, values: Values, key: str
) -> tuple[Decimal | None, Decimal | None] | None:
    family = knowledge.materials[key].family
    known = [
        density_span(knowledge, values, k)
        for k, r in knowledge.materials.items()
        if r.family == family and _published_density(values, k) is not None
    ]
    if not known:
        return None
    lows, highs = zip(*known, strict=True)
    return (
        None if None in lows else min(lows) * (1 - MIXED_SPREAD),
        None if None in highs else max(highs) * (1 + MIXED_SPREAD),
    )


def _free_gold(knowledge: Knowledge, record: models.Material) -> tuple[Decimal, Decimal] | None:
    """Copper-rich to silver-rich density (reciprocal rule) of a coloured gold without recipe."""
    finenesses = [Decimal(d.code) for d in record.designations if d.system == "fineness"]
    white = record.colour in ("white", "warm-white")
    if record.family != "gold" or white or not finenesses or max(finenesses) >= FREE_GOLD:
        return None
    gold, silver, copper = (knowledge.words("elements")[e].density for e in ("Au", "Ag", "Cu"))

    def mixture(fineness: Decimal, rest: Decimal) -> Decimal:
        return 1000 / (fineness / gold + (1000 - fineness) / rest)

    return (
        mixture(min(finenesses), copper) * (1 - ZINC_ROOM),
        mixture(max(finenesses), silver) * (1 + ZINC_ROOM),
    )


def _widened(published: Quantity, spread: Decimal) -> tuple[Decimal | None, Decimal | None]:
    def room(end: Decimal) -> Decimal:
        return end * spread + Decimal((0, (5,), end.adjusted() - published.digits))

    low, high = published.low, published.high
    return None if low is None else low - room(low), None if high is None else high + room(high)


def _ends(span: tuple[Decimal | None, Decimal | None] | None) -> list[float | None] | None:
    return None if span is None else [None if e is None else float(round(e, 4)) for e in span]


def _streak(record: models.Material) -> list | None:
    """What the touchstone says: the metal and, for gold, its fineness.

    White gold, platinum and steel need other means.
    """
    own = [float(d.code) for d in record.designations if d.system == "fineness"]
    if record.family == "gold" and own and record.colour not in ("white", "warm-white"):
        return ["gold", own[0]]
    if record.family == "silver":
        return ["silver", 0]
    return (
        ["base", 0]
        if record.family in ("copper", "brass", "bronze", "nickel-silver", "beryllium-copper")
        else None
    )


def _weighing(knowledge: Knowledge) -> dict | None:
    if any(f not in knowledge.formulas for f in WEIGHED):
        return None
    immersion, water = (knowledge.formulas[f] for f in WEIGHED)
    return {
        "program": for_browser(compile_expression(immersion.expression, immersion.symbols)),
        "water": for_browser(compile_expression(water.expression, water.symbols)),
        "warmth": [float(e) for e in water.symbols["t"].range],
        "mass": [float(e) for e in immersion.symbols["m_air"].range],
    }


def weighed_density(
    knowledge: Knowledge, in_air: Decimal, in_water: Decimal, warmth: Decimal, step: Decimal
) -> Quantity:
    """Density by immersion from two weighings, each good to one step of the balance.

    Raises ValueError when the loss in water is no larger than the steps.
    """
    immersion, water = (knowledge.formulas[f] for f in WEIGHED)
    thinning = compile_expression(water.expression, water.symbols)
    rho_w = evaluate_quantities(
        thinning, {"t": Quantity(warmth, warmth, "degC")}, water.result.unit
    )
    dry, wet = (Quantity(m - step, m + step, "g") for m in (in_air, in_water))
    lost = subtract(dry, wet)
    if lost.low <= 0:
        raise ValueError(
            "the loss in water is no larger than the error of the balance; use a finer balance"
        )
    program = compile_expression(immersion.expression, immersion.symbols)
    return evaluate_quantities(
        program, {"m_air": dry, "m_lost": lost, "rho_w": rho_w}, immersion.result.unit
    )


def overlaps(a: Collection, b: Collection) -> bool:
    """True when two intervals share a value; None is an open end."""
    (a_low, a_high), (b_low, b_high) = a, b
    return (a_low is None or b_high is None or a_low <= b_high) and (
        b_low is None or a_high is None or b_low <= a_high
    )


def _allows(allowed, observation: str, answer) -> bool:
    if allowed is None:
        return True
    return overlaps(allowed, answer) if observation == "density" else answer in allowed


def eliminate(materials: Collection[dict], observed: Mapping[str, object]) -> dict:
    """Which materials remain (with the states that fit and what is unknown of them), and which
    fell out by which observations."""
    left, out, made = [], [], [o for o in OBSERVED if o in observed]
    for material in materials:
        every = material["states"]
        states = [
            s
            for s in every
            if all(_allows(s[o], o, observed[o]) for o in OF_STATE if o in observed)
        ]
        against = [
            o
            for o in made
            if not any(
                _allows(allowed, o, observed[o]) for allowed in _allowances(material, every, o)
            )
        ]
        if not against and not states:
            against = list(OF_STATE)  # each alone would do, but no state allows both
        if against:
            out.append({"id": material["id"], "by": against})
            continue
        unknown = [
            o for o in made if all(allowed is None for allowed in _allowances(material, states, o))
        ]
        names = [s["name"] for s in states] if len(states) < len(every) else []
        left.append({"id": material["id"], "states": names, "unknown": unknown})
    return {"left": left, "out": out}


def _allowances(material: dict, states: Collection[dict], observation: str) -> list:
    """What the material allows for an observation: one entry, or one a state."""
    return [s[observation] for s in states] if observation in OF_STATE else [material[observation]]


def identify(content: dict, observed: Mapping[str, object]) -> dict:
    """What a bare piece may be; and, if it is coated, what the coating may be and what may lie
    below it."""
    bases = [m for m in content["materials"] if not m["coating"]]
    coatings = [m for m in content["materials"] if m["coating"]]
    on_top = eliminate(coatings, {o: v for o, v in observed.items() if o == "colour"})
    below = {o: v for o, v in observed.items() if o in BELOW}
    kept = {e["id"] for e in on_top["left"]}
    # A nickel skin is attracted by itself; then the magnet says nothing of what lies below.
    if below.get("magnet") in ("trace", "strong") and any(
        s["magnet"] is not None and below["magnet"] in s["magnet"]
        for m in coatings
        if m["id"] in kept
        for s in m["states"]
    ):
        del below["magnet"]
    return {
        "bare": eliminate(bases, observed),
        "coatings": on_top["left"],
        "below": eliminate(bases, below),
        "strangeMark": (
            "mark" in observed
            and not any(
                _allows(m["mark"], "mark", observed["mark"])
                and ("colour" not in observed or _allows(m["colour"], "colour", observed["colour"]))
                for m in bases
            )
        ),
        "maybeMagnesium": "density" in observed and overlaps(observed["density"], LIGHT),
    }


def next_tests(
    content: dict,
    left: Collection[dict],
    observed: Collection[str],
    tests: Collection[str] = tuple(TESTS),
) -> dict:
    """How many pairs of what remains each further test would tell apart, and which comes first.

    First comes the gentlest test that does at least half as well as the best.
    """
    materials = {m["id"]: m for m in content["materials"]}
    remaining = [_seen(materials[e["id"]], e["states"]) for e in left]
    pairs = list(itertools.combinations(remaining, 2))
    told = [
        [test, sum(_told_apart(a, b, TESTS[test][0]) for a, b in pairs)]
        for test in tests
        if TESTS[test][0] not in observed
    ]
    best = max((n for _, n in told), default=0)
    return {
        "pairs": len(pairs),
        "told": told,
        "first": next((t for t, n in told if n and 2 * n >= best), None),
    }


def _seen(material: dict, states: Collection[str]) -> dict:
    """The material with only the states that remain, and for each observation that depends on them
    what any of them allows."""
    kept = [s for s in material["states"] if not states or s["name"] in states]
    together = {
        o: None if any(s[o] is None for s in kept) else sorted({a for s in kept for a in s[o]})
        for o in OF_STATE
    }
    return {**material, **together}


def _told_apart(a: dict, b: dict, observation: str) -> bool:
    x, y = a[observation], b[observation]
    if x is None or y is None:
        return False
    if observation == "density":
        return not overlaps(x, y)
    if observation == "stone":
        return x[0] != y[0] or abs(x[1] - y[1]) > STREAK
    return not set(x) & set(y)
