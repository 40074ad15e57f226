"""Packs the entries of the find box for the browser: one script with the index, and one per
language with the names in it, loaded only when needed.

`squash` and `words` have twins in assets/find-words.js. Words that the browser can take from
titles, spellings and summaries are not stored twice.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from itertools import pairwise
from os.path import commonprefix
from typing import NamedTuple

from generator.records import models

NOT_ASKED = frozenset(
    (  # noqa: SIM905 (words are easier to read than a list of texts)
        "a am an and are as at be been best but by can could do does for from get got had has have"
        " how i if in is it its may me much must my of on or should so some than that the their"
        " there they thing this to too was were what when where which why will with would you your"
        " off out up down into over all any no something someone go goes gone make made really"
        " very need not who whom whose did im ive whats isnt doesnt didnt dont wont cant please"
    ).split()
)
_ACCENTS, _POINT, _SHORT, _WORD = (
    re.compile(r"[\u0300-\u036f]"),
    re.compile(r"(?<=[0-9])[.,](?=[0-9])"),
    re.compile(r"['\u2019](?=(?:s|t|ll|re|ve|d|m)(?![a-z0-9]))"),  # diver's, won't
    re.compile(r"[a-z0-9]+"),
)
_JOINED = str.maketrans({"ß": "ss", "œ": "oe", "æ": "ae"})
LONGEST = 200  # letters of a summary below a result: the harm often stands at its end
COMMON = 0.05  # a word that so large a share of the pages has in its text tells none of them apart
# How far an entry lies from the one before: high digits, as many as needed, and one low one.
LOW = "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ-_"
HIGH = "!#$%&()*+,./:;=>?@[]^`{|}~"
SHARED = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"  # so many first letters a word shares with the one before

Places = dict[str, set[int]]  # word: the entries that hold it


def _plain(text: str) -> str:
    """Small letters, two for a joined one (ß, œ, æ), accents set apart."""
    low = text.lower()
    if low.isascii():
        return low
    return unicodedata.normalize("NFKD", low.translate(_JOINED))


@cache
def squash(text: str) -> str:
    """Letters and digits only: `X2 CrNiMo 17-12-2` and `1,4404` lose what people type
    differently."""
    return re.sub(r"[^a-z0-9]", "", _plain(text))


def words(text: str) -> list[str]:
    """The words of a text as the find box compares them."""
    plain = _ACCENTS.sub("", _plain(text))
    return [_stem(w) for w in _WORD.findall(_SHORT.sub("", _POINT.sub("", plain)))]


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


def passed_over(little: Iterable[str]) -> list[str]:
    """Little words, as they are typed and as they are compared."""
    return sorted({each for word in little for each in (word, *words(word))})


def scripts(
    found: list[list],
    languages: Mapping[str, models.Language],
    drawn: frozenset[str] = frozenset(),
    same: Iterable[Sequence[str]] = (),
    leanings: Mapping[str, models.Leaning] | None = None,
    places: Mapping[str, Mapping[str, str]] | None = None,
) -> dict[str, str]:
    """Classic scripts, which also load from file://, by file: the index, and the names in each
    other language."""
    told = {
        "assets/find-index.js": (
            "benchFindIndex",
            index(found, languages, drawn, same, leanings, places),
        )
    }
    for tag in _other(languages):
        held = f'benchFindNames=window.benchFindNames||{{}};window.benchFindNames["{tag}"]'
        told[f"assets/find-names-{tag}.js"] = (held, names(found, languages, tag))
    return {file: f"window.{held}={_json(value)};\n" for file, (held, value) in told.items()}


def _other(languages: Mapping[str, models.Language]) -> list[str]:
    """The languages in which the records are not written, without regions."""
    return [tag for tag, lang in languages.items() if not lang.written and not lang.region_of]


def _json(value: object) -> str:
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return text.replace("</", "<\\/")


def index(
    found: list[list],
    languages: Mapping[str, models.Language],
    drawn: frozenset[str] = frozenset(),
    same: Iterable[Sequence[str]] = (),
    leanings: Mapping[str, models.Leaning] | None = None,
    places: Mapping[str, Mapping[str, str]] | None = None,
) -> dict:
    """What the browser searches. Columns of the entries are texts with a line each, spellings
    parted by upright strokes. ``signs`` and ``texts`` tell which words an entry has that it does
    not show.

    ``drawn`` are the addresses, without ending, of which there is a drawing to show beside the
    hit; ``same`` lists words that are taken for one another; ``leanings`` are words that say what
    kind of page is wanted; ``places`` tell where on a page of many things a thing, by its address,
    stands.
    """
    held = [_held(entry) for entry in found]
    return {
        "addresses": _lines(entry[0] for entry in found),
        "titles": _lines(entry[1] for entry in found),
        "kinds": _lines(entry[2] for entry in found),
        "summaries": _lines(shortened(entry[3]) for entry in found),
        "ranks": [entry[4] for entry in found],
        "spellings": _lines("|".join(map(_line, entry[5])) for entry in found),
        **{name: _packed(places) for name, places in _not_shown(held).items()},
        "low": LOW,
        "high": HIGH,
        "not_asked": " ".join(passed_over(NOT_ASKED)),
        "drawn": [i for i, entry in enumerate(found) if entry[0].removesuffix(".html") in drawn],
        "same": [sorted({w for word in each for w in words(word)}) for each in same],
        "leanings": [_leaning(*each) for each in (leanings or {}).items()],
        "places": _by_entry(found, places or {}),
        "languages": {tag: language.name for tag, language in languages.items()},
        "others": _other(languages),
        "shared": _shared(found, held),
    }


def _leaning(key: str, leaning: models.Leaning) -> dict:
    """Its words in all languages, as they are compared."""
    told = leaning.words + [name for named in leaning.names.values() for name in named]
    return {
        "id": key,
        "words": sorted({" ".join(words(each)) for each in told}),
        "kinds": leaning.kinds,
        "passed": leaning.passed,
        "things": leaning.things,
        "between": leaning.between,
        "page": leaning.page,
        "sure": leaning.sure,
        "value": leaning.value,
        "without": leaning.without,
        "beside": leaning.beside,
        "unless": leaning.unless,
    }


def _by_entry(found: list[list], places: Mapping[str, Mapping[str, str]]) -> dict[str, dict]:
    """Places on pages, by the number of the entry that stands there."""
    return {
        page: {i: held[entry[0]] for i, entry in enumerate(found) if entry[0] in held}
        for page, held in places.items()
    }


class Held(NamedTuple):
    """The words of an entry: of its title and spellings, of its signs, of the summary as far as it
    is shown, and of the whole summary and the texts."""

    named: frozenset[str]
    signs: frozenset[str]
    shown: frozenset[str]
    texts: frozenset[str]


def _held(entry: list) -> Held:
    return Held(
        _all_words(entry[1], *entry[5]),
        _all_words(*entry[6]),
        _all_words(shortened(entry[3])),
        _all_words(entry[3], *entry[8]),
    )


def _all_words(*texts: str) -> frozenset[str]:
    return frozenset(words("\n".join(texts)))


def _shared(found: list[list], held: list[Held]) -> list[str]:
    """Names in other languages that are made of words which the index has for something else:
    that it knows all words does not tell, then, that no other language is meant."""
    named = (entry.named | entry.signs | entry.texts for entry in held)
    known = set(passed_over(NOT_ASKED)).union(*named)
    shared = set()
    for entry, own in zip(found, held, strict=True):
        for name in (name for named in entry[7].values() for name in named):
            further = set(words(name)) - own.named
            if further and further <= known:
                shared.add(squash(name))
    return sorted(shared)


def names(found: list[list], languages: Mapping[str, models.Language], tag: str) -> dict:
    """The names of the entries in a language and its regions, a line each, parted by upright
    strokes, and what the language does to words."""
    language = languages[tag]
    tags = [t for t in languages if tag in (t, languages[t].region_of)]
    return {
        "names": {t: _lines("|".join(map(_line, _further(e, t))) for e in found) for t in tags},
        "plurals": language.plurals,
        "not_asked": passed_over(language.not_asked),
        # how a letter is typed where a keyboard lacks it, and what is left of it in a name
        "spelled": [[typed, squash(letter)] for letter, typed in language.spelled.items()],
    }


def _further(entry: list, tag: str) -> list[str]:
    """The names in a language that do not read like one which the index has."""
    own = {squash(name) for name in (entry[1], *entry[5])}
    return [name for name in entry[7].get(tag, ()) if squash(name) not in own]


def _line(text: str) -> str:
    return text.replace("|", "/")


def _lines(texts: Iterable[str]) -> str:
    """One line for each text."""
    return "\n".join(text.replace("\n", " ") for text in texts)


def _not_shown(held: list[Held]) -> dict[str, Places]:
    """The words of signs and of texts, where the entry does not show them. Those of texts that so
    many pages hold that they tell nothing are left out."""
    named = _places(entry.named for entry in held)
    signs = _without(_places(entry.signs for entry in held), named)
    shown = _places(entry.named | entry.shown for entry in held)
    texts = _places(entry.texts for entry in held)
    telling = {
        word: pages
        for word, pages in texts.items()
        if len(pages) <= COMMON * len(held) and (len(word) > 2 or word.isdigit())
    }
    return {"signs": signs, "texts": _without(_without(telling, shown), signs)}


def _places(words_of: Iterable[frozenset[str]]) -> Places:
    """The words of each entry, with the entries that hold them."""
    places: Places = defaultdict(set)
    passed = frozenset(passed_over(NOT_ASKED))
    for i, found in enumerate(words_of):
        for word in found - passed:
            places[word].add(i)
    return places


def _without(places: Places, others: Places) -> Places:
    """Places that are not among the others."""
    left = {word: pages - others.get(word, set()) for word, pages in places.items()}
    return {word: pages for word, pages in left.items() if pages}


def _packed(places: Places) -> list[str]:
    """The words in order, each told by how many letters it shares with the one before and by the
    rest; and their places, each told by its distance from the one before."""
    ordered = sorted(places)
    return [
        "".join(_front(before, word) for before, word in pairwise(("", *ordered))),
        " ".join(_distances(places[word]) for word in ordered),
    ]


def _front(before: str, word: str) -> str:
    shared = min(len(commonprefix((before, word))), len(SHARED) - 1)
    return SHARED[shared] + word[shared:]


def _distances(pages: set[int]) -> str:
    """Steps from one entry to the next, the first from before the start."""
    return "".join(_digits(page - before - 1) for before, page in pairwise((-1, *sorted(pages))))


def _digits(number: int) -> str:
    """The low digit, before it as many high ones as the number needs."""
    rest, low = divmod(number, len(LOW))
    told = LOW[low]
    while rest:
        rest, high = divmod(rest, len(HIGH))
        told = HIGH[high] + told
    return told


def shortened(summary: str) -> str:
    """The whole, or the sentences or words of it that a result has room for; all its words are
    found all the same."""
    if len(summary) <= LONGEST:
        return summary
    sentences, end, _ = summary[:LONGEST].rpartition(". ")
    return f"{sentences}." if end else summary[:LONGEST].rsplit(" ", 1)[0] + " …"
