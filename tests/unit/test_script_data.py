"""What the page scripts are given of the invented records (tests/small, tests/full), each line read
against its record: figures with their ends and sources, verdicts by their place in the lists, what
is left out where it is not known."""

import json

import pytest

from generator.site import compare, leaflet, only_have, watch_sheet

UNKNOWN, HOLDS, CARE, SUFFERS, FAILS = 4, 0, 1, 2, 3  # places in the list of verdicts
STEELS = ("test-steel", "full-steel")


def given(content):
    """The data as the browser gets it: keys are texts, tuples are lists."""
    return json.loads(json.dumps(content))


@pytest.fixture(scope="module")
def side_by_side(invented):
    return given(compare.data(invented))


@pytest.fixture(scope="module")
def sheet(invented):
    return given(watch_sheet.data(invented))


@pytest.fixture(scope="module")
def kind(invented):
    (key, content), *others = watch_sheet.kinds(invented)
    assert (key, others) == ("full-watch", [])
    return given(content)


def figures(data, found):
    """Figures of a material by property and unit, their sources by id."""
    rows, sources = data["rows"], [key for key, *_ in data["sources"]]
    return {
        (rows[int(i)][1], rows[int(i)][2]): [*q[:4], [sources[s] for s in q[4]], *q[5:]]
        for i, q in found.items()
    }


def test_hardness_has_a_row_a_scale_and_every_other_figure_one(side_by_side):
    assert [name for _, name, _ in side_by_side["rows"]] == [
        "density",
        *["hardness"] * 7,
        *("proof strength", "tensile strength", "elongation at break", "fatigue strength"),
        *("elastic modulus", "thermal expansion", "thermal conductivity", "melting range"),
        *("highest service temperature", "anodic index"),
    ]
    scales = [unit for prop, _, unit in side_by_side["rows"] if prop == "hardness"]
    assert scales == ["HV", "HK", "HRC", "HRB", "HBW", "Shore A", "Shore D"]


def test_what_all_states_of_a_metal_share_stands_once(side_by_side):
    """640 MPa is what DIN 50150 gives for 200 HV, 2180 MPa for 650 HV."""
    steel = side_by_side["materials"]["full-steel"]
    states = steel["states"]
    assert {key: told for key, told in steel.items() if key not in ("figures", "states")} == {
        "name": "Full steel",
        "colour": "steel grey",
        "codes": ["Fe-1C"],
        "cautions": ["full-caution"],
    }
    assert [state[:3] for state in states] == [
        ["annealed", "full annealed", "attracted"],
        ["tempered-hard", "full tempered", "attracted"],
    ]
    assert [state[4] for state in states] == [[2, 2], [2, 2]]
    soft, hard = (figures(side_by_side, state[3]) for state in states)
    both = ["full-book", "din-50150"]
    assert soft == {
        ("hardness", "HV"): ["at most 200", None, 200, 3, ["full-book"]],
        ("tensile strength", "MPa"): ["at most 640", None, 640, 3, both, "HV"],
    }
    assert hard == {
        ("hardness", "HV"): ["650", 650, "", 3, ["test-sheet"]],
        ("hardness", "HRC"): ["58 to 60", 58, 60, 2, ["full-book"]],
        ("proof strength", "MPa"): ["at least 1500", 1500, None, 4, ["full-book"]],
        ("tensile strength", "MPa"): ["2180", 2180, "", 3, ["test-sheet", "din-50150"], "HV"],
        ("elongation at break", "%"): ["3 ◇ borrowed", 3, "", 1, ["test-sheet"]],
        ("fatigue strength", "MPa"): ["640 to 660", 640, 660, 3, ["full-book"]],
    }


def test_figures_bear_the_sign_of_their_evidence(side_by_side):
    shared = figures(side_by_side, side_by_side["materials"]["full-steel"]["figures"])
    assert shared == {
        ("density", "g/cm³"): ["7.85 ◇ borrowed", 7.85, "", 3, ["full-book"]],
        ("elastic modulus", "GPa"): ["205 ○ from memory", 205, "", 3, ["memory"]],
        ("thermal expansion", "×10⁻⁶/K"): ["11.0 to 12.0", 11, 12, 3, ["full-book"]],
        ("thermal conductivity", "W/(m·K)"): ["44 to 48", 44, 48, 2, ["full-book"]],
        ("anodic index", "V"): ["0.60", 0.6, "", 2, ["full-book"]],
    }


def test_a_coating_says_that_it_is_one_and_a_metal_without_states_has_one(side_by_side):
    plate, brass = (side_by_side["materials"][key] for key in ("test-plate", "test-brass"))
    assert plate == {
        "name": "Test plate",
        "colour": "",
        "codes": [],
        "coating": True,
        "cautions": [],
        "figures": {},
        "states": [["", "", "not attracted", {}, [6, 2]]],
    }
    assert brass["states"] == [["", "", "not attracted", {}, [1, 1]]]


def test_a_solder_says_that_it_is_one(site_pages):
    """Silver solder joins; no part is made of it."""
    places = {h: i for i, h in enumerate(site_pages.knowledge.hazards)}
    solder, brass = (
        compare._material(site_pages, key, [], compare.Numbered(), places)
        for key in ("solder-silver", "brass-cuzn37")
    )
    assert solder["solder"] is True and "solder" not in brass


def test_rules_of_a_hazard_by_verdict_and_mechanism(side_by_side):
    """One from memory decides nothing; before the first stands that none decides."""
    assert side_by_side["hazards"] == [
        [
            "full-damp",
            "Full damp",
            [
                [UNKNOWN, ""],
                [CARE, ""],
                [SUFFERS, "rust"],
                [HOLDS, ""],
                [UNKNOWN, ""],
                [HOLDS, ""],
                [UNKNOWN, ""],
            ],
        ],
        ["test-sea", "Test sea", [[UNKNOWN, ""], [FAILS, "dezincification"], [HOLDS, ""]]],
    ]


def test_parts_by_zone_materials_by_family_and_where_sources_stand(side_by_side):
    assert side_by_side["zones"] == [["Case", ["test-case"]], ["Train", ["full-pinion"]]]
    assert side_by_side["families"] == [
        ["Austenitic stainless steels", "austenitic-stainless", ["test-steel"]],
        ["Carbon and tool steels", "carbon-steel", ["full-steel"]],
        ["Brasses", "brass", ["test-brass"]],
        ["Precious platings", "precious-plating", ["full-plate", "test-plate"]],
    ]
    assert side_by_side["sources"] == [
        ["test-standard", "Nobody", "sources/standard.html"],
        ["test-sheet", "Nobody", "sources/data-sheet.html"],
        ["full-book", "Full author", "sources/handbook.html"],
        ["din-50150", "DIN 50150", "sources/standard.html"],
        ["memory", "unsourced, from memory", "sources.html"],
    ]
    assert side_by_side["cautions"] == {"full-caution": "Full caution"}


def test_the_sums_that_the_script_does(side_by_side):
    assert side_by_side["specific"] == ["Specific strength", "kN·m/kg"]
    assert side_by_side["programs"] == {
        "ratio": {"symbols": ["rho", "rho_ref"], "steps": ["rho", "rho_ref", "/"]},
        "specific": {"symbols": ["Rp", "rho"], "steps": ["Rp", "rho", "/"]},
    }


def test_why_each_stands_where_it_does_for_a_part(side_by_side):
    """Test steel, full steel in both states, test brass: in the order of the families."""
    rungs, texts = [key for key, _ in side_by_side["rungs"]], side_by_side["texts"]

    def said(part):
        name, reasons, places = side_by_side["parts"][part]
        answers = [(rungs[r], "".join(texts[t] for t in rest)) for r, *rest in reasons]
        return name, [answers[place] for place in places]

    name, (test_steel, soft, hard, brass) = said("full-pinion")
    assert name == "Full pinion"
    assert test_steel == ("no", "hardness at least 500 HV: found 140 to 215 HV")
    assert soft == ("no", "hardness at least 500 HV: found at most 200 HV")
    assert hard == ("own", "usual words ◇ rests on a borrowed figure")
    assert brass[0] == "paper"
    _, (test_steel, soft, hard, brass) = said("test-case")
    assert test_steel[0] == "own" and test_steel[1].startswith("it stands the sea ◔")
    assert soft == hard and soft[0] == "paper"
    assert brass == ("no", "test sea: fails (dezincification)")


def test_a_part_that_judges_few_names_only_those():
    """A list where every place has its number, else a number a place."""
    assert compare._sparse({0: 5, 1: 6}, 2) == [5, 6]
    assert compare._sparse({1: 6}, 2) == {1: 6}


def test_the_watch_in_hand_knows_each_material_once(sheet):
    """[place, name, kind, group in contact, density, fine metal, expansion, cautions, galling,
    colour, states]: named by their place among what is told apart. What is only remembered or not
    known is left out; test steel, an austenitic one, galls on its kind."""
    test_steel, steel, brass, full_plate, test_plate = sheet["materials"]
    assert test_steel == [
        *(0, "", 0, 0, ["7.98", "8.0", 3], 0, ["16.0", "16.0", 3], [], [1], ""),
        [["annealed", "", 0, 0, ["140", "215"]]],
    ]
    assert steel == [
        *(1, "", 0, 1, ["7.85", "7.85", 3], 0, ["11.0", "12.0", 3], [0], [], ""),
        [
            ["annealed", "", 2, 1, [None, "200"]],
            ["tempered-hard", "", 2, 1, ["650", "650"]],
        ],
    ]
    assert brass[:9] == [2, "", 0, 2, ["8.53", "8.53", 3], 0, ["19.9", "19.9", 3], [0], []]
    assert brass[9].startswith("#") and brass[10] == [["", "", 0, 2, []]]
    assert full_plate == [
        *(3, "", 1, 3, [], 0, [], [], [], ""),
        [["half-done", "", 0, 3, []]],
    ]
    assert test_plate == [4, "", 1, 3, [], 0, [], [], [], "", [["", "", 0, 3, []]]]
    assert sheet["exposures"] == ["32", "22", "11", "62"]  # numbers of rules, a hazard a sign


def test_the_watch_in_hand_knows_what_attacks(sheet):
    """Of a rule that harms: mechanism, what it looks like where a part meets the hazard, and
    whether a service puts it right. No part of test-case meets anything that is described."""
    assert sheet["hazards"] == [
        [
            "full-damp",
            "Full damp",
            [
                [UNKNOWN],
                [CARE],
                [SUFFERS, "rust", "looks words", 0],
                *([HOLDS], [UNKNOWN], [HOLDS], [UNKNOWN]),
            ],
        ],
        ["test-sea", "Test sea", [[UNKNOWN], [FAILS, "dezincification", "", 0], [HOLDS]]],
    ]
    assert sheet["activities"] == [["swimming", "swimming", [1]]]
    assert sheet["baths"] == [["salt bath", 1, [], [], "It rusts."]]
    assert sheet["cautions"] == [["full-caution", "Full caution"]]
    assert sheet["kinds"] == [["full-watch", "Full watch"]]
    assert (sheet["joint"], sheet["field"]) == (-1, "")  # no such hazards here
    assert [key for key, *_ in sheet["situations"]] == ["sweat", "damp", "dry"]


def test_the_watch_in_hand_names_joins_and_zones(sheet):
    """What moves wears, what is soldered or cemented leaves no gap: facts of the trade."""
    joins = {key: (name, moves, gap) for key, name, moves, gap in sheet["joins"]}
    assert joins["rubs-on"] == ("rubs on", 1, 1)
    assert joins["screwed"] == ("screwed", 0, 1)
    assert joins["soldered"] == ("soldered", 0, 0)
    assert sheet["zones"][:3] == [
        ["case", "Case"],
        ["crystal", "Crystal"],
        ["crown", "Crown and pushers"],
    ]
    assert sheet["galling"][0][0] == 0 and "titanium" in sheet["galling"][0][1]


def test_which_of_two_metals_goes_in_the_watch_in_hand(sheet):
    """Groups: 316L and its like, carbon steel, brass, precious plating. An attack is [who, how
    fast, if it is the smaller, if it is the larger], 1 where neither goes, 0 where no film
    breaks."""
    pairs, outcomes = sheet["contact"]["pairs"], sheet["contact"]["outcomes"]
    assert [len(row) for row in pairs] == [4, 3, 2, 1]
    sweat, damp, dry = outcomes[pairs[0][2]]
    assert sweat[:2] == [[1, 1, 2, 1], [0, 1, 2, 1]]  # brass in the open, steel in a gap; slow
    assert damp[:2] == [[1, 1, 2, 1], 0] and dry[:2] == [1, 0]
    assert sheet["contact"]["usual"][sweat[2]].startswith("Steel backs and crown tubes in brass")
    alike, steel_and_steel = outcomes[pairs[0][0]], outcomes[pairs[0][1]]
    assert alike[0][:2] == [1, 0]  # like metals: neither goes
    assert steel_and_steel[0] == [[1, 2, 2, 1], 0, -1]  # the carbon steel, fast; not usual
    # a digit a situation: at the pores of plating carbon steel goes fast in sweat, brass slowly
    assert sheet["contact"]["pores"] == {"3": ["000", "210", "110", "000"]}


def test_the_fine_metal_of_precious_alloys_only(site_pages):
    """By the mark: 750 of a thousand of 18 ct gold are gold (ISO 9202)."""
    knowledge = site_pages.knowledge
    fine = {
        key: watch_sheet._fine(knowledge, record) for key, record in knowledge.materials.items()
    }
    assert fine["gold-18-yellow-3n"] == ["Au", "750", "750"]
    assert fine["silver-925"] == ["Ag", "925", "925"]
    assert fine["platinum-950-ruthenium"] == ["Pt", "950", "950"]
    assert fine["stainless-316l"] == 0
    assert fine["brass-cuzn37"] == 0


def test_without_a_mark_the_fine_metal_is_that_of_the_recipe(site_pages):
    """Per cent by mass, so ten times as much in a thousand; of several marks the highest counts."""
    knowledge, gold = site_pages.knowledge, site_pages.knowledge.materials["gold-18-yellow-3n"]
    bare = gold.model_copy(update={"designations": []})
    low, high = watch_sheet.share_range(gold.composition, "Au")
    assert watch_sheet._fine(knowledge, bare) == ["Au", f"{10 * low:f}", f"{10 * high:f}"]
    unknown = bare.model_copy(update={"composition": None})
    assert watch_sheet._fine(knowledge, unknown) == 0
    mark = next(d for d in gold.designations if d.system == "fineness")
    marks = [mark.model_copy(update={"code": code}) for code in ("750", "9", "585")]
    many = gold.model_copy(update={"designations": marks})
    assert watch_sheet._fine(knowledge, many) == ["Au", "750", "750"]


def test_the_sums_of_the_watch_in_hand(site_pages):
    """The weight of the same piece in another metal is m · ρ new / ρ old, fine metal m · f / 1000;
    a base without a formula has no sum."""
    programs = {
        name: watch_sheet._program(site_pages, formula)
        for name, formula in watch_sheet.PROGRAMS.items()
    }
    assert programs["same"] == ["m", "rho_new", "*", "rho_old", "/"]
    assert programs["fine"] == ["m", "f", "*", "#1000", "/"]
    assert programs["rate"][:2] == ["#0.0432", "TCE"]
    assert watch_sheet._program(site_pages, "no-such-formula") is None


def test_the_field_of_a_magnetic_resistant_watch(site_pages):
    """4,800 A/m: ISO 764."""
    assert watch_sheet._field(site_pages) == "4800"


def test_the_rules_of_a_wet_joint_tell_how_fast(site_pages):
    """Of metals in contact the sheet says how fast it goes; of other hazards it does not."""
    _, name, rules = watch_sheet._hazard(site_pages, watch_sheet.JOINT)
    harms = [row for row in rules if row[0] in (SUFFERS, FAILS)]
    assert name == "two metals in a wet joint"
    assert harms and all(len(row) == 5 for row in harms)
    assert harms[0][1:] == [
        "galvanic attack",
        "white powder and pits round the screw",
        0,
        "days, wet",
    ]
    _, _, rules = watch_sheet._hazard(site_pages, "sweat")
    assert all(len(row) == 4 for row in rules if row[0] in (SUFFERS, FAILS))
    # Tarnish is polished off at a service, a pit is not: facts of the trade.
    puts_right = {row[1]: row[3] for row in rules if len(row) == 4}
    assert (puts_right["tarnish"], puts_right["pitting"]) == (1, 0)


def test_the_parts_of_a_kind_with_what_they_meet_and_what_is_usual(kind):
    """[part, name, zone, hazards as [hazard, severity, lot], usual coated pairs, usual materials,
    cautions]; the pinion in its other watch has no coated choice and meets no lot."""
    assert kind["parts"] == [
        ["test-case", "Test case", 0, [[1, 1, 0]], [], [0], []],
        ["full-pinion", "Full pinion", 9, [[0, 0, 1]], [], [1], []],
    ]


def test_a_kind_of_watch_part_by_part_and_join_by_join(kind):
    """[part, role, name, material, state, coating, outside, oiled, grams]; [two parts, how, where,
    the smaller, what to look at]."""
    assert kind["watch"] == {
        "name": "Full watch",
        "cautions": [0],
        "parts": [
            ["test-case", 0, "", 1, "tempered-hard", -1, 1, 0, "40"],
            ["first-pinion", 1, "first pinion words", 1, "annealed", 3, 0, 1, ""],
        ],
        "joins": [[0, 1, "rubs-on", "sweat", 1, "look words"]],
    }


def test_a_part_whose_metal_is_open_names_none(invented):
    """-1 is what the script takes for not known; a join without a smaller piece has none."""
    watch = invented.knowledge.watches["full-watch"]
    part = watch.parts[0].model_copy(update={"material": None, "state": None, "grams": None})
    join = watch.joins[0].model_copy(update={"smaller": None, "look": None})
    open_watch = watch.model_copy(update={"parts": [part, watch.parts[1]], "joins": [join]})
    roles, place = [p.role for p in watch.parts], {"full-steel": 1, "full-plate": 3}
    told = watch_sheet._watch(open_watch, place, roles, ["full-caution"])
    assert told["parts"][0] == ["test-case", 0, "", -1, "", -1, 1, 0, ""]
    assert told["joins"] == [[0, 1, "rubs-on", "sweat", -1, ""]]


def test_where_each_state_stands_for_each_part_of_a_kind(kind, sheet):
    """Rows: test steel, full steel soft and hard, brass, two platings, which are not judged alone.
    Columns: the case, the pinion in its other watch."""
    rungs = [key for key, _ in sheet["rungs"]]
    reasons = dict(zip(kind["signs"], kind["reasons"], strict=True))
    cells = [[reasons.get(sign) for sign in row] for row in kind["cells"]]
    assert [[c and rungs[c[0]] for c in row] for row in cells] == [
        ["own", "no"],
        ["paper", "own"],
        ["paper", "beside"],
        ["no", "no"],
        [None, None],
        [None, None],
    ]
    assert cells[3] == [
        [4, "test sea: fails (dezincification)", 1],  # a whole coating would keep the sea off
        [4, "asked is: density at most 8.5 g/cm³", 0],
    ]
    assert cells[2][1] == [1, "◇ rests on a borrowed figure", 0]
    assert set("".join(kind["cells"])) == set(kind["signs"]) | {watch_sheet.FAR}


def test_i_have_only_this_lists_each_metal_with_all_it_is_called(invented):
    listed = given(only_have.materials(invented))["families"]
    assert listed == [
        [
            "Austenitic stainless steels",
            [["test-steel", "Test steel", "1.4499 trial steel", ["annealed"]]],
        ],
        [
            "Carbon and tool steels",
            [
                [
                    "full-steel",
                    "Full steel",
                    "Fe-1C other steel name full-steel auf Deutsch",
                    ["full annealed", "full tempered"],
                ]
            ],
        ],
        ["Brasses", [["test-brass", "Test brass", "CuZn30", [""]]]],
        [
            "Precious platings",
            [
                ["full-plate", "Full plate", "full-plate auf Deutsch", only_have.COATING],
                ["test-plate", "Test plate", "", only_have.COATING],
            ],
        ],
    ]


def test_i_have_only_a_solder(site_pages):
    assert only_have._material(site_pages, "solder-silver")[3] == only_have.SOLDER


def test_i_have_only_this_answers_for_the_part_and_each_setting(invented):
    """Test steel, full steel soft and hard, brass; the coated pair stands apart."""
    data = given(only_have.of_part(invented, "full-pinion", only_have._places(invented)))
    rungs = list(invented.knowledge.words("rungs"))
    answers = [(rungs[rung], [data["texts"][t] for t in rest]) for rung, *rest in data["answers"]]
    (name, places), (setting, others) = data["roles"]
    assert (name, setting) == ("", "Full pinion setting name")
    assert [answers[place][0] for place in places] == ["no", "no", "own", "paper"]
    assert [answers[place][0] for place in others] == ["no", "own", "beside", "no"]
    assert answers[places[2]] == ("own", ["usual words", "", "◇ rests on a borrowed figure", ""])
    (coating, material, named, answer, over), *rest = data["coated"]
    assert (coating, material, named, over, rest) == (
        *("full-plate", "full-steel", "Full steel, full tempered", "Full plate"),
        [],
    )
    assert answers[answer][1][0] == "coated words"


@pytest.fixture
def worn(monkeypatch):
    """A leaflet of the invented parts."""
    fields = {"case": ("test-case",), "bracelet": ("full-pinion", "no-part"), "plating": ()}
    monkeypatch.setattr(leaflet, "FIELDS", fields)


def test_the_leaflet_offers_what_is_usual_then_what_else_may_be_worn(invented, worn):
    knowledge, verdicts = invented.knowledge, invented.verdicts
    assert leaflet.choices(knowledge, verdicts, "case") == (["test-steel"], [])
    assert leaflet.choices(knowledge, verdicts, "bracelet") == (["full-steel"], [])
    assert leaflet.choices(knowledge, verdicts, "plating") == (["full-plate", "test-plate"], [])


def test_the_leaflet_says_of_each_material_what_its_record_says(invented, worn):
    """Words by which sentences name a steel and a plating stand in customer_names.yaml; a sentence
    of the steel names neither nickel nor a coat, so it is gone below a plating."""
    data = given(leaflet.data(invented.knowledge, invented.view, invented.verdicts))
    words = {
        key: data["materials"][key].pop("words")
        for key in ("test-steel", "full-steel", "full-plate", "test-plate")
    }
    assert data["materials"] == {
        "test-steel": {"name": "stainless steel", "says": [], "below": [], "worst": "0"},
        "full-steel": {
            "name": "steel",
            "says": ["owner words of steel"],
            "below": [],
            "worst": "0",
        },
        "full-plate": {"name": "full plate", "says": [], "below": [], "worst": "0"},
        "test-plate": {"name": "test plate", "says": [], "below": [], "worst": "0"},
    }
    assert words["test-plate"] == words["full-plate"] == ["plated"]
    assert data["hazards"] == [["Rinse it."]]
    assert data["activities"] == [
        {
            "name": "Swimming",
            "hazards": [0],
            "fails": None,
            "suffers": None,
            "water": 0,
            "without": None,
        }
    ]
    assert (data["both"], data["madeOf"]) == ("{} and {}", "{}: {}")


def test_below_a_plating_a_sentence_of_nickel_stays_true(invented, worn):
    steel = invented.knowledge.materials["full-steel"]
    lines = ["Its nickel reaches the skin.", "It rusts.", "Keep the coat dry.", "Coated cotton."]
    told = steel.model_copy(update={"owner": lines})
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(invented.knowledge.materials, "full-steel", told)
        data = leaflet.data(invented.knowledge, invented.view, invented.verdicts)
    assert data["materials"]["full-steel"]["below"] == [lines[0], lines[2]]


def test_the_leaflet_in_german_holds_only_what_somebody_translated(invented, worn):
    data = leaflet.data_in(invented.knowledge, invented.verdicts, "de")
    said, names = data["said"], data["names"]
    assert "owner words of steel" not in said and "Rinse it." not in said
    assert said["case"] == "Gehäuse" and said["Caring for your watch"] == "Pflege Ihrer Uhr"
    assert names["full-plate"] == "full-plate auf Deutsch" and "test-plate" not in names
    assert all(said.values()) and all(names.values())
