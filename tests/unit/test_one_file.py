"""The one file: what of a page it keeps, leaves out and leads to, on small pages written by hand;
that it holds every sentence of the shipped site is in test_bundling.py."""

import base64
import hashlib
import re

import pytest

from generator.deliver import one_file

ANCHORS = {
    "materials/steel.html": "materials/steel",
    "parts/case.html": "parts/case",
    "sources/books.html": "sources/books",
    "cautions.html": "cautions",
    "hazards/sea.html": "hazards/sea",
    "about.html": "about",
}
SOURCES = {"a-book": "sources/books.html"}
UP = '\n<p class="up"><a href="#top">Contents</a></p></section>'


def page_of(content, title="T"):
    return (
        f"<html><head><title>{title} - Arbor &amp; Case</title></head><body><nav>menu</nav>"
        f'<article class="md-content__inner md-typeset">{content}</article></body></html>'
    )


def kept(content, name="materials/steel.html", anchors=ANCHORS):
    """What the one file has of a page with this content."""
    section = one_file._section(name, page_of(content), anchors, SOURCES)
    start = f'<section id="{anchors[name]}">'
    assert section.startswith(start)
    assert section.endswith(UP)
    return section.removeprefix(start).removesuffix(UP)


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("<h1>Steel</h1> <p>It is <b>hard</b>.</p>", "<h1>Steel</h1> <p>It is <b>hard</b>.</p>"),
        # what needs a script, and what is drawn
        ("a<script>x</script><form><p>b<input><br></p></form>c", "ac"),
        ("a<button>b</button><label>c<select><option>d</option></select></label>e", "ae"),
        ('<p>a<svg viewBox="0 0 1 1"><path d="M0 0"/><text>t</text></svg><img src="x">b', "<p>ab"),
        ("a<textarea>b</textarea><nav><ul><li>c</li></ul></nav>d", "ad"),
        # what stands elsewhere
        ('a<div class="card wide"><p>b</p></div>c<p class="crumbs">d</p>e', "ace"),
        ('a<dl class="at-once"></dl>b<span class="where">c</span>d<p hidden>e</p>f', "abdf"),
        # marks of the page's own look
        ('<p><span class="x">a</span><em class="way">b</em>', "<p>ab"),
        ('<p><a class="src--practice">c</a>d', "<p>cd"),
        ('<div class="scroll sheet"><table id="t"><tr><td>1</td></tr></table></div>',
         '<table id="materials/steel t"><tr><td>1</table>'),
        # folds stand open; whose source is behind a button needs no button
        ('<details class="fold"><summary>Head</summary><p>a</p></details>b', "Head<p>a</p>b"),
        ('<details class="working more"><summary>W</summary>a</details>b', "Wab"),
        ('a<details class="srcs"><summary>sources</summary><i>b</i></details>', "a<i>b</i>"),
        (
            "<details open><summary>A</summary>b</details>",
            "<details open><summary>A</summary>b</details>",
        ),
        # a break of a line is kept bare
        ('a<br class="x">b<hr id="y">c<wbr/>d', "a<br>b<hr>c<wbr/>d"),
        # attributes that a reader of HTML needs
        ('<th id="a" colspan="2" rowspan="3" title="t" style="s" data-x>b</th>c',
         '<th id="materials/steel a" colspan="2" rowspan="3">bc'),
        ('<ol start="2"><li value="4">a</li></ol>', '<ol start="2"><li value="4">a</ol>'),
        ('<p class="yes other answer">a</p>b', '<p class="answer yes">a</p>b'),
        ('<p title="a &quot;b&quot;" class="no">&amp; &nbsp;&lt;&#9733;</p>b',
         '<p class="no">&amp; \u00a0&lt;&#9733;</p>b'),
        # ends that the next tag implies, and line ends before a block
        ("<ul>\n <li>a</li>\n <li>b</li>\n</ul>", "<ul><li>a<li>b\n</ul>"),
        ("<p>a</p>\n\n  <p>b</p> \n c", "<p>a<p>b</p>\nc"),
        # a heading with nothing below it
        ('<h2 id="x">Gone</h2> <h2>Kept</h2><p>a</p><h2>Last</h2>', "<h2>Kept</h2><p>a</p>"),
        ("</p>a<b>c</b></i>d", "a<b>c</b>d"),
    ],
)  # fmt: skip
def test_what_is_kept_of_a_page(content, expected):
    assert kept(content) == expected


def test_what_is_worked_out_or_said_once_elsewhere_is_left_out():
    working = (
        '<p>row <details class="working"><summary>Figures and hazards ◔</summary>'
        '<div class="working__in"><p>the sum</p></div></details> end'
    )
    assert kept(working) == "<p>row  ◔ end"
    rests = working.replace("Figures and hazards ◔", "What it rests on")
    assert kept(rests) == "<p>row  end"
    foot = '<p>a</p><p class="foot">Edition 2026</p> Edition of the knowledge base: <a>x</a>.html.'
    assert kept(foot.replace("<a>x</a>", "x")) == "<p>a</p>"
    steel = '<a href="x.html">Steel</a>'
    assert kept(f"<ul><li>Steel: {steel}</li><li>Ore: {steel}</li></ul>") == (
        "<ul><li>Ore: <a>Steel</a></ul>"
    )
    assert kept('<p>As <a href="#fit">above</a> it is.</p>b') == "b"


SECTIONS = (
    '<h2 id="use">Use</h2><p>a</p><h2 id="fit">Fit</h2><p>b</p><br>'
    '<details class="fold"><summary>More</summary> c</details>'
    '<h2 id="mentioned">Who</h2><p>d</p><h2 id="exposure">Exposure</h2><p>e</p>'
)


@pytest.mark.parametrize(
    ("name", "left_out"),
    [
        ("materials/steel.html", "bde"),
        ("parts/case.html", "bd"),
        ("hazards/sea.html", "de"),
        ("about.html", ""),
    ],
)
def test_sections_that_are_worked_out_from_others_are_left_out_by_folder(name, left_out):
    """Up to the next heading or fold, which stands for itself."""
    text = re.sub("<[^>]*>", " ", kept(SECTIONS, name)).split()
    assert [word for word in text if len(word) == 1] == [c for c in "abcde" if c not in left_out]
    assert "More" in text
    assert ("<br>" in kept(SECTIONS, name)) == ("b" not in left_out)


def test_details_of_sources_and_verdicts_of_parts_are_left_out():
    fold = 'a<details class="fold"><summary>b</summary>c</details>d'
    assert kept(fold, "sources/books.html") == kept(fold, "cautions.html") == "ad"
    unfit = 'a<ul class="unfit"><li>b</li></ul>c'
    assert kept(unfit, "parts/case.html") == "ac"
    assert kept(unfit) == "a<ul><li>b</ul>c"


@pytest.mark.parametrize(
    ("href", "target"),
    [
        ("#use", "#materials/steel use"),
        ("../parts/case.html", "#parts/case"),
        ("../parts/case.html?m=steel#fit", "#parts/case fit"),
        ("./steel.html#x", "#materials/steel x"),
        ("../cautions.html#dust", "#cautions dust"),
        ("#care-dust", "#cautions dust"),  # a caution is shown once, on its own page
        ("#s-a-book", "#sources/books a-book"),  # a source on the page that has it
        ("../parts/case.html#s-none", "#parts/case none"),
        ("../compare.html?with=steel", None),
        ("https://example.org/", None),
    ],
)
def test_a_link_leads_to_its_place_in_the_one_file_or_is_none(href, target):
    link = f' href="{target}"' if target else ""
    assert kept(f'<a href="{href}">x</a>') == f"<a{link}>x</a>"


def test_where_there_is_no_page_of_cautions_a_caution_stays_where_it_is():
    anchors = {"materials/steel.html": "materials/steel"}
    assert kept('<a href="#care-dust">x</a>', anchors=anchors) == (
        '<a href="#materials/steel care-dust">x</a>'
    )


def test_places_get_short_names_the_most_used_the_shortest():
    """What is left out is not there to lead to: its page is. Places that nothing leads to have no
    name."""
    body = (
        '<p id="parts/case"><p id="parts/case use"><p id="nobody asks"><a href="#parts/case use">'
        '<a href="#parts/case use"><a href="#parts/case gone"><a href="#top">'
    )
    assert one_file._shortened(body) == (
        '<p id="b"><p id="a"><p><a href="#a"><a href="#a"><a href="#b"><a href="#top">'
    )


def test_titles():
    assert one_file.title_of(page_of("", "Steel &amp; brass")) == "Steel &amp; brass"
    assert one_file.title_of("<title> Alone\n</title>") == "Alone"
    assert one_file.title_of("<p>none</p>") == ""


PAGES = {
    "index.html": ("Start", '<h1>Start</h1><p class="layer">Of a workshop.</p>'),
    "about.html": ("About", "<h1>About</h1>"),
    "zones.html": ("Zones", "<h1>Zones</h1>"),
    "cautions.html": ("Cautions", '<h1>Cautions</h1><p id="dust">dust</p>'),
    "parts/case.html": ("Case", '<h1>Case</h1><a href="../materials/steel.html">steel</a>'),
    "parts/bow.html": ("Bow", "<h1>Bow</h1>"),
    "materials/steel.html": ("Steel", '<h1>Steel</h1><a href="#s-a-book">book</a>'),
    "sources/books.html": ("Books", '<h1>Books</h1><dl><dt id="a-book">A book</dt></dl>'),
    # not here
    "parts/index.html": ("Parts", "<h1>Parts</h1>"),
    "compare.html": ("Compare", "<h1>Compare</h1>"),
    "leaflet-de.html": ("Leaflet", "<h1>Leaflet</h1>"),
    "zones/case.html": ("Zone", "<h1>Zone</h1>"),
}


@pytest.fixture
def small_site(tmp_path):
    for name, (title, content) in PAGES.items():
        path = tmp_path / "site" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(page_of(content, title), encoding="utf-8")
    (tmp_path / "site" / "404.html").write_text("<title>No article</title>", encoding="utf-8")
    return tmp_path / "site"


def test_a_site_as_one_file(small_site):
    whole = one_file.build(small_site, "2026-11-25")
    assert re.findall("<h1>(.*?)</h1>", whole) == [
        "Start", "About", "Bow", "Case", "Steel", "Cautions", "Books", "Zones"
    ]  # fmt: skip
    contents = re.search('<nav aria-label="Contents">(.*?)</nav>', whole)[1]
    assert [
        (title, re.findall('">(.*?)</a>', listed))
        for title, listed in re.findall("<h2>(.*?)</h2><ul>(.*?)</ul>", contents)
    ] == [
        ("Parts", ["Bow", "Case"]),
        ("Materials", ["Steel"]),
        ("Sources", ["Books"]),
        ("Other pages", ["Start", "About", "Cautions", "Zones"]),
    ]
    assert "<title>Arbor &amp; Case, everything in one file, 2026-11-25</title>" in whole
    assert whole.count("Of a workshop.") == 2  # at the top, and where it stands
    assert whole.index("Of a workshop.") < whole.index("<nav")
    style = re.search("<style>(.*?)</style>", whole, re.DOTALL)[1]
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert f"style-src 'sha256-{digest}'" in whole


def test_links_of_the_one_file_lead_to_the_pages_that_they_led_to(small_site):
    whole = one_file.build(small_site, "2026-11-25")
    place = re.search('<a href="#([a-z]+)">steel</a>', whole)[1]
    assert re.search(f'<section id="{place}"><h1>Steel</h1>', whole)
    contents = re.search('<nav aria-label="Contents">(.*?)</nav>', whole)[1]
    for place, title in re.findall('<a href="#([a-z]+)">(.*?)</a>', contents):
        assert f'<section id="{place}"><h1>{title}</h1>' in whole
    place = re.search('<a href="#([a-z]+)">book</a>', whole)[1]
    assert f'<dt id="{place}">A book' in whole


def test_a_site_without_a_layer_has_no_notice(small_site):
    index = small_site / "index.html"
    index.write_text(page_of("<h1>Start</h1>"), encoding="utf-8")
    whole = one_file.build(small_site, "2026-11-25")
    assert "the drawing and pictures.</p>\n</header>" in whole
