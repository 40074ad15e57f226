"""The rungs against what two readers of the trade's literature wrote down for every part, each
alone and before any output was seen: what the trade uses and what nobody competent would use.

Sources stand beside each entry of the two lists; most are marked common practice. What one reader
calls good or acceptable and the other never is left out: no source settles it.
"""

from collections import defaultdict
from functools import cache
from pathlib import Path

import pytest
import yaml

from generator.verdicts.rungs import BESIDE, NO, OFFERED, OWN, PINCH, Ladder
from tests.conftest import shipped

HERE = Path(__file__).parent
LISTS = ("trade_choices_a.yaml", "trade_choices_b.yaml")
GOOD = ("good", "acceptable")


def base():
    return shipped().knowledge


@cache
def trade():
    """Part -> (material, state) -> the word on which no reader contradicts the other."""
    knowledge = base()
    said = defaultdict(lambda: defaultdict(set))
    for name in LISTS:
        for part, words in yaml.load(
            (HERE / name).read_text(encoding="utf-8"), Loader=yaml.CSafeLoader
        ).items():
            for word in (*GOOD, "never", "curiosity"):
                for entry in words.get(word) or []:
                    material = knowledge.materials.get(entry["material"])
                    if material is None or part not in knowledge.parts:
                        continue
                    states = list(material.states) or [None]
                    for state in states:
                        if entry["states"] == "any" or state in entry["states"]:
                            said[part][entry["material"], state].add(word)
    best = ("never", *GOOD, "curiosity")
    return {
        part: {
            cell: next(w for w in best if w in words)
            for cell, words in cells.items()
            if not ("never" in words and words & set(GOOD))
        }
        for part, cells in said.items()
    }


@cache
def ladder(without=""):
    return Ladder(shipped().judge, without) if without else shipped().ladder


@cache
def judged(without=""):
    """Part -> its judgements in order; one gate or idea may be left out."""
    if not without:
        return {part: shipped().of_role(part) for part in base().parts}
    return {part: ladder(without).of_part(part) for part in base().parts}


def offered(without=""):
    """Part -> the (material, state) offered, in order, each once; among them parts that came later
    than the readers, of which they said nothing."""
    return {
        part: list(dict.fromkeys((j.material, j.state) for j in found if j.rung in OFFERED))
        for part, found in judged(without).items()
    }


def share(found):
    found = list(found)
    return sum(found) / len(found)


def absurd(without=""):
    """How much of what nobody competent would use is offered."""
    rows = offered(without)
    return share(
        cell in rows[part]
        for part, said in trade().items()
        for cell, w in said.items()
        if w == "never"
    )


def test_the_lists_speak_of_at_least_sixty_parts():
    assert len(trade()) >= 60


def test_what_nobody_would_use_is_not_offered():
    assert absurd() <= 0.02


def test_what_the_trade_uses_is_offered():
    rows = offered()
    refused = share(
        cell not in rows[part]
        for part, said in trade().items()
        for cell, word in said.items()
        if word == "good"
    )
    assert refused <= 0.03


def test_the_first_five_rows_are_choices_of_the_trade():
    found = [
        trade()[part].get(cell) in GOOD
        for part, rows in offered().items()
        if part in trade()
        for cell in rows[:5]
    ]
    assert share(found) >= 0.75


def test_the_first_computed_row_is_a_choice_of_the_trade():
    """The first row that nobody placed by hand, where a reader says anything of it."""
    first = (
        (part, next(((j.material, j.state) for j in found if j.rung in (BESIDE, PINCH)), None))
        for part, found in judged().items()
    )
    words = [trade()[part].get(cell) for part, cell in first if part in trade()]
    assert share(word in GOOD for word in words if word) >= 0.97


def test_no_stage_of_the_work_is_offered():
    materials = base().materials
    stages = {
        j.rung
        for found in judged().values()
        for j in found
        if j.state and materials[j.material].states[j.state].stage
    }
    assert stages == {NO}


def test_every_usual_choice_is_the_trades_own():
    for part, record in base().parts.items():
        own = {id(j.choice) for j in judged()[part] if j.rung == OWN}
        assert [c.material for c in record.usual if id(c) not in own] == [], part


# What is in use, or is not, where a part asks for something else than usual. B: D. Boettcher,
# Nickel steel balance spring (plain steel loses 11 s/d/K with a plain brass balance; the cut rim
# makes up for it); K: W. J. Kleinlein, Rules and Practice for Adjusting Watches, 1920 (rims of
# brass and steel with hardened steel springs); the rest common practice.
IN_OTHER_WATCHES = [
    ("balance-spring/cut-balance", "steel-c100s", "tempered-blue", True),  # K
    ("balance-spring/cut-balance", "steel-music-wire", "drawn", True),  # old wire springs
    ("balance-spring/cut-balance", "alloy-constant-modulus", "cold-worked-aged", False),  # B
    ("balance-spring/cut-balance", "bronze-cusn8", "spring-hard", False),
    ("balance-spring/cut-balance", "steel-c100s", "annealed", False),  # soft, sets
    ("balance-spring/strong-field", "alloy-nb-zr", "cold-worked-aged", True),
    ("balance-spring/strong-field", "alloy-constant-modulus", "cold-worked-aged", False),
    ("balance-wheel/compensated", "bimetal-brass-steel", None, True),  # K
    ("balance-wheel/compensated", "brass-cuzn37", "half-hard", False),  # B: 11 s/d/K
    ("balance-wheel/uncompensated", "gold-14-yellow", "cold-worked", True),
    ("balance-wheel/uncompensated", "aluminium-6082", "t6", False),  # too light
    ("mainspring/blue-spring", "steel-c75s", "tempered-blue", True),
    ("mainspring/blue-spring", "steel-c100s", "hardened", False),  # a stage of the work
    ("mainspring/blue-spring", "beryllium-copper-cube2", "aged", False),
    ("crystal", "ruby-synthetic", None, False),  # red
    ("crystal", "celluloid", None, False),  # burns; a period piece only
    ("crystal/sprung-in", "acrylic-pmma", None, True),
    ("crystal/sprung-in", "sapphire-synthetic", None, False),  # cannot be squeezed
    ("luminous-dot/old-paint", "glass-mineral", "annealed", False),
    ("escape-wheel/chronometer", "brass-clock", "hard", True),
    ("escape-wheel/strong-field", "steel-c75s", "tempered-hard", False),
    ("escape-wheel/strong-field", "beryllium-copper-cube2", "hard-aged", True),
    ("dial/mother-of-pearl", "mother-of-pearl", None, True),
    ("hand-hour-minute", "gold-24", "cold-worked", False),  # bends in the tweezers
    # A spring is let down to blue; at 150 to 200 degC it snaps. Pinions are left harder.
    ("mainspring", "steel-c100s", "tempered-hard", False),
    ("click-spring", "steel-c75s", "tempered-hard", False),
    ("yoke-spring", "steel-c67s", "tempered-hard", False),
    ("case-clamp", "steel-c75s", "tempered-hard", False),
    ("train-pinion", "steel-o1", "tempered-hard", True),
    # Light metals give and gall where they carry teeth, a seat or a thread.
    ("barrel", "aluminium-6082", "t6", False),
    ("shock-setting", "aluminium-6082", "t6", False),
    ("pillar", "aluminium-6082", "t6", False),
    ("date-ring", "aluminium-6082", "t6", True),
    ("luminous-dot", "celluloid", None, False),  # burns, and its fumes rust the hands
    ("pallet-lever", "steel-music-wire", "drawn", False),  # a flat part, no wire
    ("case-middle/bronze-watch", "bronze-cusn8", "hard", True),
    ("case-middle/bronze-watch", "bronze-aluminium", "drawn", True),
    ("case-middle/bronze-watch", "brass-cuzn39pb3", "half-hard", False),  # lead, loses its zinc
    ("dial", "nickel-silver-cuni18zn20", "half-hard", True),  # engine-turned dials
    ("rotor-weight", "gold-24", "cold-worked", False),  # bends and rubs
]


@pytest.mark.parametrize(("role", "material", "state", "is_used"), IN_OTHER_WATCHES)
def test_in_another_watch_the_part_asks_for_something_else(role, material, state, is_used):
    assert (ladder().judgement(role, material, state).rung in OFFERED) == is_used


@cache
def later_list(name):
    """A later reader's list: (good, absurd) as (part, material, state), and his errors."""
    said = yaml.load((HERE / name).read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)

    def cells(parts, word=None):
        for part, words in parts.items():
            for entry in words[word] if word else words:
                named = entry["id"] if isinstance(entry, dict) else entry
                yield part, *named.partition(":")[::2]

    parts = said["parts"]
    return [*cells(parts, "good")], [*cells(parts, "absurd")], {*cells(said["errors"])}


def is_offered(part, material, state):
    """In the part, or in one of its settings."""
    roles = (r for r in base().roles if r.partition("/")[0] == part)
    return any(
        j.rung in OFFERED and j.material == material and state in ("", j.state)
        for role in roles
        for j in judged_role(role)
    )


@cache
def judged_role(role):
    return shipped().of_role(role)


def test_the_third_list():
    """30 parts; its errors are left out of what is refused, each with its reason in the file."""
    good, absurd_ones, errors = later_list("trade_choices_c.yaml")
    assert (len(good), len(absurd_ones), len(errors)) == (122, 120, 6)
    assert share(is_offered(*cell) for cell in absurd_ones) <= 0.02
    assert share(not is_offered(*cell) for cell in good if cell not in errors) <= 0.01


def test_the_fourth_list():
    """40 parts, run once before anything was mended (figures in the file)."""
    good, absurd_ones, errors = later_list("trade_choices_d.yaml")
    assert (len(good), len(absurd_ones), len(errors)) == (172, 195, 7)
    assert share(is_offered(*cell) for cell in absurd_ones) <= 0.01
    assert share(not is_offered(*cell) for cell in good if cell not in errors) <= 0.05
