"""Changes one piece of a module at a time and tells which changes no test notices.

python -m tests.benchmarks.mutants [MODULE.py ...] [--many 200] [--seed 1] [--tests FILE.py ...]

A piece is a comparison, a sum, a number, a text, a condition, a return: what stands in functions,
drawn by lot from the modules named, or from all that decide or show. Each is tried in a process of
its own against the files of the quick run that enter its function, the fastest first. What is
printed survived. Not where the system cannot fork.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import importlib
import io
import os
import pickle
import random
import resource
import sys
import threading
import time
from collections import defaultdict
from collections.abc import Iterator
from itertools import zip_longest
from pathlib import Path
from types import CodeType, FunctionType
from typing import NamedTuple

import pytest

from generator.records.loading import load

ROOT = Path(__file__).resolve().parents[2]
LONGEST = 120  # seconds of processor time; what takes longer was noticed
OTHER = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
    ast.And: ast.Or, ast.Or: ast.And, ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div,
    ast.Div: ast.Mult,
}  # fmt: skip
ROOMS = ("numbers", "tables", "verdicts", "checks", "site", "export")  # what decides or shows
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any"}


def functions(tree: ast.Module) -> Iterator[tuple[tuple[str, ...], ast.FunctionDef]]:
    """Functions of the module and of its classes, each with the way to it."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            yield (node.name,), node
        elif isinstance(node, ast.ClassDef):
            for inner in node.body:
                if isinstance(inner, ast.FunctionDef):
                    yield (node.name, inner.name), inner


def changes(function: ast.FunctionDef) -> Iterator:
    """What can be changed in a function: each a step that does it in place."""
    body = function.body[1:] if ast.get_docstring(function) else function.body
    for node in (n for statement in body for n in ast.walk(statement)):
        match node:
            case ast.Compare():
                yield lambda n=node: n.ops.__setitem__(0, OTHER[type(n.ops[0])]())
            case ast.BoolOp() | ast.BinOp() if type(node.op) in OTHER:
                yield lambda n=node: setattr(n, "op", OTHER[type(n.op)]())
            case ast.Constant(value=bool()):
                yield lambda n=node: setattr(n, "value", not n.value)
            case ast.Constant(value=int() | float()):
                yield lambda n=node: setattr(n, "value", n.value + 1)
            case ast.Constant(value=str()) if node.value:
                yield lambda n=node: setattr(n, "value", f"XX{n.value}")
            case ast.If() | ast.IfExp():
                yield lambda n=node: setattr(n, "test", ast.UnaryOp(ast.Not(), n.test))
            case ast.comprehension(ifs=[_, *_]):
                yield lambda n=node: n.ifs.clear()
            case ast.Return(value=ast.Constant(value=None)):
                pass
            case ast.Return(value=ast.expr()):
                yield lambda n=node: setattr(n, "value", ast.Constant(None))
            case ast.Call(func=ast.Name(id=name)) if name in NAMES:
                yield lambda n=node: setattr(n.func, "id", NAMES[n.func.id])


def code_of(module: CodeType, way: tuple[str, ...]) -> CodeType:
    """The code of a function inside a compiled module."""
    for name in way:
        module = next(c for c in module.co_consts if isinstance(c, CodeType) and c.co_name == name)
    return module


def live(module, way: tuple[str, ...]) -> FunctionType | None:
    """The function as it runs, out of what is wound about it."""
    found = module
    for name in way:
        found = vars(found).get(name)
    for _ in range(4):
        for inner in ("fget", "func", "__func__", "__wrapped__"):
            found = getattr(found, inner, None) or found
    return found if isinstance(found, FunctionType) else None


def quick_files() -> list[Path]:
    """The test files of the quick run."""
    return [
        p for room in ("unit", "external") for p in sorted(ROOT.glob(f"tests/{room}/test_*.py"))
    ]


def reached(files: list[Path]) -> dict[tuple[str, str], list[str]]:
    """For each function of the program, by its file and its name in it, the test files that enter
    it, the fastest first; each file is run once in a process of its own, where nothing is kept."""
    found: dict[tuple[str, str], list[tuple[float, str]]] = {}
    for file in files:
        took, entered = _entered(file)
        for way in entered:
            found.setdefault(way, []).append((took, str(file)))
    return {way: [name for _, name in sorted(names)] for way, names in found.items()}


def _entered(file: Path) -> tuple[float, list[tuple[str, str]]]:
    """The seconds of the processor that a test file takes, and the functions that it enters."""
    reader, writer = os.pipe()
    if not (child := os.fork()):
        names, program = set(), str(ROOT / "generator")

        def note(frame, event, _):
            code = frame.f_code
            if event == "call" and code.co_filename.startswith(program):
                names.add((code.co_filename, code.co_qualname))

        _silent()
        sys.setprofile(note)
        threading.setprofile(note)
        run([str(file)])
        sys.setprofile(None)
        with os.fdopen(writer, "wb") as answer:
            pickle.dump((time.process_time(), sorted(names)), answer)
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader, "rb") as answer:
        told = answer.read()
    os.waitpid(child, 0)
    return pickle.loads(told) if told else (0.0, [])


def _silent() -> None:
    for stream in (1, 2):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream)


def noticed(module, way: tuple[str, ...], code: CodeType, files: list[str]) -> bool:
    """Whether a test fails, in a process of its own that runs the changed function."""
    child = os.fork()
    if not child:
        resource.setrlimit(resource.RLIMIT_CPU, (LONGEST, LONGEST))
        _silent()
        live(module, way).__code__ = code
        os._exit(int(bool(run(files))))
    return os.waitpid(child, 0)[1] != 0


def run(files: list[str], *words: str) -> int:
    """The quick run of some test files."""
    quick = ["-x", "-q", "-n0", "-p", "no:cacheprovider", "-m", "not browser and not slow"]
    return int(pytest.main([*quick, *words, *files]))


class Mutant(NamedTuple):
    """One change: the module, the number of the function in it, and that of the change."""

    path: str
    function: int
    change: int


def mutants(path: str) -> list[Mutant]:
    """Every change of a module that can be tried."""
    module = _module(path)
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    return [
        Mutant(path, n, k)
        for n, (way, function) in enumerate(functions(tree))
        if live(module, way)
        for k, _ in enumerate(changes(function))
    ]


def _module(path: str):
    return importlib.import_module(path.removesuffix(".py").replace("/", "."))


def try_out(mutant: Mutant, reached_by: dict[tuple[str, str], list[str]]) -> bool:
    """Whether a change was noticed; what was not is printed."""
    text, module = (ROOT / mutant.path).read_text(encoding="utf-8"), _module(mutant.path)
    tree = ast.parse(text)
    way, function = list(functions(tree))[mutant.function]
    before = ast.unparse(function).splitlines()
    list(changes(function))[mutant.change]()
    after = ast.unparse(function).splitlines()
    code = code_of(compile(ast.fix_missing_locations(tree), mutant.path, "exec"), way)
    files = reached_by.get((str(ROOT / mutant.path), ".".join(way)), [])
    if code.co_freevars or any(noticed(module, way, code, [file]) for file in files):
        return True
    pairs = zip_longest(before, after, fillvalue="(nothing)")
    was, now = next(pair for pair in pairs if pair[0] != pair[1])
    where = f"{mutant.path} {'.'.join(way)}"
    print(f"{where}: {was.strip()} -> {now.strip()} ({len(files)} files)", flush=True)
    return False


def main() -> None:
    """Draw, try, count."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("modules", nargs="*", help="of all where none is named")
    words.add_argument("--many", type=int, default=200)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--tests", nargs="+", help="those alone: soon done, and never too high")
    asked = words.parse_args()
    tests = [ROOT / name for name in asked.tests] if asked.tests else quick_files()
    load(ROOT)
    with contextlib.redirect_stdout(io.StringIO()):  # imported once for every child
        run(["--collect-only", "-qq", *map(str, tests)])
    modules = asked.modules or [
        path.relative_to(ROOT).as_posix()
        for room in ROOMS
        for path in sorted((ROOT / "generator" / room).rglob("*.py"))
    ]
    whole = [mutant for path in modules for mutant in mutants(path)]
    drawn = random.Random(asked.seed).sample(whole, min(asked.many, len(whole)))
    print("seeing which tests enter which function ...", flush=True)
    reached_by, rooms = reached(tests), defaultdict(list)
    for tried, mutant in enumerate(drawn, 1):
        rooms[mutant.path.split("/")[1]].append(try_out(mutant, reached_by))
        if not tried % 10:
            print(f"{tried} tried, {sum(map(sum, rooms.values()))} noticed", flush=True)
    for room, found in sorted(rooms.items()):
        print(f"{room}: noticed {sum(found)} of {len(found)}")
    print(f"noticed {sum(map(sum, rooms.values()))} of {len(drawn)} drawn from {len(whole)}")


if __name__ == "__main__":
    main()
