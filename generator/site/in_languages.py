"""What pages say in other languages: the names of a record, each with the tag of its language."""

from __future__ import annotations

from dataclasses import dataclass

from generator.records.common import Named
from generator.records.knowledge import KINDS, Knowledge
from generator.records.languages import names_by_tag


@dataclass(frozen=True)
class Names:
    """The names of one thing in one language or region."""

    tag: str
    language: str  # its own name, and that of its region
    names: list[str]
    described: bool  # true: the first one is a plain description


def names_of(knowledge: Knowledge, named: Named) -> list[Names]:
    """The names of a thing, language by language."""
    return [
        Names(tag, knowledge.words("languages")[tag].name, names, tag in named.described)
        for tag, names in names_by_tag(knowledge, named)
    ]


def by_address(knowledge: Knowledge, address) -> dict[str, Named]:
    """Address of each page of a record, family or zone -> what has the names."""
    found: dict[str, Named] = {
        address(kind, key): record
        for kind in KINDS
        for key, record in knowledge.of_kind(kind).items()
    }
    for kind, words in (("family", "families"), ("zone", "zones")):
        found |= {address(kind, key): entry for key, entry in knowledge.words(words).items()}
    return found
