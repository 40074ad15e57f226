"""The field of a part, hazard or process: the materials that it is judged against.

Up to MOST materials, all of them. Beyond that, judging everything against everything would grow
with the square, and nobody reads a list of thousands: then the field is the materials that the
record names, those of a workshop's own layer, others of the families named up to half of MOST, and
materials of all families in turn for the rest.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import zip_longest

from generator.records import models
from generator.records.knowledge import Knowledge

MOST = 200


def makes_parts(knowledge: Knowledge, key: str) -> bool:
    """Whether a part may be made of it: coatings cover parts and solders join them."""
    return knowledge.folders[key] != "coatings" and "joining" not in knowledge.materials[key].traits


class Fields:
    """The fields of one knowledge base, each worked out once; ``most`` is how many materials one
    may hold."""

    def __init__(self, knowledge: Knowledge, most: int = MOST):
        self.knowledge, self.most = knowledge, most
        self.materials = dict.fromkeys(knowledge.materials)
        self.bases = {m: None for m in self.materials if makes_parts(knowledge, m)}
        self._families: dict[str, list[str]] = defaultdict(list)
        for key, record in knowledge.materials.items():
            self._families[record.family].append(key)
        self._own = [key for kind, key in knowledge.layered if kind == "material"]
        self._hazards: dict[str, list[str]] | None = None

    def of_part(self, part: str) -> list[str]:
        """The materials that a part may be made of: its usual and wrong ones and their families
        first.

        Coatings are no such material.
        """
        choices = [
            c.material
            for c in (*self.knowledge.roles[part].usual, *self.knowledge.roles[part].wrong)
        ]
        return self._field(
            self.bases, choices, dict.fromkeys(self.knowledge.materials[m].family for m in choices)
        )

    def of_hazard(self, hazard: str) -> list[str]:
        """The materials that a hazard meets, first those that its rules name."""
        return self._named([rule.when for rule in self.knowledge.hazards[hazard].rules])

    def of_process(self, process: str) -> list[str]:
        """The materials among which those that a process suits are looked for."""
        return self._named([self.knowledge.processes[process].suits])

    def hazards_of(self, material: str) -> list[str]:
        """The hazards in whose field a material is."""
        if self._hazards is None:
            self._hazards = {m: [] for m in self.materials}
            for hazard in self.knowledge.hazards:
                for key in self.of_hazard(hazard):
                    self._hazards[key].append(hazard)
        return self._hazards[material]

    def _named(self, conditions: Iterable[models.When]) -> list[str]:
        whens = list(conditions)
        return self._field(
            self.materials,
            [m for w in whens for m in w.materials],
            dict.fromkeys(f for w in whens for f in w.families),
        )

    def _field(
        self, every: Mapping[str, None], named: Iterable[str], families: Iterable[str]
    ) -> list[str]:
        if len(every) <= self.most:
            return list(every)
        found = dict.fromkeys(m for m in named if m in every)
        own = (m for m in self._own if m in every)
        for materials, most in (
            (own, self.most),
            (_in_turn(self._families[f] for f in families), self.most // 2),
            (_in_turn(self._families.values()), self.most),
        ):
            for material in materials:
                if len(found) >= most:
                    break
                if material in every:
                    found[material] = None
        return sorted(found)


def _in_turn(lists: Iterable[Sequence[str]]) -> Iterator[str]:
    """The first of each list, then the second of each, and so on."""
    return (item for turn in zip_longest(*lists) for item in turn if item is not None)


def near(keys: Sequence[str], key: str, most: int = 24) -> list[str]:
    """The others of a list, without ``key``; of a long list only the neighbours on both sides."""
    others = [k for k in keys if k != key]
    if len(others) <= most:
        return others
    at = keys.index(key)
    start = min(max(0, at - most // 2), len(others) - most)
    return others[start : start + most]
