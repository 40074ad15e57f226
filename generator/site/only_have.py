"""The data that answers "I have only this" on a part's page.

``assets/only-have-materials.js`` names every material, ``assets/only-have/PART.js`` holds the rung
and the reasons of each in every state; the script (assets/only-have.js) looks them up and judges
nothing.
"""

from __future__ import annotations

import json

from generator.records.knowledge import setting_of
from generator.site.page import Site
from generator.site.reasons import Numbered, Reasons
from generator.site.texts import sentence
from generator.verdicts.candidates import makes_parts

COATING = "A coating that no usual choice of this part has. Ask for the metal beneath it."
ELSEWHERE = (
    "On any other metal it is not judged: type that metal. Where the coating is worn through, the"
    " metal is bare."
)
BENEATH = (
    "A coating over a metal is judged only where the trade uses that pair. This is the metal by"
    " itself, as it is where the coating is worn through:"
)
SOLDER = "A solder: no part is made of it; it joins other metals."


def scripts(site: Site) -> dict[str, str]:
    """The data as classic scripts, which also load from file://, by file."""
    found = {"assets/only-have-materials.js": _script("benchMaterials", materials(site))}
    places = _places(site)
    for part in site.knowledge.parts:
        found[f"assets/only-have/{part}.js"] = _script("benchOnlyHave", of_part(site, part, places))
    return found


def _script(name: str, content: dict) -> str:
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return f"window.{name}=" + text.replace("</", "<\\/") + ";\n"


def materials(site: Site) -> dict:
    """The rungs as [id, name, meaning], what is said of coatings that are not judged, and by
    family each material as [id, name, what else it is
    called, names of its states]; a coating or a solder has in their place what is said of it."""
    words, view = site.knowledge.words, site.view
    return {
        "elsewhere": ELSEWHERE,
        "beneath": BENEATH,
        "rungs": [[key, r.name, r.meaning] for key, r in words("rungs").items()],
        "families": [
            [view.name("family", family), [_material(site, key) for key in members]]
            for family, members in site.families.items()
        ],
    }


def _material(site: Site, key: str) -> list:
    record = site.knowledge.materials[key]
    others = [
        *(d.code for d in record.designations),
        *record.also_called,
        *(name for names in record.names.values() for name in names),
    ]
    if makes_parts(site.knowledge, key):
        states = [site.view.state_name(key, s) for s in record.states] or [""]
    else:
        states = SOLDER if "joining" in record.traits else COATING
    return [key, sentence(record.name), " ".join(others), states]


def _places(site: Site) -> dict[tuple[str, str | None], int]:
    """The place of each material in each state, in the order of the list of materials."""
    bases = (m for m in site.rank if makes_parts(site.knowledge, m))
    states = ((m, s) for m in bases for s in site.knowledge.materials[m].states or (None,))
    return {cell: i for i, cell in enumerate(states)}


def of_part(site: Site, part: str, places: dict[tuple[str, str | None], int]) -> dict:
    """The half sentences, the distinct answers as [rung, halves of its reasons], and for the part
    and each of its settings its name and the answer of each place; last, the coated choices as
    [coating, material, its name with the state, answer, name of the coating]."""
    texts, answers = Numbered(), Numbered()
    reasons = Reasons(site.verdicts.worded, texts)
    rungs = {rung: i for i, rung in enumerate(site.knowledge.words("rungs"))}
    roles, coated = [], []
    for role in (part, *(f"{part}/{s}" for s in site.knowledge.parts[part].settings)):
        given: list[int | None] = [None] * len(places)
        for j in site.verdicts.of_role(role):
            answer = answers.of((rungs[j.rung], *reasons.all(j)))
            if j.coated is None:
                given[places[j.material, j.state]] = answer
            elif role == part:
                state = [site.view.state_name(j.material, j.state)] if j.state else []
                name = ", ".join([site.view.name("material", j.material), *state])
                over = site.view.name("material", j.coated)
                coated.append([j.coated, j.material, name, answer, over])
        roles.append([site.knowledge.roles[role].name if setting_of(role) else "", given])
    return {"texts": texts.things, "answers": answers.things, "roles": roles, "coated": coated}
