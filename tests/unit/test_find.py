"""The find box's index: words as they are compared, places as they are told, sources and names cut
into pages."""

from generator.commands.build import Timings, _ready
from generator.records.models import Language
from generator.site import find, find_index
from generator.site.page import slug
from generator.site.pages.lists import _in_groups
from generator.site.render import render
from generator.site.view import SOURCES_A_PAGE, source_pages
from tests.conftest import FULL, ROOT, SMALL, make_buildable
from tests.finding import Finder

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
    assert find_index.squash("Weißgold") == find_index.squash("WEISSGOLD") == "weissgold"
    assert find_index.squash("1.4404 (X2CrNiMo)") == "14404x2crnimo"


def test_names_in_other_languages_are_found_by_their_words():
    found = [
        ["a.html", "Spring", "part", "", 6, [], [], {"de": ["gebläute Feder"]}, []],
        ["b.html", "Steel", "family", "", 9, ["springy"], [], {"de": ["Stahl"]}, []],
    ]
    german = Language(name="Deutsch", english="German", spelled={"ä": "ae"}, plurals=["n"])
    finder = Finder(find_index.as_script(found, {"de": german}))
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
    assert index["entries"] == [
        ["a.html", "Blue steel", "work", "Heat it. Then wait.", 6, ""],
        ["b.html", "Steel", "family", "Iron.", 9, "de\tStähle"],
    ]
    assert (index["languages"], index["spelled"]) == ({"de": "Deutsch"}, [["ae", "a"]])
    assert "und" in index["not_asked"].split()
    assert (index["names"], index["of"]) == ("blueing bluesteel steel", [0, 0, 1])
    # title 1, spelling 2, summary 4, sign 8; told as the letter that many after f. "blueing" is
    # "blue" too: 1 + 2. What stands in the text of half the pages tells nothing and is left out.
    # Names in other languages are taken apart in the browser.
    told = dict(zip(index["words"].split(), index["places"].split(), strict=True))
    assert told == {
        "blu": "0i1n",
        "heat": "0j",
        "iron": "1j",
        "patch": "1n",
        "steel": "0g1g",
        "then": "0j",
        "wait": "0j",
    }


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


def test_every_page_is_known_but_those_that_are_parts_of_a_list(tmp_path):
    """ "matrix", "lessons" and "metals in contact" lead somewhere."""
    root = make_buildable(tmp_path / "p", SMALL, FULL)
    ready = _ready(root, Timings(), ())
    drawn = {page.file.removesuffix(".md") for share in render(ready.site) for page in share}
    site = ready.site
    found = find.entries(site.knowledge, site.view, site.tables, list(site.families))
    known = {address.partition(".html")[0] for address, *_ in found}
    parts_of = ("names/", "sources/", "poster-")  # of A to Z, of the sources, of the pictures
    assert {page for page in drawn - known if not page.startswith(parts_of)} == set()
    titles = {title for _, title, *_ in found}
    assert {"Lessons", "Metals in contact", "Hazards and materials"} <= titles


def test_what_is_asked_for_leads_to_pages_that_there_are(knowledge, site_pages):
    """Every line of `asked_for.yaml` belongs to an entry of the find box."""
    site = site_pages
    found = find.entries(knowledge, site.view, site.tables, list(site.families))
    places = {slug(entry[0].replace(".html", "")) for entry in found}
    assert set(knowledge.words("asked_for")) - places == set()
