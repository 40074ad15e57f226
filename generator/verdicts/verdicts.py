"""The judgement of every material in every state for every part and each of its settings, worked
out once, when it is first asked for; and where a judgement contradicts the trade."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from functools import cached_property

from generator.numbers.values import Values
from generator.records import models
from generator.records.knowledge import Knowledge, setting_of
from generator.verdicts.findings import Findings, Judge
from generator.verdicts.rungs import NO, OFFERED, ORDER, OWN, Judgement, Ladder, Substitute
from generator.verdicts.worded import Worded


class Verdicts:
    """All judgements: for each part, and each of its settings, the bare materials of its field in
    all states, and the usual coated ones, best first."""

    def __init__(self, knowledge: Knowledge, values: Values):
        self.knowledge, self.judge = knowledge, Judge(knowledge, values)
        self.ladder, self.worded = Ladder(self.judge), Worded(self.judge)
        self.fields = self.judge.fields
        self._judged: dict[str, list[Judgement]] = {}
        self._rows: dict[str, list[list[Judgement]]] = {}
        self.hurried = False  # whether few pages are wanted before all is judged

    def of_role(self, role: str) -> list[Judgement]:
        """The judgements of a part, or of one of its settings, best first."""
        if role not in self._judged:
            self._judged[role] = self.ladder.of_part(role)
        return self._judged[role]

    @cached_property
    def cells(self) -> dict[str, list[Judgement]]:
        """All judgements, by part and setting."""
        return {role: self.of_role(role) for role in self.knowledge.roles}

    @cached_property
    def _by_material(self) -> dict[str, list[list[Judgement]]]:
        found: dict[str, list[list[Judgement]]] = defaultdict(list)
        for role in self.knowledge.roles:
            for row in self.of_part(role):
                found[row[0].material].append(row)
        return found

    def _alone(self, material: str) -> list[list[Judgement]]:
        """The rows of a material without judging the others."""
        return [
            row
            for role in self.knowledge.roles
            for row in _rows(self.ladder.of_part(role, materials=(material,)))
        ]

    def all_judged(self) -> Verdicts:
        """Itself, with everything judged and worded; called before the process is forked."""
        assert self._by_material is not None
        self.hurried = False
        for cells in self.cells.values():
            for judgement in cells:
                self.worded.halves(judgement)
        return self

    def of_part(self, part: str) -> list[list[Judgement]]:
        """The judgements of a part, best first; a row holds the states of one material, bare or
        under one coating, that stand on the same rung."""
        if part not in self._rows:
            self._rows[part] = _rows(self.of_role(part))
        return self._rows[part]

    def of_material(self, material: str) -> list[list[Judgement]]:
        """The rows of a material for all parts, the best rung first; a setting is told where it
        offers something."""
        rows = self._alone(material) if self.hurried else self._by_material[material]
        return sorted(
            (row for row in rows if row[0].rung in OFFERED or not setting_of(row[0].part)),
            key=lambda row: (
                ORDER[row[0].rung],
                len(row[0].shortfalls),
                row[0].distance,
                row[0].part,
            ),
        )

    def findings(self, judgement: Judgement) -> Findings:
        """What was found on the material that a judgement is of."""
        return self.judge.findings(
            judgement.part, judgement.material, judgement.state, judgement.coated
        )

    def substitutes(self, part: str, material: str, state: str | None) -> Iterator[Substitute]:
        """What may be used in place of a piece, nearest first, each material once."""
        seen = set()
        for s in self.ladder.substitutes(self.of_role(part), material, state):
            if s.judgement.material not in seen:
                seen.add(s.judgement.material)
                yield s


def _rows(cells: list[Judgement]) -> list[list[Judgement]]:
    """Rows in the order of their best cell; each usual choice has a row of its own."""
    rows: dict[tuple, list[Judgement]] = {}
    for j in cells:
        key = (j.rung, j.material, j.coated, id(j.choice) if j.rung == OWN else 0)
        rows.setdefault(key, []).append(j)
    return list(rows.values())


def collisions(
    knowledge: Knowledge, ladder: Ladder
) -> Iterator[tuple[str, tuple, models.Choice, Judgement]]:
    """Where a judgement contradicts what the trade does: (part, way to the choice, the choice, the
    judgement).

    Usual choices must come out as usual choices, wrong ones as no. A choice without a state is
    usual when any state of the material will do, and wrong when none will.
    """
    for key, at, part in knowledge.choosers():
        role = "/".join((key, *at[1:]))
        for name, wanted, choices in (("usual", OWN, part.usual), ("wrong", NO, part.wrong)):
            for i, choice in enumerate(choices):
                states = (choice.state,) if choice.state else _all_states(knowledge, choice)
                found = [ladder.judgement(role, choice.material, s, choice.coated) for s in states]
                best = min(found, key=lambda j: ORDER[j.rung])
                if best.rung != wanted:
                    yield key, (*at, name, i), choice, best


def _all_states(knowledge: Knowledge, choice: models.Choice) -> tuple[str | None, ...]:
    return tuple(knowledge.materials[choice.material].states) or (None,)
