"""What every page shows of itself: where it stands, its heading and first line, its address at the
foot, its sections; drawn from the invented records. Headings and first lines of pages that no
record stands for were written here by hand."""

import json
import re
from html import unescape

import pytest

from generator.site.page import Page
from generator.site.render import NAVIGATION
from tests.shown import read

# Where a crumb says less than the heading of its page.
SHORT = {"names.md": "A to Z", "sayings/index.md": "Sayings"}
# The first line of each page that no record stands for.
FIRST_LINES = {
    "materials/index.md": "What parts are made of and covered with, family by family.",
    "parts/index.md": "What each part of a watch does, what it is made of, and what would be"
    " wrong.",
    "watches/index.md": "Whole watches, invented to stand for many: every part, and what touches"
    " what.",
    "hazards/index.md": "What attacks a watch, which materials it harms, and what helps.",
    "processes/index.md": "Hardening, finishing, plating, joining, cleaning, testing: step by step"
    " with the numbers.",
    "formulas/index.md": "Bench calculations, each with its limits and a worked example.",
    "sayings/index.md": "What is said at the bench, and what the figures say.",
    "lessons/index.md": "Safety first, then twelve short lessons, bench tasks and cases, in four"
    " weeks.",
    "tables/index.md": "All materials compared, one question per table.",
    "families/precious-plating.md": "All that is known here of precious plating.",
    "map.md": "Tap a zone or a part of the drawing, or take it from the list.",
    "leaflet.md": "Choose what the watch is made of and what it is exposed to; the result is one"
    " page of care, to print on A5.",
    "compare.md": "Two to four materials, each in its state: figures, ratios, what attacks them,"
    " and which suits a part.",
    "identify.md": "Enter what you can see, feel and weigh; each answer rules metals out and says"
    " why; the gentlest useful test comes next.",
    "watch-sheet.md": "Choose its kind and set the metals that you know; what attacks what, what"
    " is wrong and what to test appears below at once.",
    "names.md": "Every name and designation in any system, and the page it belongs to.",
    "sources.md": "Where every figure and judgement comes from.",
    "sources/handbook.md": "Where every figure and judgement comes from.",
    "glossary.md": "The terms of the trade in plain sentences, and in the other languages of the"
    " bench.",
    "coverage.md": "How much of this reference is sourced, remembered or missing.",
    "editions.md": "A printed card names its page and its edition. Find the page here: a card of"
    " that edition, or of a later one, is current.",
    "tables/matrix-parts-outside.md": "What can be made of what, at a glance.",
    "tables/matrix-parts-movement.md": "What can be made of what, at a glance.",
    "tables/matrix-hazards.md": "What attacks what, at a glance.",
    "tables/pairs.md": "Which of two metals corrodes when they are wet together, how fast, and"
    " where"
    " they may touch: in sweat, in a damp case, dry.",
    "lessons/again.md": "What you missed comes back after 1, 3, 7 and 21 days, mixed over all"
    " lessons. Kept on this device only.",
    "lessons/tasks.md": "What your hands must be able to do, each with its samples and what the"
    " mentor"
    " must see before signing.",
    "lessons/cases.md": "Watches that need several pages at once. All of them are invented.",
    "lessons/plan.md": "Lessons, tasks and cases week by week, with what comes back in between.",
    "lessons/mentor.md": "The sheets to sign and all right answers, to print. Not for the"
    " trainee's eyes.",
}
# Pages that need the whole width: tables, and tools with two columns. No list of sections beside.
WIDE = re.compile(
    r"(tables|families|zones|names)/|(watches|hazards)/index|lessons/(?!full)"
    r"|(names|map|pictures|poster|compare|identify|watch-sheet|glossary|coverage)\.md$"
    r"|(leaflet|cautions|first-aid)(-..)?\.md$|poster-a4"
)
FOOTLESS = re.compile(  # tools and lists that are not printed, and what another foot closes
    r"lessons/(?!full)|names|(leaflet|cautions|first-aid)(-..)?\.md|(sayings|tables)/index"
    r"|(measure|queue|glossary|coverage)\.md$"
)


def crumbs(page: Page) -> list[tuple[str, str]]:
    """(text, file of the page that it leads to) of each step of the way to a page."""
    steps = re.search(r'<nav class="crumbs".*?</nav>', page.body, re.DOTALL)[0]
    found = re.findall(r'<li>(?:<a href="([^"]*)">|<span aria-current="page">)(.*?)</', steps)
    up = "../" * page.file.count("/")
    return [(unescape(text), to.removeprefix(up).replace(".html", ".md")) for to, text in found]


def test_the_way_to_a_page_names_each_page_as_it_is_called(invented_pages):
    """A crumb that leads somewhere else than it says, or nowhere, loses the reader."""
    for page in invented_pages.values():
        *before, (last, to) = crumbs(page)
        assert to == "", page.file
        assert before[0] == ("Accueil" if page.lang == "fr" else "Start", "index.md")
        for text, file in before[1:]:
            assert text == SHORT.get(file, invented_pages[file].title), page.file
        # Pages beside a record and four sheets of one picture have a longer title than crumb.
        assert last[0] + last[1:] in SHORT.get(page.file, page.title[0].upper() + page.title[1:])


@pytest.mark.parametrize(
    ("file", "between"),
    [
        ("materials/test-brass.md", ["Materials", "Brasses"]),
        ("families/brass.md", ["Materials"]),
        ("parts/full-pinion.md", ["Parts", "Train"]),
        ("zones/train.md", ["Parts"]),
        ("hazards/test-sea.md", ["Hazards"]),
        ("processes/test-polish.md", ["Work"]),
        ("formulas/tempering-temperature.md", ["Calculations"]),
        ("lessons/full-lesson.md", ["Lessons"]),
        ("lessons/plan.md", ["Lessons"]),
        ("tables/hardness.md", ["Tables"]),
        ("tables/pairs.md", ["Tables"]),
        ("tables/matrix-hazards.md", ["Tables"]),
        ("map.md", ["Parts"]),
        ("names/a-0-9.md", ["A to Z"]),
        ("sources/law.md", ["Sources"]),
        ("compare.md", []),
        ("materials/index.md", []),
    ],
)
def test_between_the_start_and_a_page_stands_its_index(invented_pages, file, between):
    assert [text for text, _ in crumbs(invented_pages[file])[1:-1]] == between


def test_the_menu_calls_every_page_by_its_heading(invented_pages):
    lines = {
        file: name
        for group in NAVIGATION
        for held in group.values()
        if isinstance(held, list)
        for line in held
        for name, file in line.items()
    }
    said = SHORT | {
        "first-aid.md": "First aid",
        "sayings/index.md": "Bench sayings: true or false?",
    }
    titles = {file: page.title for file, page in invented_pages.items()} | said
    assert lines == {file: titles[file] for file in lines if file != "about.md"} | {
        "about.md": "How to read the numbers"
    }


def test_every_page_begins_with_its_heading_and_what_it_is_for(invented_pages):
    for page in invented_pages.values():
        top = re.search(r"<h1>(.*?)</h1>\s*<p class=\"answer\">(.*?)</p>", page.body, re.DOTALL)
        heading, first = (read(piece)[0].strip("“”") for piece in top.groups())
        assert heading in page.title[0].upper() + page.title[1:], page.file
        assert first == page.description.replace("degC", "°C"), page.file


@pytest.mark.parametrize("file", FIRST_LINES)
def test_the_first_line_says_what_the_page_answers(invented_pages, file):
    assert invented_pages[file].description == FIRST_LINES[file]


def test_the_foot_names_the_page_so_that_a_print_is_found_again(invented_pages):
    for page in invented_pages.values():
        feet = re.findall(r"Page (\S+?\.html)\.", page.body)
        if FOOTLESS.match(page.file) and not feet:
            continue
        assert set(feet) == {page.file.replace(".md", ".html")}, page.file


def test_tables_and_tools_have_the_width_for_themselves(invented_pages):
    wide = {file for file, page in invented_pages.items() if '"toc"' in front(page)["hide"]}
    assert wide == {file for file in invented_pages if WIDE.match(file)}


def front(page: Page) -> dict[str, str]:
    """The lines of the front matter of a page as MkDocs reads them, each still JSON."""
    lines = page.text().split("---\n")[1].splitlines()
    return {"hide": ""} | dict(line.split(": ", 1) for line in lines)


def test_the_page_of_another_language_says_so(invented_pages):
    tags = {file: front(page).get("lang") for file, page in invented_pages.items()}
    assert {file: json.loads(tag) for file, tag in tags.items() if tag} == {
        f"{name}-{tag}.md": tag
        for name in ("leaflet", "cautions", "first-aid")
        for tag in ("de", "fr")
    }


def test_the_title_of_the_window_is_escaped_once():
    page = Page("x.md", "brass & <steel>", "one, “two” & three", "text")
    assert page.text() == (
        '---\ntitle: "Brass &amp; &lt;steel&gt;"\n'
        'description: "one, “two” &amp; three"\n---\n\ntext'
    )


SECTIONS = {
    "materials/full-steel.md": """where-it-belongs: Where it belongs
        figures: Figures
        states: States
        tempering: Hardness after tempering
        working: Working it
        exposure: What attacks it and what it shrugs off
        fit: Parts it can be used for
        bench: At the bench
        owner: What to tell the owner
        names: Names and composition
        mentioned: Mentioned by
        care: Safety""",
    "materials/test-plate.md": """figures: Figures
        exposure: What attacks it and what it shrugs off
        mentioned: Mentioned by""",
    "parts/full-pinion.md": """fit: What else it can be made of
        settings: In other watches
        demands: What it does and what it needs
        meets: What it is exposed to
        identify: What is it made of?
        remake: How to make a new one
        fails: How it fails
        after-service: After a service
        watches: In which kinds of watch, and what it touches there
        mentioned: Mentioned by
        care: Safety""",
    "hazards/test-sea.md": """meets: Where a watch meets it
        exposure: What it does to each material
        rules: The rules
        mentioned: Mentioned by""",
}


@pytest.mark.parametrize("file", SECTIONS)
def test_the_list_of_sections_holds_each_in_order_and_none_that_is_empty(invented_pages, file):
    """Beside the page on a wide screen, above it on a narrow one: both lists are the same."""
    page = invented_pages[file]
    expected = [line.strip().split(": ", 1) for line in SECTIONS[file].splitlines()]
    beside = json.loads(front(page)["sections"])
    above = re.search(r'<nav class="sections" aria-label="On this page">.*?</nav>', page.body, re.S)
    assert beside == expected
    assert re.findall(r'<a href="#([a-z-]+)">(.*?)</a>', above[0]) == [(a, b) for a, b in expected]
    assert page.body.count('<nav class="sections"') == 1


def test_a_page_without_folds_leaves_its_list_to_the_headings(invented_pages):
    assert "sections" not in front(invented_pages["formulas/full-sum.md"])


SIBLINGS = [
    ("materials/test-plate.md", "Others in this family (1) Full plate"),
    ("materials/full-plate.md", "Others in this family (1) Test plate"),
    ("hazards/test-sea.md", "Other hazards (1) Full damp"),
    ("hazards/full-damp.md", "Other hazards (1) Test sea"),
    (
        "tables/pairs.md",
        "Other tables (15) Density and density ratio The same case in each material Specific"
        " strength Specific stiffness Elastic reach Elastic store Carat, fineness and marks Density"
        " from composition Pitting index (PREN) Thermal expansion and mismatch Hardness by state"
        " Coatings and their thickness Outside parts and materials Movement parts and materials"
        " Hazards and materials",
    ),
]


@pytest.mark.parametrize(("file", "said"), SIBLINGS)
def test_a_page_names_its_neighbours_and_not_itself(invented_pages, file, said):
    found = re.search(r'<nav class="siblings".*?</nav>', invented_pages[file].body, re.DOTALL)
    assert read(found[0])[0] == said


@pytest.mark.parametrize(
    "file", ["materials/test-brass.md", "parts/full-pinion.md", "processes/test-polish.md"]
)
def test_who_stands_alone_names_no_neighbours(invented_pages, file):
    assert "siblings" not in invented_pages[file].body
