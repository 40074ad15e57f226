"""Pages that were kept are those that would be drawn anew, whatever was edited."""

import pytest

from generator.commands.build import (
    Kept,
    Overtaken,
    Timings,
    Waiting,
    _ready,
    build,
    build_again,
    kept_pages,
)
from generator.site.kept_pages import KeptPages
from generator.site.render import render
from tests.conftest import FULL, SMALL, edit, make_buildable

# One record of each kind and what lies beside them: (file below knowledge/, before, after).
EDITS = [
    ("alloys/test-steel.yaml", "typical: 7.98", "typical: 7.97"),
    ("alloys/test-steel.yaml", "typical: 7.97", "typical: 7.970"),  # equal, with other digits
    ("alloys/full-steel.yaml", "name: ", "name: New "),
    ("coatings/test-plate.yaml", "[0.1, 0.5]", "[0.10, 0.6]"),
    ("parts/test-case.yaml", "does: Holds the rest.", "does: Holds everything."),
    ("parts/full-pinion.yaml", "summary: ", "summary: Newly put. "),
    ("hazards/test-sea.yaml", "summary: ", "summary: Newly put. "),
    ("hazards/full-damp.yaml", "why: ", "why: Newly put. "),
    ("processes/full-harden.yaml", "first step words", "newly put, first step words"),
    ("formulas/full-sum.yaml", "name: ", "name: New "),
    ("sayings/full-saying.yaml", "because words", "newly put words"),
    ("lessons/full-lesson.yaml", "lesson words", "newly put words"),
    ("cautions.yaml", "danger words", "new danger words"),
    ("first_aid.yaml", "aid words", "new aid words"),
    ("sources/full.yaml", "title: ", "title: New "),
    ("watches/full-watch.yaml", "watch does words", "new watch words"),
    ("jobs.yaml", "name: Full job", "name: New job"),
    ("training/tasks.yaml", "task aim words", "new aim words"),
    ("training/cases.yaml", "story words", "new story words"),
    ("training/weeks.yaml", "goal words", "new goal words"),
    ("vocabulary/glossary.yaml", "The colour of age.", "The colour of years."),
]


def pages(root, kept=None, layers=()) -> dict[str, str]:
    ready = _ready(root, Timings(), layers, kept)
    return {page.file: page.text() for share in render(ready.site) for page in share}


@pytest.mark.slow
def test_kept_pages_are_those_drawn_anew_after_every_edit(tmp_path):
    root = make_buildable(tmp_path / "p", SMALL, FULL)
    kept_by_one = kept_pages(root)
    pages(root, kept_by_one)
    for number, (file, old, new) in enumerate(EDITS):
        edit(root, file, old, new)
        kept = kept_pages(root) if number % 2 else kept_by_one  # of another process, or this one
        assert pages(root, kept) == pages(root), file
    template = root / "site_src" / "templates" / "parts.j2"
    template.write_text(template.read_text().replace("Reviewed ", "Last reviewed ", 1))
    assert pages(root, kept_pages(root)) == pages(root)


def test_only_pages_that_say_something_else_are_drawn_again(tmp_path, monkeypatch):
    root = make_buildable(tmp_path / "p", SMALL)
    before = pages(root, kept_pages(root))
    drawn = noted(monkeypatch)
    edit(root, "alloys/test-steel.yaml", "typical: 7.98", "typical: 7.980")
    after = pages(root, kept_pages(root))
    changed = {name.removesuffix(".md") for name in after if after[name] != before[name]}
    assert "materials/test-steel" in changed and "7.980" in after["materials/test-steel.md"]
    assert changed <= {page.removesuffix(".html") for page in drawn}
    assert len(drawn) < len(after) / 2


def noted(monkeypatch) -> list[str]:
    """The pages that are drawn from now on."""
    drawn, plain = [], KeptPages.text

    def text(self, page, template, given, draw):
        return plain(self, page, template, given, lambda: drawn.append(page) or draw())

    monkeypatch.setattr(KeptPages, "text", text)
    return drawn


def test_what_nobody_changed_is_never_drawn_again(tmp_path, monkeypatch):
    root = make_buildable(tmp_path / "p", SMALL, FULL)
    before = pages(root, kept_pages(root))
    drawn = noted(monkeypatch)
    assert pages(root, kept_pages(root)) == before
    assert drawn == []


@pytest.mark.slow
def test_a_layer_that_comes_stays_and_goes_is_seen_on_kept_pages(tmp_path, monkeypatch):
    root, own = make_buildable(tmp_path / "p", SMALL), tmp_path / "layer" / "parts"
    own.mkdir(parents=True)
    (own / "test-case.yaml").write_text("notes: [Our first note.]\n")
    without = pages(root, kept_pages(root))
    layered = pages(root, kept_pages(root), [own.parent])
    assert layered == pages(root, None, [own.parent])
    assert "Our first note." in layered["parts/test-case.md"]
    drawn = noted(monkeypatch)
    assert pages(root, kept_pages(root), [own.parent]) == layered
    assert drawn == []
    assert pages(root, kept_pages(root)) == without


@pytest.mark.slow
def test_a_damaged_page_and_one_of_another_program_are_drawn_again(tmp_path, monkeypatch):
    root = make_buildable(tmp_path / "p", SMALL)
    before = pages(root, kept_pages(root))
    (place,) = (root / "build" / "kept" / "materials").glob("test-steel.html.*")
    place.write_bytes(place.read_bytes()[:-1])
    drawn = noted(monkeypatch)
    assert pages(root, kept_pages(root)) == before
    assert drawn == ["materials/test-steel.html"]
    monkeypatch.setattr("generator.site.kept_pages._maker", lambda: "another program")
    assert pages(root, kept_pages(root)) == before
    assert len(drawn) >= len(before)


class Reader(Waiting):
    """Looks at one page; with ``saves_at``, something is saved again when so often was asked."""

    def __init__(self, page: str, saves_at: int | None = None):
        self.page, self.saves_at, self.seen = page, saves_at, []

    def asked(self):
        return () if self.seen else (self.page,)

    def show(self, drawn):
        self.seen.append(drawn[self.page])

    def overtaken(self):
        self.saves_at = None if self.saves_at is None else self.saves_at - 1
        return self.saves_at == 0


@pytest.mark.slow
def test_an_open_page_comes_first_and_is_that_of_the_finished_site(built):
    kept = Kept()
    build_again(built, Timings(), (), kept, Waiting())
    for page, file, old, new in (
        ("materials/test-steel.html", "alloys/test-steel.yaml", "typical: 7.98", "typical: 7.97"),
        ("parts/test-case.html", "parts/test-case.yaml", "Holds the rest.", "Holds everything."),
        ("hazards/test-sea.html", "hazards/test-sea.yaml", "summary: ", "summary: Newly put. "),
        ("tables/density-ratio.html", "alloys/test-steel.yaml", "typical: 7.97", "typical: 7.96"),
        ("glossary.html", "vocabulary/glossary.yaml", "The colour of age", "The hue of age"),
    ):
        edit(built, file, old, new)
        before, reader = (built / "site" / page).read_bytes(), Reader(page)
        build_again(built, Timings(), (), kept, reader)
        (early,) = reader.seen
        assert early != before
        assert early == (built / "site" / page).read_bytes(), page


@pytest.mark.slow
def test_a_page_in_another_frame_waits_for_the_site(built):
    kept, page = Kept(), "materials/test-steel.html"
    build_again(built, Timings(), (), kept, Waiting())
    edit(built, "alloys/test-steel.yaml", "name: ", "name: New ")
    reader = Reader(page)
    build_again(built, Timings(), (), kept, reader)
    assert reader.seen == [None]


STEEL, CASE = "alloys/test-steel.yaml", "parts/test-case.yaml"


@pytest.fixture(scope="module")
def fresh(tmp_path_factory):
    """The small site, built once as the two edits below leave its records: only to be read."""
    root = make_buildable(tmp_path_factory.mktemp("fresh") / "p", SMALL)
    edit(root, STEEL, "typical: 7.98", "typical: 7.96")
    edit(root, CASE, "Holds the rest.", "Holds everything.")
    build(root, Timings())
    return root / "site"


def assert_alike(site, fresh):
    """The two sites have the same files to the byte."""
    names = {p.relative_to(fresh) for p in fresh.rglob("*") if p.is_file()}
    assert names == {p.relative_to(site) for p in site.rglob("*") if p.is_file()}
    for name in names:
        assert (site / name).read_bytes() == (fresh / name).read_bytes(), name


@pytest.mark.slow
@pytest.mark.parametrize("moment", [1, 4, 30, 60])
def test_a_build_that_is_overtaken_leaves_no_trace(built, fresh, moment):
    kept = Kept()
    build_again(built, Timings(), (), kept, Waiting())
    edit(built, STEEL, "typical: 7.98", "typical: 7.97")
    edit(built, CASE, "Holds the rest.", "Holds everything.")
    with pytest.raises(Overtaken):
        build_again(built, Timings(), (), kept, Reader("index.html", moment))
    assert "7.98" in (built / "site" / "materials" / "test-steel.html").read_text()
    edit(built, STEEL, "typical: 7.97", "typical: 7.96")
    build_again(built, Timings(), (), kept, Waiting())[1]()
    assert_alike(built / "site", fresh)


@pytest.mark.slow
def test_what_scripts_read_and_the_data_follow_the_pages(built, fresh):
    """Once all has followed, the site is a fresh build's to the byte."""
    kept = Kept()
    build_again(built, Timings(), (), kept, Waiting())[1]()
    edit(built, STEEL, "typical: 7.98", "typical: 7.96")
    edit(built, CASE, "Holds the rest.", "Holds everything.")
    _, follow = build_again(built, Timings(), (), kept, Waiting())
    assert "7.96" in (built / "site" / "materials" / "test-steel.html").read_text()
    assert "7.96" not in (built / "site" / "data" / "figures.csv").read_text()
    follow()
    assert "7.96" in (built / "site" / "data" / "figures.csv").read_text()
    assert_alike(built / "site", fresh)
