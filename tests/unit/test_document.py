"""The published data: what stranger's programs read of small invented records, told by hand, and
what its schema lets pass and refuses."""

import json
from copy import deepcopy
from types import SimpleNamespace

import jsonschema
import pytest

from generator.export import document, document_schema
from generator.records.knowledge import Knowledge


@pytest.fixture(scope="module")
def known(invented):
    """The small invented knowledge base."""
    return invented.knowledge


@pytest.fixture(scope="module")
def published(invented):
    """The document, read again as JSON."""
    made = document.build(invented.knowledge, invented.tables, invented.verdicts)
    return json.loads("".join(document.as_json(made)))


def entry(published, kind, key):
    (found,) = [e for e in published[kind] if e["id"] == key]
    return found


def number(text):
    return {"value": float(text), "text": text}


def figure(prop, kind, low, high, unit, source="full-book", **more):
    """A figure of a material in every state and of the very metal, where nothing else is said."""
    plain = {"state": None, "over": None, "of": None, "evidence": "own", "note": None}
    ends = {"low": low and number(low), "high": high and number(high)}
    given = {"property": prop, "kind": kind, **ends, "unit": unit, "sources": [source]}
    return {**given, **plain, "layer": False, **more}


def test_the_document_names_its_schema_its_edition_and_its_lists(published):
    assert (published["$schema"], published["title"]) == ("knowledge.schema.json", "Arbor & Case")
    assert published["edition"] == "2026-11-25"
    assert {name: len(found) for name, found in published.items() if isinstance(found, list)} == {
        "materials": 5, "parts": 2, "hazards": 2, "processes": 3, "tables": 12, "formulas": 13,
        "watches": 1, "sayings": 1, "lessons": 1, "tasks": 1, "cases": 1, "weeks": 1, "owner": 3,
        "cautions": 1, "first_aid": 1, "sources": len(published["sources"]),
    }  # fmt: skip


def test_a_material_as_others_read_it(published):
    anneal, temper = {"state": "annealed"}, {"state": "tempered-hard"}
    relative = {"of": "density relative", "evidence": "borrowed", "note": "density note"}
    assert entry(published, "materials", "full-steel") == {
        "id": "full-steel",
        "name": "Full steel",
        "summary": "An invented steel with every field.",
        "family": "carbon-steel",
        "class": "metal",
        "designations": [{"system": "nominal", "code": "Fe-1C"}],
        "also_called": ["other steel name"],
        "names": {"de": ["full-steel auf Deutsch"]},
        "composition": {
            "source": "full-book",
            "balance": "Fe",
            "shares": {
                "C": {"range": ["0.9", "1.1"]},
                "Mn": {"at_most": "0.5"},
                "Si": {"typical": "0.2"},
            },
            "note": "composition note",
        },
        "states": {"annealed": "full annealed", "tempered-hard": "full tempered"},
        "magnetism": "strong",
        "traits": ["heat-hardens"],
        "cautions": ["full-caution"],
        "figures": [
            figure("density", "typical", "7.85", "7.85", "g/cm3", **relative),
            figure("expansion", "range", "11.0", "12.0", "10^-6/K", over=["20", "100"]),
            figure("expansion", "typical", "14", "14", "10^-6/K", over=["20", "600"]),
            figure("thermal-conductivity", "range", "44", "48", "W/m/K"),
            figure("elastic-modulus", "typical", "205", "205", "GPa", "memory", evidence="memory"),
            figure("anodic-index", "typical", "0.60", "0.60", "V"),
            figure("hardness", "at_most", None, "200", "HV", **anneal),
            figure("hardness", "range", "58", "60", "HRC", **temper),
            figure(
                "hardness",
                "typical",
                "650",
                "650",
                "HV",
                "test-sheet",
                note="hardness note",
                **temper,
            ),
            figure("proof-strength", "at_least", "1500", None, "MPa", **temper),
            figure("fatigue-strength", "range", "640", "660", "MPa", **temper),
            figure(
                "elongation",
                "typical",
                "3",
                "3",
                "%",
                "test-sheet",
                of="elongation relative",
                evidence="borrowed",
                **temper,
            ),
        ],
        "reviewed": "2026-11-25",
    }
    plate = entry(published, "materials", "full-plate")
    assert (plate["composition"], plate["class"]) == (None, "coating")


def test_a_figure_of_a_layer_says_so(known, monkeypatch):
    own = ("material", "full-steel", ("states", "annealed", "figures", "hardness", 0))
    monkeypatch.setattr(Knowledge, "from_layer", lambda _, kind, key, way: (kind, key, way) == own)
    figures = document._material(known, "full-steel")["figures"]
    assert [(f["property"], f["state"]) for f in figures if f["layer"]] == [
        ("hardness", "annealed")
    ]


def test_a_part_as_others_read_it(published):
    full = {"firm": True, "source": "practice"}
    steel = {"material": "full-steel", "source": "full-book"}
    assert entry(published, "parts", "full-pinion") == {
        "id": "full-pinion",
        "name": "Full pinion",
        "summary": "An invented pinion with every field.",
        "zone": "train",
        "demands": [
            {
                **full,
                "property": "hardness",
                "at_least": "500",
                "unit": "HV",
                "why": "first demand words",
                "source": "full-book",
            },
            {
                **full,
                "property": "density",
                "at_most": "9",
                "firm": False,
                "why": "second demand words",
            },
            {**full, "working": "turn", "rating": "badly", "why": "third demand words"},
            {**full, "magnetism": "strong", "why": "fourth demand words"},
            {**full, "trait": "heat-hardens", "firm": False, "why": "fifth demand words"},
            {**full, "lacks_trait": "transparent", "why": "sixth demand words"},
            {
                **full,
                "mate": {"part": "test-case", "within": "8"},
                "firm": False,
                "why": "seventh demand words",
            },
        ],
        "meets": [{"hazard": "full-damp", "severity": "seldom", "note": "meeting note"}],
        "usual": [
            {**steel, "state": "tempered-hard", "why": "usual words"},
            {**steel, "state": "tempered-hard", "coated": "full-plate", "why": "coated words"},
        ],
        "wrong": [{**steel, "state": "annealed", "why": "wrong words"}],
        "settings": [
            {
                "id": "old-watch",
                "name": "setting name",
                "tells": "setting tells",
                "period": True,
                "made_from": ["sheet", "rod"],
                "demands": [
                    {
                        **full,
                        "property": "density",
                        "at_most": "8.5",
                        "why": "setting demand words",
                        "source": "full-book",
                    }
                ],
                "usual": [{**steel, "state": "annealed", "why": "setting usual words"}],
                "wrong": [{**steel, "material": "test-brass", "why": "setting wrong words"}],
            }
        ],
        "reviewed": "2026-11-25",
    }


def test_hazards_work_and_what_the_owner_is_told(published):
    sea = deepcopy(entry(published, "hazards", "test-sea"))
    brass, rest = sea.pop("rules")
    assert sea == {
        "id": "test-sea",
        "name": "Test sea",
        "summary": "Invented salt water.",
        "owner": ["Rinse it."],
        "reviewed": "2026-11-25",
    }
    assert brass.pop("when")["families"] == ["brass"]
    mine = {"zones": [], "parts": [], "source": "practice"}
    assert brass == {
        **mine,
        "verdict": "fails",
        "mechanism": "dezincification",
        "why": "zinc leaves",
    }
    assert (rest["verdict"], rest["why"]) == ("holds", "the film holds")
    assert entry(published, "processes", "full-harden") == {
        "id": "full-harden",
        "name": "Full hardening",
        "summary": "An invented hardening with every field.",
        "group": "heat",
        "steps": ["first step words", "second step", "third step words"],
        "figures": [
            {
                "what": "hardening figure words",
                "range": ["770", "800"],
                "unit": "degC",
                "source": "full-book",
                "of": "hardening relative",
                "note": "hardening figure note",
            }
        ],
        "cautions": ["full-caution"],
        "reviewed": "2026-11-25",
    }
    assert published["owner"] == [
        {"kind": "material", "id": "full-steel", "say": ["owner words of steel"]},
        {"kind": "hazard", "id": "full-damp", "say": ["owner words of damp"]},
        {"kind": "hazard", "id": "test-sea", "say": ["Rinse it."]},
    ]


def test_a_formula_with_its_worked_examples(published):
    example = {"tolerance": None, "tolerance_percent": None, "sources": ["full-book"]}
    assert entry(published, "formulas", "full-sum") == {
        "id": "full-sum",
        "name": "Full sum",
        "summary": "An invented calculation with every field.",
        "symbols": [
            {
                "symbol": "V",
                "meaning": "volume words",
                "unit": "cm3",
                "low": number("0.001"),
                "high": number("1000"),
                "default": number("4.0"),
                "property": None,
            },
            {
                "symbol": "rho",
                "meaning": "density words",
                "unit": "g/cm3",
                "low": number("0.8"),
                "high": number("25"),
                "default": None,
                "property": "density",
            },
        ],
        "expression": "V * rho",
        "result": {"meaning": "result words", "unit": "g"},
        "limits": ["limit words"],
        "cautions": ["full-caution"],
        "sources": ["full-book"],
        "readings": [
            {"below": "10", "say": "light words", "source": "full-book"},
            {"say": "heavy words", "source": "practice"},
        ],
        "examples": [
            {
                **example,
                "inputs": {"V": number("2.0"), "rho": number("10.5")},
                "low": number("21"),
                "high": number("21"),
                "tolerance": number("0.1"),
                "independence": "definition",
                "note": "example note",
            },
            {
                **example,
                "inputs": {"V": number("1.0"), "rho": number("8")},
                "low": number("7"),
                "high": number("9"),
                "independence": "independent",
                "note": None,
            },
        ],
    }


def quantity(kind, low, high, unit, shown, sources, **more):
    plain = {"evidence": "own", "of": []}
    ends = {"low": number(low), "high": number(high)}
    return {"kind": kind, **ends, "unit": unit, "shown": shown, "sources": sources, **plain, **more}


def test_a_computed_table_tells_the_working_of_its_cells(published):
    """4 cm3 of brass of 8.53 g/cm3 are 34.12 g."""
    table = entry(published, "tables", "case-mass")
    density = quantity("typical", "8.53", "8.53", "g/cm3", "8.53", ["test-standard"])
    mass = quantity("computed", "34.120", "34.120", "g", "about\u00a034.12", ["test-standard"])
    volume = quantity("computed", "4.0", "4.0", "cm3", "4.0", [])
    inputs = [
        {"what": "volume of the part", **volume},
        {"what": "density of the material", **density},
    ]
    assert table["rows"][0] == {
        "material": "test-brass",
        "state": None,
        "cells": {
            "density": density,
            "mass": {**mass, "formula": "mass-from-volume", "inputs": inputs},
        },
    }
    assert (table["title"], table["formulas"]) == (
        "The same case in each material",
        ["mass-from-volume"],
    )
    assert table["columns"][0] == {
        "id": "density",
        "title": "density",
        "kind": "figure",
        "unit": "g/cm3",
    }
    hardness = entry(published, "tables", "hardness")
    assert hardness["columns"][0] == {
        "id": "state",
        "title": "state",
        "kind": "state",
        "unit": None,
    }
    assert [(r["material"], r["state"], list(r["cells"])) for r in hardness["rows"]] == [
        ("test-steel", "annealed", ["HV"]),
        ("full-steel", "annealed", ["HV"]),
        ("full-steel", "tempered-hard", ["HV", "HRC"]),
    ]
    (gold, _) = entry(published, "tables", "fineness")["rows"]
    assert (gold["material"], gold["state"]) == (None, None)
    assert gold["cells"]["metal"] == {"kind": "text", "shown": "gold"}
    assert gold["cells"]["named"]["kind"] == "computed"


def test_rungs_as_others_read_them(published):
    """The pinion: what the trade names is its own; in the old watch hardened steel stands beside
    annealed; nobody makes it of brass."""
    found = {
        (r["part"], r["setting"], r["material"], r["state"], r["coated"]): r
        for r in published["verdicts"]["rungs"]
    }
    assert len(found) == len(published["verdicts"]["rungs"]) == 13
    own = found["full-pinion", None, "full-steel", "tempered-hard", "full-plate"]
    assert own == {
        "part": "full-pinion",
        "setting": None,
        "material": "full-steel",
        "state": "tempered-hard",
        "coated": "full-plate",
        "rung": "own",
        "rests_on": "borrowed",
        "reasons": ["coated words"],
        "precedent": "full-pinion",
        "nearest": None,
    }
    beside = found["full-pinion", "old-watch", "full-steel", "tempered-hard", None]
    assert (beside["rung"], beside["precedent"], beside["nearest"]) == (
        "beside",
        "full-pinion",
        "full-steel",
    )
    paper = found["full-pinion", None, "test-brass", None, None]
    assert (paper["rung"], paper["precedent"], paper["nearest"]) == ("paper", None, None)
    assert "not known: hardness" in paper["reasons"]


def test_exposures_as_others_read_them(published):
    """By the rules of the two hazards, the first that fits."""
    assert [
        (e["hazard"], e["material"], e["state"], e["verdict"], e["mechanism"], e["rule"])
        for e in published["verdicts"]["exposure"]
    ] == [
        ("full-damp", "full-plate", "half-done", "unknown", None, 6),
        ("full-damp", "full-steel", "annealed", "suffers", "rust", 2),
        ("full-damp", "full-steel", "tempered-hard", "suffers", "rust", 2),
        ("full-damp", "test-brass", None, "holds-with-care", None, 1),
        ("full-damp", "test-plate", None, "unknown", None, 6),
        ("full-damp", "test-steel", "annealed", "holds", None, 3),
        ("test-sea", "full-plate", "half-done", "holds", None, 2),
        ("test-sea", "full-steel", "annealed", "holds", None, 2),
        ("test-sea", "full-steel", "tempered-hard", "holds", None, 2),
        ("test-sea", "test-brass", None, "fails", "dezincification", 1),
        ("test-sea", "test-plate", None, "holds", None, 2),
        ("test-sea", "test-steel", "annealed", "holds", None, 2),
    ]


def test_an_exposure_that_no_rule_decides_has_no_mechanism(known):
    exposure = SimpleNamespace(verdict="unknown", rule=None, number=0)
    judge = SimpleNamespace(
        fields=SimpleNamespace(of_hazard=lambda _: ["test-brass"]),
        judge=SimpleNamespace(exposure=lambda *_: exposure),
    )
    first, _ = document._exposures(known, judge)
    assert first == {
        "hazard": "full-damp",
        "material": "test-brass",
        "state": None,
        "verdict": "unknown",
        "mechanism": None,
        "rule": 0,
    }


def test_pairs_as_others_read_them(published):
    """Five metals with a place: ten pairs in three situations. In sweat brass goes beside bare
    stainless steel, in a salt-wet gap the steel does."""
    pairs = {(p["first"], p["second"], p["situation"]): p for p in published["verdicts"]["pairs"]}
    assert len(pairs) == len(published["verdicts"]["pairs"]) == 5 * 4 / 2 * 3
    ways = {"degree": "slow", "if_small": "fast", "if_large": "slow"}
    assert pairs["test-brass", "test-steel", "sweat"] == {
        "first": "test-brass",
        "second": "test-steel",
        "situation": "sweat",
        "open": {"goes": "test-brass", **ways, "apart": number("0.305")},
        "gap": {"goes": "test-steel", **ways, "apart": number("0.105")},
        "usual": "stainless-and-brass",
        "may_touch": True,
    }
    dry = pairs["test-brass", "test-steel", "dry"]
    assert (dry["open"]["goes"], dry["open"]["degree"], dry["gap"]) == (None, "none", None)
    assert pairs["full-steel", "test-brass", "sweat"]["may_touch"] is False


def test_substitutes_of_the_first_usual_material_the_six_nearest(known, monkeypatch):
    asked = []

    def substitutes(part, material, state):
        asked.append((part, material, state))
        for i in range(8):
            judged = SimpleNamespace(material=f"m{i}", state=f"s{i}", coated=f"c{i}")
            yield SimpleNamespace(judgement=judged, lost=["a", "b"], gained=["c"])

    usages = SimpleNamespace(states=lambda choice: [choice.state, "other state"])
    judge = SimpleNamespace(ladder=SimpleNamespace(usages=usages), substitutes=substitutes)
    monkeypatch.setattr(document.wording, "lost_words", lambda _, change: f"lost {change}")
    monkeypatch.setattr(document.wording, "gained_words", lambda _, change: f"gained {change}")
    found = list(document._substitutes(known, judge))
    assert asked == [
        ("full-pinion", "full-steel", "tempered-hard"),
        ("test-case", "test-steel", "annealed"),
    ]
    assert [(s["part"], s["material"]) for s in found] == [
        (part, f"m{i}") for part in ("full-pinion", "test-case") for i in range(6)
    ]
    assert found[1] == {
        "part": "full-pinion",
        "for": "full-steel",
        "material": "m1",
        "state": "s1",
        "coated": "c1",
        "lost": ["lost a", "lost b"],
        "gained": ["gained c"],
    }


def test_records_without_a_form_of_their_own_are_published_as_typed(published, known):
    for kind in ("watches", "sayings", "lessons", "tasks", "cases", "weeks", "cautions", "sources"):
        for key, record in getattr(known, kind).items():
            typed = record.model_dump(mode="json", exclude_none=True)
            assert entry(published, kind, key) == {"id": key, **typed}
    book = entry(published, "sources", "full-book")
    assert (book["number"], book["seen"]) == ("full number", False)
    assert "note" not in entry(published, "sources", "full-law")


def test_json_comes_in_pieces_that_are_together_one_text():
    """Lists are written so many entries at a time; what they make is asked once."""
    made = []
    many = document.Entries(lambda: made.append(1) or ({"n": n} for n in range(1001)))
    empty = document.Entries(lambda: [])
    pieces = list(document.as_json({"a": "é", "b": many, "c": {"d": empty}, "e": {"f": None}}))
    whole = json.loads("".join(pieces))
    assert whole == {
        "a": "é",
        "b": [{"n": n} for n in range(1001)],
        "c": {"d": []},
        "e": {"f": None},
    }
    assert "".join(pieces).startswith('{"a":"é","b":[{"n":0},{"n":1},')
    assert len(list(many)) == 1001
    assert made == [1]


# ----- the schema


@pytest.fixture(scope="module")
def validator():
    schema = document_schema.schema()
    kind = jsonschema.validators.validator_for(schema, default=None)
    assert kind is jsonschema.Draft202012Validator  # as the schema itself says
    kind.check_schema(schema)
    return kind(schema)


def test_the_document_obeys_its_schema(published, validator):
    assert [e.message for e in validator.iter_errors(published)] == []
    assert validator.schema["$id"] == published["$schema"]
    assert validator.schema["title"] == "Arbor & Case, published data"


@pytest.fixture(scope="module")
def least(published):
    """The document with one entry in each list: what is wrong there is soon found."""
    return {name: v[:1] if isinstance(v, list) else v for name, v in published.items()}


LISTS = {
    "materials": "name family designations also_called cautions figures",
    "parts": "name zone demands usual",
    "hazards": "name rules",
    "processes": "name steps cautions",
    "tables": "title columns rows",
    "formulas": "name symbols expression result",
    "watches": "name parts joins",
    "sayings": "name judged because",
    "lessons": "name questions",
    "tasks": "name samples do passed",
    "cases": "name story questions",
    "weeks": "name lessons tasks cases",
    "cautions": "name danger do authority",
    "first_aid": "name do then sources",
    "sources": "title publisher kind",
}


def faults(validator, whole, change):
    """What the schema says of a changed document: the place of each fault and its words."""
    changed = deepcopy(whole)
    change(changed)
    return [
        ("/".join(map(str, e.absolute_path)), e.message) for e in validator.iter_errors(changed)
    ]


@pytest.mark.parametrize("kind", LISTS)
def test_an_entry_without_a_field_that_it_must_have_is_refused(validator, least, kind):
    for name in ("id", *LISTS[kind].split()):
        found = faults(validator, {kind: least[kind]}, lambda d, n=name: d[kind][0].pop(n))
        assert (f"{kind}/0", f"{name!r} is a required property") in found


def test_a_document_without_a_list_that_it_must_have_is_refused(validator, least):
    must = ["title", "edition", "materials", "parts", "hazards", "processes", "tables", "sources"]
    found = faults(validator, least, dict.clear)
    assert sorted(found) == sorted(("", f"{name!r} is a required property") for name in must)
    assert [e.message for e in validator.iter_errors([])] == ["[] is not of type 'object'"]


FIGURE = "property state kind low high unit sources layer"


def test_a_figure_must_be_whole_and_have_nothing_else(validator, least):
    for name in FIGURE.split():
        found = faults(validator, least, lambda d, n=name: d["materials"][0]["figures"][0].pop(n))
        assert found == [("materials/0/figures/0", f"{name!r} is a required property")]
    more = faults(validator, least, lambda d: d["materials"][0]["figures"][0].update(colour="x"))
    assert len(more) == 1
    assert "'colour' was unexpected" in more[0][1]


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("property", 1),
        ("state", 1),
        ("kind", "about"),
        ("low", "7.85"),
        ("low", {"value": 7.85}),
        ("low", {"text": "7.85"}),
        ("low", {"value": "7.85", "text": "7.85"}),
        ("low", {"value": 7.85, "text": 7.85}),
        ("low", {"value": 7.85, "text": "about 7.85"}),
        ("low", {"value": 7.85, "text": "7.85", "unit": "g"}),
        ("high", 7),
        ("unit", None),
        ("over", "20 to 100"),
        ("over", [20]),
        ("note", 1),
        ("sources", []),
        ("sources", [1]),
        ("evidence", "guessed"),
        ("of", 1),
        ("layer", "no"),
    ],
)
def test_a_figure_of_another_form_is_refused(validator, least, name, wrong):
    found = faults(
        validator, least, lambda d: d["materials"][0]["figures"][0].update({name: wrong})
    )
    assert len(found) == 1
    assert found[0][0].startswith(f"materials/0/figures/0/{name}")


@pytest.mark.parametrize(
    ("kind", "name", "wrong"),
    [
        ("parts", "id", "Full Pinion"),
        ("parts", "id", 1),
        ("parts", "name", ""),
        ("parts", "name", None),
        ("materials", "cautions", "none"),
        ("materials", "family", None),
        ("materials", "designations", [{"system": "x"}]),
        ("materials", "designations", [{"code": "x"}]),
        ("materials", "designations", [{"system": 1, "code": "x"}]),
        ("materials", "also_called", [1]),
        ("materials", "names", {"de": "x"}),
        ("materials", "names", []),
        ("materials", "figures", {}),
        ("processes", "cautions", [1]),
        ("tables", "rows", [{"material": "x", "state": "y"}]),
        ("tables", "rows", [{"material": "x", "cells": {}}]),
        ("tables", "rows", [{"state": "x", "cells": {}}]),
        ("tables", "rows", [{"material": "x", "state": "y", "cells": []}]),
    ],
)
def test_an_entry_of_another_form_is_refused(validator, least, kind, name, wrong):
    found = faults(validator, least, lambda d: d[kind][0].update({name: wrong}))
    assert len(found) == 1
    assert found[0][0].startswith(f"{kind}/0/{name}")


def test_a_list_that_is_none_is_refused(validator, least):
    for kind in LISTS:
        assert faults(validator, least, lambda d, k=kind: d.update({k: {}}))[0][0] == kind
        first = faults(validator, least, lambda d, k=kind: d.update({k: ["text"]}))
        assert first == [(f"{kind}/0", "'text' is not of type 'object'")]
    assert faults(validator, least, lambda d: d.update(edition=2026))[0][0] == "edition"
