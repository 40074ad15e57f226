"""Which cautions are named at the top of a page: no grave one is ever behind the fold."""

import pytest

from generator.records.models import Caution
from generator.site.caution_line import LETTERS, named_first


def caution(name, grave=False, short=None):
    return Caution(
        name=name, short=short, grave=grave, danger="It harms.", do=["Stop."], authority=["law"]
    )


def keys(entries):
    return [key for key, _ in entries]


def test_grave_ones_come_first_and_the_rest_in_order():
    entries = [
        ("a", caution("acids")),
        ("b", caution("hot work")),
        ("c", caution("cyanide", grave=True)),
        ("d", caution("polishing")),
    ]
    named, wide = named_first(entries)
    assert keys(named) == ["c", "a"]
    assert keys(wide) == ["b"]  # polishing has no room on a tablet's line either


def test_many_grave_ones_are_all_named():
    grave = [(str(i), caution("a long name of a danger", grave=True)) for i in range(6)]
    mild = [("last", caution("acids"))]
    assert named_first([*mild, *grave]) == (grave, [])


def test_a_single_long_one_is_named():
    entries = [("a", caution("x" * 2 * LETTERS))]
    assert named_first(entries) == (entries, [])
    assert named_first([]) == ([], [])


def test_every_shipped_caution_has_a_name_that_fits_a_line(knowledge):
    assert [k for k, c in knowledge.cautions.items() if not c.short or len(c.short) > 14] == []


# Acute toxicity of category 1 or 2 by breathing (H330), swallowing (H300) or skin (H310) in Annex
# VI of Regulation (EC) 1272/2008: beryllium, cadmium, cyanides, hydrogen fluoride, mercury,
# hydrogen sulphide, nitrogen dioxide (the entries from memory), chromium trioxide (as the European
# Chemicals Agency's brief profile 100.014.189 gives it).
FATAL = [
    "beryllium-dust",
    "cadmium-solder",
    "chromium-six",
    "cyanide",
    "fluorides",
    "mercury-gilding",
    "nitrous-fumes",
    "silver-dips",
]


@pytest.mark.parametrize("key", FATAL)
def test_what_the_law_classes_as_fatal_is_grave(knowledge, key):
    assert knowledge.cautions[key].grave


@pytest.mark.slow
def test_a_grave_caution_is_named_before_the_fold_of_each_page(knowledge, site):
    folded = 0
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        line = text.partition('<div class="cautions"')[2].partition("</div>")[0]
        before, fold, _ = line.partition("<details")
        for key, entry in knowledge.cautions.items():
            if entry.grave and f'"#care-{key}"' in line:
                assert f'"#care-{key}">{entry.short}<' in before, path
                folded += bool(fold)
    assert folded > 50


def test_what_is_not_fatal_at_one_spell_is_not_called_grave(knowledge):
    """Lead: H360, H372; nickel salts: H350, H372 (Annex VI, from memory); laser light blinds; a
    bench makes too little titanium swarf; common practice for the rest."""
    mild = (
        "lead-dust",
        "nickel-compounds",
        "laser-light",
        "titanium-fire",
        "acid-burns",
        "hot-work",
    )
    assert not [key for key in mild if knowledge.cautions[key].grave]
