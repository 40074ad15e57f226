"""What answers "I have only this": every material in every state, against the judgement itself."""

import json

import pytest

from generator.site import only_have
from generator.verdicts import wording


def content(script):
    return json.loads(script.partition("=")[2].rstrip().rstrip(";"))


@pytest.fixture(scope="module")
def scripts(site_pages):
    return {name: content(text) for name, text in only_have.scripts(site_pages).items()}


def answered(data, number):
    rung, *halves = data["answers"][number]
    pairs = zip(halves[::2], halves[1::2], strict=True)
    return rung, [data["texts"][a] + data["texts"][b] for a, b in pairs]


@pytest.mark.parametrize("part", ["balance-staff", "mainspring", "case-middle", "balance-spring"])
def test_every_state_has_its_rung_and_all_its_reasons(site_pages, scripts, part):
    data, listed = (
        scripts[f"assets/only-have/{part}.js"],
        scripts["assets/only-have-materials.js"],
    )
    rungs = [key for key, *_ in listed["rungs"]]
    cells, place = {}, 0
    for _, members in listed["families"]:
        for key, _, _, states in members:
            for state in states if isinstance(states, list) else ():
                cells[key, state] = place
                place += 1
    roles = [part, *(f"{part}/{s}" for s in site_pages.knowledge.parts[part].settings)]
    assert len(data["roles"]) == len(roles)
    for role, (_, numbers) in zip(roles, data["roles"], strict=True):
        for j in site_pages.verdicts.cells[role]:
            if j.coated is None:
                state = site_pages.view.state_name(j.material, j.state) if j.state else ""
                rung, said = answered(data, numbers[cells[j.material, state]])
                assert rungs[rung] == j.rung, j
                reasons = wording.reasons(site_pages.knowledge, j)
                ground = wording.ground_words(site_pages.verdicts.judge, j)
                reasons += [ground] if ground else []
                assert said == [r.replace("\u00a0", " ") for r in reasons], j


def test_every_part_has_a_file_and_every_material_is_listed(site_pages, scripts):
    listed = scripts["assets/only-have-materials.js"]["families"]
    names = {key for _, members in listed for key, *_ in members}
    assert names == set(site_pages.knowledge.materials)
    for part in site_pages.knowledge.parts:
        assert scripts[f"assets/only-have/{part}.js"]["roles"]


def test_a_coated_choice_stands_apart(scripts):
    """Rhodium over white gold on a fluted rim: common practice."""
    data = scripts["assets/only-have/bezel.js"]
    over = {(coating, material) for coating, material, *_ in data["coated"]}
    assert ("rhodium-plate", "gold-18-white-nickel") in over
