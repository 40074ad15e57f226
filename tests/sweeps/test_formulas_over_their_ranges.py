"""Every formula over the whole range of its inputs."""

import random
from decimal import Decimal as D

from generator.numbers.formulas import result_of
from generator.numbers.quantities import Quantity
from tests.sampling import all_formulas, sample


def test_values_inside_the_inputs_lie_inside_the_result(knowledge):
    """The corners bound the result for every formula: each rises or falls with each symbol over
    its range."""
    generator = random.Random(7)
    for key, record, program in all_formulas(knowledge):
        for _ in range(25):
            ends = {
                n: sorted(sample(generator, s) for _ in range(2)) for n, s in record.symbols.items()
            }
            try:
                result = result_of(
                    record, {n: Quantity(a, b, "1", 6) for n, (a, b) in ends.items()}, program
                )
            except ValueError:
                continue  # a division by zero or an impossible corner; the page says so
            for _ in range(4):
                inside = {n: a + (b - a) * D(str(generator.random())) for n, (a, b) in ends.items()}
                try:
                    points = {n: Quantity(v, v) for n, v in inside.items()}
                    value = result_of(record, points, program).low
                except ValueError:
                    continue
                slack = abs(value) * D("1e-9")
                assert result.low - slack <= value <= result.high + slack, (key, ends, inside)
