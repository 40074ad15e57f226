"""The lists of records as a reader finds them: by family, by zone, in one list, with or without a
line of names above; and the other lists that look alike. Of the invented records."""

import re
from itertools import chain

import pytest

from generator.numbers.values import Values
from generator.records.loading import load
from generator.site.page import Site
from generator.site.pages import indexes
from generator.site.pages.indexes import index_pages
from generator.site.render import render
from generator.tables import tables
from generator.verdicts.verdicts import Verdicts
from tests.conftest import ROOT, SMALL, make_root
from tests.shown import by_section, read


@pytest.fixture(scope="module")
def listed(invented_pages):
    """The cards of a page: (where it leads, heading, text)."""

    def cards(file):
        found = re.findall(
            r'<li><a href="([^"]*)"><strong>(.*?)</strong><span>(.*?)</span></a></li>',
            invented_pages[file].body,
            re.DOTALL,
        )
        return [(to, read(title)[0], read(text)[0]) for to, title, text in found]

    return cards


def test_a_family_lists_its_own_by_name(listed):
    assert listed("families/precious-plating.md") == [
        ("../materials/full-plate.html", "Full plate", "An invented plating with its fields."),
        ("../materials/test-plate.html", "Test plate", "An invented plating."),
    ]
    assert listed("zones/train.md") == [
        ("../parts/full-pinion.html", "Full pinion", "An invented pinion with every field.")
    ]
    assert [title for _, title, _ in listed("hazards/index.md")] == ["Full damp", "Test sea"]
    assert [title for _, title, _ in listed("watches/index.md")] == ["Full watch"]


@pytest.mark.parametrize(
    ("file", "sections"),
    [
        (
            "materials/index.md",
            ["austenitic-stainless", "carbon-steel", "brass", "precious-plating"],
        ),
        ("parts/index.md", ["case", "train"]),
        ("processes/index.md", ["heat", "finishing", "testing"]),
        (
            "formulas/index.md",
            ["jobs", "tables", "weight", "gold", "strength", "heat", "corrosion"],
        ),
        ("hazards/index.md", []),
    ],
)
def test_sections_stand_in_the_order_of_their_list_with_a_way_to_each(
    invented_pages, file, sections
):
    body = invented_pages[file].body
    ways = re.search(r'<nav class="jump jump--sections".*?</nav>', body, re.DOTALL)
    assert re.findall(r'href="#([a-z-]+)"', ways[0] if ways else "") == sections
    assert re.findall(r"\{: #([a-z-]+) \}", body) == sections


def test_each_section_says_what_stands_in_it(invented_pages):
    """The line of ways at the top has the words of the headings below."""
    headings = {
        "formulas/index.md": [
            *("Whole jobs", "From published tables", "Weight and density"),
            *("Fineness and alloying", "Strength and stiffness", "Heat and fit"),
            "Corrosion and contact",
        ],
        "processes/index.md": ["Heat treatment", "Finishing", "Testing and identifying"],
        "materials/index.md": [
            *("Austenitic stainless steels", "Carbon and tool steels", "Brasses"),
            "Precious platings",
        ],
        "parts/index.md": ["Case", "Train"],
    }
    for file, expected in headings.items():
        body = invented_pages[file].body
        assert re.findall(r"^## (.*?) \{", body, re.MULTILINE) == expected
        assert re.findall(r'<li><a href="#[a-z-]+">(.*?)</a></li>', body) == expected


def test_a_section_with_a_page_of_its_own_leads_there(invented_pages):
    ways = by_section(invented_pages["materials/index.md"].body)["carbon-steel"][1]
    assert ways[0] == "../families/carbon-steel.html"
    ways = by_section(invented_pages["parts/index.md"].body)["case"][1]
    assert ways[0] == "../zones/case.html"


@pytest.mark.parametrize(("least", "named"), [(2, True), (3, False)])
def test_a_long_list_without_sections_has_its_names_in_one_line(
    invented, monkeypatch, least, named
):
    """Two hazards: a line of names from two on; never above sections, which have their own."""
    monkeypatch.setattr(indexes, "NAMES_FROM", least)
    pages = {page.file: page.body for page in index_pages(invented)}
    line = re.search(
        r'<nav class="jump" aria-label="Names">.*?</nav>', pages["hazards/index.md"], re.S
    )
    assert bool(line) is named
    if line:
        assert read(line[0]) == (
            "Full damp Test sea",
            ["../hazards/full-damp.html", "../hazards/test-sea.html"],
        )
    assert '<nav class="jump" ' not in pages["materials/index.md"]


def test_the_calculations_begin_with_whole_jobs_then_published_tables(listed):
    assert listed("formulas/index.md")[:3] == [
        ("../formulas/job-full-job.html", "Full job", "An invented job with every field."),
        (
            "../formulas/hardness-conversion.html",
            "Hardness conversion for steels",
            "A steel's hardness in HV, HRC, HRB, HBW and tensile strength, by published table.",
        ),
        (
            "../formulas/tempering-temperature.html",
            "Tempering temperature for a wanted hardness",
            "Where to set the oven, from the steel's published tempering table.",
        ),
    ]


def test_lessons_bear_their_number_and_the_gate_has_none():
    assert indexes._lesson_number(indexes.Decimal("1")) == "1. "
    assert indexes._lesson_number(indexes.Decimal("0")) == ""


def test_the_training_stands_before_the_lessons_where_there_are_any(listed, small_pages):
    assert [title for _, title, _ in listed("lessons/index.md")] == [
        "The four-week plan",
        "Questions that come back",
        "Twelve bench tasks",
        "Eight cases",
        "For the mentor",
    ]
    assert "Eight cases" not in small_pages["lessons/index.md"].body
    assert "lessons/plan.md" not in small_pages


@pytest.fixture(scope="module")
def small_pages(tmp_path_factory):
    """The pages of the small records alone, which have no lesson, saying or kind of watch."""
    found, _ = load(make_root(tmp_path_factory.mktemp("small"), SMALL))
    values = Values(found)
    made = tables.build(found, values)
    site = Site(found, values, made, Verdicts(found, values), ROOT / "site_src" / "templates")
    return {page.file: page for page in chain(*render(site))}


def test_what_has_no_record_has_no_page_and_no_heading(small_pages):
    """Without lessons no training, without sayings no judgement, without others no neighbours."""
    assert not [file for file in small_pages if file.startswith("lessons/") and "index" not in file]
    assert "## " not in small_pages["sayings/index.md"].body
    assert "In which kinds of watch" not in small_pages["parts/test-case.md"].body
    assert 'id="settings"' not in small_pages["parts/test-case.md"].body
    assert 'id="tempering"' not in small_pages["materials/test-steel.md"].body
    assert "siblings" not in small_pages["hazards/test-sea.md"].body


def test_every_table_and_matrix_is_listed_with_the_question_that_it_answers(listed):
    cards = listed("tables/index.md")
    assert cards[0][:2] == ("../tables/density-ratio.html", "Density and density ratio")
    assert [title for _, title, _ in cards[-5:]] == [
        "Outside parts and materials",
        "Movement parts and materials",
        "Hazards and materials",
        "Metals in contact",
        "In pictures",
    ]
    beside = listed("compare.md")
    assert [to for to, _, _ in beside[-4:]] == [
        "tables/matrix-parts-outside.html",
        "tables/matrix-parts-movement.html",
        "tables/matrix-hazards.html",
        "tables/pairs.html",
    ]
    assert {text for _, _, text in beside[-4:]} == {"Every material at a glance."}
    assert beside[0][0] == "tables/density-ratio.html" and len(beside) == len(cards) - 1
