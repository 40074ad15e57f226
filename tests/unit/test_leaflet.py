"""The owner's leaflet: its sentences come from the records, its limits always stand, and it never
promises what no metal can."""

import json

import pytest

from generator.checks.rules import check
from generator.numbers.values import Values
from generator.site.leaflet import FIELDS, activities, choices, data, limits, scripts
from generator.site.view import View
from generator.verdicts.findings import EXPOSURE_ORDER
from generator.verdicts.verdicts import Verdicts
from tests.conftest import ROOT, edit


def drawn(knowledge):
    return View(knowledge, ROOT / "site_src" / "templates", {}), Verdicts(
        knowledge, Values(knowledge)
    )


@pytest.fixture(scope="module")
def files(knowledge, verdicts):
    """The scripts of the shipped leaflet, by name."""
    return scripts(knowledge, View(knowledge, ROOT / "site_src" / "templates", {}), verdicts)


def test_every_part_that_it_names_has_a_record(knowledge):
    assert {p for parts in FIELDS.values() for p in parts} <= set(knowledge.parts)


def test_the_limits_that_always_stand(knowledge):
    text = " ".join(limits(knowledge))
    assert "Water resistance is not permanent" in text
    assert "Old luminous dials stay closed" in text
    assert "No metal suits every skin" in text


def test_it_never_says_hypoallergenic(knowledge, files):
    said = " ".join([*files.values(), *limits(knowledge)]).lower()
    for word in ("hypoallergenic", "hypo-allergenic", "hypoallergen", "hypoallergénique"):
        assert word not in said


def test_what_may_be_chosen(knowledge, verdicts):
    usual, others = choices(knowledge, verdicts, "case")
    assert {"stainless-316l", "titanium-grade-5"} <= set(usual)
    assert not {"steel-o1", "brass-cuzn39pb3"} & {
        *usual,
        *others,
    }  # rust and lead have no place on the wrist
    assert set(usual) & set(others) == set()
    coatings = {m for m, folder in knowledge.folders.items() if folder == "coatings"}
    assert set(choices(knowledge, verdicts, "plating")[0]) == coatings


def test_the_data_of_a_small_knowledge_base(small, monkeypatch):
    knowledge, _ = check(small)
    monkeypatch.setattr(
        "generator.site.leaflet.FIELDS",
        {"case": ("test-case",), "plating": ()},
    )
    found = data(knowledge, *drawn(knowledge))
    swimming = found["activities"][0]
    assert (swimming["name"], swimming["hazards"], swimming["water"]) == ("Swimming", [0], 0)
    assert found["hazards"] == [["Rinse it."]]
    # Both hold; brass is no choice for a case.
    assert {m: entry["worst"] for m, entry in found["materials"].items()} == {
        "test-steel": "0",
        "test-plate": "0",
    }


def test_of_the_states_that_are_worn_the_worst_is_told(small, monkeypatch):
    figures = "figures: {hardness: [{typical: 260, unit: HV, source: test-sheet}]}"
    half_hard = f"  half-hard: {{name: half hard, reached: rolled, {figures}}}\n"
    edit(small, "alloys/test-steel.yaml", "working:\n", f"{half_hard}working:\n")
    usual = "  - {material: test-steel, state: annealed, why: it stands the sea}\n"
    edit(small, "parts/test-case.yaml", usual, usual + usual.replace("annealed", "half-hard"))
    harm = "verdict: suffers, mechanism: rust, why: strained, source: practice"
    rule = f"  - {{when: {{states: [half-hard]}}, {harm}}}\n"
    edit(small, "hazards/test-sea.yaml", "rules:\n", f"rules:\n{rule}")
    monkeypatch.setattr("generator.site.leaflet.FIELDS", {"case": ("test-case",), "plating": ()})
    knowledge, complaints = check(small)
    assert complaints == []
    found = data(knowledge, *drawn(knowledge))["materials"]["test-steel"]
    assert EXPOSURE_ORDER[int(found["worst"])] == "suffers"


def test_an_activity_with_a_hazard_that_has_no_record_is_refused(small):
    (small / "knowledge" / "vocabulary" / "activities.yaml").write_text(
        "swimming: {name: swimming, hazards: [test-sea]}\nsailing: {name: sailing, hazards:"
        " [test-see]}\n"
    )
    _, complaints = check(small)
    assert [str(c) for c in complaints] == [
        "knowledge/vocabulary/activities.yaml:2:36: there is no hazard test-see; did you mean"
        " test-sea?"
    ]


def test_the_activities_stand_in_the_order_of_their_file(small):
    (small / "knowledge" / "vocabulary" / "activities.yaml").write_text(
        "wading: {name: wading, hazards: [test-sea]}\nbathing: {name: bathing, hazards:"
        " [test-sea]}\n"
    )
    knowledge, _ = check(small)
    assert activities(knowledge) == [("wading", ["test-sea"]), ("bathing", ["test-sea"])]


def test_each_script_is_one_assignment_of_json(files):
    assert list(files) == [
        "assets/leaflet-data.js",
        "assets/leaflet-data-de.js",
        "assets/leaflet-data-fr.js",
    ]
    for tag in ("de", "fr"):
        _, _, value = files[f"assets/leaflet-data-{tag}.js"].partition(f'["{tag}"]=')
        found = json.loads(value.removesuffix(";\n"))["names"]["titanium-grade-5"]
        assert found == {"de": "Titan", "fr": "titane"}[tag]
    text = files["assets/leaflet-data.js"]
    assert text.startswith("window.benchLeaflet={") and text.endswith("};\n")
    assert json.loads(text.removeprefix("window.benchLeaflet=").removesuffix(";\n"))["materials"][
        "leather-strap"
    ]["says"]
