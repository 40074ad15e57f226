"""Everything that a knowledge base says, as short texts by subject: what two folders are
compared by.

Sections: figures (fields of records, entries of lists), stands (rungs), exposures, tables, places
(of rows in tables, and of what is offered for a part), marks (what a metal allows to each
observation), grounds (what sayings and answers rest on), cautions, leaflet, cards.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from generator.deliver.sharing import both
from generator.numbers.quantities import NBSP, Quantity
from generator.numbers.values import values_of
from generator.records.knowledge import Knowledge
from generator.site import leaflet
from generator.site.page import Site
from generator.site.pages.learning import ground_rows
from generator.tables import tables
from generator.tables.cells import Computed, Row, Table
from generator.upkeep import editions
from generator.verdicts import wording
from generator.verdicts.conditions import cautions_of_material, cautions_of_process
from generator.verdicts.findings import EXPOSURE_ORDER
from generator.verdicts.rungs import OFFERED, Judgement
from generator.verdicts.verdicts import Verdicts

Said = dict[str, dict[str, dict[str, str]]]  # section -> subject -> what -> text
SECTIONS = (
    "figures", "cautions", "stands", "exposures", "grounds", "marks", "tables", "places", "leaflet",
    "cards",
)  # fmt: skip


def site_of(root: Path, knowledge: Knowledge, verdicts: Verdicts | None = None) -> Site:
    """What pages are drawn from, without drawing any."""
    values = values_of(knowledge)
    verdicts = verdicts or Verdicts(knowledge, values)
    templates, cache = root / "site_src" / "templates", root / "build" / "templates"
    return Site(knowledge, values, tables.build(knowledge, values), verdicts, templates, cache)


def said(site: Site, cards: Mapping[str, str]) -> Said:
    """All that the knowledge base says. ``cards``: digests of the cards that were drawn."""
    own = {**_judged(site.verdicts, list(site.knowledge.roles)), **_recorded(site.knowledge)}
    return _joined(_rest(site), own, cards)


def site_and_said(root: Path, knowledge: Knowledge) -> tuple[Site, Said]:
    """Both at once, without cards; two processes share the work where the system allows: most of
    it is judging."""
    verdicts, roles = Verdicts(knowledge, values_of(knowledge)), list(enumerate(knowledge.roles))
    few = [role for i, role in roles if i % 5 < 2]  # beside what else the first has to say

    def mine() -> tuple[Site, Said, Said]:
        site = site_of(root, knowledge, verdicts)
        return site, _rest(site), _judged(verdicts, few)

    def others() -> Said:
        many = [role for i, role in roles if i % 5 >= 2]
        return {**_recorded(knowledge), **_judged(verdicts, many)}

    (site, rest, judged), told = both(mine, others)
    for section in judged:
        told[section] |= judged[section]
    return site, _joined(rest, told, {})


def _joined(rest: Said, own: Said, cards: Mapping[str, str]) -> Said:
    return {
        **rest,
        **own,
        "places": rest["places"] | own["places"],
        "cards": {page: {"": mark} for page, mark in cards.items()},
    }


def _recorded(knowledge: Knowledge) -> Said:
    return {"figures": editions.fields(knowledge) | editions.entries(knowledge)}


def _rest(site: Site) -> Said:
    """What is said beside judgements and figures."""
    return {
        "cautions": _cautions(site.knowledge),
        "exposures": _exposures(site),
        "grounds": _grounds(site),
        "marks": {m["id"]: _texts(m) for m in site.signs["materials"]},
        "tables": {key: _table(site.knowledge, table) for key, table in site.tables.items()},
        "places": {f"tables/{key}": _places(table) for key, table in site.tables.items()},
        "leaflet": _leaflet(site),
    }


def subject(material: str, state: str | None, coated: str | None = None) -> str:
    """A material in a state, bare or coated, as a key."""
    return "|".join((material, state or "", coated or ""))


def _cautions(knowledge: Knowledge) -> dict[str, dict[str, str]]:
    found = {}
    for key in knowledge.materials:
        found[f"materials/{key}"] = dict.fromkeys(sorted(cautions_of_material(knowledge, key)), "")
    for key in knowledge.processes:
        found[f"processes/{key}"] = dict.fromkeys(sorted(cautions_of_process(knowledge, key)), "")
    return found


def _judged(verdicts: Verdicts, roles: Sequence[str]) -> Said:
    """The rung of every piece for each role, and the order of the materials that are offered."""
    stands: dict = {}
    places: dict = {}
    for role in roles:
        cells = verdicts.of_role(role)
        stands[role] = {subject(j.material, j.state, j.coated): _stand(j) for j in cells}
        names = [subject(j.material, None, j.coated) for j in cells if j.rung in OFFERED]
        places[f"parts/{role}"] = _numbered(dict.fromkeys(names))
    return {"stands": stands, "places": places}


def _numbered(names: Iterable[str]) -> dict[str, str]:
    return {name: str(place) for place, name in enumerate(names, 1)}


def _stand(j: Judgement) -> str:
    """The rung, and what of it is a gate, missing or short."""
    why = [gate.kind for gate in j.gates] + ["unknown"] * len(j.missing)
    why += [s.key for s in j.shortfalls]
    return f"{j.rung} {' '.join(dict.fromkeys(why))}".strip()


def _exposures(site: Site) -> dict[str, dict[str, str]]:
    knowledge, judge = site.knowledge, site.verdicts.judge
    return {
        hazard: {
            subject(material, state): judge.exposure(hazard, material, state).verdict
            for material in site.fields.of_hazard(hazard)
            for state in knowledge.materials[material].states or (None,)
        }
        for hazard in knowledge.hazards
    }


def _grounds(site: Site) -> dict[str, dict[str, str]]:
    found = {f"sayings/{k}": {"": s.rests_on} for k, s in site.knowledge.sayings.items()}
    for key, lesson in site.knowledge.lessons.items():
        found[f"lessons/{key}"] = {str(i): q.rests_on for i, q in enumerate(lesson.questions, 1)}
    return {
        page: {
            what: "; ".join(row.said for row in ground_rows(site, grounds)).replace(NBSP, " ")
            for what, grounds in asked.items()
        }
        for page, asked in found.items()
    }


def _texts(record: Mapping) -> dict[str, str]:
    return {
        key: value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
        for key, value in record.items()
    }


def _table(knowledge: Knowledge, table: Table) -> dict[str, str]:
    found: dict[str, str] = {}
    for row in table.rows:
        key = subject(row.material, row.state)
        n = 1
        while f"{key}|{n}" in found:  # several rows of one material, such as pairs
            n += 1
        found[f"{key}|{n}"] = _row(knowledge, table, row)
    return found


def _places(table: Table) -> dict[str, str]:
    """The place of each material in each state, where it stands first."""
    return _numbered(dict.fromkeys(subject(row.material, row.state) for row in table.rows))


def _row(knowledge: Knowledge, table: Table, row: Row) -> str:
    cells = []
    for column in table.columns:
        value = row.cells.get(column.id)
        if isinstance(value, Computed):
            value = value.value
        if isinstance(value, Quantity):
            cells.append(f"{column.title} {wording.with_unit(knowledge, value)}")
        elif value is not None and column.kind != "material":
            cells.append(f"{column.title} {value}")
    return "; ".join(cells).replace(NBSP, " ")


def _leaflet(site: Site) -> dict[str, dict[str, str]]:
    data = leaflet.data(site.knowledge, site.view, site.verdicts)
    listed = leaflet.hazards(site.knowledge)
    words = [site.view.word("exposure_verdicts", v) for v in EXPOSURE_ORDER]
    found = {
        f"materials/{key}": {
            "sentences": " ".join(told["says"]),
            "sentences below a coating": " ".join(told["below"]),
            "name": f"{told['name']} {json.dumps(told['words'], ensure_ascii=False)}",
            **{h: words[int(d)] for h, d in zip(listed, told["worst"], strict=True)},
        }
        for key, told in data["materials"].items()
    }
    for hazard, lines in zip(listed, data["hazards"], strict=True):
        found[f"hazards/{hazard}"] = {"sentences": " ".join(lines)}
    found["activities"] = {a["name"]: json.dumps(a, ensure_ascii=False) for a in data["activities"]}
    return found
