"""The find box's index: words as they are compared, places as they are told, sources and names cut
into pages."""

from generator.records.models import Language, Leaning
from generator.site import find, find_index
from generator.site.page import slug
from generator.site.pages.lists import _in_groups
from generator.site.view import SOURCES_A_PAGE, source_pages
from tests.conftest import ROOT
from tests.finding import SEARCH, Finder

TEMPLATES = ROOT / "site_src" / "templates"


def test_words_and_names_as_they_are_compared():
    assert find_index.words("X2 CrNiMo 17-12-2; 1,4404 à demagnetizing the Blue") == [
        "x2",
        "crnimo",
        "17",
        "12",
        "2",
        "14404",
        "a",
        "demagnetis",
        "the",
        "blu",
    ]
    assert find_index.words("patches, hardness, batteries") == ["patch", "hardness", "battery"]
    assert len(set(find_index.words("plate plates plated plating"))) == 1
    assert find_index.words("spring, springs, fitting, fitted") == ["spring"] * 2 + ["fit"] * 2
    assert find_index.words("Zifferblattfüße, cœur") == ["zifferblattfuss", "coeur"]
    assert find_index.words("diver's won't l'acier") == ["diver", "wont", "l", "acier"]
    assert find_index.squash("Weißgold") == find_index.squash("WEISSGOLD") == "weissgold"
    assert find_index.squash("1.4404 (X2CrNiMo)") == "14404x2crnimo"


def test_names_in_other_languages_are_found_by_their_words():
    found = [
        ["a.html", "Spring", "part", "", 6, [], [], {"de": ["gebläute Feder"]}, []],
        ["b.html", "Steel", "family", "", 9, ["springy"], [], {"de": ["Stahl"]}, []],
    ]
    german = Language(name="Deutsch", english="German", spelled={"ä": "ae"}, plurals=["n"])
    finder = Finder(find_index.scripts(found, {"de": german}))
    for query, hit in (("feder", "a"), ("Federn", "a"), ("geblaeute", "a"), ("stahl", "b")):
        assert finder.hits(query)[:1] == [f"{hit}.html"], query


def test_the_index_of_two_entries():
    found = [
        [
            "a.html",
            "Blue steel",
            "work",
            "Heat it. Then wait.",
            6,
            ["blueing"],
            [],
            {},
            ["In brass pans."],
        ],
        ["b.html", "Steel", "family", "Iron.", 9, [], ["blue patch"], {"de": ["Stähle"]}, []],
    ]
    german = Language(name="Deutsch", english="German", spelled={"ä": "ae"}, not_asked=["und"])
    index = find_index.index(found, {"de": german})
    assert index["addresses"] == "a.html\nb.html"
    assert (index["titles"], index["kinds"]) == ("Blue steel\nSteel", "work\nfamily")
    assert (index["summaries"], index["ranks"]) == ("Heat it. Then wait.\nIron.", [6, 9])
    assert (index["spellings"], index["languages"]) == ("blueing\n", {"de": "Deutsch"})
    # Of signs and texts only what the entry does not show: "blue patch" of steel, in order, "patch"
    # sharing no letter with "blu". What stands in the text of half the pages tells nothing.
    assert index["signs"] == ["AbluApatch", "1 1"]
    assert index["texts"] == ["", ""]
    assert find_index.names(found, {"de": german}, "de") == {
        "names": {"de": "\nStähle"},
        "plurals": [],
        "not_asked": ["und"],
        "spelled": [["ae", "a"]],
    }


def test_words_are_told_by_what_differs_and_places_by_their_distance():
    """By hand: of 64 low and 26 high digits, 63 is the last low one, 64 = 1 * 64 + 0, and
    1728 = 27 * 64 + 0, 27 = 1 * 26 + 1; "#" is the high digit of 1."""
    packed = find_index._packed({"cased": {0, 64, 129}, "case": {63}, "dial": {1728}})
    assert packed == ["AcaseEdAdial", "_ 0_#0 ##0"]
    assert len(find_index.LOW) == 64 and len(find_index.HIGH) == 26


def test_a_name_made_of_words_of_the_index_tells_that_another_language_may_be_meant():
    """ "or rouge" is red gold; "or" is a little word and rouge a paste for polishing."""
    found = [
        ["a.html", "Red gold", "materials", "", 8, [], [], {"fr": ["or rouge", "Red Gold"]}, []],
        ["b.html", "Polish", "work", "With rouge.", 6, [], [], {"fr": ["polir"]}, []],
    ]
    french = Language(name="français", english="French")
    assert find_index.index(found, {"fr": french})["shared"] == ["orrouge"]
    finder = Finder(find_index.scripts(found, {"fr": french}))
    assert finder.hits("or rouge")[0] == "a.html"
    assert finder.hits("rouge")[0] == "b.html"


def test_an_english_word_is_no_word_of_another_language():
    """French "pile" is a cell: who types "pile of screws" on an English device gets screws."""
    found = [
        ["a.html", "Cell", "parts", "", 8, [], [], {"fr": ["vis"]}, []],
        ["b.html", "Pile of screws", "parts", "vis", 8, [], [], {}, []],
    ]
    french = Language(name="français", english="French")
    scripts = find_index.scripts(found, {"fr": french})
    assert Finder(scripts).hits("pile screws vis") == ["b.html"]
    assert Finder(scripts, ["fr"]).hits("vis")[0] == "a.html"


def _named(address, title, kind, *spellings, rank=6):
    return [address, title, kind, "", rank, list(spellings), [], {}, []]


KINDS = [
    _named("gold", "Gold alloys", "family", "gold"),
    _named("steel", "Carbon steels", "family", "steel"),
    _named("aluminium", "Aluminium alloys", "family", "aluminium"),
    _named("brass", "Brasses", "family", "brass"),
    _named("nickel-silver", "Nickel silvers", "family", "nickel silver"),
    _named("solder", "Soft solder", "materials"),
    _named("crown", "Crown", "parts"),
    _named("lead", "Lead in dust", "caution", "lead"),
    _named("585", "Gold 585", "marks", "585"),
    _named("anneal", "Annealing brass", "work"),
    _named("heat", "Brass softens", "sayings", "soft brass"),
    _named("g-to-dwt", "Grams to pennyweights", "calculations", "g to dwt"),
    _named("dwt-to-g", "Pennyweights to grams", "calculations", "dwt to g"),
    _named("compare", "Side by side", "page"),
    _named("identify", "Which is it", "page"),
    _named("pairs", "Metals in contact", "page"),
]
METALS = ["materials", "family"]
LEANS = {
    "choice": Leaning(
        words=["or"],
        kinds=METALS,
        things=2,
        between=True,
        page="compare",
        without=["parts"],
        unless=["what"],
    ),
    "what": Leaning(words=["is it"], kinds=METALS, things=1, page="identify"),
    "touch": Leaning(words=["contact", "next to"], kinds=METALS, things=2, page="pairs"),
    "poison": Leaning(words=["lead in"], kinds=["caution"], sure=True),
    "convert": Leaning(words=["to"], kinds=["calculations"], things=2, sure=True),
    "for": Leaning(words=["or"], kinds=["parts"], things=1),
}
# What is asked, and the page that answers it: by hand, from what the leanings above say.
ASKED = {
    "gold or brass": "compare",
    "is it gold or brass": "identify",
    "crown gold or brass": "crown",  # the part's page judges both
    "aluminium steel contact": "pairs",
    "brass next to steel": "pairs",
    "nickel silver contact": "nickel-silver",  # one metal, though it has two words
    "is there lead in solder": "lead",
    "anneal brass": "anneal",
    "grams to dwt": "g-to-dwt",
    "dwt to grams": "dwt-to-g",
    "crowns": "crown",
    "croen": "crown",
}


def test_what_the_words_of_a_query_ask_for_comes_first():
    finder = Finder(find_index.scripts(KINDS, {}, leanings=LEANS))
    found = {query: finder.hits(query)[:1] for query in ASKED}
    assert {q: hit for q, hit in found.items() if hit != [ASKED[q]]} == {}


def test_a_hit_on_a_page_of_many_things_leads_to_the_thing():
    places = {"pairs": {"aluminium": "light-metal", "steel": "iron"}}
    finder = Finder(find_index.scripts(KINDS, {}, leanings=LEANS, places=places))
    assert finder.place("aluminium steel contact") == "#light-metal"
    assert finder.place("steel next to aluminium") == "#iron"
    assert finder.place("contact") == ""


def test_a_long_summary_is_cut_at_a_word():
    assert find_index.shortened("Holds gold; cracks brass. At once.") == (
        "Holds gold; cracks brass. At once."
    )
    long = "Sapphire holds. " + "Brass cracks " * 20
    assert find_index.shortened(long) == "Sapphire holds."
    cut = find_index.shortened("word " * 60)
    assert cut.endswith("word …") and len(cut) <= find_index.LONGEST + 2


def test_neighbours_go_together_up_to_the_limit():
    assert _in_groups([("a", 3), ("b", 2), ("c", 6), ("d", 9), ("e", 1)], 6) == [
        ["a", "b"],
        ["c"],
        ["d"],
        ["e"],
    ]


def test_every_source_has_its_place_on_one_page_of_its_kind(knowledge):
    pages = source_pages(knowledge)
    assert sorted(key for keys in pages.values() for key in keys) == sorted(knowledge.sources)
    assert max(map(len, pages.values())) <= SOURCES_A_PAGE
    for address, keys in pages.items():
        assert {knowledge.sources[k].kind for k in keys} == {
            address.removeprefix("sources/").removesuffix(".html").rstrip("-0123456789")
        }, address


def test_every_page_is_known_but_those_that_are_parts_of_a_list(invented, invented_pages):
    """ "matrix", "lessons" and "metals in contact" lead somewhere, as does another name of a
    record."""
    drawn, site = {file.removesuffix(".md") for file in invented_pages}, invented
    found = find.entries(site.knowledge, site.view, site.tables, list(site.families))
    known = {address.partition(".html")[0] for address, *_ in found}
    parts_of = ("names/", "sources/", "poster-")  # of A to Z, of the sources, of the pictures
    assert {page for page in drawn - known if not page.startswith(parts_of)} == set()
    titles = {title for _, title, *_ in found}
    spelled = {title: spellings for _, title, _, _, _, spellings, *_ in found}
    assert "other steel name" in spelled["Full steel"]
    assert {"Lessons", "Metals in contact", "Hazards and materials"} <= titles


def test_what_is_asked_for_leads_to_pages_that_there_are(knowledge, site_pages):
    """Every line of `asked_for.yaml` belongs to an entry of the find box, and a family has its
    other names (German silver for nickel silver, cemented carbide for hard metal: common trade
    names)."""
    site = site_pages
    found = find.entries(knowledge, site.view, site.tables, list(site.families))
    places = {slug(entry[0].replace(".html", "")) for entry in found}
    assert set(knowledge.words("asked_for")) - places == set()
    spelled = {address: spellings for address, _, _, _, _, spellings, *_ in found}
    assert "German silver" in spelled["families/nickel-silver.html"]
    assert "cemented carbide" in spelled["families/hard-metal.html"]


def test_no_script_of_the_find_box_is_over_450_lines():
    lengths = {p.name: len(p.read_text(encoding="utf-8").splitlines()) for p in SEARCH}
    assert len(lengths) == 3 and max(lengths.values()) <= 450, lengths
