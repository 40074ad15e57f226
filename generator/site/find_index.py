"""Receives the entries of the find box; hands on the index that the browser searches, ready made.

`squash` and `words` have twins in assets/find.js.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cache

from generator.records import models

NOT_ASKED = frozenset(
    (  # noqa: SIM905 (words are easier to read than a list of texts)
        "a am an and are as at be been best but by can could do does for from get got had has have"
        " how i if in is it its may me much must my of on or should so some than that the their"
        " there they thing this to too was were what when where which why will with would you your"
        " off out up down into over all any no something someone go goes gone make made really"
        " very need"
    ).split()
)
_ACCENTS, _POINT, _WORD = (
    re.compile(r"[\u0300-\u036f]"),
    re.compile(r"(?<=[0-9])[.,](?=[0-9])"),
    re.compile(r"[a-z0-9]+"),
)
_JOINED = str.maketrans({"ß": "ss", "œ": "oe", "æ": "ae"})
LONGEST = 200  # letters of a summary below a result: the harm often stands at its end
TITLE, SPELLING, SUMMARY, SIGN, BODY = 1, 2, 4, 8, 16  # where a word stands; the browser weighs
WHERE = "ghijklmnopqrstuvwxyzABCDEFGHIJK"  # the letter for each sum of these, less one
COMMON = 0.05  # a word that so large a share of the pages has in its text tells none of them apart


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
    """Demagnetize, demagnetiser and demagnetising are one word, and so are plate, plates, plated
    and plating; a spring is not a "spr"."""
    if len(word) < 4 or not word.isalpha():
        return word
    word = re.sub(r"iz(?=(e|es|ed|er|ing|ation)$)", "is", word)
    word = re.sub(r"ies$", "y", word)
    word = re.sub(r"(ss|sh|ch|x)es$", r"\1", word)
    word = re.sub(r"([^su])s$", r"\1", word)
    bare = word if word.endswith("eed") else re.sub(r"(ing|ed)$", "", word)
    if bare != word and len(bare) > 2 and re.search(r"[aeiouy]", bare):
        word = re.sub(r"([bdfgmnprt])\1$", r"\1", bare)
    return re.sub(r"e$", "", word) if len(word) > 3 else word


def index(
    found: list[list],
    languages: Mapping[str, models.Language],
    drawn: frozenset[str] = frozenset(),
    same: Iterable[Sequence[str]] = (),
) -> dict:
    """What the browser searches: the entries to show, all squashed names in order with their
    entries, and all words in order. Names in other languages stand with their entry only; the
    browser squashes them and takes them apart itself, so that they are not loaded twice.

    A word's places are entries, each told by its distance from the one before in base 16 followed
    by a letter of ``WHERE``, which says where in it the word stands. ``drawn`` are the
    addresses, without ending, of which there is a drawing to show beside the hit; ``same`` lists
    words that are taken for one another.
    """
    not_asked = NOT_ASKED.union(*(language.not_asked for language in languages.values()))
    names: dict[tuple[str, int], None] = {}
    places: dict[str, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for i, (_, title, _, summary, _, spellings, signs, _, _) in enumerate(found):
        names.update({(squash(name), i): None for name in (title, *spellings)})
        for where, text in (
            (TITLE, title),
            (SPELLING, "\n".join(spellings)),
            (SUMMARY, summary),
            (SIGN, "\n".join(signs)),
        ):
            for word in set(words(text)) - not_asked:
                places[word][i] |= where
    _add_texts(found, places, not_asked)
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
        "same": [sorted({w for word in each for w in words(word)}) for each in same],
        "languages": {tag: language.name for tag, language in languages.items()},
        "plurals": {tag: lang.plurals for tag, lang in languages.items() if lang.plurals},
        # how a letter is typed where a keyboard lacks it, and what is left of it in a name
        "spelled": [
            [typed, squash(letter)]
            for language in languages.values()
            for letter, typed in language.spelled.items()
        ],
    }


def _add_texts(
    found: list[list], places: dict[str, dict[int, int]], not_asked: frozenset[str]
) -> None:
    """Words that only the text of a page holds, unless so many pages hold them that they tell
    nothing."""
    texts: dict[str, list[int]] = defaultdict(list)
    for i, entry in enumerate(found):
        for word in set(words("\n".join(entry[8]))) - not_asked:
            if len(word) > 2 or word.isdigit():
                texts[word].append(i)
    for word, pages in texts.items():
        if len(pages) <= COMMON * len(found):
            for i in pages:
                places[word][i] = places[word].get(i, 0) or BODY


def _told(places: dict[int, int]) -> str:
    before, told = 0, []
    for i, where in sorted(places.items()):
        told.append(f"{i - before:x}{WHERE[where - 1]}")
        before = i
    return "".join(told)


def shortened(summary: str) -> str:
    """The whole, or the sentences or words of it that a result has room for; all its words are
    found all the same."""
    if len(summary) <= LONGEST:
        return summary
    sentences, end, _ = summary[:LONGEST].rpartition(". ")
    return f"{sentences}." if end else summary[:LONGEST].rsplit(" ", 1)[0] + " …"


def as_script(
    found: list[list],
    languages: Mapping[str, models.Language],
    drawn: frozenset[str] = frozenset(),
    same: Iterable[Sequence[str]] = (),
) -> str:
    """The index as a classic script, which also loads from file://."""
    return (
        "window.benchFindIndex="
        + json.dumps(
            index(found, languages, drawn, same), ensure_ascii=False, separators=(",", ":")
        ).replace("</", "<\\/")
        + ";\n"
    )
