"""Rules about formulas: expression, ranges, readings, worked examples."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from generator.checks.rule import Fault, rule_of_one
from generator.numbers.dimensions import units_fault
from generator.numbers.formulas import (
    FormulaFault,
    Program,
    compile_demand,
    compile_expression,
    evaluate,
)
from generator.records import models
from generator.records.knowledge import Knowledge


@rule_of_one
def formula_cannot_be_read(knowledge: Knowledge) -> Iterator[Fault]:
    """A formula's expression and its demands are plain arithmetic on its own symbols."""
    for key, formula in knowledge.unsure("formula").items():
        tries = [(("expression",), lambda f=formula: compile_expression(f.expression, f.symbols))]
        tries += [
            (("demands", i, "that"), lambda d=d, f=formula: compile_demand(d, f.symbols))
            for i, d in enumerate(formula.demands)
        ]
        for way, read in tries:
            try:
                read()
            except FormulaFault as fault:
                what, _, cure = str(fault).partition("; ")
                where = f" (letter {fault.column})" if fault.column > 1 else ""
                yield Fault("formula", key, way, f"{way[-1]}{where}: {what}", cure)


@rule_of_one
def formula_units_do_not_meet(knowledge: Knowledge) -> Iterator[Fault]:
    """The units of the symbols give that of the result."""
    for key, formula in knowledge.unsure("formula").items():
        try:
            fault = units_fault(knowledge, formula)
        except FormulaFault:
            continue  # complained of already
        if fault:
            cure = "check the unit, or say under `constant` what a number inside is measured in"
            yield Fault("formula", key, ("result", "unit"), fault, cure)


@rule_of_one
def formula_symbol_range(knowledge: Knowledge) -> Iterator[Fault]:
    """A symbol's range runs upwards and holds its default."""
    for key, formula in knowledge.unsure("formula").items():
        for name, symbol in formula.symbols.items():
            low, high = symbol.range
            if low >= high or (symbol.default is not None and not low <= symbol.default <= high):
                fault = (
                    f"{name}: the range {low} to {high} does not hold"
                    f" {'the default' if low < high else 'anything'}"
                )
                yield Fault("formula", key, ("symbols", name, "range"), fault, "check both ends")


@rule_of_one
def readings_out_of_order(knowledge: Knowledge) -> Iterator[Fault]:
    """The readings of a formula rise, and only the last has no threshold."""
    for key, formula in knowledge.unsure("formula").items():
        limits = [r.threshold for r in formula.readings]
        # below 12, then up to 12: 12 itself may have a reading of its own
        ends = [(r.threshold, r.at_most is not None) for r in formula.readings[:-1]]
        if limits and (
            limits[-1] is not None
            or None in limits[:-1]
            or any(a >= b for a, b in zip(ends, ends[1:], strict=False))
        ):
            yield Fault(
                "formula",
                key,
                ("readings",),
                "readings do not rise to one without a threshold",
                "sort them",
                True,
            )


@rule_of_one
def worked_example_does_not_come_out(knowledge: Knowledge) -> Iterator[Fault]:
    """A worked example reproduces its published answer; one that is marked wrong does not."""
    for key, formula in knowledge.unsure("formula").items():
        try:
            program = compile_expression(formula.expression, formula.symbols)
        except FormulaFault:
            continue  # complained of already
        for i, example in enumerate(formula.examples):
            odd = sorted(set(example.inputs) ^ set(formula.symbols))
            if odd:
                fault = f"the inputs and the symbols differ in {odd[0]}"
                way = ("examples", i, "inputs")
                yield Fault("formula", key, way, fault, "give every symbol once")
            elif found := _example_fault(program, example):
                yield Fault("formula", key, ("examples", i), *found)


def _example_fault(program: Program, example: models.Example) -> tuple[str, str] | None:
    """What is wrong with an example that has every input, and the cure."""
    try:
        value = evaluate(program, example.inputs)
    except ValueError as error:
        return f"the example has no result: {error}", "check the inputs"
    is_wrong = example.proves == "wrong"
    if example_agrees(example, value) != is_wrong:
        return None
    answer = example.published
    if answer is None:
        answer = " to ".join(map(str, example.published_range))
    verb = "comes out although it is marked wrong" if is_wrong else "does not come out"
    fault = f"the published answer {answer} {verb}: {value:.6g}"
    return fault, "check expression, inputs and answer"


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
