"""What each material would show at the bench: the answers it allows to each observation.

``data`` is plain JSON. The elimination itself is the page's script, assets/identify.js, which the
tests run too. What is unknown, or known from memory alone, allows every answer. What answers may
come from, and the tolerances, stand in knowledge/vocabulary (observations, bench_tests,
elimination).
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal

from generator.numbers.composition import density_by_mixing, share_range
from generator.numbers.formulas import compile_expression, for_browser
from generator.numbers.quantities import BORROWED, Quantity, number_text
from generator.numbers.values import Values
from generator.records import models
from generator.records.knowledge import Knowledge
from generator.verdicts.conditions import magnetism_of
from generator.verdicts.findings import Judge

WEIGHED = ("density-by-immersion", "water-density")  # the formulas of the weighing

RELATIVE = "◇ borrowed from a relative"


def answers(knowledge: Knowledge, observation: str) -> Mapping[str, models.Answer]:
    """The answers that an observation can have, by id."""
    return knowledge.words("observations")[observation].answers


def tolerance(knowledge: Knowledge, key: str) -> Decimal:
    """A tolerance of the elimination; percentages as parts of one."""
    figure = knowledge.words("elimination")[key]
    return figure.typical / 100 if figure.unit == "%" else figure.typical


def rules(knowledge: Knowledge) -> list[str]:
    """The rules of elimination in plain sentences, with the numbers they use."""

    def per_cent(key: str) -> str:
        return f"{number_text(knowledge.words('elimination')[key].typical)} %"

    file = {key: answer.hardness for key, answer in answers(knowledge, "file").items()}
    low, high = file["bites"].range
    streak = number_text(tolerance(knowledge, "touchstone"))
    return [
        "What is not known of a material, or only from memory, never excludes it; it stays, and "
        "the answer names what is not known. "
        "Density alone is never left open: without a published figure it is worked out from the "
        "composition or taken from the family, and the answer says so.",
        "The colour word of a metal is common practice, not measured; wear and light shift it.",
        "Magnet and file depend on the state; a material stays when one of its states fits both. "
        "A barely attracted metal may seem not attracted at all.",
        f"A published density may differ by {per_cent('melts')} from melt to melt, and by half "
        f"of its last digit. "
        f"Where only a limit is published, the composition sets the other end, with "
        f"{per_cent('mixed')} to spare; "
        f"a density borrowed from a relative (◇) gets {per_cent('mixed')} as well.",
        "Each weighing is taken to be good to one step of the balance either way; both errors go "
        "through the immersion formula.",
        f"A file bites easily up to {number_text(file['easy'].at_most)} HV, bites with effort "
        f"from {number_text(low)} to {number_text(high)} HV, "
        f"and skates off from {number_text(file['skates'].at_least)} HV. "
        "The classes overlap because hands and files differ.",
        f"A mark is a floor: it stands for alloys of that fineness or up to {per_cent('mark')} "
        f"finer. "
        "It tells what was stamped, not what is there. A mark that no record carries is named as "
        "such; "
        "it does not make the piece false.",
        "Gold of 14 ct and below follows no standard recipe: its density is taken from the "
        "copper-rich "
        f"to the silver-rich mixture, with {per_cent('zinc')} to spare for zinc.",
        "Film, green and rust are judged by family, from what the hazards do to its alloys. "
        "A bright piece may be any metal: it may have been polished.",
        "Colours are read loosely: what is called white gold, nickel silver or steel grey may "
        "all be seen as white or grey.",
        f"A touchstone is assumed to tell golds apart that differ by more than {streak} parts in a "
        f"thousand, two carats.",
        "On a coated piece the colour chooses the coating; magnet, density and sparks choose the "
        "metal below. "
        "The mark rules nothing out there: on filled work it gives the fineness of the skin. "
        "A nickel skin is attracted by itself, so then the magnet says nothing.",
    ]


def data(knowledge: Knowledge, values: Values, judge: Judge) -> dict:
    """Everything the page's script needs: materials with the answers they allow, weighing
    programs, constants."""
    observed = knowledge.words("observations")
    keys = [
        k
        for f in knowledge.words("families")
        for k in _sorted_members(knowledge, f)
        if _is_candidate(knowledge, k)
    ]
    signs = {f: _signs(knowledge, judge, f) for f in {knowledge.materials[k].family for k in keys}}
    return {
        "materials": [_candidate(knowledge, values, k, signs) for k in keys],
        "observed": {key: o.name for key, o in observed.items()},
        "ofState": [key for key, o in observed.items() if o.of_state],
        "below": [key for key, o in observed.items() if o.below],
        "light": [float(e) for e in knowledge.words("elimination")["light"].range],
        "streak": float(tolerance(knowledge, "touchstone")),
        "tests": [
            [key, t.name, t.observation or key]
            for key, t in knowledge.words("bench_tests").items()
            if t.tells_apart
        ],
        "weigh": _weighing(knowledge),
    }


def measured(knowledge: Knowledge, values: Values, shown: Mapping, prop: str) -> dict:
    """What a metal shows when its density or hardness is as ``values`` have it."""
    key = shown["id"]
    if prop == "density":
        return {**shown, "density": _ends(density_span(knowledge, values, key))}
    names = knowledge.materials[key].states or {None: None}
    states = [
        {**state, "file": _file(knowledge, values, key, name)}
        for name, state in zip(names, shown["states"], strict=True)
    ]
    return {**shown, "states": states}


def told_apart(a: Mapping, b: Mapping, streak: float) -> bool:
    """Whether colour, density, sparks, touchstone, or magnet and file together tell two metals
    apart in every state; what is not known tells nothing."""
    if any(_disjoint(a[o], b[o]) for o in ("colour", "spark")) or _apart(
        a["density"], b["density"]
    ):
        return True
    x, y = a["stone"], b["stone"]
    if x and y and (x[0] != y[0] or abs(x[1] - y[1]) > streak):
        return True
    return all(
        _disjoint(s["magnet"], t["magnet"]) or _disjoint(s["file"], t["file"])
        for s in a["states"]
        for t in b["states"]
    )


def _disjoint(a: list | None, b: list | None) -> bool:
    return a is not None and b is not None and set(a).isdisjoint(b)


def _apart(a: list | None, b: list | None) -> bool:
    if a is None or b is None:
        return False
    return (None not in (a[0], b[1]) and a[0] > b[1]) or (None not in (b[0], a[1]) and b[0] > a[1])


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
        "colour": _colours(knowledge, record),
        "mark": None if coating else _marks(knowledge, record),
        # What shows on a coating may come from the metal below, through pores.
        "tarnish": None if coating else signs[record.family],
        "density": _ends(density_span(knowledge, values, key)),
        "densityFrom": density_origin(knowledge, values, key),
        "fileFrom": hardness_origin(knowledge, values, key),
        "spark": _sparks(knowledge, record.family),
        "stone": _streak(knowledge, record),
        "states": [
            {
                "name": record.states[s].name if s else "",
                "magnet": _magnet(knowledge, record, s),
                "file": _file(knowledge, values, key, s),
            }
            for s in record.states or (None,)
        ],
    }


def _colours(knowledge: Knowledge, record: models.Material) -> list[str] | None:
    if record.colour in (None, "various"):
        return None
    tints = {w for w, r in record.working.items() if r.rating in ("well", "with-care")}
    return [
        key
        for key, answer in answers(knowledge, "colour").items()
        if record.colour in answer.colours
        or (tints & set(answer.tinted_by) and record.family in (answer.families or [record.family]))
    ]


def _sparks(knowledge: Knowledge, family: str) -> list[str] | None:
    found = [k for k, answer in answers(knowledge, "spark").items() if family in answer.families]
    return found or None


def _marks(knowledge: Knowledge, record: models.Material) -> list[str] | None:
    """The numbers an alloy may be stamped with: its fineness, or a mark just below it.

    Other metals carry none.
    """
    own = [Decimal(d.code) for d in record.designations if d.system == "fineness"]
    metal = knowledge.words("families")[record.family].stamped
    fitting = [m for m in knowledge.words("marks").values() if metal and m.metal == metal]
    room = 1 + tolerance(knowledge, "mark")
    if own:
        fitting = [m for m in fitting if any(m.fineness <= f <= m.fineness * room for f in own)]
    return sorted({f"{m.fineness:f}" for m in fitting})


def _magnet(knowledge: Knowledge, record: models.Material, state: str | None) -> list[str] | None:
    if record.magnetism_source == "memory":
        return None
    shown = magnetism_of(record, state)
    return [k for k, answer in answers(knowledge, "magnet").items() if shown in answer.magnetism]


def _file(knowledge: Knowledge, values: Values, key: str, state: str | None) -> list[str] | None:
    hardness = values.of(key, "hardness", state, "HV")
    if hardness is None or hardness.from_memory:
        return None
    further = 1 + tolerance(knowledge, "open-hardness")
    low = hardness.high / further if hardness.low is None else hardness.low
    high = hardness.low * further if hardness.high is None else hardness.high
    return [
        key
        for key, answer in answers(knowledge, "file").items()
        if _meets(low, high, answer.hardness)
    ]


def _meets(low: Decimal, high: Decimal, bound: models.Bound) -> bool:
    """True when a span and a bound share a value."""
    floor, roof = bound.range or (bound.at_least, bound.at_most)
    return (roof is None or low <= roof) and (floor is None or high >= floor)


def _signs(knowledge: Knowledge, judge: Judge, family: str) -> list[str]:
    """What a metal of the family may show on its skin, from the mechanisms of the hazards' rules.

    An answer that nothing has to cause, such as bright, proves nothing and is always allowed.
    """
    members = [(k, r) for k, r in knowledge.materials.items() if r.family == family]
    exposures = (
        judge.exposure(h, k, s)
        for k, r in members
        for h in judge.fields.hazards_of(k)
        for s in r.states or (None,)
    )
    found = {e.rule.mechanism for e in exposures if e.rule}

    def shows(sign: models.ShownBy) -> bool:
        holds = sign.element is None or any(
            _most(r, sign.element) >= sign.at_least for _, r in members
        )
        return bool(found & set(sign.mechanisms)) and holds

    return [
        key
        for key, answer in answers(knowledge, "tarnish").items()
        if not answer.shown_by or any(shows(sign) for sign in answer.shown_by)
    ]


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
    low, high = _widened(
        published, tolerance(knowledge, "mixed" if published.evidence == BORROWED else "melts")
    )
    if mixed and record.composition.source != "memory":
        low = min(mixed[0], high) if low is None else low
        high = max(mixed[1], low) if high is None else high
    free = _free_gold(knowledge, record)
    return (min(low, free[0]), max(high, free[1])) if free and low and high else (low, high)


def density_origin(knowledge: Knowledge, values: Values, key: str) -> str | None:
    """Where a density comes from that nobody published for the material itself."""
    published = _published_density(values, key)
    if published is not None:
        return RELATIVE if published.evidence == BORROWED else None
    if _mixed_density(knowledge, knowledge.materials[key]):
        return "∑ worked out from the composition"
    return "◇ that of its family" if density_span(knowledge, values, key) else None


def hardness_origin(knowledge: Knowledge, values: Values, key: str) -> str | None:
    """Where the hardness comes from that the file is held against, when it is a relative's in any
    state."""
    states = knowledge.materials[key].states or (None,)
    found = (values.of(key, "hardness", s, "HV") for s in states)
    return RELATIVE if any(q and q.evidence == BORROWED for q in found) else None


def _published_density(values: Values, key: str) -> Quantity | None:
    found = values.of(key, "density")
    return None if found is None or found.from_memory else found


def _mixed_density(knowledge: Knowledge, record: models.Material) -> tuple[Decimal, Decimal] | None:
    mixed = density_by_mixing(knowledge, record.composition) if record.composition else None
    if not mixed or mixed.value.low is None or mixed.value.high is None:
        return None
    room = tolerance(knowledge, "mixed")
    return mixed.value.low * (1 - room), mixed.value.high * (1 + room)


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
    room = tolerance(knowledge, "mixed")
    return (
        None if None in lows else min(lows) * (1 - room),
        None if None in highs else max(highs) * (1 + room),
    )


def _free_gold(knowledge: Knowledge, record: models.Material) -> tuple[Decimal, Decimal] | None:
    """Copper-rich to silver-rich density (reciprocal rule) of a coloured gold without recipe."""
    finenesses = [Decimal(d.code) for d in record.designations if d.system == "fineness"]
    white = record.colour in ("white", "warm-white")
    if record.family != "gold" or white or not finenesses:
        return None
    if max(finenesses) >= tolerance(knowledge, "free-gold"):
        return None
    zinc = tolerance(knowledge, "zinc")
    gold, silver, copper = (knowledge.words("elements")[e].density for e in ("Au", "Ag", "Cu"))

    def mixture(fineness: Decimal, rest: Decimal) -> Decimal:
        return 1000 / (fineness / gold + (1000 - fineness) / rest)

    return (
        mixture(min(finenesses), copper) * (1 - zinc),
        mixture(max(finenesses), silver) * (1 + zinc),
    )


def _widened(published: Quantity, spread: Decimal) -> tuple[Decimal | None, Decimal | None]:
    def room(end: Decimal) -> Decimal:
        return end * spread + Decimal((0, (5,), end.adjusted() - published.digits))

    low, high = published.low, published.high
    return None if low is None else low - room(low), None if high is None else high + room(high)


def _ends(span: tuple[Decimal | None, Decimal | None] | None) -> list[float | None] | None:
    return None if span is None else [None if e is None else float(round(e, 4)) for e in span]


def _streak(knowledge: Knowledge, record: models.Material) -> list | None:
    """What the touchstone says: the metal and, for gold, its fineness.

    White gold, platinum and steel need other means.
    """
    own = [float(d.code) for d in record.designations if d.system == "fineness"]
    streak = knowledge.words("families")[record.family].streak
    if streak == "gold":
        white = record.colour in ("white", "warm-white")
        return [streak, own[0]] if own and not white else None
    return [streak, 0] if streak else None


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
