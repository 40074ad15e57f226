"""Rules about texts: no placeholders left, nothing written twice."""

from __future__ import annotations

from collections.abc import Iterator

from generator.checks.rule import Fault, rule_of_one
from generator.records import models
from generator.records.knowledge import KINDS, Knowledge, everything_unsure
from generator.upkeep.new_record import TO_REPLACE
from generator.verdicts.conditions import (
    applies,
)


@rule_of_one
def text_still_to_write(knowledge: Knowledge) -> Iterator[Fault]:
    """No sentence still stands as `new` wrote it."""
    for kind, key, record, start in everything_unsure(knowledge):
        if kind == "list" and key != "cautions":
            continue
        if _holds_any(record, TO_REPLACE):
            found = _texts(record.model_dump(mode="json", exclude_unset=True), start)
            for way, text in found:
                if text in TO_REPLACE:
                    fault = f"placeholder text from `new` has not been replaced: {text!r}"
                    yield Fault(kind, key, way, fault, "write your own, or delete it")


def _holds_any(record, texts: frozenset[str]) -> bool:
    """True when one of the texts stands anywhere in the record.

    Asked for every record at every check, so it builds nothing.
    """
    waiting = [record]
    while waiting:
        value = waiting.pop()
        kind = type(value)
        if kind is str:
            if value in texts:
                return True
        elif kind is list:
            waiting.extend(value)
        elif kind is dict:
            waiting.extend(value.values())
        elif isinstance(value, models.Shape):
            waiting.extend(value.__dict__.values())
    return False


def _texts(value, way: tuple = ()) -> Iterator[tuple[tuple, str]]:
    """Every text inside plain data, with the way to it."""
    if isinstance(value, str):
        yield way, value
    elif isinstance(value, dict | list):
        for step, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _texts(inner, (*way, step))


@rule_of_one
def derivable_written_out(knowledge: Knowledge) -> Iterator[Fault]:
    """What can be derived is not written: a second copy of a name, the balance among the shares, a
    caution that applies by itself."""
    yield from _name_again(knowledge)
    yield from _balance_again(knowledge)
    yield from _caution_again(knowledge)


def _name_again(knowledge: Knowledge) -> Iterator[Fault]:
    for kind in KINDS:
        for key, record in knowledge.unsure(kind).items():
            known = {record.name.casefold()}
            if kind == "material":
                known |= {d.code.casefold() for d in record.designations}
            for i, name in enumerate(record.also_called):
                if name.casefold() in known:
                    fault = f"{name!r} repeats a name already in this record"
                    yield Fault(kind, key, ("also_called", i), fault, "delete it")
                known.add(name.casefold())


def _balance_again(knowledge: Knowledge) -> Iterator[Fault]:
    for key, material in knowledge.unsure("material").items():
        composition = material.composition
        if composition and composition.balance in composition.shares:
            fault = f"{composition.balance} is the balance and a share"
            way = ("composition", "shares", composition.balance)
            yield Fault("material", key, way, fault, "keep one of them")


def _caution_again(knowledge: Knowledge) -> Iterator[Fault]:
    for key, material in knowledge.unsure("material").items():
        if material.family not in knowledge.words("families"):
            continue
        for i, caution in enumerate(material.cautions):
            entry = knowledge.cautions.get(caution)
            if entry and any(applies(knowledge, when, key) for when in entry.applies):
                fault = f"the caution {caution} applies here by itself"
                yield Fault("material", key, ("cautions", i), fault, "delete it")
