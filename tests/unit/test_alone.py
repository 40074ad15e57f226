"""A figure far from all its relatives, in a scale that its source does not print, between the steps
of its table or above the melting point is asked about; 700 degC are 973 K.

That the table of compatible couples goes by steps of 0.05 V is read from its rows (MIL-F-14072,
table VI); that one table keeps to one hardness scale for one temper is common practice.
"""

import pytest

from tests.benchmarks.planted import noticed, place_of


@pytest.mark.parametrize(
    ("key", "way", "source", "slip", "told"),
    [
        (
            "bronze-cusn8",
            ("figures", "anodic-index"),
            "anodic-index-table",
            {"range": ["0.040", "0.045"]},
            "between_the_steps: 0.040 is no row of the table",
        ),
        (  # the table goes to two places
            "bronze-cusn8",
            ("figures", "anodic-index"),
            "anodic-index-table",
            {"range": ["0.45", "0.50"]},
            "",
        ),
        (  # one table of tempers of several silvers, all in HV
            "silver-935-tarnish-resistant",
            ("states", "half-hard", "figures", "hardness"),
            "silver-temper-table",
            {"range": ["106", "120"], "unit": "HBW"},
            "scale_of_no_other: 106 is in HBW, and silver-temper-table prints other metals",
        ),
        (
            "gold-14-yellow",
            ("states", "annealed", "figures", "elongation"),
            "welz-585-yellow",
            {"typical": "450"},
            "stands_alone: elongation at break 450 is far from all its relatives, 4 to 50",
        ),
        (  # 700 to 800 degC in kelvin; it melts from 888 degC
            "brass-c36000",
            ("figures", "hot-working-temperature"),
            "bcc-c36000",
            {"range": ["973", "1070"]},
            "heat_against_melting: hot working temperature 973 degC is not between",
        ),
    ],
)
def test_a_figure_that_keeps_no_company(knowledge, key, way, source, slip, told):
    material = knowledge.materials[key]
    assert noticed(knowledge, ("", key, place_of(material, way, source), slip)).startswith(told)
