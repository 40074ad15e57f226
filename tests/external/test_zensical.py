"""The same Markdown and the same configuration with another site generator that reads mkdocs.yml:
the pages say the same.

It is installed into a throwaway environment; where that cannot be done, the test is skipped and
says why.
"""

import re
import subprocess
import sys
import venv

import pytest

from generator.commands.build import Timings, build, write_pages
from tests.conftest import FULL, SMALL, make_buildable
from tests.unit.test_hostile import Shape

WANTED = "zensical==0.0.73"
ARTICLE = re.compile(r'<article class="md-content__inner md-typeset">(.*?)</article>', re.DOTALL)
pytestmark = [pytest.mark.external, pytest.mark.slow]


@pytest.fixture(scope="module")
def zensical(tmp_path_factory):
    """The command of a fresh installation."""
    home = tmp_path_factory.mktemp("zensical") / "venv"
    venv.create(home, with_pip=True)
    folder = home / ("Scripts" if sys.platform == "win32" else "bin")
    done = subprocess.run(
        [
            folder / "python",
            "-m",
            "pip",
            "install",
            "--quiet",
            "--disable-pip-version-check",
            "--no-input",
            "--only-binary",
            ":all:",
            WANTED,
        ],
        capture_output=True,
        text=True,
        timeout=300,
    )
    if done.returncode:
        pytest.skip(
            f"{WANTED} cannot be installed here:"
            f" {(done.stderr.strip().splitlines() or ['no reason given'])[-1]}"
        )
    return folder / "zensical"


@pytest.fixture(scope="module")
def both(zensical, tmp_path_factory):
    """The site of MkDocs and that of the other generator, from the same build/pages and
    build/mkdocs.yml."""
    root = make_buildable(tmp_path_factory.mktemp("both") / "p", SMALL, FULL)
    site, _ = build(root, Timings())
    configuration, _ = write_pages(root, Timings())
    done = subprocess.run(
        [zensical, "build", "--config-file", configuration, "--clean"],
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return site, root / "build" / "site.pages"


def test_every_page_is_made(both):
    mine, other = ({p.relative_to(site).as_posix() for p in site.rglob("*.html")} for site in both)
    assert other - mine == {"404.html"}
    assert mine - other == set()


def test_every_page_says_the_same_in_the_same_elements(both):
    mine, other = both
    for path in sorted(mine.rglob("*.html")):
        name = path.relative_to(mine)
        left, right = (
            Shape(ARTICLE.search((site / name).read_text(encoding="utf-8")).group(1))
            for site in (mine, other)
        )
        assert left.text == right.text, name
        # It adds one empty anchor that its link "skip to content" leads to.
        assert left.elements == [
            e for i, e in enumerate(right.elements) if i > 1 or e[0] not in ("a", "/a")
        ], name


def test_the_find_box_and_the_scripts_are_there_and_nothing_leaves_the_site(both):
    mine, other = both
    page = (other / "materials" / "full-steel.html").read_text(encoding="utf-8")
    assert 'class="find__input"' in page
    assert "../assets/find.js" in page
    for data in (
        "find-index",
        "values",
        "leaflet-data",
        "identify-data",
        "compare-data",
        "questions-data",
    ):
        assert (other / "assets" / f"{data}.js").read_bytes() == (
            mine / "assets" / f"{data}.js"
        ).read_bytes()
    assert "../assets/style.css" in page
    assert re.findall(r'(?:src|href)="(?:https?:)?//', page) == []
