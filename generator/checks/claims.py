"""Checks the grounds of a saying or an answer against the knowledge base."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from generator.numbers import formulas, quantities, typed
from generator.numbers.composition import share
from generator.numbers.quantities import Quantity
from generator.records import models
from generator.records.knowledge import Knowledge
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import Ladder
from generator.verdicts.wording import with_unit


def broken_grounds(ladder: Ladder, grounds: models.Grounds) -> Iterator[tuple[tuple, str]]:
    """(way inside the grounds, what is wrong) for each comparison or verdict that does not
    hold."""
    judge = ladder.judge
    faults = {
        "figures": (claim_fault(judge, claim) for claim in grounds.figures),
        "listed": (claim_fault(judge, claim) for claim in grounds.listed),
        "sums": (sum_fault(judge, claim) for claim in grounds.sums),
        "shares": (share_fault(judge, claim) for claim in grounds.shares),
        "stands": (rung_fault(ladder, claim) for claim in grounds.stands),
        "exposures": (exposure_fault(judge, claim) for claim in grounds.exposures),
    }
    for field, found in faults.items():
        yield from (((field, i), fault) for i, fault in enumerate(found) if fault)
    for i, claim in enumerate(grounds.said):
        yield from ((("said", i), lack) for lack in words_missing(judge.knowledge, claim))


def rung_fault(ladder: Ladder, claim: models.RungClaim) -> str | None:
    """What is wrong with a claim where a material stands for a part, in one state or in any."""
    knowledge = ladder.judge.knowledge
    states = (claim.state,) if claim.state else knowledge.materials[claim.material].states
    found = [ladder.judgement(claim.part, claim.material, s).rung for s in states or (None,)]
    if any(rung in claim.rungs for rung in found):
        return None
    rung = knowledge.words("rungs")[found[0]].name
    return f"{claim.material} for {claim.part}: it stands on {rung!r}"


def exposure_fault(judge: Judge, claim: models.ExposureClaim) -> str | None:
    """What is wrong with a claim what a hazard does to a material."""
    found = judge.exposure(claim.hazard, claim.material, claim.state, claim.part).verdict
    if found in claim.verdicts:
        return None
    verdict = judge.knowledge.words("exposure_verdicts")[found].name
    return f"{claim.material} in {claim.hazard}: the verdict is {verdict!r}"


def quantity_of(judge: Judge, figure: models.FigureOf | models.ListedFigure) -> Quantity | None:
    """The quantity that a reference to a figure names; None when there is none."""
    if isinstance(figure, models.ListedFigure):
        named = (f for f in listed_by(judge.knowledge, figure) if f.what == figure.what)
        return next((quantities.of_bound(f, f.unit, f.source) for f in named), None)
    return judge.values.of(figure.material, figure.property, figure.state, figure.unit)


def listed_by(knowledge: Knowledge, figure: models.ListedFigure) -> Sequence[models.NamedFigure]:
    """The list that a listed figure stands in: of its process, or the limits and figures of its
    caution."""
    if figure.process:
        return knowledge.processes[figure.process].figures
    caution = knowledge.cautions[figure.caution]
    return [*caution.limits, *caution.figures]


def figure_words(figure: models.FigureOf | models.ListedFigure) -> str:
    """A reference to a figure, in words for a complaint."""
    if isinstance(figure, models.ListedFigure):
        return f"{figure.what!r} of {figure.process or figure.caution}"
    return f"{figure.property} of {figure.material}"


def claim_fault(judge: Judge, claim: models.Claim) -> str | None:
    """What is wrong with a comparison; None when it holds.

    Ranges must lie apart; guaranteed minima compare by themselves.
    """
    left = quantity_of(judge, claim.left)
    right = quantity_of(judge, claim.right) if claim.right else quantities.exact(claim.number)
    for quantity, figure in ((left, claim.left), (right, claim.right)):
        if quantity is None:
            return f"{figure_words(figure)} is not known"
        if quantity.from_memory:
            return f"{figure_words(figure)} rests on memory"
    if holds(claim, left, right):
        return None
    return (
        f"{with_unit(judge.knowledge, left)} is not {claim.relation}"
        f" {with_unit(judge.knowledge, right)}"
    ).replace(quantities.NBSP, " ")


def words_missing(knowledge: Knowledge, claim: models.SaidClaim) -> Iterator[str]:
    """What a caution, first aid or process was said to say and does not."""
    text = "\n".join(sentences_of(knowledge, claim)).casefold()
    for words in claim.words:
        if words.casefold() not in text:
            home = claim.caution or claim.first_aid or claim.process
            yield f"{home} does not say {words!r}"


def sentences_of(knowledge: Knowledge, home: models.SaidClaim | models.OrderAnswer) -> list[str]:
    """The sentences of the caution, first aid or process that something rests on; steps in their
    order."""
    if home.process:
        process = knowledge.processes[home.process]
        others = [process.summary, process.does, *(s.text for s in process.not_for)]
        return process.steps + ([] if isinstance(home, models.OrderAnswer) else others)
    if home.first_aid:
        entry = knowledge.first_aid[home.first_aid]
        return [*entry.do, entry.then]
    caution = knowledge.cautions[home.caution]
    return [caution.danger, *caution.do, *caution.wear, *caution.first_aid]


def order_fault(knowledge: Knowledge, order: models.OrderAnswer) -> str | None:
    """What is wrong with an order; None when the base has the same one."""
    text = "\n".join(sentences_of(knowledge, order)).casefold()
    at = -1
    for step in order.steps:
        found = text.find(step.words.casefold())
        if found < 0:
            return f"{order.process or order.first_aid} does not say {step.words!r}"
        if found <= at:
            return f"{order.process or order.first_aid} says {step.words!r} earlier than that"
        at = found
    return None


def answer_of(judge: Judge, answer: models.NumberAnswer) -> Quantity | None:
    """The number that is asked for, as the base holds or computes it; None when it has none."""
    if answer.sum:
        if any(q is None for q in sum_inputs(judge, answer.sum).values()):
            return None
        return sum_of(judge, answer.sum)
    return quantity_of(judge, answer.figure or answer.listed)


def accepted(answer: models.NumberAnswer, quantity: Quantity) -> tuple[Decimal, Decimal]:
    """The span of numbers that count as right: the answer's own span, with its tolerance."""
    low = quantity.high if quantity.low is None else quantity.low
    high = quantity.low if quantity.high is None else quantity.high
    room = max(abs(low), abs(high)) * answer.within_percent / 100
    return low - room, high + room


def question_fault(judge: Judge, question: models.Question) -> tuple[str, str] | None:
    """(which answer, what is wrong) where the base does not bear a question's answer."""
    if question.order:
        fault = order_fault(judge.knowledge, question.order)
        return fault and ("order", fault)
    if not question.number:
        return None
    try:
        quantity = answer_of(judge, question.number)
    except ValueError as error:
        return "number", str(error)
    if quantity is None:
        return "number", "the base holds no such figure"
    if quantity.from_memory:
        return "number", "the answer rests on memory"
    if quantity.unit != question.number.unit:
        return "number", f"the answer comes in {quantity.unit}, not in {question.number.unit}"
    return None


def sum_inputs(judge: Judge, claim: models.SumClaim | models.SumOf) -> dict[str, Quantity | None]:
    """What goes into the calculation, in the order of the formula's symbols: typed numbers, and
    figures of materials (None where the base holds none)."""
    symbols = judge.knowledge.formulas[claim.formula].symbols
    given = {
        s: typed.typed(str(v), symbols[s].unit) for s, v in claim.inputs.items() if s in symbols
    }
    found = {s: quantity_of(judge, f) for s, f in claim.figures.items()}
    return {s: (given | found)[s] for s in symbols if s in given or s in found}


def sum_of(judge: Judge, claim: models.SumClaim | models.SumOf) -> Quantity:
    """The result of the calculation. Raises ValueError where there is none."""
    formula = judge.knowledge.formulas[claim.formula]
    return formulas.result_of(formula, sum_inputs(judge, claim))


def sum_fault(judge: Judge, claim: models.SumClaim) -> str | None:
    """What is wrong with a calculation; None when it comes out as claimed."""
    symbols = judge.knowledge.formulas[claim.formula].symbols
    given = [*claim.inputs, *claim.figures]
    if sorted(given) != sorted(symbols):
        return f"{claim.formula} needs exactly {', '.join(symbols)}; it has {', '.join(given)}"
    for symbol, quantity in sum_inputs(judge, claim).items():
        if quantity is None or quantity.from_memory:
            lack = "is not known" if quantity is None else "rests on memory"
            return f"{figure_words(claim.figures[symbol])} {lack}"
    try:
        result = sum_of(judge, claim)
    except ValueError as error:
        return f"{claim.formula}: {error}"
    if holds(claim, result, quantities.exact(claim.number)):
        return None
    return (
        f"{claim.formula} gives {with_unit(judge.knowledge, result)}, which is not"
        f" {claim.relation} {claim.number}"
    ).replace(quantities.NBSP, " ")


def share_fault(judge: Judge, claim: models.ShareClaim) -> str | None:
    """What is wrong with a content; None when the whole composition lies inside the bound."""
    composition = judge.knowledge.materials[claim.material].composition
    if composition is None:
        return f"{claim.material} has no composition"
    if composition.source == "memory":
        return f"the composition of {claim.material} rests on memory"
    content = share(composition, claim.element)
    bound = quantities.of_bound(claim, "%", composition.source)
    if (bound.low is None or content.low >= bound.low) and (
        bound.high is None or content.high <= bound.high
    ):
        return None
    return (
        f"{claim.material} holds {with_unit(judge.knowledge, content)} {claim.element}, not"
        f" {with_unit(judge.knowledge, bound)}"
    ).replace(quantities.NBSP, " ")


def holds(claim: models.Claim | models.SumClaim, left: Quantity, right: Quantity) -> bool:
    """True when the comparison holds for everything inside both intervals (for `about`: for the
    middles)."""
    if claim.relation == "about":
        return abs(left.middle - right.middle) <= abs(right.middle) * claim.within_percent / 100
    upper, lower = (left, right) if claim.relation == "above" else (right, left)
    floor = upper.low if upper.low is not None else None
    roof = lower.high if lower.high is not None else lower.low
    return floor is not None and roof is not None and floor > roof
