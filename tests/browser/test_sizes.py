"""What a page weighs, packed as a server sends it: each page, the find index, and a first visit
with everything it loads."""

import gzip
from urllib.parse import unquote, urlsplit

import pytest

# The index holds the words of every page's text and whole summaries, and comes with the first use;
# the names in another language come where they are asked for.
PAGE, FIND_INDEX, FIND_NAMES, FIRST_VISIT = 30 * 1024, 120 * 1024, 10 * 1024, 150 * 1024


def packed(path):
    return len(gzip.compress(path.read_bytes(), 9, mtime=0))


def test_every_page_is_small(site):
    large = {
        p.relative_to(site).as_posix(): size
        for p in site.rglob("*.html")
        if (size := packed(p)) > PAGE
    }
    assert large == {}


def test_the_find_index_is_small(site):
    assert packed(site / "assets" / "find-index.js") <= FIND_INDEX
    names = list((site / "assets").glob("find-names-*.js"))
    assert names
    assert {f.name: size for f in names if (size := packed(f)) > FIND_NAMES} == {}


@pytest.mark.browser
def test_a_first_visit_is_small_and_does_not_load_the_find_index(apart, site):
    asked = set()
    apart.on("request", lambda request: asked.add(request.url))
    apart.goto((site / "index.html").as_uri())
    apart.wait_for_load_state("networkidle")  # nothing more comes
    paths = {unquote(urlsplit(url).path) for url in asked if url.startswith("file:")}
    files = [site / path.removeprefix(str(site) + "/") for path in paths]
    names = {f.name for f in files}
    assert {"index.html", "style.css", "find.js", "theme.js"} <= names
    assert {n for n in names if n.endswith(".css")} == {"style.css", "print.css"}
    assert names.isdisjoint({"find-index.js", "find-words.js", "find-meant.js", "find-search.js"})
    assert sum(packed(f) for f in files) <= FIRST_VISIT
