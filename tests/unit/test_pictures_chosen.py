"""Which pictures stand on a page, and of what: small invented records whose pictures are told by
hand."""

from decimal import Decimal as D

import pytest

from generator.numbers.values import Values
from generator.records.loading import load
from generator.site.page import Site
from generator.site.pictures import on_pages, sections, tints
from generator.verdicts.verdicts import Verdicts
from tests.conftest import FULL, ROOT, SMALL, edit, make_root
from tests.drawn import spoken

EDITS = (
    # brass has a hardness, but none of a state; the case names it as wrong
    (
        "alloys/test-brass.yaml",
        "\nworking:",
        "\n  hardness: [{range: [80, 120], unit: HV, source: test-sheet}]\nworking:",
    ),
    # the pinion asks for hardness on two scales, and for two more that nobody has
    (
        "parts/full-pinion.yaml",
        "  - {working: turn",
        "  - {property: hardness, at_most: 60, unit: HRC, why: other scale}\n"
        "  - {property: hardness, at_most: 700, unit: HV, firm: false, why: not too hard}\n"
        "  - {working: turn",
    ),
    ("processes/full-idle.yaml", "testing", "plating\nsuits: {families: [titanium]}"),
    ("processes/test-polish.yaml", "finishing", "heat\nsuits: {families: [titanium]}"),
    # a stainless steel of which a curve is known
    (
        "alloys/test-steel.yaml",
        "\nworking:",
        "\ntempering: [{hardened_from: x, quenched: y, unit: HV, source: test-sheet,"
        " points: [{temperature: 200, hardness: 400}, {temperature: 300, hardness: 300}]}]"
        "\nworking:",
    ),
)


@pytest.fixture(scope="module")
def small_site(tmp_path_factory):
    """What draws the pages of the small records, with the edits."""
    root = make_root(tmp_path_factory.mktemp("chosen"), SMALL, FULL)
    for change in EDITS:
        edit(root, *change)
    knowledge, complaints = load(root)
    assert complaints == []
    values = Values(knowledge)
    judged = Verdicts(knowledge, values)
    return Site(knowledge, values, {}, judged, ROOT / "site_src" / "templates")


def test_hardness_of_the_states_in_the_scale_that_most_have(small_site):
    """The steel has HV in both states and HRC in one."""
    assert spoken(on_pages.states(small_site, "full-steel")) == (
        "Hardness of its states, in HV: full annealed at most 200; full tempered 650."
    )
    for single in ("test-steel", "test-brass"):  # one bar compares nothing
        assert on_pages.states(small_site, single) == ""


def test_what_a_part_demands_stands_beside_its_choices(small_site):
    """The scale is that of the first demand; a demand on another is left out. What is usual twice
    stands once."""
    drawn = on_pages.of_part(small_site, "full-pinion")
    assert drawn["drawing"] == ""
    assert spoken(drawn["hardness"]) == (
        "Hardness of usual (✓) and wrong (✗) choices, in HV: ✓ Full steel, full tempered 650; "
        "✗ Full steel, full annealed at most 200; the part needs at least 500 HV; "
        "the part needs at most 700 HV, better."
    )
    assert spoken(on_pages.demanded(small_site, "test-case")) == (
        "Hardness of usual (✓) and wrong (✗) choices, in HV: ✓ Test steel, annealed 140 to 215; "
        "✗ Test brass 80 to 120; the part needs at least 120 HV."
    )


def of_another_case(site, monkeypatch, **changes):
    """What the case demands where its record says something else."""
    case = site.knowledge.parts["test-case"].model_copy(update=changes)
    monkeypatch.setitem(site.knowledge.parts, "test-case", case)
    return on_pages.demanded(site, "test-case")


def test_without_a_demand_or_a_known_choice_there_is_no_picture(small_site, monkeypatch):
    hardness, turning = small_site.knowledge.parts["test-case"].demands
    assert of_another_case(small_site, monkeypatch, demands=[turning]) == ""
    assert of_another_case(small_site, monkeypatch, demands=[hardness])
    assert of_another_case(small_site, monkeypatch, usual=[], wrong=[]) == ""


def test_a_demand_without_a_unit_is_in_the_first_unit_of_hardness(small_site, monkeypatch):
    asked = small_site.knowledge.parts["test-case"].demands[0]
    bare = asked.model_copy(update={"unit": None, "at_least": None, "at_most": D(300)})
    drawn = of_another_case(small_site, monkeypatch, demands=[bare])
    first = next(iter(small_site.knowledge.words("properties")["hardness"].units))
    unit = small_site.view.unit(first)
    assert spoken(drawn).endswith(f"; the part needs at most 300 {unit}.")


def test_a_metal_stands_among_all_where_three_are_known(small_site):
    """Density: 7.85 of the full steel, 8.53 of brass are the ends; of two metals alone the modulus
    is known, of none the strength. A plating is no metal here."""
    assert spoken(on_pages.among_metals(small_site, "test-steel")) == (
        "Test steel among all metals here: density 7.98 to 8.0 g/cm³, between Full steel and Test "
        "brass; thermal expansion 16.0 ×10⁻⁶/K, between Full steel and Test brass."
    )
    assert on_pages.among_metals(small_site, "test-plate") == ""
    assert on_pages.spans(small_site, "density") is on_pages.spans(small_site, "density")


def test_families_reach_from_their_lowest_to_their_highest(small_site):
    found = on_pages.by_family(small_site, "density")
    assert [(name, q.low, q.high) for name, q in found] == [
        ("Austenitic stainless steels", D("7.98"), D("8.0")),
        ("Carbon and tool steels", D("7.85"), D("7.85")),
        ("Brasses", D("8.53"), D("8.53")),
    ]
    assert [name for name, _ in on_pages.by_family(small_site, "elastic-modulus")] == [
        "Austenitic stainless steels",
        "Carbon and tool steels",
    ]


def test_a_material_with_all_its_pictures(small_site):
    """Heat colours are those of plain carbon steel: no other curve has them."""
    brass, steel, plain = (
        on_pages.of_material(small_site, key) for key in ("test-brass", "test-steel", "full-steel")
    )
    assert "brass, polished" in brass["colour"]
    assert (brass["colour_entry"].name, brass["curves"]) == ("brass", [])
    assert (steel["colour"], steel["colour_entry"], steel["hardness"]) == ("", None, "")
    assert steel["strips"] == on_pages.among_metals(small_site, "test-steel")
    assert plain["hardness"] == on_pages.states(small_site, "full-steel")
    (curve,) = steel["curves"]
    assert curve["curve"] is small_site.knowledge.materials["test-steel"].tempering[0]
    assert spoken(curve["svg"]) == "Hardness in HV after tempering: 200 °C 400; 300 °C 300."
    assert spoken(plain["curves"][0]["svg"]).startswith(
        "Hardness in HRC after tempering: 150 °C 64; 300 °C 56. "
        "Colours after a few minutes: pale yellow at 221, straw at 237,"
    )


def test_work_that_is_watched_by_a_colour_shows_it(small_site):
    work = small_site.knowledge.processes
    colours = small_site.colours
    assert on_pages.of_process(small_site, work["full-harden"]) == tints.steel(colours)
    assert on_pages.of_process(small_site, work["full-idle"]) == tints.titanium(colours)
    assert on_pages.of_process(small_site, work["test-polish"]) == ""  # heat, but of titanium


def test_sums_are_drawn_where_they_are_kept(small_site, site_pages):
    """The example sizes of the two sums of a gasket: 0.8 mm in a groove of 0.6 by 1.1."""
    drawn = on_pages.of_formula(site_pages, "gasket-squeeze")
    assert drawn == on_pages.of_formula(site_pages, "gasket-fill")
    assert drawn == on_pages.gasket(site_pages) == sections.gasket(D("0.8"), D("0.6"), D("1.1"))
    rates = on_pages.of_formula(site_pages, "thermal-rate-error")
    assert rates == on_pages.rates(site_pages)
    assert spoken(rates).startswith("Rate against temperature")
    assert on_pages.of_formula(site_pages, "density-ratio") == ""
    assert on_pages.gasket(small_site) == on_pages.rates(small_site) == ""
