"""Kinds of watch: complete, judged as a fitter would, and where they stand on the pages.

What goes beside what is common practice of the trade, judged by the sea-water series of the
knowledge base; the metals and sizes here are invented.
"""

import html
import re
from decimal import Decimal

import pytest

from generator.checks.rules import check
from generator.export.sheets import SHEETS
from generator.records import models
from generator.site.pages.part import part_page
from generator.site.pages.watch import watch_page
from generator.verdicts.contact import Contacts
from generator.verdicts.watches import Made, as_usual, touches, under_plating

KINDS = (
    "three-hand-automatic-diver",
    "dress-watch-plated-brass",
    "gold-pocket-watch-cut-balance",
    "quartz-watch",
    "titanium-chronograph",
)
REVIEWED = {"on": "2026-11-25", "by": "workshop lead"}


@pytest.fixture(scope="module")
def contacts(knowledge):
    return Contacts(knowledge)


def watch(*joins: dict, outside=()) -> models.Watch:
    """An invented watch of the parts that the joins name."""
    roles = dict.fromkeys(end for join in joins for end in join["between"])
    return models.Watch.model_validate(
        {
            "name": "x", "summary": "x", "period": "x", "does": "x", "reviewed": REVIEWED,
            "parts": [{"part": r, "outside": r in outside} for r in roles],
            "joins": list(joins),
        }
    )  # fmt: skip


def join(one, how, other, where, **more) -> dict:
    return {"between": [one, other], "how": how, "where": where, **more}


def test_every_kind_has_thirty_parts_and_every_part_a_contact(knowledge):
    assert set(KINDS) <= set(knowledge.watches)
    for key in KINDS:
        kind = knowledge.watches[key]
        assert len(kind.parts) >= 30
        assert kind.invented
        assert len(kind.joins) >= len(kind.parts) - 1  # a watch that hangs together


def test_the_small_piece_goes_fast_and_the_large_one_slowly(contacts):
    """Common practice: a small low piece in a large noble one goes fast, a large one slowly."""
    case = join("case-middle", "screwed", "case-screw", "sweat")
    made = {"case-middle": Made("brass-cuzn37"), "case-screw": Made("gold-18-yellow-3n")}
    large = touches(contacts, watch({**case, "smaller": "case-screw"}), made)[0]
    assert (large.attack.goes, large.degree) == (0, "slow")
    turned = {"case-middle": made["case-screw"], "case-screw": made["case-middle"]}
    small = touches(contacts, watch({**case, "smaller": "case-screw"}), turned)[0]
    assert (small.attack.goes, small.degree) == (1, "fast")


def test_the_worst_comes_first_and_what_has_no_metal_last(contacts):
    """Common practice: aluminium beside steel in sweat goes; steel on steel is usual; rubber is
    no cell."""
    made = {
        "bezel": Made("stainless-316l", "annealed"),
        "rotating-bezel-insert": Made("aluminium-6082", "t6"),
        "case-middle": Made("stainless-316l", "annealed"),
        "case-back-gasket": Made("nbr-seal"),
    }
    found = touches(
        contacts,
        watch(
            join("case-back-gasket", "rests-on", "case-middle", "sweat"),
            join("bezel", "snapped", "case-middle", "sweat"),
            join("rotating-bezel-insert", "rests-on", "bezel", "sweat"),
        ),
        made,
    )
    assert [t.join.between[0] for t in found] == [
        "rotating-bezel-insert", "bezel", "case-back-gasket",
    ]  # fmt: skip
    assert found[0].degree != "none"
    assert found[2].joint is None


def test_plating_is_judged_whole_and_worn_through(contacts):
    """Common practice: gold on brass under a steel back; worn, the brass greens at the seam."""
    its = watch(
        join("case-middle", "screwed", "case-back", "sweat"), outside=("case-middle", "case-back")
    )
    made = {
        "case-middle": Made("brass-cuzn37", "hard", "gold-hard-plate"),
        "case-back": Made("stainless-316l", "annealed"),
    }
    found = touches(contacts, its, made)[0]
    assert found.worn.usual == "stainless-and-brass"
    assert found.worn_attack.goes == 0
    assert [(p.key, a.goes) for p, a in under_plating(contacts, its, made)] == [("case-middle", 1)]


def test_one_piece_and_open_parts_are_no_joint(contacts):
    its = watch(
        join("lug", "one-piece", "case-middle", "sweat"), join("lug", "pressed", "crown", "sweat")
    )
    steel = Made("stainless-316l", "annealed")
    made = {"lug": steel, "case-middle": steel, "crown": Made(None)}
    assert [t.joint for t in touches(contacts, its, made)] == [None, None]


def test_a_kind_as_usual_has_no_metal_that_goes_in_the_dry(contacts, knowledge):
    """Common practice: a dry, oiled movement is no cell."""
    for kind in knowledge.watches.values():
        for t in touches(contacts, kind, as_usual(kind)):
            assert t.join.where != "dry" or t.degree == "none"


def test_a_kind_made_of_what_the_verdict_rules_out_is_named(small):
    """Brass is wrong for the invented case; a watch of it is complained of, with the reason."""
    home = small / "knowledge" / "watches"
    home.mkdir()
    (home / "odd.yaml").write_text(
        "name: Odd watch\nsummary: Invented.\nperiod: never\ndoes: Nothing.\nparts:\n"
        "  - {part: test-case, material: test-steel, state: annealed, outside: true}\n"
        "  - {part: test-case, id: other-case, name: other case, material: test-brass}\n"
        "joins:\n  - {between: [test-case, other-case], how: screwed, where: sweat}\n"
        "reviewed: {on: 2026-11-25, by: workshop lead}\n"
    )
    said = [str(c) for c in check(small)[1]]
    assert len(said) == 1
    assert said[0].startswith(
        "knowledge/watches/odd.yaml:7:67: other-case is of test-brass, the verdict is"
    )


def test_weights_are_of_the_size_that_scales_show(knowledge):
    """Common practice: a steel diver on its bracelet weighs 130 to 200 g."""
    diver = knowledge.watches["three-hand-automatic-diver"]
    assert 130 < sum(p.grams or Decimal(0) for p in diver.parts) < 200


@pytest.fixture(scope="module")
def pages(knowledge, site_pages):
    """The pages of the kinds and of some parts, drawn without a build."""
    site = site_pages
    drawn = {key: watch_page(site, key).body for key in knowledge.watches}
    return drawn | {part: part_page(site, part).body for part in ("winding-stem", "case-back")}


def words(body: str) -> str:
    """What a reader sees of a page, in one line."""
    return " ".join(html.unescape(re.sub("<[^>]+>", "", body)).split())


def test_the_page_names_what_goes_first_and_what_to_look_at(pages):
    """Common practice: the carbon steel stem rusts in a steel crown whose seal is dry."""
    said = words(pages["three-hand-automatic-diver"])
    first = said[said.index("What corrodes first") :]
    stem = "Crown and winding stem, screwed, in a damp case. If damp gets in, the winding stem"
    assert (
        f"{stem} corrodes: fast. Rust on the stem thread is the first sign of a dry seal." in first
    )
    assert first.index("Crown and winding stem") < first.rindex("All other contacts")


def test_worn_plating_is_said_on_the_page(pages):
    """Common practice: under worn gold the brass goes beside a steel back."""
    said = words(pages["dress-watch-plated-brass"])
    assert "Where the plating is worn through, the case middle corrodes: slow." in said
    assert "Under worn or pitted plating, in sweat: case middle" in said


def test_the_part_says_in_which_watches_it_is_and_what_it_touches_there(pages):
    said = words(pages["winding-stem"])
    diver = said[said.index("Three-hand automatic diver: ") :]
    assert "crown (screwed), main plate (rubs on)" in diver[: diver.index(".")]
    assert "as inner lid: case middle (hooked), case middle (snapped on)" in words(
        pages["case-back"]
    )


def test_kinds_are_published_with_every_part_and_join(knowledge):
    rows = {s.name: list(s.rows(knowledge, {})) for s in SHEETS if s.name.startswith("watch")}
    assert [len(rows[n]) for n in ("watches", "watch_parts", "watch_joins")] == [
        len(knowledge.watches),
        sum(len(w.parts) for w in knowledge.watches.values()),
        sum(len(w.joins) for w in knowledge.watches.values()),
    ]
    assert (
        "quartz-watch", "rubs-on", "sweat",
    ) in {(r[0], r[4], r[5]) for r in rows["watch_joins"]}  # fmt: skip
