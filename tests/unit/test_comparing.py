"""The data of the page of comparison: verdicts and reasons are those of the verdicts, and it stays
small."""

import gzip

import pytest

from generator.checks.rules import check
from generator.numbers.values import Values
from generator.site import compare
from generator.site.page import Site
from generator.tables import tables
from generator.verdicts import wording
from generator.verdicts.rungs import OFFERED, OWN
from generator.verdicts.verdicts import Verdicts
from tests.conftest import ROOT, edit

MOST_BYTES = 510  # a material, gzipped; ten of them for the weak ground that a reason bears


def site_of(root=None, knowledge=None):
    knowledge = knowledge or check(root)[0]
    values = Values(knowledge)
    templates = ROOT / "site_src" / "templates"
    return Site(
        knowledge, values, tables.build(knowledge, values), Verdicts(knowledge, values), templates
    )


@pytest.fixture(scope="module")
def shipped(site_pages):
    return site_pages, compare.data(site_pages)


def order_of(data):
    """Every base in every state, in the order of the lists of reasons."""
    records = [(k, data["materials"][k]) for _, _, members in data["families"] for k in members]
    judged = [(k, r) for k, r in records if not {"coating", "solder"} & set(r)]
    return [(k, s[0]) for k, record in judged for s in record["states"]]


def reason_of(data, part, key, state):
    """The rung and the reason that the page shows, put together as the script does."""
    order = order_of(data)
    _, reasons, given = data["parts"][part]
    verdict, *halves = reasons[given[order.index((key, state or ""))]]
    return data["rungs"][verdict][0], "".join(data["texts"][n] for n in halves)


def test_a_rule_from_memory_decides_nothing_side_by_side(small):
    edit(
        small,
        "hazards/test-sea.yaml",
        "why: zinc leaves, source: practice",
        "why: z, source: memory",
    )
    data = compare.data(site_of(small))
    named = [verdict for verdict, _ in data["exposureVerdicts"]]
    rules = {key: [named[verdict] for verdict, _ in said] for key, _, said in data["hazards"]}
    assert rules["test-sea"] == ["unknown", "unknown", "holds"]  # the first: none decides


def test_figures_ends_and_sources_of_an_invented_steel(small):
    data = compare.data(site_of(small))
    steel = data["materials"]["test-steel"]
    rows = {(p, unit): i for i, (p, _, unit) in enumerate(data["rows"])}
    shown, low, high, digits, sources = steel["figures"][rows["density", "g/cm³"]]
    assert (shown, low, high, digits) == ("7.98 to 8.0", 7.98, 8.0, 3)
    assert [data["sources"][s][0] for s in sources] == ["test-standard", "test-sheet"]
    assert steel["figures"][rows["proof-strength", "MPa"]][:3] == ["at least 200", 200.0, None]
    assert steel["states"][0][:3] == ["annealed", "annealed", "not attracted"]


def test_the_deciding_reason_of_an_invented_case(small):
    data = compare.data(site_of(small))
    assert reason_of(data, "test-case", "test-steel", "annealed") == (
        "own",
        "it stands the sea ◔ thinly sourced",  # on one data sheet
    )
    brass = data["materials"]["test-brass"]["states"][0][0]
    assert reason_of(data, "test-case", "test-brass", brass) == (
        "no",
        "test sea: fails (dezincification)",
    )


def bare(site, part):
    return [j for j in site.verdicts.cells[part] if not j.coated]


def test_every_rung_on_the_page_is_the_computed_one(shipped):
    site, data = shipped
    rungs = [r for r, _ in data["rungs"]]
    order = order_of(data)
    for part in site.knowledge.parts:
        _, reasons, given = data["parts"][part]
        found = {(j.material, j.state or ""): j.rung for j in bare(site, part)}
        assert len(given) == len(order) == len(found)
        assert [rungs[reasons[g][0]] for g in given] == [found[base] for base in order]


@pytest.mark.parametrize("part", ["case-middle", "mainspring", "balance-staff", "crystal"])
def test_the_reason_shown_is_the_first_of_the_judgement(shipped, part):
    site, data = shipped
    for j in bare(site, part):
        _, reason = reason_of(data, part, j.material, j.state)
        first = wording.reasons(site.knowledge, j, 1)[0]
        ground = "" if j.gates else wording.ground_words(site.verdicts.judge, j)
        said = f"{first} {ground}" if ground else first
        assert reason == said.replace("\u00a0", " "), (part, j.material, j.state)


def test_every_row_says_why_it_stands_there(shipped):
    """Ruled out by a gate, or offered with a precedent or as stock sold for the purpose; nothing
    without a reason."""
    site, _ = shipped
    for part in site.knowledge.parts:
        for j in site.verdicts.cells[part]:
            assert bool(j.gates) == (j.rung == "no")
            sold_for = any(s.kind == "purpose" for s in j.shortfalls)
            assert j.rung not in OFFERED or j.precedent or sold_for
            assert (j.choice is not None and not j.gates) == (j.rung == OWN)
            assert wording.reasons(site.knowledge, j)


def test_exposure_is_that_of_the_hazards_rules(shipped):
    site, data = shipped
    verdicts = [v for v, _ in data["exposureVerdicts"]]
    for key in ("stainless-316l", "silver-925", "gold-hard-plate"):
        for state in data["materials"][key]["states"]:
            for (hazard, _, rules), number in zip(data["hazards"], state[4], strict=True):
                assert (
                    verdicts[rules[number][0]]
                    == site.verdicts.judge.exposure(hazard, key, state[0] or None).verdict
                )


def test_the_data_stays_small(shipped):
    weight = len(gzip.compress(compare.as_script(shipped[1]).encode()))
    assert weight <= MOST_BYTES * len(shipped[1]["materials"])
