"""Names and sentences in other languages: all there, each in its language, found by its letters."""

import html
import re

import lxml.html

from generator.records import models
from generator.records.languages import (
    for_owners,
    name_in,
    named,
    names_by_tag,
    numbers_in,
    offered,
    sentence_in,
    told,
    written,
)
from generator.site.in_languages import names_of
from generator.site.texts import plain_text

# Letters of the two languages, typographic signs of designations, and nothing else: a word typed
# with the wrong keyboard or in a broken encoding shows up here.
LETTERS = re.compile(r"[A-Za-z0-9ÄÖÜäöüßÀÂÇÈÉÊËÎÏÔÛŒàâçèéêëîïôùûœµ ,.;:%°+/()'‑{}\-]+")


def test_english_is_written_and_german_and_french_are_offered(knowledge):
    assert (written(knowledge), offered(knowledge)) == ("en", ["de", "fr"])
    regions = {t: e.region_of for t, e in knowledge.words("languages").items() if e.region_of}
    assert regions == {"de-CH": "de", "de-DE": "de", "fr-CH": "fr", "fr-FR": "fr"}


def shown(thing):
    return getattr(thing, "name", None) or getattr(thing, "meaning", None) or str(thing)


def test_everything_named_has_a_name_in_every_language(knowledge):
    things = list(named(knowledge))
    assert len(things) > 700
    tags = offered(knowledge)
    assert [shown(t) for t in things if not all(name_in(t, tag) for tag in tags)] == []


def test_every_state_has_names(knowledge):
    names = {s.name for m in knowledge.materials.values() for s in m.states.values()}
    assert names - set(knowledge.words("state_names")) == set()


def test_names_are_written_with_the_letters_of_their_language(knowledge):
    odd = [
        name
        for thing in named(knowledge)
        for _, names in names_by_tag(knowledge, thing)
        for name in names
        if not LETTERS.fullmatch(name)
    ]
    assert odd == []


def test_every_sentence_in_danger_is_translated(knowledge):
    sentences = [
        (record, line)
        for record, line in told(knowledge)
        if isinstance(record, models.Caution | models.FirstAid)
    ]
    assert len(sentences) > 450
    for tag in offered(knowledge):
        assert [line for record, line in sentences if not sentence_in(record, line, tag)] == []


def test_translations_hold_the_numbers_of_their_sentences(knowledge):
    """Read here once more, without the rule of the checker: digits in order of size."""
    decimal = {"de": ",", "fr": ","}
    for record, line in told(knowledge):
        for tag, sign in decimal.items():
            if not sentence_in(record, line, tag):
                continue  # counted on the coverage page
            digits = re.findall(r"\d+", line)
            told_digits = re.findall(r"\d+", sentence_in(record, line, tag))
            assert sorted(told_digits) == sorted(digits), line
            for number in re.findall(r"\d+\.\d+", line):
                assert number.replace(".", sign) in sentence_in(record, line, tag), line


# What a sentence of danger may not lose, in each language; common practice of first-aid texts.
MUST_STAY = {
    "emergency number": {"de": "Notruf", "fr": "numéro d'urgence"},
    "poison centre": {"de": "Giftnotruf", "fr": "centre antipoison"},
    "ospital": {"de": "rankenhaus|Augenklinik", "fr": "ôpital"},
    "omiting|vomit": {"de": "rbrechen", "fr": "vomir"},
    "(?<!not )[Nn]ever": {"de": "[Nn]ie", "fr": "[Jj]amais"},
    "at once": {
        "de": "[Ss]ofort|plötzlich|auf einmal",
        "fr": "tout de suite|aussitôt|d'un coup|à la fois",
    },
    "at least": {"de": "mindestens", "fr": "au moins"},
    "same hour": {"de": "derselben Stunde", "fr": "dans l'heure"},
    "pregnant": {"de": "[Ss]chwanger", "fr": "enceinte"},
    "radiation protection authority": {
        "de": "Strahlenschutzbehörde",
        "fr": "autorité de radioprotection",
    },
}


def test_safety_sentences_keep_their_words(knowledge):
    lost = [
        (tag, line)
        for record, line in told(knowledge)
        for word, kept in MUST_STAY.items()
        if re.search(word, line)
        for tag, pattern in kept.items()
        if not re.search(pattern, sentence_in(record, line, tag) or "")
        and sentence_in(record, line, tag)
    ]
    assert lost == []


# What movement parts are called in Swiss parts lists; common practice, from memory.
KNOWN = {
    "balance-staff": ("Unruhwelle", "axe de balancier"),
    "mainspring": ("Zugfeder", "ressort de barillet"),
    "escape-wheel": ("Ankerrad", "roue d'ancre"),
    "pallet-lever": ("Anker", "ancre"),
    "winding-stem": ("Aufzugwelle", "tige de remontoir"),
    "sliding-pinion": ("Schiebetrieb", "pignon coulant"),
    "setting-lever": ("Winkelhebel", "tirette"),
    "ratchet-wheel": ("Sperrrad", "rochet"),
    "cannon-pinion": ("Minutenrohr", "chaussée"),
    "hour-wheel": ("Stundenrad", "roue des heures"),
    "minute-wheel": ("Wechselrad", "roue de minuterie"),
}


def test_parts_have_the_names_of_the_trade(knowledge):
    found = {
        key: (name_in(knowledge.parts[key], "de"), name_in(knowledge.parts[key], "fr"))
        for key in KNOWN
    }
    assert found == KNOWN


def test_no_other_language_is_left_among_english_names(knowledge):
    """A foreign word stands once, under its language."""
    left = [
        (key, word)
        for kind in ("part", "hazard", "process")
        for key, record in knowledge.of_kind(kind).items()
        for word in record.also_called
        if re.search("[äöüßéèêàçœ]", word)
    ]
    assert left == []


def test_regions_stand_beside_the_language(knowledge):
    found = [(n.tag, n.language, n.names) for n in names_of(knowledge, knowledge.parts["crystal"])]
    assert found == [
        ("de", "Deutsch", ["Uhrglas", "Uhrenglas", "Glas"]),
        ("fr", "français", ["glace", "glace de montre"]),
        ("fr-FR", "français (France)", ["verre de montre", "verre"]),
    ]


def test_a_plain_description_is_marked(knowledge):
    marked = {
        n.tag: n.described for n in names_of(knowledge, knowledge.processes["budget-polishing"])
    }
    assert marked == {"de": True, "fr": True}


def test_numbers_of_a_sentence_whatever_its_decimal_sign():
    assert numbers_in("at 0.5 to 20 minutes, 2.5 %") == ["0.5", "2.5", "20"]
    assert numbers_in("0,5 bis 20 Minuten, 2,5 %", ",") == ["0.5", "2.5", "20"]


def test_every_page_of_a_thing_shows_its_names(site, knowledge):
    """Materials, parts, hazards, work, families and zones: the preferred word, in its language."""
    left = []
    for folder, records in (
        ("materials", knowledge.materials),
        ("parts", knowledge.parts),
        ("hazards", knowledge.hazards),
        ("processes", knowledge.processes),
        ("families", knowledge.words("families")),
        ("zones", knowledge.words("zones")),
    ):
        for key, thing in records.items():
            page = site / folder / f"{key}.html"
            if not page.exists():  # a family of which there is no material has none
                assert folder == "families"
                continue
            text = html.unescape(page.read_text(encoding="utf-8")).replace("\xa0", " ")
            for tag in offered(knowledge):
                shown = re.search(rf'<span lang="{tag}"><small>[^<]*</small> ([^<]*)</span>', text)
                if not shown or not shown[1].startswith(name_in(thing, tag)):
                    left.append((folder, key, tag))
    assert left == []


# Letters that English has only in names of persons; authors of sources.
FOREIGN = re.compile(r"[A-Za-zÀ-ÿœŒß]*[À-ÖØ-öø-ÿœŒß][A-Za-zÀ-ÿœŒß]*")
NAMES_OF_PERSONS = {"Lidén"}
# Written alike in English: marks of materials, and these words as English dictionaries have them
# (from memory).
DESIGNATION = re.compile(r"\d")
ALIKE = {
    *("gold", "polyamide", "pren", "cu-etp", "abs", "vickers", "isopropanol", "agate", "onyx"),
    *("carbon", "pmma", "h900"),
}


def spoken(page):
    """(text, tag of its language) of everything that a reader of a page sees or hears: text,
    titles, labels."""
    left = [(lxml.html.fromstring(page.read_bytes().decode()), "")]
    while left:
        element, tag = left.pop()
        if not isinstance(element.tag, str) or element.tag in ("script", "style"):
            continue
        tag = element.get("lang", tag)
        for text in (
            *(element.text, *(child.tail for child in element)),
            *(element.get(a) for a in ("alt", "title", "aria-label", "placeholder")),
        ):
            if text and text.strip():
                yield " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split()), tag
        left += ((child, tag) for child in element)


def test_every_foreign_word_bears_its_language(site, knowledge):
    """Every page of the built site: what is in English has no letters of another language, no name
    and no sentence of another language; what is in another language is no English sentence.

    Names that are alike in both languages (designations, "palladium") are English too.
    """
    english = {t.casefold() for t in knowledge.words("glossary")} | ALIKE
    names = set()
    for thing in named(knowledge):
        own = (getattr(thing, "name", ""), getattr(thing, "plural", ""))
        english |= {t.casefold() for t in (*own, *getattr(thing, "also_called", ())) if t}
        names |= {n.casefold() for _, all_ in names_by_tag(knowledge, thing) for n in all_}

    def shown_text(text):
        return plain_text(text).replace("\N{NO-BREAK SPACE}", " ")

    sentences = {shown_text(line) for _, line in told(knowledge)}
    said = {
        tag: {
            shown_text(t)
            for record, line in told(knowledge)
            if (t := sentence_in(record, line, tag))
        }
        for tag in offered(knowledge)
    }
    names -= english
    foreign = set.union(*said.values()) - sentences
    untranslated = {tag: sentences - found for tag, found in said.items()}
    left, sound, base = set(), set(), written(knowledge)
    for page in site.rglob("*.html"):
        for text, tag in {*spoken(page)} - sound:  # most stands on many pages
            if tag == base:
                odd = {w for w in FOREIGN.findall(text) if w not in NAMES_OF_PERSONS}
                pieces = {p.strip(" .").casefold() for p in re.split('[,;:()“”"]', text)}
                odd |= {p for p in pieces & names if not DESIGNATION.search(p)}
                odd |= {text} & foreign
            else:
                odd = {text} & untranslated[tag.partition("-")[0]]
            left |= {(str(page.relative_to(site)), tag, each) for each in odd}
            if not odd:
                sound.add((text, tag))
    assert left == set()


def test_the_sentences_of_the_leaflet_stand_in_each_language_without_scripts(site, knowledge):
    """Lists of them, a page a language, which the leaflet's page leads to; nothing in English."""
    start = (site / "leaflet.html").read_text(encoding="utf-8")
    for tag in offered(knowledge):
        assert f'href="leaflet-{tag}.html" hreflang="{tag}"' in start
        texts = [text for text, its in spoken(site / f"leaflet-{tag}.html") if its.startswith(tag)]
        whole = " ".join(texts)
        for record, line in for_owners(knowledge):
            if not isinstance(record, models.Activity):
                said = sentence_in(record, line, tag)
                assert plain_text(said).replace("\N{NO-BREAK SPACE}", " ") in whole
