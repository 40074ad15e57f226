"""The data of the page of comparison: verdicts and reasons are those of the verdicts, and it stays small."""

import gzip

import pytest

from generator import comparing, pages, tables, wording
from generator.checking import check
from generator.values import Values
from generator.verdicts import Answer, Met, Verdicts, deciding
from tests.conftest import ROOT

MOST_BYTES = 60_000


def site_of(root=None, knowledge=None):
    knowledge = knowledge or check(root)[0]
    values = Values(knowledge)
    return pages.Site(knowledge, values, tables.build(knowledge, values), Verdicts(knowledge, values), ROOT / "site_src" / "templates")


@pytest.fixture(scope="module")
def shipped(knowledge):
    site = site_of(knowledge=knowledge)
    return site, comparing.data(site)


def reason_of(data, part, key, state):
    """The verdict and the reason that the page shows, put together as the script does."""
    order = [(k, s[0]) for _, _, members in data["families"] for k in members if not data["materials"][k]["coating"] for s in data["materials"][k]["states"]]
    _, reasons, given = data["parts"][part]
    verdict, first, second = reasons[given[order.index((key, state or ""))]]
    return data["fitVerdicts"][verdict][0], data["texts"][first] + data["texts"][second]


def test_figures_ends_and_sources_of_an_invented_steel(small):
    data = comparing.data(site_of(small))
    steel = data["materials"]["test-steel"]
    rows = {(p, unit): i for i, (p, _, unit) in enumerate(data["rows"])}
    shown, low, high, digits, sources = steel["figures"][rows["density", "g/cm³"]]
    assert (shown, low, high, digits) == ("7.98 to 8.0", 7.98, 8.0, 3)
    assert [data["sources"][s][0] for s in sources] == ["test-standard", "test-sheet"]
    assert steel["figures"][rows["proof-strength", "MPa"]][:3] == ["at least 200", 200.0, None]
    assert steel["states"][0][:3] == ["annealed", "annealed", "not attracted"]


def test_the_deciding_reason_of_an_invented_case(small):
    data = comparing.data(site_of(small))
    assert reason_of(data, "test-case", "test-steel", "annealed") == ("suits", "hardness at least 120 HV: found 140 to 215 HV")
    verdict, reason = reason_of(data, "test-case", "test-brass", None if not data["materials"]["test-brass"]["states"][0][0] else data["materials"]["test-brass"]["states"][0][0])
    assert verdict == "unfit"
    assert reason


def test_every_verdict_on_the_page_is_the_computed_one(shipped):
    site, data = shipped
    verdicts = [v for v, _ in data["fitVerdicts"]]
    order = [(k, s[0]) for _, _, members in data["families"] for k in members if not data["materials"][k]["coating"] for s in data["materials"][k]["states"]]
    for part, fits in site.verdicts.by_part.items():
        _, reasons, given = data["parts"][part]
        assert len(given) == len(order) == len(fits)
        found = {(f.material, f.state or ""): f.verdict for f in fits}
        assert [verdicts[reasons[g][0]] for g in given] == [found[base] for base in order]


@pytest.mark.parametrize("part", ["case-middle", "mainspring", "balance-staff", "crystal"])
def test_the_reason_shown_is_one_of_the_reasons_of_the_verdict(shipped, part):
    site, data = shipped
    for fit in site.verdicts.by_part[part]:
        verdict, reason = reason_of(data, part, fit.material, fit.state)
        if verdict != "suits":
            assert reason in [r.replace("\u00a0", " ") for r in wording.reasons(site.knowledge, fit)], (part, fit.material, fit.state)


def test_the_deciding_reason_alone_gives_the_verdict(shipped):
    """An unfit material misses a firm demand or is destroyed by what the part meets often."""
    site, _ = shipped
    for fits in site.verdicts.by_part.values():
        for fit in fits:
            reason = deciding(fit)
            if fit.verdict == "unfit":
                assert (isinstance(reason, Answer) and reason.demand.firm and reason.outcome == "missed") or (
                    isinstance(reason, Met) and reason.exposure.verdict == "fails" and reason.meeting.severity in ("often", "always"))
            elif fit.verdict == "unknown":
                assert "unknown" in (reason.outcome if isinstance(reason, Answer) else reason.exposure.verdict)
            elif fit.verdict == "suits-with-care":
                assert reason is not None


def test_exposure_is_that_of_the_hazards_rules(shipped):
    site, data = shipped
    verdicts = [v for v, _ in data["exposureVerdicts"]]
    for key in ("stainless-316l", "silver-925", "gold-hard-plate"):
        for state in data["materials"][key]["states"]:
            for (hazard, _, rules), number in zip(data["hazards"], state[4], strict=True):
                assert verdicts[rules[number][0]] == site.verdicts.judge.exposure(hazard, key, state[0] or None).verdict


def test_the_data_stays_small(shipped):
    assert len(gzip.compress(comparing.as_script(shipped[1]).encode())) <= MOST_BYTES
