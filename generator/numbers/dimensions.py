"""Checks that the units of a formula's symbols can give the unit of its result.

A unit is an exact factor and the powers of the SI base units; the vocabulary says of each unit what
it is made of (`dimension`). Expressions run on units as they run on numbers.
"""

from __future__ import annotations

import ast
import math
from decimal import Decimal
from fractions import Fraction
from functools import cache

from generator.numbers.formulas import compile_expression
from generator.records.calculations import Formula
from generator.records.knowledge import Knowledge

BASE = ("g", "m", "s", "A", "K", "mol")
Unit = tuple[Fraction, tuple[float, ...]]  # size in base units, and the power of each
NONE: Unit = (Fraction(1), (0.0,) * len(BASE))
CLOSE = 1e-6  # two factors that are the same


def _made(size: int | str, **powers: float) -> Unit:
    return Fraction(size), tuple(powers.get(name, 0.0) for name in BASE)


# A pound under standard gravity on a square inch, in g/m/s2.
PSI = Fraction("453.59237") * Fraction("9.80665") / Fraction("0.0254") ** 2
# Names as they stand under `dimension`; sizes by definition (SI brochure, 9th edition; NIST Special
# Publication 811).
_NAMED: dict[str, Unit] = {
    **{name: _made(1, **{name: 1}) for name in BASE},
    "dimensionless": NONE,
    "degree": (Fraction("3.14159265358979323846264338327950288") / 180, NONE[1]),
    "percent": _made("0.01"),
    "permille": _made("0.001"),
    "ppm": _made("1e-6"),
    **dict.fromkeys(("degC", "degF"), _made(1, K=1)),  # differences; an offset has no unit
    **{name: _made(size, s=1) for name, size in (("second", 1), ("minute", 60), ("hour", 3600),
       ("day", 86400), ("week", 604800), ("year", 31557600))},
    **dict.fromkeys(("N", "newton"), _made(1000, g=1, m=1, s=-2)),
    "J": _made(1000, g=1, m=2, s=-2),
    "W": _made(1000, g=1, m=2, s=-3),
    "Pa": _made(1000, g=1, m=-1, s=-2),
    "bar": _made(10**8, g=1, m=-1, s=-2),
    "psi": (PSI, _made(1, g=1, m=-1, s=-2)[1]),
    "ksi": (1000 * PSI, _made(1, g=1, m=-1, s=-2)[1]),
    "V": _made(1000, g=1, m=2, s=-3, A=-1),
    "ohm": _made(1000, g=1, m=2, s=-3, A=-2),
    "C": _made(1, s=1, A=1),
    "T": _made(1000, g=1, s=-2, A=-1),
    "Hz": _made(1, s=-1),
    "gray": _made(1, m=2, s=-2),
    "curie": _made(37 * 10**9, s=-1),
    "liter": _made("0.001", m=3),
    "meter": _made(1, m=1),
    "gram": _made(1, g=1),
    "ampere": _made(1, A=1),
    "inch": _made("0.0254", m=1),
    "grain": _made("0.06479891", g=1),
    "pennyweight": _made("1.55517384", g=1),
    "troy_ounce": _made("31.1034768", g=1),
    "ounce": _made("28.349523125", g=1),
}  # fmt: skip
_PREFIXES = {"micro": -6, "nano": -9, "milli": -3, "kilo": 3, "mega": 6, "n": -9, "m": -3, "c": -2,
             "d": -1, "k": 3, "M": 6, "G": 9}  # fmt: skip


class NoUnit(ValueError):
    """A text that is no unit, or units that cannot be added."""


@cache
def unit_of(text: str) -> Unit:
    """A text such as `g/cm**3`. Raises NoUnit."""
    try:
        return _walk(ast.parse(text, mode="eval").body)
    except (SyntaxError, RecursionError):
        raise NoUnit(f"{text} is not a unit") from None


def _walk(node: ast.AST) -> Unit:
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return Fraction(str(node.value)), NONE[1]
    if isinstance(node, ast.Name):
        return _named(node.id)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult | ast.Div):
        return _times(
            _walk(node.left), _walk(node.right), 1 if isinstance(node.op, ast.Mult) else -1
        )
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow):
        return _power(_walk(node.left), float(_walk(node.right)[0]))
    raise NoUnit("no unit")


def _named(name: str) -> Unit:
    if name in _NAMED:
        return _NAMED[name]
    for prefix, size in _PREFIXES.items():
        if name.startswith(prefix) and name[len(prefix) :] in _NAMED:
            return _times((Fraction(10) ** size, NONE[1]), _NAMED[name[len(prefix) :]])
    raise NoUnit(f"{name} is not a unit")


def _times(a: Unit, b: Unit, power: int = 1) -> Unit:
    return a[0] * b[0] ** power, tuple(x + power * y for x, y in zip(a[1], b[1], strict=True))


def _power(a: Unit, power: float) -> Unit:
    exact = int(power) if power == int(power) else power
    return Fraction(a[0] ** exact), tuple(x * power for x in a[1])


def units_fault(knowledge: Knowledge, formula: Formula) -> str | None:
    """What is wrong with the units of a formula; None when they meet, or nobody can tell."""
    words = knowledge.words("units")
    named = {s.unit for s in formula.symbols.values()} | {formula.result.unit}
    if not all(u in words and words[u].dimension for u in named):
        return None
    try:
        units = {u: unit_of(words[u].dimension) for u in named}
        program = compile_expression(formula.expression, formula.symbols)
        found = _run(program, {n: units[s.unit] for n, s in formula.symbols.items()})
        constant = unit_of(formula.constant) if formula.constant else NONE
    except NoUnit as error:
        return str(error)
    found = _times(found or NONE, constant)
    wanted, label = units[formula.result.unit], formula.result.unit
    if any(abs(a - b) > CLOSE for a, b in zip(found[1], wanted[1], strict=True)):
        return f"the result cannot be in {label}: the symbols' units give {_in_words(found[1])}"
    plain = not any(isinstance(step, Decimal) for step in _without_powers(program))
    if plain and not formula.constant and not math.isclose(found[0], wanted[0], rel_tol=CLOSE):
        times = f"{float(found[0] / wanted[0]):.6g}"
        return f"the result is {times} times too small or too large in {label}"
    return None


def _in_words(powers: tuple[float, ...]) -> str:
    said = [f"{n}{'' if p == 1 else f'^{p:g}'}" for n, p in zip(BASE, powers, strict=True) if p]
    return " ".join(said) or "a plain number"


def _without_powers(program) -> list:
    """The steps without the exponents, which are no amounts."""
    return [s for s, then in zip(program, (*program[1:], ""), strict=True) if then != "**"]


def _run(program, values: dict[str, Unit]) -> Unit | None:
    """The unit of a program; None for a plain number, which takes the unit of what it is added
    to."""
    stack: list = []
    for step in program:
        if isinstance(step, Decimal):
            stack.append(step)
        elif step == "pi":
            stack.append(None)
        elif step in ("+", "-", "min", "max"):
            b, a = stack.pop(), stack.pop()
            stack.append(_added(a, b))
        elif step in ("*", "/"):
            b, a = _plain(stack.pop()), _plain(stack.pop())
            stack.append(_times(a or NONE, b or NONE, 1 if step == "*" else -1) if a or b else None)
        elif step == "**":
            power, a = stack.pop(), _plain(stack.pop())
            stack.append(_power(a, float(power)) if a else None)
        elif step == "sqrt":
            a = _plain(stack.pop())
            stack.append(_power(a, 0.5) if a else None)
        elif step in ("exp", "ln"):
            a = _plain(stack.pop())
            if a and any(a[1]):
                raise NoUnit(f"{step} is taken of something with a unit, {_in_words(a[1])}")
            stack.append(None)
        elif step in values:
            stack.append(values[step])
    return _plain(stack[0])


def _plain(value):
    return None if isinstance(value, Decimal) else value


def _added(a, b) -> Unit | None:
    a, b = _plain(a), _plain(b)
    if a and b and any(abs(x - y) > CLOSE for x, y in zip(a[1], b[1], strict=True)):
        raise NoUnit(f"{_in_words(a[1])} cannot be added to {_in_words(b[1])}")
    return a or b
