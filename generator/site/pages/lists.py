"""Lists over all records: names, sources, glossary, cautions, coverage."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from generator.records.knowledge import KINDS, Knowledge
from generator.records.languages import (
    name_in,
    named,
    names_by_tag,
    offered,
    read_back,
    sentence_in,
    told,
    translated,
    written,
)
from generator.records.materials import figures_of
from generator.records.watches import Watch
from generator.site.find_index import squash
from generator.site.page import Page, Site, slug
from generator.site.pages.material import missing_figures
from generator.site.texts import sentence

NAMES_A_PAGE = 500
# vocabularies whose words stand in the glossary
GLOSSARY = (
    "properties",
    "families",
    "zones",
    "mechanisms",
    "traits",
    "forms",
    "colours",
    "process_groups",
    "exposure_verdicts",
    "rungs",
)


Named = tuple[str, str, str, str]  # text, tag of its language, kind and id of its record


def names_pages(site: Site) -> Iterator[Page]:
    """Every name and designation, A to Z, some letters a page; also what is reached without
    scripts."""
    letters = _by_letter(_all_names(site.knowledge))
    groups = _in_groups([(letter, len(found)) for letter, found in letters.items()], NAMES_A_PAGE)
    places = [
        (letter, f"names/{_letters_slug(group)}.html") for group in groups for letter in group
    ]
    title = "Every name, A to Z"
    summary = "Every name and designation in any system, and the page it belongs to."
    start, all_names = ("Start", "index.html"), "A to Z"

    def page(file: str, title: str, listing: list, trail: list) -> Page:
        body = site.view.draw(
            "names",
            f"{file}.html",
            title=title,
            summary=summary,
            places=places,
            letters=listing,
            trail=trail,
        )
        return Page(f"{file}.md", title, summary, body, wide=True)

    yield page("names", title, [], [start, (all_names, "")])
    for group in groups:
        title = f"Names, {group[0]}" + (f" to {group[-1]}" if len(group) > 1 else "")
        trail = [start, (all_names, "names.html"), (title, "")]
        listing = [(letter, letters[letter]) for letter in group]
        yield page(f"names/{_letters_slug(group)}", title, listing, trail)


def _all_names(knowledge: Knowledge) -> set[Named]:
    found: set[Named] = set()
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            texts = {record.name, *record.also_called}
            if kind == "material":
                texts |= {d.code for d in record.designations}
            found |= {(text, "", kind, key) for text in texts}
            for tag, names in names_by_tag(knowledge, record):
                found |= {(text, tag, kind, key) for text in names}
    return found


def _by_letter(names: set[Named]) -> dict[str, list[Named]]:
    """Names in order by their first letter; what starts with a digit comes last."""
    letters: dict[str, list] = defaultdict(list)
    for found in sorted(names, key=lambda e: (squash(e[0]), e)):
        first = squash(found[0])[:1].upper()
        letters[first if "A" <= first <= "Z" else "0-9"].append(found)
    return {letter: letters[letter] for letter in sorted(letters, key=lambda k: (k == "0-9", k))}


def _in_groups(counts: list[tuple[str, int]], most: int) -> list[list[str]]:
    """Neighbours together as long as their counts do not come to more than ``most``."""
    groups, total = [], 0
    for name, count in counts:
        if not groups or total + count > most:
            groups.append([])
            total = 0
        groups[-1].append(name)
        total += count
    return groups


def _letters_slug(group: list[str]) -> str:
    return slug(group[0] if len(group) == 1 else f"{group[0]} {group[-1]}")


def sources_pages(site: Site) -> Iterator[Page]:
    """Every source in full with the pages that cite it: a page a kind, and one that lists them."""
    listing = []
    for address, keys in site.view.source_pages.items():
        name = _sources_name(site, keys)
        listing.append((address, name, len(keys)))
        yield _sources_page(site, address, f"Sources: {name}", keys)
    title, summary = "Sources", "Where every figure and judgement comes from."
    materials = site.knowledge.materials.values()
    body = site.view.draw(
        "source_kinds",
        "sources.html",
        title=title,
        summary=summary,
        listing=listing,
        memory=sum(f.source == "memory" for m in materials for _, _, f in figures_of(m)),
        trail=[("Start", "index.html"), (title, "")],
    )
    yield Page("sources.md", title, summary, body)


def _sources_page(site: Site, address: str, name: str, keys: Sequence[str]) -> Page:
    summary = "Where every figure and judgement comes from."
    sources, mentions = site.knowledge.sources, site.mentions
    body = site.view.draw(
        "sources",
        address,
        title=name,
        summary=summary,
        entries=[(key, sources[key], mentions.get(("source", key), [])) for key in keys],
        trail=[("Start", "index.html"), ("Sources", "sources.html"), (name, "")],
    )
    return Page(address.removesuffix(".html") + ".md", name, summary, body)


def _sources_name(site: Site, keys: Sequence[str]) -> str:
    """The kind of these sources; where it takes several pages, from which word to which."""
    knowledge = site.knowledge
    kind = knowledge.sources[keys[0]].kind
    name = knowledge.words("source_kinds")[kind].name
    pages = site.view.source_pages.values()
    if sum(knowledge.sources[other[0]].kind == kind for other in pages) == 1:
        return name
    return f"{name}, {_head_word(knowledge, keys[0])} to {_head_word(knowledge, keys[-1])}"


def _head_word(knowledge: Knowledge, source: str) -> str:
    return knowledge.sources[source].title.split()[0].strip(",:;")


def glossary_page(site: Site) -> Page:
    """The words of the field and of the vocabularies, and the kinds of watch, in every language of
    the bench."""
    terms = _glossary_terms(site.knowledge)
    languages = site.knowledge.words("languages")
    columns = offered(site.knowledge)
    known = {slug(t): sentence(t) for t in terms}
    listing = [
        (sentence(t), slug(t), _term(site.knowledge, terms[t], columns, known))
        for t in sorted(terms, key=str.casefold)
    ]
    title = "Glossary"
    summary = "The terms of the trade in plain sentences, and in the other languages of the bench."
    body = site.view.draw(
        "glossary",
        "glossary.html",
        title=title,
        summary=summary,
        terms=listing,
        written=languages[written(site.knowledge)].name,
        columns=[(tag, languages[tag].name) for tag in columns],
        trail=[("Start", "index.html"), ("Glossary", "")],
    )
    return Page("glossary.md", title, summary, body, wide=True)


def _glossary_terms(knowledge: Knowledge) -> dict[str, object]:
    """What stands in the glossary by name: its own words, then those of the vocabularies that it
    lacks, then the kinds of watch."""
    terms = dict(knowledge.words("glossary"))
    known = {t.casefold() for t in terms}
    for entry in (e for name in GLOSSARY for e in knowledge.words(name).values()):
        if entry.name.casefold() not in known:
            terms[entry.name] = entry
            known.add(entry.name.casefold())
    return terms | {watch.name: watch for watch in knowledge.watches.values()}


@dataclass(frozen=True)
class Term:
    """One entry of the glossary; names are (tag, region, names) for each column."""

    meaning: str | None
    names: list[list[tuple[str, str, list[str]]]]
    see: list[tuple[str, str]]  # (word, anchor)


def _term(knowledge: Knowledge, entry, columns: Sequence[str], known: dict[str, str]) -> Term:
    """``known`` are the words of the glossary by anchor."""
    anchors = [slug(word) for word in getattr(entry, "see", ())]
    return Term(
        entry.summary if isinstance(entry, Watch) else entry.meaning,
        [_names_in(knowledge, entry, column) for column in columns],
        [(known[anchor], anchor) for anchor in anchors if anchor in known],
    )


def _names_in(knowledge: Knowledge, entry, column: str) -> list[tuple[str, str, list[str]]]:
    """(tag, region, names) of a language and its regions."""
    languages = knowledge.words("languages")
    return [
        (tag, languages[tag].name if tag != column else "", names)
        for tag, names in names_by_tag(knowledge, entry)
        if column in (tag, languages[tag].region_of)
    ]


@dataclass(frozen=True)
class Covered:
    """How the figures of a material stand."""

    id: str
    figures: int
    published: int
    memory: int
    double: int  # of two or more published sources
    missing: list[str]
    reviewed: date


@dataclass(frozen=True)
class CoveredLanguage:
    """How far a language of the bench has come."""

    tag: str
    language: str
    names: int
    unnamed: int
    sentences: int
    unread: int
    untranslated: int


def coverage_page(site: Site) -> Page:
    """How many figures are sourced, from memory, or missing."""
    materials = site.knowledge.materials
    rows = [_covered(site, key) for key in sorted(materials, key=lambda k: _order(materials[k]))]
    title, summary = "Coverage", "How much of this reference is sourced, remembered or missing."
    body = site.view.draw(
        "coverage",
        "coverage.html",
        title=title,
        summary=summary,
        key=_coverage_in_all(site.knowledge, rows),
        rows=rows,
        languages=_languages(site.knowledge),
        trail=[("Start", "index.html"), ("Coverage", "")],
    )
    return Page("coverage.md", title, summary, body, wide=True)


def _order(record) -> str:
    return record.name.casefold()


def _covered(site: Site, key: str) -> Covered:
    record = site.knowledge.materials[key]
    found = list(figures_of(record))
    memory = sum(f.source == "memory" for *_, f in found)
    groups = [record.figures, *(state.figures for state in record.states.values())]
    return Covered(
        id=key,
        figures=len(found),
        published=len(found) - memory,
        memory=memory,
        double=sum(_has_two_sources(fs) for group in groups for fs in group.values()),
        missing=missing_figures(site, key),
        reviewed=record.reviewed.on,
    )


def _has_two_sources(figures) -> bool:
    return len({f.source for f in figures if f.source != "memory"}) > 1


def _coverage_in_all(knowledge: Knowledge, rows: list[Covered]) -> list[tuple[str, int | str]]:
    total, memory = sum(r.figures for r in rows), sum(r.memory for r in rows)
    share = f" ({100 * (total - memory) / total:.1f} %)" if total else ""
    return [
        ("materials", len(rows)),
        ("parts", len(knowledge.parts)),
        ("hazards", len(knowledge.hazards)),
        ("processes", len(knowledge.processes)),
        ("calculations", len(knowledge.formulas)),
        ("figures of materials", total),
        ("from a publication", f"{total - memory}{share}"),
        ("from memory", memory),
        ("basic figures not found", sum(len(r.missing) for r in rows)),
        ("sources", len(knowledge.sources)),
        ("citations in all", sum(r.target == "source" for r in knowledge.all_references())),
    ]


def _languages(knowledge: Knowledge) -> list[CoveredLanguage]:
    sentences, things = list(told(knowledge)), list(named(knowledge))
    return [
        CoveredLanguage(
            tag=tag,
            language=knowledge.words("languages")[tag].name,
            names=len(things),
            unnamed=sum(name_in(thing, tag) is None for thing in things),
            sentences=len(sentences),
            unread=len(
                {mark for mark, *_ in translated(knowledge, tag)} - read_back(knowledge, tag).keys()
            ),
            untranslated=sum(sentence_in(r, line, tag) is None for r, line in sentences),
        )
        for tag in offered(knowledge)
    ]
