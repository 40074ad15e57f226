"""The pages of whole jobs: calculations that carry their results on."""

from __future__ import annotations

from collections.abc import Iterator

from generator.numbers import quantities
from generator.numbers.jobs import number_in, symbol_of
from generator.records.calculations import Job, JobStep
from generator.site.page import Page, Site, as_json, trail, with_sections
from generator.site.pages.formula import field_data, piece_of, rule_of, typed_field


def job_address(key: str) -> str:
    """Where the page of a job stands."""
    return f"formulas/job-{key}.html"


def job_pages(site: Site) -> Iterator[Page]:
    """One page for each job of the knowledge base."""
    for key, job in site.knowledge.jobs.items():
        yield _job_page(site, key, job)


def _job_page(site: Site, key: str, job: Job) -> Page:
    view, formulas = site.view, site.knowledge.formulas
    symbols = {name: symbol_of(formulas, job, name) for name in job.fields}
    named = dict.fromkeys(
        [*job.cautions, *(c for s in job.steps.values() for c in formulas[s.formula].cautions)]
    )
    cautions = [(c, site.knowledge.cautions[c]) for c in named if c in site.knowledge.cautions]
    body = view.draw(
        "job",
        job_address(key),
        r=job,
        trail=trail("formula", [], job.name),
        cautions=cautions,
        fields=[
            typed_field(site, name, job.fields[name].like.partition(".")[2], s)
            for name, s in symbols.items()
        ],
        pieces=list(dict.fromkeys(filter(None, map(piece_of, symbols.values())))),
        steps=[
            {"id": k, "formula": s.formula, "meaning": called(site, s)}
            for k, s in job.steps.items()
        ],
        answers=job.answers,
        data=as_json(job_data(site, job)),
        others=[(job_address(k), j.name) for k, j in site.knowledge.jobs.items() if k != key],
    )
    return Page(
        job_address(key).removesuffix(".html") + ".md", job.name, job.summary, with_sections(body)
    )


def called(site: Site, step: JobStep) -> str:
    """What the result of a step is called."""
    return step.meaning or site.knowledge.formulas[step.formula].result.meaning


def job_data(site: Site, job: Job) -> dict:
    """What the page's script must know to do what ``numbers.jobs.run`` does."""
    formulas, view = site.knowledge.formulas, site.view
    symbols = {name: symbol_of(formulas, job, name) for name in job.fields}
    steps = []
    for key, step in job.steps.items():
        formula = formulas[step.formula]
        take = []
        for name, symbol in formula.symbols.items():
            source = step.take[name]
            kind = "number" if number_in(source) is not None else ""
            kind = kind or ("step" if source in job.steps else "field")
            low, high = (quantities.number_text(e) for e in symbol.range)
            take.append(
                {
                    "name": name,
                    "from": kind,
                    "source": source,
                    "meaning": symbol.meaning,
                    "id": symbol.unit,
                    "unit": view.unit(symbol.unit),
                    "range": [f"{e:f}" for e in symbol.range],
                    "shown": f"{low} to {high}",
                }
            )
        steps.append(
            {
                "id": key,
                "rule": rule_of(formula),
                "meaning": called(site, step),
                "unit": view.unit(formula.result.unit),
                "unitId": formula.result.unit,
                "take": take,
            }
        )
    return {
        "fields": [field_data(n, s, view.unit(s.unit)) for n, s in symbols.items()],
        "steps": steps,
    }
