"""The published folder: whole or not at all, alike twice, and its list of contents tells the
truth.

One file of everything: all links lead somewhere.
"""

import hashlib
import html
import json
import os
import re
import zipfile
from collections import Counter, defaultdict

import lxml.html
import pytest

from generator import cli
from generator.commands.build import Timings, build
from generator.deliver import bundle, card_book, offline, one_file
from generator.numbers.quantities import of_figure, shown
from generator.records.knowledge import KINDS
from generator.records.materials import figures_of
from generator.site.texts import plain_text, sentence
from generator.verdicts.rungs import OFFERED
from generator.verdicts.wording import ground_words
from tests.conftest import ROOT
from tests.unit.test_publishing import hashes

SOURCES = ROOT / "site_src" / "offline"


@pytest.fixture
def without_browser(monkeypatch):
    """No book: that is for the browser tests."""
    monkeypatch.setattr(card_book, "find_browser", lambda: None)


@pytest.fixture(scope="module")
def published(small_built, tmp_path_factory):
    """(site, published folder, its items), published once: what a test does to them must leave
    them as they were."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(card_book, "find_browser", lambda: None)
        folder, items = bundle.bundle(
            small_built / "site", SOURCES, tmp_path_factory.mktemp("published") / "out"
        )
    return small_built / "site", folder, items


def test_the_folder_is_named_after_the_edition(published):
    _, folder, _ = published
    assert folder.name == "2026-11-25"  # the newest review of the small records
    assert sorted(p.name for p in folder.iterdir()) == [
        "arbor-and-case-2026-11-25-one-file.html",
        "arbor-and-case-2026-11-25.zip",
        "contents.txt",
        "site",
    ]
    assert [p.name for p in folder.parent.iterdir()] == ["2026-11-25"]


def test_the_list_of_contents_is_true(published):
    _, folder, items = published
    listed = dict(
        reversed(line.split("  ", 1)) for line in (folder / "contents.txt").read_text().splitlines()
    )
    found = hashes(folder)
    assert listed == {name: digest for name, digest in found.items() if name != "contents.txt"}
    assert {i.name: i.sha256 for i in items} == found
    assert all((folder / i.name).stat().st_size == i.size for i in items)
    words = "\n".join(bundle.in_words(items))
    assert found["arbor-and-case-2026-11-25.zip"] in words
    assert f"site/, {sum(n.startswith('site/') for n in found)} files" in words


def test_the_same_site_gives_the_same_folder(published, tmp_path, without_browser):
    site, folder, _ = published
    again, _ = bundle.bundle(site, SOURCES, tmp_path / "elsewhere")
    assert hashes(again) == hashes(folder)
    bundle.bundle(site, SOURCES, folder.parent)
    assert hashes(folder) == hashes(again)


def test_the_zip_holds_the_site(published):
    _, folder, _ = published
    with zipfile.ZipFile(folder / "arbor-and-case-2026-11-25.zip") as archive:
        assert archive.testzip() is None
        held = {
            name.removeprefix("arbor-and-case-2026-11-25/"): (
                hashlib.sha256(archive.read(name)).hexdigest()
            )
            for name in archive.namelist()
        }
    assert held == hashes(folder / "site")


def test_when_something_fails_the_published_folder_stays(published, monkeypatch, without_browser):
    site, folder, _ = published
    before = hashes(folder)

    def torn(*_):
        raise OSError("disk full")

    monkeypatch.setattr(bundle, "write_zip", torn)
    with pytest.raises(OSError, match="disk full"):
        bundle.bundle(site, SOURCES, folder.parent)
    assert hashes(folder) == before


def test_the_worker_knows_every_file_but_the_data(published):
    _, folder, _ = published
    site = folder / "site"
    worker = (site / "offline-worker.js").read_text(encoding="utf-8")
    files = json.loads(re.search(r"const FILES = (\{.*?\});", worker, re.S).group(1))
    assert set(files) == {
        p.relative_to(site).as_posix() for p in site.rglob("*") if p.is_file()
    } - {"offline-worker.js"} - {p.relative_to(site).as_posix() for p in (site / "data").iterdir()}
    assert files == offline.kept_files(site)
    assert re.search(r'const EDITION = "2026-11-25 [0-9a-f]{12}";', worker)
    assert "__" not in worker


def test_every_published_page_loads_the_registration_and_its_policy_allows_it(published):
    _, folder, _ = published
    for path in (folder / "site").rglob("*.html"):
        page = path.read_text(encoding="utf-8")
        up = "../" * (len(path.relative_to(folder / "site").parts) - 1)
        assert page.count(f'<script src="{up}assets/offline.js" defer></script></head>') == 1, path
        assert "script-src 'self'" in page
        assert "manifest-src 'self'" in page
        assert "worker-src 'self'" in page


@pytest.mark.slow
def test_another_content_is_another_edition_for_the_browser(
    published, built, tmp_path, without_browser
):
    record = built / "knowledge" / "parts" / "test-case.yaml"
    record.write_text(record.read_text().replace("Holds the rest.", "Holds nearly all."))
    other, _ = bundle.bundle(build(built, Timings())[0], SOURCES, tmp_path / "out")
    names = [
        re.search(
            r'EDITION = "([^"]*)"', (folder / "site" / "offline-worker.js").read_text()
        ).group(1)
        for folder in (published[1], other)
    ]
    assert len(set(names)) == 2


class Places:
    """Ids, links and anything that could load or run, as libxml2 reads the page."""

    def __init__(self, page):
        found = lxml.html.document_fromstring(page).xpath
        self.ids = found("//@id", smart_strings=False)
        self.links = found("//@href", smart_strings=False)
        loads = found(
            "//@*[name()='src' or name()='srcset' or name()='style' or name()='action'"
            " or starts-with(name(), 'on')]"
        )
        self.loads = [(value.getparent().tag, value.attrname) for value in loads]
        runs = "//script|//link|//img|//iframe|//form|//input|//button"
        self.loads += [element.tag for element in found(runs)]


def faults_of_one_file(page: str) -> list:
    found = Places(page)
    ids = Counter(found.ids)
    return [
        *found.loads,
        *(link for link in found.links if not link.startswith("#") or link[1:] not in ids),
        *(i for i, times in ids.items() if times > 1),
    ]


def test_what_would_load_or_lead_nowhere_in_one_file_is_found():
    page = (
        '<body id="a"><p ONCLICK="x()">1</p><img src=x.png><a href="#a">2</a><a href="#b">3</a>'
        '<i id="a" style="color:red">4</i><form action="x"></form></body>'
    )
    loads = [("p", "onclick"), ("img", "src"), ("i", "style"), ("form", "action"), "img", "form"]
    assert faults_of_one_file(page) == [*loads, "#b", "a"]


def test_one_file_stands_alone_and_every_link_leads_somewhere(published):
    _, folder, _ = published
    page = (folder / "arbor-and-case-2026-11-25-one-file.html").read_text(encoding="utf-8")
    assert faults_of_one_file(page) == []
    for text in (
        "Test steel",
        "Test brass",
        "An invented case.",
        "Holds the rest.",
        "7.98",
        "140 to 215",
        "zinc leaves",
        "Polish.",
        "Test dust",
        "Invented standard",
    ):
        assert text in page, text


def test_a_link_leads_to_the_section_of_its_page(published):
    _, folder, _ = published
    page = (folder / "arbor-and-case-2026-11-25-one-file.html").read_text(encoding="utf-8")
    place = re.search(r'<a href="#([^"]+)">Test polish</a>', page).group(1)
    assert (
        re.search(rf'<section id="{place}">.*?<h1>Test polish</h1>', page, re.S)
        .group()
        .count("<h1>")
        == 1
    )


def test_short_names_for_places_never_repeat():
    codes = one_file._codes()
    first = [next(codes) for _ in range(2000)]
    assert (first[0], first[25], first[26], first[27]) == ("a", "z", "aa", "ab")
    assert len(set(first)) == 2000


@pytest.fixture(scope="module")
def shipped_file(site):
    """The shipped site as one file, made once."""
    return one_file.build(site, "2026-11-25")


def test_the_shipped_site_fits_into_one_small_file(site, shipped_file):
    import gzip

    page = shipped_file
    assert faults_of_one_file(page) == []
    assert len(gzip.compress(page.encode(), 9)) <= 900_000
    for kind in ("materials", "parts", "hazards", "processes", "formulas", "sayings", "lessons"):
        for path in (site / kind).glob("*.html"):
            if path.name != "index.html":
                heading = re.search("<h1>.*?</h1>", path.read_text(encoding="utf-8"), re.S)
                assert heading.group() in page, path


def signs(text: str) -> str:
    """Letters and digits alone, so that spaces, marks and non-breaking signs do not matter."""
    return re.sub(r"\W+", "", html.unescape(re.sub(r"<[^>]+>", " ", text))).casefold()


def sentences(value, way=()):
    """Every text of more than one word in a record, with the way to it."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from sentences(inner, (*way, key))
    elif isinstance(value, list):
        for inner in value:
            yield from sentences(inner, way)
    elif (
        isinstance(value, str)
        and " " in value
        # What a calculator says when it refuses needs the calculator, which this file has not; it
        # is in the language of the records alone.
        and not {*way}
        & {"rests_on", "when", "expression", "notes", "demands", "otherwise", "translations"}
    ):
        yield way, value


def test_one_file_holds_every_sentence_and_every_figure(shipped_file, knowledge):
    page = shipped_file
    whole = signs(page)
    records = [
        (kind, key, r.model_dump(mode="json", exclude_unset=True))
        for kind in KINDS
        for key, r in knowledge.of_kind(kind).items()
    ]
    pages = defaultdict(str)  # a mark may have the name of a material
    for part in re.split("(?=<h1>)", page)[1:]:
        pages[signs(re.search("<h1>(.*?)</h1>", part, re.S).group(1))] += signs(part)
    lost = []
    for kind, key, data in records:
        own = pages.get(signs(plain_text(data.get("name", ""))), "")  # where most of it stands
        for way, text in sentences(data):
            said = signs(plain_text(text))
            lost += [] if said in own or said in whole else [(kind, key, way, text)]
    assert lost == []
    assert [
        s
        for s, source in knowledge.sources.items()
        if signs(plain_text(source.publisher)) not in whole
    ] == []
    figures_lost = [
        (key, prop, figure)
        for key, m in knowledge.materials.items()
        for _, prop, figure in figures_of(m)
        if signs(shown(of_figure(figure, "1"))) not in pages[signs(plain_text(m.name))]
    ]
    assert figures_lost == []


@pytest.fixture(scope="module")
def sections(shipped_file):
    """Heading -> the section of the one file, and the headings by the place that leads there."""
    whole = lxml.html.fromstring(shipped_file)
    found, leads_to = {}, {}
    for section in whole.iter("section"):
        heading = section.find(".//h1")
        if heading is not None:
            found.setdefault(heading.text_content(), section)
            leads_to[f"#{section.get('id')}"] = heading.text_content()
    return found, leads_to


def expected_signs(verdicts, knowledge):
    """(part, material, state) -> the words of a weak ground, or nothing, of each row offered bare;
    and (part, material) -> those of its best row, as the tables at a glance show them."""
    rows, best = {}, {}
    for part in knowledge.parts:
        for j in verdicts.cells[part]:
            words = ground_words(verdicts.judge, j) if j.rung in OFFERED else ""
            best.setdefault((part, j.material), words)
            if not j.coated:
                rows[part, j.material, j.state] = words
    return rows, best


def test_every_weak_verdict_of_the_one_file_bears_its_sign(sections, site_pages):
    """That a ground is weak is this project's own rule (test_evidence.py): here every row of every
    substitute table and every cell at a glance is held against it, with the sign and without."""
    (found, leads_to), knowledge = sections, site_pages.knowledge
    rows, best = expected_signs(site_pages.verdicts, knowledge)
    materials = {sentence(m.name): key for key, m in knowledge.materials.items()}
    parts = {sentence(p.name): key for key, p in knowledge.parts.items()}
    seen = Counter()
    for name, part in parts.items():
        for head in found[name].xpath(".//details//tbody/tr/th"):
            material = materials[leads_to[head.find("a").get("href")]]
            small = [s.text_content() for s in head.iter("small")]
            states = {
                site_pages.view.state_name(material, s): s
                for s in knowledge.materials[material].states
            }
            state = states[small[0]] if small and small[0] in states else None
            said = next((s for s in small if s[:1] in "◇◔"), "")
            assert said == rows[part, material, state], (part, material, state)
            seen[bool(said), "row"] += 1
    for heading in (h for h in found if h.endswith("parts and materials")):
        table = found[heading].find(".//table")
        columns = [parts[leads_to[a.get("href")]] for a in table.iterfind("thead//a")]
        for row in table.iterfind("tbody/tr"):
            material = materials[leads_to[row.find("th/a").get("href")]]
            for part, cell in zip(columns, row.iterfind("td"), strict=True):
                sign = best.get((part, material), "")[:1]
                assert (set(cell.text_content()) & set("◇◔")) == set(sign), (part, material)
                seen[bool(sign), "cell"] += 1
    assert all(seen[weak, where] > 100 for weak in (True, False) for where in ("row", "cell")), seen


def test_a_fold_that_is_left_out_of_the_one_file_leaves_its_sign_alone(sections):
    """The row of 904L for a crown: its words, where they are from, and the sign."""
    (row,) = [li for li in sections[0]["Crown"].iter("li") if "904L" in li.text_content()
              and "crevice" in li.text_content()]  # fmt: skip
    assert row.text_content().strip().endswith("common practice ◔ thinly sourced")
    assert not any(
        "Figures and hazards" in li.text_content()
        for s in sections[0].values()
        for li in s.iter("li")
    )


def test_cards_and_tables_link_to_each_other_only(site):
    page = card_book.page_of_cards(site, "2026-11-25")
    found = Places(page)
    assert all(
        link in {f"#{i}" for i in found.ids} or link.startswith(f"{site.name}/assets/")
        for link in found.links
    )
    with_card = [
        p
        for kind in ("parts", "materials")
        for p in (site / kind).glob("*.html")
        if '<dl class="card' in p.read_text(encoding="utf-8")
    ]
    assert len(with_card) > 100
    assert page.count('<dl class="card') == len(with_card)
    assert f"{len(with_card)} cards, 16 tables." in page
    assert "<script" not in page


@pytest.mark.slow
def test_cards_that_changed_after_the_edition_are_counted(
    buildable, tmp_path, without_browser, monkeypatch
):
    monkeypatch.setattr(cli, "ROOT", buildable)
    assert cli.main(["edition"]) == 0
    record = buildable / "knowledge" / "alloys" / "test-steel.yaml"
    record.write_text(record.read_text(encoding="utf-8").replace("7.98", "7.95"), encoding="utf-8")
    said = []
    bundle.bundle(build(buildable, Timings())[0], SOURCES, tmp_path / "out", said.append)
    assert (
        said[0]
        == "1 card changed after the last edition: marked as draft; the verb `edition` stamps a"
        " new one"
    )


def test_without_a_browser_it_says_so(small_built, tmp_path, without_browser):
    said = []
    bundle.bundle(small_built / "site", SOURCES, tmp_path / "out", said.append)
    assert "no book of cards: there is no Chromium on this machine" in said


def test_a_browser_that_fails_is_no_end(small_built, tmp_path, monkeypatch):
    monkeypatch.setattr(card_book, "find_browser", lambda: "/bin/false")
    said = []
    folder, _ = bundle.bundle(small_built / "site", SOURCES, tmp_path / "out", said.append)
    assert "no book of cards: false did not print the book (exit code 1)" in said
    assert not list(folder.glob("*.pdf")) + list(folder.glob("cards.html"))


@pytest.mark.skipif(os.name == "nt", reason="the browser that is played is a shell script")
@pytest.mark.parametrize(
    ("prints", "taken", "asked"),
    [("aab", "a", 2), ("baab", "a", 3), ("abab", "a", 3), ("abcde", "d", 4)],
)
def test_the_book_is_what_two_prints_agree_on(tmp_path, prints, taken, asked):
    browser, count = tmp_path / "browser", tmp_path / "count"
    browser.write_text(
        f'#!/bin/sh\necho >>"{count}"\nfor word in "$@"; do case $word in --print-to-pdf=*)\n'
        f'echo {prints} | cut -c$(wc -l <"{count}") >"${{word#--print-to-pdf=}}";; esac; done'
    )
    browser.chmod(0o755)
    card_book.print_book(str(browser), tmp_path / "x.html", tmp_path / "book.pdf", "2026-11-25")
    assert (tmp_path / "book.pdf").read_text().strip() == taken
    assert len(count.read_text()) == asked


@pytest.mark.slow
def test_the_verb_publishes(buildable, monkeypatch, capsys, tmp_path, without_browser):
    monkeypatch.setattr(cli, "ROOT", buildable)
    assert cli.main(["publish", "--to", str(tmp_path / "out")]) == 0
    out = capsys.readouterr().out
    assert f"Published in {tmp_path / 'out' / '2026-11-25'}:" in out
    assert "SHA-256" in out
    assert (tmp_path / "out" / "2026-11-25" / "site" / "index.html").exists()
