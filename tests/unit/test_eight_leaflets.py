"""Eight invented watches, each leaflet read as its owner would: nothing contradicts, nothing is
said twice or of something that the watch does not have, and no trade shorthand.

The watches, the words that must and must not stand, and the pairs that contradict each other were
written down before the leaflets were looked at. The page's own script puts them together.
"""

import itertools
import json
import re
from pathlib import Path

import pytest
from py_mini_racer import MiniRacer

from generator.records.languages import offered
from generator.site.leaflet import WATER, data, data_in, label, limits
from generator.site.view import View
from tests.conftest import ROOT

SCRIPT = Path(__file__).parents[2] / "site_src" / "pages" / "assets" / "leaflet.js"

# name: (materials by field, mark for water, activities, must stand, must not stand)
WATCHES = {
    "diver": (
        {"case": "stainless-316l", "bracelet": "silicone-seal", "crystal": "sapphire-synthetic"},
        "divers",
        ["sea-swimming", "diving", "pool-swimming", "creams", "sun"],
        ["Rinse the watch in fresh water after every swim", "sapphire"],
        [
            *("leather", "gold", "silver", "Do not dive", "Take this watch off before"),
            # what cracks over pools is hard spring bars, not a soft case of this steel
            "Pool water is hard on: stainless steel",
        ],
    ),
    "gold-plated watch of the 1950s": (
        {
            "case": "brass-cuzn37",
            "plating": "gold-flash",
            "bracelet": "leather-strap",
            "crystal": "acrylic-pmma",
        },
        "none",
        ["washing", "sport", "perfume", "scratches", "magnets"],
        [
            "Take this watch off before you wash your hands",
            "thin gold plating",
            "cannot be polished",
        ],
        [
            "does no harm to a watch",
            "Brass darkens",
            "titanium",
            "steel",
            "Sweat and knocks are hard on: brass",
        ],
    ),
    "quartz watch": (
        {
            "case": "stainless-304",
            "bracelet": "leather-strap",
            "crystal": "glass-mineral",
        },
        "resistant",
        ["battery", "washing", "heavy-work", "sun"],
        [
            "Keep cells away from children",
            "go to hospital at once",
            "Soap and water are hard on: leather",
        ],
        [
            "Take this watch off before you wash",
            "gold",
            "silver",
            "titanium",
            "Sweat or a knock can ruin: leather",
        ],
    ),
    "red gold dress watch": (
        {"case": "gold-18-red-5n", "bracelet": "leather-strap", "crystal": "sapphire-synthetic"},
        "resistant",
        ["diving", "pool-swimming", "sport", "scratches"],
        ["Do not dive with this watch", "Not for the pool", "red gold"],
        [
            "after every swim in the sea",
            "A leather strap stays out of the sea",
            "on steel",
            "Plated",
        ],
    ),
    "titanium watch": (
        {
            "case": "titanium-grade-5",
            "bracelet": "titanium-grade-5",
            "crystal": "sapphire-synthetic",
        },
        "resistant",
        ["sea-swimming", "sport", "nickel-allergy", "dust"],
        ["Case and bracelet or strap: titanium", "free of nickel"],
        [
            "leather",
            "gold",
            "silver",
            "Stainless steel contains nickel",
            "make your skin react: titanium",
        ],
    ),
    "silver pocket watch": (
        {"case": "silver-925", "crystal": "glass-mineral"},
        "none",
        ["storage", "washing", "scratches", "heavy-work"],
        ["anti-tarnish strip", "Take this watch off before you wash"],
        ["does no harm to a watch", "leather strap", "steel", "gold", "bracelet"],
    ),
    "nickel white gold watch": (
        {
            "case": "gold-18-white-nickel",
            "bracelet": "leather-strap",
            "crystal": "sapphire-synthetic",
            "plating": "rhodium-plate",
        },
        "resistant",
        ["nickel-allergy", "washing", "pool-swimming"],
        ["contains nickel and can make your skin react", "nickel-free back", "rhodium"],
        ["silver", "steel contains", "Take this watch off before"],
    ),
    "black steel watch of a builder": (
        {
            "case": "stainless-316l",
            "plating": "dlc-film",
            "bracelet": "silicone-seal",
            "crystal": "sapphire-synthetic",
        },
        "resistant",
        ["heavy-work", "dust", "sport", "magnets"],
        ["black carbon coating", "cannot be polished out", "Take it off for hammering"],
        ["polished out a few times", "leather", "gold", "silver"],
    ),
}
# Two sentences that no owner may find on one sheet.
CONTRADICTIONS = [
    ("Take this watch off before you swim", "after every swim"),
    ("Take this watch off before you wash", "Washing hands does no harm"),
    ("Do not dive with this watch", "after every swim in the sea"),
    ("cannot be polished out", "polished out a few times"),
    ("do not polish it", "can be brushed or polished"),
    ("Take it off for the pool", "rinsed in tap water afterwards"),
    ("free of nickel", "make your skin react"),
    ("Not for the sea", "a metal one may go in"),
]
SHORTHAND = re.compile(
    r"\b(NBR|FKM|VMQ|PMMA|POM|PTFE|3Y-TZP|DLC|PVD|CuZn\d*|316L|304|904L"
    r"|1\.\d{4}|grade \d|[2-5]N|HV|MPa)\b"
    r"|wavelength|interval of service|Fails:|Suffers"
)


@pytest.fixture(scope="module")
def content(knowledge, verdicts):
    return data(knowledge, View(knowledge, ROOT / "site_src" / "templates", {}), verdicts)


@pytest.fixture(scope="module")
def put_together(knowledge, verdicts, content):
    """What the page's script makes of a watch, in the language of the records or in another: blocks
    of heading and lines."""
    engine = MiniRacer()
    engine.eval(SCRIPT.read_text(encoding="utf-8"))
    engine.eval(f"const data = {json.dumps(content)}")
    tongues = {tag: data_in(knowledge, verdicts, tag) for tag in offered(knowledge)}
    engine.eval(f"const tongues = {json.dumps(tongues)}")
    activities = list(knowledge.words("activities"))

    def made(watch, tag=""):
        materials, water, does, _, _ = WATCHES[watch]
        chosen = {
            "materials": [[f, label(knowledge, f), key] for f, key in materials.items()],
            "plated": "plating" in materials,
            "water": list(WATER).index(water),
            "does": [activities.index(a) for a in does],
        }
        call = f"benchOwner.blocks(data, {json.dumps(chosen)}, tongues[{json.dumps(tag)}])"
        return json.loads(engine.eval(f"JSON.stringify({call})"))

    return made


@pytest.fixture(scope="module")
def leaflets(put_together):
    return {
        watch: [
            (heading["said"], [line["said"] for line in lines])
            for heading, lines in put_together(watch)
        ]
        for watch in WATCHES
    }


@pytest.fixture(scope="module")
def always(knowledge):
    return limits(knowledge)


def text_of(always, blocks):
    return "\n".join([*always, *(line for heading, lines in blocks for line in (heading, *lines))])


@pytest.mark.parametrize("watch", WATCHES)
def test_what_must_and_must_not_stand(leaflets, always, watch):
    text = text_of(always, leaflets[watch]).casefold()
    _, _, _, must, must_not = WATCHES[watch]
    assert [words for words in must if words.casefold() not in text] == []
    assert [words for words in must_not if words.casefold() in text] == []


@pytest.mark.parametrize("watch", WATCHES)
def test_nothing_contradicts_itself(leaflets, always, watch):
    text = text_of(always, leaflets[watch]).casefold()
    found = [p for p in CONTRADICTIONS if all(words.casefold() in text for words in p)]
    assert found == []


@pytest.mark.parametrize("watch", WATCHES)
def test_no_sentence_stands_twice(leaflets, watch):
    """Not word for word, and not with the same first four words."""
    lines = [line for _, told in leaflets[watch] for line in told]
    opened = [" ".join(line.casefold().split()[:4]) for line in lines]
    assert [a for a, b in itertools.combinations(opened, 2) if a == b] == []


@pytest.mark.parametrize("watch", WATCHES)
def test_headings_are_customers_words_and_none_is_empty(leaflets, always, watch):
    assert all(told for _, told in leaflets[watch])
    assert SHORTHAND.search(text_of(always, leaflets[watch]).replace("ISO 6425", "")) is None
    headings = [heading for heading, _ in leaflets[watch]]
    assert len(headings) == len(set(headings))


def test_every_name_and_word_belongs_to_something(knowledge):
    known = {*knowledge.materials, *knowledge.words("families")}
    assert set(knowledge.words("customer_names")) <= known
    for activity in knowledge.words("activities").values():
        assert all(
            line is None or line.count("{}") == 1 for line in (activity.fails, activity.suffers)
        )


def test_no_offered_material_shows_shorthand(content):
    shown = {m: entry["name"] for m, entry in content["materials"].items()}
    assert {m: name for m, name in shown.items() if SHORTHAND.search(name)} == {}


# The same choice of sentences in another language: one word of each watch's text, written down
# before its leaflets were looked at; common words of both languages.
IN_OTHERS = {
    "diver": ("Saphir", "saphir"),
    "gold-plated watch of the 1950s": ("Vergoldung", "dorure"),
    "quartz watch": ("Leder", "cuir"),
    "red gold dress watch": ("Rotgold", "or rouge"),
    "titanium watch": ("Gehäuse und Armband: Titan", "Boîte et bracelet : titane"),
    "silver pocket watch": ("Silber", "argent"),
    "nickel white gold watch": ("Weißgold", "or gris"),
    "black steel watch of a builder": ("schwarze Kohlenstoffschicht", "carbone noir"),
}


@pytest.mark.parametrize("watch", WATCHES)
@pytest.mark.parametrize("tag", ["de", "fr"])
def test_another_language_says_the_same_with_the_same_numbers(put_together, watch, tag):
    """As many headings and lines, none left in English, no trade shorthand; digits counted here."""
    english, other = put_together(watch), put_together(watch, tag)
    assert [len(lines) for _, lines in other] == [len(lines) for _, lines in english]
    texts = [text for heading, lines in other for text in (heading, *lines)]
    assert [t["own"] for t in texts if not t.get("said")] == []
    for text in texts[1:]:
        if "ct" not in text["own"]:  # a fineness stands for the carats
            assert sorted(re.findall(r"\d+", text["said"])) == sorted(
                re.findall(r"\d+", text["own"])
            ), text
    whole = "\n".join(t["said"] for t in texts).replace("\xa0", " ")
    said = whole[:1].upper() + whole[1:]
    assert IN_OTHERS[watch][["de", "fr"].index(tag)] in said
    assert SHORTHAND.search(whole.replace("ISO 6425", "")) is None


def test_a_sentence_that_is_half_translated_stands_in_the_language_of_the_records():
    engine = MiniRacer()
    engine.eval(SCRIPT.read_text(encoding="utf-8"))
    tongue = {"said": {"Keep dry: {}.": "Trocken halten: {}."}, "names": {}}
    watch = {
        "both": "{} and {}",
        "madeOf": "{}: {}",
        "words": [],
        "hazards": [[]],
        "activities": [{"name": "Rain", "hazards": [0], "water": 0, "fails": "Keep dry: {}."}],
        "materials": {"hide": {"name": "leather", "words": [], "says": [], "worst": "4"}},
    }
    chosen = {"materials": [["bracelet", "strap", "hide"]], "water": 0, "does": [0]}

    def line():
        args = ", ".join(json.dumps(a) for a in (watch, chosen, tongue))
        return json.loads(engine.eval(f"JSON.stringify(benchOwner.blocks({args}))"))[0][1][0]

    assert line() == {"own": "Keep dry: leather."}
    tongue["names"]["hide"] = "Leder"
    assert line() == {"own": "Keep dry: leather.", "said": "Trocken halten: Leder."}


def test_every_offered_material_says_something_to_its_owner(content):
    assert [key for key, m in content["materials"].items() if not m["says"]] == []
