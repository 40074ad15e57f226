"""A legal limit on a caution rests on a law or body that the caution names, with its date and the
place where it was read: the lead can open each and see that it still holds."""

import pytest

from generator.checks.rules import check
from tests.conftest import FULL, SMALL, edit, make_root

CAUTIONS, LAW = "cautions.yaml", "sources/full.yaml"
LIMIT = '"%", source: full-law, of: limit relative'


@pytest.mark.parametrize(
    ("file", "old", "new", "told"),
    [
        (
            CAUTIONS,
            LIMIT,
            LIMIT.replace("full-law", "test-sheet"),
            "test-sheet is not among the authorities; name it there",
        ),
        (
            CAUTIONS,
            LIMIT,
            LIMIT.replace("full-law", "full-book"),  # a book that nobody had in hand
            "this limit was not read anywhere; cite where it was read",
        ),
        (
            CAUTIONS,
            LIMIT,
            LIMIT.replace("full-law", "memory"),
            "this limit was not read anywhere; cite where it was read",
        ),
        (
            LAW,
            ", kind: law, where: full paragraph",
            ", kind: law",
            "full-law does not say where it was seen; give address, where or read_in in the source",
        ),
        (
            CAUTIONS,
            'since: "1999"',
            "since: of old",
            "'of old' is not a date; write a year, or day, month and year",
        ),
        (CAUTIONS, 'since: "1999"', "since: 1 June 1999", None),
    ],
)
def test_a_limit_names_its_law_its_day_and_where_it_was_read(tmp_path, file, old, new, told):
    root = make_root(tmp_path, SMALL, FULL)
    edit(root, file, old, new)
    lines = [str(complaint) for complaint in check(root)[1]]
    assert [line.partition(": ")[2] for line in lines] == ([told] if told else [])
    assert all(line.startswith("knowledge/cautions.yaml:") for line in lines)
