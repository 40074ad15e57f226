"""A language is data: a workshop's layer adds a fourth, and no code changes.

The words are common Italian, from memory.
"""

import json
import re

import pytest

from generator.checks.rules import check
from generator.commands.build import Timings, _ready
from generator.site import find, leaflet
from generator.site.render import render
from tests.conftest import FULL, ROOT, SMALL, make_buildable

LAYER = {
    "vocabulary/languages.yaml": 'it: {name: italiano, english: Italian, decimal: ","}\n',
    "vocabulary/phrases.yaml": (
        "leaflet-title: {names: {it: [Come curare il suo orologio]}}\n"
        "first-aid: {names: {it: [Primo soccorso]}}\n"
        "at-most: {names: {it: [al massimo]}}\n"
    ),
    "vocabulary/leaflet_limits.yaml": (
        'skin: {translations: {"No metal suits every skin. If yours reddens or itches under the'
        ' watch, take it off and tell us.": {it: Nessun metallo va bene per ogni pelle.}}}\n'
    ),
    "parts/test-case.yaml": "names: {it: [cassa]}\n",
    "hazards/test-sea.yaml": (
        "names: {it: [acqua di mare]}\ntranslations: {Rinse it.: {it: Lo sciacqui.}}\n"
    ),
}


@pytest.fixture(scope="module")
def ready(tmp_path_factory):
    root = make_buildable(tmp_path_factory.mktemp("fourth") / "p", SMALL, FULL)
    layer = root / "layer"
    for name, text in LAYER.items():
        (layer / name).parent.mkdir(parents=True, exist_ok=True)
        (layer / name).write_text(text, encoding="utf-8")
    knowledge, complaints = check(root, [layer])
    assert [str(c) for c in complaints] == []
    return _ready(root, Timings(), (layer,))


@pytest.fixture(scope="module")
def drawn(ready):
    return {page.file: page.text() for share in render(ready.site) for page in share}


def test_its_pages_appear_and_fall_back_to_the_records_line_by_line(drawn):
    page = drawn["first-aid-it.md"]
    assert "Primo soccorso" in page and 'lang="it"' in page
    assert '<span lang="en">' in page  # no line of the invented accident is translated
    assert 'hreflang="it"' in drawn["first-aid.md"]


def test_the_leaflet_offers_it(ready, drawn):
    assert '<option value="it" lang="it"' in drawn["leaflet.md"]
    found = leaflet.scripts(ready.knowledge, ready.site.view, ready.site.verdicts)
    _, _, value = found["assets/leaflet-data-it.js"].partition('["it"]=')
    said = json.loads(value.removesuffix(";\n"))["said"]
    assert said["Caring for your watch"] == "Come curare il suo orologio"
    assert said["Rinse it."] == "Lo sciacqui."
    assert "Always" not in said  # stands in English


def test_a_layer_takes_no_other_language_away(ready):
    limit = ready.knowledge.words("leaflet_limits")["skin"]
    assert {*limit.translations[limit.says]} == {"de", "fr", "it"}


def test_find_glossary_and_coverage_know_it(ready, drawn):
    site = ready.site
    entries = find.entries(site.knowledge, site.view, site.tables, list(site.families))
    assert ["cassa"] in [entry[7].get("it") for entry in entries]
    assert '<th scope="col" lang="it">italiano</th>' in drawn["glossary.md"]
    assert '<th scope="row" lang="it">italiano</th>' in drawn["coverage.md"]
    assert "cassa" in drawn["parts/test-case.md"]


def test_no_code_names_a_language():
    """Neither its tag nor its name; the vendored files are nobody's to change."""
    named = re.compile(
        r"""["'](de|fr|de-CH|fr-CH)["']|lang=["']?(de|fr)\b|:lang\((de|fr)|\b(German|French|Deutsch"""
        r"""|fran\u00e7ais)\b"""
    )
    files = [
        path
        for folder in ("generator", "site_src")
        for path in (ROOT / folder).rglob("*")
        if path.suffix in {".py", ".js", ".j2", ".css", ".html"} and "vendor" not in path.parts
    ]
    assert len(files) > 150
    hits = [(f.name, m[0]) for f in files for m in named.finditer(f.read_text(encoding="utf-8"))]
    assert hits == []
