"""A workshop's own layer: it adds and overrides, its figures compute, its faults have places in
its own files, and pages say what is its own."""

import json
import re
import shutil
from functools import partial
from pathlib import Path

import pytest

from generator import cli
from generator.checks.rules import check
from generator.commands.build import Timings, build
from generator.numbers.values import Values
from generator.site import layer_words
from generator.verdicts.conditions import cautions_of_material
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import NO, Ladder
from tests.conftest import ROOT, SMALL, make_buildable, make_root

DEMO = ROOT / "tests" / "demo-layer"


def write_layer(folder: Path, **files: str) -> Path:
    """Write records of a layer: `alloys__test_steel` is alloys/test-steel.yaml."""
    for name, text in files.items():
        path = folder / (name.replace("__", "/").replace("_", "-") + ".yaml")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


@pytest.fixture
def layer(tmp_path):
    """Writes records of a layer and gives its folder."""
    return partial(write_layer, tmp_path / "layer")


OURS = "our-scale: {title: Our scale, publisher: Us, kind: other}\n"
STEEL = """\
summary: Our own words.
notes: [Lot 7 is hard.]
figures:
  density:
    - {typical: 7.95, source: our-scale}
states:
  annealed:
    figures:
      hardness: [{typical: 118, unit: HV, source: our-scale}]
  drawn:
    name: drawn
    figures:
      hardness: [{typical: 300, unit: HV, source: our-scale}]
working:
  polish: {rating: well, source: our-scale}
"""


def test_figures_stand_side_by_side_and_the_own_one_computes(small, layer):
    knowledge, complaints = check(
        small, [layer(alloys__test_steel=STEEL.replace("118", "130"), sources__ours=OURS)]
    )
    assert complaints == []
    steel = knowledge.materials["test-steel"]
    assert [(str(f.typical), f.source) for f in steel.figures["density"]] == [
        ("7.98", "test-standard"),
        ("8.0", "test-sheet"),
        ("7.95", "our-scale"),
    ]
    values = Values(knowledge)
    density = values.of("test-steel", "density")
    assert (density.low, density.high, density.sources) == (
        density.low,
        density.low,
        ("our-scale",),
    )
    assert str(density.low) == "7.95"
    assert str(values.of("test-steel", "hardness", "annealed", "HV").low) == "130"
    assert (
        str(values.of("test-steel", "elastic-modulus").low) == "200"
    )  # nothing of its own: the shipped figure


def test_other_fields_take_the_place_of_the_shipped_ones(small, layer):
    knowledge, _ = check(small, [layer(alloys__test_steel=STEEL, sources__ours=OURS)])
    steel = knowledge.materials["test-steel"]
    assert (steel.name, steel.summary, steel.notes) == (
        "Test steel",
        "Our own words.",
        ["Lot 7 is hard."],
    )
    assert list(steel.states) == ["annealed", "drawn"]
    assert steel.states["annealed"].reached == "1050 degC, water"
    assert {w: r.rating for w, r in steel.working.items()} == {
        "turn": "with-care",
        "polish": "well",
    }


def test_the_layer_says_what_came_from_it(small, layer):
    knowledge, _ = check(small, [layer(alloys__test_steel=STEEL, sources__ours=OURS)])
    assert knowledge.from_layer("material", "test-steel", ("figures", "density", 2))
    assert not knowledge.from_layer("material", "test-steel", ("figures", "density", 1))
    assert knowledge.from_layer(
        "material", "test-steel", ("states", "drawn", "figures", "hardness", 0)
    )
    assert knowledge.from_layer("source", "our-scale")
    assert not knowledge.from_layer("material", "test-brass")
    assert layer_words.added(knowledge)["material", "test-steel"].fields == [
        "density",
        "hardness, annealed",
        "drawn",
        "summary",
        "polishing",
    ]
    assert (
        layer_words.notice(knowledge)
        == "◆ marks what comes from this workshop’s own layer: 1 record, 3 figures."
    )


def test_own_figures_turn_verdicts(small, layer):
    """The shipped 140 to 215 HV meets the demand of 120 HV; the workshop's own 118 misses it, and
    the trade contradicts."""
    knowledge, complaints = check(
        small,
        [
            layer(
                alloys__test_steel=STEEL.replace("  drawn:", "  spare:").replace(
                    "name: drawn", "name: spare"
                ),
                sources__ours=OURS,
            )
        ],
    )
    assert [c.rule for c in complaints] == ["verdict_contradicts_the_trade"]
    ladder = Ladder(Judge(knowledge, Values(knowledge)))
    assert ladder.judgement("test-case", "test-steel", "annealed").rung == NO


@pytest.mark.parametrize(
    ("files", "said"),
    [
        (
            {
                "alloys__test_steel": (
                    "figures:\n  density:\n    - {typical: 79.5, source: test-sheet}\n"
                )
            },
            (
                "{layer}/alloys/test-steel.yaml:3:17: density: 79.5 is outside 0.8 to 25 g/cm3;"
                " check the decimal point and the unit"
            ),
        ),
        (
            {"alloys__test_steel": "figures:\n  density: [{typical: 7.9}]\n"},
            "{layer}/alloys/test-steel.yaml:2:13: source is missing; add it",
        ),
        (
            {"alloys__test_steel": "sumary: x\n"},
            "{layer}/alloys/test-steel.yaml:1:1: unknown key sumary; did you mean summary?",
        ),
        (
            {"alloys__test_steel": "family: gold-dust\n"},
            "{layer}/alloys/test-steel.yaml:1:9: there is no family gold-dust; did you mean gold?",
        ),
        (
            {"alloys__new_steel": "name: New steel\n"},
            "{layer}/alloys/new-steel.yaml:1:1: family is missing; add it",
        ),
        (
            {"parts__test_case": "usual:\n  - {material: test-brass, why: cheap}\nwrong: []\n"},
            "{layer}/parts/test-case.yaml:2:5: usual says test-brass, the verdict is 'no'",
        ),
        (
            {"sources__ours": OURS},
            "{layer}/sources/ours.yaml:1:1: source our-scale is cited nowhere; delete it",
        ),
        ({"lost__x": "a: 1\n"}, "{layer}/lost/x.yaml: is in no folder that is read"),
        ({"alloys__test_steel": "name: [\n"}, "{layer}/alloys/test-steel.yaml:2:1: cannot be read"),
    ],
)
def test_faults_of_a_layer_have_places_in_its_own_files(small, layer, files, said):
    folder = layer(**files)
    messages = [str(c) for c in check(small, [folder])[1]]
    assert any(m.startswith(said.format(layer=folder)) for m in messages), messages
    assert all(str(folder) in m for m in messages), messages


def test_a_fault_in_a_shipped_file_keeps_its_place_under_a_layer(small, layer):
    path = small / "knowledge" / "alloys" / "test-steel.yaml"
    path.write_text(path.read_text().replace("typical: 8.0,", "typical: 80,"))
    _, complaints = check(
        small, [layer(alloys__test_steel=STEEL.replace("118", "130"), sources__ours=OURS)]
    )
    assert [str(c).partition(";")[0] for c in complaints] == [
        "knowledge/alloys/test-steel.yaml:13:63: density: 80 is outside 0.8 to 25 g/cm3"
    ]


def test_a_layer_inside_the_project_is_named_from_there(small, layer):
    folder = small / "ours"
    shutil.copytree(layer(alloys__test_steel="sumary: x\n"), folder)
    assert [str(c) for c in check(small, [folder])[1]][0].startswith(
        "ours/alloys/test-steel.yaml:1:1: "
    )


def test_a_list_is_merged_entry_by_entry(small, layer):
    folder = layer(
        cautions=(
            "test-dust: {wear: [A mask.]}\nour-acid: {name: Our acid, danger: It burns., do: [Wear"
            " goggles.], first_aid: [Call the emergency number.], authority: [test-standard]}\n"
        )
    )
    knowledge, complaints = check(small, [folder])
    assert complaints == []
    assert (knowledge.cautions["test-dust"].wear, knowledge.cautions["test-dust"].do[0]) == (
        ["A mask."],
        "Work wet.",
    )
    assert knowledge.cautions["our-acid"].name == "Our acid"
    assert knowledge.from_layer("list", "cautions", ("test-dust", "wear"))
    assert not knowledge.from_layer("list", "cautions", ("test-dust", "do"))


def test_a_source_of_the_same_id_is_overridden(small, layer):
    knowledge, complaints = check(
        small, [layer(sources__ours="test-sheet: {title: Our sheet, publisher: Us, kind: other}\n")]
    )
    assert complaints == []
    assert knowledge.sources["test-sheet"].title == "Our sheet"


@pytest.fixture(scope="module")
def layered_site(tmp_path_factory):
    home = tmp_path_factory.mktemp("layered")
    folder = write_layer(
        home / "layer",
        alloys__test_steel=STEEL.replace("118", "130"),
        sources__ours=OURS,
        processes__test_polish=(
            "figures:\n  - {what: our layer, typical: 3, unit: um, source: our-scale}\n"
        ),
        parts__test_case="notes: ['<b>Ours</b> | ours']\n",
    )
    return build(make_buildable(home / "small", SMALL), Timings(), [folder])[0]


def test_every_page_says_what_comes_from_the_layer(layered_site):
    for path in layered_site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert (
            '<p class="layer">◆ marks what comes from this workshop’s own layer: 3 records, 3'
            " figures.</p>" in text
        ), path
    steel = (layered_site / "materials" / "test-steel.html").read_text(encoding="utf-8")
    assert "Of this workshop: density; hardness, annealed; drawn; summary; polishing." in steel
    assert "<li>Lot 7 is hard.</li>" in steel
    rows = re.findall(
        r"<tr[^>]*><th"
        r" scope=\"row\">density</th>.*?</tr>|<tr[^>]*>(?:(?!</tr>).)*g/cm³(?:(?!</tr>).)*</tr>",
        steel,
        re.S,
    )
    marked = [row for row in rows if "of this workshop</td>" in row]
    assert [("7.95" in row, "7.98" in row) for row in marked] == [(True, False)]
    assert "7.98" in steel and ">8.0<" in steel  # the shipped figures stay in sight
    assert 'Test steel</a><span class="own" role="img" aria-label="of this workshop">◆</span>' in (
        layered_site / "parts" / "test-case.html"
    ).read_text(encoding="utf-8")
    polish = (layered_site / "processes" / "test-polish.html").read_text(encoding="utf-8")
    assert [
        ("our layer" in row)
        for row in re.findall(r"<tr>.*?</tr>", polish, re.S)
        if "of this workshop</td>" in row
    ] == [True]
    assert "&lt;b&gt;Ours&lt;/b&gt; | ours" in (
        layered_site / "parts" / "test-case.html"
    ).read_text(encoding="utf-8")


def test_the_published_data_says_which_figures_are_own(layered_site):
    data = json.loads((layered_site / "data" / "knowledge.json").read_text(encoding="utf-8"))
    steel = next(m for m in data["materials"] if m["id"] == "test-steel")
    assert [
        (f["low"]["text"], f["layer"]) for f in steel["figures"] if f["property"] == "density"
    ] == [
        ("7.98", False),
        ("8.0", False),
        ("7.95", True),
    ]


def test_a_build_with_a_layer_leaves_the_editors_schemas_alone(layered_site):
    assert not (layered_site.parent / "knowledge" / ".schema").exists()


def test_without_a_layer_no_page_speaks_of_one(small_built):
    assert not any(
        'class="layer"' in p.read_text(encoding="utf-8")
        or 'class="own"' in p.read_text(encoding="utf-8")
        for p in (small_built / "site").rglob("*.html")
    )


@pytest.mark.slow
def test_the_demo_layer_stands_on_the_shipped_knowledge_and_is_marked_as_invented():
    knowledge, complaints = check(ROOT, [DEMO])
    assert [str(c) for c in complaints] == []
    assert str(Values(knowledge).of("brass-cuzn39pb3", "density").low) == "8.44"
    assert "demo-scrap-brass" in knowledge.materials
    assert all("nvented" in path.read_text(encoding="utf-8") for path in DEMO.rglob("*.yaml"))


def test_a_layer_that_is_no_folder_is_a_wrong_command(capsys):
    with pytest.raises(SystemExit) as left:
        cli.main(["check", "--layer", "nowhere"])
    assert left.value.code == 2
    assert "nowhere is not a folder" in capsys.readouterr().err


def test_a_workshop_may_write_notes_without_a_layer(small):
    path = small / "knowledge" / "hazards" / "test-sea.yaml"
    path.write_text(path.read_text() + "notes: [Seen often here.]\n")
    knowledge, complaints = check(small)
    assert complaints == []
    assert layer_words.notice(knowledge) == ""
    assert layer_words.added(knowledge) == {
        ("hazard", "test-sea"): layer_words.Added([], ["Seen often here."], [])
    }


def test_the_small_base_takes_the_layer_twice_alike(tmp_path, layer):
    folder = layer(alloys__test_steel=STEEL, sources__ours=OURS)
    roots = [make_root(tmp_path / name, SMALL) for name in ("a", "b")]
    first, second = (
        {key: m.model_dump() for key, m in check(root, [folder])[0].materials.items()}
        for root in roots
    )
    assert first == second


def test_a_layer_leads_nowhere_else_either(small, layer, tmp_path):
    folder = layer(sources__ours=OURS)
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "secret.yaml").write_text(STEEL, encoding="utf-8")
    (folder / "alloys").symlink_to(outside)
    (folder / "sources" / "more.yaml").symlink_to(outside / "secret.yaml")
    knowledge, complaints = check(small, [folder])
    assert sorted(str(c) for c in complaints) == [
        f"{folder / 'alloys'}: is a link; put the folder itself here",
        f"{folder / 'sources' / 'more.yaml'}: is a link; put the file itself here",
    ]
    assert "secret" not in knowledge.materials


CAUTION_FIELDS = {
    "danger": "danger: None to speak of.",
    "name": "name: Nothing.",
    "do": "do: Nothing at all.",
}


def cautions_of(root, layers, key="test-brass"):
    knowledge, complaints = check(root, layers)
    return cautions_of_material(knowledge, key), [str(c) for c in complaints]


def test_a_layer_adds_to_the_cautions_of_a_record_and_cannot_empty_them(small, layer):
    path = small / "knowledge" / "alloys" / "test-steel.yaml"
    path.write_text(
        re.sub("no_caution: .*\n", "", path.read_text()).rstrip() + "\ncautions: [test-dust]\n"
    )
    shipped, complaints = cautions_of(small, [], "test-steel")
    assert ("test-dust" in shipped, complaints) == (True, [])
    for typed in ("[]", "[test-dust]"):
        own = layer(alloys__test_steel=f"cautions: {typed}\n")
        assert cautions_of(small, [own], "test-steel") == (shipped, [])
    own = layer(alloys__test_steel="cautions: none\n")
    found, complaints = cautions_of(small, [own], "test-steel")
    assert found == shipped
    assert any("add to the shipped ones and must be a list" in c for c in complaints)


@pytest.mark.parametrize("field", CAUTION_FIELDS)
def test_a_layer_cannot_reword_a_shipped_caution(small, layer, field):
    """Softening a warning is as bad as deleting it."""
    own = layer(cautions=f"test-dust: {{{CAUTION_FIELDS[field]}}}\n")
    knowledge, complaints = check(small, [own])
    (said,) = [str(c) for c in complaints]
    assert re.search(
        f"cautions.yaml:1:.*a layer may not change {field} of the shipped caution test-dust; "
        "write your own entry under another id",
        said,
    )
    assert knowledge.cautions["test-dust"] == check(small)[0].cautions["test-dust"]


def test_a_layer_may_add_to_what_a_caution_says(small, layer):
    before = check(small)[0].cautions["test-dust"]
    own = layer(cautions="test-dust: {do: [Ask the foreman first.], wear: []}\n")
    knowledge, complaints = check(small, [own])
    after = knowledge.cautions["test-dust"]
    assert complaints == []
    assert (after.do, after.wear) == ([*before.do, "Ask the foreman first."], before.wear)


def test_a_caution_does_not_go_away_with_the_field_that_brought_it(small, layer):
    """A family, recipe or trait of the layer that would end a caution's condition is refused."""
    knowledge, _ = check(small)
    key = next(k for k in knowledge.materials if cautions_of_material(knowledge, k))
    caution = sorted(cautions_of_material(knowledge, key))[0]
    folder = knowledge.folders[key]
    text = "family: austenitic-stainless\nno_caution: none\n"
    own = layer(**{f"{folder}__{key.replace('-', '_')}": text})
    complaints = [str(c) for c in check(small, [own])[1]]
    assert any(
        f"{own.as_posix()}/{folder}/{key}.yaml:1:" in c and f"loses the caution {caution}" in c
        for c in complaints
    ), complaints


def test_first_aid_cannot_be_softened_either(small, layer):
    entry = next(iter(check(small)[0].first_aid))
    own = layer()
    own.mkdir()
    (own / "first_aid.yaml").write_text(f"{entry}: {{then: Back to work.}}\n")
    (said,) = [str(c) for c in check(small, [own])[1]]
    assert f"may not change then of the shipped first aid {entry}" in said


def test_reviewed_and_edition_write_into_the_layer(buildable, layer, monkeypatch):
    from datetime import date

    from generator import cli
    from generator.records import clock

    folder = layer(alloys__test_steel=STEEL.replace("118", "130"), sources__ours=OURS)
    own = folder / "alloys" / "test-steel.yaml"
    own.write_text(own.read_text() + "reviewed: {on: 2026-11-25, by: our lead}\n")
    shipped = {p: p.read_bytes() for p in (buildable / "knowledge").rglob("*.yaml")}
    monkeypatch.setattr(cli, "ROOT", buildable)
    monkeypatch.setattr(clock, "today", lambda: date(2027, 2, 1))
    monkeypatch.setattr("generator.commands.build.cards", lambda site: site.cards)
    words = ["reviewed", "test-steel", "--on", "2027-01-31", "--layer", str(folder)]
    assert cli.main(words) == 0
    assert "{on: 2027-01-31, by: our lead}" in own.read_text()
    assert cli.main(["reviewed", "test-case", "--layer", str(folder)]) == 2
    assert cli.main(["edition", "--layer", str(folder)]) == 0
    assert (folder / "editions" / "2027-01-31.yaml").exists()
    assert (folder / "editions" / "last.json").exists()
    assert shipped == {p: p.read_bytes() for p in (buildable / "knowledge").rglob("*.yaml")}
