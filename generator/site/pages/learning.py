"""Sayings and lessons, and what their answers rest on."""

from __future__ import annotations

from generator.checks.claims import quantity_of, sum_inputs, sum_of
from generator.numbers import quantities
from generator.numbers.composition import share
from generator.records import models
from generator.records.knowledge import COLLECTIONS, Knowledge
from generator.site.page import Page, Site, record_page, trail
from generator.verdicts import wording
from generator.verdicts.candidates import near


def saying_page(site: Site, key: str) -> Page:
    """A saying: the verdict in one line, why, and what it rests on."""
    view, record = site.view, site.knowledge.sayings[key]
    address = view.address("saying", key)
    alike = [k for k, r in site.knowledge.sayings.items() if r.judged == record.judged]
    body = view.draw(
        "saying",
        address,
        r=record,
        trail=trail("saying", [], record.name),
        cautions=site.cautions(record),
        grounds=ground_rows(site, record.rests_on),
        see=see_links(record.see),
        siblings=[("saying", k) for k in near(alike, key)],
    )
    return record_page(address, record, body)


def lesson_page(site: Site, key: str) -> Page:
    """A lesson: short text, what to read, and questions whose answers open in place."""
    view, record = site.view, site.knowledge.lessons[key]
    address = view.address("lesson", key)
    path = lesson_path(site.knowledge)
    at = path.index(key)
    questions = [
        {
            "ask": q.ask,
            "options": q.options,
            "grounds": ground_rows(site, q.rests_on),
            "see": see_links(q.see),
        }
        for q in record.questions
    ]
    body = view.draw(
        "lesson",
        address,
        r=record,
        id=key,
        trail=trail("lesson", [], record.name),
        cautions=site.cautions(record),
        see=see_links(record.see),
        questions=questions,
        before=path[at - 1] if at else "",
        after=path[at + 1] if at + 1 < len(path) else "",
    )
    return record_page(address, record, body)


def lesson_path(knowledge: Knowledge) -> list[str]:
    """The lessons in the order of the path."""
    return sorted(knowledge.lessons, key=lambda k: knowledge.lessons[k].number)


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
        return "process", figure.process
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
                "links": [("material", claim.material), ("hazard", claim.hazard)],
                "said": words,
                "sources": (),
            }
        )
    return rows
