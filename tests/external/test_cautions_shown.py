"""What a reader is warned of when a process, a material and a tool come together.

The list beside this file names the ground of each line.
"""

from pathlib import Path

import pytest
import yaml

from generator.export.document import build
from generator.site.pages.training import task_cautions
from generator.verdicts.conditions import (
    cautions_of_material,
    cautions_of_process,
    cautions_of_use,
)

pytestmark = pytest.mark.external
LIST = yaml.load(
    (Path(__file__).parent / "cautions_shown.yaml").read_text(encoding="utf-8"),
    Loader=yaml.CSafeLoader,
)


def of_the_work(knowledge, line) -> set[str]:
    """What the page of the process shows, and what the tool brings along."""
    return cautions_of_process(knowledge, line["process"]) | cautions_of_use(
        knowledge, [line["tool"]]
    )


def test_the_list_is_long_enough_and_speaks_of_cautions_that_exist(knowledge):
    assert len(LIST) >= 120
    assert {c for line in LIST for c in line["must"] + line["never"]} <= set(knowledge.cautions)
    assert {line["by"] for line in LIST} <= set("OERHNMSP")


@pytest.mark.parametrize("line", LIST, ids=lambda x: f"{x['process']}-{x['material']}-{x['tool']}")
def test_what_must_show_shows_and_what_must_not_does_not(knowledge, line):
    work = of_the_work(knowledge, line)
    found = work | cautions_of_material(knowledge, line["material"])
    assert set(line["must"]) <= found, sorted(set(line["must"]) - found)
    assert not work & set(line["never"]), sorted(work & set(line["never"]))


@pytest.fixture(scope="module")
def exported(knowledge):
    """The cautions of every material and process in the published data."""
    content = build(knowledge, {}, None)
    return {
        e["id"]: set(e["cautions"]) for kind in ("materials", "processes") for e in content[kind]
    }


@pytest.mark.parametrize("line", LIST, ids=lambda x: f"{x['process']}-{x['material']}-{x['tool']}")
def test_the_published_data_warn_as_the_pages_do(knowledge, exported, line):
    """What must show stands in the data of process or material, or comes with the tool."""
    found = exported[line["process"]] | exported[line["material"]]
    assert set(line["must"]) <= found | cautions_of_use(knowledge, [line["tool"]])
    assert not exported[line["process"]] & set(line["never"])


def test_a_bench_task_warns_of_the_work_that_it_names(knowledge):
    """Hardening: hot oil and flame; a leak test: the chamber; a section: uncured resin."""
    must = {
        "harden-temper-break": {"quench-oil", "hot-work"},
        "find-the-leak": {"pressure-test"},
        "cut-a-section": {"adhesives-and-uv"},
        "season-cracking": {"ammonia"},
        "red-gold-two-ways": {"hot-work", "fluxes", "solvents"},
    }
    for task, cautions in must.items():
        assert cautions <= task_cautions(knowledge, knowledge.tasks[task]), task
