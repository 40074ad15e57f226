"""Builds the site: read, check, link, figures, tables, pages, MkDocs, swap."""

from __future__ import annotations

import errno
import shutil
import time
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from itertools import chain
from pathlib import Path

from generator.checks.rules import check
from generator.deliver import finish, frames, links, pages
from generator.deliver.pages import BuildFailed
from generator.deliver.sharing import ShareFailed, both, taken
from generator.deliver.swap import alone
from generator.export import document
from generator.numbers.values import values_of
from generator.records import editor_schemas
from generator.records.complaints import Refused
from generator.records.knowledge import Knowledge
from generator.site import layer_words, script_data
from generator.site.kept_pages import KeptPages
from generator.site.page import Page, Site
from generator.site.pages.material import material_page
from generator.site.pages.part import part_page
from generator.site.pictures import drawings
from generator.site.render import navigation, one, render
from generator.tables import tables
from generator.verdicts.verdicts import Verdicts


@dataclass
class Timings:
    """Seconds by step, in the order in which the steps ran.

    ``say`` is called with each step's name.
    """

    say: Callable[[str], None] = lambda _: None
    clock: Callable[[], float] = time.perf_counter
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
        began = self.clock()
        yield
        into[name] = into.get(name, 0.0) + self.clock() - began

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
MKDOCS, EXPORT = "MkDocs draws frames, and data is exported", "export the data"
FINISH, LINKS, SWAP = "fill the frames", "look at links and anchors", "swap in"


def build(
    root: Path,
    timings: Timings,
    layers: Sequence[Path] = (),
) -> tuple[Path, int]:
    """Build the site, with the workshop's own layers if there are any.

    Returns its folder and the number of pages. Raises Refused or BuildFailed; the old site then
    stays.
    """
    with alone(root) as lock:
        finish.recover(root)
        ready = _ready(root, timings, layers, kept_pages(root))
        _judge(timings, ready)
        return _build(root, timings, ready, lock), ready.pages


class Overtaken(Exception):
    """Something was saved during a build, so its result would be out of date."""


@dataclass
class Kept:
    """What a long-running process keeps for its next build."""

    pages: KeptPages | None = None
    scripts: tuple[str, ...] = ()  # files of the last site that scripts read
    drawn: frames.Drawn | None = None  # the frames of the last site


class Waiting:
    """Who waits for a build in a long-running process; nobody by default."""

    def asked(self) -> Collection[str]:
        """Pages that are open and were not shown yet, as ``materials/x.html``."""
        return ()

    def show(self, drawn: Mapping[str, bytes | None]) -> None:
        """Such pages, before the site stands; None for those that must wait for it."""

    def know(self, site: Site) -> None:
        """What all pages are drawn from."""

    def overtaken(self) -> bool:
        """Whether something was saved again."""
        return False


def build_again(
    root: Path, timings: Timings, layers: Sequence[Path], kept: Kept, waiting: Waiting
) -> tuple[int, Callable[[], None]]:
    """Build as ``build`` does, in a long-running process: pages in ``kept`` are not drawn again,
    open pages come first, and the data of scripts and the published data of the last site serve a
    moment longer.

    Returns the number of pages, and a function that renews the rest. Both raise Overtaken.
    """
    with alone(root) as lock:
        finish.recover(root)
        kept.pages = kept.pages or kept_pages(root)
        ready = _ready(root, timings, layers, kept.pages)
        attend = _attendant(root, ready.site, kept, waiting)
        ready.site.verdicts.hurried = True  # a page rests on few judgements
        attend()
        _judge(timings, ready)
        waiting.know(ready.site)
        stays = finish.last(root, kept.scripts) if kept.scripts else []
        _build(root, timings, ready, lock, stays, attend)
    kept.scripts, kept.drawn = ready.scripts or kept.scripts, ready.drawn
    return ready.pages, lambda: _follow(root, ready, attend) if stays else None


def kept_pages(root: Path) -> KeptPages:
    """The pages that the last build of a project drew."""
    return KeptPages(root / "build" / "kept")


def _attendant(root: Path, site: Site, kept: Kept, waiting: Waiting) -> Callable[[], None]:
    """Called again and again while a build runs: draws the pages that somebody looks at."""

    def drawn(name: str) -> bytes | None:
        file = frames.markdown_of(name)
        try:
            page = one(site, file)
            return kept.drawn.page(file, page.text()) if page and kept.drawn else None
        except Exception as error:
            slip = pages.slip_in_words(root, error)
            if not slip:
                raise
            raise BuildFailed(slip) from None

    def attend() -> None:
        found = {name: drawn(name) for name in waiting.asked()}
        if found:
            waiting.show(found)
        if waiting.overtaken():  # last, so that who saves without end sees a page all the same
            raise Overtaken

    return attend


def _follow(root: Path, ready: _Ready, attend: Callable[[], None]) -> None:
    """Renew the data of scripts and the published data of a site that is already in place."""
    with alone(root):
        scripts = {name: text.encode() for name, text in _late(ready, attend).items()}
        attend()
        _write_data(root, ready, attend)
        finish.renew(root, scripts.items())
        data = root / "build" / "data"
        finish.renew(root, ((f"data/{path.name}", path.read_bytes()) for path in data.iterdir()))
        shutil.rmtree(data)


def cannot_write(error: OSError) -> str:
    """What to tell when the machine refused to read or write: place, fault, cure."""
    cure = (
        "free some space"
        if error.errno in (errno.ENOSPC, errno.EDQUOT)
        else "see that it may be written"
    )
    return (
        f"{error.filename or 'build'}: {(error.strerror or str(error)).lower()}; {cure} and build"
        " again"
    )


def cards(site: Site) -> dict[str, str]:
    """Page of each card -> digest of what it says, without building a site."""
    for key in site.knowledge.materials:
        material_page(site, key)
    for key in site.knowledge.parts:
        part_page(site, key)
    return site.cards


@dataclass
class _Ready:
    """What is known before anything is drawn."""

    knowledge: Knowledge
    computed: dict
    site: Site
    layers: Sequence[Path]
    pages: int = 0  # known when they are written
    scripts: tuple[str, ...] = ()  # files that scripts read, where they were made
    drawn: frames.Drawn | None = None  # known when MkDocs is done


def _nobody_waits() -> None:
    pass


def _build(
    root: Path,
    timings: Timings,
    ready: _Ready,
    lock: int | None,
    stays: Sequence[str] = (),
    attend: Callable[[], None] | None = None,
) -> Path:
    """Everything from drawing on; ``stays`` are files of the last site that serve for now."""
    knowledge = ready.knowledge
    written = _write_pages(root, timings, ready, attend)
    ready.pages = len(written.pages)
    attend = attend or _nobody_waits
    with (
        timings.step(MKDOCS),
        frames.drawing(root, written, str(knowledge.newest_review()), lock) as drawn,
    ):
        # Made while MkDocs, where it runs at all, works in a process of its own.
        scripts = {} if stays else _scripts_and_data(root, timings, ready, attend)
        ready.scripts = tuple(scripts)
        late = {**_drawn(ready), **scripts}
        ready.drawn = drawn()
    attend()
    with timings.step(FINISH):
        frames.assemble(root, written, ready.drawn, late)
        finish.keep(root, stays) if stays else finish.take_data(root)
    attend()
    with timings.step(LINKS):
        dead = links.dead_links(root / "build" / "site.new", links.store_of(root))
        if dead:
            words = links.in_words(dead, root / "build" / "site.new", knowledge)
            raise BuildFailed("\n".join(words))
    with timings.step(SWAP):
        return finish.swap_in(root)


def _scripts_and_data(
    root: Path, timings: Timings, ready: _Ready, attend: Callable[[], None]
) -> dict[str, str]:
    """What scripts read; the published data is written at the same time."""
    with timings.meanwhile(EXPORT):
        try:
            return both(partial(_late, ready, attend), partial(_write_data, root, ready, attend))[0]
        except ShareFailed:
            raise BuildFailed("the data could not be written; the fault is named above") from None


def _write_data(root: Path, ready: _Ready, attend: Callable[[], None]) -> None:
    """The published data, and what editors offer."""
    published = document.build(ready.knowledge, ready.computed, ready.site.verdicts)
    attend()
    finish.write_data(root, ready.knowledge, published)
    attend()
    if not ready.layers:  # the editors' choices are those of the shipped knowledge base
        editor_schemas.write(root, ready.knowledge)


def write_pages(root: Path, timings: Timings, layers: Sequence[Path] = ()) -> tuple[Path, int]:
    """Write build/pages, complete Markdown with what scripts read, for another site generator.

    Returns the configuration that goes with it, and the number of pages.
    """
    with alone(root):
        ready = _ready(root, timings, layers)
        _judge(timings, ready)
        written = _write_pages(root, timings, ready)
        pages.add_late(root, {**_drawn(ready), **_late(ready)})
    return root / "build" / "mkdocs.yml", len(written.pages)


def _ready(
    root: Path, timings: Timings, layers: Sequence[Path], kept: KeptPages | None = None
) -> _Ready:
    with timings.step(CHECK):
        knowledge, complaints = check(root, layers)
        if complaints:
            raise Refused(complaints)
    with timings.step(TABLES):
        values = values_of(knowledge)
        computed = tables.build(knowledge, values)
    site = Site(
        knowledge,
        values,
        computed,
        Verdicts(knowledge, values),
        root / "site_src" / "templates",
        root / "build" / "templates",
        pages.address_of(root),
        kept,
    )
    return _Ready(knowledge, computed, site, layers)


def _judge(timings: Timings, ready: _Ready) -> None:
    with timings.step(JUDGE):
        ready.site.verdicts.all_judged()


def _write_pages(
    root: Path, timings: Timings, ready: _Ready, attend: Callable[[], None] | None = None
) -> pages.Written:
    """All pages: one after the other in a process that goes on, which keeps what it drew."""
    notice, shares = layer_words.notice(ready.knowledge), render(ready.site, taken)
    if attend:
        shares = [_attended(chain(*shares), attend)]
    with timings.step(RENDER):
        written = pages.write_pages(root, shares, navigation(), notice)
        ready.site.kept.forget_others({frames.html_of(name) for name in written.generated})
    return written


def _attended(share: Iterable[Page], attend: Callable[[], None]) -> Iterator[Page]:
    for page in share:
        yield page
        attend()


def _late(ready: _Ready, attend: Callable[[], None] = _nobody_waits) -> dict[str, str]:
    """What scripts read, by file."""
    found: dict[str, str] = {}
    for files in script_data.of(ready.site):
        found |= files
        attend()
    return found


def _drawn(ready: _Ready) -> dict[str, str]:
    """Pictures in files of their own, by file."""
    zones = {f"zones/{zone}": text for zone, text in ready.site.marks.items()}
    pictures = drawings.files(ready.knowledge) | zones
    return {f"assets/drawings/{address}.svg": text for address, text in pictures.items()}
