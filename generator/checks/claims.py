"""Receives what a saying or an answer rests on; hands on what of it does not come out true."""

from __future__ import annotations

from collections.abc import Iterator

from generator.numbers import quantities
from generator.numbers.quantities import Quantity
from generator.records import models
from generator.verdicts.fit import Judge
from generator.verdicts.wording import with_unit


def broken_grounds(judge: Judge, grounds: models.Grounds) -> Iterator[tuple[tuple, str]]:
    """(way inside the grounds, what is wrong) for each comparison or verdict that does not
    hold."""
    for i, claim in enumerate(grounds.figures):
        fault = claim_fault(judge, claim)
        if fault:
            yield ("figures", i), fault
    words = judge.knowledge.words
    for i, claim in enumerate(grounds.fits):
        states = (
            (claim.state,)
            if claim.state
            else tuple(judge.knowledge.materials[claim.material].states) or (None,)
        )
        found = [judge.fit(claim.part, claim.material, s).verdict for s in states]
        if not any(v in claim.verdicts for v in found):
            yield (
                ("fits", i),
                f"{claim.material} for {claim.part}: the verdict is {words('fit_verdicts')[found[0]].name!r}",
            )
    for i, claim in enumerate(grounds.exposures):
        found = judge.exposure(claim.hazard, claim.material, claim.state).verdict
        if found not in claim.verdicts:
            yield (
                ("exposures", i),
                f"{claim.material} in {claim.hazard}: the verdict is {words('exposure_verdicts')[found].name!r}",
            )


def quantity_of(judge: Judge, figure: models.FigureOf) -> Quantity | None:
    """The quantity that a reference to a figure stands for."""
    return judge.values.of(figure.material, figure.property, figure.state, figure.unit)


def claim_fault(judge: Judge, claim: models.Claim) -> str | None:
    """What is wrong with a comparison; None when it holds.

    Ranges must lie apart; guaranteed minima compare by themselves.
    """
    left = quantity_of(judge, claim.left)
    right = quantity_of(judge, claim.right) if claim.right else quantities.exact(claim.number)
    for quantity, figure in ((left, claim.left), (right, claim.right)):
        if quantity is None:
            return f"{figure.property} of {figure.material} is not known"
        if quantity.from_memory:
            return f"{figure.property} of {figure.material} rests on memory"
    if holds(claim, left, right):
        return None
    return (
        f"{with_unit(judge.knowledge, left)} is not {claim.relation} {with_unit(judge.knowledge, right)}"
    ).replace(quantities.NBSP, " ")


def holds(claim: models.Claim, left: Quantity, right: Quantity) -> bool:
    """True when the comparison holds for everything inside both intervals (for `about`: for the
    middles)."""
    if claim.relation == "about":
        return abs(left.middle - right.middle) <= abs(right.middle) * claim.within_percent / 100
    upper, lower = (left, right) if claim.relation == "above" else (right, left)
    floor = upper.low if upper.low is not None else None
    roof = lower.high if lower.high is not None else lower.low
    return floor is not None and roof is not None and floor > roof
