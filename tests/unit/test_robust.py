"""Writing into knowledge/ tried from outside: killed at every step, twice at once, on a full disk,
in a folder that may not be written, under odd paths."""

import os
import shutil
import signal
import subprocess
import sys
from datetime import date

import pytest

from generator import cli
from generator.checks.rules import check
from generator.records import clock, writing
from generator.records.loading import load
from generator.upkeep.take import plan, write
from tests.conftest import FULL, ROOT, SMALL, make_buildable
from tests.unit.test_taking import table

ROWS = [
    f"{m},,saturation,typical,{v},,T,,,memory,"
    for m, v in (("full-steel", "1.9"), ("test-brass", "0.1"), ("test-steel", "0.2"))
]
KILLS = int(os.environ.get("BENCH_KILLS", "10"))
RUN = (
    "import sys; from pathlib import Path; from generator import cli; "
    "cli.ROOT = Path(sys.argv[1]); sys.exit(cli.main(sys.argv[2:]))"
)


class Killed(BaseException):
    """What no handler may catch."""


def contents(root) -> dict:
    return {
        p.relative_to(root).as_posix(): p.read_bytes()
        for p in sorted((root / "knowledge").rglob("*"))
        if p.is_file() and not p.name.startswith(".") and ".schema" not in p.parts
    }


@pytest.fixture
def root(tmp_path):
    return make_buildable(tmp_path / "one", SMALL, FULL)


@pytest.mark.parametrize("call", ["fsync", "replace"])
@pytest.mark.parametrize("nth", [1, 2, 3])
def test_a_kill_at_any_step_of_take_leaves_each_record_whole(root, monkeypatch, call, nth):
    before = contents(root)
    plans = plan(root, load(root)[0], table(root, *ROWS))
    whole = {p.path.relative_to(root).as_posix(): p.new for p in plans}
    real, count = getattr(os, call), []

    def killing(*args):
        count.append(args)
        if len(count) == nth:
            raise Killed
        return real(*args)

    monkeypatch.setattr(writing.os, call, killing)
    with pytest.raises(Killed):
        write(root, plans)
    monkeypatch.undo()
    after = contents(root)
    assert after.keys() == before.keys()
    assert all(after[name] in (before[name], whole.get(name)) for name in after)
    assert sum(after[name] != before[name] for name in after) == nth - 1
    plans = plan(root, load(root)[0], table(root, *ROWS))
    write(root, plans)
    assert contents(root) == {**before, **whole}


def run(root, *words) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-c", RUN, str(root), *words],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


@pytest.mark.slow
@pytest.mark.parametrize("verb", ["take", "edition"])
def test_kills_at_random_moments(root, verb):
    """From outside, with the system's own signal, spread over the time that the verb takes."""
    sheet = table(root, *ROWS)
    words = ["take", str(sheet), "--write"] if verb == "take" else ["edition", "--again"]
    assert run(root, "edition").wait(120) == 0
    before = contents(root)
    assert run(root, *words).wait(120) == 0
    done = contents(root)
    for n in range(KILLS):
        for name, octets in before.items():
            (root / name).write_bytes(octets)
        process = run(root, *words)
        try:
            process.wait(0.35 + 1.2 * n / KILLS)
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
            process.wait()
        after = contents(root)
        assert after.keys() == done.keys()
        assert all(after[name] in (before[name], done[name]) for name in after), n
        assert check(root)[1] == []
    assert run(root, *words).wait(120) == 0
    assert contents(root) == done


@pytest.mark.slow
def test_two_takes_at_once_both_count(root):
    (root / "a").mkdir()
    (root / "b").mkdir()
    sheets = [
        table(root / "a", "test-steel,,saturation,typical,0.2,,T,,,memory,"),
        table(root / "b", "test-steel,,curie-temperature,typical,700,,degC,,,memory,"),
    ]
    running = [run(root, "take", str(sheet), "--write") for sheet in sheets]
    assert [process.wait(120) for process in running] == [0, 0]
    figures = load(root)[0].materials["test-steel"].figures
    assert {"saturation", "curie-temperature"} <= set(figures)


@pytest.mark.parametrize("fault", [28, 30, 13])
@pytest.mark.parametrize(
    "words",
    [
        ["take", "SHEET", "--write"],
        ["edition"],
        ["reviewed", "test-steel"],
        ["new", "alloy", "x"],
        ["new", "caution", "x"],
        ["new", "source", "x"],
    ],
)
def test_a_disk_that_cannot_be_written_is_one_line_and_3(root, monkeypatch, capsys, words, fault):
    """No space (ENOSPC), a read-only file system (EROFS), no right to write (EACCES)."""

    def refusing(*_):
        raise OSError(fault, os.strerror(fault))

    monkeypatch.setattr(cli, "ROOT", root)
    monkeypatch.setattr(clock, "today", lambda: date(2027, 2, 1))
    sheet = table(root, *ROWS)
    before = contents(root)
    monkeypatch.setattr(writing.os, "fsync", refusing)
    assert cli.main([str(sheet) if w == "SHEET" else w for w in words]) == 3
    error = capsys.readouterr().err
    assert error.startswith("generator: ")
    assert os.strerror(fault) in error
    assert error.count("\n") == 1
    assert contents(root) == before


def test_effects_need_no_disk_to_write_to(root, tmp_path, monkeypatch, capsys):
    other = tmp_path / "other"
    shutil.copytree(root / "knowledge", other)
    monkeypatch.setattr(cli, "ROOT", root)

    def refusing(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(writing.os, "fsync", refusing)
    assert cli.main(["effects", "--against", str(other)]) == 0
    assert capsys.readouterr().out == "Nothing differs.\n"


ODD_PATHS = ("with a space", "Größe ß 金", "x" * 200)  # the last one tries the most in one
ODD_PATHS = (*(pytest.param(p, marks=pytest.mark.slow) for p in ODD_PATHS), 'a\'b "c" $d #é %f')


@pytest.mark.parametrize("name", ODD_PATHS)
def test_odd_paths(tmp_path, monkeypatch, capsys, name):
    root = make_buildable(tmp_path / name, SMALL, FULL)
    monkeypatch.setattr(cli, "ROOT", root)
    monkeypatch.setattr(clock, "today", lambda: date(2027, 2, 1))
    sheet = table(root, *ROWS)
    for words in (
        ["check"],
        ["take", str(sheet), "--write"],
        ["reviewed", "test-steel"],
        ["edition"],
        ["effects"],
        ["effects", "--against", str(root)],
        ["queue"],
    ):
        assert cli.main(words) == 0, capsys.readouterr()
    assert capsys.readouterr().err == ""
