"""Every formula of the knowledge base: published answers.

Each example names its source in its record.
"""

from collections import Counter
from decimal import Decimal as D

import pytest

from generator.checks.formulas import example_agrees
from generator.numbers.formulas import compile_expression, evaluate
from tests.sampling import all_formulas

pytestmark = pytest.mark.external


def test_at_least_45_independent_published_answers_come_out(knowledge):
    counts = Counter()
    for key, record, program in all_formulas(knowledge):
        for example in record.examples:
            agrees = example_agrees(example, evaluate(program, example.inputs))
            assert agrees == (example.proves != "wrong"), (key, example.inputs)
            counts[example.proves] += 1
    assert counts["independent"] >= 45
    assert counts["wrong"] >= 3


# Published answers that are wrong and must not come out; the source and its slip stand in the
# records' notes.
@pytest.mark.parametrize(
    ("formula", "values", "printed", "right"),
    [
        # an online solution takes the diameter of 5.0 cm as the radius: 51.565 days instead of 12.9
        (
            "plating-time-by-current",
            {
                "s": "200",
                "rho": "19.3",
                "A": "0.19635",
                "n": "3",
                "M": "196.96657",
                "I": "0.01",
                "eta": "100",
            },
            51.565 * 1440,
            12.89 * 1440,
        ),
        # a mass-weighted mean of densities
        (
            "density-by-reciprocal-rule",
            {"w_1": "75", "w_2": "25", "rho_1": "19.32", "rho_2": "10.49"},
            17.11,
            15.96,
        ),
    ],
)
def test_wrong_printed_answers_are_not_reproduced(knowledge, formula, values, printed, right):
    record = knowledge.formulas[formula]
    value = float(
        evaluate(
            compile_expression(record.expression, record.symbols),
            {k: D(v) for k, v in values.items()},
        )
    )
    assert value == pytest.approx(right, rel=0.003)
    assert value != pytest.approx(printed, rel=0.02)
