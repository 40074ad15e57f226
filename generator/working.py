"""Receives a formula's id and values as typed; hands on the result with its working. The command line's calculator."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import DecimalException

from generator import figures
from generator.complaints import did_you_mean
from generator.figures import Quantity
from generator.formulas import compile_expression, evaluate_quantities, typed
from generator.linking import Knowledge
from generator.wording import with_unit


class WorkFailed(Exception):
    """Why there is no result, as `fault; cure`."""


@dataclass(frozen=True)
class Result:
    """What came out of which formula, from what."""

    formula: str
    value: Quantity
    inputs: dict[str, Quantity]

    def as_json(self) -> dict:
        """Result as shown, both ends in full, and the unit."""
        low, high = (None if e is None else float(e) for e in (self.value.low, self.value.high))
        return {"result": figures.shown(self.value).replace(figures.NBSP, " "), "low": low, "high": high, "unit": self.value.unit}


def work(knowledge: Knowledge, formula_id: str, words: Sequence[str]) -> Result:
    """Evaluate a formula on `symbol=value` words. Raises WorkFailed for anything that is not a value in the valid range."""
    if formula_id not in knowledge.formulas:
        raise WorkFailed(f"there is no formula {formula_id}; {did_you_mean(formula_id, knowledge.formulas, 'see knowledge/formulas/')}")
    formula = knowledge.formulas[formula_id]
    given: dict[str, Quantity] = {}
    for word in words:
        name, equals, text = word.partition("=")
        if not equals or name not in formula.symbols:
            raise WorkFailed(f"{word!r} is no symbol=value; symbols: {', '.join(formula.symbols)}")
        given[name] = _value(name, text, formula.symbols[name])
    for name, symbol in formula.symbols.items():
        if name not in given:
            if symbol.default is None:
                raise WorkFailed(f"{name} ({symbol.meaning}) is missing; add {name}=...")
            given[name] = _value(name, str(symbol.default), symbol)
    program = compile_expression(formula.expression, formula.symbols)
    try:
        value = evaluate_quantities(program, given, formula.result.unit)
    except ValueError as error:
        raise WorkFailed(f"{error}; change the inputs") from None
    return Result(formula_id, value, given)


def _value(name: str, text: str, symbol) -> Quantity:
    try:
        quantity = typed(text.replace(",", "."), symbol.unit)
    except (DecimalException, ValueError):
        raise WorkFailed(f"{name}: {text!r} is not a number; write digits and a point, or low..high") from None
    low, high = symbol.range
    if not (quantity.low.is_finite() and quantity.high.is_finite() and low <= quantity.low and quantity.high <= high):
        raise WorkFailed(f"{name}: {text} is outside {figures.number_text(low)} to {figures.number_text(high)} {symbol.unit}; "
                         "the formula is not meant for it")
    return quantity


def work_words(knowledge: Knowledge, result: Result) -> str:
    """The result, the expression, the inputs and the limits, for reading."""
    formula = knowledge.formulas[result.formula]
    lines = [f"{formula.result.meaning}: {with_unit(knowledge, result.value)}", f"  = {formula.expression}"]
    lines += [f"  {name} = {with_unit(knowledge, q)}  ({formula.symbols[name].meaning})" for name, q in result.inputs.items()]
    lines += [f"  mind: {limit}" for limit in formula.limits]
    return "\n".join(lines)
