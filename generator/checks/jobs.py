"""Rules about whole jobs: every symbol of every step has one source, and units meet."""

from __future__ import annotations

from collections.abc import Iterator

from generator.checks.rule import Fault, rule
from generator.numbers.jobs import number_in
from generator.records.knowledge import Knowledge


@rule
def job_does_not_join(knowledge: Knowledge) -> Iterator[Fault]:
    """A job's fields are symbols of formulas, and each step takes fields, earlier steps or numbers
    for every symbol of its formula, in units of one kind."""
    for key, job in knowledge.jobs.items():
        for way, fault, cure in _faults(knowledge, job):
            yield Fault("list", "jobs", (key, *way), fault, cure)


def _faults(knowledge: Knowledge, job) -> Iterator[tuple[tuple, str, str]]:
    units: dict[str, str] = {}
    for name, field in job.fields.items():
        formula, _, symbol = field.like.partition(".")
        record = knowledge.formulas.get(formula)
        if record is None or symbol not in record.symbols:
            yield ("fields", name, "like"), f"there is no {field.like}", "write formula.symbol"
            return
        units[name] = record.symbols[symbol].unit
    for step_id, step in job.steps.items():
        record = knowledge.formulas.get(step.formula)
        if record is None:
            return  # complained of as an unknown id
        way = ("steps", step_id, "take")
        odd = sorted(set(step.take) ^ set(record.symbols))
        if odd:
            yield way, f"{step.formula} and the step differ in {odd[0]}", "give every symbol once"
            return
        for symbol, source in step.take.items():
            if number_in(source) is not None:
                continue
            if source not in units:
                cure = "take a field, an earlier step or a number"
                yield (*way, symbol), f"there is no field or earlier step {source}", cure
                return
            if not _alike(knowledge, units[source], record.symbols[symbol].unit):
                fault = f"{source} is in {units[source]}, {symbol} in {record.symbols[symbol].unit}"
                yield (*way, symbol), fault, "take a number of the same kind"
        units[step_id] = record.result.unit
    unknown = [a for a in job.answers if a not in job.steps]
    if unknown:
        yield ("answers",), f"there is no step {unknown[0]}", "name steps of the job"
    taken = {source for step in job.steps.values() for source in step.take.values()}
    idle = [name for name in job.fields if name not in taken]
    if idle:
        yield ("fields", idle[0]), f"the field {idle[0]} is never taken", "use it or delete it"


def _alike(knowledge: Knowledge, a: str, b: str) -> bool:
    units = knowledge.words("units")
    return a == b or (units[a].kind is not None and units[a].kind == units[b].kind)
