"""Metals in contact against what was judged by hand beforehand, published orders, and the page of
the hazard.

The list in metals_in_contact.yaml names its bases; the orders are those of MIL-STD-889B, Table II,
and of the published table of potentials in flowing sea water (both as quoted in the sources).
"""

import itertools
from pathlib import Path

import pytest
import yaml

from generator.verdicts.contact import FAST, NONE, SLOW, Contacts
from generator.verdicts.findings import Judge

pytestmark = pytest.mark.external
JUDGED = yaml.load(
    Path(__file__).with_name("metals_in_contact.yaml").read_text(), Loader=yaml.CSafeLoader
)
GALVANIC = "galvanic-contact"


@pytest.fixture(scope="module")
def contacts(knowledge):
    return Contacts(knowledge)


def goes(attack, first, second):
    return "-" if attack.goes is None else (first, second)[attack.goes]


def found(contacts, first, second):
    """Who goes in the open, who in a gap, how bad in the three situations, and whether usual."""
    joints = {j.situation: j for j in contacts.pair(first, second)}
    salty = joints["sweat"]
    return {
        "goes": goes(salty.open, first, second),
        "gap": goes(salty.gap or salty.open, first, second),
        **{s: joints[s].worst for s in ("sweat", "damp", "dry")},
        "usual": any(j.usual for j in joints.values()),
    }


def expected(entry):
    wanted = {k: entry[k] for k in ("goes", "gap", "sweat", "damp", "dry", "usual")}
    return {**wanted, "gap": wanted["goes"] if wanted["gap"] == "same" else wanted["gap"]}


def test_pairs_judged_beforehand(contacts):
    """Who goes in the open: always. Every answer of a pair as judged by hand: at least 93 %."""
    assert len(JUDGED["pairs"]) >= 60
    differ = []
    for entry in JUDGED["pairs"]:
        ours, wanted = found(contacts, entry["first"], entry["second"]), expected(entry)
        assert ours["goes"] == wanted["goes"], entry
        if ours != wanted:
            differ.append((entry, ours))
    assert len(differ) <= 0.07 * len(JUDGED["pairs"]), differ


@pytest.mark.parametrize("entry", JUDGED["over"], ids=lambda e: f"{e['coating']}-{e['base']}")
def test_who_goes_at_the_pores_of_a_coating(contacts, entry):
    attack = contacts.at_pores(entry["coating"], entry["base"], "sweat")
    assert goes(attack, entry["coating"], entry["base"]) == entry["goes"]
    assert attack.degree == entry["sweat"]


def test_steel_and_brass_in_the_open_and_in_a_gap(contacts):
    """NPL guide: stainless steel with its film drives copper alloys; broken, it is the anode."""
    sweat, *_ = contacts.pair("stainless-316l", "brass-cuzn39pb3")
    assert (sweat.open.goes, sweat.gap.goes) == (1, 0)


@pytest.mark.parametrize(
    ("lower", "nobler"),
    [
        ("magnesium-az91", "zinc-die-casting"),
        ("zinc-die-casting", "aluminium-7075"),
        ("aluminium-7075", "steel-o1"),
        ("steel-o1", "copper-pure"),
        ("brass-cuzn37", "silver-925"),
        ("copper-pure", "copper-nickel-cuni25"),
        ("silver-925", "gold-18-yellow-3n"),
        ("nickel-solid", "silver-925"),
        ("silver-925", "titanium-grade-2"),
        ("brass-cuzn37", "nickel-silver-cuni18zn20"),
        ("nickel-silver-cuni18zn20", "nickel-solid"),
    ],
)
def test_the_order_of_published_series(contacts, lower, nobler):
    """Order of the table of potentials in flowing sea water; MIL-STD-889B for gold."""
    assert contacts.place_of[lower].open < contacts.place_of[nobler].open


def test_a_poor_partner(contacts):
    """MIL-STD-889D: on aluminium titanium drives 19 um a year, platinum 267."""
    titanium, *_ = contacts.pair("aluminium-6082", "titanium-grade-5")
    platinum, *_ = contacts.pair("aluminium-6082", "platinum-950-ruthenium")
    assert (titanium.open.degree, platinum.open.degree) == (SLOW, FAST)


def test_the_small_piece_that_goes_goes_fast(contacts):
    """Common practice, and MIL-DTL-14072 clause 3.13: the smaller part must be the nobler one."""
    for pair in (("stainless-316l", "brass-cuzn37"), ("aluminium-6082", "stainless-316l")):
        sweat, *_ = contacts.pair(*pair)
        assert (sweat.open.if_small, sweat.open.if_large) == (FAST, SLOW)


def test_chromium_plate_is_never_the_one_that_goes(contacts):
    """Common practice: chromium is passive; what it covers goes at the cracks."""
    for other in contacts.place_of:
        for joint in contacts.pair("chromium-plate", other):
            for attack in filter(None, (joint.open, joint.gap)):
                assert attack.goes in (None, 1), (other, joint)


def test_nearly_every_metal_has_a_place(knowledge, contacts):
    metals = [m for m, r in knowledge.materials.items() if knowledge.material_class(r) == "metal"]
    without = [m for m in metals if m not in contacts.place_of]
    assert without == ["hard-metal-wc-co"]  # no published place found for a cobalt binder


def test_no_pair_contradicts_the_page_of_the_hazard(knowledge, values, contacts):
    """What holds there never goes in the open, what holds with care never goes fast while alike in
    size, and beside what holds, what suffers or fails is not the one that is spared and drives."""
    judge = Judge(knowledge, values)
    said = {
        m: {
            judge.exposure(GALVANIC, m, s).verdict for s in knowledge.materials[m].states or (None,)
        }
        for m in contacts.place_of
        if knowledge.material_class(knowledge.materials[m]) == "metal"
    }
    wrong = []
    for first, second in itertools.combinations(said, 2):
        for joint in contacts.pair(first, second):
            for attack in filter(None, (joint.open, joint.gap)):
                if attack.goes is None:
                    continue
                loser = (first, second)[attack.goes]
                winner = (second, first)[attack.goes]
                if attack is joint.open and said[loser] == {"holds"} and not _known(loser):
                    wrong.append(("holds, yet goes", loser, winner, joint.situation))
                if said[loser] <= {"holds", "holds-with-care"} and attack.degree == FAST:
                    wrong.append(("with care, yet fast", loser, winner, joint.situation))
                if said[loser] == {"holds"} and said[winner] & {"suffers", "fails"}:
                    wrong.append(("the wrong one goes", loser, winner, joint.situation))
    assert wrong == []


def _known(material):
    """Silver and low gold: the page says that of two noble metals one still looks at the
    neighbour, and the series puts them below high gold (common practice: silver dulls first)."""
    return material.startswith(("silver-", "gold-8", "gold-9", "gold-10", "gold-14"))


@pytest.mark.parametrize(
    ("first", "second", "usual"),
    [
        ("stainless-316l", "gold-18-yellow-3n", True),  # two-tone
        ("stainless-316l", "titanium-grade-5", True),
        ("stainless-316l", "brass-cuzn39pb3", True),  # crown tube in a brass case
        ("steel-o1", "gold-18-yellow-3n", False),
        ("stainless-316l", "aluminium-6082", False),
    ],
)
def test_what_is_usual_outranks_the_volts(contacts, first, second, usual):
    """Common practice."""
    sweat, *_ = contacts.pair(first, second)
    assert (sweat.may_touch, sweat.worst != NONE) == (usual, True)
