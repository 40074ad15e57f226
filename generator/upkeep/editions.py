"""Editions: what changed since the last one, and whether a card is current.

An edition is stamped by hand before the site is given away. knowledge/editions/DATE.yaml holds
what changed and the digest of every card that did; last.json holds the fields of the last edition,
which the next one is compared with. No git; the clock only refuses a day in the future.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

import yaml

from generator.records import clock, models
from generator.records.folders import EDITIONS
from generator.records.knowledge import COLLECTIONS, KINDS, Knowledge
from generator.records.reading import read_file
from generator.records.writing import write_all
from generator.upkeep.review import EditFailed

LAST = "last.json"
LONGEST = 80  # letters; of longer prose only the digest is kept
MOST = 3000  # letters that a change can hold
LONG = "#"  # starts such a digest
DRAFT = (  # at the foot of a card that is not that of the last edition
    "Draft: changed after that edition."
)
_TAG = re.compile(r"</?[a-z][^>]*>")
_LIMITS = (("typical", "{}"), ("at_least", "at least {}"), ("at_most", "at most {}"))


class Stamped(NamedTuple):
    """What was written."""

    path: Path
    edition: models.Edition


def digest(texts: Iterable[str]) -> str:
    """Eight signs that stand for some texts; marks of HTML do not count."""
    return hashlib.sha256(_TAG.sub("", "\0".join(texts)).encode()).hexdigest()[:8]


def fields(knowledge: Knowledge) -> dict[str, dict[str, str]]:
    """Page (folder/id) of every record and caution -> its fields as short text, or as a digest
    where they are longer."""
    found = {
        f"{COLLECTIONS[kind]}/{key}": record
        for kind in KINDS
        for key, record in knowledge.of_kind(kind).items()
    }
    found |= {f"cautions/{key}": caution for key, caution in knowledge.cautions.items()}
    return {
        page: {
            field: text if _is_figures(field) else _short(text)
            for field, text in _fields(knowledge, _as_typed(record))
        }
        for page, record in sorted(found.items())
    }


def entries(knowledge: Knowledge) -> dict[str, dict[str, str]]:
    """Each list of words, and the sources -> its entries as text; cautions are records."""
    lists = {**knowledge.lists, "sources": knowledge.sources}
    before = dict(_TEXTS_LAST)
    _TEXTS_LAST.clear()
    return {
        name: {key: _entry_text(entry, before) for key, entry in found.items()}
        for name, found in lists.items()
        if name != "cautions"
    }


# The text of each entry the time before, by the entry itself: an unchanged one is the very same
# object again in a process that goes on.
_TEXTS_LAST: dict[int, tuple[object, str]] = {}


def _entry_text(entry, before: Mapping[int, tuple[object, str]]) -> str:
    same = before.get(id(entry))
    if same is None or same[0] is not entry:
        same = entry, _text(_as_typed(entry))
    _TEXTS_LAST[id(entry)] = same
    return same[1]


def _is_figures(field: str) -> bool:
    """Values are kept whole, however many: what changed is said with old and new value."""
    return "figures" in field.split(".") or field in ("composition", "tempering", "designations")


def _as_typed(record) -> dict:
    """A record as plain data with the digits that were typed, without what nobody typed."""
    return record.model_dump(mode="json", exclude_unset=True)


def _fields(knowledge: Knowledge, data: Mapping) -> Iterator[tuple[str, str]]:
    for name, value in data.items():
        if name == "states":
            for state, inner in value.items():
                yield from (
                    (f"states.{state}.{field}", text) for field, text in _fields(knowledge, inner)
                )
        elif name == "figures" and isinstance(value, dict):
            yield from (
                (f"figures.{prop}", _text(figures, _unit(knowledge, prop)))
                for prop, figures in value.items()
            )
        elif name == "working" and isinstance(value, dict):
            yield from ((f"working.{work}", _text(inner)) for work, inner in value.items())
        elif name != "reviewed":
            yield name, _text(value)


def _unit(knowledge: Knowledge, prop: str) -> str:
    unit = next(iter(knowledge.words("properties")[prop].units))
    return "" if unit == "1" else unit


def _text(value, unit: str = "") -> str:
    """A value as typed in one line; figures in words, with unit and source."""
    if isinstance(value, str):
        return " ".join(value.split())
    if isinstance(value, list):
        return "; ".join([_text(item, unit) for item in value])
    if not isinstance(value, dict):
        return str(value)
    if "range" in value and isinstance(value["range"], list):
        amount = " to ".join(value["range"])
    else:
        amount = next(
            (
                words.format(value[kind])
                for kind, words in _LIMITS
                if isinstance(value.get(kind), str)
            ),
            "",
        )
    if not amount:
        return ", ".join(f"{key}: {_text(inner)}" for key, inner in value.items())
    rest = [
        f"{key} {_text(inner)}"
        for key, inner in value.items()
        if key not in ("range", "typical", "at_least", "at_most", "unit", "source")
    ]
    return (
        " ".join(
            [
                amount,
                value.get("unit", unit),
                *rest,
                f"({value['source']})" if "source" in value else "",
            ]
        )
        .replace("  ", " ")
        .strip()
    )


def _short(text: str) -> str:
    return text if len(text) <= LONGEST and not text.startswith(LONG) else LONG + digest([text])


def compare(
    old: Mapping[str, Mapping[str, str]], new: Mapping[str, Mapping[str, str]]
) -> list[models.Change]:
    """What changed in the records that both have; texts too long to keep are left out."""

    def kept(text: str | None) -> str | None:
        return None if not text or text.startswith(LONG) or len(text) > MOST else text

    return [
        models.Change(
            record=page,
            field=field,
            was=kept(old[page].get(field)),
            now=kept(new[page].get(field)),
            how=(
                "added"
                if field not in old[page]
                else "removed"
                if field not in new[page]
                else "changed"
            ),
        )
        for page in sorted(old.keys() & new.keys())
        for field in dict.fromkeys((*new[page], *old[page]))
        if not _same(old[page].get(field), new[page].get(field))
    ]


def _same(old: str | None, new: str | None) -> bool:
    """True also where one side is only a digest of the other."""
    return old == new or None not in (old, new) and LONG + digest([new]) == old


def last_of(knowledge: Knowledge) -> str:
    """The date of the last edition; before the first, that of the newest review."""
    return max(knowledge.editions, default=str(knowledge.newest_review()))


def cards_of(knowledge: Knowledge) -> dict[str, tuple[str, str]]:
    """Page of each card -> (the last edition in which the card changed, its digest there)."""
    return {
        page: (day, mark)
        for day in sorted(knowledge.editions)
        for page, mark in knowledge.editions[day].cards.items()
    }


def stamp(
    root: Path,
    knowledge: Knowledge,
    cards: Mapping[str, str],
    again: bool = False,
    layer: Path | None = None,
    effects: Sequence[str] = (),
    beside: Mapping[str, bytes] = MappingProxyType({}),
) -> Stamped:
    """Write the edition of the newest review's day, and the fields for the next comparison.

    Raises EditFailed, with nothing written.

    ``effects``: what followed, in words; ``beside``: more files of the same moment. With a
    workshop's own ``layer`` it is written there. ``again`` stamps an edition once more that was not
    given away yet.
    """
    shipped = root / "knowledge" / EDITIONS
    day, folder = str(knowledge.newest_review()), layer / EDITIONS if layer else shipped
    before = {d: e for d, e in knowledge.editions.items() if d != day}
    current = fields(knowledge)
    _refuse(knowledge, day, before, again)
    edition = _edition(
        knowledge,
        current,
        cards,
        effects,
        day,
        before,
        _read_last(folder if (folder / LAST).exists() else shipped) if knowledge.editions else {},
    )
    path = folder / f"{day}.yaml"
    _write(root, path, edition, current, beside)
    return Stamped(path, edition)


def _refuse(knowledge: Knowledge, day: str, before: Mapping, again: bool) -> None:
    if day > str(clock.today()):
        raise EditFailed(
            f"the newest review, {day}, is in the future; correct its date, or this machine's clock"
        )
    if before and max(before) > day:
        raise EditFailed(
            f"the last edition is of {max(before)} and no record was reviewed since; review what"
            " changed: python3 -m generator reviewed ID"
        )
    if day in knowledge.editions and not again:
        raise EditFailed(
            f"the edition of {day} is stamped already; review what changed on a later day, or, if"
            " nothing of it was given away or printed yet, say --again"
        )


def _write(
    root: Path,
    path: Path,
    edition: models.Edition,
    current: Mapping,
    beside: Mapping[str, bytes],
) -> None:
    text = yaml.safe_dump(
        edition.model_dump(exclude_defaults=True), sort_keys=False, allow_unicode=True, width=130
    )
    fields_now = json.dumps(current, ensure_ascii=False, indent=0) + "\n"
    # An edition without its fields would be compared with the wrong one later.
    write_all(
        [
            (path, text, lambda copy: models.Edition.model_validate(read_file(root, copy).data)),
            (
                path.parent / LAST,
                fields_now,
                lambda copy: json.loads(copy.read_text(encoding="utf-8")),
            ),
            *((path.parent / name, octets, None) for name, octets in beside.items()),
        ]
    )


def _edition(knowledge, current, cards, effects, day, before, last) -> models.Edition:
    marks = {page: mark for d in sorted(before) for page, mark in before[d].cards.items()}
    changed_cards = {page: mark for page, mark in sorted(cards.items()) if marks.get(page) != mark}
    if not before:
        return models.Edition(records=len(current), cards=changed_cards)
    earlier = knowledge.editions.get(
        day, models.Edition(records=0, cards={})
    )  # stamped once more: what it said stays said
    return models.Edition(
        records=len(current),
        new=sorted(({*earlier.new} | (current.keys() - last.keys())) & current.keys()),
        gone=sorted(
            ({*earlier.gone} | (last.keys() - current.keys())) - current.keys() - {*earlier.new}
        ),
        changed=_joined(earlier.changed, compare(last, current), current),
        effects=_followed(earlier.effects, effects),
        cards=changed_cards,
    )


def _followed(first: Sequence[str], second: Sequence[str]) -> list[str]:
    """Two rounds of effects as one; what the second says of a subject takes the place of the
    first."""
    again = {_subject(text) for text in second}
    return list(dict.fromkeys((*(t for t in first if _subject(t) not in again), *second)))


def _subject(effect: str) -> str:
    return effect.partition(": ")[0]


def _joined(
    first: list[models.Change], second: list[models.Change], current: Mapping
) -> list[models.Change]:
    """Two rounds of changes as one: the text before the first, the text after the second, nothing
    where both are the same."""
    found = {(c.record, c.field): c for c in first if c.record in current}
    for c in second:
        old = found.pop((c.record, c.field), None)
        if old is None:
            found[c.record, c.field] = c
        elif old.was is None or old.was != c.now:
            how = c.how if c.how == old.how else "added" if old.how == "added" else "changed"
            found[c.record, c.field] = models.Change(
                record=c.record, field=c.field, how=how, was=old.was, now=c.now
            )
    return [found[key] for key in sorted(found)]


def _read_last(folder: Path) -> dict:
    try:
        return json.loads((folder / LAST).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        raise EditFailed(
            f"knowledge/{EDITIONS}/{LAST}, the fields of the last edition, cannot be read;"
            " restore it"
        ) from None


def in_words(edition: models.Edition) -> str:
    """An edition in one line."""
    if not edition.new and not edition.changed and not edition.gone:
        return f"{edition.records} records, {len(edition.cards)} new or changed cards"
    records = len({c.record for c in edition.changed})
    return (
        f"{len(edition.changed)} changes in {records} records, {len(edition.new)} new,"
        f" {len(edition.gone)} gone, {len(edition.cards)} new or changed cards"
    )


def field_words(knowledge: Knowledge, page: str, field: str) -> str:
    """A field as a reader would say it: `hardness, annealed`.

    Words that the vocabularies no longer have stay as they are.
    """

    def word(vocabulary: str, key: str) -> str:
        return (
            knowledge.words(vocabulary)[key].name
            if key in knowledge.words(vocabulary)
            else key.replace("-", " ")
        )

    match field.split("."):
        case ["figures", prop]:
            return word("properties", prop)
        case ["working", work]:
            return word("workings", work)
        case ["states", state, *rest]:
            record = knowledge.materials.get(page.partition("/")[2])
            name = (
                record.states[state].name
                if record and state in record.states
                else state.replace("-", " ")
            )
            return f"{field_words(knowledge, page, '.'.join(rest))}, {name}"
        case _:
            return field.replace("_", " ")
