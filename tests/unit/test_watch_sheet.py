"""The watch sheet: its answers agree with what Python judges, a sheet comes back as it was saved,
and nothing that claims to be a sheet breaks it."""

import copy
import json
import random

import pytest

from generator.numbers.quantities import Quantity
from generator.records.saved_sheets import SavedSheet
from generator.verdicts.contact import DEGREES
from generator.verdicts.rungs import ORDER, RUNGS
from tests.watch_in_hand import InHand

DIVER = "three-hand-automatic-diver"


@pytest.fixture(scope="module")
def bench(site_pages):
    return InHand(site_pages)


@pytest.fixture(scope="module")
def kinds(knowledge):
    return list(knowledge.watches)


@pytest.mark.slow
def test_every_place_is_judged_as_python_judges_it(bench, knowledge, site_pages):
    """Each part set to each of a few metals in turn stands on the rung of its part's page."""
    ladder = site_pages.verdicts.ladder
    for watch, record in knowledge.watches.items():
        for material in ("brass-cuzn37", "stainless-316l", "steel-c75s", "titanium-grade-5"):
            made = {p.key: {"material": material, "state": "", "coating": ""} for p in record.parts}
            found = bench.answers(bench.empty(watch, parts=made))
            told = {p["part"]: RUNGS_SHOWN[p["rung"]] for p in found["places"]}
            for part in record.parts:
                states = knowledge.materials[material].states or (None,)
                best = min(
                    (ladder.judgement(part.role, material, s).rung for s in states), key=ORDER.get
                )
                assert told.get(part.key, "fine") == ("fine" if best in FINE else best), part.key


FINE = ("own", "beside")
RUNGS_SHOWN = ("own", "beside", "pinch", "paper", "no", "cannot-say")


def test_the_rungs_keep_their_order(bench):
    """The script names rungs and verdicts by their places."""
    assert tuple(r[0] for r in bench.data["rungs"]) == RUNGS_SHOWN and set(RUNGS_SHOWN) == set(
        RUNGS
    )
    verdicts = [v[0] for v in bench.data["verdicts"]]
    assert verdicts == ["holds", "holds-with-care", "suffers", "fails", "unknown"]


def test_every_contact_is_judged_as_python_judges_it(bench, knowledge, site_pages):
    """Bare metals on all joins of all kinds: who goes and how fast, in each situation."""
    contacts, seen = site_pages.contacts, 0
    pairs = [
        ("stainless-316l", "brass-cuzn37"),
        ("steel-c75s", "gold-18-yellow-3n"),
        ("aluminium-6082", "titanium-grade-5"),
        ("silver-925", "stainless-304"),
    ]
    for watch, record in knowledge.watches.items():
        for first, second in pairs:
            made = {
                p.key: {"material": m, "state": "", "coating": ""}
                for i, p in enumerate(record.parts)
                for m in [(first, second)[i % 2]]
            }
            found = bench.answers(bench.empty(watch, parts=made))["contacts"]
            joins = {(*j.between, j.how): j for j in record.joins}
            for shown in found:
                a, b = shown["between"]
                join = next(j for (x, y, _), j in joins.items() if (x, y) == (a, b))
                if not shown["cell"] or sum((x, y) == (a, b) for x, y, _ in joins) > 1:
                    continue
                seen += 1
                gap = knowledge.words("joins")[join.how].gap
                wanted = []
                for joint in contacts.pair(made[a]["material"], made[b]["material"]):
                    attacks = [joint.open, *([joint.gap] if gap and joint.gap else [])]
                    rated = []
                    for attack in attacks:
                        if attack.goes is None:
                            rated.append((0, None))
                            continue
                        goes = join.between[attack.goes]
                        degree = (
                            attack.degree
                            if join.smaller is None
                            else attack.if_small
                            if goes == join.smaller
                            else attack.if_large
                        )
                        rated.append((DEGREES.index(degree), goes))
                    wanted.append(max(r[0] for r in rated))
                assert [degree for _, degree in shown["all"]] == wanted, (a, b)
    assert seen > 200


def test_like_metals_never_attack_each_other(bench, kinds):
    for watch in kinds:
        for material in ("stainless-316l", "titanium-grade-2", "gold-18-yellow-3n"):
            rows = bench.site.knowledge.watches[watch].parts
            made = {p.key: {"material": material, "state": "", "coating": ""} for p in rows}
            found = bench.answers(bench.empty(watch, parts=made))
            assert [c for c in found["contacts"] if c["degree"]] == []


def test_as_usual_is_marked_and_what_is_set_is_not(bench):
    made = {"crown": {"material": "brass-cuzn37", "state": "", "coating": ""}}
    found = bench.answers(bench.empty(DIVER, parts=made))
    assert not found["parts"]["crown"]["assumed"] and found["parts"]["case-back"]["assumed"]
    named = [f for f in found["findings"] if "crown" in f["parts"]]
    assert named and not any(f["assumed"] for f in named if f["parts"] == ["crown"])


def test_a_part_that_is_not_known_asks_for_a_test_and_claims_nothing(bench):
    made = {"case-middle": {"material": "", "state": "", "coating": ""}}
    found = bench.answers(bench.empty(DIVER, parts=made))
    assert found["open"] == ["case-middle"]
    assert not any("case-middle" in f["parts"] for f in found["findings"])
    assert ["case-middle", "metal not known"] in found["work"]["test"]


def test_weighing_in_water_settles_an_open_case(bench):
    """Steel of 7.9 or titanium of 4.5 g/cm3 (common practice): 30 g that lose 6.67 g have 4.5."""
    measured = [
        row("case-middle", "weight-in-air", "30.00"),
        row("case-middle", "weight-in-water", "23.33"),
    ]
    sheet = bench.empty(DIVER, parts={"case-middle": {"material": "", "state": "", "coating": ""}})
    left = bench.narrowed({**sheet, "measured": measured}, "case-middle")["left"]
    assert (
        "titanium-grade-2" in left and "stainless-316l" not in left and "gold-18-red-5n" not in left
    )


def row(part, prop, value, **more):
    return {"part": part, "property": prop, "unit": "", "value": value, "doubt": "", **more}


def test_a_magnet_that_pulls_contradicts_316l(bench):
    """Austenitic steel is not attracted (common practice)."""
    sheet = bench.empty(DIVER, measured=[row("case-back", "magnet", "strong")])
    assert bench.answers(sheet)["misfits"] == [{"part": "case-back", "by": ["magnet"]}]
    sheet = bench.empty(DIVER, measured=[row("case-back", "magnet", "none")])
    assert bench.answers(sheet)["misfits"] == []


def test_hardness_contradicts_a_soft_staff(bench):
    """A staff of 200 HV is not hardened steel: turned soft, about 200; hardened and tempered, 600
    to 700 HV (common practice)."""
    for value, misfit in (("200", True), ("650", False), ("700", False)):
        sheet = bench.empty(DIVER, measured=[row("balance-staff", "hardness", value, doubt="20")])
        assert bool(bench.answers(sheet)["misfits"]) is misfit, value


def test_rate_at_two_temperatures(bench):
    """From 8 to 38 degC a watch that goes from +6 to -9 s/d loses half a second for each kelvin."""
    measured = [
        row("balance-wheel", "rate", "6", at="8"),
        row("balance-wheel", "rate", "-9", at="38"),
    ]
    found = bench.answers(bench.empty(DIVER, measured=measured))["rates"]
    assert found["measured"] == [-0.5, -0.5]
    measured[1]["doubt"] = "3"
    low, high = bench.answers(bench.empty(DIVER, measured=measured))["rates"]["measured"]
    assert (round(low, 4), round(high, 4)) == (-0.6, -0.4)


def test_a_case_weighed_and_weighed_again_in_gold(bench, values):
    """Mass goes with density; both densities are those of the material pages."""
    sheet = bench.empty(
        DIVER,
        measured=[row(k, "weight-in-air", "0.00001") for k in ("case-back", "bezel", "crown")]
        + [row("case-middle", "weight-in-air", "50")],
    )
    found = bench.answers(sheet, "gold-18-yellow-3n")["weights"]
    old, new = (values.of(m, "density") for m in ("stainless-316l", "gold-18-yellow-3n"))
    assert isinstance(old, Quantity)
    low, high = 50 * float(new.low) / float(old.high), 50 * float(new.high) / float(old.low)
    assert found["then"][0] == pytest.approx(low, rel=1e-5)
    assert found["then"][1] == pytest.approx(high, rel=1e-5)


def test_fine_gold_of_a_case(bench):
    """24.0 g of 585 gold hold 24.0 x 0.585 = 14.04 g (worked by hand)."""
    made = {"case-middle": {"material": "gold-14-yellow", "state": "", "coating": ""}}
    sheet = bench.empty(DIVER, parts=made, measured=[row("case-middle", "weight-in-air", "24.0")])
    assert bench.answers(sheet)["weights"]["fine"] == {"Au": [14.04, 14.04]}


# ---- The saved file ----


def full(bench) -> dict:
    return bench.empty(
        DIVER,
        job="tray 7",
        owner=["sport", "sea-swimming"],
        parts={"crown": {"material": "brass-cuzn37", "state": "hard", "coating": "nickel-plate"}},
        measured=[row("crown", "hardness", "180", unit="HV", doubt="5", readings="3", by="bench")],
        note="lid scratched",
    )


def test_a_sheet_comes_back_as_it_was(bench):
    sheet = full(bench)
    assert bench.read(bench.write(sheet)) == {"sheet": sheet, "said": []}


def test_what_the_page_does_not_know_is_kept(bench):
    sheet = {**full(bench), "colour of the tray": "green"}
    sheet["measured"][0]["method"] = "HV0.1"
    assert bench.read(bench.write(sheet))["sheet"] == sheet


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "damaged"),
        ('{"sheet": 1, "watch": "three-hand', "damaged"),
        ("[]", "not a watch sheet"),
        ('{"sheet": "1", "watch": "x"}', "not a watch sheet"),
        ('{"sheet": 2, "watch": "three-hand-automatic-diver"}', "newer edition"),
        ('{"sheet": 1, "watch": "sundial"}', "sundial"),
        ('{"sheet": 1, "watch": "constructor"}', "constructor"),
        ("x" * 2_000_001, "too large"),
    ],
)
def test_what_cannot_be_opened_says_why(bench, text, says):
    assert says in bench.read(text)["fault"]


def test_the_sheet_is_of_the_published_form(bench):
    """What the page writes is what the verb that reads saved sheets expects."""
    found = SavedSheet.model_validate_json(bench.write(full(bench)))
    assert found.parts["crown"].coating == "nickel-plate" and found.measured[0].by == "bench"
    assert SavedSheet.model_validate_json(bench.write(bench.empty(DIVER))).measured == []


def test_a_measured_coating_stands_where_its_thickness_was_asked(bench):
    watch = "dress-watch-plated-brass"
    asked = dict(bench.answers(bench.empty(watch))["work"]["test"])["case-middle"]
    assert "how much of the coating" in asked
    measured = [row("case-middle", "plating-thickness", "3.5", doubt="0.5")]
    told = dict(bench.answers(bench.empty(watch, measured=measured))["work"]["test"])
    assert "3.5 \N{PLUS-MINUS SIGN} 0.5 \N{MICRO SIGN}m" in told["case-middle"]


def test_an_older_sheet_is_brought_up(bench):
    found = bench.read(json.dumps({"sheet": 0, "watch": DIVER, "parts": {}}))
    assert found["sheet"]["sheet"] == 1 and "older edition" in found["said"][0]


def test_a_part_that_cannot_be_read_is_kept_and_said(bench):
    text = json.dumps(
        {"sheet": 1, "watch": DIVER, "parts": {"crown": 7, "__proto__": {"material": "x"}}}
    )
    found = bench.read(text)
    assert found["sheet"]["parts"] == {} and "the part crown" in found["said"][0]
    assert found["sheet"]["unread"][0]["parts"]["crown"] == 7


def test_a_material_of_another_edition_is_kept_and_open(bench):
    made = {"crown": {"material": "unobtainium", "state": "", "coating": ""}}
    found = bench.read(bench.write(bench.empty(DIVER, parts=made)))
    assert found["sheet"]["parts"] == made
    shown = bench.answers(found["sheet"])["parts"]["crown"]
    assert shown["open"] and shown["strange"]


ODD = [
    None,
    True,
    -1,
    1e308,
    "",
    "x" * 500,
    [],
    {},
    [[]],
    {"material": 3},
    "__proto__",
    "constructor",
]


def mutated(text: str, chance: random.Random) -> str:
    """A sheet with letters or values changed, doubled, lost or put elsewhere."""
    if chance.random() < 0.4:
        at, end = sorted(chance.randrange(len(text)) for _ in range(2))
        piece = text[at : at + min(end - at, 30)]
        return chance.choice(
            [
                text[:at] + text[end:],
                text[:at] + piece + text[at:],
                text[:at] + chr(chance.randrange(1, 0x2FFF)) + text[at + 1 :],
                text[:at],
            ]
        )
    tree = json.loads(text)
    for _ in range(chance.randint(1, 4)):
        node = tree
        while isinstance(node, (dict, list)) and node and chance.random() < 0.75:
            way = chance.choice(list(node) if isinstance(node, dict) else range(len(node)))
            if not isinstance(node[way], (dict, list)) or chance.random() < 0.3:
                node[way] = copy.deepcopy(chance.choice(ODD))
                break
            node = node[way]
        if isinstance(node, dict) and chance.random() < 0.2:
            node[chance.choice(["__proto__", "toString", "extra", "parts"])] = copy.deepcopy(
                chance.choice(ODD)
            )
    return json.dumps(tree)


def try_mutants(bench, many: int) -> int:
    """Each is read without a script error; what can be opened is answered. How many were."""
    chance, text, opened = random.Random(17), bench.write(full(bench)), 0
    for _ in range(many):
        found = bench.read(mutated(text, chance))
        assert ("fault" in found) != ("sheet" in found)
        if "sheet" in found:
            opened += 1
            assert bench.answers(found["sheet"])["parts"]
            again = bench.read(bench.write(found["sheet"]))
            assert again["sheet"] == found["sheet"]
    return opened


def test_mutated_sheets_never_break_the_page(bench):
    assert try_mutants(bench, 100) > 15


@pytest.mark.slow
def test_five_thousand_mutated_sheets_never_break_the_page(bench):
    assert try_mutants(bench, 5000) > 1000
