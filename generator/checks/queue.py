"""What deserves an hour of the lead's work, most important first in each kind: reviews due, gaps,
weak evidence, disagreements, sources, contradictions, missing translations.

The weight of a figure is the number of places (part and state) whose judgement asks for it.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from generator.checks.deciding import deciding
from generator.checks.settling import Settling
from generator.numbers.quantities import BORROWED, MEMORY, NBSP, Quantity
from generator.numbers.values import evidence_of, figure_quantity
from generator.records import languages, models
from generator.records.knowledge import KINDS, Knowledge
from generator.records.materials import figures_of
from generator.verdicts.rungs import CANNOT_SAY, OFFERED
from generator.verdicts.verdicts import Verdicts
from generator.verdicts.wording import asked_words, state_name, with_unit

# A standard by its number, or a book by its edition, is found by title and publisher.
_DESIGNATION = re.compile(
    r"\b(ISO|EN|DIN|ASTM|BS|JIS|IEC|CIE|NIHS|MIL|SAE)\b[ -]?(\w+[ -])?\w*\d|\bedition\b"
)
YEAR = 365  # days after which a record is read again
APART = Decimal("1.1")  # the higher of two figures over the lower, from which they disagree
TITLES: Mapping[str, str] = {
    "contradiction": "Workshop measurements that contradict the base",
    "gap": "Figures that nobody found, so no verdict can be given",
    "weak": "Figures from memory or from a relative",
    "single": "Figures that decide verdicts on the word of one source",
    "disagreement": "Sources that disagree",
    "source": "Sources that cannot be found again",
    "unread": "Sources that were cited and not read",
    "untranslated": "Sentences not translated",
    "due": "Records due for review",
}


class Look(NamedTuple):
    """One thing to look at: why, what to do, and how much hangs on it."""

    kind: str
    weight: int
    record: tuple[str, str]  # kind and id of its page
    what: str
    cure: str


def queue(settling: Settling, on: date) -> dict[str, list[Look]]:
    """Everything to look at by kind, in the order of TITLES; ``on`` is the day that counts."""
    knowledge, verdicts = settling.knowledge, settling.verdicts
    found = [
        *_gaps(knowledge, verdicts),
        *_weak(knowledge, verdicts),
        *_single(knowledge, settling),
        *_disagreements(knowledge),
        *_sources(knowledge),
        *_untranslated(knowledge),
        *_due(knowledge, on),
    ]
    by_kind: dict[str, list[Look]] = defaultdict(list)
    for look in sorted(found, key=lambda x: (-x.weight, x.record, x.what)):
        by_kind[look.kind].append(look)
    return {kind: by_kind[kind] for kind in TITLES if by_kind[kind]}


def _gaps(knowledge: Knowledge, verdicts: Verdicts) -> Iterator[Look]:
    """What is asked of a material and not known, where nothing else rules it out."""
    hangs: Counter = Counter()
    for part, cells in verdicts.cells.items():
        named = {c.material for c in (*knowledge.roles[part].usual, *knowledge.roles[part].wrong)}
        for j in cells:
            for answer in j.missing if j.rung == CANNOT_SAY else ():
                asked = asked_words(knowledge, answer.demand)
                remembered = answer.quantity is not None
                hangs[j.material, j.state, asked, remembered] += 3 if j.material in named else 1
    for (material, state, asked, remembered), places in hangs.items():
        name = state_name(knowledge, material, state)
        kind, known = ("weak", "from memory") if remembered else ("gap", "not known")
        cure = "look for a publication that gives it, or measure it"
        yield Look(kind, places, ("material", material), f"{name}: {asked} {known}", cure)


def _weak(knowledge: Knowledge, verdicts: Verdicts) -> Iterator[Look]:
    """Figures of a relative on which a material is offered for a part."""
    hangs: Counter = Counter()
    units: dict = {}
    for part, cells in verdicts.cells.items():
        asked = [d for d in knowledge.roles[part].demands if d.property]
        for j in cells if asked else ():
            if j.rung not in OFFERED:
                continue
            for demand in asked:
                unit = demand.unit or verdicts.judge.values.unit_of(demand.property)
                found = verdicts.judge.values.of(j.material, demand.property, j.state, unit)
                if found is not None and found.evidence == BORROWED:
                    hangs[j.material, demand.property] += 1
                    units[j.material, demand.property] = found
    for (material, prop), places in hangs.items():
        name = knowledge.materials[material].name
        label = knowledge.words("properties")[prop].name
        what = f"{name}: {label}, {with_unit(knowledge, units[material, prop])}"
        cure = "look for a figure for the metal itself"
        yield Look("weak", places, ("material", material), what.replace(NBSP, " "), cure)


def _single(knowledge: Knowledge, settling: Settling) -> Iterator[Look]:
    """Own figures that put rows on their rungs, behind which one body stands alone."""
    for cell, decides in deciding(settling).items():
        if len(decides.bodies) == 1:
            way = ("states", cell.state, cell.property) if cell.state else (cell.property,)
            (alone,) = decides.bodies
            what = f"{_cell(knowledge, cell.material, way)}: {alone} alone"
            cure = "look for a second source from another body"
            yield Look("single", decides.rows, ("material", cell.material), what, cure)


def _disagreements(knowledge: Knowledge) -> Iterator[Look]:
    """Own figures of one cell that lie apart; a workshop's against the others by themselves."""
    for key, material in knowledge.materials.items():
        cells: dict[tuple, list] = defaultdict(list)
        for way, prop, figure in figures_of(material):
            if figure.kind in ("typical", "range") and not figure.of and figure.source != MEMORY:
                unit = figure.unit or next(iter(knowledge.words("properties")[prop].units))
                own = knowledge.from_layer("material", key, way)
                cells[way[:-1], unit, figure.over].append(
                    (own, figure_quantity(knowledge, figure, unit), evidence_of(knowledge, figure))
                )
        for (way, _, _), found in cells.items():
            yield from _apart(knowledge, key, way, found)


def _apart(knowledge: Knowledge, key: str, way: tuple, found: Sequence[tuple]) -> Iterator[Look]:
    best = [q for own, q, evidence in found if not own and evidence == "own"]
    measured = [q for own, q, _ in found if own]
    low = min(best, key=lambda q: q.high, default=None)
    high = max(best, key=lambda q: q.low, default=None)
    name = _cell(knowledge, key, way)
    if low and high and _ratio(low, high) > APART:
        what = f"{name}: {with_unit(knowledge, low)} and {with_unit(knowledge, high)}"
        cure = (
            "read both again: another form or size? Then say so in `note`; else delete the weaker"
        )
        weight = int(_ratio(low, high) * 10)
        yield Look("disagreement", weight, ("material", key), what.replace(NBSP, " "), cure)
    for own in measured:
        if best and all(_ratio(*sorted((own, q), key=_middle)) > APART for q in best):
            ours, theirs = with_unit(knowledge, own), with_unit(knowledge, best[0])
            what = f"{name}: measured {ours}, published {theirs}"
            cure = "measure again, check the test and the state; then correct the one that is wrong"
            yield Look("contradiction", 100, ("material", key), what.replace(NBSP, " "), cure)


def _middle(quantity: Quantity) -> Decimal:
    return quantity.low + quantity.high


def _ratio(lower: Quantity, higher: Quantity) -> Decimal:
    """How far two spans lie apart; 1 or less where they touch."""
    return higher.low / lower.high if lower.high > 0 and higher.low > 0 else Decimal(0)


def _cell(knowledge: Knowledge, key: str, way: tuple) -> str:
    material = knowledge.materials[key]
    name = f"{material.name}: {knowledge.words('properties')[way[-1]].name}"
    return f"{name}, {material.states[way[1]].name}" if way[0] == "states" else name


def _sources(knowledge: Knowledge) -> Iterator[Look]:
    """Sources that say too little to be found, and those that nobody read."""
    cited = Counter(r.id for r in knowledge.all_references() if r.target == "source")
    for key, source in knowledge.sources.items():
        times = "once" if cited[key] == 1 else f"{cited[key]} times"
        said = f"{source.title} ({source.publisher}), cited {times}"
        page = ("source", key)
        if not can_be_found(source):
            cure = "add the address, or number or year with table or page"
            yield Look("source", cited[key], page, said, cure)
        if not source.seen:
            cure = "read it and say `seen: true`, or cite what was read"
            yield Look("unread", cited[key], page, said, cure)


def can_be_found(source: models.Source) -> bool:
    """Where it was seen, or which edition and which place in it; a calculation is done again."""
    edition = source.number or source.year or _DESIGNATION.search(source.title)
    whole = source.kind in ("law", "patent", "standard")  # short, or ordered by clauses
    return bool(
        source.kind == "calculation" or source.address or edition and (whole or source.where)
    )


def _untranslated(knowledge: Knowledge) -> Iterator[Look]:
    """What an owner, or somebody in danger, reads in the language of the records only."""
    pages = {
        id(record): (kind, key)
        for kind, records in (
            ("material", knowledge.materials),
            ("hazard", knowledge.hazards),
            ("caution", knowledge.cautions),
            ("first aid", knowledge.first_aid),
        )
        for key, record in records.items()
    }
    waiting: Counter = Counter()
    for record, sentence in languages.told(knowledge):
        for tag in languages.offered(knowledge):
            if languages.sentence_in(record, sentence, tag) is None:
                page = pages.get(id(record), ("leaflet", ""))
                waiting[page, getattr(record, "name", "the leaflet"), tag] += 1
    for (page, name, tag), count in waiting.items():
        language = knowledge.words("languages")[tag].english
        what = f"{name}: {count} sentence{'s' if count > 1 else ''} not in {language}"
        cure = f"add `{tag}:` below the sentence under `translations:`"
        yield Look("untranslated", count, page, what, cure)


def _due(knowledge: Knowledge, on: date) -> Iterator[Look]:
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            days = (on - record.reviewed.on).days
            if days > YEAR:
                what = f"{record.name}: last read {record.reviewed.on} by the {record.reviewed.by}"
                cure = "read it, mend it, then: python3 -m generator reviewed " + key
                yield Look("due", days, (kind, key), what, cure)


def in_words(found: Mapping[str, list[Look]], most: int | None = None) -> list[str]:
    """The queue as lines, each with what to do."""
    lines = []
    for kind, looks in found.items():
        lines.append(f"{TITLES[kind]} ({len(looks)}):")
        lines += [f"  {look.what}\n      {look.cure}" for look in looks[:most]]
        if most is not None and len(looks) > most:
            lines.append(f"  ... and {len(looks) - most} more; --all shows them")
    return lines or ["Nothing needs looking at."]
