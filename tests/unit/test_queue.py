"""What is worth an hour of the lead's work: each kind is made on purpose and must be named, with
what to do; what is in order is not named."""

import re
from datetime import date

import pytest

from generator import cli
from generator.checks.queue import TITLES, can_be_found, queue
from generator.records.loading import load
from generator.records.materials import figures_of
from generator.upkeep.said import site_of
from tests.conftest import ROOT
from tests.unit.test_effects import change, made

DAY = date(2026, 11, 26)
BRASS = "alloys/test-brass.yaml"


@pytest.fixture
def root(tmp_path):
    return made(tmp_path, "one")


def looks(root, kind, on=DAY, layer=None) -> list[tuple[str, str]]:
    knowledge, complaints = load(root, [layer] if layer else [])
    assert complaints == []
    found = queue(site_of(root, knowledge).settling, on)
    return [(x.what, x.cure) for x in found.get(kind, ())]


def test_a_record_is_due_after_a_year_and_not_before(root):
    assert looks(root, "due", date(2027, 11, 25)) == []
    found = looks(root, "due", date(2027, 11, 26))
    assert (
        "Test brass: last read 2026-11-25 by the workshop lead",
        "read it, mend it, then: python3 -m generator reviewed test-brass",
    ) in found


def test_a_figure_that_decides_and_is_not_there(root):
    """The case asks for hardness; a brass like the one that is usual has none."""
    change(root, "hazards/test-sea.yaml", "verdict: fails", "verdict: holds")
    change(root, "parts/test-case.yaml", "wrong:\n  - {material: test-brass, why: it is eaten}\n",
           "  - {material: test-brass, why: it is usual}\n")  # fmt: skip
    text = (root / "knowledge" / BRASS).read_text().replace("Test brass", "Other brass")
    (root / "knowledge/alloys/other-brass.yaml").write_text(text.replace("CuZn30", "CuZn31"))
    cure = "look for a publication that gives it, or measure it"
    assert ("Other brass: hardness not known", cure) in looks(root, "gap")
    figure = "{typical: 150, unit: HV, source: memory}"
    states = f"states:\n  hard: {{name: hard, figures: {{hardness: [{figure}]}}}}\nfigures:"
    change(root, "alloys/other-brass.yaml", "figures:", states)
    assert not any("Other brass" in w for w, _ in looks(root, "gap"))
    assert ("Other brass, hard: hardness from memory", cure) in looks(root, "weak")


def test_sources_that_disagree(root):
    """8.53 and 8.60 g/cm3 are near enough; 8.53 and 9.60 are not, and one measured on a relative
    is no disagreement."""
    more = ", {typical: %s, source: test-sheet%s}]"
    for value, of, expected in (("8.60", "", 0), ("9.60", "", 1), ("9.60", ", of: other", 0)):
        change(root, BRASS, "typical: 8.53, source: test-standard}]",
               "typical: 8.53, source: test-standard}" + more % (value, of))  # fmt: skip
        found = [w for w, _ in looks(root, "disagreement") if w.startswith("Test brass: density")]
        assert len(found) == expected
        if found:
            assert found == ["Test brass: density: 8.53 g/cm³ and 9.60 g/cm³"]
        change(root, BRASS, more % (value, of), "]")


def test_a_measurement_of_the_workshop_that_contradicts(root, tmp_path):
    layer = tmp_path / "layer"
    (layer / "alloys").mkdir(parents=True)
    (layer / "sources").mkdir()
    (layer / "sources" / "ours.yaml").write_text(
        "ours: {title: Our scale, publisher: us, kind: workshop-measurement}\n"
        if "workshop-measurement" in (ROOT / "knowledge/vocabulary/source_kinds.yaml").read_text()
        else "ours: {title: Our scale, publisher: us, kind: data-sheet}\n"
    )
    own = layer / "alloys" / "test-brass.yaml"
    own.write_text("figures: {density: [{typical: 8.50, source: ours}]}\n")
    assert looks(root, "contradiction", layer=layer) == []
    own.write_text("figures: {density: [{typical: 7.20, source: ours}]}\n")
    assert looks(root, "contradiction", layer=layer) == [
        (
            "Test brass: density: measured 7.20 g/cm³, published 8.53 g/cm³",
            "measure again, check the test and the state; then correct the one that is wrong",
        )
    ]


def test_a_sentence_that_nobody_translated(root):
    """A line is counted until its translation stands below it."""
    text = (root / "knowledge/cautions.yaml").read_text(encoding="utf-8")
    danger = re.search(r'danger: "?([^"\n]+)"?\n', text)[1]
    found = dict(looks(root, "untranslated"))
    (before,) = [w for w in found if w.startswith("Full caution: ") and w.endswith("not in French")]
    assert found[before] == "add `fr:` below the sentence under `translations:`"
    extra = f'  translations: {{"{danger}": {{fr: "Danger pour essai."}}}}\n'
    text = re.sub(r"(full-caution:\n)", lambda m: m[1] + extra, text, count=1)
    (root / "knowledge/cautions.yaml").write_text(text, encoding="utf-8")
    (after,) = [
        w
        for w, _ in looks(root, "untranslated")
        if w.startswith("Full caution: ") and w.endswith("not in French")
    ]
    assert int(after.split()[2]) == int(before.split()[2]) - 1


@pytest.mark.parametrize(
    ("entry", "kind"),
    [
        ("{title: Invented sheet, publisher: Nobody, kind: data-sheet}", "source"),
        ("{title: Invented sheet, publisher: Nobody, kind: data-sheet, year: 2020}", "source"),
        ("{title: A sheet, publisher: Nobody, kind: data-sheet, year: 2020, where: page 3}", None),
        ("{title: Invented sheet, publisher: Nobody, kind: data-sheet, address: a.example}", None),
        ("{title: DIN 50150 tables, publisher: Nobody, kind: standard}", None),
        ("{title: Sum on a sheet, publisher: Nobody, kind: calculation}", None),
        (
            "{title: Sheet, publisher: Nobody, kind: data-sheet, address: a.example, seen: false}",
            "unread",
        ),
    ],
)
def test_a_source_that_cannot_be_found_again_or_was_not_read(root, entry, kind):
    change(root, "sources/test.yaml",
           "{title: Invented sheet, publisher: Nobody, kind: data-sheet}", entry)  # fmt: skip
    for each in ("source", "unread"):
        found = [w for w, _ in looks(root, each) if "sheet" in w.casefold() or "tables" in w]
        assert bool(found) == (each == kind), each


def test_of_100_shipped_figures_92_can_be_found_again(knowledge):
    figures = [f for record in knowledge.materials.values() for _, _, f in figures_of(record)]
    again = [
        f for f in figures if (source := knowledge.sources.get(f.source)) and can_be_found(source)
    ]
    assert len(again) >= 0.92 * len(figures), f"{len(again)} of {len(figures)}"


@pytest.mark.slow
def test_the_shipped_queue_has_what_to_do_for_each_line_and_the_page_shows_it(
    knowledge, site_pages
):
    from generator.site.pages.queue import queue_page

    site = site_pages
    found = queue(site.settling, date(2028, 1, 1))
    assert set(found) == set(TITLES) - {"contradiction", "untranslated"}
    assert all(x.cure and x.weight > 0 for xs in found.values() for x in xs)
    for xs in found.values():
        assert [x.weight for x in xs] == sorted((x.weight for x in xs), reverse=True)
    text = queue_page(site).text()
    assert "last read" not in text, "the page counts from the newest review, not from a clock"
    for kind in ("gap", "weak", "disagreement"):
        assert TITLES[kind] in text


def test_the_verb(root, monkeypatch, capsys):
    monkeypatch.setattr(cli, "ROOT", root)
    monkeypatch.setattr("generator.records.clock.today", lambda: date(2028, 1, 1))
    assert cli.main(["queue"]) == 0
    said = capsys.readouterr().out
    assert "Records due for review (" in said
    assert "more; --all shows them" in said
    assert cli.main(["queue", "--all"]) == 0
    assert "more; --all" not in capsys.readouterr().out
