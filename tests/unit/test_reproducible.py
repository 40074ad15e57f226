"""Two clean builds of the same knowledge, on another path, another day, in another place of the
world, are the same bytes: site and published folder."""

import os
import shutil
import subprocess
import sys

import pytest

from tests.conftest import ROOT, SMALL, make_root
from tests.unit.test_publishing import hashes

DAYS = 40
# Python reads this module at its start, MkDocs' own process too: the clock goes wrong by so many
# days.
CLOCK = f"""import os, time
if os.environ.get("OTHER_DAY"):
    late = {DAYS} * 86400
    now, local, world = time.time, time.localtime, time.gmtime
    time.time = lambda: now() + late
    time.localtime = lambda seconds=None: local(now() + late if seconds is None else seconds)
    time.gmtime = lambda seconds=None: world(now() + late if seconds is None else seconds)
"""
PUBLISH = """import sys; from pathlib import Path
from generator.commands.build import Timings, build
from generator.deliver.bundle import bundle
root = Path(sys.argv[1])
bundle(build(root, Timings())[0], root / "site_src" / "offline", root / "published", print)"""


def start(root, clock, **environment) -> subprocess.Popen:
    """Build and publish a fresh copy of the small knowledge base."""
    make_root(root, SMALL)
    shutil.copytree(ROOT / "site_src", root / "site_src")
    shutil.copy(ROOT / "mkdocs.yml", root)
    if environment.get("OTHER_DAY"):
        for path in root.rglob("*"):
            os.utime(path, (1_600_000_000, 1_600_000_000))
    kept = {
        k: v
        for k, v in os.environ.items()
        if k not in ("SOURCE_DATE_EPOCH", "PYTHONHASHSEED", "TZ", "LANG", "LC_ALL")
    }
    return subprocess.Popen(
        [sys.executable, "-c", PUBLISH, str(root)],
        env={**kept, "PYTHONPATH": f"{clock}{os.pathsep}{ROOT}", **environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


@pytest.mark.slow
def test_another_path_day_and_place_give_the_same_bytes(tmp_path):
    clock = tmp_path / "clock"
    clock.mkdir()
    (clock / "sitecustomize.py").write_text(CLOCK, encoding="utf-8")
    first, second = tmp_path / "a", tmp_path / "a longer path, with spaces" / "b"
    builds = [
        start(first, clock, TZ="Pacific/Kiritimati", LC_ALL="C", PYTHONHASHSEED="1"),
        start(
            second, clock, TZ="America/Adak", LC_ALL="C.UTF-8", PYTHONHASHSEED="7", OTHER_DAY="yes"
        ),
    ]
    said = [b.communicate()[0] for b in builds]
    assert [b.returncode for b in builds] == [0, 0], said
    folders = [root / "published" / "2026-11-25" for root in (first, second)]
    assert hashes(first / "site") == hashes(second / "site")
    assert hashes(folders[0]) == hashes(folders[1])
    kinds = {p.suffix for p in folders[0].iterdir()} | (
        {".pdf"} if "no book of cards" in said[0] else set()
    )
    assert kinds >= {".zip", ".html", ".txt", ".pdf"}
