"""Pages with more to tell than a reader takes in at once: what stands first, what is cut and
counted, what is said once for several. An invented field of steels, all in the state annealed: four
like the usual one, one of half its weight, three still lighter, five softer, one whose hardness
nobody knows. Weights and their ratios were worked out by hand."""

import re

import pytest

from generator.numbers.values import Values
from generator.records.loading import load
from generator.site.page import Site
from generator.site.pages.matrix import matrix_pages
from generator.site.pages.part import part_page
from generator.tables import tables
from generator.verdicts.verdicts import Verdicts
from tests.conftest import ROOT, SMALL, edit, make_root
from tests.shown import by_section, read

ALLOY = """name: {name}
summary: An invented alloy.
family: austenitic-stainless
composition: {{source: test-standard, balance: Fe, shares: {{Cr: {{range: [16.5, 18.5]}}}}}}
magnetism: {magnet}
colour: {colour}
figures: {{density: [{{{density}, source: test-standard}}]}}
{states}working: {{turn: {{rating: with-care}}}}
no_caution: Nothing here hurts.
reviewed: {{on: 2026-11-25, by: workshop lead}}
"""
STATES = """states:
  annealed:
    name: annealed
    figures: {{hardness: [{{range: {hardness}, unit: HV, source: test-standard{of}}}]}}
"""
WHEEL = """name: Test wheel
summary: An invented wheel.
zone: case
does: Turns.
demands:
  - {property: hardness, at_least: 100, unit: HV, why: teeth}
  - {property: hardness, at_most: 300, unit: HV, firm: false, why: cutters}
  - {property: density, at_most: 9, firm: false, why: weight}
usual:
  - {material: like, state: annealed, why: one}
  - {material: near, state: annealed, why: two}
  - {material: heavy, state: annealed, why: three}
  - {material: light, state: annealed, why: four}
  - {material: magnetic, state: annealed, why: five}
  - {material: like, state: annealed, coated: test-plate, why: six}
remake:
  - {do: Warm it., process: test-warm}
  - {do: Wash it.}
  - {do: Polish it., process: test-polish}
  - {do: Warm it again., process: test-warm}
settings:
  brass-watch:
    name: in a brass watch
    tells: It is yellow.
    demands: [{property: density, at_most: 9, why: weight}]
    usual: [{material: test-brass, why: all brass}]
  steel-watch:
    name: in a steel watch
    tells: It is grey.
    demands: [{property: density, at_most: 9, why: weight}]
    usual: [{material: near, state: annealed, why: all steel}]
reviewed: {on: 2026-11-25, by: workshop lead}
"""


def add_alloy(
    root, name, density, hardness="[140, 215]", magnet="none", colour="steel-grey", of=""
):
    states = STATES.format(hardness=hardness, of=of) if hardness else ""
    text = ALLOY.format(name=name, density=density, magnet=magnet, colour=colour, states=states)
    (root / f"knowledge/alloys/{name.lower().replace(' ', '-')}.yaml").write_text(text)


@pytest.fixture(scope="module")
def wide(tmp_path_factory):
    """What draws the pages of the field of steels."""
    root = make_root(tmp_path_factory.mktemp("wide"), SMALL)
    edit(root, "alloys/test-steel.yaml", "magnetism: none", "magnetism: none\ncolour: steel-grey")
    edit(root, "alloys/test-steel.yaml", ", {typical: 8.0, source: test-sheet}", "")
    add_alloy(root, "Like", "typical: 7.98")
    add_alloy(root, "Near", "typical: 8.21")
    add_alloy(root, "Heavy", "typical: 8.23")
    add_alloy(root, "Magnetic", "typical: 7.98", magnet="strong", colour="yellow")
    add_alloy(root, "Light", "typical: 4.00, of: a relative")
    for letter, density in zip("bcd", ("3.89", "3.88", "3.79"), strict=True):
        add_alloy(root, f"Plain {letter}", f"typical: {density}")
    for letter in "wxyz":
        add_alloy(root, f"Soft {letter}", "typical: 7.98", "[121, 125]")
    add_alloy(root, "Soft v", "typical: 7.98", "[120, 125]", of=", of: a relative")
    add_alloy(root, "Open", "typical: 7.98", "")
    (root / "knowledge/parts/test-wheel.yaml").write_text(WHEEL)
    polish = (root / "knowledge/processes/test-polish.yaml").read_text()
    warm = polish.replace("finishing", "heat").replace("Test polish", "Test warming")
    (root / "knowledge/processes/test-warm.yaml").write_text(warm)
    knowledge, complaints = load(root)
    assert complaints == []
    values = Values(knowledge)
    judged, built = Verdicts(knowledge, values), tables.build(knowledge, values)
    return Site(knowledge, values, built, judged, ROOT / "site_src" / "templates")


@pytest.fixture(scope="module")
def case(wide):
    """The page of the case, as drawn."""
    return part_page(wide, "test-case").body


@pytest.fixture(scope="module")
def wheel(wide):
    """The page of the wheel, as drawn."""
    return part_page(wide, "test-wheel").body


def piece(body: str, opening: str, closing: str) -> str:
    """The words between two tags of a page."""
    return read(re.search(f"{opening}.*?{closing}", body, re.DOTALL)[0])[0]


SOFTER = "softer than any usual choice: 121 to 125 HV, against 140 to 215 HV"


def test_at_the_top_three_of_a_rung_are_named_and_the_others_counted(case):
    """What three share is said behind the last of them; only the usual ones are never cut to
    three."""
    assert piece(case, '<dl class="at-once">', "</dl>") == (
        "Usual choice Test steel ◔ thinly sourced I have only or choose"
        " Just as good Like; Magnetic; Near; 5 more"
        f" At a pinch Soft w; Soft x; Soft y (each: {SOFTER}); 2 more"
        " Hardness at least 120 HV"
    )


def test_of_the_usual_ones_four_are_named_and_of_the_heat_each_step(wheel):
    """A plating of the same metal is no fifth one; a step without work, or with other work, is no
    heat; a setting names its own."""
    assert piece(wheel, '<dl class="at-once">', "</dl>") == (
        "Usual choice Like; Near; Heavy; Light ◇ rests on a borrowed figure; 1 more"
        " I have only or choose"
        " Just as good Test steel ◔ thinly sourced; Plain b; Plain c; 1 more"
        f" At a pinch Soft w; Soft x; Soft y (each: {SOFTER}); 2 more"
        " Hardness at least 100 HV; at most 300 HV preferred"
        " Heat Warm it. HowWarm it again. How"
        " In a brass watch Test brass Which watch is that?"
        " In a steel watch Near Which watch is that?"
    )


def test_where_the_others_are_found(wheel):
    """More usual ones stand in the list of choices, more of the others in the fold below."""
    top = re.search('<dl class="at-once">.*?</dl>', wheel, re.DOTALL)[0]
    assert re.findall(r'href="#([a-z]+)">(\d+) more', top) == [
        ("choices", "1"),
        ("fit", "1"),
        ("fit", "2"),
    ]


def test_six_beside_and_four_at_a_pinch_stand_open_and_the_rest_one_tap_away(case):
    fit = re.search('id="fit".*?id="substitutes"', case, re.DOTALL)[0]
    opened, *folded = re.split(r'<details class="unfit"><summary>', fit)
    assert [read(part)[0].split(" more,")[0] for part in folded[:1]] == ["2"]
    rows = [re.findall(r'<th scope="row"><a [^>]*>(.*?)</a>', part) for part in [opened, *folded]]
    assert rows == [
        ["Like", "Magnetic", "Near", "Heavy", "Light", "Plain b"],
        ["Plain c", "Plain d", "Soft w", "Soft x", "Soft y", "Soft z"],
        ["Soft v"],
        ["Open"],
        [],
    ]
    summaries = [part.split("</summary>")[0] for part in folded]
    assert summaries == [
        "2 more, further from the usual choices",
        "1 more, further from the usual choices",
        "Cannot say (1)",
        "No (1)",
    ]


def test_the_card_says_what_else_with_the_reason_of_each(case):
    """On paper no row is folded: those that stand open on the page."""
    soft = "; ".join(f"Soft {x}, annealed ({SOFTER})" for x in "wxyz")
    assert piece(case, '<dl class="card', "</dl>") == (
        "Just as good Like, annealed; Magnetic, annealed; Near, annealed; Heavy, annealed;"
        f" Light, annealed; Plain b, annealed At a pinch {soft} Must have hardness at least 120 HV;"
        " turning and milling: needs care or better Often exposed to test sea Work to make one Test"
        " polish"
    )


def test_the_card_signs_what_stands_on_weak_ground_and_names_each_work_once(wheel):
    said = piece(wheel, '<dl class="card', "</dl>")
    assert said.startswith("Just as good Test steel, annealed ◔ thinly sourced; Plain b, ")
    assert said.endswith(
        " Must have hardness at least 100 HV Should have hardness at most 300 HV; density at most"
        " 9 g/cm³ Work to make one Test warming, Test polish"
    )


def test_five_substitutes_of_each_usual_metal_nearest_first(wheel):
    """8.23 / 7.98 = 1.031, 8.21 / 7.98 = 1.029: from three parts in a hundred on an owner feels the
    weight. 3.88 / 4.00 = 0.97 just counts, 3.89 / 4.00 = 0.9725 does not. The plated metal is
    the same piece."""
    titles, tables_ = (
        re.findall(pattern, wheel, re.DOTALL)
        for pattern in (r'"stand-in".*?<summary>(.*?)</summary>', r'"stand-in".*?<tbody>(.*?)</tb')
    )
    assert titles == [
        f"For {name}, annealed" for name in ("Like", "Near", "Heavy", "Light", "Magnetic")
    ]
    lighter = "lighter: 4.00 g/cm³ ◇ borrowed from a relative for 7.98 g/cm³"
    assert [read(row)[0] for row in tables_[0].split("\n") if row] == [
        "Magneticannealed nothing nothing yellow; a magnet: attracted",
        "Test steelannealed◔ thinly sourced nothing nothing no visible difference",
        "Nearannealed nothing nothing no visible difference",
        "Heavyannealed nothing nothing 1.03 times the weight",
        f"Lightannealed◇ rests on a borrowed figure nothing {lighter} 0.501 times the weight ◇"
        " borrowed",
    ]
    assert [read(row)[0] for row in tables_[3].split("\n") if row][:2] == [
        "Plain bannealed nothing nothing no visible difference",
        "Plain cannealed nothing nothing 0.97 times the weight ◇ borrowed",
    ]
    assert all(table.count("<tr>") == 5 for table in tables_)


def test_what_a_setting_shares_with_the_page_is_counted_and_not_listed_again(wheel):
    """Six usual, four beside, five at a pinch, one that cannot be said: the plated one is the same
    metal, so fifteen materials."""
    said, steel = by_section(wheel)["settings"][0].split(" Test wheel in a steel watch How ")
    assert said == (
        "Test wheel in a brass watch How to tell: It is yellow. ✓ Usual choice Test brass: all"
        " brass common practice Figures and hazards density at most 9 g/cm³: met, found 8.53 g/cm³,"
        " Nobody Precedent: Test wheel in a brass watch density at most 9 g/cm³: weight common"
        " practice 15 more materials listed above are on paper only here: nobody makes this part"
        " from them for such a watch. Their figures and hazards are given there."
    )
    # Brass stands on paper above too: it is no news here, and not one of those that changed.
    assert "more materials listed above" not in steel
    assert steel.endswith(" As above: on paper only (1).")


def test_the_matrix_has_one_sign_a_metal_and_what_is_weak_inside_the_brackets(wide):
    outside = next(iter(matrix_pages(wide))).body
    rows = re.findall(r"<tr>.*?</tr>", outside.split("<tbody>")[1], re.DOTALL)
    assert [read(row)[0] for row in rows] == [
        "Heavy + ●",
        "Light + ●◇",
        "Like + ●",
        "Magnetic + ●",
        "Near + ●",
        "Open ? ?",
        "Plain b + +",
        "Plain c + +",
        "Plain d + +",
        "Soft v (◇) (◇)",
        *(f"Soft {letter} (+) (+)" for letter in "wxyz"),
        "Test steel ●◔ +◔",
        "Test brass − p",
    ]
