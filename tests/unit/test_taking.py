"""Figures from a table: what is shown, what is written, what is refused; no other letter of a
record changes."""

import io
import random
import zipfile

import pytest
import yaml

from generator import cli
from generator.checks.rules import check
from generator.export import sheets
from generator.records import inserting, writing
from generator.records.complaints import Lacking, NotDone
from generator.records.inserting import Added, with_figures
from generator.records.loading import load
from generator.records.reading import read_text
from generator.upkeep.sheet import SheetFailed, read_sheet
from generator.upkeep.take import KNOWN, RowsRefused, in_words, plan, write
from tests.conftest import ROOT

HEAD = "material,state,property,kind,low,high,unit,over_from,over_to,source,note\n"
STEEL = "knowledge/alloys/test-steel.yaml"


def table(folder, *rows, head=HEAD, name="t.csv"):
    path = folder / name
    path.write_text(head + "".join(f"{row}\n" for row in rows), encoding="utf-8")
    return path


def take(root, *rows, head=HEAD, layer=None):
    knowledge, complaints = load(root, [layer] if layer else [])
    assert complaints == []
    plans = plan(root, knowledge, table(root, *rows, head=head), layer)
    write(root, plans)
    return in_words(root, plans, knowledge)


def refused(root, *rows, head=HEAD) -> list[str]:
    before = {p: p.read_bytes() for p in (root / "knowledge").rglob("*.yaml")}
    with pytest.raises(RowsRefused) as caught:
        take(root, *rows, head=head)
    assert before == {p: p.read_bytes() for p in (root / "knowledge").rglob("*.yaml")}
    return caught.value.lines


def test_a_figure_is_added_changed_or_there_already(small):
    before = (small / STEEL).read_text()
    said = take(
        small,
        "test-steel,,density,typical,7.98,,g/cm3,,,test-standard,",
        "test-steel,,density,typical,8.02,,g/cm3,,,test-sheet,",
        "test-steel,annealed,hardness,range,150,180,HV,,,test-standard,a sheet of 1 mm",
        "test-steel,annealed,tensile-strength,at_least,530,,MPa,,,test-standard,",
    )
    assert said == [
        STEEL,
        "  row 4: adds hardness, annealed: 150 to 180 HV (test-standard)",
        "  row 5: adds tensile-strength, annealed: at least 530 MPa (test-standard)",
        "  row 3: changes density: 8.0 g/cm3 (test-sheet) to 8.02 g/cm3 (test-sheet)",
        "2 added, 1 changed, in 1 record; 1 there already.",
    ]
    assert (small / STEEL).read_text() == before.replace(
        "{typical: 8.0, source: test-sheet}", "{typical: 8.02, source: test-sheet}"
    ).replace(
        "unit: HV, source: test-sheet}]",
        "unit: HV, source: test-sheet}, {range: [150, 180], unit: HV, source: test-standard, note:"
        ' "a sheet of 1 mm"}]',
    ).replace(
        "proof-strength: [{at_least: 200, source: test-standard}]\n",
        "proof-strength: [{at_least: 200, source: test-standard}]\n"
        "      tensile-strength: [{at_least: 530, source: test-standard}]\n",
    )
    assert check(small)[1] == []


FAULTY = {  # row -> what must be said; written before the answers were looked at
    "test-stel,,density,typical,8,,g/cm3,,,test-sheet,": (
        "column A (material): there is no material 'test-stel'; did you mean test-steel?"
    ),
    "test-steel,anealed,hardness,typical,150,,HV,,,test-sheet,": (
        "column B (state): test-steel has no state 'anealed'; did you mean annealed?"
    ),
    "test-steel,,densty,typical,8,,g/cm3,,,test-sheet,": (
        "column C (property): there is no property 'densty'; did you mean density?"
    ),
    "test-steel,,density,typicl,8,,g/cm3,,,test-sheet,": (
        "column D (kind): there is no kind 'typicl'; did you mean typical?"
    ),
    'test-steel,,density,typical,"7,98",,g/cm3,,,test-sheet,': (
        "column E (low): low: '7,98' is not a number; write the decimal point as a point"
    ),
    "test-steel,,density,typical,,,g/cm3,,,test-sheet,": (
        "column E (low): typical needs low; fill it in"
    ),
    "test-steel,,density,range,7.9,,g/cm3,,,test-sheet,": (
        "column F (high): range needs high; fill it in"
    ),
    "test-steel,,density,range,8.1,7.9,g/cm3,,,test-sheet,": (
        "range runs backwards: 8.1 is not below 7.9"
    ),
    "test-steel,,density,typical,7.9,8.1,g/cm3,,,test-sheet,": (
        "column F (high): a typical value has one number; write kind range, or empty high"
    ),
    "test-steel,,density,at_most,8,,g/cm3,,,test-sheet,": (
        "column F (high): at_most needs high; fill it in"
    ),
    "test-steel,,density,typical,8,,kg,,,test-sheet,": (
        "column G (unit): density is not measured in 'kg'; write g/cm3"
    ),
    "test-steel,annealed,hardness,typical,150,,,,,test-sheet,": (
        "column G (unit): hardness needs a unit; write HV or HK"
    ),
    "test-steel,,expansion,typical,16,,10^-6/K,20,,test-sheet,": (
        "column H (over_from): a span needs both ends; fill in over_from and over_to"
    ),
    "test-steel,,density,typical,8,,g/cm3,,,test-shet,": (
        "column J (source): there is no source 'test-shet'; did you mean test-sheet?"
    ),
    "test-steel,,density,typical,8,,g/cm3,,,,": (
        "column J (source): source is empty; fill it in, or delete the row"
    ),
    "test-steel,,density,typical,=1+7,,g/cm3,,,test-sheet,": (
        "column E (low): '=1+7' is a formula; paste its value"
    ),
    "test-steel,,density,typical,8,,g/cm3,,,test-sheet,a\u200bb": (
        "column K (note): holds the invisible character U+200B; delete it"
    ),
    "test-steel,,density,typical,79.8,,g/cm3,,,memory,": (
        "density: 79.8 is outside 0.8 to 25 g/cm3; check the decimal point and the unit"
    ),
    "test-brass,,elastic-modulus,typical,15,,GPa,,,test-sheet,": (
        "elastic modulus 15 is not that of the family, 90 to 125"
    ),
    "test-steel,,expansion,typical,16.5,,10^-6/K,,,test-sheet,": (
        "an expansion without its span of temperature; add over: [20, 100]"
    ),
    "test-steel,annealed,density,typical,8,,g/cm3,,,test-sheet,": (
        "density does not depend on the state; move it to figures"
    ),
    "test-steel,,density,typical,8.01,,g/cm3,,,practice,": (
        "a figure cannot rest on `practice`; cite a source or write memory"
    ),
}  # fmt: skip


@pytest.mark.parametrize("row", FAULTY)
def test_a_row_that_cannot_be_taken_is_named_with_row_column_and_cure(small, row):
    (line,) = refused(small, "test-brass,,density,typical,8.52,,g/cm3,,,test-sheet,", row)
    assert line.startswith("t.csv, row 3")
    assert FAULTY[row] in line


def test_a_row_typed_twice_and_two_values_for_one_figure(small):
    row = "test-brass,,density,typical,8.52,,g/cm3,,,test-sheet,"
    assert refused(small, row, row) == [
        "t.csv, row 3, column A (material): says the same as row 2; delete one of them"
    ]
    one = "test-steel,,density,typical,{},,g/cm3,,,test-sheet,"
    (line,) = refused(small, one.format("8.1"), one.format("8.2"))
    assert line.endswith("two rows change one figure; delete one of them")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty"),
        ("materal,property\n", "there is no column 'materal'; did you mean material?"),
        ("material,property,kind\nx,y,z\n", "the column source is missing; add it"),
        ("material,material\n", "material stands twice"),
        (HEAD + "a,b,c,d,e,f,g,h,i,j,k,l\n", "row 2: more cells than columns"),
        (HEAD + 'a,"b\n', "cannot be read"),
    ],
)
def test_a_table_that_is_none(tmp_path, text, said):
    path = tmp_path / "t.csv"
    path.write_text(text)
    with pytest.raises(SheetFailed, match=said.replace("?", r"\?")):
        read_sheet(path, KNOWN, ("material", "property", "kind", "source"))


def test_semicolons_tabs_windows_lines_and_a_mark_of_the_encoding(small):
    for separator in ";\t":
        rows = [HEAD.strip(), "test-brass,,density,typical,8.54,,g/cm3,,,test-sheet,"]
        text = "\r\n".join(rows).replace(",", separator)
        (small / "t.csv").write_bytes(b"\xef\xbb\xbf" + text.encode())
        (found,) = plan(small, load(small)[0], small / "t.csv")
        assert found.added[0][1].figure == {"typical": "8.54", "source": "test-sheet"}


def test_letters_of_an_old_machine_are_named(tmp_path):
    (tmp_path / "t.csv").write_bytes("material,caf\xe9".encode("latin-1"))
    with pytest.raises(SheetFailed, match="save it as CSV UTF-8"):
        read_sheet(tmp_path / "t.csv", KNOWN, ())


def workbook(path, *rows):
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "figures"
    for row in rows:
        sheet.append(row)
    for cell in sheet["E"][1:]:
        cell.number_format = "0.00"
    book.save(path)


def test_a_workbook_keeps_the_digits_of_its_cells(small):
    """7.90 in a cell of two places is 7.90, not 7.9."""
    row = ["test-brass", None, "density", "typical", 8.5, None, "g/cm3", None, None, "test-sheet"]
    workbook(small / "t.xlsx", HEAD.strip().split(",")[:10], row)
    (found,) = plan(small, load(small)[0], small / "t.xlsx")
    assert found.added[0][1].figure == {"typical": "8.50", "source": "test-sheet"}


def test_a_formula_in_a_workbook_is_not_worked_out(small):
    row = [
        "test-brass",
        None,
        "density",
        "typical",
        "=1+7",
        None,
        "g/cm3",
        None,
        None,
        "test-sheet",
    ]
    workbook(small / "t.xlsx", HEAD.strip().split(",")[:10], row)
    with pytest.raises(RowsRefused) as caught:
        plan(small, load(small)[0], small / "t.xlsx")
    assert caught.value.lines == [
        "t.xlsx, row 2, column E (low): '=1+7' is a formula; paste its value"
    ]


def repacked(path, change):
    """The workbook with its parts changed by name."""
    with zipfile.ZipFile(path) as old:
        parts = {name: old.read(name) for name in old.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as new:
        for name, octets in parts.items():
            new.writestr(name, change(name, octets))


ENTITY = b'<!DOCTYPE x [<!ENTITY a "b">]>'
HOSTILE = {
    "entities": lambda n, o: o.replace(b"<worksheet", ENTITY + b"<worksheet", 1),
    "bomb": lambda n, o: o + b" " * (80 << 20) if "sheet1" in n else o,
    "torn": lambda n, o: o[: len(o) // 2],
    "empty": lambda n, o: b"",
    "another": lambda n, o: b"<html/>" if "sheet" in n else o,
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_workbook_is_refused_in_a_line(tmp_path, name):
    workbook(tmp_path / "t.xlsx", ["material"], ["x"])
    repacked(tmp_path / "t.xlsx", HOSTILE[name])
    with pytest.raises(SheetFailed) as caught:
        read_sheet(tmp_path / "t.xlsx", KNOWN, ("material",))
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("many", [400, pytest.param(2000, marks=pytest.mark.slow)])
def test_damaged_tables_never_give_a_traceback(tmp_path, many):
    """Letters exchanged, cut out and put in."""
    workbook(tmp_path / "t.xlsx", HEAD.strip().split(","), ["a"] * 11)
    packed = (tmp_path / "t.xlsx").read_bytes()
    plain = (HEAD + 'test-steel,,density,typical,8,,g/cm3,,,"x",n\n').encode()
    dice = random.Random(20)
    for n in range(many):
        octets = bytearray(packed if n % 8 == 0 else plain)
        for _ in range(dice.randrange(1, 9)):
            at = dice.randrange(len(octets))
            octets[at : at + dice.randrange(3)] = dice.randbytes(dice.randrange(3))
        path = tmp_path / ("d.xlsx" if n % 8 == 0 else "d.csv")
        path.write_bytes(octets)
        try:
            read_sheet(path, KNOWN, ("material",))
        except SheetFailed as said:
            assert str(said).isprintable()


@pytest.fixture(scope="module")
def exported(knowledge):
    sheet = next(s for s in sheets.SHEETS if s.name == "figures")
    out = io.StringIO()
    rows = sheets.plain_rows(sheet, knowledge, {})
    assert len(rows) > 1000
    sheets.write_csv(out, sheet, rows)
    return out.getvalue()


@pytest.mark.slow
def test_our_own_export_taken_back_changes_nothing(tmp_path, knowledge, exported):
    (tmp_path / "figures.csv").write_text(exported, encoding="utf-8")
    plans = plan(ROOT, knowledge, tmp_path / "figures.csv")
    said = in_words(ROOT, plans, knowledge)
    assert said == [
        f"0 added, 0 changed, in 0 records; {exported.count(chr(10)) - 1} there already."
    ]


@pytest.mark.slow
def test_in_every_shipped_record_only_the_lines_of_the_figures_change(knowledge):
    """A figure for a property that is there and for one that is not, in every state."""
    figure = {"typical": "1.5", "source": "memory", "note": 'a "note", with: signs'}
    for key, record in knowledge.materials.items():
        path = ROOT / knowledge.raw["material", key].file
        text = path.read_text(encoding="utf-8")
        before = read_text("x", text).data
        added = []
        for state in [None, *record.states]:
            home = before if state is None else before["states"][state]
            props = list(home.get("figures", {}))[:1] + ["saturation"]
            added += [Added(state, prop, figure) for prop in dict.fromkeys(props)]
        new = with_figures(text, added)
        after = read_text("x", new).data
        for state, prop, _ in added:
            home = after if state is None else after["states"][state]
            assert home["figures"][prop].pop() == figure
            if not home["figures"][prop]:
                del home["figures"][prop]
            if not home["figures"]:
                del home["figures"]
        assert after == before, key
        whole = set(new.splitlines())
        lost = [line for line in text.splitlines() if line not in whole]
        assert all(line.rstrip("]}") in new for line in lost), key  # lists in one line grew
        assert len(lost) <= len(added), key


@pytest.mark.parametrize(
    ("text", "state", "expected"),
    [
        ("name: x\nfigures: {}\n", None, "name: x\nfigures: {density: [F]}\n"),
        ("name: x\n", None, "name: x\nfigures:\n  density:\n    - F\n"),
        (
            "states:\n  a: {name: a}  # remark\nname: x\n",
            "a",
            "states:\n  a: {name: a, figures: {density: [F]}}  # remark\nname: x\n",
        ),
        (
            "figures:\n  density:\n  - {typical: 1}   # one\n  # two\n\nname: x\n",
            None,
            "figures:\n  density:\n  - {typical: 1}   # one\n  - F\n  # two\n\nname: x\n",
        ),
        (
            "figures:\n    density: [ {typical: 1} ,\n       {typical: 2}\n    ] # end\nname: x\n",
            None,
            (
                "figures:\n    density: [ {typical: 1} ,\n       {typical: 2}, F\n    ] #"
                " end\nname: x\n"
            ),
        ),
        (
            "figures:\n  density:\n    - typical: 1\n      source: y   # end\nname: x\n",
            None,
            "figures:\n  density:\n    - typical: 1\n      source: y   # end\n    - F\nname: x\n",
        ),
        (
            "figures: # all\n  hardness: [{typical: 1}] # é\n# below\nname: x\n",
            None,
            "figures: # all\n  hardness: [{typical: 1}] # é\n  density: [F]\n# below\nname: x\n",
        ),
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_every_way_of_writing_keeps_its_letters(text, state, expected, end):
    new = with_figures(text.replace("\n", end), [Added(state, "density", {"typical": "7.98"})])
    assert new == expected.replace("F", "{typical: 7.98}").replace("\n", end)


def test_a_record_that_ends_without_a_line_end():
    new = with_figures("name: x", [Added(None, "density", {"typical": "7.98"})])
    assert new == "name: x\nfigures:\n  density:\n    - {typical: 7.98}"


def test_a_full_disk_half_way_leaves_every_record_as_it_was(small, monkeypatch):
    before = {p: p.read_bytes() for p in (small / "knowledge").rglob("*.yaml")}
    values = {"test-brass": "8.6", "test-steel": "8.01"}
    rows = [f"{m},,density,typical,{v},,g/cm3,,,memory," for m, v in values.items()]
    knowledge = load(small)[0]
    plans = plan(small, knowledge, table(small, *rows))
    real, calls = writing.os.fsync, []

    def full(number):
        calls.append(number)
        if len(calls) == 2:
            raise OSError(28, "No space left on device")
        real(number)

    monkeypatch.setattr(writing.os, "fsync", full)
    with pytest.raises(Lacking, match="No space left on device"):
        write(small, plans)
    assert before == {p: p.read_bytes() for p in (small / "knowledge").rglob("*.yaml")}


def test_a_record_saved_meanwhile_is_not_overwritten(small):
    plans = plan(
        small, load(small)[0], table(small, "test-brass,,density,typical,8.6,,g/cm3,,,memory,")
    )
    path = small / "knowledge/alloys/test-brass.yaml"
    path.write_text(path.read_text() + "# mine\n")
    with pytest.raises(NotDone, match="was saved meanwhile"):
        write(small, plans)
    assert path.read_text().endswith("# mine\n")


def test_into_a_layer_that_has_no_such_record_yet(small, tmp_path):
    layer = tmp_path / "layer"
    layer.mkdir()
    rows = (
        "test-steel,,density,typical,7.99,,g/cm3,,,test-sheet,",
        "test-steel,annealed,hardness,typical,160,,HV,,,test-sheet,our own",
    )
    take(small, *rows, layer=layer)
    path = layer / "alloys" / "test-steel.yaml"
    assert yaml.load(path.read_text(), Loader=yaml.CSafeLoader) == {
        "figures": {"density": [{"typical": 7.99, "source": "test-sheet"}]},
        "states": {
            "annealed": {
                "figures": {
                    "hardness": [
                        {"typical": 160, "unit": "HV", "source": "test-sheet", "note": "our own"}
                    ]
                }
            }
        },
    }
    said = take(small, *rows, layer=layer)
    assert said[-1] == "0 added, 0 changed, in 0 records; 2 there already."
    take(small, rows[0].replace("7.99", "7.97"), layer=layer)
    assert "{typical: 7.97, source: test-sheet}" in path.read_text()
    assert check(small, [layer])[1] == []


def test_the_verb_only_shows_until_it_is_told_to_write(small, monkeypatch, capsys):
    monkeypatch.setattr(cli, "ROOT", small)
    path = table(small, "test-brass,,density,typical,8.52,,g/cm3,,,test-sheet,")
    before = (small / "knowledge/alloys/test-brass.yaml").read_bytes()
    assert cli.main(["take", str(path)]) == 0
    assert "with --write it is" in capsys.readouterr().out
    assert (small / "knowledge/alloys/test-brass.yaml").read_bytes() == before
    assert cli.main(["take", str(path), "--write"]) == 0
    assert (
        b"{typical: 8.52, source: test-sheet}"
        in (small / "knowledge/alloys/test-brass.yaml").read_bytes()
    )
    table(small, "test-brass,,density,typical,x,,g/cm3,,,test-sheet,")
    assert cli.main(["take", str(path)]) == 1
    assert cli.main(["take", str(small / "nowhere.csv")]) == 2


def test_a_figure_in_braces_is_what_a_record_says():
    assert (
        inserting.flow({"range": ["7.90", "8.10"], "unit": "%B1112", "over": ["20", "100"]})
        == '{range: [7.90, 8.10], unit: "%B1112", over: [20, 100]}'
    )
