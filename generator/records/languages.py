"""The languages of the bench, which are data: names of things and sentences of records in each."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator
from datetime import date

from generator.records.cautions import Caution, FirstAid
from generator.records.common import Named, Translated
from generator.records.knowledge import Knowledge
from generator.records.vocabulary import Activity

# vocabularies whose words want a name in every language
NAMED = (
    "properties",
    "families",
    "zones",
    "state_names",
    "mechanisms",
    "traits",
    "forms",
    "glossary",
    "activities",
    "customer_names",
    "exposure_verdicts",
    "phrases",
)
TURNED_BACK, COMPARED = "turned back", "compared"  # how a second reader read
_NUMBER = re.compile(r"\d+(?:[.,]\d+)*")


def written(knowledge: Knowledge) -> str:
    """The tag of the language in which the records are written."""
    return next(tag for tag, language in knowledge.words("languages").items() if language.written)


def offered(knowledge: Knowledge) -> list[str]:
    """The tags of the other languages, without regional ones, in the order of the vocabulary."""
    return [
        tag
        for tag, language in knowledge.words("languages").items()
        if not language.written and not language.region_of
    ]


def names_by_tag(knowledge: Knowledge, named: Named) -> Iterator[tuple[str, list[str]]]:
    """Tag and names, in the order of the vocabulary, a region behind its language."""
    for tag in knowledge.words("languages"):
        if tag in named.names:
            yield tag, named.names[tag]


def name_in(named: Named, tag: str) -> str | None:
    """The preferred name in a language."""
    return named.names[tag][0] if tag in named.names else None


def sentence_in(record: Translated, sentence: str, tag: str) -> str | None:
    """A sentence of a record in a language; None where nobody has translated it as it stands
    now."""
    return record.translations.get(sentence, {}).get(tag)


def told(knowledge: Knowledge) -> Iterator[tuple[Translated, str]]:
    """Every sentence that an owner or a person in danger may read, with what it stands in."""
    yield from for_owners(knowledge)
    yield from for_safety(knowledge.cautions.values())
    yield from for_safety(knowledge.first_aid.values())


def for_owners(knowledge: Knowledge) -> Iterator[tuple[Translated, str]]:
    """The sentences that the leaflet can print, with what they stand in."""
    for records in (knowledge.materials, knowledge.hazards):
        for record in records.values():
            yield from ((record, line) for line in record.owner)
    for activity in knowledge.words("activities").values():
        yield from ((activity, line) for line in owner_lines(activity))
    for limit in knowledge.words("leaflet_limits").values():
        yield limit, limit.says


def for_safety(entries: Iterable[Caution | FirstAid]) -> Iterator[tuple[Translated, str]]:
    """The sentences of cautions or accidents, with what they stand in."""
    for entry in entries:
        if isinstance(entry, FirstAid):
            lines = [*entry.do, entry.then]
        else:
            lines = [entry.danger, *entry.do, *entry.wear, *entry.first_aid]
            lines += [figure.what for figure in (*entry.limits, *entry.figures)]
            lines += [limit.since for limit in entry.limits if not limit.since.isdigit()]
        yield from ((entry, line) for line in lines)


def mark(tag: str, sentence: str, translation: str) -> str:
    """What names a translation of a sentence: six digits that change with either."""
    return hashlib.sha256("\n".join((tag, sentence, translation)).encode()).hexdigest()[:6]


def read_back(knowledge: Knowledge, tag: str, how: str = TURNED_BACK) -> dict[str, date]:
    """Mark of each translation that was read in a way -> on which day: turned back by one who did
    not have the original at hand, or only compared with it."""
    readings = [
        r for r in knowledge.words("read_back").values() if r.language == tag and r.how == how
    ]
    return {found: r.on for r in readings for row in r.marks for found in row.split()}


def marks(sentences: Iterable[tuple[Translated, str]], tag: str) -> Iterator[tuple[str, str, str]]:
    """Mark, sentence and translation of each that has one."""
    for record, line in sentences:
        if translation := sentence_in(record, line, tag):
            yield mark(tag, line, translation), line, translation


def translated(knowledge: Knowledge, tag: str) -> Iterator[tuple[str, str, str]]:
    """Mark, text and translation of everything that wants a second reader: sentences, and the words
    of the pages around them."""
    yield from marks(told(knowledge), tag)
    for phrase in knowledge.words("phrases").values():
        if found := name_in(phrase, tag):
            yield mark(tag, phrase.name, found), phrase.name, found


def owner_lines(activity: Activity) -> list[str]:
    """The sentences of its own that an activity puts on the leaflet."""
    return [line for line in (activity.without, activity.fails, activity.suffers) if line]


def named(knowledge: Knowledge) -> Iterator[Named]:
    """Everything that wants a name in every language."""
    for records in (
        knowledge.materials,
        knowledge.parts,
        knowledge.hazards,
        knowledge.processes,
        knowledge.watches,
        knowledge.cautions,
        knowledge.first_aid,
        *(knowledge.words(name) for name in NAMED),
    ):
        # a family that customers call by its materials' names has words and no name
        yield from (r for r in records.values() if getattr(r, "name", True))


def numbers_in(text: str, decimal: str = ".") -> list[str]:
    """The numbers of a sentence, sorted, with a point for the decimal sign of its language."""
    return sorted(number.replace(decimal, ".") for number in _NUMBER.findall(text))
