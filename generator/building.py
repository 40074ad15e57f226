"""Receives the project folder; runs the whole line once: read, check, link, figures, tables, pages, MkDocs, swap."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from generator import comparing, export, find, identifying, leaflet, pages, publishing, schema, tables, tabular, workshop
from generator.checking import check
from generator.complaints import Refused
from generator.swapping import alone
from generator.values import Values
from generator.verdicts import Verdicts


@dataclass
class Timings:
    """Seconds by step, in the order in which the steps ran. ``say`` is called with each step's name."""

    say: Callable[[str], None] = lambda _: None
    steps: dict[str, float] = field(default_factory=dict)

    @contextmanager
    def step(self, name: str):
        """Time a block."""
        self.say(name)
        began = time.perf_counter()
        yield
        self.steps[name] = self.steps.get(name, 0.0) + time.perf_counter() - began

    @property
    def own(self) -> float:
        """What the generator itself took."""
        return sum(self.steps.values()) - self.mkdocs

    @property
    def mkdocs(self) -> float:
        """What MkDocs took."""
        return self.steps.get(MKDOCS, 0.0)


MKDOCS = "MkDocs builds the site"


def build(root: Path, timings: Timings, layers: Sequence[Path] = ()) -> tuple[Path, int]:
    """Build the site, with the workshop's own layers if there are any. Returns its folder and the number of pages. Raises Refused or BuildFailed; the old site then stays."""
    with alone(root) as lock:
        publishing.recover(root)
        return _build(root, timings, layers, lock)


def _build(root: Path, timings: Timings, layers: Sequence[Path], lock: int | None) -> tuple[Path, int]:
    with timings.step("read and check the knowledge base"):
        knowledge, complaints = check(root, layers)
        if complaints:
            raise Refused(complaints)
    with timings.step("compute tables"):
        values = Values(knowledge)
        computed = tables.build(knowledge, values)
    with timings.step("judge"):
        verdicts = Verdicts(knowledge, values)
    with timings.step("render pages"):
        site = pages.Site(knowledge, values, computed, verdicts, root / "site_src" / "templates", root / "build" / "templates")
        entries = find.entries(knowledge, site.view, computed, list(site.families))
        extra = {"assets/find-index.js": find.as_script(entries), "assets/values.js": pages.material_values(site),
                 "assets/leaflet-data.js": leaflet.script(knowledge, site.view, verdicts), "assets/identify-data.js": identifying.as_script(site.signs)}
        count = publishing.write_pages(root, pages.render(site), pages.navigation(site), extra, workshop.notice(knowledge))
    with timings.step(MKDOCS):
        process = publishing.start_mkdocs(root, site.view.edition, lock)
        # The published data and the editors' schemas are made while MkDocs works in a process of its own.
        published = export.build(knowledge, computed, verdicts)
        data = {"knowledge.json": publishing.as_json(published), export.SCHEMA_ID: publishing.as_json(export.schema()),
                **tabular.files(knowledge, published)}
        if not layers:  # the editors' choices are those of the shipped knowledge base
            schema.write(root, knowledge)
        late = {"assets/compare-data.js": comparing.as_script(comparing.data(site))}
        publishing.wait_for_mkdocs(process)
    with timings.step("finish and swap in"):
        publishing.add_late(root, late)
        publishing.finish(root, data)
        folder = publishing.swap_in(root)
    return folder, count
