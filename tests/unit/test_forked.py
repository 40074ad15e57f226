"""Copies of a process run the quick tests: each test once, and nothing that fails is lost."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.forked import ROOM, _with_following, by_file, can_hold

ROOT = Path(__file__).resolve().parents[2]


class Item:
    """As much of a test as is asked for."""

    def __init__(self, path: Path):
        self.path = path


def test_each_file_is_handed_out_whole_and_long_ones_first(tmp_path):
    short, long, many = (tmp_path / name for name in ("a.py", "b.py", "c.py"))
    short.write_text("1")
    long.write_text("1" * 900)
    many.write_text("1")
    items = [Item(short), Item(short), Item(long), *(Item(many) for _ in range(9))]
    assert by_file(items) == [items[3:], [items[2]], items[:2]]


def test_each_test_is_run_once_with_the_one_after_it():
    assert list(_with_following(iter([[1, 2], [3]]))) == [(1, 2), (2, 3), (3, None)]
    assert list(_with_following(iter([]))) == []


@pytest.mark.skipif(not hasattr(os, "statvfs"), reason="nothing is forked here")
@pytest.mark.parametrize(
    ("blocks", "flags", "holds"),
    [(1, 0, True), (0, 0, False), (1, getattr(os, "ST_NOEXEC", 8), False)],
)
def test_folders_lie_in_memory_only_where_it_has_room(tmp_path, monkeypatch, blocks, flags, holds):
    found = SimpleNamespace(f_bavail=blocks, f_frsize=ROOM, f_flag=flags)
    monkeypatch.setattr(os, "statvfs", lambda folder: found)
    assert can_hold(str(tmp_path)) is holds
    assert can_hold(str(tmp_path / "absent")) is False


@pytest.mark.slow
@pytest.mark.skipif((os.cpu_count() or 1) < 2, reason="one core: nothing is forked")
def test_what_fails_prints_or_ends_its_process_is_told(tmp_path):
    (tmp_path / "test_a.py").write_text(
        "def test_right(capfd):\n    print(5)\n    assert capfd.readouterr().out == '5\\n'"
        "\n\ndef test_wrong():\n    print('said before')\n    assert 1 == 2\n"
    )
    (tmp_path / "test_b.py").write_text(
        "import os\ndef test_dies():\n    os.kill(os.getpid(), 9)\n"
    )
    words = [
        "-p",
        "no:xdist",
        "-p",
        "tests.forked",
        "-p",
        "no:cacheprovider",
        f"--rootdir={tmp_path}",
    ]
    told = subprocess.run(
        [sys.executable, "-m", "pytest", *words, tmp_path], cwd=ROOT, capture_output=True, text=True
    )
    assert "2 failed, 1 passed" in told.stdout and told.returncode == 1
    assert "said before" in told.stdout and "ended before its report" in told.stdout
