"""How far a figure speaks of the very metal: what counts, and that the reader sees what is
borrowed.

The order (own, then converted or worked out, then borrowed, then remembered) is this project's own
rule; the hardness pair is from ASTM E140 Table 1 (50 HRC is 513 HV), the densities are handbook
values of fine gold and silver (19.3 and 10.5 g/cm3).
"""

import re
from decimal import Decimal as D

import pytest

from generator.checks.rules import check
from generator.numbers.quantities import of_figure, outranked, shown
from generator.numbers.values import Values
from generator.records.common import Figure
from generator.records.parts import Demand
from generator.records.vocabulary import Source
from generator.site import watch_sheet
from generator.site.calculators import material_values
from generator.site.pages.gallery import gallery_page
from generator.site.pages.material import key_figures, missing_figures
from generator.site.pages.matrix import matrix_pages
from generator.site.pages.part import part_at_once, part_page
from generator.site.pages.rung_rows import by_rung
from generator.site.pictures.on_pages import among_metals
from generator.site.pictures.tints import steel
from generator.site.reasons import Numbered, Reasons
from generator.upkeep.review import explain
from generator.upkeep.said import site_of
from generator.upkeep.stands import explain_role
from generator.verdicts.findings import Judge
from generator.verdicts.wording import (
    GROUNDS,
    answer_words,
    ground_words,
    rests_on_little,
    with_unit,
)
from tests.conftest import ROOT, edit

OWN = Figure(typical="15.1", source="sheet")
BORROWED = Figure(typical="14.7", source="chart", of="a redder gold")
REMEMBERED = Figure(typical="16.0", source="memory")


def counted(*figures, computed=()):
    return outranked(
        [of_figure(f, "g/cm3") for f in figures]
        + [of_figure(f, "g/cm3", "computed") for f in computed]
    )


def test_an_own_figure_of_the_metal_counts_before_a_borrowed_one_of_its_state(small):
    borrowed = "      elastic-modulus: [{typical: 193, source: test-sheet, of: a relative}]\n"
    edit(
        small, "alloys/test-steel.yaml", "      proof-strength:", f"{borrowed}      proof-strength:"
    )
    knowledge, complaints = check(small)
    assert complaints == []
    found = Values(knowledge).of("test-steel", "elastic-modulus", "annealed")
    assert (shown(found), found.evidence) == ("200", "own")


@pytest.mark.parametrize(
    ("figures", "computed", "number", "evidence"),
    [
        ((OWN, BORROWED, REMEMBERED), (), "15.1", "own"),
        ((BORROWED, REMEMBERED), (), "14.7", "borrowed"),
        ((REMEMBERED,), (), "16.0", "memory"),
        ((BORROWED, REMEMBERED), (Figure(typical="15.2", source="rule"),), "15.2", "computed"),
        ((OWN, BORROWED), (Figure(typical="15.2", source="rule"),), "15.1", "own"),
    ],
)
def test_better_evidence_counts_alone(figures, computed, number, evidence):
    for order in (figures, figures[::-1]):
        found = counted(*order, computed=computed)
        assert (shown(found), found.evidence) == (number, evidence)


def test_a_limit_stays_and_a_relative_may_close_its_open_end():
    found = counted(
        Figure(at_most="200", source="a"), Figure(range=["160", "230"], source="b", of="r")
    )
    assert (found.low, found.high) == (D(160), D(200))
    assert (found.evidence, found.of) == ("borrowed", ("r",))


def test_a_relative_that_contradicts_the_limit_is_left_out():
    found = counted(Figure(at_most="200", source="a"), Figure(typical="266", source="b", of="r"))
    assert (found.low, found.high, found.evidence) == (None, D(200), "own")


def test_memory_never_closes_a_limit():
    found = counted(Figure(at_most="200", source="a"), Figure(typical="150", source="memory"))
    assert (found.low, found.high) == (None, D(200))


def with_hardness(small, figures):
    path = small / "knowledge/alloys/test-steel.yaml"
    old = "hardness: [{range: [140, 215], unit: HV, source: test-sheet}]"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, f"hardness: [{figures}]"), encoding="utf-8")
    knowledge, complaints = check(small)
    assert [str(c) for c in complaints] == []
    return knowledge


def test_the_reader_is_told_from_what_a_figure_is_borrowed(small):
    """In what a verdict found, and in `explain`, by word and sign."""
    knowledge = with_hardness(small, "{typical: 190, unit: HV, source: test-sheet, of: 1.4441}")
    values = Values(knowledge)
    found = values.of("test-steel", "hardness", "annealed")
    assert with_unit(knowledge, found) == "190\u00a0HV ◇ borrowed from 1.4441"
    said = explain(knowledge, "test-steel.hardness")
    assert "190 HV ◇ borrowed from 1.4441" in said
    demand = Demand(property="hardness", at_least="180", unit="HV", why="invented")
    answer = Judge(knowledge, values)._ask_figure(demand, "test-steel", "annealed")
    assert answer_words(knowledge, answer) == "found 190\u00a0HV ◇ borrowed from 1.4441"


@pytest.mark.parametrize(
    ("figures", "little"),
    [
        ("{typical: 190, unit: HV, source: test-sheet}", True),  # the kind data-sheet, alone
        ("{typical: 190, unit: HV, source: test-standard}", False),
        ("{typical: 190, unit: HV, source: test-sheet}, "
         "{typical: 195, unit: HV, source: test-standard}", False),
    ],
)  # fmt: skip
def test_a_verdict_on_one_weak_source_says_that_it_rests_on_little(small, figures, little):
    knowledge = with_hardness(small, figures)
    answers = Judge(knowledge, Values(knowledge)).answers("test-case", "test-steel", "annealed")
    assert answers[0].quantity is not None
    assert rests_on_little(knowledge, answers) == little


@pytest.mark.parametrize(("source", "told"), [("test-sheet", True), ("test-standard", False)])
def test_the_page_of_a_part_shows_on_what_little_a_verdict_rests(small, source, told):
    knowledge = with_hardness(small, f"{{typical: 190, unit: HV, source: {source}}}")
    page = part_page(site_of(ROOT, knowledge), "test-case").text()
    assert ("◔ thinly sourced" in page) == told


def test_explain_says_why_a_borrowed_figure_is_not_counted(small):
    knowledge = with_hardness(
        small,
        "{typical: 170, unit: HV, source: test-sheet}, "
        "{typical: 190, unit: HV, source: test-standard, of: 1.4441}",
    )
    said = explain(knowledge, "test-steel.hardness")
    assert "what counts: 170 HV" in said
    assert "not counted: a figure for the metal itself, or better evidence, is known too" in said


def test_no_shipped_borrowed_or_remembered_figure_outranks_an_own_one(knowledge, values):
    """Over every cell: where the very metal has a value of its own, it alone counts."""
    not_measured = {"memory", "din-50150", "gb-t-3771"} | {
        key for key, source in knowledge.sources.items() if source.kind == "calculation"
    }
    wrong = []
    for key, record in knowledge.materials.items():
        for state, figures in [
            (None, record.figures),
            *((s, t.figures) for s, t in record.states.items()),
        ]:
            for prop, found in figures.items():
                for unit in {f.unit or values.unit_of(prop) for f in found}:
                    own = [
                        f
                        for f in found
                        if (f.unit or values.unit_of(prop)) == unit
                        and f.of is None
                        and f.source not in not_measured
                        and f.kind in ("typical", "range")
                    ]
                    counts = values.of(key, prop, state, unit)
                    if own and prop != "expansion" and counts.evidence != "own":
                        wrong.append((key, state, prop, unit))
    assert wrong == []


@pytest.mark.parametrize(
    ("sources", "text"),
    [
        (("7.95", "8.0"), "7.95\u00a0to\u00a08.0"),  # what is shown is what is computed with
        (("15.53", "15.59"), "15.53\u00a0to\u00a015.59"),
        (("16", "16.5"), "16\u00a0to\u00a016.5"),  # 3 % apart: the width tells the doubt
        (("120", "135"), "120\u00a0to\u00a0135"),
    ],
)
def test_a_span_of_sources_shows_what_each_printed(sources, text):
    """What is shown rounds outwards, so that both sources stay inside; by hand."""
    assert (
        shown(counted(*(Figure(typical=t, source=f"s{i}") for i, t in enumerate(sources)))) == text
    )


def test_the_case_steel_and_the_platinum_are_shown_to_what_is_known(values):
    """316L is printed as 7.95 and as 8.0 by its sheets (EN 10088-1 gives 8.0), so that who divides
    what is shown gets the ratio of the table; 95 Pt 5 Ir is 21.5."""
    density = values.of("stainless-316l", "density")
    assert shown(density) == "7.95\u00a0to\u00a08.0"
    assert (str(density.low), str(density.high)) == ("7.95", "8.0")
    assert shown(values.of("platinum-950-iridium", "density")) == "21.5"


def weakly_offered(site) -> dict[tuple[str, str], tuple]:
    """(role, material) -> the best judgement and the words of its ground, where that is weak."""
    found, seen = {}, set()
    for role, cells in site.verdicts.cells.items():
        for j in cells:
            if (role, j.material) not in seen:
                words = ground_words(site.verdicts.judge, j)
                if words:
                    found[role, j.material] = j, words
            seen.add((role, j.material))
    return found


def test_every_weak_verdict_bears_its_sign_on_pages_in_print_and_in_scripts(site_pages):
    weak = weakly_offered(site_pages)
    assert {words for _, words in weak.values()} == set(GROUNDS.values())
    # matrices: the sign stands in the cell, the word in the legend
    for page in matrix_pages(site_pages):
        if "parts" in page.file:
            assert all(f"<strong>{w[0]}</strong> {w[2:]}" in page.text() for w in GROUNDS.values())
            columns = re.findall(r"parts/([\w-]+)\.html", page.text().split("</thead>")[0])
            for row in re.findall(r"<tr><th scope.*?</tr>", page.text().split("</thead>")[1]):
                material = re.search(r"materials/([\w-]+)\.html", row)[1]
                cells = re.findall(r'<td class="m[^"]*">(.*?)</td>', row)
                for part, cell in zip(columns[-len(cells) :], cells, strict=True):
                    words = weak.get((part, material), (None, ""))[1]
                    assert (words[:1] in cell) if words else not set("◇◔") & set(cell), (
                        part,
                        material,
                    )
    # what stands in one line at the top of a part, and on its card
    for part in ("crown", "balance-spring-stud", "case-middle"):
        rungs = by_rung(site_pages, "material", site_pages.verdicts.of_part(part))
        for rung, named, _ in part_at_once(site_pages, part, rungs)["rungs"]:
            for row in (r for r in rungs[rung] if r["id"] in dict(named)):
                j, words = weak.get((part, row["id"]), (None, ""))
                if j is row["judgement"]:
                    assert dict(named)[row["id"]].endswith(words)
    # the scripts of side by side and of the watch sheet
    texts = Numbered()
    for role, (j, words) in ((k[0], v) for k, v in weak.items()):
        if role in site_pages.knowledge.parts and not j.coated:
            halves = Reasons(site_pages.verdicts.worded, texts).first(j)
            assert texts.things[halves[-1]].endswith(words)
        assert watch_sheet._reason(site_pages, j)[0].endswith(words)


def test_explain_says_on_what_ground_each_material_stands(knowledge, site_pages):
    said = "\n".join(explain_role(knowledge, "crown"))
    for (role, material), (_, words) in weakly_offered(site_pages).items():
        if role == "crown":
            name = re.escape(knowledge.materials[material].name)
            assert re.search(f"^  {name}.*{words}$", said, re.MULTILINE), material


def test_a_borrowed_figure_is_signed_in_calculators_pictures_and_identification(site_pages):
    known = [
        (m, p)
        for m in site_pages.knowledge.materials
        for p in ("density", "elastic-modulus")
        if (q := site_pages.values.of(m, p)) and q.evidence == "borrowed"
    ]
    assert known
    script = material_values(site_pages)
    for m, p in known:
        name = site_pages.view.property_name(p)
        row = script[script.index(f'"{m}"') :]
        assert f'"{p}": "{name} ◇ borrowed"' in row.replace('":"', '": "')[:9000]
        if site_pages.knowledge.material_class(site_pages.knowledge.materials[m]) == "metal":
            assert "◇ borrowed" in among_metals(site_pages, m)
    for m in site_pages.signs["materials"]:
        states = site_pages.knowledge.materials[m["id"]].states or (None,)
        hardness = [site_pages.values.of(m["id"], "hardness", s, "HV") for s in states]
        assert bool(m["fileFrom"]) == any(q and q.evidence == "borrowed" for q in hardness)
        density = site_pages.values.of(m["id"], "density")
        if density and density.evidence == "borrowed":
            assert m["densityFrom"].startswith("◇ borrowed")


def test_a_colour_from_memory_and_the_word_of_a_colour_say_so(site_pages):
    entries = site_pages.knowledge.words("metal_colours")
    remembered = {k for k, e in entries.items() if e.source == "memory"}
    assert remembered
    page = gallery_page(site_pages).text()
    for key, entry in entries.items():
        signed = re.search(rf"</svg>{re.escape(entry.name)} <small[^>]*>○ from memory<", page)
        assert bool(signed) == (key in remembered), key
    tints = site_pages.knowledge.words("tints").values()
    drawn = steel(site_pages.colours)
    for tint in tints:
        signed = re.search(rf"</svg>{tint.name} <small[^>]*>○ from memory<", drawn)
        assert bool(signed) == (tint.source == "memory"), tint.name
    assert dict(key_figures(site_pages, "stainless-316l"))["colour"].endswith(
        '<small class="evidence">common practice</small>'
    )


@pytest.mark.parametrize(
    ("kind", "fields", "label"),
    [
        ("paper", {"author": "A. B. Ceder, C. Dorn and E. Fuchs", "year": "2001"},
         "Ceder and others 2001"),
        ("handbook", {"author": "W. D. Callister and D. G. Rethwisch"}, "Callister and Rethwisch"),
        ("paper", {"author": "Corti"}, "Corti"),
        ("stockist", {"author": "Marex Metals"}, "Marex Metals"),
        ("hobby", {"author": "a goldsmith"}, "Nobody"),
        ("law", {"title": "Directive (EU) 2017/2398 amending another"}, "Directive (EU) 2017/2398"),
        ("law", {"title": "16 CFR 23 Guides", "author": "A Commission"}, "16 CFR 23"),
        ("standard", {"title": "Strip of copper", "number": "GB/T 2059-2008"}, "GB/T 2059-2008"),
        ("stockist", {"title": "Brass rod", "number": "ASTM B16"}, "Nobody"),
    ],
)  # fmt: skip
def test_a_source_is_called_by_its_author_or_its_law(site_pages, kind, fields, label):
    source = Source(**{"title": "A text", "publisher": "Nobody", "kind": kind, **fields})
    sources = site_pages.knowledge.sources
    sources["made-up"] = source
    try:
        assert site_pages.view.source_label("made-up") == label
    finally:
        del sources["made-up"]


def test_a_metal_with_nickel_says_that_its_release_was_not_found(site_pages):
    """904L holds 23 to 28 % nickel (EN 10088-1), 316L's release is published, CuZn37 has none."""
    said = {m: missing_figures(site_pages, m) for m in site_pages.knowledge.materials}
    assert "nickel release" in said["stainless-904l"]
    assert "nickel release" in said["gold-14-white-nickel"]
    assert "nickel release" not in said["stainless-316l"] + said["brass-cuzn37"]
