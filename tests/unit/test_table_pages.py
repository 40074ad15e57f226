"""What a computed table gives its reader and its script: each row with its figures, what a script
needs to compute against a metal or a volume of the reader's choice, bars, numbers of sources.
Figures of tests/small and tests/full; quotients by hand."""

import json
import re
from html import unescape

import pytest

from generator.site import compare, leaflet, only_have, watch_sheet
from generator.site.pages.table import table_page
from tests.shown import by_section, read


def rows(page) -> list[list[str]]:
    """Each row of a table as read: its metal and its cells."""
    body = page.body.split("<tbody>")[1].split("</tbody>")[0]
    found = re.findall(r"<tr.*?</tr>", body, re.DOTALL)
    return [
        [read(cell)[0] for cell in re.findall(r"<t[hd].*?</t[hd]>", row, re.DOTALL)]
        for row in found
    ]


CHOOSERS = {
    "density-ratio": (["rho", "rho_ref", "/"], "rho rho_ref", "Compare with", "against chosen"),
    "expansion": (
        ["alpha", "alpha_ref", "-"],
        "alpha alpha_ref",
        "Joined to",
        "difference to chosen, ×10⁻⁶/K",
    ),
    "case-mass": (["V", "rho", "*"], "V rho", "Volume, cm³", "mass at this volume, g"),
}


@pytest.mark.parametrize("table", CHOOSERS)
def test_a_table_with_a_choice_tells_its_script_what_to_compute(invented, table):
    """A ratio, a difference and a product; of a volume a number is typed, of a metal its row is
    chosen, and each row has the metal as its name."""
    body = table_page(invented, table).body
    tag = re.search(r'<table class="wide [^>]*>', body)[0]
    told = dict(re.findall(r'data-(\w+)="(.*?)"', tag))
    assert json.loads(unescape(told.pop("program"))) == CHOOSERS[table][0]
    kind = {"kind": "number", "start": "4.0"} if table == "case-mass" else {"kind": "row"}
    names = ("symbols", "choose", "result")
    assert told == dict(zip(names, CHOOSERS[table][1:], strict=True)) | kind
    assert set(re.findall(r'<tr id="(.*?)">', body)) == {"test-steel", "full-steel", "test-brass"}
    first = re.findall(r'<td class="c1"(.*?)>', body)
    assert all("data-base" in cell for cell in first) and body.count("data-base") == len(first)


def test_a_table_without_a_choice_names_no_row(invented):
    body = table_page(invented, "hardness").body
    assert "<tr id=" not in body and "data-base" not in body and "data-program" not in body


def test_the_ends_of_a_figure_are_told_to_the_script(invented):
    """7.98 to 8.0: middle 7.99, three digits as of the more exact source."""
    body = table_page(invented, "density-ratio").body
    steel = re.search(r'<tr id="test-steel">.*?<td (.*?)>', body, re.DOTALL)[1]
    assert dict(re.findall(r'data-(\w+)="(.*?)"', steel)) == {
        "sort": "7.99",
        "digits": "3",
        "low": "7.98",
        "high": "8.0",
    }


def test_rows_of_tables_as_read(invented):
    """Heaviest first; 4.0 cm³ of 8.53 g/cm³ are 34.12 g; 1500 / 7.85 = 191.08; sources bear the
    number in which they are first read."""
    assert rows(table_page(invented, "density-ratio")) == [
        ["Test brass", "8.53 1"],
        ["Test steel", "7.98–8.0 2 sources 1 2"],
        ["Full steel", "7.85 ◇ borrowed 3"],
    ]
    masses = rows(table_page(invented, "case-mass"))
    assert masses[0][2] == (  # opened: what it was worked out from
        "≈ 34.12 volume of the part: 4.0 cm³ density of the material: 8.53 g/cm³, Nobody"
    )
    assert [[row[0], row[2].split(" volume")[0]] for row in masses] == [
        ["Test brass", "≈ 34.12"],
        ["Test steel", "31.92–32.00"],
        ["Full steel", "≈ 31.4 ◇ borrowed"],
    ]
    assert [row[:3] for row in rows(table_page(invented, "specific-strength"))] == [
        ["Test steel", "annealed", "≥ 200 1"],
        ["Full steel", "full tempered", "≥ 1500 3"],
    ]
    assert [row[:2] for row in rows(table_page(invented, "specific-stiffness"))] == [
        ["Test steel", "any"],
        ["Full steel", "any"],
    ]
    assert rows(table_page(invented, "coating-thickness")) == [
        ["Full plate", "0.3 1", "thickness note"],
        ["Test plate", "0.1–0.5 2", "–"],
    ]


def test_scales_of_bars_begin_at_zero_and_end_where_the_table_says(invented):
    """Hardness to 1000, coatings to 30 µm, density to its greatest figure."""
    said = {
        table: re.search(r"Bars: (.*?)\. A", by_section(table_page(invented, table).body)["top"][0])
        for table in invented.tables
    }
    assert {table: found[1] for table, found in said.items() if found} == {
        "density-ratio": "density from 0 to 8.53 g/cm³",
        "specific-strength": "proof strength from 0 to 1500 MPa",
        "hardness": "HV from 0 to 1000",
        "coating-thickness": "thickness from 0 to 30 µm",
    }
    pinned = table_page(invented, "hardness").body
    # 140 to 215 of 1000 HV: from 14 to 21.5 of a hundred.
    assert '<rect x="14.0" y="1" width="7.5" height="8"/>' in pinned


def test_a_dash_is_explained_only_where_one_stands(invented):
    explained = "not found, or not comparable"
    assert explained in table_page(invented, "hardness").body
    assert explained not in table_page(invented, "density-ratio").body
    assert rows(table_page(invented, "hardness"))[0][2:5] == ["140–215 1", "–", "–"]


def test_a_table_of_no_material_has_no_column_of_materials(invented):
    head = re.search("<thead>.*?</thead>", table_page(invented, "fineness").body)[0]
    assert read(head)[0] == (
        "metal called, ct fineness by arithmetic, ‰ fineness as marked, ‰ carat of the mark, ct"
        " note"
    )
    assert rows(table_page(invented, "fineness"))[0][:2] == ["gold", "18"]


def assigned(text: str, to: str):
    """The value of a classic script of one assignment."""
    assert text.startswith(to + "=") and text.endswith(";\n")
    value = text.removeprefix(to + "=").removesuffix(";\n")
    assert "</" not in value.replace("<\\/", "")
    return json.loads(value)


def test_each_script_of_data_is_one_assignment(invented):
    """A page from file:// may not fetch, so data comes as classic scripts."""
    sheet = watch_sheet.scripts(invented)
    assert list(sheet) == ["assets/watch-data.js", "assets/watches/full-watch.js"]
    shared = assigned(sheet["assets/watch-data.js"], "window.watchSheet")
    assert shared["kinds"] == [["full-watch", "Full watch"]]
    to = '(window.watchKinds=window.watchKinds||{})["full-watch"]'
    assert assigned(sheet["assets/watches/full-watch.js"], to)["watch"]["name"] == "Full watch"
    only = only_have.scripts(invented)
    assert list(only) == [
        "assets/only-have-materials.js",
        "assets/only-have/full-pinion.js",
        "assets/only-have/test-case.js",
    ]
    assert assigned(only["assets/only-have-materials.js"], "window.benchMaterials")["rungs"]
    assert assigned(only["assets/only-have/test-case.js"], "window.benchOnlyHave")["roles"]
    content = {"name": "</script>"}
    assert assigned(compare.as_script({"a": 1}), "window.benchCompareData") == {"a": 1}
    for script in (watch_sheet._script("x", content), only_have._script("x", content)):
        assert "</script>" not in script and json.loads(script.split("=")[1][:-2]) == content
    files = leaflet.scripts(invented.knowledge, invented.view, invented.verdicts)
    assert list(files) == [
        "assets/leaflet-data.js",
        "assets/leaflet-data-de.js",
        "assets/leaflet-data-fr.js",
    ]
    assert assigned(files["assets/leaflet-data.js"], "window.benchLeaflet")["hazards"]
    to = '(window.benchLeafletIn=window.benchLeafletIn||{})["de"]'
    assert assigned(files["assets/leaflet-data-de.js"], to)["said"]
