"""Paper: what stands on a printed card, which letters fit, how a matrix is cut to one sheet. Expected values are by hand."""

import pytest

from generator.checking import check
from generator.paper import card_size, material_lines, matrix_size, part_lines
from generator.values import Values
from generator.verdicts import Judge
from generator.view import sentence


@pytest.mark.parametrize(("text", "reasons", "size", "brief"), [
    (1000, 700, "large", False), (1000, 701, "middle", False), (2600, 0, "middle", False), (2000, 2500, "small", False),
    (1500, 3001, "large", True),  # reasons stay on the page, what is left is short
    (4501, 0, "smallest", True)])
def test_the_largest_letters_that_fit(text, reasons, size, brief):
    assert card_size(["x" * text], ["y" * reasons]) == (size, brief)


@pytest.mark.parametrize(("rows", "columns", "row_letters", "head_letters", "size"), [
    (2, 2, 10, 10, (1, 16)),  # all fits at the largest letters, so nothing is cut
    # One block of 100 rows: 121.6 letters and 22 mm high, 7 half points.
    # Two blocks: 62.4 letters and 26.6 mm in 139 mm across, 10. Three: 5.
    (100, 28, 34, 26, (2, 10)),
    (100, 28, 60, 40, (2, 10))])  # longer names are cut by the style sheet
def test_a_matrix_is_cut_to_one_sheet(rows, columns, row_letters, head_letters, size):
    assert matrix_size(["r" * row_letters] * rows, ["c" * head_letters] * columns) == size


def test_the_lines_of_a_material(small):
    knowledge, _ = check(small)
    judge = Judge(knowledge, Values(knowledge))
    exposed = [(h, judge.exposure(h, "test-brass")) for h in knowledge.hazards]
    assert material_lines(knowledge, "test-brass", exposed, []) == [
        ("Goes well", "turning and milling"), ("Fails", "test sea"), ("Designations", "EN copper name CuZn30")]


def test_the_lines_of_a_part(small):
    knowledge, _ = check(small)
    assert part_lines(knowledge, "test-case", []) == [
        ("Must have", "hardness at least 120\N{NO-BREAK SPACE}HV; turning and milling goes with care or better"),
        ("Meets often", "test sea"), ("Work to remake it", "Test polish")]


def test_a_caution_says_its_danger_on_the_card(knowledge):
    caution = knowledge.cautions["beryllium-dust"]
    assert part_lines(knowledge, "train-wheel", [caution])[0] == (f"⚠ {sentence(caution.name)}", caution.danger)
