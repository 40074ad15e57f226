"""The data of the owner's leaflet.

The sentences come from the ``owner`` lines of material and hazard records; the activities an owner
may tick from knowledge/vocabulary/activities.yaml. The materials offered for each piece follow from
the part records and the verdicts; what every leaflet says, from
knowledge/vocabulary/leaflet_limits.yaml.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping

from generator.records.knowledge import Knowledge
from generator.records.languages import (
    for_owners,
    name_in,
    offered,
    owner_lines,
    sentence_in,
)
from generator.records.vocabulary import CustomerName
from generator.site.speech import speeches, tidy
from generator.site.texts import plain_text, sentence
from generator.site.view import View
from generator.verdicts.findings import EXPOSURE_RANK
from generator.verdicts.rungs import OFFERED
from generator.verdicts.verdicts import Verdicts

# field -> the parts whose materials are offered; plating offers every coating. The phrase of the
# same name is its label.
FIELDS: Mapping[str, tuple[str, ...]] = {
    "case": ("case-middle",),
    "bracelet": ("bracelet-link", "strap"),
    "crystal": ("crystal",),
    "plating": (),
}
# What the owner's watch is marked for, the careful answer first.
WATER: Mapping[str, str] = {
    "none": "not water resistant, or not known",
    "resistant": "water resistant, tested within the year",
    "divers": "marked diver's watch (ISO 6425), tested within the year",
}
# Words of the printed page, besides the labels of the fields.
PHRASES = (
    *("leaflet-title", "watch", "date", "always", "both", "made-of"),
    *("edition", "page", "leaflet-translated"),
)
# Sentences about a case that stay true below a plating: what reaches the skin, and the coat itself.
BELOW_COATING = re.compile(r"\b(nickel|coat)\b", re.IGNORECASE)


def choices(knowledge: Knowledge, verdicts: Verdicts, field: str) -> tuple[list[str], list[str]]:
    """The materials offered for a field: what the trade uses, and what else may be used, each by
    name."""
    parts = [p for p in FIELDS[field] if p in knowledge.parts]
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


def label(knowledge: Knowledge, field: str) -> str:
    """What a field is called inside a sentence."""
    return knowledge.words("phrases")[field].name


def limits(knowledge: Knowledge) -> list[str]:
    """The sentences on every leaflet, whatever was chosen."""
    return [limit.says for limit in knowledge.words("leaflet_limits").values()]


def phrases(knowledge: Knowledge) -> dict[str, str]:
    """The words of the printed page in the language of the records, by phrase."""
    return {phrase: knowledge.words("phrases")[phrase].name for phrase in PHRASES}


def languages(knowledge: Knowledge) -> list[tuple[str, str, str]]:
    """Tag and own name of each language, and how its sentences were translated, said to the bench
    in its own; nothing for that of the records."""
    base, *others = speeches(knowledge)
    sentences = list(for_owners(knowledge))
    return [(base.tag, base.language.name, "")] + [
        (s.tag, s.language.name, " ".join(base.trust(sentences, s.tag))) for s in others
    ]


def customer_name(knowledge: Knowledge, key: str) -> str:
    """What a customer calls a material: no grades and no trade shorthand."""
    named, record = _named(knowledge, key), knowledge.materials[key]
    return named.name if named else _before_grade(record.name).lower()


def customer_name_in(knowledge: Knowledge, key: str, tag: str) -> str | None:
    """The same in a language."""
    named = _named(knowledge, key)
    found = name_in(named or knowledge.materials[key], tag)
    return found if named or found is None else _before_grade(found)


def _named(knowledge: Knowledge, key: str) -> CustomerName | None:
    names = knowledge.words("customer_names")
    found = [names[n] for n in (key, knowledge.materials[key].family) if n in names]
    return next((entry for entry in found if entry.name), None)


def _before_grade(name: str) -> str:
    return re.split(r",| \(", name)[0]


def _words(knowledge: Knowledge, key: str) -> list[str]:
    """The words by which a hazard's sentence names a material."""
    names = knowledge.words("customer_names")
    found = [
        w for n in (key, knowledge.materials[key].family) if n in names for w in names[n].words
    ]
    return list(dict.fromkeys(found))


def _offered(knowledge: Knowledge, verdicts: Verdicts) -> list[str]:
    """Every material that may be chosen, once."""
    found = (m for field in FIELDS for keys in choices(knowledge, verdicts, field) for m in keys)
    return list(dict.fromkeys(found))


def _states_worn(knowledge: Knowledge, verdicts: Verdicts) -> dict[str, set[str | None]]:
    """Per material the states that are usual for a piece of the leaflet; a case that is worn soft
    is not warned of what befalls hard springs."""
    found: dict[str, set[str | None]] = {}
    for part in (p for parts in FIELDS.values() for p in parts if p in knowledge.parts):
        for judged in verdicts.of_role(part):
            if judged.rung == "own":
                found.setdefault(judged.material, set()).add(judged.state)
    return found


def data(knowledge: Knowledge, view: View, verdicts: Verdicts) -> dict:
    """What the page's script needs: hazards and activities with their sentences; each material
    with what a customer calls it, its sentences, and one digit a hazard (place in
    EXPOSURE_ORDER)."""
    listed, on_offer = hazards(knowledge), _offered(knowledge, verdicts)

    worn = _states_worn(knowledge, verdicts)

    def worst(material: str, hazard: str) -> int:
        states = worn.get(material) or knowledge.materials[material].states or (None,)
        return max(
            EXPOSURE_RANK[verdicts.judge.exposure(hazard, material, s).verdict] for s in states
        )

    def said(key: str) -> list[str]:
        return [plain_text(line) for line in knowledge.materials[key].owner]

    phrases = knowledge.words("phrases")
    return {
        # how the pieces of a heading are put together
        "both": phrases["both"].name,
        "madeOf": phrases["made-of"].name,
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
            for m in on_offer
        },
    }


def data_in(knowledge: Knowledge, verdicts: Verdicts, tag: str) -> dict:
    """What the page's script needs for a language: what each text of ``data`` and of the page is in
    it, and what a customer calls each material; what nobody has translated is left out."""
    on_offer, words = _offered(knowledge, verdicts), knowledge.words
    activities = words("activities").values()
    sentences = [
        (r, line)
        for r in (
            *(knowledge.materials[m] for m in on_offer),
            *(knowledge.hazards[h] for h in hazards(knowledge)),
        )
        for line in r.owner
    ]
    sentences += [(a, line) for a in activities for line in owner_lines(a)]
    sentences += [(limit, limit.says) for limit in words("leaflet_limits").values()]
    said = {plain_text(line): sentence_in(record, line, tag) for record, line in sentences}
    said |= {
        words("phrases")[p].name: name_in(words("phrases")[p], tag) for p in (*FIELDS, *PHRASES)
    }
    said |= {sentence(a.name): sentence(name_in(a, tag) or "") for a in activities}
    names = {m: customer_name_in(knowledge, m, tag) for m in on_offer}
    return {
        "said": {text: tidy(found) for text, found in said.items() if found},
        "names": {m: name for m, name in names.items() if name},
    }


def scripts(knowledge: Knowledge, view: View, verdicts: Verdicts) -> dict[str, str]:
    """The data as classic scripts, which also load from file://, by file: one for the page, and one
    for each further language, which is loaded when it is chosen."""
    files = {"leaflet-data": ("window.benchLeaflet", data(knowledge, view, verdicts))}
    for tag in offered(knowledge):
        files[f"leaflet-data-{tag}"] = (
            f'(window.benchLeafletIn=window.benchLeafletIn||{{}})["{tag}"]',
            data_in(knowledge, verdicts, tag),
        )
    return {f"assets/{file}.js": _assignment(*content) for file, content in files.items()}


def _assignment(to: str, value: dict) -> str:
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return f"{to}=" + text.replace("</", "<\\/") + ";\n"
