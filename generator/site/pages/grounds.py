"""What sayings, answers and bench tasks rest on, as rows with the figures as they stand now."""

from __future__ import annotations

from generator.checks.claims import quantity_of, sum_inputs, sum_of
from generator.numbers import quantities
from generator.numbers.composition import share
from generator.records import models
from generator.records.knowledge import COLLECTIONS
from generator.site.page import Site
from generator.verdicts import wording


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


def ground_rows(site: Site, grounds: models.Grounds) -> list[dict]:
    """What something rests on, with the figures as they stand now."""
    judge, rows = site.verdicts.judge, []
    for claim in (*grounds.figures, *grounds.listed):
        sides = [s for s in (claim.left, claim.right) if s]
        found = [quantity_of(judge, s) for s in sides]
        texts = [
            f"{_figure_name(site, s)} {wording.with_unit(site.knowledge, q)}"
            for s, q in zip(sides, found, strict=True)
        ]
        other = texts[1] if len(texts) > 1 else quantities.number_text(claim.number)
        rows.append(
            {
                "links": list(dict.fromkeys(_figure_home(s) for s in sides)),
                "said": f"{texts[0]} is {claim.relation} {other}",
                "sources": tuple(dict.fromkeys(s for q in found for s in q.sources)),
            }
        )
    for claim in grounds.sums:
        formula = site.knowledge.formulas[claim.formula]
        inputs = sum_inputs(judge, claim)
        given = ", ".join(
            f"{formula.symbols[s].meaning} {wording.with_unit(site.knowledge, q)}"
            for s, q in inputs.items()
        )
        result = wording.with_unit(site.knowledge, sum_of(judge, claim))
        sources = [s for q in inputs.values() for s in q.sources]
        rows.append(
            {
                "links": [("formula", claim.formula)],
                "said": f"{given}: {formula.result.meaning} {result}",
                "sources": tuple(dict.fromkeys((*sources, formula.source))),
            }
        )
    for claim in grounds.shares:
        composition = site.knowledge.materials[claim.material].composition
        content = wording.with_unit(site.knowledge, share(composition, claim.element))
        element = site.knowledge.words("elements")[claim.element].name
        rows.append(
            {
                "links": [("material", claim.material)],
                "said": f"{element} {content} by weight",
                "sources": (composition.source,),
            }
        )
    for claim in grounds.said:
        homes = {"caution": claim.caution, "first aid": claim.first_aid, "process": claim.process}
        rows.append(
            {
                "links": [(kind, key) for kind, key in homes.items() if key],
                "said": "; ".join(f"\u201c{words}\u201d" for words in claim.words),
                "sources": (),
            }
        )
    for claim in grounds.stands:
        words = " or ".join(site.view.word("rungs", r) for r in claim.rungs)
        rows.append(
            {
                "links": [("material", claim.material), ("part", claim.part)],
                "said": words,
                "sources": (),
            }
        )
    for claim in grounds.exposures:
        words = " or ".join(site.view.word("exposure_verdicts", v) for v in claim.verdicts)
        rows.append(
            {
                "links": [
                    ("material", claim.material),
                    *([("part", claim.part)] if claim.part else []),
                    ("hazard", claim.hazard),
                ],
                "said": words,
                "sources": (),
            }
        )
    return rows
