"""Paper: what stands on a printed card, which letters fit, over how many sheets a matrix runs,
where the code leads.

Expected values are by hand.
"""

import pytest

from generator.checks.rules import check
from generator.deliver.pages import address_of
from generator.numbers.values import Values
from generator.site.page import Site
from generator.site.pages.material import material_page
from generator.site.print_layout import card_size, code, material_lines, matrix_size, part_lines
from generator.site.texts import sentence
from generator.tables import tables
from generator.verdicts.findings import Judge
from generator.verdicts.verdicts import Verdicts
from tests.conftest import ROOT


@pytest.mark.parametrize(
    ("top", "lines", "size", "sides"),
    [
        (1000, 700, "large", 1),
        (1000, 701, "middle", 1),
        (2400, 0, "middle", 1),
        (2000, 2401, "sheet", 1),
        (2001, 2400, "middle", 2),  # too many for one side: each half stands on a side of A5
        (3000, 2600, "sheet", 1),
        (3000, 2601, "sheet", 2),
        (9000, 10, "sheet", 2),
    ],
)
def test_the_largest_letters_that_fit_and_on_how_many_sides(top, lines, size, sides):
    assert card_size(["x" * top], ["y" * lines]) == (size, sides)


@pytest.mark.parametrize(
    ("rows", "columns", "row_letters", "head_letters", "size"),
    [
        (2, 2, 10, 10, ("upright", 16, 1)),  # all fits at the largest letters
        # Upright, 6 pt: 53 letters 67.4 mm and 28 signs 115.6 mm make 183 of 196; 93 rows of 2.44
        # mm and a head of 31.8 make 261 of
        # 267. 6.5 pt: 73 and 123 are too wide. Lying, 8 pt would need three sheets.
        (93, 28, 53, 25, ("upright", 12, 1)),
        # 47 signs are too wide upright (194 and 67 mm). Lying, 6.5 pt: 73 and 206 mm of 282; head
        # 42.7 mm, 51 rows of 2.63 mm a
        # sheet.
        (83, 47, 53, 31, ("lying", 13, 2)),
        (83, 120, 53, 31, ("lying", 12, 1)),
    ],
)  # too wide for any sheet
def test_a_matrix_runs_over_few_sheets_with_letters_of_6_points_or_more(
    rows, columns, row_letters, head_letters, size
):
    assert matrix_size(["r" * row_letters] * rows, ["c" * head_letters] * columns) == size


@pytest.mark.parametrize(("letters", "modules"), [(62, 33), (63, 37)])
def test_the_code_holds_the_address(letters, modules):
    """ISO/IEC 18004: version 4 at level M holds 62 bytes in 33 modules, version 5 has 37.

    Two more at each side stay white.
    """
    address = "https://bench.example/".ljust(letters, "a")
    assert f'viewBox="0 0 {modules + 4} {modules + 4}"' in code(address)
    assert "style=" not in code(address)


@pytest.mark.parametrize(
    ("line", "address"),
    [
        ("site_url: https://bench.example/cards/", "https://bench.example/cards/"),
        ('site_url: "http://10.0.0.5:8000"', "http://10.0.0.5:8000"),
        ("# site_url: https://bench.example", ""),
        ("site_url: ''", ""),
        ("site_url: bench.example", ""),
    ],
)
def test_only_an_http_address_makes_a_code(tmp_path, line, address):
    (tmp_path / "mkdocs.yml").write_text(f"site_name: x\n{line}\nplugins: []\n")
    assert address_of(tmp_path) == address


def test_a_card_carries_a_code_only_where_the_site_has_an_address(small):
    knowledge, _ = check(small)
    values = Values(knowledge)
    parts = (
        knowledge,
        values,
        tables.build(knowledge, values),
        Verdicts(knowledge, values),
        ROOT / "site_src" / "templates",
    )
    assert 'class="code"' not in material_page(Site(*parts), "test-brass").body
    body = material_page(Site(*parts, base="https://bench.example/"), "test-brass").body
    assert str(code("https://bench.example/materials/test-brass.html")) in body


def test_the_lines_of_a_material(small):
    knowledge, _ = check(small)
    judge = Judge(knowledge, Values(knowledge))
    exposed = [(h, judge.exposure(h, "test-brass")) for h in knowledge.hazards]
    assert material_lines(knowledge, "test-brass", exposed, []) == [
        ("Goes well", "turning and milling"),
        ("Fails", "test sea"),
        ("Designations", "EN copper name CuZn30"),
    ]


def test_the_lines_of_a_part(small):
    knowledge, _ = check(small)
    assert part_lines(knowledge, "test-case", []) == [
        (
            "Must have",
            (
                "hardness at least 120\N{NO-BREAK SPACE}HV; turning and milling: needs care or"
                " better"
            ),
        ),
        ("Often exposed to", "test sea"),
        ("Work to make one", "Test polish"),
    ]


def test_a_caution_says_its_danger_on_the_card(knowledge):
    caution = knowledge.cautions["beryllium-dust"]
    assert part_lines(knowledge, "train-wheel", [caution])[0] == (
        f"⚠ {sentence(caution.name)}",
        caution.danger,
    )
