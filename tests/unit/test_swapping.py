"""Killed at any moment, a build leaves the old site or the new one, whole; two builds never
mix."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from generator.commands.build import Timings, build
from generator.deliver import finish, swap
from tests.conftest import ROOT, SMALL, make_buildable
from tests.unit.test_publishing import hashes

BUILD = (
    "import sys, gc; gc.disable(); from pathlib import Path; from generator.commands.build import"
    " Timings, build; build(Path(sys.argv[1]), Timings())"
)
KILLS = int(os.environ.get("BENCH_KILLS", "15"))
RECORD = Path("knowledge/alloys/test-steel.yaml")


def start_build(root: Path) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-c", BUILD, str(root)], cwd=ROOT, start_new_session=True
    )


def write(root: Path, density: str) -> None:
    path = root / RECORD
    path.write_text(
        (SMALL / "alloys" / "test-steel.yaml")
        .read_text()
        .replace("typical: 7.98", f"typical: {density}")
    )


@pytest.mark.slow
def test_killed_at_any_moment_the_site_is_whole(tmp_path):
    """Every second kill leaves MkDocs alive, so that the next build meets its rest."""
    root = make_buildable(tmp_path / "p", SMALL)
    whole, took = [], 0.0
    for density in ("7.97", "7.99"):
        write(root, density)
        began = time.perf_counter()
        assert start_build(root).wait() == 0
        took = time.perf_counter() - began
        whole.append(hashes(root / "site"))
    assert whole[0] != whole[1]
    dice = random.Random(20261125)
    turn = killed = 0
    while killed < KILLS:
        turn += 1
        assert turn < 4 * KILLS
        write(root, ("7.97", "7.99")[turn // 5 % 2])  # five tries at each, so that some get through
        began, process = time.perf_counter(), start_build(root)
        try:
            assert process.wait(dice.uniform(0, took * 1.1)) == 0
            took = (
                time.perf_counter() - began
            )  # done before the kill: what else the machine does has changed
        except subprocess.TimeoutExpired:
            (
                os.kill(process.pid, signal.SIGKILL)
                if turn % 2
                else os.killpg(process.pid, signal.SIGKILL)
            )
            killed += process.wait() == -signal.SIGKILL
        assert hashes(root / "site") in whole, f"turn {turn}: a mixture"
    for density, expected in zip(("7.97", "7.99"), whole, strict=True):
        write(root, density)
        assert start_build(root).wait() == 0
        assert hashes(root / "site") == expected
    assert {p.name for p in (root / "build").iterdir()} <= {
        "colours.txt",
        "drawn",
        "frames",
        "frames.yml",
        "kept",
        "links.txt",
        "lock",
        "mkdocs.yml",
        "pages",
        "read.txt",
        "schemas.txt",
        "sure.txt",
        "templates",
    }


@pytest.mark.slow
def test_two_builds_at_once_take_turns(tmp_path, small_built):
    root = make_buildable(tmp_path / "p", SMALL)
    builds = [start_build(root) for _ in range(2)]
    assert [b.wait() for b in builds] == [0, 0]
    assert hashes(root / "site") == hashes(small_built / "site")


@pytest.mark.slow
def test_a_changed_record_changes_only_the_pages_that_show_it(built):
    site = built / "site"
    before = {p: (p.stat().st_mtime_ns, p.read_bytes()) for p in site.rglob("*") if p.is_file()}
    path = built / "knowledge" / "parts" / "test-case.yaml"
    path.write_text(path.read_text().replace("does: Holds the rest.", "does: Holds all the rest."))
    build(built, Timings())
    changed = {
        p.relative_to(site).as_posix()
        for p, (_, content) in before.items()
        if p.read_bytes() != content
    }
    assert "parts/test-case.html" in changed
    assert "materials/test-brass.html" not in changed
    moved = {
        p.relative_to(site).as_posix()
        for p, (time_ns, _) in before.items()
        if p.stat().st_mtime_ns != time_ns
    }
    assert moved == changed


def test_two_folders_change_places_in_one_step(tmp_path):
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "who").write_text(name)
    if not swap.exchange(tmp_path / "a", tmp_path / "b"):
        pytest.skip("this system or file system cannot exchange two folders")
    assert [(tmp_path / n / "who").read_text() for n in ("a", "b")] == ["b", "a"]


def test_an_exchange_with_nothing_changes_nothing(tmp_path):
    (tmp_path / "a").mkdir()
    assert swap.exchange(tmp_path / "a", tmp_path / "b") is False
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


def test_where_nothing_can_be_exchanged_two_renames_do(tmp_path, monkeypatch):
    monkeypatch.setattr(finish, "exchange", lambda *_: False)
    for name, text in (("build/site.new", "new"), ("site", "old")):
        (tmp_path / name).mkdir(parents=True)
        (tmp_path / name / "index.html").write_text(text)
    assert (finish.swap_in(tmp_path) / "index.html").read_text() == "new"
    assert [p.name for p in (tmp_path / "build").iterdir()] == []
