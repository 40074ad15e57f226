"""The rule about a workshop's own measurements."""

from __future__ import annotations

from collections.abc import Iterator

from generator.checks.rule import Fault, rule_of_one
from generator.numbers.pooling import pooled
from generator.numbers.quantities import number_text
from generator.records.knowledge import Knowledge
from generator.records.materials import figures_of


@rule_of_one
def pooled_otherwise(knowledge: Knowledge) -> Iterator[Fault]:
    """A figure that lists its measurements is the range that they come to."""
    for key, material in knowledge.unsure("material").items():
        for way, _, figure in figures_of(material):
            if not figure.measured:
                continue
            found = pooled(figure.measured)
            if figure.range != (found.low, found.high):
                ends = f"{number_text(found.low)} to {number_text(found.high)}"
                yield Fault(
                    "material",
                    key,
                    way,
                    f"its measurements come to {ends}",
                    f"write range: [{found.low}, {found.high}], or mend a measurement",
                )
