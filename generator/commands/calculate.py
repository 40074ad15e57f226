"""Works out a formula from values as typed, and shows the working.

The command line's calculator.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from generator.numbers import jobs, quantities
from generator.numbers.formulas import result_of
from generator.numbers.hardness import CONVERTIBLE, SCALES, convert
from generator.numbers.quantities import Quantity
from generator.numbers.tempering import colours_at, spans_for
from generator.numbers.typed import read, typed
from generator.numbers.units import UnitTable, unit_table
from generator.records.calculations import FormulaSymbol
from generator.records.complaints import NotDone, did_you_mean
from generator.records.knowledge import Knowledge
from generator.verdicts.wording import meaning_of, rounding_words, unit_label, with_unit


class WorkFailed(NotDone):
    """Why there is no result, as `fault; cure`."""


@dataclass(frozen=True)
class Result:
    """What came out of which formula, from what."""

    formula: str
    value: Quantity
    inputs: dict[str, Quantity]
    texts: dict[str, str]  # the inputs exactly as typed

    def as_json(self) -> dict:
        """Result as shown, both ends in full, and the unit."""
        low, high = (None if e is None else float(e) for e in (self.value.low, self.value.high))
        return {
            "result": quantities.shown(self.value).replace(quantities.NBSP, " "),
            "low": low,
            "high": high,
            "unit": self.value.unit,
        }


def work(knowledge: Knowledge, formula_id: str, words: Sequence[str]) -> Result:
    """Evaluate a formula on `symbol=value` words.

    Raises WorkFailed for anything that is not a value in the valid range.
    """
    if formula_id not in knowledge.formulas:
        raise WorkFailed(
            f"there is no formula {formula_id};"
            f" {did_you_mean(formula_id, knowledge.formulas, 'see knowledge/formulas/')}"
        )
    formula = knowledge.formulas[formula_id]
    texts, given = _given(knowledge, formula.symbols, words)
    try:
        value = result_of(formula, given)
    except ValueError as error:
        raise WorkFailed(f"{error}; change the inputs") from None
    return Result(formula_id, value, given, texts)


def _given(
    knowledge: Knowledge, symbols: Mapping[str, FormulaSymbol], words: Sequence[str]
) -> tuple[dict[str, str], dict[str, Quantity]]:
    """What was typed for each symbol, or its default, and what that is. Raises WorkFailed."""
    texts: dict[str, str] = {}
    for word in words:
        name, equals, text = word.partition("=")
        if not equals or name not in symbols:
            raise WorkFailed(f"{word!r} is not symbol=value; symbols: {', '.join(symbols)}")
        texts[name] = text
    for name, symbol in symbols.items():
        if name not in texts:
            if symbol.default is None:
                raise WorkFailed(f"{name} ({symbol.meaning}) is missing; add {name}=...")
            texts[name] = f"{symbol.default:f}"
    table = unit_table(knowledge.words("units"), knowledge.words("asked_units"))
    found = {name: _value(name, text, symbols[name], table) for name, text in texts.items()}
    return texts, found


def job_words(knowledge: Knowledge, job_id: str, words: Sequence[str]) -> str:
    """`work what-carat air=25.00 wet=23.40`: every step of a whole job. Raises WorkFailed."""
    job, formulas = knowledge.jobs[job_id], knowledge.formulas
    symbols = {name: jobs.symbol_of(formulas, job, name) for name in job.fields}
    texts, typed_in = _given(knowledge, symbols, words)
    table = unit_table(knowledge.words("units"), knowledge.words("asked_units"))
    lines = [job.name]
    lines += [
        _line(knowledge, name, text, typed_in[name], symbols[name]) for name, text in texts.items()
    ]
    for key, done in jobs.run(formulas, job, typed_in, table).items():
        formula = formulas[job.steps[key].formula]
        called = job.steps[key].meaning or formula.result.meaning
        if done.result is None:
            raise WorkFailed(f"{key}: {done.fault}; check what was typed")
        shown = with_unit(knowledge, done.result) + rounding_words(formula, done.result)
        said = meaning_of(formula, done.result)
        lines += [f"{called}: {shown}", f"  = {formula.expression}"]
        lines += [f"  {said}"] if said and f"  {said}" not in lines else []
    return "\n".join([*lines, *(f"mind: {limit}" for limit in job.limits)])


def _value(name: str, text: str, symbol: FormulaSymbol, table: UnitTable) -> Quantity:
    try:
        return read(text, symbol, table)
    except ValueError as error:
        raise WorkFailed(f"{name}: {error}") from None


def hardness_words(knowledge: Knowledge, words: Sequence[str]) -> str:
    """`work hardness-conversion HRC=60`: a steel's hardness, or a range, in every other scale.

    Raises WorkFailed; refuses `metal=` others.
    """
    given = dict(word.partition("=")[::2] for word in words)
    metal = given.pop("metal", "carbon-steel")
    if metal not in CONVERTIBLE:
        raise WorkFailed(
            f"{metal} is not converted; the tables hold for {' and '.join(CONVERTIBLE)} only"
        )
    if len(given) != 1 or not set(given) <= set(SCALES[:-1]):
        raise WorkFailed(f"one scale=value is needed; scales: {', '.join(SCALES[:-1])}")
    ((scale, text),) = given.items()
    ends = _hardness(knowledge, text, scale)
    try:
        found = [None if end is None else convert(knowledge, end, scale) for end in ends]
    except ValueError as error:
        raise WorkFailed(f"{error}; see the table") from None
    both = [f for f in found if f is not None]
    lines = [
        f"  {_about([f and f[other] for f in found], 1 if other == 'HRC' else 0)} "
        f"{'MPa tensile strength' if other == 'Rm' else other}"
        for other in both[0]
        if all(other in f for f in both)
    ]
    return "\n".join(
        [
            f"{scale} {text} of {metal.replace('-', ' ')} is",
            *lines,
            "  mind: a conversion is an estimate, not a test",
        ]
    )


def _hardness(knowledge: Knowledge, text: str, scale: str) -> tuple[Decimal | None, Decimal | None]:
    """Both ends of a hardness as typed; an open end is None. Raises WorkFailed."""
    table = unit_table({k: knowledge.words("units")[k] for k in SCALES if k != "Rm"}, {})
    try:
        found = typed(text, scale, table, "60")
    except ValueError as error:
        raise WorkFailed(str(error)) from None
    return found.low, found.high


def _about(ends: Sequence[Decimal | None], places: int) -> str:
    """A hardness that was read between rows, or a span of it."""
    low, high = (None if end is None else f"{end:.{places}f}" for end in ends)
    if low is None or high is None:
        return f"at most about {high}" if low is None else f"at least about {low}"
    return f"about {low}" if low == high else f"about {low} to {high}"


def tempering_words(knowledge: Knowledge, words: Sequence[str]) -> str:
    """`work tempering-temperature material=steel-o1 hardness=60`: temperatures on each published
    curve, with colours."""
    given = dict(word.partition("=")[::2] for word in words)
    material = knowledge.materials.get(given.get("material", ""))
    if material is None or not material.tempering:
        having = [m for m, r in knowledge.materials.items() if r.tempering]
        raise WorkFailed(
            "material= must name a steel with a tempering table; "
            f"{did_you_mean(given.get('material', ''), having, ', '.join(having))}"
        )
    if "hardness" not in given:
        raise WorkFailed("hardness= is missing; add hardness=60 in the scale of the table")
    lines = []
    for curve in material.tempering:
        low, high = _hardness(knowledge, given["hardness"], curve.unit)
        low, high = (Decimal("-Infinity") if low is None else low), (high or Decimal("Infinity"))
        found = spans_for(curve, low, high)
        where = " or ".join(f"{_span(*ends)} degC" for ends in found) or "not on this curve"
        colours = (
            sorted({c for ends in found for c in colours_at(knowledge, *ends)})
            if material.family == "carbon-steel"
            else []
        )
        colour = f" ({' or '.join(colours)}; colour depends on time)" if colours else ""
        stand_in = f" [stand-in: {curve.stands_in_for}]" if curve.stands_in_for else ""
        lines.append(
            f"{given['hardness']} {curve.unit}: {where}{colour}, after {curve.hardened_from},"
            f" {curve.quenched}{stand_in}"
        )
    return "\n".join(lines)


def _span(low: Decimal, high: Decimal) -> str:
    return f"{low:.0f}" if low == high else f"{low:.0f} to {high:.0f}"


LOOKUPS = {"hardness-conversion": hardness_words, "tempering-temperature": tempering_words}


def _line(knowledge, name: str, text: str, typed, symbol) -> str:
    """One input as typed, with its unit and its meaning."""
    echoed = _echoed(text, typed, unit_label(knowledge, symbol.unit))
    return f"  {name} = {echoed}".rstrip() + f"  ({symbol.meaning})"


def _echoed(text: str, value: Quantity, label: str) -> str:
    """An input exactly as typed, and what it comes to where a unit was typed with it."""
    try:
        typed(text)
    except ValueError:
        value = replace(value, digits=quantities.EXACT, showing=quantities.Showing())
        return f"{text} = {quantities.shown(value)} {label}"
    return f"{text} {label}"


def work_words(knowledge: Knowledge, result: Result) -> str:
    """The result, the expression, the inputs and the limits, for reading."""
    formula = knowledge.formulas[result.formula]
    lines = [
        (
            f"{formula.result.meaning}:"
            f" {with_unit(knowledge, result.value)}{rounding_words(formula, result.value)}"
        ),
        f"  = {formula.expression}",
    ]
    lines += [
        _line(knowledge, name, text, result.inputs[name], formula.symbols[name])
        for name, text in result.texts.items()
    ]
    said = meaning_of(formula, result.value)
    lines += [f"  {said}"] if said else []
    lines += [f"  mind: {limit}" for limit in formula.limits]
    return "\n".join(lines)
