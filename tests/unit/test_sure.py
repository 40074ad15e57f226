"""What a check passes over because it found nothing there before: it says the same as a check that
looks at everything, whatever was changed in between."""

from dataclasses import replace

import pytest

from generator.checks import sure
from generator.checks.rule import OF_ONE
from generator.checks.rules import RULES, check
from generator.checks.sure import Sure
from generator.records.knowledge import COLLECTIONS
from generator.records.loading import load
from tests.conftest import FULL, ROOT, SMALL, edit, make_root

BRASS, STEEL = "alloys/test-brass.yaml", "alloys/full-steel.yaml"
PROPERTIES, SOURCES = "vocabulary/properties.yaml", "sources/test.yaml"


@pytest.fixture(scope="module")
def shared(tmp_path_factory):
    """A knowledge base without faults in which every field is filled."""
    return make_root(tmp_path_factory.mktemp("sure") / "full", SMALL, FULL)


@pytest.fixture
def full(shared):
    """The same, which was checked; a test may change it."""
    files = {path: path.read_bytes() for path in (shared / "knowledge").rglob("*.yaml")}
    assert said(shared) == []
    yield shared
    for path in set((shared / "knowledge").rglob("*.yaml")) - files.keys():
        path.unlink()
    for path, octets in files.items():
        path.write_bytes(octets)


def said(root, layers=()):
    """What the check says."""
    return [str(c) for c in check(root, layers)[1]]


def said_afresh(root, layers=()):
    """What it says when it remembers nothing."""
    (root / "build" / "sure.txt").unlink()
    return said(root, layers)


def passed_over(root):
    """What the next check does not look at again, as kind/id."""
    found = Sure(root, load(root)[0]).find()
    return {"/".join(key) for key in found}


def test_a_second_check_passes_over_what_had_no_fault(full):
    every = {"/".join(key) for key in load(full)[0].raw}
    assert passed_over(full) == every
    edit(full, BRASS, "An invented brass.", "Another invented brass.")
    assert passed_over(full) == every - {"material/test-brass"}


CHANGES = {  # what is changed -> (file, old, new, words of a fault that follows elsewhere or there)
    "a figure": (BRASS, "typical: 8.53", "typical: 85.3", "85.3 is outside"),
    "the recipe under a figure": (BRASS, "Cu: {typical: 70}", "Cu: {typical: 3}", "fit the recipe"),
    "a bound": (PROPERTIES, "{g/cm3: [0.8, 25]}", "{g/cm3: [8.6, 25]}", "8.53 is outside 8.6"),
    "a word": ("vocabulary/elements.yaml", "Cu:", "Xx:", "there is no element Cu"),
    "a source": (SOURCES, "test-standard:", "test-norm:", "there is no source test-standard"),
    "a formula": ("formulas/full-sum.yaml", "published: 21", "published: 22", "does not come out"),
    "a state": (STEEL, "  tempered-hard:", "  tempered-soft:", "no state tempered-hard"),
    "a citation": (STEEL, "source: full-book", "source: memory", ""),
    "a caution": (
        "cautions.yaml",
        "full-caution:",
        "other-caution:",
        "there is no caution full-caution",
    ),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_change_is_noticed_wherever_it_stands(full, change):
    file, old, new, words = CHANGES[change]
    edit(full, file, old, new)
    found = said(full)
    assert any(words in line for line in found) or not words
    assert said(full) == found == said_afresh(full)  # a fault is not remembered as none


def test_a_source_that_nobody_cites_any_more_is_noticed(full):
    path = full / "knowledge" / "sources" / "more.yaml"
    path.write_text("more: {kind: standard, title: More, publisher: Nobody}\n")
    edit(full, BRASS, "typical: 8.53, source: test-standard", "typical: 8.53, source: more")
    assert said(full) == []
    edit(full, BRASS, "typical: 8.53, source: more", "typical: 8.53, source: test-standard")
    assert (
        [line for line in said(full) if "source more is cited nowhere" in line] == said(full) != []
    )


def test_a_record_that_goes_is_missed_where_it_is_named(full):
    (full / "knowledge" / "processes" / "full-harden.yaml").unlink()
    assert said(full) == said_afresh(full) != []


def test_the_same_bytes_under_another_id_are_another_record(full):
    folder = full / "knowledge" / "alloys"
    (folder / "other-brass.yaml").write_bytes((folder / "test-brass.yaml").read_bytes())
    assert said(full) == said_afresh(full) != []


def test_beside_a_layer_everything_is_looked_at(full, tmp_path):
    layer = tmp_path / "layer" / "alloys"
    layer.mkdir(parents=True)
    (layer / "test-brass.yaml").write_text(
        "figures: {density: [{typical: 85.3, source: memory}]}\n"
    )
    assert any("85.3 is outside" in line for line in said(full, [layer.parent]))
    assert said(full) == []
    assert Sure(full, load(full, [layer.parent])[0]).find() == {}


def test_another_program_looks_at_everything(full, monkeypatch):
    monkeypatch.setattr(sure, "_program", lambda: "another")
    assert passed_over(full) == set()


def test_the_program_is_every_file_of_the_rooms_that_rules_ask(tmp_path, monkeypatch):
    for room in sure.ASKED:
        (tmp_path / room).mkdir()
    monkeypatch.setattr(sure, "PROGRAM", tmp_path)
    seen = {sure._program.__wrapped__()}
    for room in sure.ASKED:
        (tmp_path / room / "new.py").write_text("1")
        seen.add(sure._program.__wrapped__())
    assert len(seen) == 1 + len(sure.ASKED)


class Closed:
    """A record that nobody may look into; which states and settings it has is no secret."""

    def __init__(self, record):
        self.states = getattr(record, "states", {})
        self.settings = {}


def alone(knowledge, kind, key):
    """The knowledge of which one record is left; lists, sources and formulas are open."""
    closed = {
        name: {
            k: r if (of, k) == (kind, key) or of == "formula" else Closed(r)
            for k, r in knowledge.of_kind(of).items()
        }
        for of, name in COLLECTIONS.items()
    }
    rest = {each: frozenset() for each in knowledge.raw if each != (kind, key)}
    return replace(knowledge, **closed, sure=rest, _walked=[])


def test_a_rule_of_one_record_needs_no_other(tmp_path):
    """Every rule is broken in this base, so each has something to say."""
    knowledge = check(make_root(tmp_path, SMALL, ROOT / "tests" / "broken"))[0]
    single = {rule: set() for rule in OF_ONE}
    for key in knowledge.raw:
        left = alone(knowledge, *key)
        for rule in OF_ONE:
            single[rule] |= {str(complaint) for complaint in rule(left)}
    for rule in OF_ONE:
        assert single[rule] == {str(complaint) for complaint in rule(knowledge)}, rule.__name__
    assert all(single.values())


def test_every_other_rule_looks_at_everything(tmp_path):
    knowledge = check(make_root(tmp_path, SMALL, ROOT / "tests" / "broken"))[0]
    cites = {key: set() for key in knowledge.raw}
    for kind, key, references in knowledge.references_by_file():
        cites[kind, key] |= {r.id for r in references if r.target == "source"}
    known = replace(knowledge, sure=cites)
    for rule in set(RULES) - set(OF_ONE):
        assert list(map(str, rule(known))) == list(map(str, rule(knowledge))) != [], rule.__name__
