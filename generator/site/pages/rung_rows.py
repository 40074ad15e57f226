"""Rows of judgements as part and material pages show them, sorted by rung."""

from __future__ import annotations

from generator.site.page import Site
from generator.verdicts import wording
from generator.verdicts.findings import Findings
from generator.verdicts.rungs import BESIDE, NO, PINCH, Judgement

SHOWN_AT_ONCE = 6  # names in one line at the top of a page; the tables below hold all
UNFOLDED = {BESIDE: 6, PINCH: 4}  # rows of a part; those further from its usual choices fold


def by_rung(site: Site, kind: str, rows: list[list[Judgement]]) -> dict[str, list[dict]]:
    """The rows of a part or a material, by the rung on which they stand."""
    found = {rung: [] for rung in site.knowledge.words("rungs")}
    for cells in rows:
        for together in _measured_apart(site, cells):
            found[cells[0].rung].append(_row(site, kind, together))
    found[NO].sort(key=lambda row: not _is_measured(site, row["judgement"]))
    return found


def _measured_apart(site: Site, cells: list[Judgement]) -> list[list[Judgement]]:
    """The states of a row; those that a workshop's own figure rules out stand by themselves, so
    that its figure is seen."""
    own = [c for c in cells if _is_measured(site, c)]
    return [part for part in (own, [c for c in cells if c not in own]) if part] if own else [cells]


def _is_measured(site: Site, judgement: Judgement) -> bool:
    return bool(site.knowledge.layered) and any(
        wording.is_own(site.knowledge, gate.answer.quantity)
        for gate in judgement.gates
        if gate.answer
    )


def _row(site: Site, kind: str, cells: list[Judgement]) -> dict:
    first = cells[0]
    states = [site.view.state_name(c.material, c.state) for c in cells if c.state]
    all_states = len({c.state for c in cells if c.state}) == len(
        site.knowledge.materials[first.material].states
    )
    if first.coated:
        covered = f"coated: {site.knowledge.materials[first.coated].name}"
        states = [f"{s}, {covered}" for s in states] or [covered]
    return {
        "kind": kind,
        "id": first.part if kind == "part" else first.material,
        "states": states,
        "every": all_states and not any(c.coated for c in cells),
        "judgement": first,
        "findings": Found(site, first),
    }


class Found:
    """What was found on a material for a part, worked out when a page asks for it.

    All that it rests on: the judgement, the records of the part, the material, its coating and, for
    expansion, of the mates' usual materials.
    """

    def __init__(self, site: Site, judgement: Judgement):
        self._site, self._judgement = site, judgement

    def __call__(self) -> Findings:
        return self._site.verdicts.findings(self._judgement)

    @property
    def rests_on(self) -> tuple:
        """What tells two of them apart (``site/kept_pages.py``)."""
        knowledge, judgement = self._site.knowledge, self._judgement
        return (
            knowledge.roles[judgement.part],
            knowledge.materials[judgement.material],
            judgement.coated and knowledge.materials[judgement.coated],
            self._site.mates[judgement.part],
        )


def judged(site: Site, field, every) -> str:
    """What a page says when not all materials were judged; nothing when they were."""
    if len(field) == len(every):
        return ""
    return (
        f"{len(field)} of {len(every)} materials are judged here, starting with those that this"
        " page names and their families."
    )
