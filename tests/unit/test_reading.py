"""Records are read as typed text; whatever a record does not need is refused with place, fault and cure."""

import os

import pytest

from generator.complaints import Refused
from generator.reading import LARGEST_FILE, list_files, read_file


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


@pytest.mark.parametrize("typed", ["1.4310", "NO", "no", "12:30", "7.90", "0x1F", "1e3", "~", "2026-01-31", "off"])
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


@pytest.mark.parametrize(("content", "expected"), [
    ("a: 1\na: 2\n", "x.yaml:2:1: a stands here twice; keep one of them"),
    ("a: &x 1\nb: *x\n", "x.yaml:1:4: uses an alias (`*name`); write the value out"),
    ("a:\n\tb: 1\n", "x.yaml:2:1: holds a tab; use spaces"),
    ("a: 1\n---\nb: 2\n", "x.yaml:2:1: starts a second document (`---`); one record a file"),
    (b"a: caf\xe9\n", "x.yaml:1:7: byte 0xe9 is not UTF-8; save the file as UTF-8"),
    ("a: !!python/object:os.system x\n", "x.yaml:1:4: has the tag 'python/object:os.system'; quote the text"),
    ("a: b\x07c\n", "x.yaml:1:5: holds the invisible character U+0007; delete it"),
    ("a: b\u202ec\n", "x.yaml:1:5: holds the invisible character U+202E; delete it"),
    ("", "x.yaml: is empty; write a record or delete the file"),
    ("- a\n- b\n", "x.yaml:1:1: is not a list of `key: value` lines; start with `name: ...`"),
    ("a: b: c\n", "x.yaml:1:5: has a second `: ` in one line; put quotes around the text"),
    ("a: [1, 2\nb: 3\n", "x.yaml:2:2: cannot be read: did not find expected ',' or ']'; check indentation, colons and quotes"),
    ("? [a, b]\n: 1\n", "x.yaml:1:3: a key must be one word; quote braces and brackets in text"),
])
def test_each_fault_of_form_is_one_clear_line(tmp_path, content, expected):
    assert refused(tmp_path, content) == [expected]


def test_a_huge_file_is_refused_unread(tmp_path):
    path = tmp_path / "x.yaml"
    with path.open("wb") as file:
        file.truncate(50 * 1024 * 1024)
    with pytest.raises(Refused) as caught:
        read_file(tmp_path, path)
    assert [str(c) for c in caught.value.complaints] == [f"x.yaml: is 51200 KB long; a record may have {LARGEST_FILE // 1024} KB"]


@pytest.mark.parametrize("text", ["a: " + "[" * 5000, "a: " + "{a: " * 300 + "1" + "}" * 300,
                                  "".join(" " * i + "a:\n" for i in range(200)), "a: " + "[" * 100_000 + "]" * 100_000])
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
    assert sorted(str(c) for c in complaints) == ["k/sub: is a link; put the folder itself here", "k/x.yaml: is a link; put the file itself here"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes among its files")
def test_a_pipe_is_refused_unread(tmp_path):
    os.mkfifo(tmp_path / "x.yaml")
    with pytest.raises(Refused) as caught:
        read_file(tmp_path, tmp_path / "x.yaml")
    assert [str(c) for c in caught.value.complaints] == ["x.yaml: is not a plain file; put a plain file here"]


def test_a_wrong_ending_is_named(tmp_path):
    (tmp_path / "x.yml").write_text("a: 1\n")
    _, complaints = list_files(tmp_path, tmp_path)
    assert [str(c) for c in complaints] == ["x.yml: has the wrong ending; rename it to end in .yaml"]
