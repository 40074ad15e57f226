"""Receives the knowledge and its verdicts; hands on what the owner's leaflet is put together from.

The sentences come from the ``owner`` lines of material and hazard records, what an owner may tick
from knowledge/vocabulary/activities.yaml. Which materials may be chosen for which piece of the
watch follows from the part records and the verdicts; the few limits that stand on every leaflet
stand here.
"""

from __future__ import annotations

import json
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
    "seals": ("Seals", ("case-back-gasket", "crystal-gasket", "crown-stem-seal", "case-tube-seal")),
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
    others = {j.material for p in parts for j in verdicts.cells[p] if j.rung in OFFERED} - usual

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


def data(knowledge: Knowledge, view: View, verdicts: Verdicts) -> dict:
    """What the page's script needs: for each material its name, its sentences and one digit a
    hazard (place in ORDER)."""
    listed = hazards(knowledge)
    offered = dict.fromkeys(
        m for field in FIELDS for keys in choices(knowledge, verdicts, field) for m in keys
    )

    def worst(material: str, hazard: str) -> int:
        states = knowledge.materials[material].states or (None,)
        return max(
            ORDER.index(verdicts.judge.exposure(hazard, material, s).verdict) for s in states
        )

    return {
        "verdicts": [sentence(view.word("exposure_verdicts", v)) for v in ORDER],
        "hazards": [[plain_text(line) for line in knowledge.hazards[h].owner] for h in listed],
        "activities": [
            [label, [listed.index(h) for h in hs]] for label, hs in activities(knowledge)
        ],
        # activity -> the least of WATER that it needs, and the sentence for a watch with less
        "water": {
            str(i): [list(WATER).index(activity.water), activity.without]
            for i, activity in enumerate(knowledge.words("activities").values())
            if activity.water
        },
        "materials": {
            m: [
                sentence(knowledge.materials[m].name),
                [plain_text(line) for line in knowledge.materials[m].owner],
                "".join(str(worst(m, h)) for h in listed),
            ]
            for m in offered
        },
    }


def script(knowledge: Knowledge, view: View, verdicts: Verdicts) -> str:
    """The data as a classic script, which also loads from file://."""
    text = json.dumps(data(knowledge, view, verdicts), ensure_ascii=False, separators=(",", ":"))
    return "window.benchLeaflet=" + text.replace("</", "<\\/") + ";\n"
