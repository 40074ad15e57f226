"""Changes one piece of a module at a time and tells which changes no test notices.

python -m tests.benchmarks.mutants MODULE.py [MODULE.py ...] [--many 20] [--seed 1]

A piece is a comparison, a sum, a number, a text, a condition, a return: what stands in functions,
drawn by lot. Each is tried in a process of its own against the test files that look at the
module's place (breaks.LOOKED_AT) and those that are named after it. What is printed survived. Not
where the system cannot fork.
"""

from __future__ import annotations

import argparse
import ast
import importlib
import os
import random
import resource
from collections.abc import Iterator
from itertools import zip_longest
from pathlib import Path
from types import CodeType, FunctionType

import pytest

from generator.records.loading import load
from tests.benchmarks.breaks import LOOKED_AT

ROOT = Path(__file__).resolve().parents[2]
LONGEST = 120  # seconds of processor time; what takes longer was noticed
OTHER = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
    ast.And: ast.Or, ast.Or: ast.And, ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div,
    ast.Div: ast.Mult,
}  # fmt: skip
ALSO = {  # what no file name tells
    "candidates": ["unit/test_fields"],
    "conditions": ["external/test_cautions_shown", "external/test_published_arithmetic"],
    "findings": ["unit/test_settling"],
    "rungs": ["external/test_trade_choices"],
    "wording": ["unit/test_rungs", "unit/test_comparing"],
    "values": ["external/test_figures"],
}
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


def tests_of(path: str) -> list[str]:
    """The test files that look at a module."""
    looked = next(names for place, names in LOOKED_AT.items() if path.startswith(place))
    stem = Path(path).stem
    named = (p for p in ROOT.glob("tests/*/test_*.py") if stem.rstrip("s") in p.stem)
    files = [ROOT / "tests" / "unit" / f"test_{name}.py" for name in looked]
    also = (ROOT / "tests" / f"{name}.py" for name in ALSO.get(stem, ()))
    quick = (p for p in [*files, *also, *sorted(named)] if p.parent.name in ("unit", "external"))
    return [str(p) for p in dict.fromkeys(quick)]


def noticed(module, way: tuple[str, ...], code: CodeType, files: list[str]) -> bool:
    """Whether a test fails, in a process of its own that runs the changed function."""
    child = os.fork()
    if not child:
        resource.setrlimit(resource.RLIMIT_CPU, (LONGEST, LONGEST))
        for stream in (1, 2):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream)
        live(module, way).__code__ = code
        os._exit(int(bool(run(files))))
    return os.waitpid(child, 0)[1] != 0


def run(files: list[str], *words: str) -> int:
    """The quick run of some test files."""
    quick = ["-x", "-q", "-n0", "-p", "no:cacheprovider", "-m", "not browser and not slow"]
    return int(pytest.main([*quick, *words, *files]))


def try_out(path: str, many: int, seed: int) -> tuple[int, int]:
    """How many of so many changes were noticed."""
    module = importlib.import_module(path.removesuffix(".py").replace("/", "."))
    text, files = (ROOT / path).read_text(encoding="utf-8"), tests_of(path)
    run(files, "--collect-only", "-qq")  # what is imported now is there in every child
    whole = [
        (n, k)
        for n, (way, function) in enumerate(functions(ast.parse(text)))
        if live(module, way)
        for k, _ in enumerate(changes(function))
    ]
    drawn, found = sorted(random.Random(seed).sample(whole, min(many, len(whole)))), 0
    for n, k in drawn:
        tree = ast.parse(text)
        way, function = list(functions(tree))[n]
        before = ast.unparse(function).splitlines()
        list(changes(function))[k]()
        after = ast.unparse(function).splitlines()
        code = code_of(compile(ast.fix_missing_locations(tree), path, "exec"), way)
        if code.co_freevars or noticed(module, way, code, files):
            found += 1
        else:
            pairs = zip_longest(before, after, fillvalue="(nothing)")
            was, now = next(pair for pair in pairs if pair[0] != pair[1])
            print(f"{path} {'.'.join(way)}: {was.strip()} -> {now.strip()}", flush=True)
    print(f"{path}: noticed {found} of {len(drawn)} drawn from {len(whole)}", flush=True)
    return found, len(drawn)


def main() -> None:
    """Try each module that is named."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("modules", nargs="+")
    words.add_argument("--many", type=int, default=20)
    words.add_argument("--seed", type=int, default=1)
    asked = words.parse_args()
    load(ROOT)
    counts = [try_out(path, asked.many, asked.seed) for path in asked.modules]
    found, drawn = map(sum, zip(*counts, strict=True))
    print(f"noticed {found} of {drawn}")


if __name__ == "__main__":
    main()
