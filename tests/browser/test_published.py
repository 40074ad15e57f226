"""The published folder in a browser: kept whole for use without a network or not at all, quiet from
file://, readable in one file, printed as a book."""

import re
import shutil
import subprocess
import threading
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from generator.deliver import bundle, card_book
from tests.conftest import ROOT, settled, until
from tests.printed import needs_pdftohtml, smallest_letters

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def published(site, tmp_path_factory) -> Path:
    """The shipped site as it is published."""
    folder, _ = bundle.bundle(
        site, ROOT / "site_src" / "offline", tmp_path_factory.mktemp("published")
    )
    return folder


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_):
        """Say nothing."""


@contextmanager
def handed_out(published, tmp_path):
    """A copy of a published site on 127.0.0.1, which browsers trust as they trust https; gives
    (address, folder)."""
    folder = tmp_path / "site"
    shutil.copytree(published / "site", folder)
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}", folder
    server.shutdown()
    server.server_close()


@pytest.fixture
def served(published, tmp_path):
    with handed_out(published, tmp_path) as found:
        yield found


@pytest.fixture(scope="module")
def small_published(small_built, tmp_path_factory) -> Path:
    """The small site: how an edition takes another's place is the same for few files."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(card_book, "find_browser", lambda: None)
        folder, _ = bundle.bundle(
            small_built / "site", ROOT / "site_src" / "offline", tmp_path_factory.mktemp("small")
        )
    return folder


@pytest.fixture
def small_served(small_published, tmp_path):
    with handed_out(small_published, tmp_path) as found:
        yield found


@pytest.fixture
def page(chromium):
    context = chromium.new_context(viewport={"width": 1180, "height": 820})
    yield context.new_page()
    context.close()


ACTIVE = (
    "navigator.serviceWorker.getRegistration().then(r => Boolean(r && r.active && r.active.state"
    " === 'activated'))"
)


def test_a_visited_site_is_there_without_a_network(served, page):
    address, folder = served
    page.goto(f"{address}/index.html")
    until(page, ACTIVE, tries=400)
    kept = page.evaluate(
        "caches.keys().then(names => Promise.all(names.map(n => caches.open(n).then(c =>"
        " c.keys()).then(k => k.length))))"
    )
    assert kept == [
        sum(p.is_file() for p in folder.rglob("*")) - 1 - len(list((folder / "data").iterdir()))
    ]  # all but the worker itself and the data
    page.context.set_offline(True)
    for name, heading in (
        ("materials/stainless-316l.html", "Stainless steel 316L"),
        ("tables/density-ratio.html", "Density"),
        ("", ""),
    ):
        page.goto(f"{address}/{name}")
        assert heading in page.locator("h1").first.inner_text()
    page.locator("#find-input").fill("4404")
    until(page, "document.querySelectorAll('#find-list li').length > 0")
    assert (
        page.evaluate("document.querySelector('link[rel=manifest]').href")
        == f"{address}/manifest.webmanifest"
    )


@pytest.mark.parametrize("damage", ["changed", "missing"])
def test_a_damaged_site_is_not_kept_at_all(small_served, page, damage):
    address, folder = small_served
    path = folder / "materials" / "test-steel.html"
    path.write_bytes(path.read_bytes() + b" ") if damage == "changed" else path.unlink()
    page.goto(f"{address}/index.html")
    failed = """navigator.serviceWorker.register('offline-worker.js').then(
        r => new Promise(done => { const w = r.installing; if (!w) return done('none');
        w.onstatechange = () => done(w.state); }),
        fault => 'refused')"""
    assert page.evaluate(failed) in ("redundant", "none", "refused")
    until(page, "caches.keys().then(names => names.length === 0)", tries=200)
    assert not page.evaluate(ACTIVE)


def test_a_new_edition_takes_the_place_of_the_old_one_whole(small_served, page):
    address, folder = small_served
    page.goto(f"{address}/index.html")
    until(page, ACTIVE, tries=400)
    page.goto(f"{address}/about.html")  # from now on the worker answers
    first = page.evaluate("caches.keys()")
    worker = folder / "offline-worker.js"
    worker.write_text(re.sub(r'(const EDITION = "[^"]*)"', r'\1 later"', worker.read_text()))
    page.evaluate(
        "navigator.serviceWorker.getRegistration().then(r => r.update()).then(() => null)"
    )
    until(
        page, "navigator.serviceWorker.getRegistration().then(r => Boolean(r.waiting))", tries=400
    )
    assert (
        page.evaluate("caches.keys().then(names => names.length)") == 2
    )  # the old one serves until its last page is closed
    page.goto("about:blank")
    page.goto(f"{address}/index.html")
    until(page, "caches.keys().then(names => names.length === 1)", tries=400)
    assert page.evaluate("caches.keys()") == [first[0] + " later"]


def test_a_new_edition_of_which_one_file_fails_leaves_the_old_one_whole(small_served, page):
    address, folder = small_served
    page.goto(f"{address}/index.html")
    until(page, ACTIVE, tries=400)
    page.goto(f"{address}/about.html")  # from now on the worker answers
    kept = """caches.keys().then(names => Promise.all(
        names.map(n => caches.open(n).then(c => c.keys()).then(k => [n, k.length]))))"""
    before = page.evaluate(kept)
    worker, record = folder / "offline-worker.js", folder / "materials" / "test-steel.html"
    worker.write_text(
        re.sub(r'(const EDITION = "[^"]*)"', r'\1 later"', worker.read_text(encoding="utf-8")),
        encoding="utf-8",
    )
    record.write_bytes(record.read_bytes() + b"half of an upload")
    failed = """navigator.serviceWorker.getRegistration()
        .then(r => r.update()).then(r => new Promise(done => {
        const w = r.installing; if (!w) return done('none'); w.onstatechange = () => done(w.state);
        })).catch(() => 'refused')"""
    assert page.evaluate(failed) in ("redundant", "none", "refused")
    until(page, "caches.keys().then(names => names.length === 1)", tries=200)
    assert page.evaluate(kept) == before
    page.context.set_offline(True)
    page.goto(f"{address}/materials/test-steel.html")
    assert "Test steel" in page.locator("h1").first.inner_text()
    assert "half of an upload" not in page.content()


def test_from_a_folder_the_registration_does_nothing(watched, published):
    watched.goto((published / "site" / "materials" / "stainless-316l.html").as_uri())
    settled(watched)
    assert watched.locator("link[rel=manifest]").count() == 0
    assert watched.locator("h1").inner_text() == "Stainless steel 316L"


def test_one_file_works_with_scripts_off(chromium, published):
    context = chromium.new_context(
        java_script_enabled=False, viewport={"width": 820, "height": 1180}
    )
    page = context.new_page()
    said = []
    page.on("console", lambda m: said.append(m.text))
    page.on(
        "request", lambda r: said.append(r.url) if not r.url.endswith("one-file.html") else None
    )
    page.goto(next(published.glob("*-one-file.html")).as_uri())
    page.locator("nav a", has_text="Case middle").first.click()
    assert page.locator("section:target h1").inner_text() == "Case middle"
    page.locator("section:target a", has_text="Stainless steel 316L").first.click()
    assert page.locator("section:target h1").inner_text() == "Stainless steel 316L"
    page.locator("section:target .up a").first.click()
    assert page.locator("#top").is_visible()
    assert said == []
    context.close()


@pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="no pdftotext on this machine (Debian: poppler-utils)"
)
def test_the_book_starts_with_its_contents_and_holds_every_card(published):
    book = next(published.glob("*-cards.pdf"))
    text = subprocess.run(
        ["pdftotext", "-layout", str(book), "-"], capture_output=True, text=True, check=True
    ).stdout
    pages = text.split("\f")
    cards, tables = (int(n) for n in re.search(r"(\d+) cards, (\d+) tables\.", pages[0]).groups())
    assert "Parts" in pages[0]
    assert (
        len(
            re.findall(
                r"Reviewed .*Edition of the knowledge base: \S+\. Page \S+\.html\.",
                re.sub(r"\s*\n\s*", " ", text),
            )
        )
        >= 1
    )
    assert text.count("Reviewed ") == cards
    assert cards + tables <= len(pages) <= cards * 1.1 + tables * 10 + 8
    for heading in (
        "Density and density ratio",
        "Hazards and materials",
        "Metals in contact",
        "Hardness by state",
    ):
        assert text.count(heading) >= 2, heading  # in the contents and on its own page


@needs_pdftohtml
def test_letters_of_the_book_are_as_large_as_asked_for(published):
    """8 pt on a card and 6 pt on a matrix are the bars of the bench."""
    least = smallest_letters(next(published.glob("*-cards.pdf")))
    assert least[148, 210] >= 8 and len(least) == 3
    assert min(least.values()) >= 6


@pytest.mark.skipif(
    shutil.which("pdfinfo") is None, reason="no pdfinfo on this machine (Debian: poppler-utils)"
)
def test_cards_are_a5_and_tables_a4(published):
    said = subprocess.run(
        ["pdfinfo", "-l", "1000", str(next(published.glob("*-cards.pdf")))],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    sizes = [
        (round(float(w) * 25.4 / 72), round(float(h) * 25.4 / 72))
        for w, h in re.findall(r"size:\s+([\d.]+) x ([\d.]+)", said)
    ]
    cards = sizes.count((148, 210))
    assert sizes[:cards] == [(148, 210)] * cards  # contents and cards first
    assert set(sizes[cards:]) == {(297, 210), (210, 297)}  # then tables, matrices as they fit


def test_the_book_has_links_and_the_day_of_the_edition(published):
    content = next(published.glob("*-cards.pdf")).read_bytes()
    cards = content.count(b"/Type /Page\n") or len(re.findall(rb"/Type\s*/Page\b", content))
    assert (
        len(re.findall(rb"/Subtype\s*/Link", content)) >= cards - 10
    )  # the contents link to every card, cards to each other
    assert (
        re.search(rb"/CreationDate \(D:\d{8}000000\+00'00'\)", content).group()
        == b"/CreationDate (D:" + published.name.replace("-", "").encode() + b"000000+00'00')"
    )
