"""Breaks one thing after the other in a copy and tells which the quick run notices.

python -m tests.benchmarks.breaks [WORDS]: with words, only the breaks whose file holds one of them.
A break is a slip that a tired engineer makes: two columns changed over, a line left out, a limit
read the wrong way. Each must stand in the code exactly once; the list was written before it was
first run. Nothing here times anything.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PLACE = "site_src/templates/"
BREAKS = [  # (file, what stands there, what is put in its place)
    # pages of materials
    (PLACE + "material.j2", "{% for part, c in usual %}", "{% for part, c in wrong %}"),
    (PLACE + "material.j2", "<br><small>{{ row.note | terms }}</small>", ""),
    (PLACE + "material.j2", "{{ source(m.composition.source) }}", ""),
    (PLACE + "material.j2", "<strong>Only a stage of the work.</strong> ", ""),
    (PLACE + "material.j2", "{{ missing | join(', ') }}", ""),
    (PLACE + "material.j2", "{{ number(c.curve.as_quenched) }}", "{{ number(0) }}"),
    (PLACE + "material.j2", "<strong>Stand-in:</strong> {{ c.curve.stands_in_for | terms }}", ""),
    ("generator/site/pages/material.py", "if p not in have]", "if p in have]"),
    # pages of parts
    (PLACE + "part.j2", "{% for c in r.wrong %}", "{% for c in r.usual %}"),
    (PLACE + "part.j2", "{{ x.lost | join('; ') or", "{{ x.gained | join('; ') or"),
    (
        PLACE + "part.j2",
        "'required' if d.firm else 'preferred'",
        "'preferred' if d.firm else 'required'",
    ),
    ("generator/site/pages/rung_rows.py", "found[cells[0].rung]", "found['no']"),
    ("generator/verdicts/wording.py", "(s.found, s.span) if lost", "(s.span, s.found) if lost"),
    # pages of hazards and processes
    (PLACE + "hazard.j2", "{{ rule.looks_like | terms }}", "{{ rule.how_fast | terms }}"),
    (PLACE + "hazard.j2", 'id="rule-{{ loop.index }}"', 'id="rule-{{ loop.index0 }}"'),
    (PLACE + "process.j2", "{{ p.lines(r.steps, 'ol') }}", "{{ p.lines(r.steps[1:], 'ol') }}"),
    ("generator/site/pages/hazard.py", "rules[number - 1]", "rules[number - 2]"),
    # what all pages share
    (PLACE + "parts.j2", "<p><strong>{{ caution.danger | terms }}</strong></p>", ""),
    (PLACE + "parts.j2", "{{ caution.first_aid[0] | terms }}", ""),
    ("generator/site/page.py", "if c in named]", "if c in record.cautions]"),
    ("generator/site/texts.py", 'return f"at least {quantities', 'return f"at most {quantities'),
    ("generator/site/texts.py", "_MINUS.sub(quantities.MINUS,", '_MINUS.sub("",'),
    ("generator/site/view.py", '"memory": "unsourced, from memory"', '"memory": "a source"'),
    # numbers
    ("generator/numbers/quantities.py", 'else "about")', 'else "")'),
    ("generator/numbers/values.py", "or RANK[found.evidence] < RANK[BORROWED]", "or True"),
    ("generator/numbers/arithmetic.py", "else a.low - b.high", "else a.low - b.low"),
    # verdicts
    ("generator/verdicts/findings.py", "if low >= at_least:", "if low > at_least:"),
    ("generator/verdicts/contact.py",
     "volts[FIRST] < volts[SECOND]",
     "volts[FIRST] > volts[SECOND]"),
    ("generator/verdicts/identify.py", "return end * spread", "return end * 9 * spread"),
    ("site_src/pages/assets/identify.js", "2 * t[1] >= best", "t[1] >= best"),
    ("site_src/pages/assets/leaflet.js", "plated ? material.below", "false ? material.below"),
    ("site_src/pages/assets/lessons.js", "[1, 3, 7, 21]", "[1, 3, 7, 14]"),
    ("generator/checks/claims.py", "if found <= at:", "if found < 0:"),
    ("generator/verdicts/conditions.py", "return own or material.magnetism", "return own"),
    # leaflet
    ("generator/site/leaflet.py", "list(WATER).index(activity.water)", "0"),
    ("generator/site/leaflet.py", "        return max(\n", "        return min(\n"),
    ("generator/site/leaflet.py", "usual = {c.material for p", "usual = {c.coated for p"),
    # find
    ("generator/site/find.py", "[*record.also_called, *find_sp", "[*find_sp"),
    ("generator/site/find.py", "[entry.name, *entry.also_called]", "[entry.name]"),
    # side by side
    ("generator/site/compare.py", 'if rule.source == "memory" else', "if False else"),
    ("generator/site/compare.py", "if i not in shared}", "}"),
    # export
    ("generator/export/sheet.py",
     "return bound.kind, bound.at_least, None",
     "return bound.kind, None, bound.at_least"),
    ("generator/export/bench_sheets.py", "enumerate(h.rules, 1)", "enumerate(h.rules)"),
    ("generator/export/material_sheets.py", "            s.seen,\n", "            not s.seen,\n"),
    ("generator/export/document.py",
     '"evidence": quantity.evidence,\n                "note"',
     '"evidence": "own",\n                "note"'),
    ("generator/export/document.py", '"usual": joint.usual', '"usual": None'),
    # layers
    ("generator/records/layers.py", 'SAFETY = ("cautions", "first_aid")', "SAFETY = ()"),
    ("generator/records/layers.py", "return [*old, *(", "return [*("),
    ("generator/site/layer_words.py", "if kind in KINDS]", "if kind not in KINDS]"),
    # editions, cards, one file
    ("generator/upkeep/editions.py", "else \"removed\"", 'else "changed"'),
    ("generator/site/print_layout.py", "for c in cautions]", "for c in ()]"),
    ("generator/deliver/one_file.py",
     'LEFT_OUT_DETAILS = ("sources/", "cautions.html")',
     'LEFT_OUT_DETAILS = ("sources/", "cautions.html", "materials/")'),
    ("generator/deliver/links.py", "target not in files:", "not target:"),
    # checks
    ("generator/checks/formulas.py",
     "return abs(value - example.published) <= allowed",
     "return True"),
    ("generator/checks/safety.py", "elif limit.source not in caution.authority:", "elif False:"),
]  # fmt: skip
# Test files of the quick run that look at a place, the likeliest first; then all others.
LOOKED_AT = {
    "site_src/templates/part": ["pages", "rungs"],
    "site_src/templates/": ["pages"],
    "site_src/pages/assets/identify": ["identifying"],
    "site_src/pages/assets/leaflet": ["eight_leaflets", "leaflet"],
    "site_src/pages/assets/lessons": ["training"],
    "generator/site/pages/rung_rows": ["comparing", "rungs", "pages"],
    "generator/site/pages/": ["pages", "rungs"],
    "generator/site/leaflet": ["leaflet", "eight_leaflets"],
    "generator/site/find": ["find"],
    "generator/site/compare": ["comparing"],
    "generator/site/layer": ["layer"],
    "generator/site/print": ["paper"],
    "generator/site/texts": ["figures", "pages"],
    "generator/site/": ["pages", "figures", "evidence", "layer", "paper"],
    "generator/numbers/values": ["evidence", "figures", "layer"],
    "generator/numbers/": ["figures", "evidence", "formulas"],
    "generator/verdicts/wording": ["rungs", "comparing"],
    "generator/verdicts/identify": ["identifying"],
    "generator/verdicts/contact": ["contact", "findings"],
    "generator/verdicts/": ["findings", "rungs", "contact", "identifying", "slips"],
    "generator/export/": ["tabular"],
    "generator/records/": ["layer"],
    "generator/upkeep/": ["editions"],
    "generator/deliver/links": ["frames", "publishing"],
    "generator/deliver/one_file": ["one_file"],
    "generator/deliver/": ["bundling", "frames"],
    "generator/checks/claims": ["claims"],
    "generator/checks/formulas": ["formulas", "checking"],
    "generator/checks/safety": ["limits"],
    "generator/checks/": ["checking", "slips"],
}


def copied(target: Path) -> Path:
    """A copy of the project to break."""
    for name in ("generator", "knowledge", "site_src", "tests"):
        shutil.copytree(ROOT / name, target / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("mkdocs.yml", "pyproject.toml", "README.md", "DEVELOPERS.md", "REUSE.toml"):
        shutil.copy(ROOT / name, target)
    for path in ROOT.glob("requirements*.lock"):
        shutil.copy(path, target)
    shutil.copytree(ROOT / "LICENSES", target / "LICENSES")
    return target


def noticed(project: Path, file: str) -> str:
    """The test that fails first in the quick run, or nothing."""
    names = next(names for place, names in LOOKED_AT.items() if file.startswith(place))
    first = [f"tests/unit/test_{name}.py" for name in names]
    rest = sorted(p.relative_to(project).as_posix() for p in project.glob("tests/*/test_*.py"))
    others = [name for name in rest if name not in first and "/browser/" not in name]
    return failing(project, first) or failing(project, others)


def failing(project: Path, files: list[str]) -> str:
    """The first test of these files that fails."""
    quick = ["-x", "-q", "-n0", "-p", "no:cacheprovider", "-m", "not browser and not slow"]
    left_out = ["--deselect", "tests/unit/test_rooms.py"]  # it would see the slip as a long line
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *quick, *left_out, *files],
        cwd=project,
        capture_output=True,
        text=True,
    )
    if not done.returncode:
        return ""
    lines = [x for x in done.stdout.splitlines() if x.startswith(("FAILED", "ERROR"))]
    return lines[0].split(" - ")[0] if lines else done.stdout[-200:] + done.stderr[-200:]


def main(words: list[str]) -> None:
    """Break, run, mend; then the share that was noticed."""
    chosen = [b for b in BREAKS if not words or any(word in b[0] for word in words)]
    stale = [b for b in BREAKS if (ROOT / b[0]).read_text(encoding="utf-8").count(b[1]) != 1]
    if stale:
        raise SystemExit("\n".join(f"{file} does not hold once: {old}" for file, old, _ in stale))
    missed = 0
    with tempfile.TemporaryDirectory() as folder:
        project = copied(Path(folder))
        for file, old, new in chosen:
            path = project / file
            text = path.read_text(encoding="utf-8")
            path.write_text(text.replace(old, new), encoding="utf-8")
            told = noticed(project, file)
            path.write_text(text, encoding="utf-8")
            missed += not told
            print(f"{told or 'MISSED':<70} {file}: {old.strip()[:60]}", flush=True)
    print(f"noticed {len(chosen) - missed} of {len(chosen)}")


if __name__ == "__main__":
    main(sys.argv[1:])
