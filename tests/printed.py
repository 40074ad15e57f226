"""How large the letters of a printed file are, as a reader holds them: read out of the PDF, for a
browser makes a whole print smaller where one line is too wide for its sheet."""

import re
import shutil
import subprocess
from collections import defaultdict

import pytest

ZOOM = 3  # pdftohtml writes whole numbers and enlarges no further
needs_pdftohtml = pytest.mark.skipif(
    shutil.which("pdftohtml") is None, reason="no pdftohtml on this machine (Debian: poppler-utils)"
)


def smallest_letters(pdf) -> dict[tuple[int, int], float]:
    """The smallest type in points, for each size of sheet in millimetres."""
    command = ["pdftohtml", "-xml", "-i", "-hidden", "-zoom", str(ZOOM), "-stdout", str(pdf)]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    size_of, least = {}, defaultdict(lambda: 1000.0)
    for sheet in re.split(r"(?=<page )", said)[1:]:
        height, width = re.search(r'height="(\d+)" width="(\d+)"', sheet).groups()
        paper = tuple(round(int(side) / ZOOM * 25.4 / 72) for side in (width, height))
        size_of |= dict(re.findall(r'<fontspec id="(\d+)" size="(\d+)"', sheet))
        for font, text in re.findall(r'<text [^>]*font="(\d+)">(.*?)</text>', sheet):
            if re.sub(r"<[^>]*>", "", text).strip():
                least[paper] = min(least[paper], int(size_of[font]) / ZOOM)
    return dict(least)
