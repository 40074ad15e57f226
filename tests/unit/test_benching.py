"""The bench copies records into valid ones, and its exponents are those of arithmetic."""

import pytest

from generator.checks.rules import check
from tests.benchmarks import growth as bench
from tests.conftest import ROOT


@pytest.mark.parametrize(
    ("record", "copy"),
    [
        ("name: Brass\nfamily: brass\n", "name: Brass copy 2\nfamily: brass\n"),
        ('name: "Brass: yellow"  # odd\n', 'name: "Brass: yellow copy 2"  # odd\n'),
        ("name: 'Brass'\n", "name: 'Brass copy 2'\n"),
        ("name: Brass, no. 3   # remark\n", "name: Brass, no. 3 copy 2   # remark\n"),
        (
            (
                "name: A\ndesignations:\n  - {system: uns, code: C1}\n  - {system: uns, code:"
                " C2}\ncolour: red\n"
            ),
            "name: A copy 2\ncolour: red\n",
        ),
        (
            "name: A\ndesignations: [{system: uns, code: C1}]\ncolour: red\n",
            "name: A copy 2\ncolour: red\n",
        ),
        (
            "name: A\nnumber: 3\nstates:\n  x:\n    name: y\n",
            "name: A copy 2\nnumber: 203\nstates:\n  x:\n    name: y\n",
        ),
    ],
)
def test_a_copy_differs_where_records_must_differ(record, copy):
    assert bench.copied(record, 2) == copy


@pytest.mark.slow
def test_copies_of_the_shipped_records_have_no_faults(tmp_path, knowledge):
    root = bench.copy_records(ROOT, tmp_path / "p", 2)
    doubled, complaints = check(root)
    assert [str(c) for c in complaints] == []
    assert len(doubled.materials) == 2 * len(knowledge.materials)
    assert len(doubled.parts) == 2 * len(knowledge.parts)


def test_the_exponent_of_growth():
    assert bench.exponent(1.0, 16.0, 4) == pytest.approx(2)
    assert bench.exponent(0.5, 2.0, 4) == pytest.approx(1)
    assert bench.exponent(3.0, 3.0, 4) == 0


def test_the_table_shows_growth_and_exponent():
    def measures(factor):
        seconds = dict.fromkeys(bench.STEPS, 1.0 * factor)
        return {
            "seconds": seconds,
            "memory": 1_000_000,
            "mkdocs memory": 2_000_000,
            "pages": 10 * factor,
            "records": 5 * factor,
            "verdicts": 6 * factor * factor,
            "index": 1000 * factor,
            "html": 2_000_000,
            "data": 3_000_000,
        }

    words = bench.in_words({1: measures(1), 4: measures(4)})
    rows = {line[:52].strip(): line[52:].split() for line in words.splitlines()}
    assert rows["verdicts on fit"] == ["6", "96", "16.0", "2.00"]
    assert rows["pages"] == ["10", "40", "4.0", "1.00"]
    assert rows["generator / whole build"][:2] == ["0%", "0%"]  # both a second each
    assert rows["whole build / MkDocs alone"][:2] == ["1.00", "1.00"]
    assert rows["memory of the generator"] == ["1.0", "MB", "1.0", "MB", "1.0", "0.00"]


@pytest.mark.parametrize("sizes", ["0,1", "4,1", "a", "1,,4", "1,1", ""])
def test_sizes_that_do_not_rise_are_a_wrong_command(sizes, capsys):
    with pytest.raises(SystemExit) as left:
        bench.main(["--sizes", sizes])
    assert left.value.code == 2
    assert "is not a rising list of sizes" in capsys.readouterr().err
