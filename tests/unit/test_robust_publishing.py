"""Publishing tried from outside: killed at random moments, twice at once, with a disk that is full,
into folders of odd names."""

import os
import random
import shutil
import signal
import subprocess
import sys
import time

import pytest

from generator import cli
from generator.deliver import bundle, card_book
from tests.conftest import ROOT, SMALL, make_buildable
from tests.unit.test_publishing import hashes

KILLS = int(os.environ.get("BENCH_KILLS", "10"))
# No book of cards: a browser would take most of the time, and is killed with its own process.
QUIET = "from generator.deliver import card_book; card_book.find_browser = lambda: None; "
BUNDLE = (
    "import sys; from pathlib import Path; from generator.deliver.bundle import bundle; "
    + QUIET
    + "bundle(Path(sys.argv[1]), Path(sys.argv[2]), Path(sys.argv[3]))"
)
PUBLISH = (
    "import sys; from pathlib import Path; from generator import cli; "
    + QUIET
    + "cli.ROOT = Path(sys.argv[1]); sys.exit(cli.main(['publish', '--to', sys.argv[2]]))"
)
SOURCES = ROOT / "site_src" / "offline"


def start(code, *words, errors=subprocess.DEVNULL) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-c", code, *map(str, words)],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=errors,
        text=True,
    )


@pytest.mark.slow
def test_killed_at_any_moment_the_published_folder_is_whole(small_built, tmp_path):
    """What stands there is one edition or the other, never a mixture; and nothing is left over."""
    other = tmp_path / "other"
    shutil.copytree(small_built / "site", other)
    page = other / "index.html"
    text = page.read_text(encoding="utf-8")
    page.write_text(text.replace("</main>", "<p>Another word.</p></main>", 1), encoding="utf-8")
    assert page.read_text(encoding="utf-8") != text
    sites, whole, took = [small_built / "site", other], [], 0.0
    target = tmp_path / "published"
    for site in sites:
        began = time.perf_counter()
        assert start(BUNDLE, site, SOURCES, target).wait(120) == 0
        took = time.perf_counter() - began
        (folder,) = target.iterdir()
        whole.append(hashes(folder))
    assert whole[0] != whole[1]
    dice, killed = random.Random(20261126), 0
    for turn in range(4 * KILLS):
        process, began = start(BUNDLE, sites[turn % 2], SOURCES, target), time.perf_counter()
        try:
            assert process.wait(dice.uniform(0, took * 1.1)) == 0
            took = time.perf_counter() - began  # as quick as the machine is by now
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
            killed += process.wait() == -signal.SIGKILL
        assert hashes(folder) in whole, f"turn {turn}: a mixture"
        if killed == KILLS:
            break
    assert killed == KILLS
    assert start(BUNDLE, sites[0], SOURCES, target).wait(120) == 0
    assert hashes(folder) == whole[0]
    assert [p.name for p in target.iterdir()] == [folder.name]


@pytest.mark.slow
def test_two_publishes_at_once_take_turns(out, tmp_path):
    root = make_buildable(tmp_path / "p", SMALL)
    target = tmp_path / "out"
    both = [start(PUBLISH, root, target, errors=subprocess.PIPE) for _ in range(2)]
    said = [p.communicate()[1] for p in both]
    assert [p.returncode for p in both] == [0, 0], said
    (folder,), (alone,) = target.iterdir(), out[1].iterdir()
    assert hashes(folder) == hashes(alone)


@pytest.fixture(scope="module")
def out(tmp_path_factory):
    """A project folder and where it was published once, each test to a copy of its own."""
    folder = tmp_path_factory.mktemp("once")
    root, target = make_buildable(folder / "p", SMALL), folder / "out"
    assert start(PUBLISH, root, target).wait(300) == 0
    return root, target


@pytest.mark.slow
@pytest.mark.parametrize("fault", [28, 30, 13])
@pytest.mark.parametrize("step", ["write_zip", "_put"])
def test_a_disk_that_cannot_be_written_is_one_line(out, tmp_path, monkeypatch, capsys, step, fault):
    """No space (ENOSPC), a read-only file system (EROFS), no right to write (EACCES)."""
    root, target = out[0], shutil.copytree(out[1], tmp_path / "out")
    monkeypatch.setattr(cli, "ROOT", root)
    monkeypatch.setattr(card_book, "find_browser", lambda: None)
    before = hashes(target)
    assert before

    def refusing(*_):
        raise OSError(fault, os.strerror(fault), str(target / "x.zip"))

    monkeypatch.setattr(bundle, step, refusing)
    assert cli.main(["publish", "--to", str(target)]) == 3
    error = capsys.readouterr().err.splitlines()
    assert error[-1].startswith("generator: ") and os.strerror(fault) in error[-1]
    assert not any("Traceback" in line for line in error)
    assert {k: v for k, v in hashes(target).items() if ".new/" not in k} == before


@pytest.fixture(scope="module")
def plain(small_built, tmp_path_factory):
    """The small site published from and to a plain path."""
    target = tmp_path_factory.mktemp("plain")
    assert start(BUNDLE, small_built / "site", SOURCES, target).wait(120) == 0
    return target


@pytest.mark.slow
@pytest.mark.parametrize("name", ["Größe ß 金", "x" * 200])  # a space: test_reproducible.py
def test_published_from_an_odd_path_it_is_the_same(tmp_path, plain, name):
    odd = tmp_path / name / "out"
    root = make_buildable(tmp_path / name / "p", SMALL)
    process = start(PUBLISH, root, odd, errors=subprocess.PIPE)
    error = process.communicate()[1]
    assert process.returncode == 0, error
    assert hashes(odd) == hashes(plain)
