"""Metals in contact on an invented series: the rule, the limits, the two places, the messages.

Expected values are worked out by hand from the limits written into each test.
"""

from decimal import Decimal

import pytest

from generator.export import document
from generator.numbers.values import Values
from generator.records.loading import load
from generator.verdicts.contact import FAST, NONE, SLOW, Contacts
from generator.verdicts.verdicts import Verdicts
from tests.conftest import SMALL, make_root

SERIES = "sea_water_series"
SITUATIONS = "contact_situations"
WET = "{name: wet, salt: true, none_up_to: 0.15, slow_up_to: 0.25, source: practice}"


@pytest.fixture
def root(tmp_path):
    return make_root(tmp_path, SMALL)


def write(root, name, **entries):
    (root / "knowledge" / "vocabulary" / f"{name}.yaml").write_text(
        "".join(f"{key}: {entry}\n" for key, entry in entries.items())
    )


def place(family, whole, rest="goes: fast"):
    return (
        f"{{name: {family}, when: {{families: [{family}]}}, {rest}, "
        f"whole: [{{typical: {whole}, source: practice}}]}}"
    )


def pair(root, steel, brass, usual="{}"):
    write(root, SERIES, steel=steel, brass=brass)
    write(root, SITUATIONS, wet=WET)
    (root / "knowledge" / "vocabulary" / "usual_contacts.yaml").write_text(usual)
    knowledge, complaints = load(root)
    assert complaints == []
    (joint,) = Contacts(knowledge).pair("test-steel", "test-brass")
    return joint


def family(root, name):
    return load(root)[0].materials[name].family


@pytest.mark.parametrize(
    ("steel", "brass", "goes", "degree"),
    [
        ("-0.10", "-0.25", None, NONE),  # 0.15 apart: the limit itself is allowed
        ("-0.10", "-0.26", 1, SLOW),
        ("-0.10", "-0.35", 1, SLOW),  # 0.25 apart: the limit itself is slow
        ("-0.10", "-0.36", 1, FAST),
        ("-0.36", "-0.10", 0, FAST),
    ],
)
def test_the_lower_one_goes_and_the_limits_belong_to_the_milder_side(
    root, steel, brass, goes, degree
):
    a, b = family(root, "test-steel"), family(root, "test-brass")
    joint = pair(root, place(a, steel), place(b, brass))
    assert (joint.open.goes, joint.open.degree) == (goes, degree)
    assert joint.open.apart == abs(Decimal(steel) - Decimal(brass))
    assert joint.gap is None


def test_a_film_holds_in_the_open_and_breaks_in_a_gap(root):
    a, b = family(root, "test-steel"), family(root, "test-brass")
    film = "goes: slow, film: true, broken: [{range: [-0.46, -0.33], source: practice}]"
    joint = pair(root, place(a, "-0.50", film), place(b, "-0.20", "goes: slow"))
    assert joint.open.goes is None  # lower, and its film holds
    assert (joint.gap.goes, joint.gap.degree, joint.gap.if_small) == (0, SLOW, FAST)
    assert joint.gap.apart == Decimal("0.26")  # the lowest end of the broken place counts


def test_beside_a_metal_that_goes_fast_the_film_does_not_break(root):
    a, b = family(root, "test-steel"), family(root, "test-brass")
    film = "goes: slow, film: true, broken: [{typical: -0.46, source: practice}]"
    joint = pair(root, place(a, "-0.05", film), place(b, "-0.40"))
    assert (joint.open.goes, joint.gap) == (1, None)


def test_no_metal_goes_faster_than_its_kind_and_a_poor_partner_drives_less(root):
    a, b = family(root, "test-steel"), family(root, "test-brass")
    assert pair(root, place(a, "0"), place(b, "-0.9", "goes: slow")).open.degree == SLOW
    poor = "goes: none, film: true, poor_partner: practice"
    assert pair(root, place(a, "0", poor), place(b, "-0.9")).open.degree == SLOW


def test_what_is_usual_may_touch_though_it_goes(root):
    a, b = family(root, "test-steel"), family(root, "test-brass")
    usual = (
        f"both: {{name: both, one: {{families: [{b}]}}, other: {{families: [{a}]}}, "
        "situations: [wet], say: Joined daily, source: practice}\n"
    )
    joint = pair(root, place(a, "-0.1"), place(b, "-0.9"), usual)
    assert (joint.usual, joint.may_touch, joint.worst) == ("both", True, FAST)
    knowledge, _ = load(root)
    published = document.build(knowledge, {}, Verdicts(knowledge, Values(knowledge)))
    assert [p["usual"] for p in published["verdicts"]["pairs"]] == ["both"]
    assert not pair(root, place(a, "-0.1"), place(b, "-0.9")).may_touch


@pytest.mark.parametrize(
    ("name", "entry", "fault"),
    [
        (
            SITUATIONS,
            "{name: wet, none_up_to: 0.15, source: practice}",
            "needs both none_up_to and slow_up_to",
        ),
        (
            SITUATIONS,
            "{name: wet, none_up_to: 0.3, slow_up_to: 0.2, source: practice}",
            "none_up_to must be below slow_up_to",
        ),
        (
            SERIES,
            "{name: x, when: {}, goes: fast, whole: [{at_least: 0.1, source: practice}]}",
            "typical or a range, not at_least",
        ),
    ],
)
def test_a_limit_or_place_that_cannot_be_judged_is_complained_of(root, name, entry, fault):
    write(root, name, wet=entry)
    _, complaints = load(root)
    assert any(fault in str(c) for c in complaints), [str(c) for c in complaints]
