"""Editions: what the verb writes, what changed between two of them, and which printed cards are
still current."""

import json
import re
from datetime import date

import pytest

from generator import cli
from generator.checks.rules import check
from generator.commands import build
from generator.numbers.values import Values
from generator.records import clock
from generator.site.page import Site
from generator.site.render import render
from generator.tables import tables
from generator.upkeep import editions
from generator.upkeep.review import EditFailed
from generator.upkeep.said import site_of
from generator.verdicts.verdicts import Verdicts
from tests.conftest import ROOT

FIRST, SECOND = "2026-11-25", "2026-12-20"
STEEL = "{} g/cm3 (test-standard); 8.0 g/cm3 (test-sheet)"


@pytest.fixture(autouse=True)
def later(monkeypatch):
    """These tests stamp days that are still to come on the day they were written."""
    monkeypatch.setattr(clock, "today", lambda: date(2027, 2, 1))


def known(root):
    knowledge, complaints = check(root)
    assert [str(c) for c in complaints] == []
    return knowledge


def stamp(root, again=False, effects=()):
    knowledge = known(root)
    cards = build.cards(site_of(root, knowledge))
    return editions.stamp(root, knowledge, cards, again, effects=effects).edition


def edit(root, file, *changes, day=SECOND):
    """Change texts of a record and the day of its review."""
    path = root / "knowledge" / file
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    text = re.sub(r"(?<=reviewed: {on: )[\d-]+", day, text)
    path.write_text(text, encoding="utf-8")


def site_to_draw(root) -> Site:
    """What draws the pages of a project folder."""
    knowledge = known(root)
    values = Values(knowledge)
    return Site(
        knowledge,
        values,
        tables.build(knowledge, values),
        Verdicts(knowledge, values),
        ROOT / "site_src" / "templates",
    )


def page_of(root) -> str:
    """The page "What changed", which comes after all cards."""
    with_cards, _ = render(site_to_draw(root))
    return next(page.body for page in with_cards if page.file == "editions.md")


def all_drawn(root) -> tuple[str, dict[str, str]]:
    """The page "What changed" and every page with its foot."""
    drawn = {p.file: p.body for share in render(site_to_draw(root)) for p in share}
    return drawn["editions.md"], drawn


@pytest.fixture
def first(buildable):
    """The small knowledge base with its first edition."""
    stamp(buildable)
    return buildable


def test_the_first_edition_holds_digests_only(first):
    edition = known(first).editions[FIRST]
    assert (edition.new, edition.gone, edition.changed) == ([], [], [])
    assert {"materials/test-steel", "parts/test-case"} <= edition.cards.keys()
    assert all(len(mark) == 8 for mark in edition.cards.values())
    last = json.loads((first / "knowledge/editions/last.json").read_text(encoding="utf-8"))
    assert last["materials/test-steel"]["figures.density"] == STEEL.format("7.98")
    assert edition.records == len(last)


@pytest.mark.slow
def test_a_changed_figure_and_a_reworded_text_are_told(first):
    edit(first, "alloys/test-steel.yaml", ("7.98", "7.95"))
    edit(first, "parts/test-case.yaml", ("Holds the rest.", "Holds everything."))
    edition = stamp(first)
    assert [(c.record, c.field, c.how, c.was, c.now) for c in edition.changed] == [
        (
            "materials/test-steel",
            "figures.density",
            "changed",
            STEEL.format("7.98"),
            STEEL.format("7.95"),
        ),
        ("parts/test-case", "does", "changed", "Holds the rest.", "Holds everything."),
    ]
    assert "materials/test-steel" in edition.cards
    assert "parts/test-case" not in edition.cards  # what it does is not on its card
    page = page_of(first)
    assert '(test-sheet) <span aria-hidden="true">→</span> now 7.95\u00a0g/cm³' in page
    assert "<strong>Density</strong>: 7.98\u00a0g/cm³" in page
    assert (
        '<a href="materials/test-steel.html">Test steel</a></th><td>materials/test-steel.html</td>'
        '<td class="num">2026-12-20<' in page
    )
    assert '<td>parts/test-case.html</td><td class="num">2026-11-25<' in page
    assert page.index("Edition 2026-12-20") < page.index("Edition 2026-11-25")


def test_what_went_and_what_came_are_told_apart(first):
    edit(first, "alloys/test-steel.yaml", ("also_called: [trial steel]\n", ""))
    edit(first, "parts/test-case.yaml", ("zone: case\n", "zone: case\nalso_called: [box]\n"))
    told = {(c.record, c.field): (c.how, c.was, c.now) for c in stamp(first).changed}
    assert told["materials/test-steel", "also_called"] == ("removed", "trial steel", None)
    assert told["parts/test-case", "also_called"] == ("added", None, "box")


def test_a_card_changes_with_a_record_it_names(first):
    edit(first, "alloys/test-steel.yaml", ("name: Test steel", "name: Second steel"))
    assert "parts/test-case" in stamp(first).cards


def test_a_review_alone_changes_no_card(first):
    edit(first, "alloys/test-steel.yaml")
    edition = stamp(first)
    assert (edition.new, edition.gone, edition.changed, edition.cards) == ([], [], [], {})


def test_a_long_text_is_called_reworded(first):
    long = "It holds the rest and this. " * 10
    edit(first, "parts/test-case.yaml", ("Holds the rest.", long))
    stamp(first)
    edit(first, "parts/test-case.yaml", (long, long + "more."), day="2027-01-05")
    (change,) = stamp(first).changed
    assert (change.field, change.was, change.now) == ("does", None, None)
    assert "<strong>Does</strong>: reworded" in page_of(first)


def test_new_and_gone_records_are_named(first):
    steel = first / "knowledge/alloys/test-steel.yaml"
    (first / "knowledge/alloys/other-steel.yaml").write_text(
        steel.read_text(encoding="utf-8")
        .replace("name: Test steel", "name: Other steel")
        .replace("1.4499", "1.4498")
        .replace("trial", "third")
        .replace(FIRST, SECOND),
        encoding="utf-8",
    )
    assert stamp(first).new == ["materials/other-steel"]
    (first / "knowledge/alloys/other-steel.yaml").unlink()
    edit(first, "alloys/test-steel.yaml", day="2027-01-05")
    assert stamp(first).gone == ["materials/other-steel"]
    assert "none: the page no longer exists" in page_of(first)


@pytest.mark.slow
def test_a_card_that_changed_after_the_edition_is_a_draft(first):
    page, drawn = all_drawn(first)
    assert editions.DRAFT not in "".join(drawn.values())
    edit(first, "alloys/test-steel.yaml", ("7.98", "7.95"))
    page, drawn = all_drawn(first)
    assert (
        f"Edition of the knowledge base: {FIRST}. Page materials/test-steel.html."
        f" <strong>{editions.DRAFT}</strong>" in drawn["materials/test-steel.md"]
    )
    assert editions.DRAFT not in drawn["materials/test-brass.md"]
    assert "none: changed after 2026-11-25" in page


def test_the_same_day_is_refused_and_stamped_again_when_asked(first):
    edit(first, "alloys/test-steel.yaml", ("7.98", "7.95"))
    stamp(first)
    edit(first, "alloys/test-steel.yaml", ("7.95", "7.93"))
    with pytest.raises(EditFailed, match="the edition of 2026-12-20 is stamped already"):
        stamp(first)
    (change,) = stamp(first, again=True).changed
    assert (change.was, change.now) == (STEEL.format("7.98"), STEEL.format("7.93"))
    edit(first, "alloys/test-steel.yaml", ("7.93", "7.98"))
    assert stamp(first, again=True).changed == []  # back to what it was


def test_what_follows_later_of_one_subject_takes_the_place_of_the_earlier(first):
    """Stamped once more, an edition does not say that a part went both up and down."""
    edit(first, "alloys/test-steel.yaml", ("7.98", "7.95"))
    stamp(first, effects=["Steel for case: no -> at a pinch", "Case: brass from place 1 to 2"])
    said = stamp(first, again=True, effects=["Steel for case: at a pinch -> no"]).effects
    assert said == ["Case: brass from place 1 to 2", "Steel for case: at a pinch -> no"]


def test_without_the_fields_of_the_last_edition_nothing_is_written(first):
    edit(first, "alloys/test-steel.yaml", ("7.98", "7.95"))
    (first / "knowledge/editions/last.json").write_text("{")
    with pytest.raises(EditFailed, match="cannot be read; restore it"):
        stamp(first)
    assert [p.name for p in sorted((first / "knowledge/editions").iterdir())] == [
        f"{FIRST}.yaml",
        "last.json",
    ]


def test_an_edition_by_another_name_is_a_fault(first):
    (first / "knowledge/editions" / f"{FIRST}.yaml").rename(first / "knowledge/editions/first.yaml")
    assert [str(c) for c in check(first)[1]] == [
        "knowledge/editions/first.yaml: the file name 'first' is not a date; an edition is named as"
        " 2026-01-31"
    ]


def test_without_an_edition_the_page_says_so(buildable):
    assert "No edition has been stamped yet" in page_of(buildable)


def test_the_verb(buildable, monkeypatch, capsys):
    monkeypatch.setattr(cli, "ROOT", buildable)
    assert cli.main(["edition"]) == 0
    assert capsys.readouterr().out.startswith(f"knowledge/editions/{FIRST}.yaml: ")
    assert cli.main(["edition"]) == 2
    assert "say --again" in capsys.readouterr().err


def test_every_shipped_card_is_in_an_edition(knowledge):
    cards = editions.cards_of(knowledge)
    assert {f"materials/{k}" for k in knowledge.materials} | {
        f"parts/{k}" for k in knowledge.parts
    } >= cards.keys()
    assert len(cards) > 150


def test_a_figure_keeps_old_and_new_value_however_many_stand_beside_it(first):
    edit(
        first,
        "alloys/test-steel.yaml",
        ("source: test-sheet", "note: " + "x" * 200 + ", source: test-sheet"),
    )
    stamp(first)
    edit(first, "alloys/test-steel.yaml", ("7.98", "7.95"), day="2027-01-05")
    (density,) = [c for c in stamp(first).changed if c.field == "figures.density"]
    assert density.was.startswith("7.98 g/cm3")
    assert density.now.startswith("7.95 g/cm3")


def test_an_older_edition_that_kept_a_digest_only_does_not_show_a_change(first):
    last = first / "knowledge/editions/last.json"
    kept = json.loads(last.read_text(encoding="utf-8"))
    text = kept["materials/test-steel"]["figures.density"]
    kept["materials/test-steel"]["figures.density"] = editions.LONG + editions.digest([text])
    last.write_text(json.dumps(kept), encoding="utf-8")
    edit(first, "alloys/test-steel.yaml")
    assert stamp(first).changed == []


def test_an_edition_of_a_day_to_come_is_refused(first, monkeypatch):
    edit(first, "alloys/test-steel.yaml")
    knowledge, marks = known(first), build.cards(site_of(first, known(first)))
    monkeypatch.setattr(clock, "today", lambda: date(2026, 11, 26))
    with pytest.raises(EditFailed, match="2026-12-20, is in the future"):
        editions.stamp(first, knowledge, marks)
    assert not (first / f"knowledge/editions/{SECOND}.yaml").exists()
