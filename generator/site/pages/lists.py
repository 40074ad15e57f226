"""Lists over all records: names, sources, glossary, cautions, coverage."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

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


def names_pages(site: Site) -> Iterator[Page]:
    """Every name and designation, A to Z, some letters a page; also what is reached without
    scripts."""
    found: set[tuple[str, str, str, str]] = set()
    for kind in KINDS:
        for key, record in site.knowledge.of_kind(kind).items():
            texts = {record.name, *record.also_called}
            if kind == "material":
                texts |= {d.code for d in record.designations}
            found |= {(text, "", kind, key) for text in texts}
            for tag, names in names_by_tag(site.knowledge, record):
                found |= {(text, tag, kind, key) for text in names}
    letters: dict[str, list] = defaultdict(list)
    for text, tag, kind, key in sorted(found, key=lambda e: (squash(e[0]), e)):
        first = squash(text)[:1].upper()
        letters[first if "A" <= first <= "Z" else "0-9"].append((text, tag, kind, key))
    order = sorted(letters, key=lambda letter: (letter == "0-9", letter))
    groups = _in_groups([(letter, len(letters[letter])) for letter in order], NAMES_A_PAGE)
    places = [
        (letter, f"names/{_letters_slug(group)}.html") for group in groups for letter in group
    ]
    title, summary = (
        "Every name, A to Z",
        "Every name and designation in any system, and the page it belongs to.",
    )
    trail = [("Start", "index.html"), ("A to Z", "names.html")]
    body = site.view.draw(
        "names",
        "names.html",
        title=title,
        summary=summary,
        places=places,
        letters=[],
        trail=[trail[0], ("A to Z", "")],
    )
    yield Page("names.md", title, summary, body, listed=True, wide=True)
    for group in groups:
        slug, title = (
            _letters_slug(group),
            f"Names, {group[0]}" + (f" to {group[-1]}" if len(group) > 1 else ""),
        )
        body = site.view.draw(
            "names",
            f"names/{slug}.html",
            title=title,
            summary=summary,
            places=places,
            letters=[(letter, letters[letter]) for letter in group],
            trail=[*trail, (title, "")],
        )
        yield Page(f"names/{slug}.md", title, summary, body, wide=True)


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
    knowledge = site.knowledge
    counts = Counter(f.source for m in knowledge.materials.values() for _, _, f in figures_of(m))
    title, summary = "Sources", "Where every figure and judgement comes from."
    trail, listing = [("Start", "index.html"), ("Sources", "sources.html")], []
    for address, keys in site.view.source_pages.items():
        kind = knowledge.sources[keys[0]].kind
        pages_of_kind = sum(
            knowledge.sources[other[0]].kind == kind for other in site.view.source_pages.values()
        )
        span = (
            f", {_head_word(knowledge, keys[0])} to {_head_word(knowledge, keys[-1])}"
            if pages_of_kind > 1
            else ""
        )
        name = f"Sources: {knowledge.words('source_kinds')[kind].name}{span}"
        listing.append((address, name.removeprefix("Sources: "), len(keys)))
        entries = [(s, knowledge.sources[s], site.mentions.get(("source", s), [])) for s in keys]
        body = site.view.draw(
            "sources",
            address,
            title=name,
            summary=summary,
            entries=entries,
            trail=[*trail, (name, "")],
        )
        yield Page(address.removesuffix(".html") + ".md", name, summary, body)
    body = site.view.draw(
        "source_kinds",
        "sources.html",
        title=title,
        summary=summary,
        listing=listing,
        memory=counts["memory"],
        trail=[trail[0], ("Sources", "")],
    )
    yield Page("sources.md", title, summary, body, listed=True)


def _head_word(knowledge: Knowledge, source: str) -> str:
    return knowledge.sources[source].title.split()[0].strip(",:;")


def glossary_page(site: Site) -> Page:
    """The words of the field and of the vocabularies, and the kinds of watch, in every language of
    the bench."""
    terms = dict(site.knowledge.words("glossary"))
    known = {t.casefold() for t in terms}
    for vocabulary in GLOSSARY:
        for entry in site.knowledge.words(vocabulary).values():
            if entry.name.casefold() not in known:
                terms[entry.name] = entry
                known.add(entry.name.casefold())
    terms |= {watch.name: watch for watch in site.knowledge.watches.values()}
    ids = {term: slug(term) for term in terms}
    known_ids = {i: sentence(t) for t, i in ids.items()}
    rows = [(sentence(t), ids[t], terms[t]) for t in sorted(terms, key=str.casefold)]
    languages = site.knowledge.words("languages")
    columns = offered(site.knowledge)

    def names_in(column: str, entry) -> list[tuple[str, str, list[str]]]:
        """(tag, region, names) of a language and its regions."""
        return [
            (tag, languages[tag].name if tag != column else "", names)
            for tag, names in names_by_tag(site.knowledge, entry)
            if column in (tag, languages[tag].region_of)
        ]

    listing = [
        (
            t,
            i,
            {
                "meaning": e.summary if isinstance(e, Watch) else e.meaning,
                "names": [names_in(column, e) for column in columns],
                "see": [
                    (known_ids[slug(s)], slug(s))
                    for s in getattr(e, "see", ())
                    if slug(s) in known_ids
                ],
            },
        )
        for t, i, e in rows
    ]
    title = "Glossary"
    summary = "The words of the field in plain sentences, and in the other languages of the bench."
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
    return Page("glossary.md", title, summary, body, listed=True, wide=True)


def coverage_page(site: Site) -> Page:
    """How many figures are sourced, from memory, or missing."""
    rows = []
    for key in sorted(
        site.knowledge.materials, key=lambda k: site.knowledge.materials[k].name.casefold()
    ):
        record = site.knowledge.materials[key]
        found = list(figures_of(record))
        memory = sum(f.source == "memory" for *_, f in found)
        double = sum(
            len({f.source for f in record.figures.get(p, ()) if f.source != "memory"}) > 1
            for p in record.figures
        )
        double += sum(
            len({f.source for f in fs if f.source != "memory"}) > 1
            for s in record.states.values()
            for fs in s.figures.values()
        )
        rows.append(
            {
                "id": key,
                "figures": len(found),
                "published": len(found) - memory,
                "memory": memory,
                "double": double,
                "missing": missing_figures(site, key),
                "reviewed": record.reviewed.on,
            }
        )
    total, memory = sum(r["figures"] for r in rows), sum(r["memory"] for r in rows)
    cited = sum(r.target == "source" for r in site.knowledge.all_references())
    share = f" ({100 * (total - memory) / total:.1f} %)" if total else ""
    key = [
        ("materials", len(rows)),
        ("parts", len(site.knowledge.parts)),
        ("hazards", len(site.knowledge.hazards)),
        ("processes", len(site.knowledge.processes)),
        ("calculations", len(site.knowledge.formulas)),
        ("figures of materials", total),
        ("from a publication", f"{total - memory}{share}"),
        ("from memory", memory),
        ("basic figures not found", sum(len(r["missing"]) for r in rows)),
        ("sources", len(site.knowledge.sources)),
        ("citations in all", cited),
    ]
    sentences, things = list(told(site.knowledge)), list(named(site.knowledge))
    all_marks = {
        tag: {m for m, *_ in translated(site.knowledge, tag)} for tag in offered(site.knowledge)
    }
    languages = [
        {
            "tag": tag,
            "language": site.knowledge.words("languages")[tag].name,
            "names": len(things),
            "unnamed": sum(name_in(thing, tag) is None for thing in things),
            "sentences": len(sentences),
            "unread": len(all_marks[tag] - read_back(site.knowledge, tag).keys()),
            "untranslated": sum(sentence_in(r, line, tag) is None for r, line in sentences),
        }
        for tag in offered(site.knowledge)
    ]
    title, summary = "Coverage", "How much of this reference is sourced, remembered or missing."
    body = site.view.draw(
        "coverage",
        "coverage.html",
        title=title,
        summary=summary,
        key=key,
        rows=rows,
        languages=languages,
        trail=[("Start", "index.html"), ("Coverage", "")],
    )
    return Page("coverage.md", title, summary, body, listed=True, wide=True)
