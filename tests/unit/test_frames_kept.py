"""Frames beside the pages: how MkDocs is asked and what is said where it fails, which frames are
kept, and how a page is put into the new site; whole builds are in test_frames.py."""

import base64
import hashlib

import pytest
import yaml

from generator.deliver import frames
from generator.deliver.pages import BuildFailed, Written

FRONT = '---\ntitle: "A page"\ndescription: "{said}"\n---\n'
PAGE = (
    FRONT.format(said="Said &amp; done")
    + "\n<h1>A page</h1>\n\n## First {: #first }\n\n<p>one</p>\n"
)


def test_a_frame_is_front_matter_headings_and_markers():
    frame, description, blocks = frames.split(PAGE)
    assert frame == (
        "---\ntitle: \"A page\"\ndescription: '<!--description-->'\n---\n\n"
        "<!--<h1 block 0-->\n\n## First {: #first }\n\n<!--<h1 block 1-->\n"
    )
    assert (description, blocks) == (
        "Said &amp; done",
        ["\n<h1>A page</h1>\n\n", "\n\n<p>one</p>\n"],
    )


def test_a_line_that_only_looks_like_a_heading_stays_in_its_block():
    text = FRONT.format(said="x") + "<p>\n## no place\n#### Deep {: #deep }\n### {: #x }\n</p>"
    assert len(frames.split(text)[2]) == 1


def test_only_the_first_description_is_filled():
    filled = frames.fill("<!--description--> <!--<h1 block 0--> <!--description-->", "said", ["b"])
    assert filled == "said b <!--description-->"
    with pytest.raises(ValueError, match="^1 blocks, but 2 places for them$"):
        frames.fill("<!--<h1 block 1--><!--<h1 block 0-->", "", ["a"])


def test_names_of_pages_and_of_what_they_are_made_of():
    assert frames.html_of("parts/case.md") == "parts/case.html"
    assert frames.markdown_of("parts/case.html") == "parts/case.md"


def test_the_policy_of_a_page_allows_its_own_scripts_alone():
    """Those with a source of their own, and data, are none that run here; the same script twice is
    named once, and names are in the order of their hashes."""
    head = b'<meta charset="utf-8">'
    page = (
        head
        + b"<script>two</script><script>one</script><script>one</script>"
        + b'<script src="x.js"></script><script type="application/json">{}</script>'
        + head
    )
    hashes = sorted(
        base64.b64encode(hashlib.sha256(script).digest()).decode() for script in (b"one", b"two")
    )
    allowed = " ".join(f"'sha256-{h}'" for h in hashes)
    policy = (
        f"default-src 'none'; script-src 'self' {allowed}; style-src 'self'; "
        "img-src 'self' data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
        "base-uri 'none'; form-action 'none'"
    )
    meta = f'<meta http-equiv="Content-Security-Policy" content="{policy}">'.encode()
    assert frames.with_policy(page) == head + meta + page.removeprefix(head)
    assert b"script-src 'self'; style" in frames.with_policy(head)


# ----- files


def test_a_file_that_did_not_change_is_the_last_one(tmp_path):
    """It is linked, so that it keeps its time; what changed, even in one letter, is written."""
    old = tmp_path / "site" / "parts"
    old.mkdir(parents=True)
    for name in ("same", "other"):
        (old / f"{name}.html").write_bytes(b"abc")
    for name, octets in (("same", b"abc"), ("other", b"abd"), ("new", b"abc")):
        frames.put(tmp_path, f"parts/{name}.html", octets)
    new = tmp_path / "build" / "site.new" / "parts"
    assert {p.name: p.read_bytes() for p in new.iterdir()} == {
        "same.html": b"abc",
        "other.html": b"abd",
        "new.html": b"abc",
    }
    assert (new / "same.html").samefile(old / "same.html")
    assert not (new / "other.html").samefile(old / "other.html")
    assert (old / "other.html").read_bytes() == b"abc"


def test_without_links_an_unchanged_file_keeps_its_time(tmp_path, monkeypatch):
    def none(*_):
        raise OSError("no links here")

    monkeypatch.setattr(frames.os, "link", none)
    old = tmp_path / "site" / "a.html"
    old.parent.mkdir()
    old.write_bytes(b"abc")
    frames.os.utime(old, (1, 1))
    for octets, kept in ((b"abc", True), (b"abd", False)):
        frames.put(tmp_path, "a.html", octets)
        new = tmp_path / "build" / "site.new" / "a.html"
        assert new.read_bytes() == octets
        assert (new.stat().st_mtime == 1) == kept
        new.unlink()


def test_a_frame_that_mkdocs_did_not_draw_is_told(tmp_path):
    with pytest.raises(BuildFailed, match=r"^MkDocs did not draw case\.html; is its name one that"):
        frames._keep_page(tmp_path / "case.html", tmp_path / "kept" / "x.html")
    (tmp_path / "case.html").write_bytes(b'<meta charset="utf-8">x')
    frames._keep_page(tmp_path / "case.html", tmp_path / "kept" / "x.html")
    assert (tmp_path / "kept" / "x.html").read_bytes() == (
        frames.with_policy(b'<meta charset="utf-8">x')
    )
    assert not (tmp_path / "case.html").exists()


def test_of_the_theme_is_kept_what_an_offline_site_uses(tmp_path):
    assets = tmp_path / "assets"
    for name in ("javascripts", "stylesheets", "images", "fonts"):
        (assets / name).mkdir(parents=True)
    frames._keep_theme(assets, tmp_path / "theme")
    assert [p.name for p in (tmp_path / "theme").iterdir()] == ["fonts"]


def test_what_no_page_uses_is_deleted(tmp_path):
    for name in ("kept.html", "old.html"):
        (tmp_path / name).write_text("x")
    (tmp_path / "theme-old").mkdir()
    (tmp_path / "theme-old" / "x").write_text("x")
    frames._delete_others(tmp_path, {tmp_path / "kept.html"})
    assert [p.name for p in tmp_path.iterdir()] == ["kept.html"]


# ----- what is drawn and what is kept


@pytest.fixture
def project(tmp_path):
    """Two generated pages, a hand-written one, a listed one, and something beside them."""
    pages = {
        "parts/case.md": PAGE,
        "index.md": PAGE.replace("A page", "Start"),
        "about.md": "# About\n",
    }
    for name, text in pages.items():
        path = tmp_path / "build" / "pages" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    (tmp_path / "build" / "pages" / "logo.svg").write_text("<svg/>", encoding="utf-8")
    (tmp_path / "site_src" / "theme").mkdir(parents=True)
    (tmp_path / "site_src" / "theme" / "main.html").write_text("theme", encoding="utf-8")
    (tmp_path / "mkdocs.yml").write_text("site_name: x\n", encoding="utf-8")
    written = Written(
        ("about.md", "logo.svg"),
        ("parts/case.md", "index.md"),
        frozenset({"index.md"}),
        {"nav": []},
    )
    return tmp_path, written


class Played:
    """In place of MkDocs: notes what it is asked, and draws what it is given as it stands."""

    def __init__(self, monkeypatch, code=0, says=b""):
        self.runs, self.code, self.says, self.killed = [], code, says, False
        monkeypatch.setattr(frames.subprocess, "Popen", self.start)

    def start(self, command, env, stdout, **given):
        self.runs.append((command, env, given))
        build = frames.Path(command[-1]).parent
        stdout.write(self.says)
        for path in sorted((build / "frames").rglob("*.md")):
            page = build / "frames.site" / path.relative_to(build / "frames").with_suffix(".html")
            page.parent.mkdir(parents=True, exist_ok=True)
            page.write_text(f'<meta charset="utf-8">{path.read_text(encoding="utf-8")}')
        (build / "frames.site" / "assets" / "fonts").mkdir(parents=True)
        (build / "frames.site" / "assets" / "fonts" / "a.woff").write_text("font")
        self.asked = sorted(
            p.relative_to(build / "frames").as_posix() for p in (build / "frames").rglob("*.md")
        )
        self.ended = False
        return self

    def wait(self):
        self.ended = True
        return self.code

    def poll(self):
        return self.code if self.ended else None

    def kill(self):
        self.killed = True


def drawn_of(project, lock=None):
    root, written = project
    with frames.drawing(root, written, "2026-11-25", lock) as drawn:
        return drawn()


def test_mkdocs_draws_what_is_new_and_what_its_menu_names(project, monkeypatch):
    root, _ = project
    played = Played(monkeypatch)
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    first = drawn_of(project, lock=7)
    assert played.asked == ["about.md", "index.md", "parts/case.md"]
    (command, env, given) = played.runs[0]
    assert command[1:] == [
        "-m",
        "mkdocs",
        "build",
        "--config-file",
        str(root / "build" / "frames.yml"),
    ]
    # the edition's day, midnight in Greenwich: date -u -d 2026-11-25 +%s
    assert (env["SOURCE_DATE_EPOCH"], env["NO_MKDOCS_2_WARNING"]) == ("1795564800", "1")
    assert given["pass_fds"] == (7,)
    asked = yaml.safe_load((root / "build" / "frames.yml").read_text(encoding="utf-8"))
    assert asked == {"nav": [], "docs_dir": "frames", "site_dir": "frames.site"}
    assert not (root / "build" / "frames.site").exists()
    assert all(path.exists() for path in first.files.values())
    # nothing is new
    assert drawn_of(project).files == first.files
    assert len(played.runs) == 1
    # other figures in a page that the menu does not name: its frame is the same
    case = root / "build" / "pages" / "parts" / "case.md"
    case.write_text(PAGE.replace("<p>one", "<p>two"), encoding="utf-8")
    assert drawn_of(project).files == first.files
    assert len(played.runs) == 1
    # another heading: it alone is drawn again, beside those of the menu
    case.write_text(PAGE.replace("First", "Other"), encoding="utf-8")
    again = drawn_of(project)
    assert {n for n, path in again.files.items() if path != first.files[n]} == {"parts/case.md"}
    assert played.asked == ["about.md", "index.md", "parts/case.md"]
    assert not first.files["parts/case.md"].exists()  # no page uses it now
    assert played.runs[1][2]["pass_fds"] == ()


@pytest.mark.parametrize(
    "change", ["site_src/theme/main.html", "mkdocs.yml", "build/pages/index.md"]
)
def test_what_all_pages_show_has_all_of_them_drawn_again(project, monkeypatch, change):
    """The theme, the settings, the titles that stand in the menu."""
    root, _ = project
    Played(monkeypatch)
    first = drawn_of(project)
    (root / change).write_text(
        (root / change).read_text().replace("title: ", "title: x").replace("me", "mm"), "utf-8"
    )
    again = drawn_of(project)
    assert not set(first.files.values()) & set(again.files.values())


def test_a_page_with_other_figures_is_filled_into_the_frame_that_it_had(project, monkeypatch):
    Played(monkeypatch)
    drawn = drawn_of(project)
    page = drawn.page("parts/case.md", PAGE.replace("<p>one", "<p>two")).decode()
    assert "<p>two</p>" in page
    assert "description: 'Said &amp; done'" in page
    assert drawn.page("parts/case.md", PAGE.replace("First", "Other")) is None
    assert drawn.page("parts/new.md", PAGE) is None


def test_the_new_site_has_theme_assets_scripts_and_filled_pages(project, monkeypatch):
    root, written = project
    Played(monkeypatch)
    drawn = drawn_of(project)
    (root / "build" / "site.new" / "old.html").parent.mkdir()
    (root / "build" / "site.new" / "old.html").write_text("old")
    frames.assemble(root, written, drawn, {"assets/find.js": "é"})
    new = root / "build" / "site.new"
    assert sorted(p.relative_to(new).as_posix() for p in new.rglob("*") if p.is_file()) == [
        "about.html",
        "assets/find.js",
        "assets/fonts/a.woff",
        "index.html",
        "logo.svg",
        "parts/case.html",
    ]
    assert (new / "assets" / "find.js").read_text(encoding="utf-8") == "é"
    assert (new / "logo.svg").read_text() == "<svg/>"
    assert "<h1>Start</h1>" in (new / "index.html").read_text()
    assert "# About" in (new / "about.html").read_text()


# ----- what is said where it fails


@pytest.mark.parametrize(
    ("code", "says", "words"),
    [
        (-9, b"x", r"^MkDocs was stopped from outside \(signal 9\); start again$"),
        (1, b"OSError: No space left on device", r"^the disk of .*build is full; free some space"),
        (0, b"No space left on device", r"^the disk of .*build is full; free some space and build"),
        (1, b"  bad \xff page \n", "^MkDocs refused the pages:\nbad \ufffd page$"),
        (2, b"a" * 3001, "^MkDocs refused the pages:\na{3000}$"),
    ],
)
def test_why_mkdocs_could_not_draw(project, monkeypatch, code, says, words):
    Played(monkeypatch, code, says)
    with pytest.raises(BuildFailed, match=words):
        drawn_of(project)


def test_mkdocs_is_stopped_where_the_build_ends_early(project, monkeypatch):
    root, written = project
    played = Played(monkeypatch)
    with pytest.raises(KeyError), frames.drawing(root, written, "2026-11-25"):
        raise KeyError
    assert played.killed
    played.killed = False
    drawn_of(project)
    assert not played.killed


def test_the_day_that_is_set_outside_counts(project, monkeypatch):
    played = Played(monkeypatch)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "12345")
    drawn_of(project)
    assert played.runs[0][1]["SOURCE_DATE_EPOCH"] == "12345"
