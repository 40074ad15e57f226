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
from generator.verdicts.rungs import BESIDE, NO, OWN, PINCH, Ladder

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
LISTS = ("trade_choices_a.yaml", "trade_choices_b.yaml")
OFFERED = (OWN, BESIDE, PINCH)
GOOD = ("good", "acceptable")


@cache
def trade():
    """Part -> (material, state) -> the word on which no reader contradicts the other."""
    knowledge, _ = load(ROOT)
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
def offered(without=""):
    """Part -> the (material, state) offered, in order, each once; one gate may be left out."""
    knowledge, _ = load(ROOT)
    ladder = Ladder(Judge(knowledge, Values(knowledge)), without)
    return {
        part: list(
            dict.fromkeys(
                (j.fit.material, j.fit.state) for j in ladder.of_part(part) if j.rung in OFFERED
            )
        )
        for part in knowledge.parts
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
    knowledge, _ = load(ROOT)
    ladder = Ladder(Judge(knowledge, Values(knowledge)))
    judged = [j for part in knowledge.parts for j in ladder.of_part(part)]
    assert {j.rung for j in judged if j.fit.stage} == {NO}


def test_every_usual_choice_is_the_trades_own():
    knowledge, _ = load(ROOT)
    ladder = Ladder(Judge(knowledge, Values(knowledge)))
    for part, record in knowledge.parts.items():
        own = {id(j.choice) for j in ladder.of_part(part) if j.rung == OWN}
        assert [c.material for c in record.usual if id(c) not in own] == [], part
