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

from generator.numbers.values import Values
from generator.records.loading import load
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import NO, OFFERED, OWN, Ladder

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
LISTS = ("trade_choices_a.yaml", "trade_choices_b.yaml")
GOOD = ("good", "acceptable")


@cache
def base():
    return load(ROOT)[0]


@cache
def trade():
    """Part -> (material, state) -> the word on which no reader contradicts the other."""
    knowledge = base()
    said = defaultdict(lambda: defaultdict(set))
    for name in LISTS:
        for part, words in yaml.safe_load((HERE / name).read_text(encoding="utf-8")).items():
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
    knowledge = base()
    return Ladder(Judge(knowledge, Values(knowledge)), without)


@cache
def judged(without=""):
    """Part -> its judgements in order; one gate or idea may be left out."""
    return {part: ladder(without).of_part(part) for part in base().parts}


def offered(without=""):
    """Part -> the (material, state) offered, in order, each once."""
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
        trade()[part].get(cell) in GOOD for part, rows in offered().items() for cell in rows[:5]
    ]
    assert share(found) >= 0.75


@pytest.mark.parametrize("gate", ["stage", "stock", "firm", "soft", "hazard", "precedent"])
def test_each_gate_and_precedent_keep_absurd_choices_out(gate):
    assert absurd(gate) > absurd()


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
