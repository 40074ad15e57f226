"""Records are read as typed text; whatever a record does not need is refused with place, fault and
cure."""

import os
from pathlib import Path

import pytest
import yaml

from generator.records.complaints import Refused
from generator.records.reading import (
    DEEPEST,
    LARGEST_FILE,
    RawFile,
    list_files,
    read_file,
    shown_path,
)


def refused(tmp_path, content: bytes | str) -> list[str]:
    path = tmp_path / "x.yaml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(Refused) as caught:
        read_file(tmp_path, path)
    return [str(c) for c in caught.value.complaints]


def read(tmp_path, text: str):
    path = tmp_path / "x.yaml"
    path.write_text(text, encoding="utf-8")
    return read_file(tmp_path, path)


@pytest.mark.parametrize(
    "typed", ["1.4310", "NO", "no", "12:30", "7.90", "0x1F", "1e3", "~", "2026-01-31", "off"]
)
def test_a_scalar_stays_the_text_that_was_typed(tmp_path, typed):
    assert read(tmp_path, f"code: {typed}\n").data == {"code": typed}


def test_every_value_and_key_has_its_place(tmp_path):
    raw = read(tmp_path, "a: 1\nb:\n  - c: 2\n")
    assert str(raw.place(("b", 0, "c"))) == "x.yaml:3:8"
    assert str(raw.place(("b", 0, "c"), key=True)) == "x.yaml:3:5"


def test_windows_files_are_read(tmp_path):
    path = tmp_path / "x.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\r\nb: 2\r\n")
    assert read_file(tmp_path, path).data == {"a": "1", "b": "2"}


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("a: 1\na: 2\n", "x.yaml:2:1: a stands here twice; keep one of them"),
        ("a: &x 1\nb: *x\n", "x.yaml:1:4: uses an alias (`*name`); write the value out"),
        ("a:\n\tb: 1\n", "x.yaml:2:1: holds a tab; use spaces"),
        ("a: 1\n---\nb: 2\n", "x.yaml:2:1: starts a second document (`---`); one record a file"),
        (b"a: caf\xe9\n", "x.yaml:1:7: byte 0xe9 is not UTF-8; save the file as UTF-8"),
        (
            "a: !!python/object:os.system x\n",
            "x.yaml:1:4: has the tag 'python/object:os.system'; quote the text",
        ),
        ("a: b\x07c\n", "x.yaml:1:5: holds the invisible character U+0007; delete it"),
        ("a: b\u202ec\n", "x.yaml:1:5: holds the invisible character U+202E; delete it"),
        ("", "x.yaml: is empty; write a record or delete the file"),
        ("- a\n- b\n", "x.yaml:1:1: is not a list of `key: value` lines; start with `name: ...`"),
        ("a: b: c\n", "x.yaml:1:5: has a second `: ` in one line; put quotes around the text"),
        (
            "a: [1, 2\nb: 3\n",
            "x.yaml:1:4: the bracket [ is not closed; close it",
        ),
        (
            "? [a, b]\n: 1\n",
            "x.yaml:1:3: a key must be one word; quote braces and brackets in text",
        ),
    ],
)
def test_each_fault_of_form_is_one_clear_line(tmp_path, content, expected):
    assert refused(tmp_path, content) == [expected]


def test_a_huge_file_is_refused_unread(tmp_path):
    path = tmp_path / "x.yaml"
    with path.open("wb") as file:
        file.truncate(50 * 1024 * 1024)
    with pytest.raises(Refused) as caught:
        read_file(tmp_path, path)
    assert [str(c) for c in caught.value.complaints] == [
        f"x.yaml: is 51200 KB long; a record may have {LARGEST_FILE // 1024} KB"
    ]


@pytest.mark.parametrize(
    "text",
    [
        "a: " + "[" * 5000,
        "a: " + "{a: " * 300 + "1" + "}" * 300,
        "".join(" " * i + "a:\n" for i in range(200)),
        "a: " + "[" * 100_000 + "]" * 100_000,
    ],
)
def test_deep_nesting_is_refused(tmp_path, text):
    assert len(refused(tmp_path, text)) >= 1


def test_links_are_not_followed(tmp_path):
    folder, outside = tmp_path / "k", tmp_path / "outside"
    folder.mkdir(), outside.mkdir()
    (outside / "secret.yaml").write_text("a: 1\n")
    os.symlink(outside / "secret.yaml", folder / "x.yaml")
    os.symlink(outside, folder / "sub")
    found, complaints = list_files(tmp_path, folder)
    assert found == []
    assert sorted(str(c) for c in complaints) == [
        "k/sub: is a link; put the folder itself here",
        "k/x.yaml: is a link; put the file itself here",
    ]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes among its files")
def test_a_pipe_is_refused_unread(tmp_path):
    os.mkfifo(tmp_path / "x.yaml")
    with pytest.raises(Refused) as caught:
        read_file(tmp_path, tmp_path / "x.yaml")
    assert [str(c) for c in caught.value.complaints] == [
        "x.yaml: is not a plain file; put a plain file here"
    ]


def test_a_wrong_ending_is_named(tmp_path):
    (tmp_path / "x.yml").write_text("a: 1\n")
    _, complaints = list_files(tmp_path, tmp_path)
    assert [str(c) for c in complaints] == [
        "x.yml: has the wrong ending; rename it to end in .yaml"
    ]


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("a: *x\n", ["x.yaml:1:4: uses an alias (`*name`); put quotes around the text"]),
        (
            "a: @x\n",
            [
                "x.yaml:1:4: starts with a sign that YAML keeps for itself; put quotes around the"
                " text"
            ],
        ),
        (
            "a: 1\nb\nc: 2\n",
            [
                "x.yaml:2:1: a line without a colon; write `key: value`, or indent it when it goes"
                " on from the line above"
            ],
        ),
        (
            "a: 'open\n",
            ["x.yaml:1:4: a quote is opened and never closed; close it"],
        ),
        ("a: &x [1]\nb: *x\n", ["x.yaml:1:4: uses an alias (`*name`); write the value out"]),
        ("a: !odd x\n", ["x.yaml:1:4: has the tag '!odd'; quote the text"]),
        (
            "a: !odd {b: 1}\nb: !!set {c}\n",
            [
                "x.yaml:1:4: has the tag '!odd'; quote the text",
                "x.yaml:2:4: has the tag 'set'; quote the text",
            ],
        ),
        (
            "a: 1\nb:\n  [c]: 2\n  d: 3\n  d: 4\nb: 5\n",
            [
                "x.yaml:3:3: a key must be one word; quote braces and brackets in text",
                "x.yaml:5:3: d stands here twice; keep one of them",
                "x.yaml:6:1: b stands here twice; keep one of them",
            ],
        ),
        ("# remark\n", ["x.yaml: is empty; write a record or delete the file"]),
        ("word\n", ["x.yaml:1:1: is not a list of `key: value` lines; start with `name: ...`"]),
        (
            "- !odd x\n",
            ["x.yaml:1:3: has the tag '!odd'; quote the text"],
        ),  # the first fault is enough
        (b"a: 1\nb: caf\xe9\n", ["x.yaml:2:7: byte 0xe9 is not UTF-8; save the file as UTF-8"]),
        (b"a: 1\nb: 2\ncaf\xe9\n", ["x.yaml:3:4: byte 0xe9 is not UTF-8; save the file as UTF-8"]),
        (b"\ncaf\xe9\n", ["x.yaml:2:4: byte 0xe9 is not UTF-8; save the file as UTF-8"]),
        (
            "a: 1\na: 2\nb: !odd 3\n",
            [
                "x.yaml:2:1: a stands here twice; keep one of them",
                "x.yaml:3:4: has the tag '!odd'; quote the text",
            ],
        ),
        (
            "a: 1\nb:\tc\td\ne: \tf\x00\n",
            [
                "x.yaml:2:3: holds a tab; use spaces",
                "x.yaml:3:4: holds a tab; use spaces",
                "x.yaml:3:6: holds the invisible character U+0000; delete it",
            ],
        ),
        (
            "a: x\ufeff\nb: \x9f\n",
            [
                "x.yaml:1:5: holds the invisible character U+FEFF; delete it",
                "x.yaml:2:4: holds the invisible character U+009F; delete it",
            ],
        ),
    ],
)
def test_every_fault_is_named_where_it_stands(tmp_path, content, expected):
    assert refused(tmp_path, content) == expected


def test_twenty_faults_of_signs_are_enough(tmp_path):
    assert refused(tmp_path, "a:\tb\n" * 25) == [
        f"x.yaml:{n}:3: holds a tab; use spaces" for n in range(1, 21)
    ]


TOO_DEEP = "is nested deeper than 24 levels; flatten it"


def test_nesting_as_deep_as_allowed_is_read_and_one_more_is_not(tmp_path):
    lists = read(tmp_path, "a: " + "[" * DEEPEST + "]" * DEEPEST + "\n").data["a"]
    for _ in range(DEEPEST - 1):
        (lists,) = lists
    assert lists == []
    assert refused(tmp_path, "a: " + "[" * 25 + "]" * 25 + "\n") == [f"x.yaml: {TOO_DEEP}"]
    assert list(read(tmp_path, "".join(" " * i + "a:\n" for i in range(24))).data) == ["a"]
    assert refused(tmp_path, "".join(" " * i + "a:\n" for i in range(25))) == [
        f"x.yaml:25:27: {TOO_DEEP}"
    ]
    assert list(read(tmp_path, "a:\n  " + "- " * 23 + "x\n").data) == ["a"]
    assert refused(tmp_path, "a:\n  " + "- " * 24 + "x\n") == [f"x.yaml:2:51: {TOO_DEEP}"]


@pytest.mark.parametrize("pair", ["[]", "{}"])
def test_brackets_beside_each_other_are_not_deep_but_five_thousand_are_enough(tmp_path, pair):
    assert read(tmp_path, f"a: '{pair * 5000}'\n").data == {"a": pair * 5000}
    assert refused(tmp_path, f"a: '{pair * 5001}'\n") == [f"x.yaml: {TOO_DEEP}"]


def test_brackets_that_close_count_back(tmp_path):
    text = "[" * 20 + "]" * 20
    assert read(tmp_path, f"a: '{text + text}'\n").data == {"a": text + text}
    assert refused(tmp_path, "a: '" + "{[" * 12 + "}]" * 12 + "[" * 25 + "'\n") == [
        f"x.yaml: {TOO_DEEP}"
    ]


def test_a_file_as_large_as_allowed_is_read(tmp_path):
    text = "a: " + "x" * (LARGEST_FILE - 4) + "\n"
    assert len(read(tmp_path, text).data["a"]) == LARGEST_FILE - 4
    assert refused(tmp_path, text.replace("x\n", "xx\n")) == [
        "x.yaml: is 1024 KB long; a record may have 1024 KB"
    ]


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(Refused) as caught:
        read_file(tmp_path, tmp_path / "x.yaml")
    assert [str(c) for c in caught.value.complaints] == [
        "x.yaml: cannot be opened: No such file or directory"
    ]


def test_what_the_parser_cannot_place_is_said_in_one_line(tmp_path, monkeypatch):
    def fail(*_, **__):
        raise ValueError("odd\nmore")

    monkeypatch.setattr(yaml, "compose", fail)
    assert refused(tmp_path, "a: 1\n") == ["x.yaml: cannot be read as YAML: odd"]


def test_a_fault_without_a_problem_has_the_place_of_its_context_or_none(tmp_path, monkeypatch):
    mark = yaml.Mark("x", 0, 4, 6, None, None)
    raised = [
        yaml.MarkedYAMLError(context="expected a single document", context_mark=mark),
        yaml.MarkedYAMLError(),
    ]
    monkeypatch.setattr(yaml, "compose", lambda *_, **__: (_ for _ in ()).throw(raised.pop(0)))
    assert refused(tmp_path, "a: 1\n") == [
        "x.yaml:5:7: starts a second document (`---`); one record a file"
    ]
    assert refused(tmp_path, "a: 1\n") == [
        "x.yaml: cannot be read: cannot be read; check indentation, colons and quotes"
    ]


@pytest.mark.parametrize(
    ("problem", "said"),
    [
        ("but found another document", "starts a second document (`---`); one record a file"),
        (
            "expected <block end>, but found '-'",
            "does not line up with the lines above; check indentation, colons and brackets",
        ),
    ],
)
def test_the_words_of_the_other_parser_are_understood_too(tmp_path, monkeypatch, problem, said):
    mark = yaml.Mark("x", 0, 1, 2, None, None)
    error = yaml.MarkedYAMLError(problem=problem, problem_mark=mark)
    monkeypatch.setattr(yaml, "compose", lambda *_, **__: (_ for _ in ()).throw(error))
    assert refused(tmp_path, "a: 1\n") == [f"x.yaml:2:3: {said}"]


def test_a_link_is_read_inside_the_folder_and_refused_outside(tmp_path):
    root = tmp_path / "root"
    root.mkdir()
    (root / "own.yaml").write_text("a: 1\n")
    (tmp_path / "outside.yaml").write_text("a: 2\n")
    os.symlink(root / "own.yaml", root / "x.yaml")
    os.symlink(tmp_path / "outside.yaml", root / "y.yaml")
    assert read_file(root, root / "x.yaml").data == {"a": "1"}
    with pytest.raises(Refused) as caught:
        read_file(root, root / "y.yaml")
    assert [str(c) for c in caught.value.complaints] == [
        "y.yaml: leads out of the knowledge folder; put the file itself here"
    ]


def test_a_value_that_was_not_typed_has_the_place_of_what_encloses_it(tmp_path):
    raw = read(tmp_path, "a: 1\nb:\n  - c: 2\n")
    ways = [("b", 0, "d", "e"), ("b", 7), ("z",), ("a", "x"), ()]
    assert [str(raw.place(way)) for way in ways] == [
        "x.yaml:3:5",
        "x.yaml:3:3",
        "x.yaml:1:1",
        "x.yaml:1:4",
        "x.yaml:1:1",
    ]
    assert str(raw.place(("b", 0), key=True)) == "x.yaml:3:5"  # an entry of a list has no key
    assert str(RawFile("y.yaml", {}).place(("a",))) == "y.yaml"


def test_a_value_of_a_layer_is_placed_in_the_layer(tmp_path):
    raw = read(tmp_path, "a: 1\nb: {c: 2}\n")
    raw.files[("b",)] = "layer.yaml"
    assert [str(raw.place(("b",))), str(raw.place(("b", "d"))), str(raw.place(("a",)))] == [
        "layer.yaml:2:4",
        "layer.yaml:2:4",
        "x.yaml:1:4",
    ]
    assert str(raw.place(("b",), key=True)) == "layer.yaml:2:1"


def test_lists_and_keys_are_kept_in_order(tmp_path):
    raw = read(tmp_path, "b: [x, [y, z], {k: v}]\na: !!str 5\n")
    assert list(raw.data.items()) == [("b", ["x", ["y", "z"], {"k": "v"}]), ("a", "5")]
    assert str(raw.place(("b", 1, 1))) == "x.yaml:1:12"
    assert str(raw.place(("b", 2, "k"), key=True)) == "x.yaml:1:17"


def test_record_files_are_found_in_order_and_odd_entries_are_named(tmp_path):
    root = tmp_path / "root"
    for name in (
        "b.yaml",
        "a.yaml",
        "notes.txt",
        ".hidden.yaml",
        "c.yml",
        "d.YAML",
        "e.YML",
        "z/b.yaml",
        "m/a.yaml",
        ".git/x.yaml",
    ):
        path = root / "k" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("a: 1\n")
    os.symlink(root / "k" / "m", root / "k" / "link")
    found, complaints = list_files(root, root / "k")
    assert [Path(p).relative_to(root).as_posix() for p in found] == [
        "k/a.yaml",
        "k/b.yaml",
        "k/m/a.yaml",
        "k/z/b.yaml",
    ]
    assert [str(c) for c in complaints] == [
        "k/link: is a link; put the folder itself here",
        *(
            f"k/{n}: has the wrong ending; rename it to end in .yaml"
            for n in ("c.yml", "d.YAML", "e.YML")
        ),
        "k/notes.txt: is not read; rename it to end in .yaml, or move it out of this folder",
    ]


def test_a_path_outside_the_project_is_shown_whole(tmp_path):
    assert shown_path(tmp_path, tmp_path / "k" / "x.yaml") == "k/x.yaml"
    assert shown_path(tmp_path / "root", tmp_path / "x.yaml") == (tmp_path / "x.yaml").as_posix()
