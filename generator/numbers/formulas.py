"""Compiles a formula's expression to a program (postfix list) that Python, the browser and the
page share.

The expression language is arithmetic only. It is parsed with ``ast`` and translated; nothing is
ever evaluated as code. A program is a list of steps: a Decimal pushes a number, a name pushes a
symbol, an operator takes its operands from the stack.
"""

from __future__ import annotations

import ast
import itertools
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import ROUND_FLOOR, Decimal, DecimalException, localcontext
from functools import lru_cache
from html import escape

from generator.numbers.quantities import (
    EXACT,
    PRECISION,
    SETTLED,
    Quantity,
    Showing,
)
from generator.records.calculations import Formula, FormulaDemand
from generator.records.complaints import did_you_mean

PI = Decimal("3.14159265358979323846264338327950288419716939937511")
MOST_STEPS, LARGEST_POWER, LONGEST, DEEPEST = 120, 6, 300, 30
LARGEST = Decimal("1e15")
FUNCTIONS = {"sqrt": 1, "exp": 1, "ln": 1, "abs": 1, "min": 2, "max": 2}
BENDING = {"abs", "min", "max"}
_OPERATORS = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**"}

Program = tuple
NO_RESULT = "these values divide by zero or have no real answer"
CROSSES = "between these limits the divisor passes through zero; type a narrower range"


class FormulaFault(ValueError):
    """What is wrong with an expression, as `fault; cure`.

    ``column`` counts from 1 inside the expression.
    """

    def __init__(self, message: str, column: int = 1):
        super().__init__(message)
        self.column = column


def compile_expression(text: str, symbols: Collection[str]) -> Program:
    """The expression as a postfix program.

    Raises FormulaFault for anything that is not plain arithmetic on ``symbols``.
    """
    return _compiled(text, frozenset(symbols))


@lru_cache(maxsize=4096)
def _compiled(text: str, symbols: frozenset[str]) -> Program:
    taken = sorted(set(symbols) & {*FUNCTIONS, "pi"})
    if taken:
        raise FormulaFault(f"the symbol {taken[0]} has the name of a function; rename it")
    if len(text) > LONGEST:
        raise FormulaFault(f"the expression is longer than {LONGEST} letters; split the formula")
    try:
        tree = ast.parse(text, mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        column = getattr(error, "offset", None) or 1
        times = re.search(r"(?<=[\w)]) +[x\u00d7\u00b7] +(?=[\w(])", text)
        cure = "write * for times" if times else "check brackets and operators"
        column = times.start() + 2 if times else column
        raise FormulaFault(f"the expression cannot be read; {cure}", column) from None
    program = tuple(_steps(tree, symbols, 0))
    if len(program) > MOST_STEPS:
        raise FormulaFault(f"the expression has more than {MOST_STEPS} steps; split the formula")
    unused = sorted(set(symbols) - {s for s in program if isinstance(s, str)})
    if unused:
        raise FormulaFault(
            f"the symbol {unused[0]} does not occur in the expression; use it or delete it"
        )
    return program


def compile_demand(demand: FormulaDemand, symbols: Collection[str]) -> Program:
    """The program of a demand, which need not use every symbol. Raises FormulaFault."""
    return compile_expression(demand.that, set(symbols) & set(re.findall(r"\w+", demand.that)))


def _steps(node: ast.AST, symbols: frozenset[str], depth: int) -> Iterator[Decimal | str]:
    """The steps of a part of an expression: what it takes, then what it does with it."""
    if depth > DEEPEST:
        raise _fault("the expression is nested too deep; split the formula", node)
    if isinstance(node, ast.Constant) and type(node.value) in (int, float):
        yield _number(node)
    elif isinstance(node, ast.Name):
        yield _symbol(node, symbols)
    else:
        operands, step = _operation(node)
        for operand in operands:
            yield from _steps(operand, symbols, depth + 1)
        yield step


def _fault(message: str, node: ast.AST) -> FormulaFault:
    return FormulaFault(message, getattr(node, "col_offset", 0) + 1)


def _number(node: ast.Constant) -> Decimal:
    value = Decimal(str(node.value))
    if not value.is_finite() or abs(value) > LARGEST:
        raise _fault("a number is too large; use a smaller unit", node)
    return value


def _symbol(node: ast.Name, symbols: frozenset[str]) -> str:
    if node.id not in symbols and node.id != "pi":
        cure = did_you_mean(node.id, symbols) if len(node.id) > 1 else ""
        cure = cure or "define it under symbols"
        raise _fault(f"{node.id} is not a symbol of this formula; {cure}", node)
    return node.id


def _operation(node: ast.AST) -> tuple[list[ast.expr], str]:
    """What an operator or function takes, and its sign."""
    match node:
        case ast.UnaryOp(op=ast.USub()):
            return [node.operand], "neg"
        case ast.BinOp(op=ast.BitXor()):
            raise _fault("^ is no sign of this arithmetic; write ** for a power", node)
        case ast.BinOp() if type(node.op) in _OPERATORS:
            if isinstance(node.op, ast.Pow) and not _is_power(node.right):
                most = LARGEST_POWER
                fault = f"a power must be a whole number from 2 to {most}; write it as a product"
                raise _fault(fault, node)
            return [node.left, node.right], _OPERATORS[type(node.op)]
        case ast.Call(func=ast.Name(id=name), keywords=[]) if name in FUNCTIONS:
            if len(node.args) != FUNCTIONS[name]:
                fault = f"{name} takes {FUNCTIONS[name]} value(s); separate them with commas"
                raise _fault(fault, node)
            return node.args, name
    raise _fault(
        "only numbers, symbols, + - * / ** and the listed functions are allowed; rewrite this part",
        node,
    )


def _is_power(node: ast.AST) -> bool:
    is_whole = isinstance(node, ast.Constant) and type(node.value) is int
    return is_whole and 2 <= node.value <= LARGEST_POWER


_TWO = {
    "+": lambda a, b: a + b,
    "-": lambda a, b: a - b,
    "*": lambda a, b: a * b,
    "/": lambda a, b: a / b,
    "**": lambda a, b: a**b,
    "min": min,
    "max": max,
}
_ONE = {
    "neg": lambda a: -a,
    "sqrt": lambda a: a.sqrt(),
    "exp": lambda a: a.exp(),
    "ln": lambda a: a.ln(),
    "abs": abs,
}


def evaluate(program: Program, values: Mapping[str, Decimal]) -> Decimal:
    """The value of a program.

    Raises ValueError in plain words where there is none (division by zero, root of a negative).
    """
    result = _run(program, {name: (value, EXACT) for name, value in values.items()})[0]
    if not result.is_finite():
        raise ValueError(NO_RESULT)
    return result


def _run(
    program: Program, values: Mapping[str, tuple[Decimal, int]]
) -> tuple[Decimal, int, tuple[bool, ...]]:
    """Value, significant digits, and which of the divisors are negative.

    In products the fewest digits count; in sums the last sure decimal place.
    """
    stack: list[tuple[Decimal, int]] = []
    divisors: list[bool] = []
    with localcontext() as context:
        context.prec = PRECISION
        try:
            for step in program:
                if isinstance(step, Decimal):
                    stack.append((step, EXACT))
                elif step == "pi":
                    stack.append((PI, EXACT))
                elif step in _ONE:
                    value, digits = stack.pop()
                    stack.append((_ONE[step](value), digits))
                elif step in _TWO:
                    (a, a_digits), (b, b_digits) = stack[-2:]
                    del stack[-2:]
                    if step == "/":
                        divisors.append(b.is_finite() and b < 0)
                    value = _TWO[step](a, b)
                    digits = (
                        _sum_digits(a, a_digits, b, b_digits, value)
                        if step in "+-"
                        else min(a_digits, b_digits)
                    )
                    stack.append((value, digits))
                else:
                    stack.append(values[step])
        except (DecimalException, ZeroDivisionError):
            raise ValueError(NO_RESULT) from None
    return (*stack[0], tuple(divisors))


def _sum_digits(a: Decimal, a_digits: int, b: Decimal, b_digits: int, result: Decimal) -> int:
    places = [
        v.adjusted() - d + 1
        for v, d in ((a, a_digits), (b, b_digits))
        if d < EXACT and v and v.is_finite()
    ]
    if not places or not result.is_finite():
        return min(a_digits, b_digits)
    return max(1, result.adjusted() - max(places) + 1) if result else 1


def evaluate_quantities(program: Program, inputs: Mapping[str, Quantity], unit: str) -> Quantity:
    """The program on intervals: the lowest and highest of all corners.

    Exact for formulas that rise or fall with each symbol over its valid range, which the tests
    check by sampling. Where a formula bends (abs, min, max), it bends where two inputs are equal:
    those points are tried too. An open end goes in as infinity and comes out as an open end.
    Raises ValueError as ``evaluate`` does.
    """
    names = list(inputs)
    corners = []
    bends = [e for q in inputs.values() for e in _ends(q)] if BENDING & set(program) else []
    for ends in itertools.product(*(_ends_and_bends(inputs[name], bends) for name in names)):
        corners.append(
            _run(program, {n: (e, inputs[n].digits) for n, e in zip(names, ends, strict=True)})
        )
    if len({divisors for _, _, divisors in corners}) > 1:
        raise ValueError(CROSSES)
    values = [value for value, _, _ in corners]
    closed = all(q.low is not None and q.high is not None for q in inputs.values())
    if any(value.is_nan() or (closed and not value.is_finite()) for value in values):
        raise ValueError(NO_RESULT)
    low, high = min(values), max(values)
    digits = (
        min(d for value, d, _ in corners if value.is_finite())
        if any(v.is_finite() for v in values)
        else 1
    )
    sources = tuple(dict.fromkeys(s for q in inputs.values() for s in q.sources))
    low, high = _closed_end(low), _closed_end(high)
    return Quantity(low, high, unit, digits, sources, "computed", showing=Showing())


def result_of(
    formula: Formula,
    inputs: Mapping[str, Quantity],
    program: Program | None = None,
    carried: Collection[str] = (),
) -> Quantity:
    """What a formula of the knowledge base gives: symbols that are exact taken as such, its demands
    met, its result within its bounds and rounded as the record says.

    ``carried`` are symbols that hold the result of another formula: those keep their own digits.

    Raises ValueError with the words of the record where the result would be impossible.
    """
    given = {
        name: replace(quantity, digits=EXACT)
        if formula.symbols[name].exact and name not in carried
        else quantity
        for name, quantity in inputs.items()
    }
    for demand in formula.demands:
        needed = compile_demand(demand, formula.symbols)
        low = evaluate_quantities(needed, {n: given[n] for n in given if n in needed}, "1").low
        if low is not None and low <= 0:
            raise ValueError(demand.otherwise)
    program = program or compile_expression(formula.expression, formula.symbols)
    found = evaluate_quantities(program, given, formula.result.unit)
    found = _within_bounds(formula, _whole(found) if formula.result.whole else found)
    thresholds = _thresholds(formula) if _may_be_read(formula, given) else ()
    return replace(found, showing=Showing(formula.result.rounded or "", thresholds))


def _may_be_read(formula: Formula, given: Mapping[str, Quantity]) -> bool:
    """Whether all inputs lie where the readings of the formula hold."""
    return all(
        given[name].low is not None
        and given[name].high is not None
        and low <= given[name].low
        and given[name].high <= high
        for name, (low, high) in formula.readings_for.items()
    )


def _thresholds(formula: Formula) -> tuple[tuple[Decimal, bool], ...]:
    return tuple(
        (r.threshold, r.at_most is not None) for r in formula.readings if r.threshold is not None
    )


def _whole(found: Quantity) -> Quantity:
    """A count: what is over does not count."""
    low, high = (
        None if end is None else end.to_integral_value(ROUND_FLOOR)
        for end in (found.low, found.high)
    )
    return replace(found, low=low, high=high, digits=EXACT)


def _within_bounds(formula: Formula, found: Quantity) -> Quantity:
    """A result less what lies outside the bounds. Raises ValueError where nothing is left."""
    floor, roof = formula.result.at_least, formula.result.at_most
    low, high = found.low, found.high
    if floor is not None and high is not None and high < floor:
        raise ValueError(formula.result.otherwise)
    if roof is not None and low is not None and low > roof:
        raise ValueError(formula.result.otherwise)
    if floor is not None and low is not None:
        low = max(low, floor)
    if roof is not None and high is not None:
        high = min(high, roof)
    return replace(found, low=low, high=high)


def _closed_end(value: Decimal) -> Decimal | None:
    """An end of a result; None when it came from an open end: infinity, or a number divided by it
    (a zero with a million places)."""
    if not value.is_finite() or (not value and value.as_tuple().exponent <= -1000):
        return None
    with localcontext() as context:
        context.prec = SETTLED
        return +value


def _ends_and_bends(quantity: Quantity, bends: Sequence[Decimal]) -> Sequence[Decimal]:
    low, *rest = _ends(quantity)
    inside = {b for b in bends if rest and low < b < rest[0]}
    return (low, *rest, *sorted(inside))


def _ends(quantity: Quantity) -> Sequence[Decimal]:
    if quantity.is_point:
        return (quantity.low,)
    infinite = Decimal("Infinity")
    return (
        -infinite if quantity.low is None else quantity.low,
        infinite if quantity.high is None else quantity.high,
    )


def for_browser(program: Program) -> list:
    """The program as plain JSON: numbers as text behind `#`, everything else as it is."""
    return [f"#{step}" if isinstance(step, Decimal) else step for step in program]


_RANK = {"+": 1, "-": 1, "*": 2}


_MATH_SIGNS = {"+": "+", "-": "\u2212", "*": "\u00b7"}
_SetOut = tuple[str, int]  # MathML, and how strongly it holds together


def as_mathml(program: Program, names: Mapping[str, str]) -> str:
    """The formula set out as MathML, which browsers draw without scripts.

    ``names`` maps symbols to what is shown.
    """
    stack: list[_SetOut] = []
    for step in program:
        takes = 2 if step in _OPERATORS.values() else 1 if step == "neg" else FUNCTIONS.get(step, 0)
        operands = stack[len(stack) - takes :]
        del stack[len(stack) - takes :]
        stack.append(_set_out(step, operands, names))
    return f'<math display="block">{stack[0][0]}</math>'


def _set_out(step: Decimal | str, operands: list[_SetOut], names: Mapping[str, str]) -> _SetOut:
    shown = [mathml for mathml, _ in operands]
    if isinstance(step, Decimal):
        return f"<mn>{step:f}</mn>", 9
    if step == "/":
        return f"<mfrac><mrow>{shown[0]}</mrow><mrow>{shown[1]}</mrow></mfrac>", 3
    if step == "**":
        return f"<msup>{_wrapped(operands[0], 9)}{shown[1]}</msup>", 4
    if step in _MATH_SIGNS:
        rank = _RANK[step]
        left, right = _wrapped(operands[0], rank), _wrapped(operands[1], rank + (step == "-"))
        return f"<mrow>{left}<mo>{_MATH_SIGNS[step]}</mo>{right}</mrow>", rank
    if step == "neg":
        return f"<mrow><mo>\u2212</mo>{_wrapped(operands[0], 2)}</mrow>", 1
    if step == "sqrt":
        return f"<msqrt>{shown[0]}</msqrt>", 9
    if step in FUNCTIONS:
        inside = "<mo>,</mo>".join(shown)
        return f"<mrow><mi>{step}</mi><mo>(</mo>{inside}<mo>)</mo></mrow>", 9
    return symbol_html("\u03c0" if step == "pi" else names.get(step, step)), 9


def _wrapped(item: _SetOut, least: int) -> str:
    return item[0] if item[1] >= least else f"<mrow><mo>(</mo>{item[0]}<mo>)</mo></mrow>"


def symbol_html(name: str) -> str:
    """m_air is shown as m with the index air."""
    base, _, index = name.partition("_")
    shown = GREEK.get(base, base)
    sign = f"<mi>{escape(shown)}</mi>"
    return f"<msub>{sign}<mi>{escape(index.replace('_', ' '))}</mi></msub>" if index else sign


GREEK = {
    "rho": "ρ",
    "alpha": "α",
    "eta": "η",
    "tau": "τ",
    "sigma": "σ",
    "omega": "ω",
    "theta": "θ",
    "mu": "µ",
    "delta": "δ",
    "Delta": "Δ",
}
