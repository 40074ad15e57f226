"""Help for editing: a review stamp changes one date and no other byte; an explanation names every
figure's place, source and part in the result."""

import os
import subprocess
import sys
import time
from datetime import date

import pytest

from generator import cli
from generator.checks.rules import check
from generator.commands import watch
from generator.records import clock
from generator.upkeep.review import EditFailed, explain, stamp_review
from tests.conftest import FULL, ROOT, SMALL, make_root
from tests.unit.test_layer import OURS, STEEL, layer  # noqa: F401 (a fixture)

DAY = date(2026, 12, 24)


@pytest.fixture(autouse=True)
def later(monkeypatch):
    """These tests stamp days that are still to come on the day they were written."""
    monkeypatch.setattr(clock, "today", lambda: date(2027, 2, 1))


@pytest.mark.parametrize(
    "line",
    [
        "reviewed: {on: 2026-11-25, by: workshop lead}",
        "reviewed: {by: workshop lead, on: 2026-11-25}   # twice a year",
        'reviewed: {on: "2026-11-25", by: x}',
        "reviewed:\n  on: '2026-11-25'   # the day\n  by: x",
        "reviewed:\n    by: x\n    on:    2026-11-25",
        "reviewed: { on : 2026-11-25 , by: x }",
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("start", ["", "\ufeff"])
def test_a_stamp_changes_the_date_and_nothing_else(small, line, end, start):
    path = small / "knowledge" / "alloys" / "test-steel.yaml"
    before = (
        start
        + "# 2026-11-25 café \U0001f600\nname:   'Test steel'  # odd   spaces\n"
        + line
        + "\n\n# on: 2026-11-25\n"
    )
    path.write_bytes(before.replace("\n", end).encode())
    assert stamp_review(small, "test-steel", DAY) == path
    head, _, rest = before.partition("reviewed:")
    value, hash_sign, comment = rest.partition("\n\n#")
    expected = head + "reviewed:" + value.replace("2026-11-25", "2026-12-24") + hash_sign + comment
    assert path.read_bytes() == expected.replace("\n", end).encode()


@pytest.mark.slow
def test_every_shipped_record_can_be_stamped(tmp_path, knowledge):
    """And only its date changes: stamping the old day again gives the old bytes."""
    import shutil

    shutil.copytree(ROOT / "knowledge", tmp_path / "knowledge")
    for kind in ("material", "part", "hazard", "process", "formula", "saying", "lesson"):
        for key, record in knowledge.of_kind(kind).items():
            path = tmp_path / knowledge.raw[kind, key].file
            before = path.read_bytes()
            name = f"{path.parent.name}/{key}"
            stamp_review(tmp_path, name, DAY)
            assert path.read_bytes() != before
            stamp_review(tmp_path, name, record.reviewed.on)
            assert path.read_bytes() == before, name


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("test-stel", "there is no record test-stel; did you mean test-steel?"),
        ("parts/test-steel", "there is no record parts/test-steel"),
        ("../../etc/passwd", "there is no record"),
        ("", "there is no record"),
    ],
)
def test_a_record_that_is_not_there(small, name, said):
    with pytest.raises(EditFailed, match=said.replace("?", r"\?")):
        stamp_review(small, name, DAY)


def test_an_id_of_two_records_needs_its_folder(small):
    (small / "knowledge" / "hazards" / "test-steel.yaml").write_text(
        (small / "knowledge" / "hazards" / "test-sea.yaml").read_text()
    )
    with pytest.raises(EditFailed, match="say which: alloys/test-steel, hazards/test-steel"):
        stamp_review(small, "test-steel", DAY)
    assert stamp_review(small, "hazards/test-steel", DAY).parent.name == "hazards"


def test_a_record_without_a_review_is_left_alone(small):
    path = small / "knowledge" / "alloys" / "test-steel.yaml"
    path.write_text("name: x\n")
    with pytest.raises(EditFailed, match="has no line `reviewed"):
        stamp_review(small, "test-steel", DAY)
    assert path.read_text() == "name: x\n"


def test_a_date_that_is_none_is_a_wrong_command(capsys):
    with pytest.raises(SystemExit) as left:
        cli.main(["reviewed", "stainless-316l", "--on", "tomorrow"])
    assert left.value.code == 2
    assert "tomorrow is not a date; write it as 2026-01-31" in capsys.readouterr().err


def test_the_verb_stamps_today(small, monkeypatch, capsys):
    monkeypatch.setattr(cli, "ROOT", small)
    assert cli.main(["reviewed", "test-steel"]) == 0
    assert "on: 2027-02-01" in (small / "knowledge" / "alloys" / "test-steel.yaml").read_text()
    assert cli.main(["reviewed", "test-stel"]) == 2


def test_where_every_material_stands_for_a_part_in_a_setting(tmp_path):
    knowledge, _ = check(make_root(tmp_path / "full", SMALL, FULL))
    said = explain(knowledge, "full-pinion/old-watch").splitlines()
    assert said[:5] == [
        "Full pinion setting name",
        "  how to tell: setting tells",
        "  restoration needs the material of the period",
        "usual choice:",
        # its density is a relative's
        "  Full steel, full annealed: setting usual words \u25c7 rests on a borrowed figure",
    ]
    assert "  in other watches: explain full-pinion/old-watch" in explain(knowledge, "full-pinion")


def test_two_sources_and_their_span(small):
    knowledge, _ = check(small)
    assert (
        explain(knowledge, "test-steel.density")
        == """\
Test steel: density

in every state
  7.98 g/cm³ (typical)  knowledge/alloys/test-steel.yaml:13:13
      source: Invented standard, Nobody [test-standard, knowledge/sources/test.yaml:1:1]
  8.0 g/cm³ (typical)  knowledge/alloys/test-steel.yaml:13:53
      source: Invented sheet, Nobody [test-sheet, knowledge/sources/test.yaml:2:1]
  what counts: 7.98 to 8.0 g/cm³ (the span of 2 figures)"""
    )


def test_what_is_not_counted_and_why(tmp_path):
    knowledge, complaints = check(make_root(tmp_path, SMALL, FULL))
    assert complaints == []
    expansion = explain(knowledge, "full-steel.expansion")
    assert (
        "14 ×10⁻⁶/K (typical)  knowledge/alloys/full-steel.yaml:20:74\n      note: 20 to 600 degC\n"
        in expansion
    )
    assert "not counted: its span is not that of a room (0 to 120 degC)" in expansion
    assert "what counts: 11.0 to 12.0 ×10⁻⁶/K (the only figure)" in expansion
    assert (
        "memory; not found in print\n  what counts: 205 GPa (the only figure; from memory, so"
        " it decides no verdict)" in explain(knowledge, "full-steel.elastic-modulus")
    )
    hardness = explain(knowledge, "full-steel.hardness")
    assert "what counts: 58 to 60 HRC (the only figure)" in hardness
    assert (
        "full place, full.example/address; full source note; the text itself was not read"
        " [full-book, knowledge/sources/full.yaml:1:1]" in hardness
    )


def test_memory_and_limits_do_not_count_beside_better(small):
    path = small / "knowledge" / "alloys" / "test-brass.yaml"
    path.write_text(
        path.read_text().replace(
            "density: [",
            "density: [{typical: 8.6, source: memory}, {at_most: 8.7, source: test-sheet}, ",
        )
    )
    knowledge, complaints = check(small)
    assert complaints == []
    said = explain(knowledge, "test-brass.density")
    assert said.count("not counted") == 2
    assert "not counted: from memory, and a publication gives it too" in said
    assert "not counted: a limit, and a value is known too" in said
    assert "what counts: 8.53 g/cm³ (the only figure)" in said


def test_the_own_figure_of_a_workshop_comes_first(small, layer):  # noqa: F811
    folder = layer(alloys__test_steel=STEEL.replace("118", "130"), sources__ours=OURS)
    said = explain(check(small, [folder])[0], "test-steel.density")
    assert said.count("not counted: the workshop's own figure comes first") == 2
    assert f"7.95 g/cm³ (typical, of this workshop)  {folder}/alloys/test-steel.yaml:5:7" in said
    assert "what counts: 7.95 g/cm³ (the only figure)" in said


@pytest.mark.slow
def test_the_envelope_that_is_explained_is_the_one_that_computes(knowledge, values):
    """For every property of every shipped material: each quantity is said, and as many figures are
    counted as have sources in it."""
    from generator.verdicts.wording import with_unit

    for key, record in knowledge.materials.items():
        for prop in {*record.figures, *(p for s in record.states.values() for p in s.figures)}:
            said = explain(knowledge, f"{key}.{prop}")
            for state in [None, *record.states]:
                if prop in (record.figures if state is None else record.states[state].figures):
                    for unit in knowledge.words("properties")[prop].units:
                        quantity = values.of(key, prop, state, unit)
                        if quantity:
                            assert (
                                f"what counts: {with_unit(knowledge, quantity)} (".replace(
                                    "\u00a0", " "
                                )
                                in said
                            ), (
                                key,
                                prop,
                                state,
                            )


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("test-steel.densty", "there is no property densty; did you mean density?"),
        ("test-stel.density", "there is no material test-stel"),
        ("test-steel", r"there is no property \(none was named\)"),
    ],
)
def test_a_figure_that_is_not_there(small, name, said):
    with pytest.raises(EditFailed, match=said):
        explain(check(small)[0], name)


def test_a_property_that_nobody_found(small):
    assert explain(check(small)[0], "test-brass.hardness").endswith(
        "not found: no source that was read gives it"
    )


def test_a_saved_file_gives_a_sign_and_nothing_else_does(tmp_path, monkeypatch):
    monkeypatch.setattr(watch.time, "sleep", lambda _: None)
    path = tmp_path / "x.yaml"
    path.write_text("a")
    signs = watch.Watch([tmp_path]).changes()
    next(signs)
    os.utime(path, ns=(1, 1))
    next(signs)
    (tmp_path / "y.yaml").write_text("b")
    next(signs)
    path.unlink()
    next(signs)
    (tmp_path / ".schema").mkdir()
    before = watch.snapshot([tmp_path])
    (tmp_path / ".schema" / "z.json").write_text("{}")
    assert watch.snapshot([tmp_path]) == before


@pytest.mark.slow
def test_check_watch_checks_again_at_each_save(small, tmp_path):
    # A shell that started the tests in the background lets them ignore Ctrl+C.
    code = (
        "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler); from pathlib"
        " import Path; from generator import cli; cli.ROOT = Path(sys.argv[1]);"
        " sys.exit(cli.main(['check', '--watch']))"
    )
    out = tmp_path / "out"
    with out.open("w") as file:
        process = subprocess.Popen(
            [sys.executable, "-c", code, str(small)],
            cwd=ROOT,
            stdout=file,
            stderr=subprocess.STDOUT,
        )
    try:
        path = small / "knowledge" / "alloys" / "test-steel.yaml"
        wait_for(out, "No faults")
        good = path.read_text()
        path.write_text(good.replace("typical: 7.98", "typical: 79.8"))
        wait_for(out, "79.8 is outside")
        path.write_text(good)
        for _ in range(100):
            if out.read_text().count("No faults") == 2:
                break
            time.sleep(0.1)
        assert out.read_text().count("No faults") == 2
    finally:
        process.send_signal(2)
        assert process.wait(60) == 0


def wait_for(out, text: str) -> None:
    for _ in range(200):
        if text in out.read_text():
            return
        time.sleep(0.1)
    raise AssertionError(out.read_text())
