"""Receives records and verdicts; hands on what only paper needs: the lines of a printed card, and sizes that fit a sheet.

A material or a part prints as one A5 card: the top of its page, then these lines in place of the long tables. A matrix
prints on one A4 sheet, lying. The style sheet knows the sizes by the names handed on here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from generator import models, wording
from generator.linking import Knowledge
from generator.verdicts import Exposure
from generator.view import sentence

# The largest letters that still fit, by how much text a card holds; measured in print.
CARD_SIZES = ((1700, "large"), (2600, "middle"), (4500, "small"))
SMALLEST = "smallest"
WIDTH, HEIGHT, POINT = 282, 178, 0.353  # room for a matrix on A4 lying, in mm, and a point in mm
ROW_LETTERS, HEAD_LETTERS = 34, 26  # the style sheet cuts longer names of rows and columns at this length


def material_lines(knowledge: Knowledge, key: str, exposures: Iterable[tuple[str, Exposure]],
                   cautions: Iterable[models.Caution]) -> list[tuple[str, str]]:
    """What the card of a material says below the key figures: care, how it works, what attacks it, its designations."""
    record, words = knowledge.materials[key], knowledge.words
    by_rating: dict[str, list[str]] = defaultdict(list)
    for work in words("workings"):
        if work in record.working:
            by_rating[record.working[work].rating].append(words("workings")[work].name)
    by_verdict: dict[str, list[str]] = defaultdict(list)
    for hazard, exposure in exposures:
        by_verdict[exposure.verdict].append(knowledge.hazards[hazard].name.lower())
    lines = _care(cautions)
    lines += [(sentence(entry.name), ", ".join(by_rating[r])) for r, entry in words("ratings").items() if r in by_rating]
    lines += [(sentence(words("exposure_verdicts")[v].name), ", ".join(dict.fromkeys(by_verdict[v])))
              for v in ("fails", "suffers", "holds-with-care") if v in by_verdict]
    codes = "; ".join(f"{words('systems')[d.system].name} {d.code}" for d in record.designations)
    return lines + ([("Designations", codes)] if codes else [])


def part_lines(knowledge: Knowledge, key: str, cautions: Iterable[models.Caution]) -> list[tuple[str, str]]:
    """What the card of a part says below usual and wrong: care, what it asks, what it meets, which work remakes it."""
    record, words = knowledge.parts[key], knowledge.words
    lines = _care(cautions)
    for firm, label in ((True, "Must have"), (False, "Should have")):
        asked = [wording.demand_words(knowledge, d) for d in record.demands if d.firm == firm]
        lines += [(label, "; ".join(asked))] if asked else []
    for severity, entry in words("severities").items():
        met = [knowledge.hazards[m.hazard].name.lower() for m in record.meets if m.severity == severity]
        lines += [(f"Meets {entry.name}", ", ".join(met))] if met else []
    work = list(dict.fromkeys(knowledge.processes[s.process].name for s in record.remake if s.process))
    return lines + ([("Work to remake it", ", ".join(work))] if work else [])


def _care(cautions: Iterable[models.Caution]) -> list[tuple[str, str]]:
    return [(f"⚠ {sentence(c.name)}", c.danger) for c in cautions]


def card_size(texts: Iterable[str], reasons: Iterable[str]) -> tuple[str, bool]:
    """The largest size at which these texts fit an A5 card, and whether the reasons of usual and wrong must stay on the page."""
    length, more = sum(map(len, texts)), sum(map(len, reasons))
    brief = length + more > CARD_SIZES[-1][0]
    total = length if brief else length + more
    return next((name for most, name in CARD_SIZES if total <= most), SMALLEST), brief


def matrix_size(rows: Sequence[str], columns: Sequence[str]) -> tuple[int, int]:
    """For a matrix with these names: into how many blocks side by side it is cut, and its letters in half points, so that it
    fits A4 lying. Lengths in mm, as measured on paper: a bold letter is 0.6 of its height wide, a sign 1.5."""
    across_row = min(max(map(len, rows), default=1), ROW_LETTERS) * 0.6
    up_head = min(max(map(len, columns), default=1), HEAD_LETTERS) * 0.6
    best = (1, 4)
    for blocks in (1, 2, 3):
        down, room = -(-len(rows) // blocks), (WIDTH - 4 * (blocks - 1)) / blocks
        fitting = [half for half in range(best[1] + 1, 17)
                   if down * (half / 2 * POINT * 1.06 + 0.2) + up_head * half / 2 * POINT + 2 <= HEIGHT
                   and across_row * half / 2 * POINT + len(columns) * (half / 2 * POINT * 1.5 + 0.95) <= room]
        if fitting:
            best = (blocks, fitting[-1])
    return best
