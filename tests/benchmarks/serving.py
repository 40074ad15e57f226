"""Prints how long `serve` takes from a saved record to the new page, beside what MkDocs needs for
the same pages.

python tests/benchmarks/serving.py [ROUNDS]. MkDocs is timed twice: started anew, as `serve` starts
it, and a second build in one warm process, which is the least that its own server could take. Also
prints how many files kept their time stamps.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RECORD, PAGE = "knowledge/alloys/stainless-316l.yaml", "materials/stainless-316l.html"
FIGURE = re.compile(r"typical: 7\.9[0-9]*(?=, source: woite-316l)")  # g/cm3, saved anew each round
SERVE = (
    "import sys; from pathlib import Path; from generator.commands.serve import serve;"
    " serve(Path(sys.argv[1]), int(sys.argv[2]))"
)
WARM = """import sys, time
from mkdocs.commands.build import build
from mkdocs.config import load_config
for _ in range(2):
    config = load_config(sys.argv[1], strict=True, site_dir=sys.argv[2])
    began = time.perf_counter()
    build(config)
print(time.perf_counter() - began)"""


def main(rounds: int) -> None:
    """Serve a copy of the project, save a record ``rounds`` times, then time MkDocs alone."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name in ("knowledge", "site_src"):
            shutil.copytree(ROOT / name, root / name)
        shutil.copy(ROOT / "mkdocs.yml", root)
        served, kept, count = _serve(root, rounds)
        environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1", "SOURCE_DATE_EPOCH": "1790000000"}
        anew = [_anew(root, environment) for _ in range(rounds)]
        command = [
            sys.executable,
            "-c",
            WARM,
            str(root / "build" / "mkdocs.yml"),
            str(root / "build" / "site.warm"),
        ]
        warm = [
            float(
                subprocess.run(
                    command, env=environment, capture_output=True, text=True, check=True
                ).stdout.split()[-1]
            )
            for _ in range(rounds)
        ]
    least, own, second = (statistics.median(times) for times in (served, anew, warm))
    print(f"from save to page  {least:6.2f} s   ({', '.join(f'{t:.2f}' for t in served)})")
    print(f"MkDocs anew        {own:6.2f} s   {least / own:.2f} times")
    print(f"MkDocs, warm       {second:6.2f} s   {least / second:.2f} times")
    print(f"time stamps kept   {kept} of {count} files")


def _serve(root: Path, rounds: int) -> tuple[list[float], int, int]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        [sys.executable, "-c", SERVE, str(root), str(port)], cwd=ROOT, stdout=subprocess.DEVNULL
    )
    record, page = root / RECORD, f"http://127.0.0.1:{port}/{PAGE}"
    times, kept = [], 0
    try:
        _wait(page, "<html")
        for number in range(rounds):
            time.sleep(1.0)
            before = {p: p.stat().st_mtime_ns for p in (root / "site").rglob("*") if p.is_file()}
            record.write_text(
                FIGURE.sub(f"typical: 7.95{number + 1}", record.read_text(encoding="utf-8")),
                encoding="utf-8",
            )
            began = time.perf_counter()
            _wait(page, f"7.95{number + 1}")
            times.append(time.perf_counter() - began)
            kept = sum(p.exists() and p.stat().st_mtime_ns == stamp for p, stamp in before.items())
    finally:
        process.terminate()
        process.wait(timeout=60)
    return times, kept, len(before)


def _wait(page: str, text: str) -> None:
    for _ in range(6000):
        with contextlib.suppress(OSError), urllib.request.urlopen(page, timeout=5) as answer:
            if text in answer.read().decode():
                return
        time.sleep(0.02)
    raise SystemExit(f"{page} never said {text}")


def _anew(root: Path, environment: dict) -> float:
    command = [
        sys.executable,
        "-m",
        "mkdocs",
        "build",
        "--strict",
        "--quiet",
        "--config-file",
        str(root / "build" / "mkdocs.yml"),
        "--site-dir",
        str(root / "build" / "site.alone"),
    ]
    began = time.perf_counter()
    subprocess.run(command, env=environment, capture_output=True, check=True)
    return time.perf_counter() - began


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
