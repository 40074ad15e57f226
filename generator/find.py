"""Receives the knowledge; hands on the entries of the find box: address, title, kind, summary, spellings, rank.

Spellings are what people type for a thing: designations without dots and hyphens come by themselves in the browser;
here come the forms that need knowledge, such as 4404 for 1.4404, 18k for 18 ct, Ti64 for Ti-6Al-4V.
"""

from __future__ import annotations

import json
import re

from generator.linking import KINDS, Knowledge
from generator.pages import KIND_TITLES, mark_title
from generator.tables import Table
from generator.view import View, sentence

RANKS = {"mark": 9, "material": 8, "part": 8, "hazard": 7, "process": 6, "table": 5, "formula": 5, "saying": 3, "lesson": 3, "family": 9, "zone": 4, "page": 2}


def entries(knowledge: Knowledge, view: View, tables: dict[str, Table], families: list[str]) -> list[list]:
    """All entries, records first, in a fixed order."""
    found = []
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            spellings = list(record.also_called)
            if kind == "material":
                spellings += [s for d in record.designations for s in spellings_of(d.system, d.code)]
            found.append([view.address(kind, key), record.name, KIND_TITLES[kind].lower(), record.summary, _once(spellings), RANKS[kind]])
    for key, mark in knowledge.words("marks").items():
        spellings = [f"{mark.fineness:f}", f"{knowledge.words('elements')[mark.metal].name} {mark.fineness:f}"]
        if mark.carat is not None:
            spellings += spellings_of_carat(f"{mark.carat:f}")
        title = mark_title(knowledge, key)
        # Several metals share a number; gold, which is stamped most, comes first.
        found.append([f"marks/{key}.html", title, "marks", "What the mark means and which alloys carry it.", spellings, RANKS["mark"] + (mark.metal == "Au")])
    for key in families:
        entry = knowledge.words("families")[key]
        found.append([f"families/{key}.html", entry.plural, "family", entry.meaning or "", [entry.name, *entry.also_called], RANKS["family"]])
    for key, entry in knowledge.words("zones").items():
        found.append([f"zones/{key}.html", sentence(entry.name), "zone", entry.meaning or "", [], RANKS["zone"]])
    for table in tables.values():
        found.append([f"tables/{table.id}.html", table.title, "table", table.summary, [], RANKS["table"]])
    for address, title, summary, spellings in PAGES:
        found.append([address, title, "page", summary, spellings, RANKS["page"]])
    return found


PAGES = (
    ("compare.html", "Side by side", "Two to four materials: figures, ratios, hazards, and which suits a part.", ["compare", "comparison", "versus", "which is better"]),
    ("identify.html", "What is this metal", "What colour, magnet, weight, file and marks leave over.", ["identify", "unknown metal", "which metal is it", "what metal is this", "real or plated"]),
    ("map.html", "The watch as a map", "A drawn section of a watch whose zones and parts are links.", ["drawing", "section", "exploded view", "where is it"]),
    ("leaflet.html", "What to tell the owner", "A page of care for the owner, put together for one watch.", ["leaflet", "owner", "care sheet", "client", "customer"]),
    ("formulas/hardness-conversion.html", "Hardness conversion for steels", "HV, HRC, HRB, HBW and tensile strength by table.", ["hrc to hv", "hv to hrc", "rockwell to vickers", "hardness table"]),
    ("formulas/tempering-temperature.html", "Tempering temperature for a wanted hardness", "Where to set the oven, and the colour.", ["temper colours", "temper color", "pinion hardness", "draw temper"]),
    ("cautions.html", "Cautions", "What can hurt, and what to do.", ["safety", "danger", "toxic", "poison"]),
    ("glossary.html", "Glossary", "The words of the field.", ["terms", "meaning"]),
    ("sources.html", "Sources", "Where figures come from.", ["references", "literature"]),
    ("coverage.html", "Coverage", "What is sourced, remembered or missing.", []),
    ("names.html", "Every name, A to Z", "All names and designations.", ["index", "a-z"]),
    ("about.html", "How to read the numbers", "Kinds of figure, ranges, digits.", ["rounding", "help"]),
)


def spellings_of(system: str, code: str) -> list[str]:
    """A designation as people type it."""
    found = [code]
    if system == "en-number":
        found.append(code.removeprefix("1."))  # 4404
    elif system == "fineness":
        found = []  # the page of the mark answers for it
    elif system == "uns" and re.fullmatch(r"C\d{5}", code) and code.endswith("00"):
        found.append(code[:4])  # C360
    elif system == "aisi":
        found += [f"AISI {code}", f"SS{code}"]
    elif system == "astm-grade":
        number = code.split()[-1]
        found += [f"gr {number}", f"gr{number}"]
    elif system == "en-aluminium":
        found += [code.removeprefix("EN AW-"), f"AW{code.removeprefix('EN AW-')}", f"AA{code.removeprefix('EN AW-')}"]
    elif system == "nominal":
        letters = re.sub(r"[^A-Za-z0-9]", "", code)
        found.append(re.sub(r"(?<=[a-z])\d?Al|Al|V$", "", letters) if letters == "Ti6Al4V" else letters)
    elif system == "colour-code":
        found.append(f"gold {code}")
    return found


def spellings_of_carat(carat: str) -> list[str]:
    """18 as 18 ct, 18k, 18 carat ..."""
    return [f"{carat} {unit}" for unit in ("ct", "k", "kt", "carat", "karat", "ct gold", "k gold", "carat gold", "karat gold")]


def _once(words: list[str]) -> list[str]:
    return list(dict.fromkeys(words))


def as_script(found: list[list]) -> str:
    """The entries as a classic script, which also loads from file://."""
    return "window.benchFindIndex=" + json.dumps(found, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/") + ";\n"
