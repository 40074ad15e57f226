"""What only paper needs: the lines of a printed card, and sizes that fit a sheet.

A material or part prints as one A5 card, two-sided where needed, or as an A4 sheet where 8 pt
letters would not fit: the top of its page, then these lines in place of the long tables, with a QR
code if the site has an address. A matrix runs over as few A4 sheets as 6 pt letters allow. The
style sheet knows the sizes by the names given here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from markupsafe import Markup

from generator.records import models
from generator.records.knowledge import Knowledge
from generator.site.texts import sentence
from generator.verdicts import wording
from generator.verdicts.findings import Exposure

# The letters that one side holds at 9 and at 8 pt on A5 and at 8 pt on A4; measured in print.
LARGE, MIDDLE, SHEET = 1700, 2400, 5600
CODE_LETTERS = 150  # the room that the code takes from the text
POINT = 0.353  # a point in mm
SHEETS = {
    "upright": (196, 269),
    "lying": (282, 181),
}  # room for a matrix on A4, in mm, beside its title, legend and foot
LETTERS = range(
    12, 17
)  # of a matrix, in half points: from 6 pt, below which nobody reads at the bench, to 8 pt


def material_lines(
    knowledge: Knowledge,
    key: str,
    exposures: Iterable[tuple[str, Exposure]],
    cautions: Iterable[models.Caution],
) -> list[tuple[str, str]]:
    """What the card of a material says below the key figures: care, how it works, what attacks it,
    its designations."""
    record, words = knowledge.materials[key], knowledge.words
    by_rating: dict[str, list[str]] = defaultdict(list)
    for work in words("workings"):
        if work in record.working:
            by_rating[record.working[work].rating].append(words("workings")[work].name)
    by_verdict: dict[str, list[str]] = defaultdict(list)
    for hazard, exposure in exposures:
        by_verdict[exposure.verdict].append(knowledge.hazards[hazard].name.lower())
    lines = _care(cautions)
    lines += [
        (sentence(entry.name), ", ".join(by_rating[r]))
        for r, entry in words("ratings").items()
        if r in by_rating
    ]
    lines += [
        (sentence(words("exposure_verdicts")[v].name), ", ".join(dict.fromkeys(by_verdict[v])))
        for v in ("fails", "suffers", "holds-with-care")
        if v in by_verdict
    ]
    codes = "; ".join(f"{words('systems')[d.system].name} {d.code}" for d in record.designations)
    return lines + ([("Designations", codes)] if codes else [])


def part_lines(
    knowledge: Knowledge, key: str, cautions: Iterable[models.Caution]
) -> list[tuple[str, str]]:
    """What the card of a part says below usual and wrong: care, what it asks, what it meets, which
    work remakes it."""
    record, words = knowledge.parts[key], knowledge.words
    lines = _care(cautions)
    for firm, label in ((True, "Must have"), (False, "Should have")):
        asked = [wording.demand_words(knowledge, d) for d in record.demands if d.firm == firm]
        lines += [(label, "; ".join(asked))] if asked else []
    for severity, entry in words("severities").items():
        met = [
            knowledge.hazards[m.hazard].name.lower() for m in record.meets if m.severity == severity
        ]
        lines += [(f"{sentence(entry.name)} exposed to", ", ".join(met))] if met else []
    work = list(
        dict.fromkeys(knowledge.processes[s.process].name for s in record.remake if s.process)
    )
    return lines + ([("Work to make one", ", ".join(work))] if work else [])


def _care(cautions: Iterable[models.Caution]) -> list[tuple[str, str]]:
    return [(f"⚠ {sentence(c.name)}", c.danger) for c in cautions]


def card_size(top: Iterable[str], lines: Iterable[str]) -> tuple[str, int]:
    """The largest size at which these texts fit a card, and on how many sides: what is too much
    for one side has its lines overleaf, so that nothing is left out."""
    first, second = sum(map(len, top)), sum(map(len, lines))
    if first + second <= MIDDLE:
        return "large" if first + second <= LARGE else "middle", 1
    if max(first, second) <= MIDDLE:
        return "middle", 2
    return "sheet", 1 if first + second <= SHEET else 2


def code(address: str) -> Markup:
    """A QR code that leads to an address, as a drawing of black squares."""
    import segno  # only sites with an address pay for loading it

    return Markup(
        segno.make(address, error="m", micro=False).svg_inline(
            border=2, omitsize=True, svgclass="code", lineclass=None
        )
    )


def matrix_size(rows: Sequence[str], columns: Sequence[str]) -> tuple[str, int, int]:
    """For a matrix with these names: how the A4 sheets lie, the letters in half points, and over
    how many sheets its rows run.

    Fewest sheets first, then the largest letters; the heads stand on each sheet. A matrix that is
    too wide for any sheet gets the smallest letters all the same. Lengths in mm, as measured on
    paper: a bold letter is 0.6 of its height wide, a sign 1.5.
    """
    across_row, up_head = (max(map(len, names), default=1) * 0.6 for names in (rows, columns))
    found = []
    for way, (width, height) in SHEETS.items():
        for half in LETTERS:
            tall = half / 2 * POINT
            if across_row * tall + len(columns) * (tall * 1.5 + 0.95) <= width:
                sheets = -(-len(rows) // int((height - up_head * tall - 2) / (tall * 1.06 + 0.2)))
                found.append((sheets, -half, way))
    sheets, half, way = min(found, key=lambda one: one[:2], default=(1, -LETTERS[0], "lying"))
    return way, -half, sheets
