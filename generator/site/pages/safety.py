"""Cautions and first aid: a page of each in every language of the bench."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from generator.records.languages import for_safety
from generator.site.page import Page, Site
from generator.site.speech import Speech, speeches
from generator.verdicts.conditions import cautions_of_material, cautions_of_process


def cautions_pages(site: Site) -> Iterator[Page]:
    """Every caution with what to do, its authority, and the pages it is shown on."""
    knowledge = site.knowledge
    shown = {("material", m): cautions_of_material(knowledge, m) for m in knowledge.materials}
    shown |= {("process", p): cautions_of_process(knowledge, p) for p in knowledge.processes}
    entries = []
    for key, caution in knowledge.cautions.items():
        by_rule = [pair for pair, found in shown.items() if key in found]
        users = [pair for pair in site.mentions.get(("caution", key), []) if pair not in by_rule]
        counts = Counter(kind for kind, _ in by_rule + users)
        others = [pair for pair in users if pair[0] not in ("material", "process")]
        entries.append((key, caution, counts, others))
    for speech in speeches(knowledge):
        sentences = list(for_safety(knowledge.cautions.values()))
        yield _page(site, speech, "cautions", "safety", entries, sentences)


def first_aid_pages(site: Site) -> Iterator[Page]:
    """What to do after an accident: whom to call, then one section per kind of accident."""
    for speech in speeches(site.knowledge):
        entries = list(site.knowledge.first_aid.items())
        sentences = list(for_safety(site.knowledge.first_aid.values()))
        yield _page(site, speech, "first-aid", "first-aid", entries, sentences)


def _page(
    site: Site, speech: Speech, name: str, phrase: str, entries: list, sentences: list
) -> Page:
    address = speech.address(name)
    title, summary = (speech.words(key) for key in (phrase, f"{phrase}-summary"))
    body = site.view.draw(
        name.replace("-", "_"),
        address,
        title=title,
        summary=summary,
        entries=entries,
        t=speech,
        trust=[] if speech.is_base else speech.trust(sentences),
        languages=[(s, s.address(name)) for s in speeches(site.knowledge)],
        caution_names=site.knowledge.cautions,
        trail=[(speech.phrase("start"), "index.html"), (title, "")],
    )
    tag = "" if speech.is_base else speech.tag
    file = address.removesuffix(".html") + ".md"
    return Page(file, title, summary, body, wide=True, lang=tag)
