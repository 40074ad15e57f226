"""What each gate and idea of the rungs is for: everything is judged again without it, against the
lists of test_trade_choices; and each usual choice is hidden in turn."""

from functools import cache

import pytest

from generator.verdicts.rungs import BESIDE, IDEAS, OFFERED, PINCH
from tests.external.test_trade_choices import (
    absurd,
    base,
    judged,
    ladder,
    share,
    trade,
)


def hidden_choices():
    """Every part with each of its usual choices, which is hidden in turn."""
    return [(part, hidden) for part, record in base().parts.items() for hidden in record.usual]


@cache
def recovered(without=""):
    """Hidden choice as (part, material, state, coated) -> whether computation alone offers it.

    Only its own material is judged: a rung does not depend on what else is judged.
    """
    return {
        (part, hidden.material, hidden.state, hidden.coated): any(
            (j.material, j.coated) == (hidden.material, hidden.coated)
            and hidden.state in (None, j.state)
            and j.rung in OFFERED
            for j in ladder(without).of_part(part, hidden, {hidden.material})
        )
        for part, hidden in hidden_choices()
    }


@cache
def near(without=""):
    """Hidden choice -> whether it is among the first five materials of the computed rest."""
    found = {}
    for part, hidden in hidden_choices():
        rows = ladder(without).of_part(part, hidden)
        rest = dict.fromkeys(j.material for j in rows if j.rung in (BESIDE, PINCH))
        place = part, hidden.material, hidden.state, hidden.coated
        found[place] = hidden.material in list(rest)[:5]
    return found


def test_a_hidden_usual_choice_comes_back_by_computation_alone():
    assert share(recovered().values()) >= 0.965
    assert share(near().values()) >= 0.60


# Why nothing but the record knows it: light metal in a movement is the exception of two small
# parts; hardened stainless escape wheels are few; an insert is a part like no other; ceramic balls
# have no standard that was read; platinum is a weight for its price; nothing else is of leather;
# of what lies with the dial only the dial itself is of nickel silver.
ONLY_THE_RECORD_KNOWS = {
    ("date-ring", "aluminium-6082"),
    ("dial", "nickel-silver-cuni18zn20"),
    ("hand-seconds", "aluminium-6082"),
    ("escape-wheel", "stainless-420-1-4034"),
    ("rotating-bezel-insert", "aluminium-6082"),
    ("rotating-bezel-insert", "sapphire-synthetic"),
    ("rotating-bezel-insert", "acrylic-pmma"),
    ("rotor-bearing", "zirconia-3y"),
    ("rotor-weight", "platinum-950-ruthenium"),
    ("timing-screw", "platinum-950-iridium"),
    ("strap", "leather-strap"),
}


def test_it_is_known_why_a_hidden_usual_choice_stays_away():
    gone = {(part, material) for (part, material, *_), again in recovered().items() if not again}
    assert gone <= ONLY_THE_RECORD_KNOWS


def test_what_stock_is_sold_for_brings_hidden_choices_back():
    """C100S for a mainspring, 52100 for a rolling bearing, sapphire for a crystal."""

    def back(without=""):
        return share(recovered(without).values())

    assert back("purpose") < back() - 0.015


def absurd_beside(without=""):
    """How much of what nobody would use is told to be as good as a usual choice."""
    rows = {
        (part, j.material, j.state)
        for part, found in judged(without).items()
        for j in found
        if j.rung == BESIDE
    }
    never = [(p, *c) for p, said in trade().items() for c, w in said.items() if w == "never"]
    return share(cell in rows for cell in never)


GATES = [idea for idea in IDEAS if idea not in ("span", "purpose", "use", "nearness")]


@pytest.mark.parametrize("idea", GATES)
def test_each_gate_and_precedent_keep_absurd_choices_out(idea):
    assert absurd(idea) > absurd()


def test_the_span_keeps_absurd_choices_from_standing_beside_the_usual_ones():
    assert absurd_beside() < absurd_beside("span") / 2


def test_use_in_like_parts_brings_hidden_choices_to_the_front():
    assert share(near("use").values()) < 0.60


@cache
def relatives_first(without=""):
    """How often the first that may stand in for a usual choice is of its own family."""
    materials, found = base().materials, []
    for part, record in base().parts.items():
        for material in dict.fromkeys(c.material for c in record.usual):
            choice = next(c for c in record.usual if c.material == material)
            state = ladder(without).usages.states(choice)[0]
            rows = ladder(without).substitutes(judged(without)[part], material, state)
            first = next(rows, None)
            if first:
                family = materials[first.judgement.material].family
                found.append(family == materials[material].family)
    return share(found)


def test_nearness_puts_a_relative_of_the_piece_in_hand_first():
    """Common practice: who has no C100S takes C75S before another kind of metal."""
    assert relatives_first() >= 0.90
    assert relatives_first("nearness") < 0.75
