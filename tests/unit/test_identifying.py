"""What remains after observations, by the page's own script: each rule on invented materials, and
the bench's own cases on the shipped knowledge."""

from decimal import Decimal as D

import pytest

from generator.checks.rules import check
from generator.numbers.values import Values
from generator.verdicts import identify as identify_module
from generator.verdicts.findings import Judge
from generator.verdicts.identify import density_origin, density_span
from tests.elimination import Elimination


@pytest.fixture(scope="module")
def signs(knowledge, values):
    return Elimination(identify_module.data(knowledge, values, Judge(knowledge, values)))


@pytest.fixture(scope="module")
def invented(signs):
    """The page's script on invented materials."""
    return lambda *materials: Elimination({**signs.data, "materials": list(materials)})


def material(key, **signs):
    known = {
        "coating": False,
        "colour": None,
        "mark": None,
        "tarnish": None,
        "density": None,
        "spark": None,
        "stone": None,
        "states": [{"name": "", "magnet": None, "file": None}],
    }
    return {"id": key, "name": key, **known, **signs}


def left(result):
    return [e["id"] for e in result["left"]]


@pytest.mark.parametrize(
    ("a", "b", "shared"),
    [
        ((1, 2), (2, 3), True),
        ((1, 2), (2.1, 3), False),
        ((None, 2), (1, 1), True),
        ((3, None), (1, 2), False),
        ((None, None), (1, 2), True),
    ],
)
def test_intervals_share_a_value(signs, a, b, shared):
    assert signs.overlap(a, b) is signs.overlap(b, a) is shared


def test_what_is_unknown_never_excludes_and_is_named(invented):
    found = invented(material("a"), material("b", colour=["yellow"])).eliminate(
        {"colour": "grey", "density": [4, 5]}
    )
    assert found["left"] == [{"id": "a", "states": [], "unknown": ["colour", "density"]}]
    assert found["out"] == [{"id": "b", "by": ["colour"]}]


def test_every_observation_that_excludes_is_named_gentlest_first(invented):
    found = invented(material("a", density=[8, 9], colour=["yellow"])).eliminate(
        {"density": [4, 5], "colour": "grey"}
    )
    assert found["out"] == [{"id": "a", "by": ["colour", "density"]}]


def test_one_state_must_allow_both_magnet_and_file(invented):
    soft = {"name": "soft", "magnet": ["none"], "file": ["easy"]}
    hard = {"name": "hard", "magnet": ["strong"], "file": ["skates"]}
    steel = invented(material("a", states=[soft, hard]))
    assert steel.eliminate({"magnet": "strong"})["left"] == [
        {"id": "a", "states": ["hard"], "unknown": []}
    ]
    assert steel.eliminate({"magnet": "none", "file": "skates"})["out"] == [
        {"id": "a", "by": ["magnet", "file"]}
    ]


def test_below_a_coating_neither_colour_nor_file_excludes(invented):
    skin = material("skin", coating=True, colour=["yellow"])
    base = material(
        "base",
        colour=["grey"],
        density=[7.8, 8],
        states=[{"name": "", "magnet": ["strong"], "file": ["skates"]}],
    )
    found = invented(skin, base).identify(
        {"colour": "yellow", "file": "easy", "magnet": "strong", "density": [7.9, 8.1]},
    )
    assert (left(found["bare"]), [e["id"] for e in found["coatings"]], left(found["below"])) == (
        [],
        ["skin"],
        ["base"],
    )


def test_a_skin_that_is_attracted_itself_takes_the_magnet_out(invented):
    nickel = material(
        "nickel",
        coating=True,
        colour=["grey"],
        states=[{"name": "", "magnet": ["strong"], "file": None}],
    )
    brass = material("brass", states=[{"name": "", "magnet": ["none"], "file": None}])
    both = invented(nickel, brass)
    assert left(both.identify({"colour": "grey", "magnet": "strong"})["below"]) == ["brass"]
    assert left(both.identify({"colour": "yellow", "magnet": "strong"})["below"]) == []


def advice(page, observed):
    return page.next_tests(page.eliminate({})["left"], observed)


def test_the_gentlest_test_that_does_half_as_well_as_the_best_comes_first(invented):
    """Density tells all three pairs apart.

    Colour comes first once it tells two apart, and not while it tells none.
    """
    three = [
        material("a", colour=["grey"], density=[1, 2]),
        material("b", colour=["grey"], density=[3, 4]),
        material("c", colour=["red", "grey"], density=[5, 6]),
    ]
    assert advice(invented(*three), {}) == {
        "pairs": 3,
        "told": [["look", 0], ["magnet", 0], ["weigh", 3], ["file", 0], ["stone", 0]],
        "first": "weigh",
    }
    three[2]["colour"] = ["red"]
    found = advice(invented(*three), {})
    assert (found["told"][0], found["first"]) == (["look", 2], "look")
    assert advice(invented(*three), {"colour": "red"})["first"] == "weigh"


def test_a_touchstone_needs_two_carats(invented):
    golds = [
        material("a", stone=["gold", 750]),
        material("b", stone=["gold", 667]),
        material("c", stone=["gold", 585]),
    ]
    # 165 apart; 83 and 82 are not enough
    assert advice(invented(*golds), {})["told"][-1] == ["stone", 1]


def test_density_from_two_weighings_by_hand(signs):
    """10.00 and 9.35 g to one step of 0.01 g: 9.99 * 0.9982 / 0.67 = 14.88 and 10.01 * 0.9982 /
    0.63 = 15.86."""
    found = signs.weighed(10.00, 9.35, 20, 0.01)
    assert (round(found["low"], 2), round(found["high"], 2)) == (14.88, 15.86)


def test_a_loss_as_small_as_the_error_is_refused(signs):
    assert signs.weighed(1.00, 0.98, 20, 0.01) is None


def test_published_density_is_widened_by_spread_and_last_digit(small):
    """7.98 and 8.0: 7.98 - 0.0798 - 0.005 and 8.0 + 0.08 + 0.005, for three digits."""
    knowledge, _ = check(small)
    assert density_span(knowledge, Values(knowledge), "test-steel") == (D("7.8952"), D("8.085"))


def with_density(small, figure):
    path = small / "knowledge" / "alloys" / "test-steel.yaml"
    text = path.read_text()
    old = "[{typical: 7.98, source: test-standard}, {typical: 8.0, source: test-sheet}]"
    assert old in text
    path.write_text(text.replace(old, f"[{figure}]"))
    return check(small)[0]


def test_a_remembered_density_gives_way_to_the_composition(small):
    """18.5 % Cr and 2.5 % Mo in iron: about 7.8 by the reciprocal rule, five per cent either
    way."""
    knowledge = with_density(small, "{typical: 9.98, source: memory}")
    low, high = density_span(knowledge, Values(knowledge), "test-steel")
    assert D("7.3") < low < D("7.5") and D("8.1") < high < D("8.3")
    origin = density_origin(knowledge, Values(knowledge), "test-steel")
    assert origin == "∑ worked out from the composition"


def test_an_open_density_is_closed_by_the_composition(small):
    """At most 8.0 with 18.5 % Cr and 2.5 % Mo: the rule gives about 7.8, five per cent less is
    about 7.4."""
    knowledge = with_density(small, "{at_most: 8.0, source: test-standard}")
    low, high = density_span(knowledge, Values(knowledge), "test-steel")
    assert D("7.3") < low < D("7.5")
    assert high == D("8.13")


def families(knowledge, result):
    return {knowledge.materials[e["id"]].family for e in result["left"] if not e["unknown"]}


def why_out(result, key):
    return next(e["by"] for e in result["out"] if e["id"] == key)


def test_a_yellow_piece_of_15_4_is_18_carat_and_brass_falls_out_by_density(knowledge, signs):
    found = signs.identify({"colour": "yellow", "magnet": "none", "density": [15.2, 15.6]})["bare"]
    assert {"gold-18-yellow-2n", "gold-18-yellow-3n"} == set(left(found))
    assert why_out(found, "brass-cuzn37") == ["density"]
    assert why_out(found, "steel-c75s") == ["colour", "magnet", "density"]


def test_a_white_piece_of_4_4_is_titanium(knowledge, signs):
    found = signs.identify({"colour": "grey", "magnet": "none", "density": [4.35, 4.45]})["bare"]
    assert families(knowledge, found) == {"titanium"}


def test_a_strongly_attracted_grey_piece_is_a_steel_that_hardens(knowledge, signs):
    found = signs.identify({"colour": "grey", "magnet": "strong", "density": [7.6, 7.9]})["bare"]
    steels = {
        k
        for k, r in knowledge.materials.items()
        if r.family in ("carbon-steel", "hardenable-stainless")
    }
    assert steels <= set(left(found))
    assert "magnet" in why_out(found, "stainless-316l")
    assert not {"gold", "titanium", "brass"} & families(knowledge, found)


def test_two_yellow_cases_one_gold_one_plated_brass(knowledge, signs):
    gold = signs.identify({"colour": "yellow", "magnet": "none", "density": [15.3, 15.6]})
    plated = signs.identify({"colour": "yellow", "magnet": "none", "density": [8.4, 8.5]})
    assert families(knowledge, gold["bare"]) == {"gold"}
    assert "brass" in families(knowledge, plated["below"])
    assert "gold" not in families(knowledge, plated["bare"]) | families(knowledge, plated["below"])
    assert {"gold-flash", "gold-hard-plate"} <= {e["id"] for e in plated["coatings"]}


def test_a_false_mark_leaves_nothing_and_without_it_the_brass_is_back(signs):
    observed = {"colour": "yellow", "magnet": "none", "mark": "750", "density": [8.4, 8.5]}
    assert [e for e in signs.identify(observed)["bare"]["left"] if not e["unknown"]] == []
    del observed["mark"]
    assert "brass-cuzn37" in left(signs.identify(observed)["bare"])


def test_a_mark_is_a_floor(signs):
    found = left(signs.identify({"mark": "925"})["bare"])
    assert {"silver-925", "silver-935-tarnish-resistant"} <= set(found)
    assert not {"silver-958", "gold-18-yellow-3n", "stainless-316l"} & set(found)


def test_film_and_rust_are_judged_by_family(knowledge, signs):
    film, rust = (signs.identify({"tarnish": t})["bare"] for t in ("film", "rust"))
    assert {"silver-925", "brass-cuzn37", "copper-pure"} <= set(left(film))
    assert "platinum-950-iridium" not in left(film)
    assert {"steel-c75s", "stainless-420-1-4034"} <= set(left(rust))
    assert not {"gold", "titanium", "brass"} & families(knowledge, rust)


def test_a_bright_piece_may_be_anything(signs):
    assert signs.identify({"tarnish": "bright"})["bare"]["out"] == []


def test_hard_steel_skates_and_brass_does_not(signs):
    found = signs.identify({"file": "skates"})["bare"]
    assert "as quenched" in next(e["states"] for e in found["left"] if e["id"] == "steel-o1")
    assert "brass-cuzn37" not in left(
        found
    )  # its hardest state, at least 170 HV, is not taken to reach 500


@pytest.mark.parametrize(
    "observed",
    [
        {"colour": "yellow", "magnet": "none", "density": [15.2, 15.6]},
        {"colour": "grey", "magnet": "strong", "file": "skates"},
        {"mark": "750", "colour": "red", "tarnish": "film"},
        {"spark": "white", "density": [4.3, 4.5]},
    ],
)
def test_one_observation_less_never_takes_a_material_away(signs, observed):
    whole = set(left(signs.identify(observed)["bare"]))
    for dropped in observed:
        fewer = {o: v for o, v in observed.items() if o != dropped}
        assert whole <= set(left(signs.identify(fewer)["bare"]))


def test_no_metal_is_excluded_by_its_own_published_figures(signs):
    """Every material with a density fits its own middle."""
    for m in signs.data["materials"]:
        if m["density"] and not m["coating"] and None not in m["density"]:
            middle = sum(m["density"]) / 2
            assert m["id"] in left(signs.identify({"density": [middle, middle]})["bare"])


def test_a_metal_whose_sparks_nobody_listed_is_not_said_to_throw_none(signs):
    """Tantalum: no source found for its sparks, so every answer stays possible."""
    sparks = {m["id"]: m["spark"] for m in signs.data["materials"]}
    assert sparks["tantalum"] is None and sparks["brass-cuzn37"] == ["none"]
    assert "tantalum" in left(signs.identify({"spark": "red"})["bare"])


def test_remembered_magnetism_decides_nothing(small):
    path = small / "knowledge" / "alloys" / "test-steel.yaml"
    path.write_text(
        path.read_text().replace("magnetism: none", "magnetism: none\nmagnetism_source: memory")
    )
    knowledge, complaints = check(small)
    assert complaints == []
    values = Values(knowledge)
    found = identify_module.data(knowledge, values, Judge(knowledge, values))
    states = {m["id"]: m["states"] for m in found["materials"]}
    assert all(s["magnet"] is None for s in states["test-steel"])
    assert all(s["magnet"] is not None for s in states["test-brass"])


def test_every_test_of_the_bench_has_its_process(knowledge):
    for key, bench_test in knowledge.words("bench_tests").items():
        assert bench_test.how or bench_test.process in knowledge.processes, key
        if bench_test.tells_apart:
            assert (bench_test.observation or key) in {*knowledge.words("observations"), "stone"}
        else:
            assert bench_test.measures, key


def test_the_rules_on_the_page_say_the_numbers_that_are_used(knowledge):
    text = " ".join(identify_module.rules(knowledge))
    for number in ("1 %", "5 %", "300 HV", "150 to 700 HV", "500 HV", "2 % finer", "83 parts"):
        assert number in text
