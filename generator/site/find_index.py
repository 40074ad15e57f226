"""Receives the entries of the find box; hands on the index that the browser searches, ready made.

`squash` and `words` have twins in assets/find.js.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections import defaultdict
from collections.abc import Mapping
from functools import cache

from generator.records import models

NOT_ASKED = frozenset(
    (  # noqa: SIM905 (words are easier to read than a list of texts)
        "a an and are as at be by can do does for from has have how i in is it its may my of on or"
        " the this to what when which why with"
    ).split()
)
_ACCENTS, _POINT, _WORD = (
    re.compile(r"[\u0300-\u036f]"),
    re.compile(r"(?<=[0-9])[.,](?=[0-9])"),
    re.compile(r"[a-z0-9]+"),
)
_JOINED = str.maketrans({"ß": "ss", "œ": "oe", "æ": "ae"})
LONGEST = 110  # letters of a summary below a result
TITLE, SPELLING, SUMMARY, SIGN = 1, 2, 4, 8  # where a word stands; the browser weighs them


def _plain(text: str) -> str:
    """Small letters, two for a joined one (ß, œ, æ), accents set apart."""
    low = text.lower()
    if low.isascii():
        return low
    return unicodedata.normalize("NFKD", low.translate(_JOINED))


def squash(text: str) -> str:
    """Letters and digits only: `X2 CrNiMo 17-12-2` and `1,4404` lose what people type
    differently."""
    return re.sub(r"[^a-z0-9]", "", _plain(text))


def words(text: str) -> list[str]:
    """The words of a text as the find box compares them."""
    plain = _ACCENTS.sub("", _plain(text))
    return [_stem(w) for w in _WORD.findall(_POINT.sub("", plain))]


@cache
def _stem(word: str) -> str:
    """Demagnetize, demagnetise and demagnetising are one word."""
    return (
        word
        if len(word) < 6
        else re.sub(r"(ing|ed|es|e|s)$", "", re.sub(r"iz(?=(e|ed|ing|ation)$)", "is", word))
    )


def index(
    found: list[list],
    languages: Mapping[str, models.Language],
    drawn: frozenset[str] = frozenset(),
) -> dict:
    """What the browser searches: the entries to show, all squashed names in order with their
    entries, and all words in order. Names in other languages stand with their entry only; the
    browser squashes them itself, which is quicker than loading them twice.

    A word's places are entries, each told by its distance from the one before in base 16 followed
    by one of the letters g to v, which says where in it the word stands. ``drawn`` are the
    addresses, without ending, of which there is a drawing to show beside the hit.
    """
    not_asked = NOT_ASKED.union(*(language.not_asked for language in languages.values()))
    names: dict[tuple[str, int], None] = {}
    places: dict[str, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for i, (_, title, _, summary, _, spellings, signs, named) in enumerate(found):
        foreign = [name for each in named.values() for name in each]
        names.update({(squash(name), i): None for name in (title, *spellings)})
        for where, text in (
            (TITLE, title),
            (SPELLING, "\n".join((*spellings, *foreign))),
            (SUMMARY, summary),
            (SIGN, "\n".join(signs)),
        ):
            for word in set(words(text)) - not_asked:
                places[word][i] |= where
    named, ordered = sorted(n for n in names if n[0]), sorted(places)
    return {
        # Names in other languages: a line for each tag, tag and names parted by tabs.
        "entries": [
            [
                *entry[:3],
                shortened(entry[3]),
                entry[4],
                "\n".join("\t".join((tag, *names)) for tag, names in entry[7].items()),
            ]
            for entry in found
        ],
        "names": " ".join(n for n, _ in named),
        "of": [i for _, i in named],
        "words": " ".join(ordered),
        "places": " ".join(_told(places[w]) for w in ordered),
        "not_asked": " ".join(sorted(not_asked)),
        "drawn": [i for i, entry in enumerate(found) if entry[0].removesuffix(".html") in drawn],
        "languages": {tag: language.name for tag, language in languages.items()},
        # how a letter is typed where a keyboard lacks it, and what is left of it in a name
        "spelled": [
            [typed, squash(letter)]
            for language in languages.values()
            for letter, typed in language.spelled.items()
        ],
    }


def _told(places: dict[int, int]) -> str:
    before, told = 0, []
    for i, where in places.items():
        told.append(f"{i - before:x}{chr(ord('g') + where)}")
        before = i
    return "".join(told)


def shortened(summary: str) -> str:
    """The first sentence, or as much of it as a result shows; all its words are found all the
    same."""
    first = summary.partition(". ")[0]
    return first if len(first) <= LONGEST else first[:LONGEST].rsplit(" ", 1)[0] + " …"


def as_script(
    found: list[list],
    languages: Mapping[str, models.Language],
    drawn: frozenset[str] = frozenset(),
) -> str:
    """The index as a classic script, which also loads from file://."""
    return (
        "window.benchFindIndex="
        + json.dumps(
            index(found, languages, drawn), ensure_ascii=False, separators=(",", ":")
        ).replace("</", "<\\/")
        + ";\n"
    )
