"""The build: the last good site stays, unchanged files keep their time, two builds are alike, text
never becomes markup."""

import hashlib
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from generator.commands.build import Timings, build
from generator.deliver import finish, pages
from generator.deliver.frames import with_policy
from generator.deliver.pages import BuildFailed
from generator.records.complaints import Refused


def hashes(folder: Path) -> dict[str, str]:
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(folder.rglob("*"))
        if p.is_file()
    }


def test_bad_input_leaves_the_last_good_site(built):
    site = built / "site"
    before = hashes(site)
    record = built / "knowledge" / "alloys" / "test-steel.yaml"
    good = record.read_text()
    for bad in (
        good.replace("typical: 7.98", "typical: 79.8"),
        good + "name: twice\n",
        "name: [\n",
        good.replace("family: austenitic-stainless", "family: nothing"),
    ):
        record.write_text(bad)
        with pytest.raises(Refused):
            build(built, Timings())
        assert hashes(site) == before


def test_with_a_dead_link_the_last_good_site_stays(built):
    site = built / "site"
    before = hashes(site)
    (built / "site_src" / "pages" / "about.md").write_text("# x\n\n[dead](nowhere.md)\n")
    with pytest.raises(
        BuildFailed, match=r"page about\.html, under About: the link nowhere\.md is dead"
    ):
        build(built, Timings())
    assert hashes(site) == before


@pytest.mark.slow
def test_two_builds_are_alike_and_unchanged_files_keep_their_time(built):
    site = built / "site"
    first, times = hashes(site), {p: p.stat().st_mtime_ns for p in site.rglob("*") if p.is_file()}
    build(built, Timings())
    assert hashes(site) == first
    assert {p: p.stat().st_mtime_ns for p in site.rglob("*") if p.is_file()} == times


def test_a_kill_between_the_two_renames_is_mended(built):
    site = built / "site"
    before = hashes(site)
    site.rename(built / "build" / "site.old")
    finish.recover(built)
    assert hashes(site) == before


def test_two_pages_at_one_address_are_refused(buildable):
    (buildable / "site_src" / "pages" / "materials").mkdir()
    (buildable / "site_src" / "pages" / "materials" / "Test-Steel.md").write_text("# hidden\n")
    with pytest.raises(BuildFailed, match="two pages want the address materials/test-steel.md"):
        build(buildable, Timings())


def test_every_inline_script_is_allowed_by_its_hash_and_no_other():
    page = with_policy(
        b'<head><meta charset="utf-8"></head><script>var a = 1</script><script'
        b' src="x.js"></script><script type="application/json">{}</script>'
    )
    policy = re.search(rb'content="([^"]+)"', page).group(1).decode()
    # SHA-256 of `var a = 1`, worked out with openssl
    assert policy.count("sha256-") == 1
    assert (
        "sha256-" + __import__("base64").b64encode(hashlib.sha256(b"var a = 1").digest()).decode()
        in policy
    )
    assert "unsafe" not in policy


class Tags(HTMLParser):
    """Counts what could run or load."""

    def __init__(self):
        super().__init__()
        self.scripts, self.handlers, self.links = 0, [], []

    def handle_starttag(self, tag, attrs):
        """Note scripts, handlers and links."""
        self.scripts += tag == "script"
        self.handlers += [a for a, _ in attrs if a.startswith("on")]
        self.links += [
            v
            for a, v in attrs
            if a in ("href", "src")
            and v
            and v.strip().lower().startswith(("javascript:", "data:text", "http"))
        ]


HOSTILE = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "[x](javascript:alert(1))",
    "{{ 7 * 7 }}",
    "{% raw %}",
    "a | b | c",
    "**bold** _it_",
    "# heading",
    "</div></section></body>",
    "<!-- comment",
    "&lt;b&gt; &amp;",
    "`code` ~~~",
    "<svg onload=alert(1)>",
    "{: onclick=alert(1) }",
    "![i](http://x/y.png)",
    "<b>b</b>",
]


def test_text_from_records_shows_as_it_was_typed(built):
    record = built / "knowledge" / "parts" / "test-case.yaml"
    plain = record.read_text()
    site = built / "site"
    clean = Tags()
    clean.feed((site / "parts" / "test-case.html").read_text(encoding="utf-8"))
    text = " ~ ".join(HOSTILE).replace("'", "")
    for old in ("summary: An invented case.", "does: Holds the rest.", "do: Turn it."):
        key = old.partition(":")[0]
        plain = plain.replace(old, f"{key}: '{text[:280] if key != 'does' else text}'")
    record.write_text(plain)
    build(built, Timings())
    for page in site.rglob("*.html"):
        parsed = Tags()
        parsed.feed(page.read_text(encoding="utf-8"))
        assert parsed.handlers == [], page
        assert parsed.links == [], page
    parsed = Tags()
    html = (site / "parts" / "test-case.html").read_text(encoding="utf-8")
    parsed.feed(html)
    assert parsed.scripts == clean.scripts
    from html import unescape

    shown = unescape(re.sub(r"<[^>]+>", "", html))
    for piece in (
        "<script>alert(1)</script>",
        "{{ 7 * 7 }}",
        "a | b | c",
        "**bold** _it_",
        "[x](javascript:alert(1))",
    ):
        assert piece in shown, piece


def test_the_one_style_sheet_has_every_source_the_tokens_first(buildable):
    """What stands later wins (CSS Cascading and Inheritance 4, order of appearance), so the last of
    the sources is at the end."""
    pages.write_pages(buildable, ([], []), [])
    joined = (buildable / "build" / "pages" / "assets" / "style.css").read_text("utf-8")
    sources = {p.stem: p.read_text("utf-8") for p in (buildable / "site_src/styles").iterdir()}
    assert [stem for stem, text in sources.items() if text not in joined] == []
    assert sorted(sources, key=lambda s: joined.index(sources[s])) == [
        "frame",
        "base",
        "figures",
        "tools",
    ]


def test_a_link_among_the_hand_written_pages_is_refused(buildable, tmp_path):
    (tmp_path / "secret.md").write_text("outside", encoding="utf-8")
    (buildable / "site_src" / "pages" / "x.md").symlink_to(tmp_path / "secret.md")
    with pytest.raises(
        BuildFailed, match="site_src/pages/x.md is a link; put the file itself there"
    ):
        pages.write_pages(buildable, ([], []), [])
