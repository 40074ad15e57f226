"""What a workshop's own layer may do to safety: it can add cautions and take none away."""

from __future__ import annotations

from collections.abc import Iterator

from generator.records.complaints import Complaint
from generator.records.knowledge import KINDS, Knowledge
from generator.verdicts.conditions import cautions_of_material, cautions_of_process

FIND = {"material": cautions_of_material, "process": cautions_of_process}


def safety_taken_away(shipped: Knowledge, knowledge: Knowledge) -> Iterator[Complaint]:
    """No record loses a caution that it has without the layer, whichever field brought that
    about."""
    for kind in KINDS:
        for key, record in shipped.of_kind(kind).items():
            if key not in knowledge.of_kind(kind):
                continue
            find = FIND.get(kind, lambda known, key, kind=kind: known.of_kind(kind)[key].cautions)
            for caution in sorted(set(find(shipped, key)) - set(find(knowledge, key))):
                yield Complaint(
                    _place(knowledge, kind, key),
                    f"with this layer {record.name} loses the caution {caution}",
                    "a layer can only add cautions: name it here under `cautions`, "
                    "or take back the change that removes it",
                    "safety_taken_away",
                )


def _place(knowledge: Knowledge, kind: str, key: str):
    """Where the layer first touches the record; its shipped place where it does not."""
    ways = sorted(knowledge.layered.get((kind, key), ()), key=str)
    return knowledge.place(kind, key, ways[0] if ways else ())
