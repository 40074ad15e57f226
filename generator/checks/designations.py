"""Rules about designations."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from functools import cache

from generator.checks.rule import Fault, rule, rule_of_one
from generator.records.knowledge import Knowledge


@rule
def duplicate_designation(knowledge: Knowledge) -> Iterator[Fault]:
    """A designation belongs to one material, unless its system says that several may share it."""
    owners: dict[tuple[str, str], str] = {}
    for key, material in knowledge.materials.items():
        for i, designation in enumerate(material.designations):
            system = knowledge.words("systems").get(designation.system)
            if system is None or system.shared:
                continue
            known = owners.setdefault((designation.system, designation.code.casefold()), key)
            if known != key:
                fault = f"{designation.code} is also the designation of {known}"
                yield Fault(
                    "material", key, ("designations", i, "code"), fault, "keep it where it belongs"
                )


@cache
def _pattern(text: str) -> re.Pattern:
    return re.compile(text)


@rule_of_one
def designation_form(knowledge: Knowledge) -> Iterator[Fault]:
    """A designation has the form that its system prescribes."""
    for key, material in knowledge.unsure("material").items():
        for i, designation in enumerate(material.designations):
            system = knowledge.words("systems").get(designation.system)
            if system and not _pattern(system.pattern).fullmatch(designation.code):
                fault = f"{designation.code} is not a valid {system.name}"
                yield Fault(
                    "material",
                    key,
                    ("designations", i, "code"),
                    fault,
                    f"one looks like {system.example}",
                )


@rule_of_one
def designation_contradicts_composition(knowledge: Knowledge) -> Iterator[Fault]:
    """EN steel numbers 1.40 and 1.43 have no molybdenum to speak of, 1.44 has at least 1 % or
    nearly (EN 10027-2 groups)."""
    for key, material in knowledge.unsure("material").items():
        if not material.composition:
            continue
        share = material.composition.shares.get("Mo")
        most = (
            max(
                (v for v in (share.typical, share.at_most, *(share.range or ())) if v is not None),
                default=Decimal(0),
            )
            if share
            else Decimal(0)
        )
        for i, designation in enumerate(material.designations):
            if designation.system != "en-number":
                continue
            group = designation.code[:4]
            if (group == "1.43" and most > 1) or (group == "1.44" and most < Decimal("0.8")):
                fault = f"{designation.code} does not go with {most} % Mo"
                yield Fault(
                    "material",
                    key,
                    ("designations", i, "code"),
                    fault,
                    "check number and composition",
                )
