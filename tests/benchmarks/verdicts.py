"""Prints how the judgement grows: python tests/benchmarks/verdicts.py.

Ratios, not limits; no test times anything.
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


def times(knowledge: Knowledge, factor: int) -> Knowledge:
    """The same knowledge with every material ``factor`` times, under other ids."""
    materials = {
        f"{key}-{i}" if i else key: m
        for i in range(factor)
        for key, m in knowledge.materials.items()
    }
    folders = {
        f"{key}-{i}" if i else key: f for i in range(factor) for key, f in knowledge.folders.items()
    }
    return dataclasses.replace(knowledge, materials=materials, folders=folders)


def main() -> None:
    """Median of three runs at 1, 4 and 16 times the materials."""
    gc.disable()
    knowledge, _ = load(ROOT)
    first = None
    for factor in (1, 4, 16):
        larger, runs = times(knowledge, factor), []
        for _ in range(3):
            gc.collect()
            began = time.perf_counter()
            Verdicts(larger, Values(larger)).all_judged()
            runs.append(time.perf_counter() - began)
        median = sorted(runs)[1]
        first = first or median
        cells = len(larger.materials) * len(larger.roles)
        print(
            f"{factor:3} x materials: {cells:7} cells, {median:6.2f} s, {median / first:5.2f} times"
            f" the first, per cell {median / first / factor:.2f}"
        )


if __name__ == "__main__":
    main()
