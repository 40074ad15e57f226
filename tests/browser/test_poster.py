"""The poster on paper: one sheet of A3, four of A4, every part on it, letters of six points and
more."""

import re
import shutil
import subprocess

import pytest

from generator.site.pages.poster import shared

POINTS = {"a3": (842, 1191), "a4": (595, 842)}  # ISO 216: 297 by 420 mm, 210 by 297 mm


def test_sheets_are_filled_as_evenly_as_can_be():
    """By hand: 5 4 3 / 3 4 4 / ... in order on two sheets leaves 12 and 11, not 9 and 14."""
    assert shared([5, 4, 3, 3, 4, 4], 2) == [[0, 1, 2], [3, 4, 5]]
    assert shared([9, 1, 1, 9], 2) == [[0, 1], [2, 3]]
    assert [len(s) for s in shared([1], 2)] in ([1, 0], [0, 1])


@pytest.mark.browser
@pytest.mark.parametrize(("page", "sheets", "size"), [("poster", 1, "a3"), ("poster-a4", 4, "a4")])
def test_the_poster_prints_on_so_many_sheets(
    watched, site, tmp_path, knowledge, page, sheets, size
):
    watched.goto((site / f"{page}.html").as_uri())
    file = tmp_path / "poster.pdf"
    watched.pdf(path=str(file), prefer_css_page_size=True)
    raw = file.read_bytes()
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", raw)
    assert len(boxes) == sheets
    for width, height in boxes:
        assert (round(float(width)), round(float(height))) == POINTS[size]
    if shutil.which("pdftotext"):
        said = subprocess.run(["pdftotext", str(file), "-"], capture_output=True, text=True).stdout
        plain = " ".join(said.split()).lower()
        for part in knowledge.parts.values():
            assert part.name.lower() in plain, part.name


@pytest.mark.browser
@pytest.mark.parametrize("page", ["poster", "poster-a4"])
def test_letters_on_the_poster(watched, site, page):
    watched.goto((site / f"{page}.html").as_uri())
    least = """[...document.querySelectorAll('.poster__zones strong, .poster__metal')]
        .map(e => parseFloat(getComputedStyle(e).fontSize)).reduce((a, b) => Math.min(a, b))"""
    assert watched.evaluate(least) >= 12
    watched.emulate_media(media="print")
    assert watched.evaluate(least) >= 6 * 96 / 72
