"""The small words that every page is made of: addresses, names, units, sources, conditions, the
mark of a workshop's own layer, a line of measurements, a sentence in another language. What is
expected was worked out by hand."""

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
from generator.records.common import Bound
from generator.records.loading import load
from generator.records.materials import Figure
from generator.records.models import When
from generator.site import layer_words, snippets, speech
from generator.site.page import Site
from generator.site.pages.part import part_page
from generator.site.speech import Speech, speeches, tidy
from generator.site.view import View, _shortened, authors, source_pages
from generator.tables import tables
from generator.verdicts.verdicts import Verdicts
from tests.conftest import ROOT, SMALL, make_root
from tests.shown import by_section, read

NBSP = "\N{NO-BREAK SPACE}"


@pytest.fixture(scope="module")
def view(invented):
    return invented.view


@pytest.mark.parametrize(
    ("kind", "key", "address"),
    [
        ("material", "full-steel", "materials/full-steel.html"),
        ("process", "full-harden", "processes/full-harden.html"),
        ("watch", "full-watch", "watches/full-watch.html"),
        ("part", "full-pinion", "parts/full-pinion.html"),
        ("part", "full-pinion/old-watch", "parts/full-pinion.html#in-old-watch"),
        ("caution", "full-caution", "cautions.html#full-caution"),
        ("first aid", "full-aid", "first-aid.html#full-aid"),
        ("family", "brass", "families/brass.html"),
        ("zone", "case", "zones/case.html"),
        ("mark", "gold-750", "marks/gold-750.html"),
        ("table", "hardness", "tables/hardness.html"),
    ],
)
def test_the_address_of_a_thing(view, kind, key, address):
    assert view.address(kind, key) == address


@pytest.mark.parametrize(
    ("kind", "key", "name"),
    [
        ("material", "full-steel", "Full steel"),
        ("part", "full-pinion/old-watch", "Full pinion setting name"),
        ("caution", "full-caution", "Full caution"),
        ("first aid", "full-aid", "Full first aid"),
        ("family", "brass", "Brasses"),
        ("zone", "crown", "Crown and pushers"),
        ("table", "hardness", "Hardness by state"),
        ("table", "pairs", "Metals in contact"),
        ("lesson", "full-lesson", "Full lesson"),
    ],
)
def test_the_name_of_a_thing(view, kind, key, name):
    assert view.name(kind, key) == name


def test_a_thing_in_one_line(view):
    assert view.summary_of("zone", "train") == "Wheels and pinions between barrel and escapement."
    assert view.summary_of("family", "precious-plating") == "precious plating"  # has no meaning
    assert view.summary_of("part", "test-case") == "An invented case."
    assert view.summary_of("family", "brass").startswith("Copper and zinc")


def test_a_unit_as_readers_see_it(view):
    assert [view.unit(u) for u in ("1", "", "g/cm3", "degC")] == ["", "", "g/cm³", "°C"]
    assert view.property_unit("hardness") == "HV"


def test_a_source_in_full_and_in_few_words(view):
    assert view.source_text("full-book") == (
        "Full author, Full book, full number, Full publisher, full year, full place"
    )
    assert view.source_text("test-sheet") == "Invented sheet, Nobody"
    assert view.source_text("memory") == ""
    assert view.source_address("full-law") == "sources/law.html#full-law"
    assert view.source_address("memory") == "sources.html#memory"
    assert view.standard("iso-9202") == "ISO 9202"
    assert view.standard("full-book") == view.standard("memory") == ""
    labels = {"memory": "unsourced, from memory", "practice": "common practice"}
    assert {key: view.source_label(key) for key in labels} == labels
    assert view.source_label("full-law") == "full state 1999"  # no number, so its state and year
    assert view.source_label("full-book") == "Full author"  # "full year" is no year


def test_a_law_is_called_by_its_number_where_its_title_has_none(view):
    law = view.knowledge.sources["full-law"]
    numbered = {"full-law": law.model_copy(update={"number": "Regulation (EC) 1907/2006, annex"})}
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(view.knowledge.sources, "full-law", numbered["full-law"])
        assert view.source_label("full-law") == "Regulation (EC) 1907/2006"


@pytest.mark.parametrize(
    ("kind", "author", "said"),
    [
        ("paper", "Corti and Agarwal", "Corti and Agarwal"),
        ("paper", "C. W. Corti, D. P. Agarwal and others", "Corti and others"),
        ("stockist", "C. W. Corti", "Corti"),  # initials tell a person, whoever prints it
        ("stockist", "Corti", "Corti"),
        ("paper", "after C. W. Corti, 1998", "Corti"),
        ("handbook", "A Society (editor)", "A Society"),
        ("law", "the state", ""),
        ("paper", None, ""),
    ],
)
def test_who_wrote_a_source(view, kind, author, said):
    source = view.knowledge.sources["full-book"]
    assert authors(source.model_copy(update={"kind": kind, "author": author})) == said


def test_a_long_name_is_cut_at_a_word():
    assert _shortened("x" * 32) == "x" * 32
    assert _shortened("Australasian Corrosion Association") == "Australasian Corrosion …"
    assert _shortened("thirty letters and a very long end") == "thirty letters and a very …"


@pytest.mark.parametrize(
    ("when", "words"),
    [
        ({}, "everything else"),
        ({"materials": ["test-brass", "test-steel"]}, "Test brass or Test steel"),
        ({"families": ["brass"], "classes": ["metal"]}, "brass; metal"),
        ({"contains": {"Cr": {"range": [10, 12]}}}, "with 10 to 12 % chromium"),
        ({"contains": {"Ni": {"at_most": 1}}}, "with at most 1 % nickel"),
        ({"pitting_index": {"at_least": 20}}, "with a pitting index of at least 20"),
        ({"traits": ["heat-hardens"]}, "hardens by quenching"),
        ({"lacks_traits": ["transparent"]}, "not transparent"),
        ({"magnetism": ["none", "trace"]}, "a magnet: not attracted or barely attracted"),
        ({"states": ["half-hard"]}, "in the state half hard"),
    ],
)
def test_a_condition_in_plain_words(view, when, words):
    assert view.when_words(When(**when)) == words


def test_where_a_rule_holds(view):
    damp = view.knowledge.hazards["full-damp"].rules
    assert view.where_words(damp[4]) == "only in: train, Test case"
    assert view.where_words(damp[0]) == ""


def quantity(low, high, unit="HV", **more):
    ends = (None if end is None else Decimal(end) for end in (low, high))
    return Quantity(*ends, unit, 3, **more)


def test_a_value_with_its_unit_and_its_evidence(view):
    assert view.value(quantity("200", "200")) == (
        f'<span class="num">200</span>{NBSP}<span class="unit">HV</span>'
    )
    assert view.value(quantity("24.0", "24.0", "1")) == '<span class="num">24.0</span>'
    borrowed = quantity("200", "200", evidence="borrowed", of=("a relative",))
    said = f'<span class="num">200</span>{NBSP}HV <small class="evidence">◇ borrowed</small>'
    assert view.quantity_text(borrowed, brief=True) == said
    assert read(view.quantity_text(borrowed))[0].endswith("◇ borrowed from a relative")
    remembered = quantity("200", "200", evidence="memory")
    assert "memory" not in view.value(remembered)  # said in the place of the source
    assert read(view.quantity_text(remembered))[0].endswith("○ from memory")
    assert view.evidence(quantity("200", "200")) == ""


def test_a_verdict_bears_its_word_and_its_mark(view):
    assert view.verdict("exposure_verdicts", "suffers") == (
        '<span class="verdict verdict--suffers">suffers</span>'
    )


@pytest.mark.parametrize(
    ("count", "sizes"), [(120, [120]), (121, [60, 61]), (361, [90, 90, 90, 91])]
)
def test_many_sources_of_a_kind_are_parted_into_pages_of_like_length(invented, count, sizes):
    """120 to a page; by title, whatever its capitals."""
    one = invented.knowledge.sources["test-standard"]
    titles = {f"s{n}": ("b" if n % 2 else "B") + f"{n:03}" for n in range(count)}
    sources = {key: one.model_copy(update={"title": title}) for key, title in titles.items()}
    pages = source_pages(replace(invented.knowledge, sources=sources))
    assert [len(keys) for keys in pages.values()] == sizes
    assert list(pages) == [
        "sources/standard.html",
        *(f"sources/standard-{n}.html" for n in range(2, len(sizes) + 1)),
    ]
    assert [key for keys in pages.values() for key in keys] == [f"s{n}" for n in range(count)]


def figure(*measured, **value):
    return Figure(**(value or {"typical": "1"}), source="x", measured=list(measured))


def reading(value, doubt, sheet="sheet a", **more):
    day = {"on": date(2026, 11, 20), "part": "balance-staff"}
    return {"value": value, "doubt": doubt, "sheet": sheet, **day, **more}


def test_nothing_is_said_of_measuring_where_a_figure_was_published():
    assert layer_words.measured(Figure(typical="1", source="x"), "HV") is None


def test_one_measurement_and_how_it_was_made():
    found = layer_words.measured(
        figure(reading("700", "20", readings="1", instrument="tester", by="trainer")), "HV"
    )
    assert found == (
        "Pooled from 1 measurement on 1 sheet: 700 with a standard uncertainty of 10 HV.",
        [
            "700 ± 20 HV, 1 reading, tester, by the trainer, 2026-11-20, balance staff, sheet"
            " sheet a"
        ],
    )


def test_several_measurements_that_scatter_say_by_how_much_they_were_widened():
    """700 and 640, each good to 20: mean 670, 10/sqrt(2) = 7.07; the scatter of (30/10)^2 twice is
    18 over 1, so widened sqrt(18) = 4.24 times, to 30."""
    found = layer_words.measured(
        figure(reading("700", "20"), reading("640", "20", "sheet b", readings="3")), ""
    )
    assert found.pooled == (
        "Pooled from 2 measurements on 2 sheets: 670 with a standard uncertainty of 30, widened 4.2"
        " times because they scatter more than their uncertainties allow."
    )
    assert found.each == [
        "700 ± 20, 2026-11-20, balance staff, sheet sheet a",
        "640 ± 20, 3 readings, 2026-11-20, balance staff, sheet sheet b",
    ]


def test_a_mean_is_told_to_the_first_digit_of_its_uncertainty():
    assert layer_words._rounded(Decimal("7.8512"), Decimal("0.013")) == Decimal("7.85")
    assert layer_words._rounded(Decimal("703.4"), Decimal("12")) == Decimal("703")


def test_a_translated_sentence_breaks_nowhere_before_its_signs():
    assert tidy("C'est sûr ; oui : « non » !") == (
        f"C'est sûr{NBSP}; oui{NBSP}: «{NBSP}non{NBSP}»{NBSP}!"
    )


def test_a_language_says_what_is_translated_and_tags_what_is_not(invented):
    """French writes a decimal comma and its own quotes; the steel has a German name and no French
    one."""
    english, german, french = speeches(invented.knowledge)
    steel = invented.knowledge.materials["full-steel"]
    assert [s.tag for s in (english, german, french)] == ["en", "de", "fr"]
    assert [s.is_base for s in (english, german, french)] == [True, False, False]
    assert [s.address("leaflet") for s in (english, german)] == ["leaflet.html", "leaflet-de.html"]
    assert [s.title(steel, steel.name) for s in (english, german, french)] == [
        "Full steel",
        "Full-steel auf Deutsch",
        '<span lang="en">Full steel</span>',
    ]
    assert german.say(steel, "owner words of steel") == (
        '<span lang="en">owner words of steel</span>'
    )
    assert english.say(steel, "owner words of steel") == "owner words of steel"
    assert [s.phrase("always") for s in (english, german, french)] == [
        "Always",
        "Immer",
        "Toujours",
    ]
    assert french.phrase("both", "l'or", "l'acier") == "l'or et l'acier".replace("'", "&#39;")
    assert [s.words("start") for s in (english, french)] == ["Start", "Accueil"]
    assert [s.since(steel, "1999") for s in (english, german)] == ["1999", "1999"]
    assert german.since(steel, "in force") == '<span lang="en">in force</span>'


@pytest.mark.parametrize(
    ("bound", "german"),
    [
        ({"typical": "2.5"}, "2,5"),
        ({"range": ["2.5", "3"]}, "2,5 bis 3"),
        ({"at_most": "0.15"}, "höchstens 0,15"),
        ({"at_least": "7"}, "mindestens 7"),
    ],
)
def test_a_number_as_the_language_writes_it(invented, bound, german):
    assert Speech(invented.knowledge, "de")._bound(Bound(**bound)) == german


@pytest.mark.parametrize(
    ("turned", "compared", "keys"),
    [
        ({}, {}, [("unread",)]),
        ({"a": 1, "b": 2, "c": 1}, {}, [("read-back", date(2026, 2, 1))]),
        ({"a": 1}, {}, [("read-back", date(2026, 1, 1)), ("not-read-back", 2)]),
        (
            {"a": 1, "x": 9},
            {"b": 1, "a": 1},
            [("read-back", date(2026, 1, 1)), ("not-read-back", 2), ("only-compared", 1)],
        ),
    ],
)
def test_how_far_translations_may_be_trusted(invented, monkeypatch, turned, compared, keys):
    """Three sentences: the newest day on which one was turned back, how many were not, and how many
    of those were at least compared."""
    readings = {speech.COMPARED: compared}
    monkeypatch.setattr(speech, "marks", lambda sentences, tag: [(mark,) for mark in sentences])
    monkeypatch.setattr(
        speech,
        "read_back",
        lambda knowledge, tag, how=None: {
            mark: date(2026, month, 1) for mark, month in readings.get(how, turned).items()
        },
    )
    german = Speech(invented.knowledge, "de")
    assert german.trust("abc") == [german.phrase(*key) for key in keys]


@pytest.mark.parametrize(
    ("states", "every", "said"),
    [
        ([], False, ""),
        (["soft"], True, "soft"),
        (["soft", "half, rolled"], True, "soft also: half, rolled"),
        (["soft", "half", "hard"], True, "soft also: its other states"),
        (["soft", "half", "hard"], False, "soft also: half; hard"),
    ],
)
def test_the_states_of_a_row(states, every, said):
    """The first is that of the reasons; of two the other has a name."""
    html = snippets._states({"states": states, "every": every})
    assert " ".join(re.sub("<[^>]+>", " ", html).split()) == said


@pytest.mark.parametrize(
    ("states", "every", "said"),
    [
        ([], False, ""),
        (["soft"], True, " (soft)"),
        (["soft", "hard, rolled"], False, " (soft; hard, rolled)"),
        (["soft", "hard"], True, " (every state)"),
    ],
)
def test_the_states_that_are_ruled_out(states, every, said):
    assert snippets._in_states({"states": states, "every": every}) == said


def test_a_view_without_a_layer_marks_nothing(view):
    assert view.own_of("material", "full-steel") == ""
    assert view.own_of("caution", "full-caution") == ""


LAYER = {
    "alloys/test-steel.yaml": "figures: {density: [{typical: 7.95, source: test-sheet}]}\n",
    "cautions.yaml": "test-dust: {do: [Wear a mask.]}\n",
    "processes/test-polish.yaml": "figures: [{what: our layer, typical: 4, unit: um, source:"
    " test-sheet}]\nnotes: [Ours takes less.]\n",
    "alloys/test-brass.yaml": "also_called: [our brass]\nworking: {polish: {rating: well,"
    " source: test-sheet}}\nstates:"
    " {drawn: {name: drawn, figures: {hardness: [{typical: 150, unit: HV, source:"
    " test-sheet}]}}}\n",
    "parts/own-part.yaml": "name: Own part\nsummary: Ours.\nzone: case\ndoes: Holds.\ndemands:"
    " [{property: density, at_most: 9, why: w}]\nusual: [{material: test-brass, state: drawn, why:"
    " w}]\nreviewed: {on: 2026-11-25, by: us}\n",
}


@pytest.fixture(scope="module")
def layered(tmp_path_factory):
    """A view of the small records with a workshop's own layer: a density, a line of a caution, a
    figure and a note of a work, a working and a state of brass, a part."""
    folder = tmp_path_factory.mktemp("layered")
    for file, text in LAYER.items():
        path = folder / "layer" / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    found, complaints = load(make_root(folder / "small", SMALL), [folder / "layer"])
    assert complaints == []
    return View(found, ROOT / "site_src" / "templates", {})


def test_what_the_layer_touched_bears_its_mark(layered):
    marked = read(str(layered.own_of("material", "test-steel")))[0]
    assert marked == "◆"
    assert layered.own_of("material", "test-plate") == ""
    assert layered.own_of("material", "test-steel", ("figures", "density", 2)) != ""
    assert layered.own_of("material", "test-steel", ("figures", "density", 0)) == ""
    assert layered.own_of("caution", "test-dust") != ""
    assert layered.own_of("caution", "other-caution") == ""


def test_what_the_layer_added_stands_at_the_top_of_the_page(layered):
    """Each field in words, notes apart, the rows of a table by their place; the whole of a record
    that is the workshop's alone."""
    added = {address.split("/")[-1]: found for address, found in layered.added.items()}
    assert added == {
        "test-steel.html": (["density"], [], []),
        "test-brass.html": (["also called", "states", "polishing"], [], []),
        "test-polish.html": (["figures"], ["Ours takes less."], [1]),
        "own-part.html": (["the whole page"], [], []),
    }


def test_every_page_says_how_much_comes_from_the_layer(layered):
    """A density and the hardness of the drawn state are figures of materials; four records."""
    assert layer_words.notice(layered.knowledge) == (
        "◆ marks what comes from this workshop’s own layer: 4 records, 2 figures."
    )


OWN = "hardness: [{{typical: {}, unit: HV, source: our-scale}}]"
OURS = {
    "alloys/test-steel": f"states: {{annealed: {{figures: {{{OWN.format(118)}}}}}}}\n",
    "alloys/test-brass": f"figures: {{{OWN.format(90)}}}\n",
    "sources/ours": "our-scale: {title: Our scale, publisher: Us, kind: other}\n",
}


def test_a_figure_of_the_workshop_that_rules_out_names_that_of_the_base(tmp_path):
    """118 HV of the workshop's own miss 120 HV; the base has 140 to 215 HV. Of brass the base has
    no hardness, so the workshop's 90 HV stand alone."""
    for name, text in OURS.items():
        path = tmp_path / f"layer/{name}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    found, complaints = load(make_root(tmp_path / "small", SMALL), [tmp_path / "layer"])
    assert complaints == []
    values = Values(found)
    built, judged = tables.build(found, values), Verdicts(found, values)
    site = Site(found, values, built, judged, ROOT / "site_src" / "templates")
    fit = by_section(part_page(site, "test-case").body)["fit"][0]
    assert "Test steel◆ (annealed): hardness at least 120 HV: found 118 HV" in fit
    assert fit.count("(the base has 140 to 215 HV)") == 1
    brass = fit.split("Test brass◆: ")[1].split("; ")[0]
    assert brass.startswith("hardness at least 120 HV: found 90 HV") and "the base" not in brass
