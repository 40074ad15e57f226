"""Pages that work with a script, as they stand before it runs: what may be chosen, in which order,
with which cautions; the drawn map with its lists; the owner's sentences. Marks are those of ISO
9202 and of common practice, which stand in vocabulary/marks.yaml."""

import re

import pytest

from generator.site import leaflet
from generator.site.pages import tools
from generator.site.pages.watch_sheet import watch_sheet_page
from tests.shown import by_section, read


@pytest.fixture(scope="module")
def identify(site_pages):
    """The page that asks what a metal is, of the shipped records."""
    return tools.identify_page(site_pages).body


def fields(body: str) -> list[str]:
    """What is asked, in order: headings of choices and labels of what is typed."""
    found = re.findall(r"<legend>(.*?)</legend>|<label for=[^>]*>(.*?)</label>", body)
    return [heading or label for heading, label in found]


def test_what_is_asked_of_an_unknown_metal_from_a_look_to_a_mark(identify):
    assert fields(identify) == [
        *("Bare or coated", "Colour", "Stamped mark", "Film or rust", "A magnet"),
        *("Weighed in water", "weight in air", "weight in water", "water temperature"),
        *("smallest step of the balance", "A file on a hidden place", "Sparks"),
    ]
    inputs = re.findall(
        r'<input id="see-(\w+)".*?value="(.*?)"><span class="unit">(.*?)<', identify
    )
    assert inputs == [
        *(("in_air", "", "g"), ("in_water", "", "g")),
        *(("warmth", "20", "°C"), ("step", "0.01", "g")),
    ]


@pytest.mark.parametrize(
    ("name", "answers"),
    [
        ("magnet", ["not known", "Not attracted", "Barely attracted", "Strongly attracted"]),
        ("file", ["not known", "Bites easily", "Bites with effort", "Skates off"]),
        ("tarnish", ["not known", "Bright, no film", "Brown or black film", "Green", "Rust"]),
        ("spark", ["not known", "Many, branched", "Few, short and red", "Brilliant white", "None"]),
    ],
)
def test_each_question_may_be_left_open(identify, name, answers):
    said = re.findall(rf'name="{name}" value="[^"]*"(?: checked)?> <span>(.*?)</span>', identify)
    assert said == answers


def test_a_mark_stands_once_with_the_metals_it_may_stand_for(invented, site_pages):
    assert tools.mark_options(invented.knowledge) == [
        ("750", "750: gold (18 ct)"),
        ("585", "585: gold (14 ct)"),
    ]
    marks = dict(tools.mark_options(site_pages.knowledge))
    assert list(marks) == sorted(marks, key=float, reverse=True)
    assert marks["950"] == "950: platinum or palladium"
    assert marks["875"] == "875: gold (21 ct) or silver"
    assert marks["999"] == "999: gold (24 ct), platinum, palladium or silver"


def test_where_no_metal_has_a_density_nobody_is_asked_to_weigh(invented):
    weigh = invented.signs["weigh"]
    invented.signs["weigh"] = []
    try:
        assert tools._weighing(invented) == []
    finally:
        invented.signs["weigh"] = weigh


def test_tests_gentlest_first_with_what_they_risk(identify):
    """A look and a magnet leave nothing, a file and a stone leave a mark; what only measures, like
    a Vickers tester, tells no metals apart. A file on beryllium copper makes dust that harms."""
    tests = re.findall(
        r'<section class="test" id="test-(\w+)">(.*?)</section>', identify, re.DOTALL
    )
    assert [key for key, _ in tests] == ["look", "magnet", "weigh", "file", "stone"]
    assert [key for key, text in tests if "This leaves a mark." in text] == ["file", "stone"]
    told = dict(tests)
    assert read(told["look"])[0].startswith("1. Look at the colour Daylight, a loupe")
    assert "beryllium-dust" in told["file"] and "cautions" not in told["look"]
    assert "processes/file-and-hardness-test.html" in told["file"]
    assert "processes" not in told["look"]
    before = re.search(r'aria-label="Cautions for the file".*?</div>', identify, re.DOTALL)[0]
    assert "#beryllium-dust" in before and "#lead-dust" in before
    wheel = re.search(r'aria-label="Cautions for sparks".*?</div>', identify, re.DOTALL)[0]
    assert "#magnesium-fire" in wheel and "#titanium-fire" in wheel


def test_what_each_would_show(site_pages):
    """Titanium pulls no magnet and keeps bright; sterling tarnishes; on a coating the film is that
    of the metal below: facts of the trade."""
    rows = {
        key: tools._signs_row(site_pages, signs)
        for signs in site_pages.signs["materials"]
        if (key := signs["id"]) in ("titanium-grade-5", "silver-925", "rhodium-plate", "steel-o1")
    }
    titanium, silver = rows["titanium-grade-5"], rows["silver-925"]
    assert (titanium.magnet, titanium.tarnish, titanium.marks) == (
        *("not attracted", "bright, no film"),
        "",
    )
    assert (silver.colour, silver.marks, silver.sort) == ("white", "925", "10.36")
    assert "brown or black film" in silver.tarnish
    assert rows["rhodium-plate"].tarnish == "what lies below"
    assert rows["steel-o1"].magnet == "strongly attracted" and "rust" in rows["steel-o1"].tarnish


def test_the_map_has_the_outside_and_the_inside_each_with_its_zones(site_pages):
    body = tools.map_page(site_pages).body
    sides = by_section(body)
    assert list(sides) == ["top", "outside", "inside"]
    zones = site_pages.knowledge.words("zones")
    for side, name in (("exterior", "outside"), ("movement", "inside")):
        links = sides[name][1]
        for zone, parts in site_pages.zones.items():
            here = zones[zone].side == side
            assert (f"zones/{zone}.html" in links) is here, zone
            assert all((f"parts/{part}.html" in links) is here for part in parts), zone


def test_the_leaflet_offers_each_field_with_what_stands_for_nothing(site_pages):
    body = tools.leaflet_page(site_pages).body
    chosen = re.findall(r'<select id="leaflet-(\w+)" [^>]*><option value="">(.*?)</option>', body)
    assert chosen == [
        *(("case", "not said"), ("bracelet", "not said"), ("crystal", "not said")),
        ("plating", "none"),
    ]
    case = re.search(r'<select id="leaflet-case".*?</select>', body, re.DOTALL)[0]
    usual, suits = re.findall(r'<optgroup label="(usual|would suit)">', case)
    assert (usual, suits) == ("usual", "would suit")
    assert case.index('value="stainless-316l"') < case.index('label="would suit"')
    water = re.search(r'<select id="leaflet-water".*?</select>', body, re.DOTALL)[0]
    assert re.findall(r'value="(\d)">(.*?)<', water) == [
        ("0", "Not water resistant, or not known"),
        ("1", "Water resistant, tested within the year"),
        ("2", "Marked diver&#39;s watch (ISO 6425), tested within the year"),
    ]


def test_without_scripts_every_sentence_stands_by_family_and_hazard(invented_pages):
    """Only families and records that have one; in French what nobody translated stays English."""
    english, french = (by_section(invented_pages[f].body) for f in ("leaflet.md", "leaflet-fr.md"))
    assert english["materials"][0].endswith(
        "Carbon and tool steels Full steel owner words of steel"
    )
    assert "Brasses" not in english["materials"][0]
    assert (
        french["materials"][0]
        == "Acier au carbone et acier à outils Full steel owner words of steel"
    )
    assert french["hazards"][0] == "Full damp owner words of damp Test sea Rinse it."
    assert list(french) == ["top", "always", "materials", "hazards"]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Brass, CuZn37", "Brass"),
        ("Stainless steel (316L)", "Stainless steel"),
        ("Ruby", "Ruby"),
        ("A(b)", "A(b)"),
    ],
)
def test_what_a_customer_calls_a_material_has_no_grade(name, said):
    assert leaflet._before_grade(name) == said


def test_a_customer_hears_the_name_of_a_family(site_pages):
    """316L is stainless steel to a customer, in German too."""
    knowledge = site_pages.knowledge
    assert leaflet.customer_name(knowledge, "stainless-316l") == "stainless steel"
    assert leaflet.customer_name_in(knowledge, "stainless-316l", "de") == "Edelstahl"


def test_the_watch_in_hand_offers_kinds_activities_and_both_sides_of_the_drawing(invented):
    body = watch_sheet_page(invented).body
    kinds = re.search(r'<select name="kind">(.*?)</select>', body, re.DOTALL)[1]
    assert re.findall(r'value="([\w-]+)">(.*?)<', kinds) == [("full-watch", "Full watch")]
    does = re.findall(r'name="does" value="(\w+)"> <span>(.*?)<', body)
    assert does == [("swimming", "Swimming")]
    assert body.index(">Outside<") < body.index(">Inside<")
    assert "watches/full-watch.html" in body
