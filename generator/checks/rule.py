"""A rule is a generator of faults: its name is the rule's name, its docstring states the rule."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import wraps
from typing import NamedTuple

from generator.records.complaints import Complaint
from generator.records.knowledge import Knowledge


class Fault(NamedTuple):
    """What a rule found, and where: a record (kind and id), and the way to the value inside it."""

    kind: str
    key: str
    way: tuple
    what: str
    cure: str
    at_key: bool = False  # the place is the key of the value, not the value


Rule = Callable[..., Iterator[Complaint]]
REGISTERED: list[Rule] = []
OF_ONE: list[Rule] = []  # those that look at one record alone


def named(function: Callable[..., Iterator[Fault]]) -> Rule:
    """The rule whose faults come as complaints, each at its place and under the function's name."""

    @wraps(function)
    def complaints(knowledge: Knowledge, *given) -> Iterator[Complaint]:
        for kind, key, way, what, cure, at_key in function(knowledge, *given):
            place = knowledge.place(kind, key, way, at_key)
            yield Complaint(place, what, cure, function.__name__)

    return complaints


def rule(function: Callable[[Knowledge], Iterator[Fault]]) -> Rule:
    """Registers a rule, which is asked at every check."""
    REGISTERED.append(named(function))
    return REGISTERED[-1]


def rule_of_one(function: Callable[[Knowledge], Iterator[Fault]]) -> Rule:
    """Registers a rule that looks at one record alone, beside lists, sources, formulas and which
    ids there are; so it asks for ``unsure`` records only (``sure.py``)."""
    OF_ONE.append(rule(function))
    return OF_ONE[-1]
