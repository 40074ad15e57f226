"""The command line: help with an example for each verb, exit codes that mean something, `new`
writes a record that is only to be filled in."""

import json
import re
import subprocess
import sys

import pytest

from generator import cli
from generator.checks.rules import check
from generator.records import editor_schemas
from generator.records.editor_schemas import FOLDER, build, write
from generator.records.loading import load
from generator.upkeep.new_record import KINDS, LISTS, NewFailed, new_record
from tests.conftest import ROOT

VERBS = [
    "build",
    "check",
    "serve",
    "publish",
    "new",
    "reviewed",
    "read-back",
    "explain",
    "take",
    "work",
    "test",
]


@pytest.mark.parametrize("verb", VERBS)
def test_each_verb_has_help_with_an_example(verb, capsys):
    with pytest.raises(SystemExit) as left:
        cli.main([verb, "--help"])
    assert left.value.code == 0
    assert f"python3 -m generator {verb}" in capsys.readouterr().out.split("example:")[1]


def test_a_wrong_command_line_is_2(capsys):
    with pytest.raises(SystemExit) as left:
        cli.main(["bild"])
    assert left.value.code == 2


@pytest.mark.slow
def test_check_on_the_shipped_knowledge_is_0_from_the_command_line():
    done = subprocess.run(
        [sys.executable, "-m", "generator", "check"], cwd=ROOT, capture_output=True, text=True
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("No faults: ")


def test_faults_are_1_with_one_line_each(small, monkeypatch, capsys):
    path = small / "knowledge" / "alloys" / "test-steel.yaml"
    path.write_text(path.read_text().replace("typical: 7.98", "typical: 79.8"))
    monkeypatch.setattr(cli, "ROOT", small)
    assert cli.main(["check"]) == 1
    out, err = capsys.readouterr()
    assert out == (
        "knowledge/alloys/test-steel.yaml:13:23: density: 79.8 is outside 0.8 to 25 g/cm3; "
        "check the decimal point and the unit\n"
    )
    assert "untouched" in err


def test_the_page_on_digits_tells_what_a_calculation_shows(capsys):
    """4.0 x 7.98 = 31.92, by hand; the page that explains the numbers uses it as its example."""
    assert cli.main(["work", "mass-from-volume", "V=4.0", "rho=7.98"]) == 0
    said = capsys.readouterr().out.replace("\u00a0", " ")
    assert "about 31.92 g" in said
    assert "about 31.92 g" in (ROOT / "site_src" / "pages" / "about.md").read_text("utf-8")


def test_work_as_json(small, monkeypatch, capsys):
    """4.0 cm3 at 7.9 to 8.0 g/cm3 is 31.6 to 32.0 g."""
    monkeypatch.setattr(cli, "ROOT", small)
    assert cli.main(["work", "mass-from-volume", "V=4.0", "rho=7.9..8.0", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {
        "result": "31.6 to 32.0",
        "low": 31.6,
        "high": 32.0,
        "unit": "g",
    }


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nothing"], "there is no formula nothing"),
        (["mass-from-volume", "V=x", "rho=8"], "is not a number"),
        (["mass-from-volume", "V=4"], "rho (density of the material) is missing"),
        (["mass-from-volume", "V=-4", "rho=8"], "is outside 0.0001 to 1000\u00a0cm³"),
        (["mass-from-volume", "q=1"], "is not symbol=value"),
        (["mass-from-volume", "V=1e309", "rho=8"], "is not a number"),
    ],
)
def test_work_says_what_is_wrong(small, monkeypatch, capsys, words, said):
    monkeypatch.setattr(cli, "ROOT", small)
    assert cli.main(["work", *words]) == 2
    assert said in capsys.readouterr().err


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("in_layer", [False, True])
def test_new_writes_a_record_of_the_right_shape_in_which_no_figure_can_pass_as_true(
    small, tmp_path, kind, in_layer
):
    layer = tmp_path / "layer" if in_layer else None
    if layer:
        layer.mkdir()
    path = new_record(small, kind, "trial-record", layer)
    assert path.is_relative_to(layer or small / "knowledge")
    shown = path.as_posix() if layer else path.relative_to(small).as_posix()

    def shape() -> list:
        found = load(small, [layer] if layer else [])[1]
        return [c for c in found if c.place.file == shown and c.rule == "shape"]

    left = {c.fault.partition(": ")[2] for c in shape()}
    typed = re.sub("#.*", "", path.read_text())
    typed = typed[typed.index("trial-record:") :] if kind in LISTS else typed
    if re.search("NUMBER|DATE", typed):
        assert left == {"a placeholder from `new` has not been replaced"}
    else:
        assert left == set()
    assert not re.search(r"(?<![\w-])\d", typed), "a figure that somebody may forget to replace"
    filled = path.read_text().replace("[NUMBER, NUMBER]", "[1, 2]").replace("NUMBER", "1")
    path.write_text(filled.replace("DATE", "2026-01-31"))
    assert shape() == []
    said = [c for c in check(small, [layer] if layer else [])[1] if c.place.file == shown]
    assert any(c.rule == "text_still_to_write" for c in said)


@pytest.mark.parametrize("kind", LISTS)
def test_new_adds_an_entry_and_leaves_the_others_as_they_are(small, kind):
    path = small / "knowledge" / LISTS[kind]
    before = "# of ours\r\n" + (
        path.read_text().replace("\n", "\r\n") if path.exists() else "old: {title: x}\r\n"
    )
    path.write_bytes(before.encode())
    new_record(small, kind, "trial-entry")
    after = path.read_bytes().decode()
    assert after.startswith(before)
    assert "\ntrial-entry:\r\n" in after
    with pytest.raises(NewFailed, match=f"trial-entry is in knowledge/{LISTS[kind]} already"):
        new_record(small, kind, "trial-entry")


def test_new_never_overwrites_and_explains(small):
    new_record(small, "alloy", "trial")
    for kind, key, said in (
        ("coating", "trial", "is there already"),
        ("aloy", "x", "did you mean alloy?"),
        ("alloy", "Bad Name", "cannot be an id"),
    ):
        with pytest.raises(NewFailed, match=said):
            new_record(small, kind, key)


def test_the_editor_schemas_are_in_step_with_the_models(knowledge):
    for name, text in build(knowledge).items():
        assert (ROOT / FOLDER / name).read_text(encoding="utf-8") == text, (
            f"{name} is stale; run python3 -m generator build"
        )


@pytest.mark.slow
def test_the_editor_schemas_are_made_again_where_they_or_what_they_rest_on_changed(
    small, monkeypatch
):
    """A damaged file, a missing one, a new source: each ends with what is made without memory."""

    def written() -> dict[str, str]:
        knowledge, complaints = load(small)
        assert complaints == []
        write(small, knowledge)
        found = {p.name: p.read_text(encoding="utf-8") for p in (small / FOLDER).iterdir()}
        assert found == build(knowledge)
        return found

    first = written()
    (small / FOLDER / "part.json").write_text("{}")
    (small / FOLDER / "material.json").unlink()
    assert written() == first
    source = "another-sheet: {title: Another, publisher: Somebody, kind: data-sheet}\n"
    (small / "knowledge" / "sources" / "another.yaml").write_text(source)
    assert "another-sheet" in written()["material.json"]
    knowledge, _ = load(small)
    monkeypatch.setattr(editor_schemas, "build", None)  # not called where all is the same
    write(small, knowledge)


def test_the_editor_schemas_accept_the_shipped_records_as_editors_read_them():
    """An editor reads plain YAML 1.2-like scalars; a number typed where text is wanted must be
    accepted too."""
    import jsonschema
    import yaml

    schema = json.loads((ROOT / FOLDER / "material.json").read_text(encoding="utf-8"))
    validator = jsonschema.Draft202012Validator(schema)
    for path in sorted((ROOT / "knowledge" / "alloys").glob("*.yaml"))[::6]:
        data = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
        data["reviewed"] = {
            "on": str(data["reviewed"].pop(True)),
            **data["reviewed"],
        }  # YAML 1.1 reads the key `on` as true
        assert [e.message for e in validator.iter_errors(data)] == [], path.name
