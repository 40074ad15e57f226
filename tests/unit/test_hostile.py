"""Text from records shows as it was typed, on every page: it makes no element and no attribute,
and nothing of it is lost.

Every text field of every kind of record is filled (a test says so), once with plain words and once
with hostile strings. The two sites must have the same elements and attributes, and where the plain
words stood, the hostile ones stand.
"""

import json
import re
import types
import typing
from html.parser import HTMLParser
from pathlib import Path

import pytest
import yaml
from pydantic import BaseModel

from generator.checks.rules import check
from generator.commands.build import Timings, build
from generator.deliver import one_file
from generator.records import models
from generator.records.folders import LISTS, RECORD_FOLDERS
from generator.records.loading import load
from tests.conftest import FULL, ROOT, SMALL, make_buildable, make_root

HOSTILE = [
    "<script>alert(1)</script>",
    "</script><script>alert(1)</script>",
    "<ScRiPt src=//x.example/y.js>",
    "<img src=x onerror=alert(1)>",
    "<svg/onload=alert(1)>",
    "<a href='javascript:alert(1)'>x</a>",
    '" onmouseover="alert(1)',
    "' onfocus='alert(1)' autofocus='",
    '"><b id=made>',
    "'><i id=made>",
    "<b>bold</b>",
    "<iframe src=//x.example>",
    "<object data=x>",
    "<style>*{display:none}</style>",
    "<link rel=stylesheet href=//x.example/a.css>",
    "<meta http-equiv=refresh content=0>",
    "<base href=//x.example>",
    "<form action=//x.example><input>",
    "<math><mtext></mtext></math>",
    "<!-- comment",
    "--> <!--",
    "<![CDATA[x]]>",
    "<?php x ?>",
    "</div></section></main></body>",
    "</title></head><body>",
    "[link](javascript:alert(1))",
    "[link](https://x.example)",
    "![picture](//x.example/p.png)",
    "<https://x.example>",
    "https://x.example/y",
    "[ref]: //x.example 'title'",
    "**bold** _it_ ~~gone~~",
    "# heading",
    "## h {: #made .made onclick=alert(1) }",
    "{: .made }",
    "> quoted",
    "* item",
    "1. item",
    "a | b | c",
    "|---|---|",
    "{{ 7 * 7 }}",
    "{% raw %}{% endraw %}",
    "{# note #}",
    "${7*7}",
    "&lt;b&gt; &amp; &#60;b&#62; &nbsp;",
    "&copy &notit;",
    "\\<b\\> \\n \\u003cb\\u003e",
    "%3Cb%3E %00",
    "---",
    "```",
    "    code",
    "*[HTML]: x",
    "[^1]: note [^1]",
    ":material-home: :smile:",
    "!!! note",
    "??? note",
    "[TOC]",
    "[[x]]",
    "$x$ \\(x\\)",
    "&shy;&#8203;zero&zwnj;width&zwj;",
    "&#8232;line&#8233;",
    "x\u0301\u0489",
]
MARK = "Zq"  # starts every text, so that order and capitals are the same in both sites


def text_fields(model, way=()) -> typing.Iterator[tuple]:
    """The ways to every free text of a model; lists and mappings are stepped into as "*".

    Left out are translations, which belong to a sentence word for word.
    """
    for name, annotation in typing.get_type_hints(model, include_extras=True).items():
        if name in model.model_fields and name != "translations":
            yield from _texts_in(annotation, (*way, name))


def _texts_in(annotation, way):
    origin, inner = typing.get_origin(annotation), typing.get_args(annotation)
    if annotation in (models.Line, models.Text):
        yield way
    elif origin in (typing.Union, types.UnionType):
        for one in inner:
            yield from _texts_in(one, way)
    elif origin is typing.Annotated:
        yield from _texts_in(inner[0], way)
    elif origin in (list, dict):
        yield from _texts_in(inner[-1], (*way, "*"))
    elif isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield from text_fields(annotation, way)


def replaced(data, way: tuple, text_of):
    """The data with every text at ``way`` replaced."""
    if data is None or not way:
        return data if data is None else text_of(data)
    step, rest = way[0], way[1:]
    if step == "*":
        return (
            [replaced(v, rest, text_of) for v in data]
            if isinstance(data, list)
            else {k: replaced(v, rest, text_of) for k, v in data.items()}
        )
    return (
        {k: replaced(v, rest, text_of) if k == step else v for k, v in data.items()}
        if step in data
        else data
    )


def models_of_files(folder: Path) -> typing.Iterator[tuple[Path, type, bool]]:
    """(file, model, whether it holds many entries) for the invented records."""
    for path in sorted(folder.rglob("*.yaml")):
        where = path.relative_to(folder).with_suffix("").as_posix()
        home = where.rpartition("/")[0]
        if home in RECORD_FOLDERS and not path.name.startswith(tuple(FORMULAS)):
            yield path, RECORD_FOLDERS[home][1], False
        elif where in ("cautions", "first_aid", "vocabulary/glossary") or path.name in (
            "full.yaml",
            "test.yaml",
        ):
            yield path, models.Source if home == "sources" else LISTS[where], True


FORMULAS = sorted(p.name for p in (ROOT / "knowledge" / "formulas").glob("*.yaml"))


# words without which the checker would complain of the text
MUST_SAY = {"first_aid": " emergency number", "then": " hospital", "since": " 1999"}


def without_quotations(lesson: dict) -> dict:
    """The lesson without what quotes the words of other records, which must match them."""
    quoting = ("order", "listed")
    kept = [
        q
        for q in lesson["questions"]
        if not any(k in q or k in q.get("number", {}) for k in quoting)
    ]
    for question in kept:
        question.get("rests_on", {}).pop("said", None)
    kept += [kept[-1]] * (len(lesson["questions"]) - len(kept))  # a lesson needs so many
    return {**lesson, "questions": kept}


def fill(root: Path, text_of) -> dict[int, str]:
    """Replace every free text of the invented records by ``text_of(number of the field)``.

    Returns number -> name of the field.
    """
    fields: dict[int, str] = {}

    def next_text(way):
        fields[len(fields) + 1] = way[-1]
        field = next(step for step in reversed(way) if step != "*")
        return text_of(len(fields)) + MUST_SAY.get(field, "")

    for path, model, many in models_of_files(root / "knowledge"):
        data = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CBaseLoader)  # noqa: S506 (CBaseLoader makes text only)
        if model is models.Lesson:
            data = without_quotations(data)
        for way in text_fields(model, ("*",) if many else ()):
            if way[-1] not in ("expression", "that", "constant"):
                data = replaced(data, way, lambda _, way=way: next_text(way))
        if model is models.Lesson:  # every caution is asked about; each of its texts has the mark
            said = [{"caution": "full-caution", "words": [MARK]}]
            for question in (q for q in data["questions"] if "options" in q):
                question["rests_on"] = {**question.get("rests_on", {}), "said": said}
        path.write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")  # JSON is YAML
    return fields


class Shape(HTMLParser):
    """A page as its elements with their attributes' names, its text, and the values of its
    attributes."""

    def __init__(self, page: str):
        super().__init__(convert_charrefs=True)
        self.elements, self.texts, self.values, self.odd, self._inside = [], [], [], [], ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attrs):
        """An element."""
        self.elements.append((tag, tuple(name for name, _ in attrs)))
        self.values += [(name, value or "") for name, value in attrs]
        self._inside = tag

    def handle_endtag(self, tag):
        """An end."""
        self.elements.append(("/" + tag, ()))
        self._inside = ""

    def handle_data(self, data):
        """Text, but not scripts."""
        if self._inside not in ("script", "style"):
            self.texts.append(data)

    def handle_comment(self, data):
        """Comments may come from the theme, never from a record."""
        self.odd.append(data)

    handle_decl = handle_pi = unknown_decl = handle_comment

    @property
    def text(self) -> str:
        """All text with single spaces."""
        return as_shown(" ".join(self.texts))


def shapes(site: Path) -> dict[str, Shape]:
    """Every page, and the one file that is made from all of them."""
    found = {
        p.relative_to(site).as_posix(): Shape(p.read_text(encoding="utf-8"))
        for p in sorted(site.rglob("*.html"))
    }
    return {**found, "one file": Shape(one_file.build(site, "2026-11-25"))}


def number_of(text: str) -> list[int]:
    return [int(n) for n in re.findall(rf"{MARK}(\d+)q", text)]


def test_the_records_fill_every_text_field(tmp_path):
    """Otherwise a field could be forgotten: the ways of the models against the ways that the
    records fill."""
    root = make_root(tmp_path, SMALL, FULL)
    filled = set()
    for path, model, many in models_of_files(root / "knowledge"):
        data = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CBaseLoader)
        for way in text_fields(model, ("*",) if many else ()):
            before = []
            replaced(data, way, before.append)
            if before:
                filled.add((model.__name__, way[1:] if many else way))
    wanted = {(m.__name__, way) for _, m in RECORD_FOLDERS.values() for way in text_fields(m)}
    wanted |= {
        (m.__name__, way)
        for m in (models.Source, models.Caution, models.Term)
        for way in text_fields(m)
    }
    assert wanted - filled == set()


def text_of(strings: list[str], turn: int):
    """Field number -> its text: the mark, then hostile strings as long as a line allows; each turn
    starts at another string."""

    def make(number: int) -> str:
        text, at = f"{MARK}{number}q ", number * 7 + turn * 11
        while (
            len(text) + len(strings[at % len(strings)]) < 270 and at < number * 7 + turn * 11 + 11
        ):
            text += strings[at % len(strings)] + " "
            at += 1
        return text + "end"

    return make


def as_shown(typed: str) -> str:
    """What a reader sees of a typed text: back quotes become plain quotes, spaces become
    single."""
    return " ".join(typed.replace("`", "'").split())


def plain(root, make):
    """The site with plain words as long as the hostile ones: how a card is laid out follows the
    length of its texts."""

    def words(number: int) -> str:
        length = len(as_shown(make(number)))
        return (f"{MARK}{number}q " + "plain words " * 30)[: length - 4].rstrip() + " end"

    fill(root, words)
    assert [str(c) for c in check(root)[1]] == []
    return shapes(build(root, Timings())[0])


def test_there_are_enough_hostile_strings():
    assert len(set(HOSTILE)) >= 40


@pytest.mark.slow
@pytest.mark.parametrize("turn", range(6))
def test_hostile_text_is_text(tmp_path, turn):
    make = text_of(HOSTILE, turn)
    expected = plain(make_buildable(tmp_path / "plain", SMALL, FULL), make)
    root = make_buildable(tmp_path / "p", SMALL, FULL)
    fields = fill(root, make)
    assert len(fields) > 150
    assert [str(c) for c in check(root)[1]] == []
    site, _ = build(root, Timings())
    found = shapes(site)
    assert set(found) == set(expected)
    lost = []
    for name, page in found.items():
        assert page.elements == expected[name].elements, name
        assert page.odd == expected[name].odd, name
        assert not [
            v
            for a, v in page.values
            if a in ("href", "src", "action")
            and re.match(r"\s*(javascript|data:text|https?:|//)", v, re.I)
        ], name
        for n in set(number_of(expected[name].text)):
            # Beside a figure a source is called by its author or its publisher, cut short, and
            # a law by its title up to its number; the pages of sources have them whole.
            short = fields[n] in ("author", "publisher") or (
                fields[n] == "title" and name.startswith("cautions")
            )
            whole = not short or name.startswith("sources") or name == "one file"
            # A picture cuts a long name short; its spoken text has it whole.
            spoken = " ".join(as_shown(v) for a, v in page.values if a == "aria-label")
            wanted = as_shown(make(n)) if whole else f"{MARK}{n}q "
            if wanted not in page.text and wanted not in spoken:
                lost.append((name, fields[n], make(n)))
    assert lost == []
    for script in ("find-index", "values", "leaflet-data"):
        path = site / "assets" / f"{script}.js"
        if path.exists():
            json.loads(path.read_text(encoding="utf-8").partition("=")[2].rstrip(";\n"))


def test_every_hostile_string_reaches_every_kind_of_field():
    """Six turns of eleven strings from seven apart: all strings in every field after six turns."""
    for number in range(1, 400):
        joined = " ".join(text_of(HOSTILE, turn)(number) for turn in range(6))
        assert sum(s.strip() in joined for s in HOSTILE) >= 40, number


@pytest.mark.parametrize(
    "sign",
    [
        "\u202a",
        "\u202b",
        "\u202c",
        "\u202d",
        "\u202e",
        "\u2066",
        "\u2067",
        "\u2068",
        "\u2069",
        "\u200e",
        "\u200f",
        "\u061c",
    ],
)
def test_signs_that_turn_the_direction_of_writing_are_refused(tmp_path, sign):
    root = make_root(tmp_path, SMALL, FULL)
    path = root / "knowledge" / "parts" / "full-pinion.yaml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("pinion does words", f"pinion {sign}does words"),
        encoding="utf-8",
    )
    _, complaints = load(root)
    assert [str(c) for c in complaints] == [
        f"knowledge/parts/full-pinion.yaml:6:14: holds the invisible character U+{ord(sign):04X};"
        " delete it"
    ]
