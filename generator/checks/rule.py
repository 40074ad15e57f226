"""What a rule is: a generator of complaints under its name; its docstring is the rule."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from generator.records.complaints import Complaint
from generator.records.knowledge import Knowledge

Rule = Callable[[Knowledge], Iterator[Complaint]]
REGISTERED: list[Rule] = []


def rule(function: Rule) -> Rule:
    """Registers a rule under its function name."""
    REGISTERED.append(function)
    return function


def complaint(knowledge, kind, key, way, fault, cure, name, at_key=False) -> Complaint:
    return Complaint(knowledge.place(kind, key, way, at_key), fault, cure, name)
