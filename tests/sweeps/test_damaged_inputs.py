"""Whatever is typed, taken, or left damaged on the disk, each reader beside that of the records
answers in words: no traceback. BENCH_FUZZ=20000 tries so many over all of them.

Damaged records are tried in test_damaged_records.py, damaged tables byte by byte in test_taking.py.
"""

import json
import lzma
import os
import random
import shutil

import pytest

from generator.commands.calculate import WorkFailed, hardness_words, job_words, work
from generator.numbers.typed import read
from generator.numbers.units import unit_table
from generator.records.complaints import NotDone, Refused
from generator.records.loading import load
from generator.upkeep import comparing, editions
from generator.upkeep.effects import effects, lines
from generator.upkeep.said import said, site_of
from generator.upkeep.take import RowsRefused, plan
from tests.conftest import FULL, ROOT, SMALL, make_root
from tests.unit.test_taking import HEAD

EACH = int(os.environ.get("BENCH_FUZZ", "1500")) // 5
PIECES = [
    "7.9", "8", "-", "\u2212", " to ", "..", "\u2026", ",", ".", "'", "g", "mm", "\u00b5", "\u03bc",
    "%", "/", "e9", "1e400", "NaN", "inf", "\u00b1", "at least ", ">", "carat", "\"", "(", "\x00",
    "\u202e", "\ud800", "\U0001f600", "9" * 40, "0", "", " ", "\n", "in", "K", "\u00b0C", "10^-6",
    "{{", "<b>", "=", "x",
]  # fmt: skip


def odd(dice, most=6) -> str:
    return "".join(dice.choice(PIECES) for _ in range(dice.randrange(most)))


def torn(dice, octets: bytes) -> bytes:
    """The bytes with some exchanged, cut out or put in."""
    found = bytearray(octets)
    for _ in range(dice.randrange(1, 9)):
        at = dice.randrange(len(found) + 1)
        found[at : at + dice.randrange(4)] = dice.randbytes(dice.randrange(4))
    return bytes(found)


@pytest.fixture
def root(tmp_path):
    root = make_root(tmp_path / "one", SMALL, FULL)
    shutil.copytree(ROOT / "site_src" / "templates", root / "site_src" / "templates")
    return root


def test_what_is_typed_into_fields(knowledge):
    table, dice = (
        unit_table(knowledge.words("units"), knowledge.words("asked_units")),
        random.Random(1),
    )
    formulas = sorted(knowledge.formulas)
    for _ in range(EACH):
        symbols = knowledge.formulas[dice.choice(formulas)].symbols
        symbol, text = symbols[dice.choice(sorted(symbols))], odd(dice)
        try:
            found = read(text, symbol, table)
        except ValueError as said:
            assert 10 < len(str(said)) < 2000 and "\n" not in str(said), text
            continue
        ends = [end for end in (found.low, found.high) if end is not None]
        assert ends and all(symbol.range[0] <= end <= symbol.range[1] for end in ends), text


def test_what_is_typed_after_work(knowledge):
    dice, formulas, jobs = random.Random(2), sorted(knowledge.formulas), sorted(knowledge.jobs)
    for _ in range(EACH):
        key = dice.choice([*formulas, *jobs, odd(dice)])
        names = [*(knowledge.formulas[key].symbols if key in formulas else ()), "HRC", "metal", ""]
        words = [f"{dice.choice(names)}{dice.choice(['=', '', '=='])}{odd(dice)}" for _ in range(3)]
        for verb in (
            (lambda k, w: job_words(knowledge, k, w))
            if key in jobs
            else lambda k, w: work(knowledge, k, w),
            lambda _, w: hardness_words(knowledge, w),
        ):
            try:
                verb(key, words)
            except WorkFailed as said:
                assert len(str(said)) > 10


def test_rows_that_are_taken(root):
    knowledge, dice = load(root)[0], random.Random(3)
    known = {
        0: list(knowledge.materials), 1: ["annealed", ""], 2: list(knowledge.words("properties")),
        3: ["typical", "range", "at_least", "at_most"], 6: list(knowledge.words("units")),
        9: ["memory", "test-sheet"],
    }  # fmt: skip
    for _ in range(EACH):
        cells = [
            dice.choice(known[i]) if i in known and dice.random() < 0.8 else odd(dice, 3)
            for i in range(11)
        ]
        row = ",".join('"' + c.replace('"', '""') + '"' for c in cells)
        text = HEAD + row.encode("utf-8", "replace").decode()
        (root / "t.csv").write_text(text, encoding="utf-8")
        try:
            plan(root, knowledge, root / "t.csv")
        except (RowsRefused, NotDone) as said:
            for line in getattr(said, "lines", [str(said)]):
                assert line.isprintable(), line


def test_a_kept_edition_that_is_damaged(root):
    """Bytes torn; and whole files whose content is of another shape."""
    knowledge, complaints = load(root)
    assert complaints == []
    site, dice = site_of(root, knowledge), random.Random(4)
    now = said(site, {})
    path = root / "knowledge" / "editions" / comparing.KEPT
    path.parent.mkdir(exist_ok=True)
    packed = comparing.packed(now)
    shapes = [
        *(None, 1, "x", [], {}, {"figures": 1}, {"figures": {}, "stands": {"a": 1}}),
        *({"figures": {}, "places": {"a": {"b": "x"}}}, {"figures": {}, "tables": {"a": []}}),
        {"figures": {}, "exposures": {"a": {"b": None}}},
        {**now, "stands": {k: dict.fromkeys(v, "gone why") for k, v in now["stands"].items()}},
        {**now, "exposures": {k: dict.fromkeys(v, "gone") for k, v in now["exposures"].items()}},
    ]
    for n in range(EACH):
        text = json.dumps(dice.choice(shapes)).encode()
        path.write_bytes(lzma.compress(text) if n % 2 else torn(dice, packed))
        try:
            lines(effects(site, comparing.kept(root), now))
        except NotDone as told:
            assert "\n" not in str(told)


def test_what_is_kept_between_commands_when_it_is_damaged(root):
    """The store of files that were read; and the fields of the last edition."""
    dice, store = random.Random(5), root / "build" / "read.txt"
    assert load(root)[1] == []
    whole = store.read_bytes()
    fields = root / "knowledge" / "editions" / editions.LAST
    fields.parent.mkdir(exist_ok=True)
    written = json.dumps(editions.fields(load(root)[0])).encode()
    for _ in range(EACH // 10):
        store.write_bytes(torn(dice, whole))
        fields.write_bytes(torn(dice, written))
        try:
            assert load(root)[1] == []
            editions._read_last(root / "knowledge" / "editions")
        except (NotDone, Refused) as told:
            assert str(told)
