"""Frames: MkDocs sees headings and markers, the blocks come back whole, drawn frames are reused,
and a link that leads nowhere is told with its place."""

import re
import subprocess
import sys

import pytest

from generator.checks.rules import check
from generator.commands.build import Timings, build, write_pages
from generator.deliver import frames, links
from generator.deliver.pages import BuildFailed
from tests.conftest import FULL, SMALL, edit, make_buildable
from tests.unit.test_hostile import Shape
from tests.unit.test_kept_pages import EDITS
from tests.unit.test_publishing import hashes

PAGE = """---
title: "A page"
description: "Said &amp; done"
hide: ["toc"]
---

<h1>A page</h1>

## First {: #first }

<p>one</p>

## Second {: #second-2 }

<p>two</p>
"""


def test_a_frame_has_headings_and_no_text():
    frame, description, blocks = frames.split(PAGE)
    assert description == "Said &amp; done"
    assert [b.strip() for b in blocks] == ["<h1>A page</h1>", "<p>one</p>", "<p>two</p>"]
    assert re.findall("^## .*", frame, re.MULTILINE) == [
        "## First {: #first }",
        "## Second {: #second-2 }",
    ]
    assert "one" not in frame
    assert "Said" not in frame


def test_blocks_come_back_in_their_places():
    frame, description, blocks = frames.split(PAGE)
    filled = frames.fill(frame, description, blocks)
    places = [filled.index(t) for t in ("Said", "<h1>", "#first", "<p>one", "#second-2", "<p>two")]
    assert places == sorted(places)
    assert "block" not in filled


def test_a_frame_with_other_places_is_refused():
    with pytest.raises(ValueError, match="3 blocks, but 1 places"):
        frames.fill("<!--<h1 block 0-->", "", ["a", "b", "c"])


@pytest.mark.slow
def test_plain_mkdocs_makes_the_same_pages_of_the_complete_markdown(tmp_path):
    """MkDocs, run by itself as its users run it, is the reference."""
    root = make_buildable(tmp_path / "p", SMALL, FULL)
    site, _ = build(root, Timings())
    configuration, count = write_pages(root, Timings())
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "--config-file", configuration]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    pages = sorted(site.rglob("*.html"))
    assert len(pages) == count
    for page in pages:
        ours = page.read_text(encoding="utf-8")
        ours = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", ours)
        theirs = root / "build" / "site.pages" / page.relative_to(site)
        mine, plain = Shape(ours), Shape(theirs.read_text(encoding="utf-8"))
        assert mine.elements == plain.elements, page
        assert mine.text.split() == plain.text.split(), page


def runs_of_mkdocs(monkeypatch) -> list[set[str]]:
    """The frames that each run of MkDocs from now on is given."""
    runs, plain = [], frames._mkdocs

    def noted(root, written, texts, *more):
        if texts:
            runs.append(set(texts))
        return plain(root, written, texts, *more)

    monkeypatch.setattr(frames, "_mkdocs", noted)
    return runs


@pytest.mark.slow
def test_mkdocs_runs_only_for_frames_that_are_new(built, monkeypatch, tmp_path):
    build(built, Timings())  # what was copied was drawn elsewhere
    runs = runs_of_mkdocs(monkeypatch)
    record = built / "knowledge" / "alloys" / "test-steel.yaml"
    text = record.read_text().replace("typical: 7.98", "typical: 7.97")
    record.write_text(text)
    build(built, Timings())
    assert runs == []
    record.write_text(re.sub("^name: .*", "name: Renamed steel", text, flags=re.MULTILINE))
    build(built, Timings())
    assert len(runs) == 1
    assert "materials/test-steel.md" in runs[0]
    assert "materials/test-brass.md" not in runs[0]
    fresh = make_buildable(tmp_path / "fresh", SMALL)
    (fresh / "knowledge" / "alloys" / "test-steel.yaml").write_text(record.read_text())
    build(fresh, Timings())
    assert hashes(built / "site") == hashes(fresh / "site")


@pytest.mark.slow
def test_rebuilds_after_edits_of_every_kind_end_in_a_fresh_build(tmp_path):
    """One record of each kind is edited, one after the other, with a build after each: nothing
    that is kept from one build to the next may be out of date in pages, scripts or data. What a
    single page says after each is looked at in test_kept_pages.py."""
    root, fresh = (make_buildable(tmp_path / name, SMALL, FULL) for name in ("p", "fresh"))
    build(root, Timings())
    for file, old, new in EDITS:
        for each in (root, fresh):
            edit(each, file, old, new)
        build(root, Timings())
    build(fresh, Timings())
    assert hashes(root / "site") == hashes(fresh / "site")


def test_a_full_disk_is_said_in_words(buildable, monkeypatch):
    class Full:
        def __init__(self, *_, stdout, **__):
            stdout.write(b"Traceback ...\nOSError: [Errno 28] No space left on device: 'x'")

        def wait(self):
            return 1

        poll = wait

    monkeypatch.setattr(frames.subprocess, "Popen", Full)
    with pytest.raises(BuildFailed, match="the disk of .* is full; free some space"):
        build(buildable, Timings())


def site_of(folder, **pages):
    for name, text in pages.items():
        (folder / f"{name}.html").write_text(f"<html><body>{text}</body></html>")
    return folder


def test_links_that_lead_somewhere_are_no_fault(tmp_path):
    site_of(
        tmp_path,
        a='<h2 id="x">X</h2><a href="#x">1</a><a href="b.html?m=1#y">2</a>'
        '<a href="https://example.org/">3</a><!-- <a href="gone.html"> -->',
        b='<a name="y" href="./a.html#x">back</a>',
    )
    assert links.dead_links(tmp_path) == []


ODD = [  # how HTML (the standard of the WHATWG, section 13) lets attributes be written
    "<a href='gone.html'>x</a>",
    "<a href=gone.html>x</a>",
    '<A HREF="gone.html">x</A>',
    '<a href = "gone.html">x</a>',
    '<a\nhref="gone.html">x</a>',
    '<a title="a > b" href="&#103;one.html">x</a>',
    '<!-- <p id="gone"> --><a href="#gone">x</a>',
    '<script>"<p id=\'gone\' id="gone">"</script><a href="#gone">x</a>',
    '<p>say id="gone"</p><a href="#gone">x</a>',
    '<p class=id="gone">x</p><a href="b.html?x=gone.html#gone">x</a>',
]


@pytest.mark.parametrize("odd", ODD)
def test_a_dead_link_is_found_however_it_is_written(tmp_path, odd):
    (dead,) = links.dead_links(site_of(tmp_path, a=odd, b='<p id="here"></p>'))
    assert "gone" in dead.fault


LIVE = [
    "<script>let x = '<a href=\"gone.html\">'</script>",
    '<p>say href="gone.html"</p>',
    '<p title="a > b" id="there">x</p><a href="#there">x</a>',
    "<p id='there'>x</p><a href='#there'>x</a>",
    '<p id="a&amp;b">x</p><a href="#a%26b">x</a>',
    '<!-- <a href="gone.html"> --><a href="b.html#here">x</a>',
]


@pytest.mark.parametrize("live", LIVE)
def test_what_is_no_link_or_leads_somewhere_is_no_fault(tmp_path, live):
    assert links.dead_links(site_of(tmp_path, a=live, b='<p id="here"></p>')) == []


@pytest.mark.slow
def test_links_of_every_page_are_those_that_a_parser_finds(site):
    """The parser (libxml2) is the reference; a page that it alone can read was read by it."""
    for path in site.rglob("*.html"):
        octets = path.read_bytes()
        assert links._searched(octets) == links._read(octets), path


def test_what_was_found_on_a_page_is_forgotten_with_the_page(tmp_path):
    """Kept links are those of the text, wherever the page stands and whatever it said before."""
    site = site_of(tmp_path, a='<a href="b.html#x">x</a>', b='<p id="x"></p>')

    def dead():
        return [d.fault for d in links.dead_links(site, links.store_of(tmp_path / "p"))]

    assert dead() == dead() == []
    site_of(site, b='<p id="y"></p>')
    assert dead() == ["b.html has no anchor x"]
    site_of(site, a='<a href="b.html#y">x</a><a href="c.html">x</a>')
    assert dead() == dead() == ["there is no c.html"]
    site_of(site, a="<p>x</p>", b="<p>x</p>", c='<a href="b.html#y">x</a><a href="c.html">x</a>')
    assert dead() == ["b.html has no anchor y"]


@pytest.mark.parametrize(
    ("link", "fault"),
    [
        ("gone.html", "there is no gone.html"),
        ("#gone", "a.html has no anchor gone"),
        ("b.html#gone", "b.html has no anchor gone"),
        ("/b.html", "there is no /b.html"),
        ("../b.html", "there is no ../b.html"),
    ],
)
def test_a_dead_link_is_told_with_page_and_heading(tmp_path, link, fault, knowledge):
    site_of(tmp_path, a=f'<h2>Before</h2><a href="{link}">x</a><h2>After</h2>', b="")
    (line,) = links.in_words(links.dead_links(tmp_path), tmp_path, knowledge)
    assert line == f"page a.html, under Before: the link {link} is dead; {fault}"


def test_a_dead_link_on_a_page_of_a_record_names_the_field(tmp_path, small):
    """test-case.yaml names test-sea as a hazard; its page has gone."""
    (tmp_path / "site" / "parts").mkdir(parents=True)
    site_of(
        tmp_path / "site" / "parts", **{"test-case": '<a href="../hazards/test-sea.html">sea</a>'}
    )
    known, complaints = check(small)
    assert complaints == []
    site = tmp_path / "site"
    (line,) = links.in_words(links.dead_links(site), site, known)
    assert re.match(r"knowledge/parts/test-case\.yaml:\d+:\d+: \S*hazards?\S*: page parts/", line)
