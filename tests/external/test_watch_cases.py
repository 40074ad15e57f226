"""Whole watches against a reader who wrote down what a bench must be told of each, and what it may
not be told, before the watch sheet existed (tests/external/watch_cases.yaml)."""

import json
from pathlib import Path

import pytest
import yaml

from tests.watch_in_hand import InHand

CASES = yaml.load(
    (Path(__file__).parent / "watch_cases.yaml").read_text(encoding="utf-8"),
    Loader=yaml.CSafeLoader,
)
SUFFERS = 2
FEATHER = "0.0001"  # g; weighs a part out of the sum
KNOWN = {"what", "note", "among_the_worst", "hazard", "says", "how", "harm"}


@pytest.fixture(scope="module")
def bench(site_pages):
    return InHand(site_pages)


def sheet_of(bench, case) -> dict:
    weights = {p: m["grams"] for p, m in case["set"].items() if "grams" in m}
    if "alone" in case:
        for part in bench.site.knowledge.watches[case["kind"]].parts:
            if part.grams is not None and part.key != case["alone"]:
                weights[part.key] = FEATHER
    return bench.empty(
        case["kind"],
        owner=case["lives"],
        parts={
            p: {
                "material": m["material"],
                "state": m.get("state", ""),
                "coating": m.get("coating", ""),
            }
            for p, m in case["set"].items()
        },
        measured=[
            {"part": p, "property": "weight-in-air", "unit": "g", "value": g, "doubt": ""}
            for p, g in weights.items()
        ],
    )


def says(found, line) -> bool:
    """Whether the answers hold what a line names."""
    (kind,) = set(line) - KNOWN
    wanted = line[kind]
    return bool(CHECKS[kind](found, wanted, line))


def contact(found, wanted, line):
    goes = wanted[2] if len(wanted) > 2 else None
    return [
        c
        for c in found["contacts"]
        if {*c["between"]} == {*wanted[:2]} and c["degree"] and (goes is None or c["goes"] == goes)
    ]


def life(found, wanted, line):
    """A hazard named for a part; as a thing that must not be said, only where it harms."""
    hazard = line.get("hazard")
    return [
        entry
        for entry in found["life"]
        if wanted in entry["parts"]
        and hazard in (None, entry["hazard"])
        and (entry["verdict"] >= SUFFERS or not line.get("harm"))
    ]


def middle(ends):
    return ends and (ends[0] + ends[1]) / 2


def within(ends, wanted):
    return ends is not None and wanted[0] <= middle(ends) <= wanted[1]


def bath(found, wanted, line):
    name, group, part = wanted
    entries = next(b for b in found["baths"] if b["name"] == name)[group]
    return [
        e
        for e in entries
        if (e if isinstance(e, str) else e[0]) == part
        and ("how" not in line or e[1] == line["how"])
    ]


def gall(found, wanted, line):
    return [
        g
        for g in found["galls"]
        if any({*pair} == {*wanted} for pair in g["pairs"])
        and all(word in g["say"] for word in line["says"])
    ]


def place(found, wanted, line):
    return [
        p
        for p in found["places"]
        if p["part"] == wanted and all(w in p["why"].lower() for w in line.get("says", []))
    ]


CHECKS = {
    "contact": contact,
    "life": life,
    "bath": bath,
    "gall": gall,
    "place": place,
    "pore": lambda a, part, line: [p for p in a["pores"] if part in p["parts"] and p["level"] >= 2],
    "caution": lambda a, key, line: key in [c["id"] for c in a["cautions"]],
    "new_metal": lambda a, key, line: key in a["weights"]["cautions"],
    "first": lambda a, words, line: words in " ".join(a["work"]["first"]),
    "replace": lambda a, part, line: part in [r[0] for r in a["work"]["replace"]],
    "leave": lambda a, part, line: part in a["work"]["leave"],
    "fine": lambda a, span, line: within(a["weights"]["fine"].get("Au"), span),
    "then": lambda a, span, line: within(a["weights"]["then"], span),
    "rate": lambda a, span, line: within(a["rates"]["worked"], span),
    "compensated": lambda a, _, line: a["rates"]["cut"],
    "field": lambda a, part, line: part in [f[0] for f in a["field"]["attracted"]],
    "words": lambda a, words, line: words in json.dumps(a).lower(),
}


def among_the_worst(found, line) -> bool:
    """Whether the first screen's list names it."""
    (kind,) = set(line) - KNOWN
    wanted = line[kind]
    parts = {wanted} if isinstance(wanted, str) else set(wanted)
    return any(f["kind"] == kind and parts <= set(f["parts"]) for f in found["findings"])


def test_twelve_watches():
    assert len(CASES) == 12


@pytest.mark.parametrize("key", CASES)
def test_what_must_be_said_is_said_and_what_may_not_is_not(bench, key):
    case = CASES[key]
    found = bench.answers(sheet_of(bench, case), case.get("remade_in", ""))
    unsaid = [line["what"] for line in case["shown"] if not says(found, line)]
    buried = [
        line["what"]
        for line in case["shown"]
        if line.get("among_the_worst") and not among_the_worst(found, line)
    ]
    claimed = [line["what"] for line in case["absent"] if says(found, {**line, **harm(line)})]
    assert (unsaid, buried, claimed) == ([], [], [])


def harm(line) -> dict:
    """What may not be said of a part's life is that it is harmed."""
    return {"harm": True} if "life" in line else {}
