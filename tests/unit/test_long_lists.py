"""Lists that run over pages or are cut, and what stands in them: sources and names by letter, the
changes of editions, key figures of a metal with many states, the tables that look-ups read."""

import json
import re
from dataclasses import replace
from decimal import Decimal
from html import unescape
from types import SimpleNamespace

import pytest

from generator.numbers.values import Values
from generator.records.edition import Change, Edition
from generator.records.loading import load
from generator.site.page import Site
from generator.site.pages import lists, lookup
from generator.site.pages.editions import MOST_CHANGES, editions_page
from generator.site.pages.hazard import hazard_page
from generator.site.pages.material import (
    exposure_rows,
    figure_rows,
    key_figures,
    material_page,
    material_signs,
    missing_figures,
)
from generator.tables import tables
from generator.verdicts.verdicts import Verdicts
from tests.conftest import FULL, ROOT, SMALL, edit, make_root
from tests.shown import by_section, read

FIRST, SECOND = "2026-11-20", "2026-11-25"
CHANGED = [
    Change(record="materials/full-steel", field="figures.density", was="7.80", now="7.85"),
    Change(record="materials/full-steel", field="owner", how="added", now="owner words of steel"),
    Change(record="materials/full-steel", field="bench", how="removed", was="old words"),
    Change(record="materials/full-steel", field="summary"),
    Change(record="cautions/full-caution", field="danger", now="danger words"),
    Change(record="materials/old-metal", field="summary", was="a", now="b"),
]
EDITION = Edition(
    records=10,
    new=["parts/full-pinion", "cautions/full-caution", "materials/gone-again"],
    gone=["materials/old-metal"],
    changed=CHANGED,
    effects=["Full pinion: Full steel now usual"],
    cards={"materials/full-steel": "new", "parts/full-pinion": "made"},
)


def site_with(invented, **fields) -> Site:
    """What draws the pages of the invented records with other fields of the base."""
    found = replace(invented.knowledge, **fields)
    templates = ROOT / "site_src" / "templates"
    return Site(found, invented.values, invented.tables, invented.verdicts, templates)


def editions_of(invented, older: int = 0) -> str:
    """The page of two editions; the older one changed ``older`` fields of one record."""
    cards = {"materials/full-steel": "old", "materials/test-brass": "b", "materials/gone": "g"}
    changes = [Change(record="parts/test-case", field="does", now="x")] * older
    first = Edition(records=8, changed=changes, cards=cards)
    site = site_with(invented, editions={FIRST: first, SECOND: EDITION})
    site.cards |= {
        "materials/full-steel": "new",
        "materials/test-brass": "b",
        "materials/full-plate": "p",
        "parts/full-pinion": "remade",
    }
    site.view.drafts |= {"parts/full-pinion.html", "materials/full-plate.html"}
    return editions_page(site).body


def test_a_printed_card_is_found_by_its_page(invented):
    """By name; one that was never stamped is new, one that differs from the last stamp is changed,
    one whose page went is withdrawn, with the edition that last held it."""
    rows = re.findall(r"<tr><th scope=\"row\">.*?</tr>", editions_of(invented), re.DOTALL)
    assert [read(row)[0] for row in rows] == [
        f"Full pinion parts/full-pinion.html none: changed after {SECOND}",
        f"Full plate materials/full-plate.html none: new after {SECOND}",
        f"Full steel materials/full-steel.html {SECOND}",
        f"Test brass materials/test-brass.html {FIRST}",
        "materials/gone materials/gone.html none: the page no longer exists",
    ]
    assert "Is my card current?" in editions_of(invented)


def test_an_edition_tells_what_is_new_what_went_and_what_changed_field_by_field(invented):
    body = editions_of(invented)
    newest, oldest = re.split(r"## Edition [\d-]+ ", body)[1:]
    said = read(newest)[0]
    assert said.startswith(
        "{: #edition-2026-11-25 } 6 changes in 3 records, 3 new, 1 gone, 2 new or changed cards."
        " New: Full pinion Full caution materials/gone-again Removed: materials/old-metal"
    )
    assert (
        "Full steel Density: 7.80 → now 7.85 Owner: added, owner words of steel Bench: removed, it"
        " was old words Summary: reworded Full caution Danger: now danger words materials/old-metal"
        " Summary: a → now b What followed from it, most important first: Full pinion: Full steel"
        " now usual"
    ) in said
    assert read(newest)[1] == [
        *("parts/full-pinion.html", "cautions.html#full-caution"),
        *("materials/full-steel.html", "cautions.html#full-caution"),
    ]
    assert read(oldest)[0].startswith(
        "{: #edition-2026-11-20 } First edition: 8 records, 3 new or changed cards. Everything is"
        " new, so nothing is listed."
    )


@pytest.mark.parametrize(("older", "listed"), [(244, True), (245, False)])
def test_of_older_editions_only_the_counts_are_told(invented, older, listed):
    """With the six of the newest edition 250 changes are told, and not one more."""
    assert MOST_CHANGES == 250 == len(CHANGED) + 244
    oldest = editions_of(invented, older).split(f"## Edition {FIRST}")[1]
    assert f"{older} changes in 1 records" in oldest
    assert ("Does" in oldest) is listed


def test_sources_of_one_kind_over_several_pages_say_from_which_word_to_which(invented):
    """121 standards: 60 and 61 on a page, named by the first words of their titles."""
    one = invented.knowledge.sources["test-standard"]
    titles = [f"{chr(97 + n // 5)}{n:03}, of steel" for n in range(121)]
    sources = {
        f"s{n}": one.model_copy(update={"title": title}) for n, title in enumerate(titles)
    } | {key: invented.knowledge.sources[key] for key in ("full-law", "full-book")}
    site = site_with(invented, sources=sources)
    pages = {page.file: page for page in lists.sources_pages(site)}
    assert {file: page.title for file, page in pages.items()} == {
        "sources/standard.md": "Sources: standard, a000 to l059",
        "sources/standard-2.md": "Sources: standard, m060 to y120",
        "sources/law.md": "Sources: law or regulation",
        "sources/handbook.md": "Sources: handbook or textbook",
        "sources.md": "Sources",
    }
    cards = re.findall(
        r'<li><a href="(.*?)"><strong>(.*?)</strong><span>(.*?)</span>', pages["sources.md"].body
    )
    assert cards[:3] == [
        ("sources/standard.html", "Standard, a000 to l059", "60 sources"),
        ("sources/standard-2.html", "Standard, m060 to y120", "61 sources"),
        ("sources/law.html", "Law or regulation", "1 source"),
    ]


def test_names_by_letter_go_together_until_a_page_is_full(invented, monkeypatch):
    """Counted in the records: 9 names from A to E, 22 with F, 19 from G to S, 8 to the end; what
    begins with a digit comes last."""
    monkeypatch.setattr(lists, "NAMES_A_PAGE", 22)
    pages = list(lists.names_pages(invented))
    assert [(page.file, page.title) for page in pages] == [
        ("names.md", "Every name, A to Z"),
        ("names/a-e.md", "Names, A to E"),
        ("names/f.md", "Names, F"),
        ("names/g-s.md", "Names, G to S"),
        ("names/t-0-9.md", "Names, T to 0-9"),
    ]
    letters = re.search(r'<nav class="letters".*?</nav>', pages[0].body, re.DOTALL)[0]
    places = [(to, text) for to, text in re.findall(r'href="(.*?)">(.*?)<', letters)]
    assert places[0] == ("names/a-e.html#letter-a", "A")
    assert places[4] == ("names/f.html#letter-f", "F")
    assert places[-1] == ("names/t-0-9.html#letter-0-9", "0-9")
    assert by_section(pages[1].body)["letter-c"][0] == "Carat to fineness CuZn30: Test brass"


def test_four_states_at_most_tell_their_hardness_at_the_top(invented):
    steel = invented.knowledge.materials["full-steel"]
    states = {f"state-{n}": steel.states["annealed"] for n in range(5)}
    many = steel.model_copy(update={"states": states})
    site = site_with(invented, materials=invented.knowledge.materials | {"full-steel": many})
    site.values = type(invented.values)(site.knowledge)
    labels = [label for label, _ in key_figures(site, "full-steel")]
    assert labels == [
        "density",
        *["hardness, full annealed"] * 4,
        *("thermal expansion", "a magnet", "colour"),
    ]


def test_figures_stand_in_the_order_of_the_properties_then_of_the_states(invented):
    rows = figure_rows(invented, "full-steel")
    assert [(row.name, row.state, row.first) for row in rows] == [
        ("density", "any", True),
        ("hardness", "full annealed", True),
        ("hardness", "full tempered", False),
        ("hardness", "full tempered", False),
        ("proof strength", "full tempered", True),
        ("fatigue strength", "full tempered", True),
        ("elongation at break", "full tempered", True),
        ("elastic modulus", "any", True),
        ("thermal expansion", "any", True),
        ("thermal expansion", "any", False),
        ("thermal conductivity", "any", True),
        ("anodic index", "any", True),
    ]
    assert [row.note for row in rows if row.note] == [
        *("density note", "hardness note", "20 to 100 degC", "20 to 600 degC"),
    ]


@pytest.mark.parametrize(("nickel", "asked"), [("0.9", False), ("1", True), ("1.1", True)])
def test_from_one_per_cent_of_nickel_on_its_release_is_asked_for(invented, nickel, asked):
    brass = invented.knowledge.materials["test-brass"]
    share = brass.composition.shares["Cu"].model_copy(update={"typical": Decimal(nickel)})
    shares = brass.composition.shares | {"Ni": share}
    recipe = brass.composition.model_copy(update={"shares": shares})
    metal = brass.model_copy(update={"composition": recipe})
    site = site_with(invented, materials=invented.knowledge.materials | {"test-brass": metal})
    assert ("nickel release" in missing_figures(site, "test-brass")) is asked


def test_signs_of_what_harms_are_six_at_most_and_worst_first(site_pages):
    """Leaded brass is harmed by more than six hazards whose signs are told."""
    rows = exposure_rows(site_pages, "brass-cuzn39pb3")
    signs = material_signs(site_pages, rows)
    told = [
        h for h, e, _ in rows if e.verdict in ("fails", "suffers") and e.rule and e.rule.looks_like
    ]
    assert len(told) > 6 and [h for h, _ in signs] == list(dict.fromkeys(told))[:6]
    ranks = [e.verdict for _, e, _ in rows]
    order = ["fails", "suffers", "unknown", "holds-with-care", "holds"]
    assert [order.index(v) for v in ranks] == sorted(order.index(v) for v in ranks)


def table_of(page) -> dict:
    """The table that the script of a look-up reads."""
    return json.loads(unescape(re.search(r'data-table="(.*?)"', page.body)[1]))


def test_the_table_that_the_tempering_script_reads(invented):
    """150 degC 64 HRC, 300 degC 56 HRC: the record of full steel; the colours are ranges."""
    table = table_of(list(lookup.lookup_pages(invented))[1])
    assert table["curves"] == [
        {
            "unit": "HRC",
            "points": [[150.0, 64.0], [300.0, 56.0]],
            "text": "Hardened from 780\N{NO-BREAK SPACE}°C words, quenched in quench words."
            " Stand-in: stand-in words.",
            "low": 56.0,
            "high": 64.0,
            "plain": True,
        }
    ]
    assert table["colours"][0][0] == "pale yellow"
    assert all(low < high for _, low, high in table["colours"])


def test_what_the_bench_tempers_most_stands_first(site_pages):
    """A carbon steel with a table of its own before one that borrows, before all others; the scale
    of the files, HRC, before any other."""
    curves = table_of(list(lookup.lookup_pages(site_pages))[1])["curves"]
    plain = [curve["plain"] for curve in curves]
    assert plain[0] and plain == sorted(plain, reverse=True) and not plain[-1]
    own = ["Stand-in" not in curve["text"] for curve in curves if curve["plain"]]
    assert own[0] and not own[-1]


def test_the_table_that_the_hardness_script_reads(site_pages):
    """ASTM E140, table 1: 60 HRC is 697 HV; DIN 50150: 200 HV is 640 MPa. Each has a list of its
    own, and a scale that a row lacks is left out of it."""
    page = next(iter(lookup.lookup_pages(site_pages)))
    astm, din = table_of(page)["rows"]
    assert [row["HV"] for row in astm if row.get("HRC") == 60] == [697]
    assert [row["Rm"] for row in din if row.get("HV") == 200] == [640]
    assert all(None not in row.values() for row in (*astm, *din))
    fields = re.findall(r'<label for="look-(.*?)">(.*?)</label>', page.body)
    assert fields == [("metal", "Metal"), ("scale", "Scale"), ("value", "Hardness")]
    assert re.findall(r'<option value="(H.*?)">(.*?)<', page.body) == [
        *(("HRC", "HRC"), ("HV", "HV"), ("HBW", "HBW"), ("HRB", "HRB"))
    ]
    heads = re.findall(r'<th scope="col">(.*?)</th>', page.body)
    assert heads == ["HV", "HRC", "HRB", "HBW", "Rm, MPa", "source"]


def test_a_look_up_of_no_steel_says_so(site_pages):
    """Without a steel that has a table the choice is empty."""
    page = lookup._tempering_lookup(
        SimpleNamespace(families={}, knowledge=site_pages.knowledge, view=site_pages.view)
    )
    assert page.fields[0].options == [("", "no steel has a table")]
    assert [(f.name, f.label, f.value, f.unit) for f in page.fields[1:]] == [
        ("value", "Hardness wanted", "60", "HRC")
    ]
    assert page.columns == ["steel", "scale", "tempered at °C: hardness", "source"]


def test_where_heat_and_oil_are_used_their_cautions_stand(site_pages):
    hardness, tempering = lookup.lookup_pages(site_pages)
    names = {"hot-work", "quench-oil"}
    assert set(re.findall(r'id="care-(.*?)"', tempering.body)) == names
    assert "care-" not in hardness.body


def edited(tmp_path, file, old, new) -> Site:
    """What draws the pages of the invented records with one text replaced."""
    root = make_root(tmp_path, SMALL, FULL)
    edit(root, file, old, new)
    knowledge, complaints = load(root)
    assert complaints == []
    values = Values(knowledge)
    built, judged = tables.build(knowledge, values), Verdicts(knowledge, values)
    return Site(knowledge, values, built, judged, ROOT / "site_src" / "templates")


def test_where_no_rule_decides_the_pages_say_so(tmp_path):
    """Without its last rule the sea says nothing of any metal but brass; no rule is named."""
    last = "  - {verdict: holds, why: the film holds, source: practice}\n"
    site = edited(tmp_path, "hazards/test-sea.yaml", last, "")
    assert by_section(hazard_page(site, "test-sea").body)["exposure"][0] == (
        "fails Test brass: dezincification. zinc leaves rule 1 cannot say Test steel, Full steel,"
        " Full plate, Test plate: No rule decides."
    )
    exposure = by_section(material_page(site, "test-steel").body)["exposure"][0]
    assert "Test sea cannot say No rule decides. Full damp holds" in exposure


def test_states_that_fare_unlike_stand_in_rows_of_their_own(tmp_path):
    """Rule 2 for the soft state alone: the hard one falls to rule 4, which is from memory and
    decides nothing. Where both fare alike no state is named."""
    states = "states: [annealed, tempered-hard]"
    site = edited(tmp_path, "hazards/full-damp.yaml", states, "states: [annealed]")
    assert by_section(material_page(site, "full-steel").body)["exposure"][0] == (
        "hazard verdict what happens source"
        " Full damp suffersfull annealed rust. second why words Source Full author, rule 2"
        " Full damp cannot sayfull tempered fourth why words Source unsourced, from memory, rule 4"
        " Test sea holds the film holds Source common practice, rule 2"
        " Beside other metals: carbon steel and soft iron in contact"
    )
