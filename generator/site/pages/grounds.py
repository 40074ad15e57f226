"""What sayings, answers and bench tasks rest on, as rows with the current figures."""

from __future__ import annotations

from dataclasses import dataclass

from generator.checks.claims import quantity_of, sum_inputs, sum_of
from generator.numbers import quantities
from generator.numbers.composition import share
from generator.records import models
from generator.records.knowledge import COLLECTIONS
from generator.site.page import Site
from generator.verdicts import wording


@dataclass(frozen=True)
class GroundRow:
    """One thing that an answer rests on: pages (kind, id), what they say, and its sources."""

    links: list[tuple[str, str]]
    said: str
    sources: tuple[str, ...] = ()


def see_links(see: models.See) -> list[tuple[str, str]]:
    """The pages that a record recommends, as (kind, id)."""
    return [
        (kind, key)
        for kind in ("part", "material", "hazard", "process", "formula")
        for key in getattr(see, COLLECTIONS[kind])
    ]


def _figure_name(site: Site, figure: models.FigureOf | models.ListedFigure) -> str:
    if isinstance(figure, models.ListedFigure):
        return figure.what
    return site.view.property_name(figure.property)


def _figure_home(figure: models.FigureOf | models.ListedFigure) -> tuple[str, str]:
    """The page that holds a figure, as (kind, id)."""
    if isinstance(figure, models.ListedFigure):
        return ("process", figure.process) if figure.process else ("caution", figure.caution)
    return "material", figure.material


def ground_rows(site: Site, grounds: models.Grounds) -> list[GroundRow]:
    """What something rests on, with the figures as they stand now."""
    return [
        *(_compared(site, claim) for claim in (*grounds.figures, *grounds.listed)),
        *(_summed(site, claim) for claim in grounds.sums),
        *(_shared(site, claim) for claim in grounds.shares),
        *(_worded(claim) for claim in grounds.said),
        *(_standing(site, claim) for claim in grounds.stands),
        *(_exposed(site, claim) for claim in grounds.exposures),
    ]


def _compared(site: Site, claim: models.Claim) -> GroundRow:
    sides = [s for s in (claim.left, claim.right) if s]
    found = [quantity_of(site.verdicts.judge, s) for s in sides]
    texts = [
        f"{_figure_name(site, s)} {wording.with_unit(site.knowledge, q)}"
        for s, q in zip(sides, found, strict=True)
    ]
    other = texts[1] if len(texts) > 1 else quantities.number_text(claim.number)
    return GroundRow(
        list(dict.fromkeys(_figure_home(s) for s in sides)),
        f"{texts[0]} is {claim.relation} {other}",
        tuple(dict.fromkeys(s for q in found for s in q.sources)),
    )


def _summed(site: Site, claim: models.SumClaim) -> GroundRow:
    judge, formula = site.verdicts.judge, site.knowledge.formulas[claim.formula]
    inputs = sum_inputs(judge, claim)
    given = ", ".join(
        f"{formula.symbols[s].meaning} {wording.with_unit(site.knowledge, q)}"
        for s, q in inputs.items()
    )
    result = wording.with_unit(site.knowledge, sum_of(judge, claim))
    sources = [s for q in inputs.values() for s in q.sources]
    return GroundRow(
        [("formula", claim.formula)],
        f"{given}: {formula.result.meaning} {result}",
        tuple(dict.fromkeys((*sources, formula.source))),
    )


def _shared(site: Site, claim: models.ShareClaim) -> GroundRow:
    composition = site.knowledge.materials[claim.material].composition
    content = wording.with_unit(site.knowledge, share(composition, claim.element))
    element = site.knowledge.words("elements")[claim.element].name
    said = f"{element} {content} by weight"
    return GroundRow([("material", claim.material)], said, (composition.source,))


def _worded(claim: models.SaidClaim) -> GroundRow:
    homes = {"caution": claim.caution, "first aid": claim.first_aid, "process": claim.process}
    links = [(kind, key) for kind, key in homes.items() if key]
    return GroundRow(links, "; ".join(f"\u201c{words}\u201d" for words in claim.words))


def _standing(site: Site, claim: models.RungClaim) -> GroundRow:
    links = [("material", claim.material), ("part", claim.part)]
    return GroundRow(links, " or ".join(site.view.word("rungs", r) for r in claim.rungs))


def _exposed(site: Site, claim: models.ExposureClaim) -> GroundRow:
    homes = {"material": claim.material, "part": claim.part, "hazard": claim.hazard}
    links = [(kind, key) for kind, key in homes.items() if key]
    said = " or ".join(site.view.word("exposure_verdicts", v) for v in claim.verdicts)
    return GroundRow(links, said)
