"""How every material stands for a part (or a part in one of its settings), and why, in words."""

from __future__ import annotations

from collections.abc import Iterator

from generator.numbers.values import Values
from generator.records.knowledge import Knowledge, part_of, setting_of
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import Ladder
from generator.verdicts.wording import ground_words, reasons, state_name


def explain_role(knowledge: Knowledge, role: str) -> Iterator[str]:
    """Where every material stands for a part or setting, best first, with its reasons."""
    record, rungs = knowledge.roles[role], knowledge.words("rungs")
    yield record.name
    setting = knowledge.parts[part_of(role)].settings.get(setting_of(role))
    if setting is not None:
        yield f"  how to tell: {setting.tells}"
        if setting.period:
            yield "  restoration needs the material of the period"
    for name in record.settings:
        yield f"  in other watches: explain {role}/{name}"
    ladder = Ladder(Judge(knowledge, Values(knowledge)))
    last = None
    for j in ladder.of_part(role):
        if j.rung != last:
            yield f"{rungs[j.rung].name}:"
        last = j.rung
        piece = state_name(knowledge, j.material, j.state)
        coated = f", coated with {knowledge.materials[j.coated].name}" if j.coated else ""
        said = f"{'; '.join(reasons(knowledge, j))} {ground_words(ladder.judge, j)}".rstrip()
        yield f"  {piece}{coated}: {said}"
