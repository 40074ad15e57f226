"""Rules about names and sentences in other languages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from generator.checks.rule import Fault, rule_of_one
from generator.records.common import Named, Translated
from generator.records.knowledge import Knowledge, everything_unsure
from generator.records.languages import numbers_in


def _of(knowledge: Knowledge, model) -> Iterator[tuple[str, str, Named, tuple]]:
    return (found for found in everything_unsure(knowledge) if isinstance(found[2], model))


@rule_of_one
def name_twice(knowledge: Knowledge) -> Iterator[Fault]:
    """A thing has each name once in a language and its regions, and none in the language of the
    records; a language that is described has a name."""
    languages = knowledge.words("languages")
    for kind, key, named, way in _of(knowledge, Named):
        if not (named.names or named.described):
            continue
        for step, fault, cure in _faults_of_names(languages, named):
            yield Fault(kind, key, (*way, *step), fault, cure)


def _faults_of_names(languages: Mapping, named: Named) -> Iterator[tuple[tuple, str, str]]:
    known: set[tuple[str, str]] = set()
    for tag, names in named.names.items():
        language = languages.get(tag)
        if language and language.written:
            fault = f"{tag} is the language of the records"
            yield ("names", tag), fault, "write these names under also_called"
        for i, name in enumerate(names):
            mine = (language.region_of if language else None) or tag, name.casefold()
            if mine in known:
                yield ("names", tag, i), f"{name!r} repeats a name of this language", "delete it"
            known.add(mine)
    for i, tag in enumerate(named.described):
        if tag not in named.names:
            cure = "write the description under names, or delete this"
            yield ("described", i), f"there is no name in {tag}", cure


@rule_of_one
def translation_of_nothing(knowledge: Knowledge) -> Iterator[Fault]:
    """A translation belongs to a sentence that stands in the record word for word, so that a
    changed sentence is never shown in an old translation."""
    for kind, key, record, way in _of(knowledge, Translated):
        if record.translations:
            sentences = set(_sentences(record))
            for sentence in record.translations:
                if sentence not in sentences:
                    yield Fault(
                        kind,
                        key,
                        (*way, "translations", sentence),
                        f"no sentence of the record reads {sentence[:40]!r}",
                        "translate the sentence as it reads now, or delete this",
                    )


@rule_of_one
def translation_with_other_numbers(knowledge: Knowledge) -> Iterator[Fault]:
    """A translation holds the numbers of its sentence, with the decimal sign of its language."""
    languages = knowledge.words("languages")
    for kind, key, record, way in _of(knowledge, Translated):
        for sentence, translations in record.translations.items():
            wanted = numbers_in(sentence)
            for tag, text in translations.items():
                decimal = languages[tag].decimal if tag in languages else "."
                if numbers_in(text, decimal) != wanted:
                    yield Fault(
                        kind,
                        key,
                        (*way, "translations", sentence, tag),
                        f"its numbers are {', '.join(numbers_in(text)) or 'none'}; "
                        f"the sentence has {', '.join(wanted) or 'none'}",
                        f"write the same numbers, with {decimal!r} for the decimal sign",
                    )


def _sentences(value) -> Iterator[str]:
    """Every text inside a record, its translations left out."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _sentences(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _sentences(inner)
    elif hasattr(value, "__dict__"):
        for name, inner in value.__dict__.items():
            if name != "translations":
                yield from _sentences(inner)
