"""Prints how the judgement grows: python tests/benchmarks/verdicts.py.

The base really grows: every part is judged against every material, without the limit that a field
has otherwise; first the materials are multiplied, then the parts. Ratios of processor time, not
limits; no test times anything.
"""

import dataclasses
import gc
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from generator.numbers.values import Values  # noqa: E402
from generator.records.knowledge import Knowledge  # noqa: E402
from generator.records.loading import load  # noqa: E402
from generator.verdicts.verdicts import Verdicts  # noqa: E402

FACTORS, RUNS = (1, 4, 16), 3


def copies(records: dict, factor: int) -> dict:
    """The same records ``factor`` times, under other ids."""
    return {f"{key}-{i}" if i else key: r for i in range(factor) for key, r in records.items()}


def more_materials(knowledge: Knowledge, factor: int) -> Knowledge:
    """The same knowledge with every material ``factor`` times."""
    return dataclasses.replace(
        knowledge,
        materials=copies(knowledge.materials, factor),
        folders=copies(knowledge.folders, factor),
    )


def more_parts(knowledge: Knowledge, factor: int) -> Knowledge:
    """The same knowledge with every part ``factor`` times."""
    return dataclasses.replace(knowledge, parts=copies(knowledge.parts, factor))


def seconds(knowledge: Knowledge, runs: int) -> tuple[float, int]:
    """Processor time of judging everything, the best of some runs, and how many cells."""
    found, cells = [], 0
    for _ in range(runs):
        gc.collect()
        began = time.process_time()
        verdicts = Verdicts(knowledge, Values(knowledge))
        verdicts.fields.most = len(knowledge.materials)
        verdicts.all_judged()
        found.append(time.process_time() - began)
        cells = sum(len(c) for c in verdicts.cells.values())
    return min(found), cells


def main() -> None:
    """Prints seconds, cells, and the cost of a cell against that of the shipped base."""
    gc.disable()
    knowledge, _ = load(ROOT)
    for name, grow in (("materials", more_materials), ("parts", more_parts)):
        first = None
        for factor in FACTORS:
            took, cells = seconds(grow(knowledge, factor), RUNS if factor == 1 else 1)
            first = first or took / cells
            print(
                f"{factor:3} x {name}: {cells:7} cells, {took:6.2f} s, {1e6 * took / cells:5.1f} us"
                f" a cell, {took / cells / first:.2f} of the shipped base"
            )


if __name__ == "__main__":
    main()
