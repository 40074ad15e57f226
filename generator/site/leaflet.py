"""Receives the knowledge and its verdicts; hands on what the owner's leaflet is put together from.

The sentences come from the ``owner`` lines of material and hazard records, what an owner may tick
from knowledge/vocabulary/activities.yaml. Which materials may be chosen for which piece of the
watch follows from the part records and the verdicts; the few limits that stand on every leaflet
stand here.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping

from generator.records.knowledge import Knowledge
from generator.site.texts import plain_text, sentence
from generator.site.view import View
from generator.verdicts.rungs import OFFERED
from generator.verdicts.verdicts import Verdicts

# field -> its label and the parts whose materials are offered; plating offers every coating.
FIELDS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "case": ("Case", ("case-middle",)),
    "bracelet": ("Bracelet or strap", ("bracelet-link", "strap")),
    "crystal": ("Crystal", ("crystal",)),
    "plating": ("Plating or coating", ()),
}
# What the owner's watch is marked for, the careful answer first.
WATER: Mapping[str, str] = {
    "none": "not water resistant, or not known",
    "resistant": "water resistant, tested within the year",
    "divers": "marked diver's watch (ISO 6425), tested within the year",
}
# On every leaflet, whatever was chosen.
LIMITS = (
    (
        "Water resistance is not permanent. Seals age, also in a drawer: have them tested once a"
        " year, before you swim with it."
    ),
    (
        "Close or screw down the crown before water comes near, and work neither crown nor pushers"
        " in water."
    ),
    (
        "Mist under the crystal means water inside: bring the watch in the same day, the crown"
        " untouched."
    ),
    (
        "No metal suits every skin. If yours reddens or itches under the watch, take it off and"
        " tell us."
    ),
    (
        "Old luminous dials stay closed: their paint may be radioactive. Do not open, scrape or"
        " clean them; bring it in a bag."
    ),
)
# Sentences about a case that stay true below a plating: what reaches the skin, and the coat itself.
BELOW_COATING = re.compile(r"\b(nickel|coat)\b", re.IGNORECASE)
ORDER = (
    "holds",
    "holds-with-care",
    "unknown",
    "suffers",
    "fails",
)  # best first; the data names a verdict by its place here


def choices(knowledge: Knowledge, verdicts: Verdicts, field: str) -> tuple[list[str], list[str]]:
    """The materials offered for a field: what the trade uses, and what else may be used, each by
    name."""
    parts = [p for p in FIELDS[field][1] if p in knowledge.parts]
    if field == "plating":
        usual = {m for m, folder in knowledge.folders.items() if folder == "coatings"}
    else:
        usual = {c.material for p in parts for c in knowledge.parts[p].usual}
    others = {j.material for p in parts for j in verdicts.of_role(p) if j.rung in OFFERED} - usual

    def by_name(keys):
        return sorted(keys, key=lambda m: knowledge.materials[m].name.casefold())

    return by_name(usual), by_name(others)


def hazards(knowledge: Knowledge) -> list[str]:
    """The hazards that the activities name, in the order of the knowledge base."""
    named = {h for activity in knowledge.words("activities").values() for h in activity.hazards}
    return [h for h in knowledge.hazards if h in named]


def activities(knowledge: Knowledge) -> list[tuple[str, list[str]]]:
    """What an owner may do, in the order of the vocabulary, each with its hazards."""
    return [
        (activity.name, activity.hazards) for activity in knowledge.words("activities").values()
    ]


def customer_name(knowledge: Knowledge, key: str) -> str:
    """What a customer calls a material: no grades and no trade shorthand."""
    names, record = knowledge.words("customer_names"), knowledge.materials[key]
    named = [names[n].name for n in (key, record.family) if n in names and names[n].name]
    return named[0] if named else re.split(r",| \(", record.name)[0].lower()


def _words(knowledge: Knowledge, key: str) -> list[str]:
    """The words by which a hazard's sentence names a material."""
    names = knowledge.words("customer_names")
    found = [
        w for n in (key, knowledge.materials[key].family) if n in names for w in names[n].words
    ]
    return list(dict.fromkeys(found))


def data(knowledge: Knowledge, view: View, verdicts: Verdicts) -> dict:
    """What the page's script needs: hazards and activities with their sentences; each material
    with what a customer calls it, its sentences, and one digit a hazard (place in ORDER)."""
    listed = hazards(knowledge)
    offered = dict.fromkeys(
        m for field in FIELDS for keys in choices(knowledge, verdicts, field) for m in keys
    )

    def worst(material: str, hazard: str) -> int:
        states = knowledge.materials[material].states or (None,)
        return max(
            ORDER.index(verdicts.judge.exposure(hazard, material, s).verdict) for s in states
        )

    def said(key: str) -> list[str]:
        return [plain_text(line) for line in knowledge.materials[key].owner]

    return {
        "hazards": [[plain_text(line) for line in knowledge.hazards[h].owner] for h in listed],
        "activities": [
            {
                "name": sentence(activity.name),
                "hazards": [listed.index(h) for h in activity.hazards],
                "fails": activity.fails,
                "suffers": activity.suffers,
                # the least of WATER that it needs, and the sentence for a watch with less
                "water": list(WATER).index(activity.water) if activity.water else 0,
                "without": activity.without,
            }
            for activity in knowledge.words("activities").values()
        ],
        "words": sorted({w for e in knowledge.words("customer_names").values() for w in e.words}),
        "materials": {
            m: {
                "name": customer_name(knowledge, m),
                "words": _words(knowledge, m),
                "says": said(m),
                "below": [line for line in said(m) if BELOW_COATING.search(line)],
                "worst": "".join(str(worst(m, h)) for h in listed),
            }
            for m in offered
        },
    }


def script(knowledge: Knowledge, view: View, verdicts: Verdicts) -> str:
    """The data as a classic script, which also loads from file://."""
    text = json.dumps(data(knowledge, view, verdicts), ensure_ascii=False, separators=(",", ":"))
    return "window.benchLeaflet=" + text.replace("</", "<\\/") + ";\n"
