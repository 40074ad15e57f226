"""The page that ranks figures by what measuring them would settle, with the test for each."""

from __future__ import annotations

from dataclasses import dataclass, replace

from markupsafe import Markup

from generator.checks.settling import Settled, by_part, doubt, measured_by
from generator.numbers.quantities import OWN
from generator.site.page import MEASURE, QUEUE, Page, Site
from generator.verdicts.wording import state_name

MOST = 60  # rows of the page
NAMED = 4  # parts or metals named in a row


def measure_page(site: Site) -> Page:
    """Figures in the order of the verdicts and identifications that hang on where they lie."""
    found = site.settling.all()
    decisive = [s for s in found if s.weight[0]]
    summary = (
        "The figures most worth measuring: what would change if the true value lay at the other"
        " end of its uncertainty."
    )
    body = site.view.draw(
        "measure",
        "measure.html",
        title=MEASURE,
        summary=summary,
        rows=[_row(site, s) for s in decisive[:MOST]],
        more=len(decisive[MOST:]),
        queue=QUEUE,
        tests=[
            {"name": t.name, "process": t.process, "how": t.how}
            for t in site.knowledge.words("bench_tests").values()
            if t.measures and (t.how or t.process in site.knowledge.processes)
        ],
        trail=[("Start", "index.html"), (MEASURE, "")],
    )
    return Page("measure.md", MEASURE, summary, body)


@dataclass(frozen=True)
class MeasureRow:
    """A figure that measuring would settle: what it is now, and what hangs on it."""

    page: str
    name: str
    property: str
    now: Markup
    doubt: Markup
    verdicts: int
    parts: str
    apart: int
    metals: str
    places: int
    test: str
    process: str | None


def _row(site: Site, settled: Settled) -> MeasureRow:
    knowledge, view = site.knowledge, site.view
    parts = by_part(settled)
    named = [knowledge.roles[p].name for p in list(parts)[:NAMED]]
    apart = [knowledge.materials[m].name for m in settled.told_apart[:NAMED]]
    test = measured_by(knowledge, settled.property)
    return MeasureRow(
        page=view.address("material", settled.material),
        name=state_name(knowledge, settled.material, settled.state),
        property=knowledge.words("properties")[settled.property].name,
        now=view.quantity_text(settled.now),
        doubt=view.quantity_text(replace(doubt(settled), evidence=OWN, of=())),
        verdicts=sum(parts.values()),
        parts=_and_more(named, len(parts)),
        apart=len(settled.told_apart),
        metals=_and_more(apart, len(settled.told_apart)),
        places=settled.weight[1],
        test=test.name if test else "",
        process=test.process if test and test.process in knowledge.processes else None,
    )


def _and_more(named: list[str], count: int) -> str:
    more = count - len(named)
    return ", ".join(named) + (f" and {more} more" if more else "")
