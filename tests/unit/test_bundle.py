"""The folder that is given away, made of a site of four small pages: what is in it, what is said
on the way, and that it takes the place of another whole."""

import hashlib
import json
import zipfile

import pytest

from generator.deliver import bundle, card_book
from generator.upkeep import editions
from tests.conftest import ROOT

SOURCES = ROOT / "site_src" / "offline"
NAME = "arbor-and-case-2026-11-25"
PAGE = (
    "<html><head><title>{0} - x</title></head><body>"
    '<article class="md-content__inner md-typeset"><h1>{0}</h1>'
    '<dl class="card"><dt>{0}</dt></dl></article></body></html>'
)
AFTER_COPY = ["copy the site", "one file of everything"]
NO_BOOK = "no book of cards: there is no Chromium on this machine"
AT_THE_END = ["what a browser keeps", "zip"]


@pytest.fixture
def small_site(tmp_path, monkeypatch):
    """A finished site, on a machine without a browser."""
    monkeypatch.setattr(card_book, "find_browser", lambda: None)
    site = tmp_path / "site"
    for name in ("index", "parts/case", "parts/bow", "materials/steel", "hazards/sea"):
        (site / name).parent.mkdir(parents=True, exist_ok=True)
        (site / f"{name}.html").write_text(PAGE.format(name), encoding="utf-8")
    (site / "assets").mkdir()
    (site / "data").mkdir()
    described = {"name": "arbor-and-case", "version": "2026-11-25"}
    (site / "data" / "datapackage.json").write_text(json.dumps(described), encoding="utf-8")
    return site


def published(site, target):
    said = []
    folder, items = bundle.bundle(site, SOURCES, target, said.append)
    return folder, items, said


def test_a_folder_named_after_the_edition_with_all_that_is_given_away(small_site, tmp_path):
    folder, items, said = published(small_site, tmp_path / "deep" / "out")
    assert folder == tmp_path / "deep" / "out" / "2026-11-25"
    assert sorted(p.name for p in folder.iterdir()) == [
        f"{NAME}-one-file.html",
        f"{NAME}.zip",
        "contents.txt",
        "site",
    ]
    assert said == [*AFTER_COPY, NO_BOOK, *AT_THE_END]
    one_file = (folder / f"{NAME}-one-file.html").read_text(encoding="utf-8")
    assert "<h1>parts/case</h1>" in one_file
    assert "everything in one file, 2026-11-25" in one_file
    worker = (folder / "site" / "offline-worker.js").read_text(encoding="utf-8")
    assert '"2026-11-25 ' in worker
    assert [i.name for i in items][-1] == "contents.txt"


def test_the_list_of_contents_has_each_file_with_its_sum(small_site, tmp_path):
    """As the tool sha256sum reads it: sum, two spaces, name; in the order of the names."""
    folder, items, _ = published(small_site, tmp_path / "out")
    files = sorted(p for p in folder.rglob("*") if p.is_file() and p.name != "contents.txt")
    sums = [
        (p.relative_to(folder).as_posix(), hashlib.sha256(p.read_bytes()).hexdigest())
        for p in files
    ]
    listed = (folder / "contents.txt").read_text(encoding="utf-8")
    assert listed == "".join(f"{digest}  {name}\n" for name, digest in sums)
    assert [(i.name, i.sha256) for i in items[:-1]] == sums
    assert [i.size for i in items[:-1]] == [p.stat().st_size for p in files]
    assert items[-1].size == len(listed.encode())


def test_a_zip_comes_out_alike_each_time(tmp_path):
    """Sorted names, the day of the edition, rights of a plain file of its owner, deflated."""
    for name in ("b.txt", "a/c.txt"):
        path = tmp_path / "folder" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"text of {name}" * 50, encoding="utf-8")
    bundle.write_zip(tmp_path / "folder", tmp_path / "x.zip", "top", "2026-11-25")
    with zipfile.ZipFile(tmp_path / "x.zip") as archive:
        entries = archive.infolist()
        assert archive.read("top/b.txt").decode() == "text of b.txt" * 50
    assert [e.filename for e in entries] == ["top/a/c.txt", "top/b.txt"]
    for e in entries:
        assert e.date_time == (2026, 11, 25, 0, 0, 0)
        assert (e.compress_type, e.create_system) == (zipfile.ZIP_DEFLATED, 3)
        assert e.external_attr == 0o100644 << 16
        assert e.compress_size < e.file_size / 5


def test_cards_that_are_drafts_are_counted(small_site, tmp_path):
    words = "changed after the last edition: marked as draft; the verb `edition` stamps a new one"
    for number, name in enumerate(("parts/case", "materials/steel", "hazards/sea"), 1):
        path = small_site / f"{name}.html"
        path.write_text(path.read_text(encoding="utf-8") + editions.DRAFT, encoding="utf-8")
        said = published(small_site, tmp_path / "out")[2]
        many = {1: "1 card", 2: "2 cards", 3: "2 cards"}[number]  # hazards have no card
        assert said == [f"{many} {words}", *AFTER_COPY, NO_BOOK, *AT_THE_END]


def test_what_a_killed_run_left_goes_and_nothing_else(small_site, tmp_path):
    out = tmp_path / "out"
    for name in (".2025-01-02.new", ".2026-11-25.new", "2025-01-02", ".other.new"):
        (out / name).mkdir(parents=True)
    published(small_site, out)
    assert sorted(p.name for p in out.iterdir()) == [".other.new", "2025-01-02", "2026-11-25"]


@pytest.mark.parametrize("can_exchange", [True, False])
def test_an_older_folder_of_the_edition_gives_way(small_site, tmp_path, monkeypatch, can_exchange):
    if not can_exchange:
        monkeypatch.setattr(bundle, "exchange", lambda *_: False)
    old = tmp_path / "out" / "2026-11-25"
    old.mkdir(parents=True)
    (old / "old.txt").write_text("old", encoding="utf-8")
    folder, *_ = published(small_site, tmp_path / "out")
    assert not (folder / "old.txt").exists()
    assert (folder / "site" / "index.html").exists()
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["2026-11-25"]


def test_the_book_of_cards_is_printed_where_there_is_a_browser(small_site, tmp_path, monkeypatch):
    asked = []

    def print_book(browser, page, book, edition):
        asked.append((browser, edition, page.read_text(encoding="utf-8")))
        if browser == "/broken":
            raise card_book.BookFailed("it broke")
        book.write_text("printed", encoding="utf-8")

    monkeypatch.setattr(card_book, "print_book", print_book)
    for browser in ("/fine", "/broken"):
        monkeypatch.setattr(card_book, "find_browser", lambda b=browser: b)
        folder, _, said = published(small_site, tmp_path / browser.strip("/"))
        book = folder / f"{NAME}-cards.pdf"
        assert book.exists() == (browser == "/fine")
        failed = [] if browser == "/fine" else ["no book of cards: it broke"]
        assert said == [*AFTER_COPY, "book of cards", *failed, *AT_THE_END]
        assert not (folder / "cards.html").exists()
    assert [(browser, edition) for browser, edition, _ in asked] == [
        ("/fine", "2026-11-25"),
        ("/broken", "2026-11-25"),
    ]
    assert "3 cards, 0 tables." in asked[0][2]
    assert "cards and tables, 2026-11-25</title>" in asked[0][2]


def test_what_is_told_of_the_folder():
    """The files of the site together, in megabytes from a million octets on."""
    items = [
        bundle.Item("site/a.html", 999_999, "aa"),
        bundle.Item("site/b.html", 1, "bb"),
        bundle.Item("x.zip", 999_949, "cc"),
    ]
    assert bundle.in_words(items) == [
        "   1.0 MB  site/, 2 files; open site/index.html",
        " 999.9 kB  x.zip\n           SHA-256 cc",
    ]
