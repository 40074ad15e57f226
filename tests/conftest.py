"""Shared ground of the tests: the shipped knowledge, a small invented knowledge base, and one
built site."""

from __future__ import annotations

import gc
import os
import re
import shutil
import sys
import tempfile
from base64 import b64decode, b64encode
from collections.abc import Callable
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from itertools import chain
from pathlib import Path

import jinja2
import pytest

from generator.bootstrap import SELDOM
from generator.checks import sure
from generator.checks.rules import check
from generator.commands.build import Timings, build
from generator.deliver.swap import alone
from generator.numbers.values import Values
from generator.records import loading
from generator.records.known_files import KnownFiles, _digest_of
from generator.records.loading import load
from generator.records.reading import RawFile
from generator.records.store import Store
from generator.site import texts, view
from generator.site.page import Page, Site
from generator.site.render import render
from generator.tables import tables
from generator.verdicts.verdicts import Verdicts

ROOT = Path(__file__).resolve().parent.parent
SMALL = ROOT / "tests" / "small"
FULL = ROOT / "tests" / "full"  # fills every field of every record; stands on SMALL
# what the vocabularies and formulas themselves cite
SHARED_SOURCES = (
    "periodictable|mendeleev|iso-9202|imoa-pren|anodic-index-table|astm-e140|din-50150|gb-t-3771|"
    "working-of-steel|sheffield-temper-chart|sea-water-series|asm-sea-water|mil-std-889[bd]|"
    "cie-d65|rakic-1998|johnson-christy-1974|siefke-2016|querry-1985"
)

REVIEWED = "2026-11-25"  # of every record of the invented knowledge bases


# Files of an invented knowledge base that stand in the place of shipped vocabularies.
OWN_LISTS = {
    "marks": "gold-750: {metal: Au, fineness: 750, carat: 18, source: iso-9202}\ngold-585: {metal:"
    " Au, fineness: 585, carat: 14, source: iso-9202}\n",
    "glossary": 'patina: {meaning: "The colour of age."}\n',
    "plating_metals": "gold: {name: gold bath, element: Au, electrons: 1, source: practice}\n",
    "activities": "swimming: {name: swimming, hazards: [test-sea]}\n",
    "baths": "salt: {name: salt bath, hazard: test-sea, say: It rusts., source: practice}\n",
    "purposes": "cases: {name: watch cases, parts: [test-case], stock: [{materials: [test-brass],"
    " says: its sheet names cases, source: practice}]}\n",
    "metal_colours": "brass: {name: brass, when: {families: [brass]}, linear: [0.90, 0.78, 0.41],"
    " source: querry-1985}\n",
    "anodic_colours": "blue: {name: blue, volts: 20, hue: [250, 295], source: rakic-1998}\n",
    "damage_drawings": 'pits: {name: pits, said: "holes", hazards: [test-sea], form: disc, numbers:'
    " {outer: 40}}\n",
    "rate_pairs": "plain: {name: plain, coefficient: -250, spring_grows: 11, balance_grows: 19,"
    " source: querry-1985}\n",
}
FORMULAS = (
    "density-ratio",
    "mass-from-volume",
    "specific-strength",
    "specific-stiffness",
    "elastic-reach",
    "elastic-store",
    "carat-to-fineness",
    "fineness-to-carat",
    "pitting-index",
    "expansion-mismatch",
    "density-by-reciprocal-rule",
    "galvanic-difference",
)


@cache
def files_of(folder: Path) -> dict[str, bytes]:
    """What a folder holds, by the way to it: read once, written into many small projects."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def put(target: Path, files: dict[str, bytes]) -> None:
    """Write files into a folder."""
    for folder in {(target / name).parent for name in files}:
        folder.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        with open(f"{target}/{name}", "wb", buffering=0) as file:
            file.write(content)


@cache
def shared_ground() -> dict[str, bytes]:
    """The shipped vocabularies and formulas with the sources that they cite, fit for invented
    records."""
    shipped, day = ROOT / "knowledge", f"reviewed: {{on: {REVIEWED}"
    lines = [
        line
        for name in ("common", "contact", "hazards", "colour")
        for line in (shipped / "sources" / f"{name}.yaml").read_text().splitlines(keepends=True)
    ]
    texts = {f"vocabulary/{name}.yaml": text for name, text in OWN_LISTS.items()}
    for name in FORMULAS:
        text = (shipped / "formulas" / f"{name}.yaml").read_text(encoding="utf-8")
        texts[f"formulas/{name}.yaml"] = re.sub(r"(?m)^reviewed: \{on: [-0-9]+", day, text)
    texts["sources/common.yaml"] = "".join(
        line for line in lines if re.match(f"({SHARED_SOURCES}):", line)
    )
    lists = {f"vocabulary/{name}": x for name, x in files_of(shipped / "vocabulary").items()}
    return lists | {name: text.encode() for name, text in texts.items()}


def make_root(target: Path, *overlays: Path) -> Path:
    """A project folder with the shipped vocabularies and formulas and the records of
    ``overlays``."""
    files = dict(shared_ground())
    for overlay in overlays:
        files |= files_of(overlay)
    put(target / "knowledge", files)
    return target


def edit(root: Path, file: str, old: str, new: str) -> None:
    """Replace a text in a file of a knowledge base that must hold it."""
    path = root / "knowledge" / file
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def make_buildable(target: Path, *overlays: Path) -> Path:
    """A project folder with the records of ``overlays`` and everything that a build needs."""
    make_root(target, *overlays)
    put(target / "site_src", files_of(ROOT / "site_src"))
    shutil.copy(ROOT / "mkdocs.yml", target)
    return target


def copy_shipped(target: Path) -> None:
    """A project folder with the shipped records and everything that a build needs."""
    for name in ("knowledge", "site_src"):
        shutil.copytree(ROOT / name, target / name)
    shutil.copy(ROOT / "mkdocs.yml", target)


def built_once(tmp_path_factory, name: str, make: Callable[[Path], object]) -> Path:
    """A project folder that ``make`` makes, with its site; of several processes the first that
    asks builds it."""
    base = tmp_path_factory.getbasetemp()
    shared = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    root = shared / name
    with alone(shared):
        if not root.exists():
            make(root)
            build(root, Timings())
    return root


NOT_ASKED = {"not browser": "browser", "not slow": "sweeps"}  # words of -m -> folder


@pytest.hookimpl(trylast=True)
def pytest_configure(config):
    """Without sweeps nobody needs their library, which its plugin would read for its summary."""
    gc.set_threshold(*SELDOM)  # as every command does
    patch = pytest.MonkeyPatch()
    config.add_cleanup(patch.undo)
    read_once(patch)
    if "not slow" in config.getoption("markexpr"):
        config.pluginmanager.unregister(name="hypothesispytest")


def pytest_ignore_collect(collection_path, config):
    """A folder whose tests are all left out is not even read."""
    words = config.getoption("markexpr")
    left_out = {ROOT / "tests" / name for said, name in NOT_ASKED.items() if said in words}
    return True if collection_path in left_out else None


def pytest_collection_modifyitems(items):
    """What needs a built site without a browser is slow, for it waits for MkDocs, and so is every
    sweep; slow tests come first, so that none is left at the end, and of these what needs no site:
    so a process that waits for the site finds another that works."""
    for item in items:
        swept = item.path.parent == ROOT / "tests" / "sweeps"
        if swept or _needs_a_site(item) and not item.get_closest_marker("browser"):
            item.add_marker("slow")
    items.sort(key=_turn)


def _turn(item) -> int:
    return 2 if item.get_closest_marker("slow") is None else int(_needs_a_site(item))


def _needs_a_site(item) -> bool:
    return not {"site", "small_built", "layered_site"}.isdisjoint(item.fixturenames)


class Compiled(jinja2.BytecodeCache):
    """Templates as compiled, by what they say: each is compiled once for all small projects of a
    run, and those of the site once for all runs."""

    def __init__(self):
        self.kept, self.store = {}, Store(ROOT / "build" / "templates.txt", compiler())

    def load_bytecode(self, bucket):
        """Give back what was kept."""
        if bucket.checksum not in self.kept and (text := self.store.find(bucket.checksum)):
            bucket.bytecode_from_string(b64decode(text))
            self.kept[bucket.checksum] = bucket.code
        bucket.code = self.kept.get(bucket.checksum)

    def dump_bytecode(self, bucket):
        """Keep it."""
        self.kept[bucket.checksum] = bucket.code
        self.store.learn(bucket.checksum, b64encode(bucket.bytecode_to_string()).decode())


def compiler() -> str:
    """The digest of what decides how a template is compiled."""
    code = b"".join(Path(module.__file__).read_bytes() for module in (view, texts))
    return sha256(f"{sys.version} {version('jinja2')} ".encode() + code).hexdigest()


class Remembered(KnownFiles):
    """Files as read, by their bytes: the vocabularies of a hundred small projects are parsed once.

    What a command remembers from one start to the next, the tests remember from one project to
    the next.
    """

    read: dict[str, str] = {}  # by digest: what the store holds

    def find(self, name, path):
        """The digest of a file, and the file if its bytes were read before."""
        digest = _digest_of(path)
        if digest not in self.read:
            digest, file = super().find(name, path)
            if file is not None:
                self.read[digest] = file.known
            return digest, file
        self._store.learn(digest, self.read[digest])
        return digest, RawFile(name, None, path, digest=digest, known=self.read[digest])

    def learn(self, digest, file):
        """Remember a file that was read."""
        super().learn(digest, file)
        if digest:
            self.read[digest] = self._store._used[digest].partition(" ")[2]


class Shared(Store):
    """What one small project found out another of the same ground need not ask again."""

    found: dict[str, dict[str, str]] = {}  # by what decides about it

    def find(self, key):
        """What this project or another kept."""
        text = super().find(key)
        if text is None and (text := self.found.get(self._maker, {}).get(key)) is not None:
            super().learn(key, text)
        return text

    def learn(self, key, text):
        """Remember it for all."""
        super().learn(key, text)
        self.found.setdefault(self._maker, {})[key] = text


def read_once(patch: pytest.MonkeyPatch) -> None:
    """In this process no file is parsed or typed, and no template compiled, twice."""
    kept, forget = Compiled(), loading._forget_others
    patch.setattr(view, "_compiled_templates", lambda folder: kept)
    patch.setattr(loading, "KnownFiles", Remembered)
    patch.setattr(sure, "Store", Shared)
    patch.setattr(
        loading, "_forget_others", lambda files: len(loading._TYPED) > 20_000 and forget(files)
    )


@pytest.hookimpl(optionalhook=True)
def pytest_before_copies():
    """What most files use: the shipped base judged, a small one read, all templates compiled."""
    shipped().all_judged()
    templates = view._environment(ROOT / "site_src" / "templates", None)
    for name in templates.list_templates():
        templates.get_template(name)
    templates.bytecode_cache.store.keep()
    with tempfile.TemporaryDirectory() as folder:
        load(make_root(Path(folder), SMALL, FULL))


@pytest.fixture
def small(tmp_path) -> Path:
    """A project folder with a small invented knowledge base that has no faults."""
    return make_root(tmp_path / "small", SMALL)


@pytest.fixture
def buildable(tmp_path) -> Path:
    """The small project folder with everything that a build needs."""
    return make_buildable(tmp_path / "small", SMALL)


@pytest.fixture(scope="session")
def small_built(tmp_path_factory) -> Path:
    """The small project folder with its site, built once: only to be read."""
    return built_once(tmp_path_factory, "small", lambda root: make_buildable(root, SMALL))


@pytest.fixture
def built(small_built, tmp_path) -> Path:
    """A copy of the small project folder with its site, to be changed and built again."""
    return shutil.copytree(small_built, tmp_path / "small")


@cache
def shipped() -> Verdicts:
    """The shipped knowledge base, judged; that it has no faults is a test of its own."""
    found, complaints = load(ROOT)
    assert [str(c) for c in complaints] == []
    return Verdicts(found, Values(found))


@pytest.fixture(scope="session")
def knowledge():
    """The shipped knowledge base."""
    return shipped().knowledge


@pytest.fixture(scope="session")
def values():
    """Look-up of quantities in the shipped knowledge base."""
    return shipped().judge.values


@pytest.fixture(scope="session")
def computed(knowledge, values):
    """The computed tables of the shipped knowledge base."""
    return tables.build(knowledge, values)


@pytest.fixture(scope="session")
def verdicts():
    """The shipped knowledge base, judged."""
    return shipped()


@pytest.fixture(scope="session")
def site_pages(knowledge, values, computed, verdicts):
    """What draws the pages of the shipped knowledge base."""
    return Site(knowledge, values, computed, verdicts, ROOT / "site_src" / "templates")


@pytest.fixture(scope="session")
def invented(tmp_path_factory) -> Site:
    """What draws the pages of the invented records: the small base, and every field filled."""
    folder = tmp_path_factory.mktemp("invented")
    found, complaints = check(make_root(folder, SMALL, FULL))
    assert complaints == []
    values, templates = Values(found), ROOT / "site_src" / "templates"
    built = tables.build(found, values)
    return Site(found, values, built, Verdicts(found, values), templates)


@pytest.fixture(scope="session")
def invented_pages(invented) -> dict[str, Page]:
    """Their pages as drawn, by file: only to be read."""
    return {page.file: page for page in chain(*render(invented))}


@pytest.fixture(scope="session")
def site(tmp_path_factory) -> Path:
    """The shipped site, built once for all tests that look at pages."""
    return built_once(tmp_path_factory, "shipped", copy_shipped) / "site"


CHROMIUM_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def chromium():
    """A running Chromium.

    Without one the browser tests are skipped, or fail where CI=true.
    """
    path = os.environ.get("BENCH_CHROMIUM") or shutil.which("chromium")
    if not path:
        if os.environ.get("CI") == "true":
            pytest.fail(
                "no Chromium on this machine; run python3 -m generator test, which gets one"
            )
        pytest.skip("no Chromium on this machine")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=CHROMIUM_FLAGS)
        yield browser
        browser.close()


class Watched:
    """A page with notes of everything that must not happen: console messages, errors, requests
    that leave the site."""

    def __init__(self, page):
        self.page, self.faults = page, []
        page.on("console", lambda m: self.faults.append(f"console: {m.text}"))
        page.on("pageerror", lambda e: self.faults.append(f"error: {e}"))
        page.on("requestfailed", self._failed)
        page.on("request", self._request)

    def _failed(self, request):
        # A page that is left while a script still loads cancels it; a file that is missing fails in
        # another way.
        if "ERR_ABORTED" not in (request.failure or ""):
            self.faults.append(f"failed: {request.url}: {request.failure}")

    def _request(self, request):
        if not request.url.startswith(("file:", "data:")):
            self.faults.append(f"left the site: {request.url}")


def until(page, expression: str, tries: int = 200) -> None:
    """Wait until an expression is true in the page.

    (The library's own wait needs eval, which the site's policy forbids.)
    """
    for _ in range(tries):
        if page.evaluate(expression):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never true: {expression}")


# Chromium owes no idle time and no frame to a page that has nothing to draw.
SETTLED = """() => new Promise(done => requestIdleCallback(() => {
    requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done)));
    setTimeout(done, 250);
}, {timeout: 500}))"""


def settled(page) -> None:
    """Wait until the scripts of the page are idle and all is drawn."""
    page.evaluate(SETTLED)


LAID_OUT = """() => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync('* { content-visibility: visible !important }');
  document.adoptedStyleSheets = [sheet];
}"""


def laid_out(page) -> None:
    """Lay out the whole page at once, as a reader finds it who has scrolled through all of it.

    (What lies below the screen has guessed places and no text until it comes near.)
    """
    page.evaluate(LAID_OUT)


LYING = {"width": 1180, "height": 820}  # a tablet in landscape


@pytest.fixture
def apart(chromium):
    """A page on a device of its own, for tests that change more of it than is put back after
    ``watched``: its clock, scripts that run first, what listens."""
    context = chromium.new_context(viewport=LYING)
    watch = Watched(context.new_page())
    yield watch.page
    context.close()
    assert watch.faults == []


@pytest.fixture(scope="module")
def window(chromium):
    """The page of ``watched``: a new one costs more than what most tests ask."""
    context = chromium.new_context(viewport=LYING)
    yield Watched(context.new_page())
    context.close()


@pytest.fixture
def watched(window):
    """A page in landscape tablet size that the tests of a file use in turn; the test fails when
    anything was noted by its end.

    Size, media and what was stored are put back after each.
    """
    page = window.page
    yield page
    faults, window.faults = window.faults, []
    page.goto("about:blank")
    page.set_viewport_size(LYING)
    page.emulate_media(media="null", color_scheme="null", forced_colors="null")
    session = page.context.new_cdp_session(page)
    session.send("Storage.clearDataForOrigin", {"origin": "file://", "storageTypes": "all"})
    session.detach()
    assert faults == []
