"""Receives the project folder; runs the whole line once: read, check, link, figures, tables,
pages, MkDocs, swap."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from generator.checks.rules import check
from generator.deliver import frames
from generator.deliver.swap import alone
from generator.export import document
from generator.numbers.values import Values
from generator.records import editor_schemas
from generator.records.complaints import Refused
from generator.records.knowledge import Knowledge
from generator.site import compare, find, layer_words, leaflet
from generator.site.page import Site
from generator.site.pages.formula import material_values
from generator.site.pages.material import material_page
from generator.site.pages.part import part_page
from generator.site.render import navigation, render
from generator.tables import tables
from generator.verdicts import identify
from generator.verdicts.fit import Verdicts


@dataclass
class Timings:
    """Seconds by step, in the order in which the steps ran.

    ``say`` is called with each step's name.
    """

    say: Callable[[str], None] = lambda _: None
    steps: dict[str, float] = field(default_factory=dict)
    beside: dict[str, float] = field(default_factory=dict)  # what was done while MkDocs worked

    @contextmanager
    def step(self, name: str):
        """Time a block."""
        self.say(name)
        with self._timed(self.steps, name):
            yield

    @contextmanager
    def meanwhile(self, name: str):
        """Time a block that runs while MkDocs works."""
        with self._timed(self.beside, name):
            yield

    @contextmanager
    def _timed(self, into: dict[str, float], name: str):
        began = time.perf_counter()
        yield
        into[name] = into.get(name, 0.0) + time.perf_counter() - began

    @property
    def own(self) -> float:
        """What the generator itself took."""
        return sum(self.steps.values()) - self.mkdocs

    @property
    def mkdocs(self) -> float:
        """What MkDocs took."""
        return self.steps.get(MKDOCS, 0.0)


CHECK, TABLES, JUDGE, RENDER = (
    "read and check the knowledge base",
    "compute tables",
    "judge",
    "render pages",
)
MKDOCS, EXPORT, FINISH = "MkDocs builds the site", "export the data", "finish and swap in"


def build(root: Path, timings: Timings, layers: Sequence[Path] = ()) -> tuple[Path, int]:
    """Build the site, with the workshop's own layers if there are any.

    Returns its folder and the number of pages. Raises Refused or BuildFailed; the old site then
    stays.
    """
    with alone(root) as lock:
        frames.recover(root)
        return _build(root, timings, layers, lock)


def cards(root: Path, knowledge: Knowledge) -> dict[str, str]:
    """Page of each card -> digest of what it says, without building a site."""
    values = Values(knowledge)
    site = Site(
        knowledge,
        values,
        tables.build(knowledge, values),
        Verdicts(knowledge, values),
        root / "site_src" / "templates",
        root / "build" / "templates",
    )
    for key in knowledge.materials:
        material_page(site, key)
    for key in knowledge.parts:
        part_page(site, key)
    return site.cards


def _build(
    root: Path, timings: Timings, layers: Sequence[Path], lock: int | None
) -> tuple[Path, int]:
    with timings.step(CHECK):
        knowledge, complaints = check(root, layers)
        if complaints:
            raise Refused(complaints)
    with frames.mkdocs_waiting(root, str(knowledge.newest_review()), lock) as mkdocs:
        with timings.step(TABLES):
            values = Values(knowledge)
            computed = tables.build(knowledge, values)
        with timings.step(JUDGE):
            verdicts = Verdicts(knowledge, values)
        with timings.step(RENDER):
            site = Site(
                knowledge,
                values,
                computed,
                verdicts,
                root / "site_src" / "templates",
                root / "build" / "templates",
                frames.address_of(root),
            )
            count = frames.write_pages(
                root, render(site), navigation(site), layer_words.notice(knowledge)
            )
        with timings.step(MKDOCS):
            frames.start_mkdocs(mkdocs)
            # The published data, the editors' schemas and what scripts read are made while MkDocs works in a process of its own.
            with timings.meanwhile(EXPORT):
                frames.write_data(root, knowledge, document.build(knowledge, computed, verdicts))
            if not layers:  # the editors' choices are those of the shipped knowledge base
                editor_schemas.write(root, knowledge)
            entries = find.entries(knowledge, site.view, computed, list(site.families))
            late = {
                "assets/find-index.js": find.as_script(entries),
                "assets/values.js": material_values(site),
                "assets/leaflet-data.js": leaflet.script(knowledge, site.view, verdicts),
                "assets/identify-data.js": identify.as_script(site.signs),
                "assets/compare-data.js": compare.as_script(compare.data(site)),
            }
            frames.wait_for_mkdocs(mkdocs)
    with timings.step(FINISH):
        frames.add_late(root, late)
        frames.finish(root)
        folder = frames.swap_in(root)
    return folder, count
