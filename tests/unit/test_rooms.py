"""The layout shows the architecture: rooms in order, small modules, one style.

What stands where is a list that was written before the rooms were; whoever looks for a thing finds
it by the folder's name alone.
"""

import ast
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from tests.conftest import ROOT

GENERATOR = ROOT / "generator"
ROOMS = (  # a room imports from itself and from those before it
    "records",
    "numbers",
    "tables",
    "verdicts",
    "checks",
    "site",
    "export",
    "deliver",
    "upkeep",
    "commands",
)
# What editions say and what `new` writes is asked by checks and pages too.
ASKED_BEFORE = ("generator.upkeep.editions", "generator.upkeep.new_record")
LONGEST = 450  # lines of a module
PLACES = {  # a thing that somebody looks for -> where it must be defined
    "Material": "records",
    "Hazard": "records",
    "Caution": "records",
    "read_file": "records",
    "merged": "records",  # layers
    "Quantity": "numbers",
    "compile_expression": "numbers",
    "to_vickers": "numbers",
    "density_by_mixing": "numbers",
    "Ladder": "verdicts",
    "Contacts": "verdicts",
    "density_span": "verdicts",
    "density_ratio": "tables",
    "Derivation": "tables",
    "unknown_id": "checks",
    "density_off_the_recipe": "checks",
    "material_page": "site",
    "Page": "site",
    "schema": "export",
    "dead_links": "deliver",
    "swap_in": "deliver",
    "stamp_review": "upkeep",
    "serve": "commands",
    "work": "commands",
}


@cache
def modules() -> dict[Path, ast.Module]:
    paths = sorted(p for p in GENERATOR.rglob("*.py") if p.name != "__init__.py")
    return {path: ast.parse(path.read_text(encoding="utf-8")) for path in paths}


def room_of(path: Path) -> str:
    return path.relative_to(GENERATOR).parts[0]


def statements(node: ast.AST):
    """Every statement, however deep; no import stands inside an expression."""
    for inner in ast.iter_child_nodes(node):
        if isinstance(inner, (ast.stmt, ast.excepthandler, ast.match_case)):
            yield inner
            yield from statements(inner)


def imported_rooms(path: Path):
    """(line, room) of every import of the generator's own, wherever in the module it stands."""
    for node in statements(modules()[path]):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("generator"):
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        else:
            continue
        for name in names:
            steps = name.split(".")
            if steps[0] == "generator" and not name.startswith(ASKED_BEFORE):
                yield node.lineno, steps[1]


def test_every_import_runs_down():
    upward = [
        f"{path.relative_to(ROOT)}:{line} imports {room}"
        for path in modules()
        if room_of(path) in ROOMS
        for line, room in imported_rooms(path)
        if room in ROOMS and ROOMS.index(room) > ROOMS.index(room_of(path))
    ]
    assert upward == []


def test_no_module_is_long():
    lengths = {
        path.relative_to(ROOT).as_posix(): len(path.read_text(encoding="utf-8").splitlines())
        for path in modules()
    }
    long = {name for name, lines in lengths.items() if lines > LONGEST}
    assert long == set()


def test_every_module_says_what_it_is_for():
    silent = [
        path.relative_to(ROOT).as_posix()
        for path in modules()
        if not ast.get_docstring(modules()[path])
    ]
    assert silent == []


@pytest.mark.parametrize("thing", PLACES)
def test_a_newcomer_finds_it_by_the_folder(thing):
    rooms = {
        room_of(path)
        for path in modules()
        for node in modules()[path].body
        if getattr(node, "name", None) == thing
    }
    assert rooms == {PLACES[thing]}


@pytest.mark.parametrize("rule", [["format", "--check"], ["check"]])
def test_one_layout_and_no_fault_that_can_be_seen(rule):
    told = subprocess.run(
        [sys.executable, "-m", "ruff", *rule, "--quiet", "generator", "tests"],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert told.returncode == 0, told.stdout + told.stderr
