"""Rules about formulas: expression, ranges, readings, worked examples."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from generator.checks.rule import complaint, rule
from generator.numbers.dimensions import units_fault
from generator.numbers.formulas import FormulaFault, compile_demand, compile_expression, evaluate
from generator.records import models
from generator.records.complaints import Complaint
from generator.records.knowledge import Knowledge


@rule
def formula_cannot_be_read(knowledge: Knowledge) -> Iterator[Complaint]:
    """A formula's expression and its demands are plain arithmetic on its own symbols."""
    for key, formula in knowledge.formulas.items():
        tries = [
            (
                ("expression",),
                "expression",
                lambda f=formula: compile_expression(f.expression, f.symbols),
            )
        ]
        tries += [
            (("demands", i, "that"), "that", lambda d=d, f=formula: compile_demand(d, f.symbols))
            for i, d in enumerate(formula.demands)
        ]
        for way, field, read in tries:
            try:
                read()
            except FormulaFault as fault:
                what, _, cure = str(fault).partition("; ")
                where = f" (letter {fault.column})" if fault.column > 1 else ""
                yield complaint(
                    knowledge,
                    "formula",
                    key,
                    way,
                    f"{field}{where}: {what}",
                    cure,
                    "formula_cannot_be_read",
                )


@rule
def formula_units_do_not_meet(knowledge: Knowledge) -> Iterator[Complaint]:
    """The units of the symbols give that of the result."""
    for key, formula in knowledge.formulas.items():
        try:
            fault = units_fault(knowledge, formula)
        except FormulaFault:
            continue  # complained of already
        if fault:
            cure = "check the unit, or say under `constant` what a number inside is measured in"
            yield complaint(
                knowledge,
                "formula",
                key,
                ("result", "unit"),
                fault,
                cure,
                "formula_units_do_not_meet",
            )


@rule
def formula_symbol_range(knowledge: Knowledge) -> Iterator[Complaint]:
    """A symbol's range runs upwards and holds its default."""
    for key, formula in knowledge.formulas.items():
        for name, symbol in formula.symbols.items():
            low, high = symbol.range
            if low >= high or (symbol.default is not None and not low <= symbol.default <= high):
                fault = (
                    f"{name}: the range {low} to {high} does not hold"
                    f" {'the default' if low < high else 'anything'}"
                )
                yield complaint(
                    knowledge,
                    "formula",
                    key,
                    ("symbols", name, "range"),
                    fault,
                    "check both ends",
                    "formula_symbol_range",
                )


@rule
def readings_out_of_order(knowledge: Knowledge) -> Iterator[Complaint]:
    """The readings of a formula rise, and only the last has no threshold."""
    for key, formula in knowledge.formulas.items():
        limits = [r.threshold for r in formula.readings]
        # below 12, then up to 12: 12 itself may have a reading of its own
        ends = [(r.threshold, r.at_most is not None) for r in formula.readings[:-1]]
        if limits and (
            limits[-1] is not None
            or None in limits[:-1]
            or any(a >= b for a, b in zip(ends, ends[1:], strict=False))
        ):
            yield complaint(
                knowledge,
                "formula",
                key,
                ("readings",),
                "readings do not rise to one without a threshold",
                "sort them",
                "readings_out_of_order",
                True,
            )


@rule
def worked_example_does_not_come_out(knowledge: Knowledge) -> Iterator[Complaint]:
    """A worked example reproduces its published answer; one that is marked wrong does not."""
    for key, formula in knowledge.formulas.items():
        try:
            program = compile_expression(formula.expression, formula.symbols)
        except FormulaFault:
            continue
        for i, example in enumerate(formula.examples):
            way = ("examples", i)
            if set(example.inputs) != set(formula.symbols):
                odd = sorted(set(example.inputs) ^ set(formula.symbols))[0]
                yield complaint(
                    knowledge,
                    "formula",
                    key,
                    (*way, "inputs"),
                    f"the inputs and the symbols differ in {odd}",
                    "give every symbol once",
                    "worked_example_does_not_come_out",
                )
                continue
            try:
                value = evaluate(program, example.inputs)
            except ValueError as error:
                yield complaint(
                    knowledge,
                    "formula",
                    key,
                    way,
                    f"the example has no result: {error}",
                    "check the inputs",
                    "worked_example_does_not_come_out",
                )
                continue
            if example_agrees(example, value) == (example.proves == "wrong"):
                answer = (
                    example.published
                    if example.published is not None
                    else " to ".join(map(str, example.published_range))
                )
                verb = (
                    "comes out although it is marked wrong"
                    if example.proves == "wrong"
                    else "does not come out"
                )
                fault = f"the published answer {answer} {verb}: {value:.6g}"
                yield complaint(
                    knowledge,
                    "formula",
                    key,
                    way,
                    fault,
                    "check expression, inputs and answer",
                    "worked_example_does_not_come_out",
                )


def example_agrees(example: models.Example, value: Decimal) -> bool:
    """True when a computed value meets the published answer within the stated tolerance."""
    if example.published_range:
        return example.published_range[0] <= value <= example.published_range[1]
    allowed = (
        example.within
        if example.within is not None
        else abs(example.published) * example.within_percent / 100
    )
    return abs(value - example.published) <= allowed
