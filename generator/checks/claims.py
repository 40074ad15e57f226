"""What a saying or an answer rests on, and what of it does not come out true."""

from __future__ import annotations

from collections.abc import Iterator

from generator.numbers import formulas, quantities
from generator.numbers.composition import share
from generator.numbers.quantities import Quantity
from generator.records import models
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import Ladder
from generator.verdicts.wording import with_unit


def broken_grounds(ladder: Ladder, grounds: models.Grounds) -> Iterator[tuple[tuple, str]]:
    """(way inside the grounds, what is wrong) for each comparison or verdict that does not
    hold."""
    judge = ladder.judge
    for i, claim in enumerate(grounds.figures):
        fault = claim_fault(judge, claim)
        if fault:
            yield ("figures", i), fault
    for i, claim in enumerate(grounds.listed):
        fault = claim_fault(judge, claim)
        if fault:
            yield ("listed", i), fault
    for i, claim in enumerate(grounds.sums):
        fault = sum_fault(judge, claim)
        if fault:
            yield ("sums", i), fault
    for i, claim in enumerate(grounds.shares):
        fault = share_fault(judge, claim)
        if fault:
            yield ("shares", i), fault
    words = judge.knowledge.words
    for i, claim in enumerate(grounds.stands):
        states = judge.knowledge.materials[claim.material].states
        found = [
            ladder.judgement(claim.part, claim.material, s).rung
            for s in ((claim.state,) if claim.state else tuple(states) or (None,))
        ]
        if not any(rung in claim.rungs for rung in found):
            yield (
                ("stands", i),
                f"{claim.material} for {claim.part}: it stands on {words('rungs')[found[0]].name!r}",
            )
    for i, claim in enumerate(grounds.exposures):
        found = judge.exposure(claim.hazard, claim.material, claim.state).verdict
        if found not in claim.verdicts:
            yield (
                ("exposures", i),
                f"{claim.material} in {claim.hazard}: the verdict is {words('exposure_verdicts')[found].name!r}",
            )


def quantity_of(judge: Judge, figure: models.FigureOf | models.ListedFigure) -> Quantity | None:
    """The quantity that a reference to a figure names; None when there is none."""
    if isinstance(figure, models.ListedFigure):
        listed = judge.knowledge.processes[figure.process].figures
        named = (f for f in listed if f.what == figure.what)
        return next((quantities.of_bound(f, f.unit, f.source) for f in named), None)
    return judge.values.of(figure.material, figure.property, figure.state, figure.unit)


def figure_words(figure: models.FigureOf | models.ListedFigure) -> str:
    """A reference to a figure, in words for a complaint."""
    if isinstance(figure, models.ListedFigure):
        return f"{figure.what!r} of {figure.process}"
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
        f"{with_unit(judge.knowledge, left)} is not {claim.relation} {with_unit(judge.knowledge, right)}"
    ).replace(quantities.NBSP, " ")


def sum_inputs(judge: Judge, claim: models.SumClaim) -> dict[str, Quantity | None]:
    """What goes into the calculation, in the order of the formula's symbols: typed numbers, and
    figures of materials (None where the base holds none)."""
    symbols = judge.knowledge.formulas[claim.formula].symbols
    typed = {
        s: formulas.typed(str(v), symbols[s].unit) for s, v in claim.inputs.items() if s in symbols
    }
    found = {s: quantity_of(judge, f) for s, f in claim.figures.items()}
    return {s: (typed | found)[s] for s in symbols if s in typed or s in found}


def sum_of(judge: Judge, claim: models.SumClaim) -> Quantity:
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
