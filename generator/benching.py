"""Receives the project and some sizes; hands on how time, memory and bytes grow when there are N times the shipped records.

Every record is copied under ids with a suffix, in a temporary folder; copies name the original records, so that each
copied part is judged against each copied material. Each size is measured in a process of its own, for its memory.
"""

from __future__ import annotations

import gc
import json
import math
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

from generator import export, find, pages, publishing, tables, tabular
from generator.checking import check
from generator.linking import RECORD_FOLDERS, load
from generator.values import Values
from generator.verdicts import Verdicts

STEPS = ("read", "read and check", "figures", "verdicts", "render", "search index", "export", "MkDocs", "finish")
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
                    path.with_name(f"{path.stem}-x{number}.yaml").write_text(copied(text, number), encoding="utf-8", newline="\n")
    return target


def copied(text: str, number: int) -> str:
    """A record as its own copy: another name, another place on the path, and no designations, which belong to one material."""
    text = re.sub(
        r"^name:(\s+)(\"[^\"\n]*|'[^'\n]*|[^\n#]*[^\s#])", rf"name:\1\2 copy {number}", text, count=1, flags=re.MULTILINE
    )
    text = re.sub(
        r"^number: *(\d+)", lambda found: f"number: {int(found.group(1)) + 100 * number}", text, count=1, flags=re.MULTILINE
    )
    return re.sub(r"^designations:.*\n(?:[ -].*\n|\n)*", "", text, count=1, flags=re.MULTILINE)


def measure(root: Path) -> dict:
    """Every step of one build, timed; memory, bytes and numbers."""
    seconds: dict[str, float] = {}

    @contextmanager
    def step(name: str):
        began = time.perf_counter()
        yield
        seconds[name] = time.perf_counter() - began

    load(root)  # the first time, models are compiled
    gc.collect()
    with step("read"):
        load(root)
    gc.collect()
    with step("read and check"):
        knowledge, complaints = check(root)
    if complaints:
        return {"complaints": [str(c) for c in complaints[:5]]}
    with step("figures"):
        values = Values(knowledge)
        computed = tables.build(knowledge, values)
    with step("verdicts"):
        verdicts = Verdicts(knowledge, values)
    with step("render"):
        site = pages.Site(knowledge, values, computed, verdicts, root / "site_src" / "templates", root / "build" / "templates")
        drawn = list(pages.render(site))
    with step("search index"):
        index = find.as_script(find.entries(knowledge, site.view, computed, list(site.families)))
    count = publishing.write_pages(
        root, drawn, pages.navigation(site), {"assets/find-index.js": index, "assets/values.js": pages.material_values(site)}
    )
    with step("export"):
        published = export.build(knowledge, computed, verdicts)
        data = {"knowledge.json": publishing.as_json(published), **tabular.files(knowledge, published)}
    own_memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with step("MkDocs"):  # alone, while nothing else runs: the bare build of the same Markdown
        publishing.wait_for_mkdocs(publishing.start_mkdocs(root, site.view.edition))
    with step("finish"):
        publishing.finish(root, data)
        folder = publishing.swap_in(root)
    unit = 1 if sys.platform == "darwin" else 1024  # ru_maxrss is in bytes on macOS, in KiB elsewhere
    return {
        "seconds": seconds,
        "memory": own_memory * unit,
        "pages": count,
        "records": sum(len(knowledge.of_kind(kind)) for kind in {kind for kind, _ in RECORD_FOLDERS.values()}),
        "verdicts": sum(map(len, verdicts.by_part.values())),
        "index": len(index.encode()),
        "html": sum(p.stat().st_size for p in folder.rglob("*.html")),
        "data": sum(map(len, data.values())),
    }


def bench(root: Path, sizes: list[int]) -> dict[int, dict]:
    """The measures of each size. Raises RuntimeError when a size could not be measured."""
    found = {}
    for size in sizes:
        with tempfile.TemporaryDirectory() as folder:
            copy_records(root, Path(folder) / "p", size)
            done = subprocess.run(
                [sys.executable, "-m", "generator.benching", str(Path(folder) / "p")], cwd=root, capture_output=True, text=True
            )
        if done.returncode:
            raise RuntimeError(f"size {size} was not measured (exit code {done.returncode}): {done.stderr.strip()[-500:]}")
        found[size] = json.loads(done.stdout.splitlines()[-1])
        if "complaints" in found[size]:
            raise RuntimeError(f"size {size}: the copies have faults: {found[size]['complaints']}")
    return found


def exponent(small: float, large: float, growth: float) -> float:
    """The power with which a measure grows: 1 is in step, 2 is with the square."""
    return math.log(large / small) / math.log(growth) if small > 0 and large > 0 and growth > 1 else float("nan")


def in_words(found: dict[int, dict]) -> str:
    """The measures as a table: one column a size, then growth from the first to the last size and its exponent."""
    sizes = list(found)
    several = len(sizes) > 1

    def line(name: str, values: list[float], shown) -> str:
        text = f"{name:<24}" + "".join(f"{shown(v):>12}" for v in values)
        return text + (
            f"{values[-1] / values[0]:>10.1f}{exponent(values[0], values[-1], sizes[-1] / sizes[0]):>10.2f}"
            if several and values[0]
            else ""
        )

    lines = [
        f"{'records times':<24}" + "".join(f"{s:>12}" for s in sizes) + (f"{'growth':>10}{'exponent':>10}" if several else "")
    ]
    lines += [
        line(what, [m[key] for m in found.values()], lambda v: f"{v:,}")
        for what, key in (("records", "records"), ("pages", "pages"), ("verdicts on fit", "verdicts"))
    ]
    lines += [line(step, [m["seconds"][step] for m in found.values()], lambda v: f"{v:.2f} s") for step in STEPS]
    own = [sum(s for step, s in m["seconds"].items() if step not in ("read", "MkDocs")) for m in found.values()]
    lines.append(line("generator in all", own, lambda v: f"{v:.2f} s"))
    bare = [m["seconds"]["MkDocs"] for m in found.values()]
    lines.append(line("generator / bare MkDocs", [o / b for o, b in zip(own, bare, strict=True)], lambda v: f"{v:.0%}"))
    lines += [
        line(what, [m[key] / 1e6 for m in found.values()], lambda v: f"{v:.1f} MB")
        for what, key in (
            ("memory of the generator", "memory"),
            ("search index", "index"),
            ("pages of the site", "html"),
            ("published data", "data"),
        )
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    gc.disable()  # as the command line does
    print(json.dumps(measure(Path(sys.argv[1]))))
