"""Receives demands, answers and exposures; hands on plain sentences.

Pages and complaints say the same thing the same way.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from generator.numbers import quantities
from generator.records import models
from generator.records.knowledge import Knowledge
from generator.tables.cells import Computed
from generator.verdicts.fit import IN_PART, MET, MISSED, OFTEN, UNKNOWN, Answer, Exposure, Fit


def unit_label(knowledge: Knowledge, unit: str) -> str:
    """A unit as readers see it; nothing for pure numbers."""
    return "" if unit in ("", "1") else knowledge.words("units")[unit].label


def with_unit(knowledge: Knowledge, quantity: quantities.Quantity) -> str:
    """A quantity with its unit and, where it is borrowed, from what, as plain text."""
    unit = unit_label(knowledge, quantity.unit)
    borrowed = f" {evidence_words(quantity)}" if quantity.evidence == quantities.BORROWED else ""
    return quantities.shown(quantity) + (f"{quantities.NBSP}{unit}" if unit else "") + borrowed


def rounding_words(formula: models.Formula, result: quantities.Quantity) -> str:
    """What is said behind a result that was rounded to the safe side; else nothing."""
    side = formula.result.rounded
    return f" (rounded {side}, to be safe)" if side and quantities.is_cut(result) else ""


def meaning_of(formula: models.Formula, result: quantities.Quantity) -> str:
    """What a result means by the readings of its formula; an interval may span two or more."""
    if not formula.readings:
        return ""
    low = 0 if result.low is None else result.showing.meaning(result.low)
    high = len(formula.readings) - 1 if result.high is None else result.showing.meaning(result.high)
    return "; or: ".join(reading.say for reading in formula.readings[low : high + 1])


SIGNS = {
    quantities.CONVERTED: "⇄ converted",
    quantities.COMPUTED: "∑ worked out",
    quantities.BORROWED: "◇ borrowed",
    quantities.MEMORY: "○ from memory",
}
RESTS_ON_BORROWED = "◇ rests on a borrowed figure"


def evidence_words(quantity: quantities.Quantity) -> str:
    """How weak a quantity's evidence is, sign and word; nothing for a figure of the very metal."""
    said = SIGNS.get(quantity.evidence, "")
    return f"{said} from {', '.join(quantity.of)}" if said and quantity.of else said


def brief_evidence(quantity: quantities.Quantity) -> str:
    """Sign and word for a borrowed quantity where there is no room to say from what."""
    return SIGNS[quantity.evidence] if quantity.evidence == quantities.BORROWED else ""


def weakest(cell: Computed) -> quantities.Quantity:
    """The input of a computed number that speaks least of the very metal."""
    inputs = (q for _, q in cell.inputs)
    return max(inputs, key=lambda q: quantities.RANK[q.evidence], default=cell.value)


def rests_on_borrowed(fit: Fit) -> bool:
    """True when an answer that went into a verdict was measured on a relative."""
    return any(
        a.quantity is not None and a.quantity.evidence == quantities.BORROWED for a in fit.answers
    )


def demand_words(knowledge: Knowledge, demand: models.Demand) -> str:
    """A demand in a few words: `hardness at least 500 HV`."""
    words = knowledge.words
    if demand.property:
        prop = words("properties")[demand.property]
        limit, number = (
            ("at least", demand.at_least)
            if demand.at_least is not None
            else ("at most", demand.at_most)
        )
        unit = unit_label(knowledge, demand.unit or next(iter(prop.units)))
        return (
            f"{prop.name} {limit} {quantities.number_text(number)}{quantities.NBSP}{unit}".strip()
        )
    if demand.working:
        better = "" if demand.rating == next(iter(words("ratings"))) else " or better"
        return f"{words('workings')[demand.working].name} {words('ratings')[demand.rating].name}{better}"
    if demand.magnetism:
        return f"a magnet: {words('magnetism')[demand.magnetism].name}"
    if demand.trait:
        return words("traits")[demand.trait].name
    if demand.lacks_trait:
        return f"not {words('traits')[demand.lacks_trait].name}"
    mate = knowledge.parts[demand.mate.part].name.lower()
    return f"expansion within {quantities.number_text(demand.mate.within)}{quantities.NBSP}×10⁻⁶/K of the {mate}"


def answer_words(knowledge: Knowledge, answer: Answer) -> str:
    """What was found for a demand: `found 140 to 215 HV`, `not known`."""
    if answer.outcome == UNKNOWN:
        return "only from memory" if answer.quantity is not None else "not known"
    if answer.quantity is not None:
        converted = (
            f" (converted from {answer.quantity.converted_from})"
            if answer.quantity.converted_from
            else ""
        )
        return f"found {with_unit(knowledge, answer.quantity)}{converted}"
    if answer.demand.working:
        return knowledge.words("ratings")[answer.found].name
    if answer.demand.magnetism:
        return knowledge.words("magnetism")[answer.found].name
    return {MET: "yes", MISSED: "no"}[answer.outcome]


def reasons(knowledge: Knowledge, fit: Fit, most: int | None = None) -> list[str]:
    """What decided a verdict, worst first, up to ``most``; for a clean `suits`, the tightest
    margin."""
    found = list(islice(_against(knowledge, fit), most))
    return found or ["".join(answer_reason(knowledge, a)) for a in fit.answers[:2]]


def stage_reason(fit: Fit) -> str:
    """Why a state that is only a stage of the work is never offered, and what must follow."""
    return f"only a stage of the work: {fit.stage}"


def _against(knowledge: Knowledge, fit: Fit) -> Iterator[str]:
    if fit.stage:
        yield stage_reason(fit)
    for outcome in (MISSED, UNKNOWN, IN_PART):
        yield from (
            "".join(answer_reason(knowledge, answer))
            for answer in fit.answers
            if answer.outcome == outcome
        )
        if outcome == MISSED:
            yield from _hazard_reasons(knowledge, fit, ("fails",))
    yield from _hazard_reasons(knowledge, fit, ("unknown", "suffers"))
    if fit.coated:
        yield f"the {knowledge.materials[fit.coated].name.lower()} will wear through one day{_worn_words(knowledge, fit)}"


_VERBS = {MET: "", MISSED: "misses, ", IN_PART: "meets only in part, ", UNKNOWN: "not known"}


def answer_reason(knowledge: Knowledge, answer: Answer) -> tuple[str, str]:
    """How a demand is answered, in two halves that many materials share: `hardness at least 500
    HV: misses, ` and `found 160 to 200 HV`."""
    kind = "" if answer.demand.firm or answer.outcome == MET else "wished: "
    said = "" if answer.outcome == UNKNOWN else answer_words(knowledge, answer)
    return f"{kind}{demand_words(knowledge, answer.demand)}: {_VERBS[answer.outcome]}", said


def hazard_reason(knowledge: Knowledge, meeting: models.Meeting, exposure: Exposure) -> str:
    """What a hazard that the part meets does: `sea water: fails (pitting)`."""
    name = knowledge.hazards[meeting.hazard].name.lower()
    word = knowledge.words("exposure_verdicts")[exposure.verdict].name
    how = exposure.rule.mechanism if exposure.rule else None
    mechanism = f" ({knowledge.words('mechanisms')[how].name})" if how else ""
    return f"{name}: {word}{mechanism}{'' if meeting.severity in OFTEN else ', met seldom'}"


def _worn_words(knowledge: Knowledge, fit: Fit) -> str:
    """What happens to the base metal once its coating is gone: `, then sweat: suffers slowly`."""
    harmed = [
        (m, e)
        for m, e in zip(fit.meets, fit.worn, strict=True)
        if e.verdict in ("fails", "suffers")
    ]
    words = knowledge.words("exposure_verdicts")
    return (
        ", then "
        + ", ".join(
            f"{knowledge.hazards[m.hazard].name.lower()}: {words[e.verdict].name}"
            for m, e in harmed[:3]
        )
        if harmed
        else ""
    )


def _hazard_reasons(knowledge: Knowledge, fit: Fit, verdicts: tuple[str, ...]) -> Iterator[str]:
    return (
        hazard_reason(knowledge, m, e)
        for m, e in zip(fit.meets, fit.exposures, strict=True)
        if e.verdict in verdicts
    )
