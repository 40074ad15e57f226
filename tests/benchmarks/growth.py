"""Prints how time, memory and bytes grow when there are N times the shipped records: python -m
tests.benchmarks.growth --sizes 1,4.

Every record is copied under ids with a suffix, in a temporary folder; copies name the original
records, so that each copied part is judged against each copied material. Each size is measured in
a process of its own, for its memory.
"""

from __future__ import annotations

import argparse
import gc
import itertools
import json
import math
import os
import re
import resource
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path

from generator.bootstrap import ROOT, SELDOM
from generator.commands import build
from generator.commands.build import (
    CHECK,
    EXPORT,
    FINISH,
    JUDGE,
    LINKS,
    MKDOCS,
    RENDER,
    SWAP,
    TABLES,
    Timings,
)
from generator.export import sheets
from generator.records.complaints import Refused
from generator.records.folders import RECORD_FOLDERS
from generator.records.loading import load

READ, BARE, WHOLE = "read and type alone", "MkDocs alone", "whole build"
AGAIN, CLOCK = "again after one figure, in a new process", ", by the clock"
# In seconds of the processor, of all processes: these do not grow much with other work on the
# machine.
STEPS = (
    READ, CHECK, TABLES, JUDGE, RENDER, MKDOCS, EXPORT, FINISH, LINKS, SWAP, WHOLE, AGAIN, BARE,
    WHOLE + CLOCK, AGAIN + CLOCK, BARE + CLOCK,
)  # fmt: skip
# A build in a new process, as the command does it.
REBUILD = """import gc, sys; from pathlib import Path
from generator.bootstrap import SELDOM
from generator.commands.build import Timings, build
gc.set_threshold(*SELDOM); build(Path(sys.argv[1]), Timings())"""
RECORD = "knowledge/alloys/stainless-316l.yaml"
FIGURE = ("typical: 7.95, source", "typical: 7.951, source")  # its density
LONGEST_ID = 56  # letters; the suffix must fit behind it


def copy_records(root: Path, target: Path, times: int) -> Path:
    """A project folder with ``times`` times the shipped records."""
    for name in ("knowledge", "site_src"):
        shutil.copytree(root / name, target / name)
    shutil.copy(root / "mkdocs.yml", target)
    for folder in RECORD_FOLDERS:
        for path in sorted((target / "knowledge" / folder).glob("*.yaml")):
            text = path.read_text(encoding="utf-8")
            for number in range(2, times + 1):
                if len(path.stem) <= LONGEST_ID:
                    path.with_name(f"{path.stem}-x{number}.yaml").write_text(
                        copied(text, number), encoding="utf-8", newline="\n"
                    )
    return target


def copied(text: str, number: int) -> str:
    """A record as its own copy: another name, another place on the path, and no designations,
    which belong to one material."""
    text = re.sub(
        r"^name:(\s+)(\"[^\"\n]*|'[^'\n]*|[^\n#]*[^\s#])",
        rf"name:\1\2 copy {number}",
        text,
        count=1,
        flags=re.MULTILINE,
    )
    text = re.sub(
        r"^number: *(\d+)",
        lambda found: f"number: {int(found.group(1)) + 100 * number}",
        text,
        count=1,
        flags=re.MULTILINE,
    )
    return re.sub(r"^designations:.*\n(?:[ -].*\n|\n)*", "", text, count=1, flags=re.MULTILINE)


def measure(root: Path) -> dict:
    """One whole build, step by step, then reading alone and MkDocs alone on the same Markdown;
    memory, bytes and numbers."""
    timings = Timings(clock=_processor)
    seconds = {}
    try:
        with _timed(seconds, WHOLE):
            folder, count = build.build(root, timings)
    except Refused as refused:
        return {"complaints": [str(c) for c in refused.complaints[:5]]}
    memory, mkdocs_memory = _peak(resource.RUSAGE_SELF), _peak(resource.RUSAGE_CHILDREN)
    with _timed(seconds, READ):
        knowledge, _ = load(root)
    with _timed(seconds, BARE):
        subprocess.run(
            [sys.executable, "-m", "mkdocs", "build", "--quiet"]
            + ["--config-file", str(root / "build" / "mkdocs.yml")],
            env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
            check=True,
            capture_output=True,
        )
    path = root / RECORD
    path.write_text(path.read_text(encoding="utf-8").replace(*FIGURE, 1), encoding="utf-8")
    with _timed(seconds, AGAIN):
        subprocess.run([sys.executable, "-c", REBUILD, str(root)], check=True, capture_output=True)
    seconds = {**timings.steps, **timings.beside, **seconds}
    verdicts = (
        sqlite3.connect(folder / "data" / sheets.DATABASE)
        .execute("SELECT count(*) FROM rungs")
        .fetchone()[0]
    )
    return {
        "seconds": seconds,
        "memory": memory,
        "mkdocs memory": mkdocs_memory,
        "pages": count,
        "records": sum(
            len(knowledge.of_kind(kind)) for kind in {kind for kind, _ in RECORD_FOLDERS.values()}
        ),
        "verdicts": verdicts,
        "index": (folder / "assets" / "find-index.js").stat().st_size,
        "html": sum(p.stat().st_size for p in folder.rglob("*.html")),
        "data": sum(p.stat().st_size for p in (folder / "data").iterdir()),
    }


def _processor() -> float:
    """Seconds of the processor that this process and its ended children had."""
    return sum(os.times()[:4])


@contextmanager
def _timed(into: dict[str, float], what: str):
    began, used = time.perf_counter(), _processor()
    yield
    into[what], into[what + CLOCK] = _processor() - used, time.perf_counter() - began


def _peak(whose: int) -> int:
    """The most memory that this process, or any child that ended, ever had, in bytes."""
    return resource.getrusage(whose).ru_maxrss * (1 if sys.platform == "darwin" else 1024)


def bench(
    root: Path, sizes: list[int], say: Callable[[str], None] = lambda _: None
) -> dict[int, dict]:
    """The measures of each size; ``say`` is told of each as it stands.

    Raises RuntimeError when a size could not be measured.
    """
    found = {}
    for size in sizes:
        say(f"{size} times the shipped records ...")
        with tempfile.TemporaryDirectory() as folder:
            copy_records(root, Path(folder) / "p", size)
            done = subprocess.run(
                [
                    sys.executable,
                    "-m",
                    "tests.benchmarks.growth",
                    "--measure",
                    str(Path(folder) / "p"),
                ],
                cwd=root,
                capture_output=True,
                text=True,
            )
        if done.returncode:
            raise RuntimeError(
                f"size {size} was not measured (exit code {done.returncode}):"
                f" {done.stderr.strip()[-500:]}"
            )
        found[size] = json.loads(done.stdout.splitlines()[-1])
        if "complaints" in found[size]:
            raise RuntimeError(f"size {size}: the copies have faults: {found[size]['complaints']}")
        say(in_words({size: found[size]}))
    return found


def exponent(small: float, large: float, growth: float) -> float:
    """The power with which a measure grows: 1 is in step, 2 is with the square."""
    return (
        math.log(large / small) / math.log(growth)
        if small > 0 and large > 0 and growth > 1
        else float("nan")
    )


def in_words(found: dict[int, dict]) -> str:
    """The measures as a table: one column a size, then growth from the first to the last size and
    its exponent."""
    sizes = list(found)
    several = len(sizes) > 1

    def line(name: str, values: list[float], shown) -> str:
        text = f"{name:<52}" + "".join(f"{shown(v):>12}" for v in values)
        if not several or not values[0]:
            return text
        power = exponent(values[0], values[-1], sizes[-1] / sizes[0])
        return f"{text}{values[-1] / values[0]:>10.1f}{power:>10.2f}"

    lines = [
        f"{'records times':<52}"
        + "".join(f"{s:>12}" for s in sizes)
        + (f"{'growth':>10}{'exponent':>10}" if several else "")
    ]
    lines += [
        line(what, [m[key] for m in found.values()], lambda v: f"{v:,}")
        for what, key in (
            ("records", "records"),
            ("pages", "pages"),
            ("verdicts on fit", "verdicts"),
        )
    ]
    lines += [
        line(step, [m["seconds"][step] for m in found.values()], lambda v: f"{v:.2f} s")
        for step in STEPS
    ]
    own = [m["seconds"][WHOLE] - m["seconds"][MKDOCS] for m in found.values()]

    def ratio(step: str, other: str) -> list[float]:
        return [m["seconds"][step] / m["seconds"][other] for m in found.values()]

    whole = [m["seconds"][WHOLE] for m in found.values()]
    lines.append(line("generator in all", own, lambda v: f"{v:.2f} s"))
    lines.append(
        line(
            "generator / whole build",
            [o / w for o, w in zip(own, whole, strict=True)],
            lambda v: f"{v:.0%}",
        )
    )
    lines += [
        line(f"{step} / {BARE}{how}", ratio(step + how, BARE + how), lambda v: f"{v:.2f}")
        for how in ("", CLOCK)
        for step in (WHOLE, AGAIN)
    ]
    lines += [
        line(what, [m[key] / 1e6 for m in found.values()], lambda v: f"{v:.1f} MB")
        for what, key in (
            ("memory of the generator", "memory"),
            ("memory of MkDocs", "mkdocs memory"),
            ("search index", "index"),
            ("pages of the site", "html"),
            ("published data", "data"),
        )
    ]
    return "\n".join(lines)


def sizes_of(typed: str) -> list[int]:
    """Sizes as typed, from small to large."""
    words = typed.split(",")
    sizes = [int(word) for word in words if word.isascii() and word.isdigit()]
    if len(sizes) < len(words) or not all(a < b for a, b in itertools.pairwise([0, *sizes])):
        raise argparse.ArgumentTypeError(f"{typed!r} is not a rising list of sizes, such as 1,4")
    return sizes


def main(words: list[str]) -> None:
    """Measure one project, or print the growth of several sizes."""
    parser = argparse.ArgumentParser(description="How a build grows with N times the records.")
    parser.add_argument("--sizes", type=sizes_of, default=[1, 4], help="50 takes half an hour")
    parser.add_argument("--measure", type=Path, help=argparse.SUPPRESS)
    arguments = parser.parse_args(words)
    if arguments.measure:
        gc.set_threshold(*SELDOM)
        print(json.dumps(measure(arguments.measure)))
    else:
        print(in_words(bench(ROOT, arguments.sizes, lambda said: print(said, file=sys.stderr))))


if __name__ == "__main__":
    main(sys.argv[1:])
