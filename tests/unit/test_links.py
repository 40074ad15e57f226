"""Where a link leads, and what is said of one that leads nowhere; how a page may write its links is
in test_frames.py."""

import re

import pytest

from generator.checks.rules import check
from generator.deliver import links
from generator.deliver.links import Dead
from tests.conftest import SMALL, make_root

PAGE = "materials/steel.html"


@pytest.mark.parametrize(
    ("link", "file", "anchor"),
    [
        ("#use%20of", PAGE, "use of"),
        ("#", PAGE, ""),
        ("?m=1#use", PAGE, "use"),
        ("brass.html", "materials/brass.html", ""),
        ("../parts/case.html?m=1#fit%26", "parts/case.html", "fit&"),
        ("a%20b.html", "materials/a b.html", ""),
        ("../../x.html", "../x.html", ""),
        ("./", "materials", ""),
        # an offline site has no such place
        ("/parts/case.html#x", "/parts/case.html#x", ""),
        ("//host/x", "//host/x", ""),
        ("ftp://host/x", "ftp://host/x", ""),
        ("javascript:x", "javascript:x", ""),
        # out of the site
        *(
            (link, None, "")
            for link in ("http://a/", "https://a/#b", "mailto:a", "tel:1", "data:x")
        ),
    ],
)
def test_where_a_link_leads(link, file, anchor):
    assert links._target(PAGE, link) == (file, anchor)


def site_of(folder, **pages):
    for name, text in pages.items():
        path = folder / f"{name.replace('__', '/')}.html"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"<html><body>{text}</body></html>", encoding="utf-8")
    return folder


def test_every_dead_link_of_every_page_by_page_and_link(tmp_path):
    """The same words lead elsewhere from another folder; a picture is a link too; of an anchor
    that is missing one page is told, of a file that is missing each."""
    site = site_of(
        tmp_path,
        b='<a href="a.html">x</a><a href="z.html">x</a><a href="a.html#gone">x</a>',
        a='<p id="x"></p><a href="b.html#gone">x</a><img src="picture.png">'
        '<a href="style.css">x</a>',
        sub__c='<a href="a.html">x</a><a href="../a.html#x">x</a><a href="../a.html#gone">x</a>',
    )
    (tmp_path / "style.css").write_text("", encoding="utf-8")
    assert links.dead_links(site) == [
        Dead("a.html", "b.html#gone", "b.html has no anchor gone"),
        Dead("a.html", "picture.png", "there is no picture.png"),
        Dead("b.html", "a.html#gone", "a.html has no anchor gone"),
        Dead("b.html", "z.html", "there is no z.html"),
        Dead("sub/c.html", "a.html", "there is no sub/a.html"),
    ]


def test_an_anchor_in_a_file_that_is_no_page_is_not_looked_for(tmp_path):
    site = site_of(tmp_path, a='<a href="picture.svg#part">x</a>')
    (tmp_path / "picture.svg").write_text("", encoding="utf-8")
    assert links.dead_links(site) == []


def test_what_is_kept_of_a_page_is_found_again_and_damage_is_not_believed(tmp_path, monkeypatch):
    site = site_of(tmp_path / "site", a='<p id="x"></p><a href="#x">x</a><a href="gone.html">x</a>')
    dead = [Dead("a.html", "gone.html", "there is no gone.html")]
    assert links.dead_links(site, links.store_of(tmp_path)) == dead
    kept = tmp_path / "build" / "links.txt"
    assert '[["#x","gone.html"],["x"]]' in kept.read_text(encoding="utf-8")
    searched, plain = [], links._searched
    monkeypatch.setattr(links, "_searched", lambda octets: searched.append(1) or plain(octets))
    assert links.dead_links(site, links.store_of(tmp_path)) == dead
    assert searched == []
    damaged = kept.read_text(encoding="utf-8").replace("gone.html", "a.html")
    kept.write_text(damaged, encoding="utf-8")
    assert links.dead_links(site, links.store_of(tmp_path)) == dead
    assert searched == [1]


@pytest.fixture(scope="module")
def known(tmp_path_factory):
    knowledge, complaints = check(make_root(tmp_path_factory.mktemp("links"), SMALL))
    assert complaints == []
    return knowledge


CASE, RECORD = "parts/test-case.html", r"knowledge/parts/test-case\.yaml"


@pytest.mark.parametrize(
    ("page", "link", "place"),
    [
        # the field that names what is not there, by the file or by the anchor of the link
        (CASE, "../hazards/test-sea.html", rf"{RECORD}:\d+:\d+: meets\.0\.hazard: "),
        (CASE, "#rung-test-brass", rf"{RECORD}:\d+:\d+: wrong\.0\.material: "),
        # the record where no field does
        (CASE, "../other.html", rf"{RECORD}(:\d+:\d+)?: $"),
        (CASE, "#nowhere", rf"{RECORD}(:\d+:\d+)?: $"),
        # no record
        ("parts/unknown.html", "x.html", "$"),
        ("index.html", "x.html", "$"),
        ("assets/test-case.html", "x.html", "$"),
    ],
)  # fmt: skip
def test_the_place_of_a_dead_link_in_the_record_of_its_page(known, page, link, place):
    assert re.match(place, links._place(Dead(page, link, "x"), known))


def test_a_dead_link_in_words(tmp_path, known):
    """The heading before the first place where it stands."""
    site = site_of(
        tmp_path,
        a='<h2>One</h2><a href="x.html">x</a><h2> Two </h2><img src="y.png"><a href="x.html">x</a>',
        b='<a href="x.html">x</a><h2>Later</h2>',
    )
    dead = [
        Dead("a.html", "x.html", "f"),
        Dead("a.html", "y.png", "f"),
        Dead("b.html", "x.html", "f"),
    ]
    assert list(links.in_words(dead, site, known)) == [
        "page a.html, under One: the link x.html is dead; f",
        "page a.html, under Two: the link y.png is dead; f",
        "page b.html: the link x.html is dead; f",
    ]


def test_a_page_as_we_write_it_is_searched_without_a_parser(monkeypatch):
    """What stands in a script or in the text of the page is no link and no anchor."""
    page = (
        b'<p id="a&amp;b" class="x">say id="no"</p><a href="x.html?a=1&amp;b=2">x</a>'
        b'<script src="s.js">const y = \'<a href="no.html" id="no">\'</script><img src="p.png">'
    )
    wanted = ({"x.html?a=1&b=2", "s.js", "p.png"}, {"a&b"})
    assert links._read(page) == wanted
    monkeypatch.setattr(links, "_read", None)
    assert links._searched(page) == wanted


@pytest.mark.parametrize(
    "page",
    [
        b'<a href = "x.html"><img src = "p.png"></a>',
        b"<a href='x.html'><img src='p.png'></a>",
        b'<!-- <a href="no.html"> --><a href="x.html"><img src="p.png"></a>',
    ],
)
def test_a_page_that_is_written_otherwise_is_read_by_the_parser(page):
    assert links._searched(page) == ({"x.html", "p.png"}, set())
