"""Slips of the hand that are well formed: each is refused with place and cure, and what is meant so
passes."""

from datetime import date
from decimal import Decimal

import pytest

from generator.checks.rules import check
from generator.numbers.composition import share_range
from generator.numbers.formulas import FormulaFault, compile_expression
from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
from generator.records import clock, models
from generator.site.page import Site
from generator.site.render import render
from generator.tables import tables
from generator.verdicts.findings import IN_PART, MISSED, compare
from generator.verdicts.verdicts import Verdicts
from tests.conftest import FULL, ROOT, SMALL, edit, make_root

STEEL = "alloys/test-steel.yaml"


def said(root, file: str, *changes) -> list[str]:
    path = root / "knowledge" / file
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8")
    return [str(c) for c in check(root)[1]]


def test_a_review_of_a_day_to_come(small, monkeypatch):
    monkeypatch.setattr(clock, "today", lambda: date(2026, 11, 25))
    change = ("on: 2026-11-25", "on: 2062-11-25")
    (line,) = said(small, STEEL, change)
    assert line.endswith(
        "the review of 2062-11-25 is in the future; correct the date, or this machine's clock"
    )


def test_a_review_of_tomorrow_is_today_elsewhere(small, monkeypatch):
    monkeypatch.setattr(clock, "today", lambda: date(2026, 11, 24))
    assert check(small)[1] == []


def test_a_copied_state(small):
    text = (small / "knowledge" / STEEL).read_text()
    name = text.split("states:\n  ")[1].split(":")[0]
    shown = text.split(f"{name}:\n    name: ")[1].split("\n")[0]
    copied = f"states:\n  copied:\n    name: {shown.upper()}\n  {name}:"
    lines = said(small, STEEL, (f"states:\n  {name}:", copied))
    assert any(f"the name {shown!r} is also that of the state copied; say how" in x for x in lines)


SEA = "hazards/test-sea.yaml"


def test_a_hazard_whose_last_rule_was_deleted(small):
    (line,) = said(
        small, SEA, ("  - {verdict: holds, why: the film holds, source: practice}\n", "")
    )
    assert line.endswith("some materials have no verdict; add a rule without `when` below it")


def test_a_state_that_is_not_there(small):
    (line,) = said(small, SEA, ("{families: [brass]}", "{families: [brass], states: [anealed]}"))
    assert "no material has a state anealed; did you mean annealed?" in line


def test_a_state_of_another_material(small):
    when = "{materials: [test-brass], states: [annealed]}"
    (line,) = said(small, SEA, ("{families: [brass]}", when))
    assert "test-brass has no state annealed" in line


def test_a_point_between_thousands(small):
    lines = said(small, STEEL, ("range: [140, 215]", "typical: 1.500"))
    assert any(
        "hardness 1.500" in x.replace("\u00a0", " ") and "is not that of the family" in x
        for x in lines
    )


def test_a_misspelt_unit_is_one_fault(small):
    (line,) = said(small, STEEL, ("unit: HV", "unit: HVV"))
    assert "there is no unit HVV" in line


def test_an_unknown_source_is_sent_to_its_folder(small):
    (line,) = said(small, STEEL, ("source: test-standard", "source: zzz"))
    assert "there is no source zzz; add it, or choose one from knowledge/sources/" in line


def test_a_decimal_comma_in_a_range(small):
    lines = said(small, STEEL, ("typical: 7.98", "range: [7,9, 8,1]"))
    assert lines == [
        "knowledge/alloys/test-steel.yaml:13:21: range has 4 entries and needs two; "
        "write the decimal point as a point: [7.9, 8.1]"
    ]


@pytest.mark.parametrize("name", ["abs", "min", "sqrt", "pi"])
def test_a_symbol_with_the_name_of_a_function(name):
    with pytest.raises(FormulaFault, match=f"the symbol {name} has the name of a function"):
        compile_expression(f"{name} * 2", [name])


def composition(balance, **shares) -> models.Composition:
    return models.Composition.model_validate(
        {"source": "memory", "balance": balance, "shares": shares}
    )


@pytest.mark.parametrize(
    ("shares", "balance"),
    [
        ({"Cu": {"at_least": 60}}, (0, 40)),  # up to all of it is copper
        ({"Cu": {"at_most": 0}}, (100, 100)),
        ({"Cu": {"range": [60, 63]}, "Pb": {"at_most": 0}}, (37, 40)),
        ({"Cu": {"typical": 120}}, (0, 0)),
    ],
)
def test_the_balance_is_what_the_shares_leave(shares, balance):
    """By subtraction from 100 %: nothing is ever upside down or below zero."""
    low, high = share_range(composition("Zn", **shares), "Zn")
    assert (low, high) == tuple(Decimal(end) for end in balance)


def test_at_most_nothing_is_nothing_in_the_sum(small):
    brass = "alloys/test-brass.yaml"
    lines = said(
        small,
        brass,
        ("  balance: Zn\n", ""),
        ("Cu: {typical: 70}", "Cu: {typical: 70}, Pb: {at_most: 0}"),
    )
    assert any("the shares add up to 70 %" in line for line in lines)


DENSITIES = "{typical: 7.98, source: test-standard}, {typical: 8.0, source: test-sheet}"


def drawn(root) -> dict[str, str]:
    """Every page, by file."""
    knowledge, complaints = check(root)
    assert [str(c) for c in complaints] == []
    values = Values(knowledge)
    verdicts = Verdicts(knowledge, values)
    site = Site(
        knowledge, values, tables.build(knowledge, values), verdicts, ROOT / "site_src/templates"
    )
    return {page.file: page.text() for share in render(site) for page in share}


@pytest.mark.parametrize(
    ("limit", "beside_a_mate"),
    [("at_least: 7.9", "at_least: 19"), ("at_most: 8.1", "at_most: 21")],
)
def test_what_is_only_a_limit_is_shown_and_works_nothing_out(tmp_path, limit, beside_a_mate):
    """No mass and no ratio follows from "at least 7.9"; every page is drawn all the same, also
    where an expansion beside a mate is only a limit."""
    root = make_root(tmp_path / "r", SMALL, FULL)
    edit(root, STEEL, DENSITIES, f"{{{limit}, source: test-standard}}")
    edit(root, "alloys/test-brass.yaml", "typical: 19.9", beside_a_mate)
    pages = drawn(root)
    words = limit.replace("_", " ").replace(": ", "\u00a0")
    shown = pages["materials/test-steel.md"].replace("\u00a0", " ")
    assert words.replace("\u00a0", " ") in shown
    mass = next(text for name, text in pages.items() if "case-mass" in name)
    assert "materials/test-steel" not in mass


@pytest.mark.parametrize(
    ("low", "high", "at_least", "at_most", "outcome"),
    [
        ("-5", "-5", "0", None, MISSED),
        ("-5", "5", "0", None, IN_PART),
        (None, "-5", "0", None, MISSED),
        ("-5", "0", "1", None, MISSED),
        ("0", "0", None, "-1", MISSED),
        ("0", None, None, "0", IN_PART),
    ],
)
def test_a_threshold_of_nothing_is_a_threshold(low, high, at_least, at_most, outcome):
    """Below zero is below zero, whatever the share of the threshold that would be."""
    ends = (None if end is None else Decimal(end) for end in (low, high, at_least, at_most))
    low, high, at_least, at_most = ends
    assert compare(Quantity(low, high), at_least, at_most) == outcome
