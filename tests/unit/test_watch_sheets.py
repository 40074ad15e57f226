"""Saved sheets of watches: read, pooled, written into a workshop's layer, and what they change.

Pieces, values and workshops are invented. The pooled values are worked out by hand after JCGM
100:2008 (4.3.3 halves a plus-or-minus of twice the standard uncertainty, 5.1.2 propagates the
weighted mean, 6.2.1 gives the interval).
"""

import html
import json
import os
import random
import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import jsonschema
import pytest

from generator import cli
from generator.checks.rules import check
from generator.numbers.pooling import pooled
from generator.numbers.units import unit_table
from generator.numbers.values import Values
from generator.records import saved_sheets
from generator.records.complaints import Refused
from generator.records.loading import load
from generator.records.measurements import Measurement
from generator.site.pages.material import material_page
from generator.site.pages.part import part_page
from generator.upkeep import watch_sheets
from generator.upkeep.said import site_of
from generator.upkeep.watch_sheets import plan, read_saved, write
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import NO, OFFERED, Ladder
from tests.conftest import ROOT, shipped

STEEL, STATE, PART = "stainless-420-1-4028", "tempered-hard", "balance-staff"
VALUES = (470, 476, 482, 474, 480, 478, 472, 484, 476, 478)  # HV, invented; their mean is 477
SCREW = {"part": PART, "property": "hardness", "unit": "HV"}
TRIES = int(os.environ.get("BENCH_SHEETS", "100"))


def measured(value, doubt) -> Measurement:
    return Measurement(
        value=str(value), doubt=str(doubt), on=date(2026, 11, 20), part="x", sheet="x"
    )


def sheet(value="700", doubt="20", **more) -> dict:
    """A saved sheet with one hardness."""
    row = {**SCREW, "value": value, "doubt": doubt, "readings": "3",
           "instrument": "hardness tester", "day": "2026-11-20", "by": "watchmaker"}  # fmt: skip
    made = {
        "sheet": 1, "edition": "2026-11-25", "watch": "gold-pocket-watch-cut-balance",
        "job": "invented", "day": "2026-11-21", "owner": ["washing"], "water": "none",
        "parts": {PART: {"material": STEEL, "state": STATE, "coating": ""}},
        "measured": [row], "note": "",
    }  # fmt: skip
    return {**made, **more}


def save(folder: Path, name: str, content: dict | str | bytes) -> Path:
    folder.mkdir(exist_ok=True)
    path = folder / f"{name}.json"
    if isinstance(content, dict):
        content = json.dumps(content, indent=1)
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


@pytest.fixture
def layer(tmp_path) -> Path:
    (tmp_path / "our-layer").mkdir()
    return tmp_path / "our-layer"


@pytest.fixture
def untried(monkeypatch):
    """Nothing is checked before it is written: these tests check afterwards."""
    monkeypatch.setattr(watch_sheets, "_tried", lambda *_: [])


@pytest.fixture
def one_table(monkeypatch, knowledge):
    """The table of units, which a plan asks for anew, made once for thousands of plans."""
    table = unit_table(knowledge.words("units"), knowledge.words("asked_units"))
    monkeypatch.setattr(watch_sheets, "unit_table", lambda *_: table)


def ten(folder: Path, values=VALUES) -> Path:
    for i, value in enumerate(values):
        save(folder, f"piece-{i}", sheet(str(value)))
    return folder


def words(body: str) -> str:
    return " ".join(html.unescape(re.sub("<[^>]+>", " ", body)).split()).replace(" :", ":")


@pytest.mark.parametrize(
    ("given", "mean", "uncertainty", "ends", "widened"),
    [
        # one value: 700 +- 20 is 680 to 720
        ([(700, 20)], "700", "10", ("680", "720"), "1"),
        # (600/100 + 620/400) / (1/100 + 1/400) = 604; 1/sqrt(0.0125) = 8.944; +- 17.9
        ([(600, 20), (620, 40)], "604", "8.944", ("586", "622"), "1"),
        # 620; scatter (20/5)^2 twice = 32 over 1: widened 5.657 times, 5/sqrt(2) becomes 20
        ([(600, 10), (640, 10)], "620", "20", ("580", "660"), "5.657"),
        # ten alike: the mean 477, 10/sqrt(10) = 3.162; +- 6.3; read in whole units
        ([(v, 20) for v in VALUES], "477", "3.162", ("470", "484"), "1"),
    ],
)
def test_measurements_are_pooled_as_the_guide_has_it(given, mean, uncertainty, ends, widened):
    found = pooled([measured(*each) for each in given])
    assert found.mean == Decimal(mean)
    assert round(found.uncertainty, 3) == Decimal(uncertainty)
    assert (found.low, found.high) == tuple(map(Decimal, ends))
    assert round(found.widened, 3) == Decimal(widened)


@pytest.mark.slow
def test_ten_measured_pieces_change_a_verdict_and_the_page_says_why(
    tmp_path, layer, knowledge, untried
):
    """The base has 513 to 535 HV for this steel, above the 500 HV that a staff must have; ten
    invented staffs come to 477."""
    before = shipped().ladder.judgement(PART, STEEL, STATE)
    assert before.rung in OFFERED
    write(plan(ROOT, knowledge, ten(tmp_path / "sheets"), layer))
    now, complaints = check(ROOT, [layer])
    assert [str(c) for c in complaints] == []
    after = Ladder(Judge(now, Values(now))).judgement(PART, STEEL, STATE)
    assert after.rung == NO
    site = site_of(ROOT, now)
    page = words(part_page(site, PART).body)
    name = now.materials[STEEL].name
    why = "hardness at least 500 HV: found 470 to 484 HV \u25c6 of this workshop"
    assert f"{name} \u25c6 (hardened, tempered at 150 to 200 \u00b0C): {why}" in page
    assert f"{why} (the base has 513 to 535 HV)" in page
    page = words(material_page(site, STEEL).body)
    assert "Pooled from 10 measurements on 10 sheets: 477 with a standard uncertainty of" in page
    assert "484 \u00b1 20 HV, 3 readings, hardness tester, by the watchmaker, 2026-11-20" in page
    assert "150 to 200 \u00b0C 50 HRC" in page  # the shipped figure stays beside it


def test_sheets_read_again_change_nothing_and_new_ones_are_added(
    tmp_path, layer, knowledge, untried
):
    sheets = ten(tmp_path / "sheets", VALUES[:2])
    write(plan(ROOT, knowledge, sheets, layer))
    first = {p: p.read_bytes() for p in layer.rglob("*.yaml")}
    assert plan(ROOT, knowledge, sheets, layer).files == []
    more = tmp_path / "more"
    save(more, "another", sheet("490", "20"))
    write(plan(ROOT, knowledge, more, layer))
    record = layer / "alloys" / f"{STEEL}.yaml"
    assert record.read_bytes() != first[record]
    found = load(ROOT, [layer])[0].materials[STEEL].states[STATE].figures["hardness"][-1]
    assert [str(m.value) for m in found.measured] == ["490", "470", "476"]
    save(more, "another", sheet("480", "20"))  # mended on the sheet
    write(plan(ROOT, knowledge, more, layer))
    found = load(ROOT, [layer])[0].materials[STEEL].states[STATE].figures["hardness"][-1]
    assert [str(m.value) for m in found.measured] == ["480", "470", "476"]


@pytest.mark.slow
def test_two_workshops_stand_side_by_side_with_their_names(tmp_path, knowledge, untried):
    layers = []
    for name, value in (("north-bench", "470"), ("south-bench", "530")):
        layer = tmp_path / name
        layer.mkdir()
        save(tmp_path / f"{name}-sheets", "one", sheet(value))
        write(plan(ROOT, knowledge, tmp_path / f"{name}-sheets", layer))
        layers.append(layer)
    both, complaints = load(ROOT, layers)
    assert [str(c) for c in complaints] == []
    quantity = Values(both).of(STEEL, "hardness", STATE)
    assert (quantity.low, quantity.high) == (450, 550)  # both, with what they disagree by
    page = words(material_page(site_of(ROOT, both), STEEL).body)
    assert "Workshop north-bench" in page
    assert "Workshop south-bench" in page


def test_what_a_lead_wrote_in_the_layer_stays_as_typed(tmp_path, layer, knowledge, untried):
    record = layer / "alloys" / f"{STEEL}.yaml"
    record.parent.mkdir()
    typed = "# our own\nnotes:\n  - 'Lot 7  is hard.'\nstates:\n  tempered-hard:\n    figures: {}\n"
    record.write_text(typed.replace("    figures: {}\n", "    magnetism: strong\n"))
    save(tmp_path / "sheets", "one", sheet("500"))
    write(plan(ROOT, knowledge, tmp_path / "sheets", layer))
    assert record.read_text().startswith("# our own\nnotes:\n  - 'Lot 7  is hard.'\nstates:\n")
    assert "magnetism: strong" in record.read_text()


def row(**more) -> dict:
    return {"measured": [{**sheet()["measured"][0], **more}]}


PARTS = {"parts": {PART: {"material": STEEL}}}


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"\xff\xfe", "is not text; open it on the page and save it again"),
        ("{", ":1:2: is damaged: "),
        ("[]", "is not a watch sheet; take it out of this folder"),
        (sheet(sheet=2), "was saved by a newer edition (form 2); use that edition"),
        (sheet(watch="quartz"), ":4:11: there is no kind of watch quartz; did you mean"),
        (sheet(**row(part="balance-stuff")), "has no part balance-stuff; did you mean"),
        (sheet(**row(property="hardnes")), "there is no property hardnes; did you mean hardness"),
        (sheet(**row(unit="HX")), "hardness is not measured in HX; "),
        (sheet(**row(value="hard")), "hard"),
        (sheet(**row(value="70000")), "is outside 1 to 10000 HV; check the decimal point"),
        (sheet(**row(value="600 to 620")), "one value is wanted; type the middle"),
        (sheet(**row(doubt="0")), "plus or minus 0 cannot be; it is above nothing"),
        (sheet(**row(readings="many")), "'many' is not a count; type how many, such as 3"),
        (sheet(**row(day="20.11.2026")), "'20.11.2026' is not a date; write it as 2026-01-31"),
        (sheet(parts={PART: {"material": "stel"}}), "there is no material stel; "),
        (sheet(parts={PART: {"material": STEEL, "state": "hard"}}), "has no state hard; "),
        (sheet(measured="none"), "measured must be a list"),
    ],
)  # fmt: skip
def test_a_bad_sheet_is_named_with_place_fault_and_cure(tmp_path, layer, knowledge, content, said):
    save(tmp_path / "sheets", "good", sheet())
    save(tmp_path / "sheets", "odd", content)
    with pytest.raises(Refused) as refused:
        plan(ROOT, knowledge, tmp_path / "sheets", layer)
    lines = [str(c) for c in refused.value.complaints]
    assert len(lines) == 1
    assert "odd.json" in lines[0]
    assert said in lines[0]
    assert list(layer.iterdir()) == []


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (sheet(**row(property="weight-in-air", unit="g")), "it is of the piece, not of its metal"),
        (sheet(parts={}), "its metal is not known"),
        (sheet(**PARTS), "it depends on the state, which is not known"),
        (sheet(**row(doubt="")), "without plus or minus it has no weight"),
        (
            sheet(parts={PART: {"material": STEEL, "state": STATE, "coating": "nickel-plate"}}),
            "it was taken on plating",
        ),
    ],
)
def test_what_cannot_count_is_passed_over_with_the_reason(tmp_path, layer, knowledge, content, why):
    save(tmp_path / "sheets", "one", content)
    made = plan(ROOT, knowledge, tmp_path / "sheets", layer)
    assert made.files == []
    assert [why in str(c) for c in made.passed] == [True]


@pytest.mark.slow
def test_a_figure_that_is_not_what_its_measurements_come_to_is_a_fault(
    tmp_path, layer, knowledge, untried
):
    save(tmp_path / "sheets", "one", sheet("510"))
    write(plan(ROOT, knowledge, tmp_path / "sheets", layer))
    record = layer / "alloys" / f"{STEEL}.yaml"
    record.write_text(record.read_text().replace("[490, 530]", "[500, 520]"))
    said = [str(c) for c in check(ROOT, [layer])[1]]
    assert any("its measurements come to 490 to 530; write range: [490, 530]" in s for s in said)


@pytest.mark.slow
def test_the_verb_writes_and_says_both_figures(tmp_path, layer, capsys):
    save(tmp_path / "sheets", "one", sheet("510"))
    assert cli.main(["sheets", str(tmp_path / "sheets"), "--layer", str(layer)]) == 0
    said = capsys.readouterr().out
    assert "490 to 530 HV, pooled from 1 measurement; the base has 513" in said
    assert cli.main(["sheets", str(tmp_path / "sheets")]) == 2
    assert "name its folder with --layer" in capsys.readouterr().err


def test_the_published_schema_is_that_of_the_sheet():
    schema = saved_sheets.sheet_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(sheet(), schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(sheet(measured="none"), schema)


ODD = ("", "0", "-1", "1e9", "1e99", "nan", "\u0000", "\u202e", "x" * 500, "7,5", "1/0", None, True,
       [], {}, [[]], {"a": {}}, 10**40, -0.5, "2026-13-01", "../x", "\ud7ff", " ")  # fmt: skip


def damaged(chance: random.Random) -> bytes:
    """A good sheet with a few values replaced, or its text cut, doubled or sprinkled."""
    content = json.loads(json.dumps(sheet(**{"job": "x", **row()})))
    for _ in range(chance.randint(0, 3)):
        home = chance.choice(
            [content, content["measured"], content["parts"], *content["measured"][:1]]
            if isinstance(content.get("measured"), list) and isinstance(content.get("parts"), dict)
            else [content]
        )
        if isinstance(home, dict) and home:
            home[chance.choice([*home, "odd"])] = chance.choice(ODD)
        elif isinstance(home, list):
            home.append(chance.choice(ODD))
    text = bytearray(json.dumps(content).encode())
    for _ in range(chance.choice((0, 0, 0, 1, 3))):
        at = chance.randrange(len(text))
        match chance.randint(0, 3):
            case 0:
                text[at] = chance.randrange(256)
            case 1:
                del text[at:]
                text += b" "
            case 2:
                text[at:at] = text[at : at + 20]
            case 3:
                text[at:at] = b"[" * chance.choice((1, 3000))
    return bytes(text)


def try_out(folder: Path, layer: Path, knowledge, numbers) -> None:
    for number in numbers:
        path = save(folder, "odd", damaged(random.Random(number)))
        try:
            made = plan(ROOT, knowledge, folder, layer)
        except Refused as refused:
            assert all(str(c).count("\n") == 0 and c.fault for c in refused.complaints), number
        else:
            assert isinstance(made.files, list)
        path.unlink()


def test_damaged_sheets_are_answered_without_a_traceback(
    tmp_path, layer, knowledge, untried, one_table
):
    try_out(tmp_path / "sheets", layer, knowledge, range(TRIES))


@pytest.mark.slow
def test_five_thousand_damaged_sheets(tmp_path, layer, knowledge, untried, one_table):
    try_out(tmp_path / "sheets", layer, knowledge, range(5000))


def test_a_sheet_of_an_older_edition_is_read(tmp_path):
    old = sheet(sheet=0)
    assert read_saved(ROOT, save(tmp_path, "old", old))[0].sheet == 1
