"""The entry of the find box for each kind of thing, of the invented records, and how entries are
packed for the browser: what is told once, what is left out. Worked out by hand."""

import json
from types import SimpleNamespace

import pytest

from generator.records.models import Language, Leaning
from generator.site import find, find_index
from generator.site.page import mark_title, slug


@pytest.fixture(scope="module")
def entries(invented):
    """Every entry, by its address."""
    site = invented
    found = find.entries(site.knowledge, site.view, site.tables, list(site.families))
    assert len({entry[0] for entry in found}) == len(found)
    return {entry[0]: entry for entry in found}


# address, title, kind, summary, rank, spellings, signs, names, text
ENTRIES = [
    [
        "materials/full-steel.html",
        *("Full steel", "materials", "An invented steel with every field.", 8),
        ["other steel name", "Fe-1C", "Fe1C"],
        [],
        {"de": ["full-steel auf Deutsch"]},
        ["owner words of steel", "bench words"],
    ],
    [
        "parts/full-pinion.html",
        *("Full pinion", "parts", "An invented pinion with every field.", 8),
        ["other pinion name"],
        ["sign words"],
        {"de": ["full-pinion auf Deutsch"]},
        [
            *("pinion does words", "identify words", "remake words", "sign words"),
            *("cause words", "service words"),
        ],
    ],
    [
        "hazards/test-sea.html",
        *("Test sea", "hazards", "Invented salt water.", 7),
        *([], [], {}),
        ["Swimming.", "Rinse it.", "Look under the seal.", "zinc leaves", "the film holds"],
    ],
    [
        "hazards/full-damp.html",
        *("Full damp", "hazards", "An invented damp with every field.", 7),
        ["other damp name"],
        ["looks words"],
        {"de": ["full-damp auf Deutsch"]},
        [
            *("damp meets words", "owner words of damp", "bench words of damp"),
            *("damp figure words", "first why words", "second why words", "looks words"),
            *("third why words", "fourth why words", "placed why words", "fifth why words"),
        ],
    ],
    [
        "processes/full-harden.html",
        *("Full hardening", "work", "An invented hardening with every field.", 6),
        ["other hardening name"],
        ["wrong sign words"],
        {"de": ["full-harden auf Deutsch"]},
        [
            *("hardening does words", "needs words", "first step words", "second step"),
            *("third step words", "hardening figure words", "wrong sign words"),
            "wrong cause words",
        ],
    ],
    [
        "sayings/full-saying.html",
        *("Full saying", "sayings", "An invented saying with every field.", 3),
        ["other saying name"],
        [],
        {"de": ["full-saying auf Deutsch"]},
        ["because words"],
    ],
    [
        "watches/full-watch.html",
        *("Full watch", "kinds of watch", "An invented watch with every field.", 6),
        ["other watch name"],
        [],
        {"de": ["full-watch auf Deutsch"]},
        ["watch does words"],
    ],
    [
        "families/brass.html",
        *("Brasses", "family"),
        "Copper and zinc, often with a little lead. Cuts cleanly, tarnishes, cracks in ammonia when"
        " stressed.",
        9,
        ["brass"],
        [],
        {"de": ["Messing"], "fr": ["laiton"]},
        [],
    ],
    [
        "families/precious-plating.html",
        *("Precious platings", "family", "", 9),
        ["precious plating"],
        [],
        {
            "de": ["Edelmetallüberzug", "Edelmetallbeschichtung"],
            "fr": ["placage de métal précieux", "dépôt de métal précieux"],
        },
        [],
    ],
    [
        "zones/train.html",
        *("Train", "zone", "Wheels and pinions between barrel and escapement.", 4),
        *([], []),
        {"de": ["Räderwerk", "Laufwerk"], "fr": ["rouage", "rouage de finissage"]},
        [],
    ],
    [
        "first-aid.html#full-aid",
        *("First aid: Full first aid", "first aid", "aid words", 9),
        ["other aid name"],
        [],
        {"de": ["volle Hilfe"]},
        ["aid words", "hospital words"],
    ],
    [
        "formulas/job-full-job.html",
        *("Full job", "whole job", "An invented job with every field.", 5),
        ["other job name"],
        *([], {}),
        ["mass of the job", "limit of the job"],
    ],
    [
        "lessons/tasks.html#full-task",
        *("Full task", "bench task", "task aim words", 3),
        *([], [], {}),
        ["first do words", "second do words"],
    ],
    [
        "lessons/cases.html#full-case",
        *("Full case", "case", "story words", 3),
        *([], [], {}),
        ["story words"],
    ],
    [
        "tables/matrix-hazards.html",
        *("Hazards and materials", "table", "Every one against every other, at a glance.", 5),
        *(["matrix"], [], {}, []),
    ],
    [
        "processes/index.html",
        *("Work", "page", "All work, sorted.", 2),
        *(["process"], [], {}, []),
    ],
    [
        "watches/index.html",
        *("Kinds of watch", "page", "All kinds of watch, sorted.", 2),
        *(["watch"], [], {}, []),
    ],
    [
        "leaflet-de.html",
        *("Pflege Ihrer Uhr", "page"),
        "Alle Sätze, die auf diesem Pflegeblatt stehen können, nach dem Werkstoff der Uhr und nach"
        " dem, was ihr begegnet.",
        *(2, [], [], {}, []),
    ],
]


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry[0])
def test_what_the_find_box_knows_of_a_thing(entries, entry):
    assert entries[entry[0]] == entry


def test_a_caution_is_found_by_what_is_worn_and_by_the_work_that_brings_it(entries):
    _, title, kind, summary, rank, spellings, signs, names, _ = entries[
        "cautions.html#full-caution"
    ]
    assert (title, kind, summary, rank) == ("Full caution", "caution", "danger words", 6)
    assert spellings == ["other caution name"]
    assert signs == ["wear words", "needs words", "Full hardening"]
    assert names == {"de": ["volle Warnung"]}


def test_a_mark_of_gold_comes_before_others_and_bears_its_number_in_each_language(entries):
    _, title, kind, summary, rank, spellings, _, names, _ = entries["marks/gold-750.html"]
    assert (title, kind, rank) == ("Gold 750 (18 ct)", "marks", 10)
    assert summary == "What the mark means and which alloys carry it."
    assert {"750", "gold 750", "18 ct", "18 k", "18 carat gold"} <= set(spellings)
    assert names == {"de": ["Gold 750"], "fr": ["or 750"]}


def test_another_mark_has_the_rank_of_marks(site_pages):
    found = {known.address: known.rank for known in find._marks(site_pages.knowledge)}
    assert found["marks/gold-750.html"] == 10 and found["marks/silver-925.html"] == 9
    assert mark_title(site_pages.knowledge, "silver-925") == "Silver 925"  # no carat
    assert slug("  Lever, A–Z (2) ") == "lever-a-z-2"


def test_what_is_asked_for_stands_behind_the_spellings_and_once(entries):
    """Densest: asked_for.yaml; weight and heavier: of the table itself."""
    _, _, kind, _, rank, spellings, _, names, _ = entries["tables/density-ratio.html"]
    assert (kind, rank) == ("table", 5)
    assert spellings[:2] == ["weight", "heavier"] and "densest" in spellings
    assert len(set(spellings)) == len(spellings)
    assert names["de"][0] == "Dichte" and "poids des métaux" in names["fr"]


def test_the_training_is_known_where_there_are_lessons(entries):
    assert entries["lessons/plan.html"][1:5] == [
        *("The four-week plan", "page", "Lessons, tasks and cases week by week.", 2),
    ]
    without = find._single_pages(SimpleNamespace(lessons={}))
    assert not [known for known in without if known.address.startswith("lessons/")]


def test_metals_in_contact_have_one_entry_with_words_of_their_own(entries):
    assert entries["tables/pairs.html"][1:3] == ["Metals in contact", "page"]
    assert "galvanic series" in entries["tables/pairs.html"][5]


LANGUAGES = {
    "en": Language(name="English", english="English", written=True),
    "de": Language(name="Deutsch", english="German", spelled={"ä": "ae"}, plurals=["n"]),
    "de-CH": Language(name="Deutsch (Schweiz)", english="Swiss German", region_of="de"),
}


def entry(title, summary="", spellings=(), signs=(), names=None, texts=()):
    """An entry of the find box at an address of its title."""
    address = f"{title.lower().replace(' ', '-')}.html"
    return [address, title, "part", summary, 8, [*spellings], [*signs], names or {}, [*texts]]


def test_columns_are_a_line_an_entry_whatever_a_text_holds():
    """A stroke parts spellings and a new line parts entries, so neither is left in a text."""
    found = [
        entry("Two\nlines", "a\nb", ["x|y", "z"]),
        entry("Second thing", "c"),
    ]
    index = find_index.index(found, LANGUAGES, frozenset({"second-thing"}))
    assert index["titles"] == "Two lines\nSecond thing"
    assert index["summaries"] == "a b\nc"
    assert index["spellings"] == "x/y|z\n"
    assert index["kinds"] == "part\npart"
    assert index["ranks"] == [8, 8]
    assert index["drawn"] == [1]
    assert index["languages"] == {"en": "English", "de": "Deutsch", "de-CH": "Deutsch (Schweiz)"}
    assert index["others"] == ["de"]


def test_words_that_an_entry_shows_are_not_told_again():
    """Of signs and texts only the words that title, spellings and summary lack; of texts none that
    so many pages hold that it tells nothing, and none of two letters unless it is a number."""
    found = [
        entry(
            "Pinion", "Turns the wheel", ["cane"], ["a worn leaf"], None, ["steel leaf to hold 12"]
        ),
        *(entry(f"Other {n}", texts=["steel"]) for n in range(19)),
        *(entry(f"More {n}") for n in range(20)),
    ]
    told = find_index._not_shown([find_index._held(each) for each in found])
    assert told["signs"] == {"worn": {0}, "leaf": {0}}
    assert told["texts"] == {"hold": {0}, "12": {0}}


def test_a_word_of_one_page_in_twenty_still_tells():
    held = [find_index._held(entry(f"Thing {n}", texts=["brittle"] * (n < 2))) for n in range(40)]
    assert find_index._not_shown(held)["texts"] == {"brittl": {0, 1}}
    held = [find_index._held(entry(f"Thing {n}", texts=["brittle"] * (n < 3))) for n in range(40)]
    assert find_index._not_shown(held)["texts"] == {}


def test_a_page_of_many_things_tells_where_each_stands():
    found = [entry("Pinion"), entry("Wheel")]
    places = {"tables/hardness.html": {"wheel.html": "#wheel", "gone.html": "#gone"}}
    assert find_index.index(found, LANGUAGES, places=places)["places"] == {
        "tables/hardness.html": {1: "#wheel"}
    }
    assert find_index.index(found, LANGUAGES)["places"] == {}


def test_words_that_mean_the_same_are_compared_as_words_are():
    index = find_index.index([], LANGUAGES, same=[["Plating", "plated", "coats"]])
    assert index["same"] == [["coat", "plat"]]


def test_what_a_word_leans_to_in_all_languages():
    leaning = Leaning(words=["how heavy"], names={"de": ["wie schwer"]}, kinds=["table"])
    told = find_index.index([], LANGUAGES, leanings={"weight": leaning})["leanings"]
    assert [(each["id"], each["words"], each["kinds"]) for each in told] == [
        ("weight", ["how heavy", "wie schwer"], ["table"])
    ]


def test_names_of_a_language_with_its_regions_and_without_what_the_index_has():
    """PINION reads like the English name and Lantern like a spelling: neither is told again."""
    german = ["Trieb", "PINION", "Lantern", "Zahntrieb"]
    names = {"de": german, "de-CH": ["Ritzel|Trieb"], "fr": ["pignon"]}
    found = [
        entry("Pinion", "", ["lantern"], ["Trieb"], names),
        entry("Wheel", names={"de": ["Rad"]}),
    ]
    told = find_index.names(found, LANGUAGES, "de")
    assert told["names"] == {"de": "Trieb|Zahntrieb\nRad", "de-CH": "Ritzel/Trieb\n"}
    assert told["plurals"] == ["n"]
    assert told["spelled"] == [["ae", "a"]]
    assert told["not_asked"] == []


def test_each_script_is_one_assignment_that_no_tag_can_end():
    scripts = find_index.scripts([entry("A </script> b")], LANGUAGES)
    assert list(scripts) == ["assets/find-index.js", "assets/find-names-de.js"]
    index, german = scripts.values()
    assert index.startswith("window.benchFindIndex={") and index.endswith("};\n")
    assert "</script>" not in index and "<\\/script>" in index
    assert german.startswith(
        'window.benchFindNames=window.benchFindNames||{};window.benchFindNames["de"]={'
    )
    value = json.loads(german.split('["de"]=')[1].rstrip().removesuffix(";"))
    assert value["names"] == {"de": "", "de-CH": ""}


@pytest.mark.parametrize(
    ("word", "stem"),
    [
        ("cue", "cue"),  # three letters stay
        ("dies", "dy"),
        ("gas", "gas"),
        ("glass", "glass"),
        ("glasses", "glass"),
        ("boxes", "box"),
        ("brushes", "brush"),
        ("wire", "wir"),
        ("feed", "feed"),
        ("ring", "ring"),  # no vowel would be left
        ("fitted", "fit"),
        ("filling", "fill"),  # a double l stays
        ("demagnetization", "demagnetisation"),
        ("a2b4", "a2b4"),
    ],
)
def test_a_word_as_it_is_compared(word, stem):
    """English endings: common grammar."""
    assert find_index._stem(word) == stem
