"""What somebody who is no programmer does to a record: each mistake is one line with the place
where it happened, the fault, and the cure."""

import re

import pytest

from generator import cli
from generator.checks.rules import check
from generator.commands import running
from generator.records.complaints import Complaint, Place, Refused
from tests.unit.test_reading import read, refused

MISTAKES = {  # what was typed, the line and column to look at, what is said
    "a quote is forgotten at the end": (
        'name: "Brass\nsummary: "Soft and yellow."\nfamily: brass\n',
        (1, 7),
        "a quote is opened and not closed in this line; close it",
    ),
    "a quote is forgotten at the end of the file": (
        'name: x\nsummary: "Soft.\n',
        (2, 10),
        "a quote is opened and never closed; close it",
    ),
    "a colon is forgotten": (
        "name: Brass\nsummary Soft and yellow.\nfamily: brass\n",
        (2, 1),
        (
            "a line without a colon; write `key: value`, or indent it when it goes on from the line"
            " above"
        ),
    ),
    "a brace is forgotten": (
        "density:\n  - {typical: 8.4, source: memory\nfamily: brass\n",
        (2, 5),
        "the bracket { is not closed; close it",
    ),
    "a bracket is forgotten": (
        "owner: [One., Two.\nfamily: brass\nname: x\n",
        (1, 8),
        "the bracket [ is not closed; close it",
    ),
    "a remark sign in a sentence": (
        "summary: Use the #2 drill.\nname: Drill with #3 only.\n",
        (1, 10),
        "the text ends before #: 'Use the'; quote the text, or put two spaces before a remark",
    ),
    "a comma in an unquoted sentence of a list": (
        "steps: [Clean it, then dry it., Oil it.]\n",
        (1, 8),
        (
            "the comma before 'then dry it.' makes two entries of one sentence; quote the sentence,"
            " or write each entry in a line that starts with `- `"
        ),
    ),
    "curly quotes": (
        "name: \u201cBrass\u201d\n",
        (1, 7),
        "stands in curly quotes; delete them, or type straight ones",
    ),
}


@pytest.mark.parametrize("name", MISTAKES)
def test_the_line_where_it_happened_is_named(tmp_path, name):
    typed, (line, column), said = MISTAKES[name]
    assert refused(tmp_path, typed)[0] == f"x.yaml:{line}:{column}: {said}"


@pytest.mark.parametrize(
    "typed",
    [
        "name: Brass  # a remark\n",
        'name: "the #2 drill"\n',
        "other: 'x' # y\n",
        "also_called: [Bronze, gun metal]\n",
        "steps: [Clean it., Dry it., 20 minutes are enough.]\n",
        "summary: He calls it \u201csoft\u201d brass\n",
        "summary: caf\u00e9, 20\u00a0\u00b0C, \u00bd, \u03bc, \u4e2d\n",
    ],
)
def test_what_is_meant_so_passes(tmp_path, typed):
    read(tmp_path, typed)


@pytest.mark.parametrize(
    "number",
    [0x00AD, 0x200B, 0x2028, 0x2029, 0x2060, 0xE000, 0xF8FF, 0xFFFE, 0xFDD0, 0x1FFFE, 0x10FFFD,
     0x1B, 0x07, 0x7F, 0x85, 0x202E, 0x2066, 0xFEFF, 0xE0041, 0xFE0F, 0x115F, 0x3164],
)  # fmt: skip
def test_an_invisible_sign_is_refused_however_it_is_written(tmp_path, number):
    """The categories Cc, Cf, Cs, Co, Cn, Zl and Zp of the Unicode standard, and its blank
    letters."""
    escape = f'"a\\U{number:08X}b"'
    (said,) = refused(tmp_path, f"name: {escape}\n")
    assert re.fullmatch(
        rf"x.yaml:1:7: .* holds the invisible character U\+{number:04X}, written as an escape; "
        "delete it",
        said,
    )
    assert said.isprintable()
    typed = refused(tmp_path, f"name: a{chr(number)}b\n")
    assert any(f"U+{number:04X}" in line or "cannot be read" in line for line in typed)


@pytest.mark.parametrize(
    ("typed", "cure"),
    [
        ("7.98\u00a0", "delete the odd spaces and write the digits 0 to 9"),
        ("7\u202f980", "delete the odd spaces and write the digits 0 to 9"),
        ("\u0667.9", "delete the odd spaces and write the digits 0 to 9"),
        ("\u201d7.98", "delete the curly quotes"),
        ("7,98", "write the decimal point as a point"),
    ],
)
def test_a_number_is_digits_and_a_point(small, typed, cure):
    path = small / "knowledge" / "alloys" / "test-steel.yaml"
    path.write_text(path.read_text().replace("typical: 7.98", f'typical: "{typed}"'))
    (said,) = [str(c) for c in check(small)[1]]
    assert said.startswith("knowledge/alloys/test-steel.yaml:13:")
    assert "is not a number" in said
    assert said.endswith(cure)


@pytest.mark.parametrize("name", ["brass-x.yaml.txt", "brass-x.txt", "Copy of brass.doc"])
def test_a_file_that_nobody_reads_is_named(small, name):
    (small / "knowledge" / "alloys" / name).write_text("name: x\n")
    assert [str(c) for c in check(small)[1]] == [
        f"knowledge/alloys/{name}: is not read; rename it to end in .yaml, or move it out of this"
        " folder"
    ]


def test_a_knowledge_folder_that_is_a_link_is_one_fault(small, monkeypatch, capsys):
    (small / "knowledge").rename(small / "elsewhere")
    (small / "knowledge").symlink_to(small / "elsewhere")
    with pytest.raises(Refused) as caught:
        check(small)
    assert [str(c) for c in caught.value.complaints] == [
        "knowledge: is a link; put the folder itself here"
    ]
    monkeypatch.setattr(cli, "ROOT", small)
    assert cli.main(["check"]) == 1


def test_a_long_quotation_is_cut_and_a_terminal_gets_no_commands():
    said = str(Complaint(Place("x\x1b[2J.yaml"), "9" * 100_000 + "\x1b is wrong", "mend it"))
    assert len(said) < 500
    assert said.isprintable()
    assert said.endswith("is wrong; mend it")


def test_a_flood_of_faults_is_cut(capsys):
    faults = [Complaint(Place("x.yaml", n), "is wrong") for n in range(1, 5000)]
    assert running.print_complaints(faults) == 1
    out, err = capsys.readouterr()
    assert len(out.splitlines()) == running.SHOWN + 1
    assert out.splitlines()[-1] == f"... and {4999 - running.SHOWN} more; mend these first"
    assert "4999 faults" in err
