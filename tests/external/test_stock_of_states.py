"""What is sold as wire alone is offered for no case and no plate: common practice, and the
standards of the states (spring wire to EN 10270-3, strip to EN 10151)."""

import pytest

from generator.verdicts.rungs import NO, OFFERED
from tests.conftest import shipped


@pytest.mark.parametrize(
    ("part", "material", "state", "is_offered"),
    [
        ("case-middle", "stainless-316l", "spring-hard", False),  # wire of a few millimetres
        ("bezel", "stainless-implant-1-4441", "spring-hard", False),
        ("case-back", "stainless-304", "spring-hard", False),
        ("clasp", "stainless-316l", "spring-hard", False),
        ("crown", "stainless-316l", "spring-hard", False),
        ("clasp", "stainless-spring-1-4310", "half-hard", True),  # a leaf of strip
        ("spring-bar", "stainless-316l", "spring-hard", True),
        ("spring-bar", "stainless-implant-1-4441", "spring-hard", True),
        ("click-spring", "stainless-316l", "spring-hard", True),
        ("case-middle", "gold-18-yellow-3n", "cold-worked", True),
        ("case-middle", "stainless-316l", "cold-worked", True),  # drawn bar
    ],
)
def test_a_state_is_offered_in_the_form_in_which_it_is_sold(part, material, state, is_offered):
    found = shipped().ladder.judgement(part, material, state)
    assert (found.rung in OFFERED) == is_offered
    if not is_offered:
        assert found.rung == NO and "stock" in [gate.kind for gate in found.gates]
