"""Known pieces walked through "What is this metal": the right metal must be left whenever the base
has it, and a piece that the base does not have must end with nothing left.

Densities are handbook figures for the metal (elements: CRC Handbook of Chemistry and Physics;
alloys: producers' data sheets; golds: reciprocal rule from the composition given), written from
memory, each with half a per cent for the weighing. Colour, magnet, file, sparks and film are
common practice at the bench. The list was written before it was run.
"""

from decimal import Decimal

import pytest

from generator.verdicts import identify
from generator.verdicts.findings import Judge
from tests.elimination import Elimination


@pytest.fixture(scope="module")
def signs(knowledge, values):
    return Elimination(identify.data(knowledge, values, Judge(knowledge, values)))


def weighed(density):
    return [density * 0.995, density * 1.005]


def mixture(**shares):
    """Density by the reciprocal rule; element densities from the CRC Handbook, g/cm3."""
    elements = {"Au": 19.3, "Ag": 10.49, "Cu": 8.96, "Zn": 7.14}
    return 100 / sum(share / elements[e] for e, share in shares.items())


GREY, YELLOW, RED, PALE, BLACK, BLUE = (
    {"colour": c} for c in ("grey", "yellow", "red", "pale", "black", "blue")
)
OFF, ON = {"magnet": "none"}, {"magnet": "strong"}

# piece: what is observed, the record that must be left
BARE = {
    "titanium case, grade 2": (GREY | OFF | {"density": weighed(4.51)}, "titanium-grade-2"),
    "titanium case, grade 5": (
        GREY | OFF | {"density": weighed(4.43), "spark": "white"},
        "titanium-grade-5",
    ),
    "titanium hand, anodised blue": (BLUE | OFF, "titanium-grade-5"),
    "440C bearing, hardened": (GREY | ON | {"density": weighed(7.7)}, "stainless-440c"),
    "420 tweezers": (GREY | ON | {"density": weighed(7.7)}, "stainless-420-1-4034"),
    "316L case": (GREY | OFF | {"density": weighed(8.0), "file": "bites"}, "stainless-316l"),
    "904L case": (GREY | OFF | {"density": weighed(8.0)}, "stainless-904l"),
    "304 back, barely attracted": (
        GREY | {"magnet": "trace", "density": weighed(7.93)},
        "stainless-304",
    ),
    "430 back": (GREY | ON | {"density": weighed(7.7)}, "stainless-ferritic-1-4016"),
    "blued steel hand": (BLUE | ON, "steel-c75s"),
    "steel screw, blue-black": (BLACK | ON | {"density": weighed(7.85)}, "steel-c75s"),
    "steel staff, hardened": (
        GREY | ON | {"density": weighed(7.85), "file": "skates"},
        "steel-o1",
    ),
    "soft iron pole piece": (GREY | ON | {"density": weighed(7.87)}, "iron-soft-magnetic"),
    "aluminium bronze case": (YELLOW | OFF | {"density": weighed(7.6)}, "bronze-aluminium"),
    "beryllium copper spring": (
        YELLOW | OFF | {"density": weighed(8.26)},
        "beryllium-copper-cube2",
    ),
    "tin bronze bush": (RED | OFF | {"density": weighed(8.8)}, "bronze-cusn8"),
    "copper blank": (RED | OFF | {"density": weighed(8.94), "tarnish": "film"}, "copper-pure"),
    "brass plate": (YELLOW | OFF | {"density": weighed(8.44)}, "brass-cuzn37"),
    "pinchbeck case": (YELLOW | OFF | {"density": weighed(8.8)}, "brass-cuzn10"),
    "low-zinc brass": (YELLOW | OFF | {"density": weighed(8.75)}, "brass-cuzn15"),
    "nickel silver case": (
        GREY | OFF | {"density": weighed(8.7), "tarnish": "green"},
        "nickel-silver-cuni18zn20",
    ),
    "nickel silver bridge": (PALE | OFF | {"density": weighed(8.65)}, "nickel-silver-cuni12zn24"),
    "cupronickel coin": (GREY | OFF | {"density": weighed(8.94)}, "copper-nickel-cuni25"),
    "nickel case": (GREY | ON | {"density": weighed(8.9)}, "nickel-solid"),
    "silver case, 925": (
        GREY | OFF | {"density": weighed(10.36), "mark": "925", "tarnish": "film"},
        "silver-925",
    ),
    "silver case, 900": (GREY | OFF | {"density": weighed(10.31), "mark": "900"}, "silver-900"),
    "silver case, 835": (GREY | OFF | {"density": weighed(10.2), "mark": "835"}, "silver-835"),
    "silver case, 800": (GREY | OFF | {"density": weighed(10.14), "mark": "800"}, "silver-800"),
    "18 ct yellow, 3N": (
        YELLOW | OFF | {"density": weighed(15.45), "mark": "750"},
        "gold-18-yellow-3n",
    ),
    "18 ct green, all silver": (
        PALE | OFF | {"density": weighed(mixture(Au=75, Ag=25)), "mark": "750"},
        "gold-18-green",
    ),
    "18 ct red, 5N": (RED | OFF | {"density": weighed(15.1), "mark": "750"}, "gold-18-red-5n"),
    "18 ct palladium white gold": (
        GREY | OFF | {"density": weighed(15.9), "mark": "750"},
        "gold-18-white-palladium",
    ),
    "14 ct yellow with little silver": (
        YELLOW | OFF | {"density": weighed(mixture(Au=58.5, Ag=9, Cu=29, Zn=3.5)), "mark": "585"},
        "gold-14-yellow",
    ),
    "14 ct yellow, silver-rich": (
        PALE | OFF | {"density": weighed(mixture(Au=58.5, Ag=37.5, Cu=4)), "mark": "585"},
        "gold-14-yellow",
    ),
    "14 ct red": (
        RED | OFF | {"density": weighed(mixture(Au=58.5, Ag=6, Cu=35.5)), "mark": "585"},
        "gold-14-red",
    ),
    "9 ct yellow with zinc": (
        YELLOW | OFF | {"density": weighed(mixture(Au=37.5, Ag=10, Cu=45, Zn=7.5)), "mark": "375"},
        "gold-9-yellow",
    ),
    "9 ct yellow, silver-rich": (
        PALE | OFF | {"density": weighed(mixture(Au=37.5, Ag=55, Cu=7.5)), "mark": "375"},
        "gold-9-yellow",
    ),
    "8 ct yellow": (YELLOW | OFF | {"mark": "333"}, "gold-8-yellow"),
    "10 ct yellow": (YELLOW | OFF | {"mark": "417"}, "gold-10-yellow"),
    "platinum with ruthenium": (
        GREY | OFF | {"density": weighed(20.7), "mark": "950"},
        "platinum-950-ruthenium",
    ),
    "platinum 900": (
        GREY | OFF | {"density": weighed(21.5), "mark": "900"},
        "platinum-900-iridium",
    ),
    "zirconia case": (
        {"colour": "black", "density": weighed(6.05), "file": "skates"} | OFF,
        "zirconia-3y",
    ),
    "zinc die casting": (
        GREY | OFF | {"density": weighed(6.7), "file": "easy"},
        "zinc-die-casting",
    ),
    "pewter": (GREY | OFF | {"density": weighed(7.3), "file": "easy"}, "pewter"),
    "lead": (GREY | OFF | {"density": weighed(11.34), "file": "easy"}, "lead"),
    "magnesium casting AZ91": (GREY | OFF | {"density": weighed(1.81)}, "magnesium-az91"),
    "tantalum": (GREY | OFF | {"density": weighed(16.6)}, "tantalum"),
    "hard metal, 6 % cobalt to 9 %": (
        GREY | {"magnet": "trace", "density": weighed(14.6), "file": "skates"},
        "hard-metal-wc-co",
    ),
}
# piece: what is observed, the skin (None: the base need not have it), the metal below
COATED = {
    "chromed brass": (GREY | OFF | {"density": weighed(8.44)}, None, "brass-cuzn37"),
    "gold-filled brass stamped 585": (
        YELLOW | OFF | {"density": weighed(8.5), "mark": "585"},
        None,
        "brass-cuzn37",
    ),
    "gilt silver stamped 925": (
        YELLOW | OFF | {"density": weighed(10.36), "mark": "925"},
        None,
        "silver-925",
    ),
    "tungsten under gold stamped 916": (
        YELLOW | OFF | {"density": weighed(17.6), "mark": "916"},
        None,
        "tungsten-heavy-alloy",
    ),
    "black film on steel": (BLACK | OFF | {"density": weighed(8.0)}, "dlc", "stainless-316l"),
    "rhodium on silver": (GREY | OFF | {"density": weighed(10.36)}, "rhodium", "silver-925"),
}
# Metals without a record: nothing may be left.
STRANGE = {
    "pure magnesium ribbon": GREY | OFF | {"density": weighed(1.738)},
    "gold 12 ct, marked 500": YELLOW | OFF | {"mark": "500"},
    "molybdenum": GREY | OFF | {"density": weighed(10.22), "file": "bites", "tarnish": "rust"},
    "zirconium metal": GREY | OFF | {"density": weighed(6.51), "file": "bites", "spark": "white"},
    "rhenium": GREY | OFF | {"density": weighed(21.02), "file": "skates"},
    "osmium": GREY | OFF | {"density": weighed(22.59)},
    "indium": GREY | OFF | {"density": weighed(7.31), "mark": "999"},
}


def bare(signs, observed):
    return {e["id"] for e in signs.identify(observed)["bare"]["left"]}


@pytest.mark.parametrize("piece", BARE)
def test_the_right_metal_is_left(signs, piece):
    observed, right = BARE[piece]
    assert right in bare(signs, observed)


@pytest.mark.parametrize("piece", COATED)
def test_below_a_coating_the_right_metal_is_left(signs, piece):
    observed, skin, below = COATED[piece]
    found = signs.identify(observed)
    assert below in {e["id"] for e in found["below"]["left"]}
    assert skin is None or any(skin in e["id"] for e in found["coatings"])


@pytest.mark.parametrize("piece", STRANGE)
def test_a_metal_without_a_record_is_taken_for_no_other(signs, piece):
    assert bare(signs, STRANGE[piece]) == set()


@pytest.mark.parametrize(
    ("density", "wrong"),
    [(1.738, "any"), (6.7, "nickel-silver-cuni7zn39pb3mn2"),
     (11.34, "nickel-silver-cuni7zn39pb3mn2"),
     (19.3, "nickel-silver-cuni7zn39pb3mn2"), (8.94, "nickel-silver-cuni7zn39pb3mn2")],
)  # fmt: skip
def test_no_alloy_outlives_every_weighing(signs, density, wrong):
    """Copper, zinc and nickel lie between 7.1 and 9.0 g/cm3, so must their alloys (CRC
    Handbook)."""
    left = bare(signs, GREY | OFF | {"density": weighed(density)})
    assert wrong not in left and (wrong != "any" or not left)


def test_a_mark_without_a_record_is_named(signs, knowledge):
    """500 is a gold mark of Russian and former German custom; palladium of 500 is grey."""
    answered = {m for c in signs.data["materials"] for m in c["mark"] or ()}
    for mark in {f"{m.fineness:f}" for m in knowledge.words("marks").values()}:
        found = signs.identify({"mark": mark})
        assert found["strangeMark"] is (mark not in answered)


@pytest.mark.parametrize("density", [1.738, 1.81, 1.85])
def test_magnesium_and_beryllium_bring_the_warning(signs, density):
    """Magnesium 1.74, AZ91 1.81, beryllium 1.85 g/cm3 (CRC Handbook, producers' sheets)."""
    assert signs.identify({"density": weighed(density)})["maybeMagnesium"]
    assert not signs.identify({"density": weighed(2.7)})["maybeMagnesium"]


def test_free_golds_are_as_wide_as_their_recipes(signs):
    """Two ends of 14 and 9 ct, by the reciprocal rule from pure copper and from pure silver."""
    spans = {m["id"]: m["density"] for m in signs.data["materials"]}
    for key, gold in (("gold-14-yellow", 58.5), ("gold-9-yellow", 37.5)):
        low, high = spans[key]
        assert low <= mixture(Au=gold, Cu=100 - gold) and high >= mixture(Au=gold, Ag=100 - gold)
        assert Decimal(str(high - low)) < 3
