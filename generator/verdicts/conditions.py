"""Says whether a condition holds for a material.

Shared by cautions, processes and hazard rules.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import cache

from generator.numbers.composition import share_range
from generator.records import models
from generator.records.knowledge import Knowledge


def applies(
    knowledge: Knowledge, when: models.When, material_id: str, state: str | None = None
) -> bool:
    """True when every line of the condition holds for the material in the state."""
    material = knowledge.materials[material_id]
    traits = material.traits
    return (
        (not when.materials or material_id in when.materials)
        and (not when.families or material.family in when.families)
        and (not when.classes or knowledge.material_class(material) in when.classes)
        and (not when.traits or not set(when.traits).isdisjoint(traits))
        and (not when.lacks_traits or set(when.lacks_traits).isdisjoint(traits))
        and (not when.magnetism or magnetism_of(material, state) in when.magnetism)
        and (not when.states or state in when.states)
        and (not when.contains or _shares_obey(material.composition, when.contains))
        and (when.pitting_index is None or _pitting_obeys(material, when.pitting_index))
    )


def cautions_of_material(knowledge: Knowledge, key: str) -> set[str]:
    """The cautions that a material names, and those whose condition it meets."""
    found = {
        c
        for c, e in knowledge.cautions.items()
        if any(applies(knowledge, w, key) for w in e.applies)
    }
    return found | set(knowledge.materials[key].cautions)


def cautions_of_process(knowledge: Knowledge, key: str) -> set[str]:
    """The cautions that a process names, and those that its group or what it needs bring along."""
    process = knowledge.processes[key]
    found = {
        c
        for c, entry in knowledge.cautions.items()
        if key in entry.work.processes or process.group in entry.work.groups
    }
    return found | cautions_of_use(knowledge, process.needs) | set(process.cautions)


def cautions_of_use(knowledge: Knowledge, texts: Iterable[str]) -> set[str]:
    """The cautions of the tools and chemicals that a text says are used."""
    texts = [text.casefold() for text in texts]
    return {
        c
        for c, entry in knowledge.cautions.items()
        if any(_names(text, word.casefold()) for word in entry.work.uses for text in texts)
    }


def _names(text: str, word: str) -> bool:
    """Whether a text says that something is used; most texts do not hold the word at all."""
    return word in text and _uses(word).search(text) is not None


@cache
def _uses(word: str) -> re.Pattern:
    """The word as a whole, unless the text says that it is done without."""
    return re.compile(
        rf"(?<!without )(?<!no )(?<!not )(?<![\w-]){re.escape(word)}(?![\w-])(?! free)"
    )


def magnetism_of(material: models.Material, state: str | None) -> str:
    """The magnetism of a material in a state: the state's own, else the material's."""
    own = material.states[state].magnetism if state in material.states else None
    return own or material.magnetism


def _shares_obey(composition, contains: Mapping[str, models.Bound]) -> bool:
    return all(_share_obeys(composition, symbol, bound) for symbol, bound in contains.items())


def _share_obeys(composition, symbol: str, bound: models.Bound) -> bool:
    ends = share_range(composition, symbol)
    if ends is None:
        return False
    low, high = ends
    return (bound.at_least is None or low >= bound.at_least) and (
        bound.at_most is None or high <= bound.at_most
    )


def pitting_index(material: models.Material) -> tuple[Decimal, Decimal] | None:
    """PREN = Cr + 3.3 (Mo + 0.5 W) + 16 N, lowest and highest (IMOA); None where the formula does
    not apply.

    It is meant for austenitic stainless steels; martensitic and precipitation-hardening grades are
    outside it.
    """
    if material.family != "austenitic-stainless" or material.composition is None:
        return None
    factors = {"Cr": Decimal(1), "Mo": Decimal("3.3"), "W": Decimal("1.65"), "N": Decimal(16)}
    ends = [tuple(f * e for e in share_range(material.composition, s)) for s, f in factors.items()]
    return sum(e[0] for e in ends), sum(e[1] for e in ends)


def _pitting_obeys(material: models.Material, bound: models.Bound) -> bool:
    ends = pitting_index(material)
    if ends is None:
        return False
    return (bound.at_least is None or ends[0] >= bound.at_least) and (
        bound.at_most is None or ends[0] <= bound.at_most
    )
