"""Whatever stands in a record, the checker answers with complaints or with none: no traceback, and
never slower than two seconds.

The normal run tries 800 damaged and invented records, always the same; BENCH_FUZZ=20000 tries so
many, new ones each time. What passes the checker must also be judged, drawn and exported without a
traceback; every fourth of those is tried.
"""

import copy
import os
import shutil
import time
import zlib
from functools import cache
from itertools import chain
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from generator.checks.rules import check
from generator.export import document, sheets
from generator.numbers.values import Values
from generator.records import loading
from generator.records.complaints import Complaint
from generator.records.folders import RECORD_FOLDERS
from generator.site.kept_pages import KeptPages
from generator.site.page import Site
from generator.site.render import render
from generator.tables import tables
from generator.verdicts.verdicts import Verdicts
from tests.conftest import FULL, ROOT, SMALL, make_root

ASKED = int(os.environ.get("BENCH_FUZZ", "0"))
LONGEST = 2.0  # seconds for one check
TRIES = settings(
    max_examples=max(1, (ASKED or 800) // 2),
    derandomize=not ASKED,
    database=None,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    report_multiple_bugs=False,
)

RECORDS = sorted(
    p.relative_to(base).as_posix() for base in (SMALL, FULL) for p in base.rglob("*.yaml")
)
TEXTS = {
    name: next(base / name for base in (FULL, SMALL) if (base / name).exists()).read_text(
        encoding="utf-8"
    )
    for name in RECORDS
}
CHANGED = [""]  # the record that the running try has changed
LINES = sorted({line for text in TEXTS.values() for line in text.splitlines()})
WORDS = sorted(
    {
        word
        for line in LINES
        for word in line.replace("[", " ")
        .replace("]", " ")
        .replace("{", " ")
        .replace("}", " ")
        .replace(",", " ")
        .split()
    }
)
ODD = [
    "",
    "~",
    "null",
    "NO",
    "1.4310",
    "1e400",
    "1e-400",
    "-0",
    "0",
    "-1",
    ".nan",
    ".inf",
    "1_000",
    "0x1F",
    "12:30",
    "2026-02-30",
    "0000-00-00",
    "9999-12-31",
    "9" * 40,
    "1." + "0" * 13,
    "[]",
    "{}",
    "[[]]",
    "[1]",
    "[2, 1]",
    "[1, 2, 3]",
    "{a: 1}",
    "{range: [1, 1]}",
    "{typical: 0}",
    "{at_least: 0}",
    "''",
    '"',
    "'",
    "&a",
    "*a",
    "!!python/object:os.system x",
    "? ",
    "|",
    ">",
    "%",
    "@",
    "`",
    "#",
    "---",
    "...",
    "<<: {}",
    "\ufeff",
    "\u2028",
    "\x85",
    "\U0001f600",
    "é" * 400,
    "\u0301",
    "a: b: c",
    "- - - -",
    "\t",
    "true",
    "false",
    "memory",
    "practice",
    "typical",
    "range: [1, 2]",
]


@pytest.fixture(scope="module")
def base(tmp_path_factory):
    """The full invented knowledge base; what stays as it is is read and typed once, which makes
    so many checks quick."""
    root = make_root(tmp_path_factory.mktemp("fuzz"), SMALL, FULL)
    read, typed_list = loading.read_file, loading._typed_list
    files, lists = {}, {}

    def read_once(project, path):
        if path.name == Path(CHANGED[0]).name:
            return read(project, path)
        if path not in files:
            files[path] = read(project, path)
        return copy.copy(files[path])  # what was typed lets go of what was read

    def typed_once(model, file, pattern):
        if Path(file.path).name == Path(CHANGED[0]).name:
            return typed_list(model, file, pattern)
        if file.path not in lists:
            lists[file.path] = typed_list(model, file, pattern)
        typed, faults = lists[file.path]
        return dict(typed), list(faults)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(loading, "read_file", read_once)
        patch.setattr(loading, "_typed_list", typed_once)
        yield root


def try_out(root: Path, name: str, text: str) -> None:
    """Check with one record replaced; draw and export what has no faults."""
    path = root / "knowledge" / name
    CHANGED[0] = name
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    try:
        began = time.process_time()  # what else the machine does is no fault of the checker
        knowledge, complaints = check(root)
        took = time.process_time() - began
        assert took < LONGEST, f"{took:.1f} s"
        assert all(
            isinstance(c, Complaint) and len(str(c).splitlines()) == 1 and c.place.file
            for c in complaints
        )
        if not complaints and zlib.crc32(text.encode("utf-8", "surrogatepass")) % 4 == 0:
            use(knowledge, root / "build" / "templates")
    finally:
        path.write_text(TEXTS[name], encoding="utf-8") if name in TEXTS else path.unlink()


def use(knowledge, templates: Path) -> None:
    """Everything that a build does short of MkDocs; pages that an earlier try left are those that
    would be drawn anew."""
    values = Values(knowledge)
    computed, verdicts = tables.build(knowledge, values), Verdicts(knowledge, values)
    given = knowledge, values, computed, verdicts, ROOT / "site_src" / "templates", templates
    anew = render(Site(*given))
    kept = render(Site(*given, kept=KeptPages(templates.parent / "kept")))
    for page, other in zip(chain(*anew), chain(*kept), strict=True):
        assert len(page.text()) < 1_000_000, page.file
        assert other == page, page.file
    data = templates.parent / "data"
    shutil.rmtree(data, ignore_errors=True)
    data.mkdir(parents=True)
    sheets.write(data, knowledge, document.build(knowledge, computed, verdicts))


scalars = st.one_of(
    st.sampled_from(ODD),
    st.sampled_from(WORDS),
    st.text(max_size=20),
    st.decimals(allow_nan=False).map(str),
    st.integers().map(str),
)
operations = st.tuples(
    st.sampled_from(["delete", "double", "swap", "value", "insert", "word", "cut", "indent"]),
    st.integers(0, 10_000),
    st.integers(0, 10_000),
    scalars,
    st.sampled_from(LINES),
)


def damaged(text: str, steps) -> str:
    """A record after a few random edits, each to a line, a value, a word or a place."""
    for what, first, second, scalar, line in steps:
        lines = text.split("\n")
        at = first % len(lines)
        match what:
            case "delete":
                del lines[at]
            case "double":
                lines.insert(second % len(lines), lines[at])
            case "swap":
                lines[at] = line
            case "value":
                key, colon, _ = lines[at].partition(": ")
                lines[at] = f"{key}{colon}{scalar}"
            case "word":
                words = lines[at].split(" ")
                words[second % len(words)] = scalar
                lines[at] = " ".join(words)
            case "insert":
                column = second % (len(lines[at]) + 1)
                lines[at] = lines[at][:column] + scalar + lines[at][column:]
            case "cut":
                lines[at:] = [lines[at][: second % (len(lines[at]) + 1)]]
            case "indent":
                lines[at] = " " * (second % 9) + lines[at].lstrip()
        text = "\n".join(lines) or " "
    return text


@TRIES
@given(name=st.sampled_from(RECORDS), steps=st.lists(operations, min_size=1, max_size=4))
def test_a_damaged_record_is_answered(base, name, steps):
    try_out(base, name, damaged(TEXTS[name], steps))


def keys_of(model) -> list[str]:
    return list(model.model_fields)


KEYS = sorted(
    {key for _, model in RECORD_FOLDERS.values() for key in keys_of(model)}
    | {"typical", "range", "at_least", "at_most", "unit", "source", "when"}
)
VALUES = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(st.one_of(st.sampled_from(KEYS), scalars), inner, max_size=4),
    ),
    max_leaves=12,
)


@cache
def read_of(name: str) -> dict:
    """A record as the library reads it, once."""
    return yaml.load(TEXTS[name], yaml.CSafeLoader)


@st.composite
def invented(draw):
    """A record of a random kind: a good one whose fields are partly replaced by random values,
    dropped, or joined by unknown ones."""
    name = draw(st.sampled_from([n for n in RECORDS if n.split("/")[0] in RECORD_FOLDERS]))
    record = copy.deepcopy(read_of(name))
    for key in draw(st.lists(st.sampled_from(sorted(record)), max_size=3)):
        record[key] = draw(VALUES)
    for key in draw(st.lists(st.sampled_from(sorted(record)), max_size=1)):
        record.pop(key)
    record.update(draw(st.dictionaries(st.sampled_from(KEYS), VALUES, max_size=1)))
    return name, yaml.safe_dump(
        record, allow_unicode=True, sort_keys=False, width=draw(st.sampled_from([40, 10_000]))
    )


@TRIES
@given(record=invented())
def test_an_invented_record_is_answered(base, record):
    try_out(base, *record)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n",
        "\x00",
        "\ud800",
        "a",
        "- a",
        "null",
        "{}",
        "[" * 5000,
        "a: " + "x" * 600_000,
        "a: &a [*a]",
        "\ufeff\ufeffname: x",
        "name: \ud83d\n",
    ],
)
def test_what_is_no_record_is_answered(base, text):
    try_out(base, "alloys/odd.yaml", text)
