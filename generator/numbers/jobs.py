"""Works out a whole job step by step from what was typed into its fields.

Results are carried on unrounded, in the unit that the next formula needs. The page's twin is
`site_src/pages/assets/job.js`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation

from generator.numbers.formulas import result_of
from generator.numbers.quantities import NBSP, Quantity, exact, number_text
from generator.numbers.units import UnitTable
from generator.records.calculations import Formula, FormulaSymbol, Job


@dataclass(frozen=True)
class Done:
    """One step: what went in, by symbol, and what came out; or why there is no result."""

    inputs: Mapping[str, Quantity]
    result: Quantity | None
    fault: str = ""


def symbol_of(formulas: Mapping[str, Formula], job: Job, field: str) -> FormulaSymbol:
    """The symbol that a field of a job is read as, with the job's own default and words."""
    formula, _, name = job.fields[field].like.partition(".")
    symbol = formulas[formula].symbols[name]
    given = job.fields[field]
    return symbol.model_copy(
        update={"default": given.default, "meaning": given.meaning or symbol.meaning}
    )


def number_in(text: str) -> Decimal | None:
    """The number that a symbol takes, or None where it takes a field or a step."""
    try:
        return Decimal(text)
    except InvalidOperation:
        return None


def run(
    formulas: Mapping[str, Formula], job: Job, typed: Mapping[str, Quantity], table: UnitTable
) -> dict[str, Done]:
    """Every step in order; the first that has no result is the last."""
    done: dict[str, Done] = {}
    for key, step in job.steps.items():
        formula = formulas[step.formula]
        inputs, carried = {}, []
        for name, symbol in formula.symbols.items():
            source = step.take[name]
            if (number := number_in(source)) is not None:
                inputs[name] = exact(number, symbol.unit)
            elif source in done:
                inputs[name] = converted(done[source].result, symbol.unit, table)
                carried.append(name)
            else:
                inputs[name] = typed[source]
        try:
            for name in carried:
                refuse_outside(inputs[name], formula.symbols[name], table)
            done[key] = Done(inputs, result_of(formula, inputs, carried=carried))
        except ValueError as error:
            done[key] = Done(inputs, None, str(error))
            break
    return done


def converted(quantity: Quantity, unit: str, table: UnitTable) -> Quantity:
    """A result in the unit that the next formula wants."""
    ends = (
        None if end is None else table.convert(end, quantity.unit, unit)
        for end in (quantity.low, quantity.high)
    )
    low, high = ends
    return replace(quantity, low=low, high=high, unit=unit, showing=None)


def refuse_outside(quantity: Quantity, symbol: FormulaSymbol, table: UnitTable) -> None:
    """Raises ValueError where a carried result is one for which the next formula is not meant."""
    low, high = symbol.range
    ends = [end for end in (quantity.low, quantity.high) if end is not None]
    if any(not low <= end <= high for end in ends):
        label = table.scales[symbol.unit].label if symbol.unit != "1" else ""
        raise ValueError(
            f"{symbol.meaning} comes out outside {number_text(low)} to {number_text(high)}"
            f"{NBSP + label if label else ''}; check what was typed above"
        )
