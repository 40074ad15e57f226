"""The training beside the lessons as a reader finds it: what each task, case and week holds and
where it leads, and the pool of questions. Of the invented records in tests/full."""

import json

import pytest

from generator.site.pages import training
from tests.shown import by_section

PAGES = [
    (
        "lessons/tasks.md",
        "Full task 1. Full task task aim words ⚠ Safety: Full caution Samples sample words Do first"
        " do words second do words Passed when passed words What it rests on Test brass, Test sea:"
        " fails Full steel NameDateSigned by the mentor",
        [
            *("#full-task", "../cautions.html#full-caution", "../materials/test-brass.html"),
            *("../hazards/test-sea.html", "../materials/full-steel.html"),
        ],
    ),
    (
        "lessons/cases.md",
        "Full case 1. Full case story words Pages you need: Full steel Full damp Full hardening"
        " case ask words case right say Right. case right why case wrong say No. case wrong why"
        " second case ask case yes say Right. case yes why case no say No. case no why",
        [
            *("#full-case", "../materials/full-steel.html", "../hazards/full-damp.html"),
            "../processes/full-harden.html",
        ],
    ),
    (
        "lessons/plan.md",
        "Full week goal words Lessons Full lesson Bench tasks Full task Cases Full case again words"
        " Questions that come back Why week because words Source Full author",
        [
            *("../lessons/full-lesson.html", "tasks.html#full-task", "cases.html#full-case"),
            *("again.html", "../sources/handbook.html#full-book"),
        ],
    ),
]


@pytest.mark.parametrize(("file", "said", "ways"), PAGES)
def test_what_stands_there_and_where_it_leads(invented_pages, file, said, ways):
    page = invented_pages[file]
    words, links = by_section(page.body)["top"]
    assert words == f"Start Lessons {page.title} {page.title} {page.description} {said}"
    assert links == ["../index.html", "../lessons/index.html", *ways]


def test_every_question_has_its_home(invented, invented_pages):
    """Five of the lesson, two of the case; lessons come before cases."""
    found = training.homes(invented)
    assert [(name, address, len(rows)) for name, address, rows in found] == [
        ("Full lesson", "lessons/full-lesson.html", 5),
        ("Full case", "lessons/cases.html#full-case", 2),
    ]
    words, links = by_section(invented_pages["lessons/again.md"].body)["pages"]
    assert words == "Full lesson, 5 questions Full case, 2 questions"
    assert links == ["../lessons/full-lesson.html", "../lessons/cases.html#full-case"]


def test_the_pool_holds_each_question_for_the_page_of_those_that_come_back(invented):
    script = training.questions_script(invented)
    assert script.startswith("window.benchQuestions=") and script.endswith(";\n")
    drawn = json.loads(script.removeprefix("window.benchQuestions=").removesuffix(";\n"))
    places = [
        drawn.index(ask)
        for ask in (
            *("first ask words", "second ask words", "third ask words", "fourth ask words"),
            *("fifth ask words", "case ask words", "second case ask"),
        )
    ]
    assert places == sorted(places)


def test_a_task_has_the_cautions_of_the_work_that_it_names(invented):
    """Heat treatment brings the caution of the invented list; a task without work has its own
    alone."""
    knowledge = invented.knowledge
    task = knowledge.tasks["full-task"].model_copy(update={"cautions": []})
    assert training.task_cautions(knowledge, task) == set()
    see = task.see.model_copy(update={"processes": ["full-harden"]})
    assert training.task_cautions(knowledge, task.model_copy(update={"see": see})) == {
        "full-caution"
    }
    own = task.model_copy(update={"cautions": ["test-dust"]})
    assert training.task_cautions(knowledge, own) == {"test-dust"}


def test_a_matrix_of_hazards_has_one_sign_a_metal_and_hazard(invented_pages):
    """Columns full damp and test sea; rules of tests/full and tests/small."""
    words = by_section(invented_pages["tables/matrix-hazards.md"].body)["top"][0]
    assert (
        "material Full damp Test sea Test steel + + Full steel (−) + Test brass (+) − Full plate ?"
        " + Test plate ? + "
    ) in words
    outside = by_section(invented_pages["tables/matrix-parts-outside.md"].body)["top"][0]
    assert "material Test case Test steel ●◔ Full steel p Test brass − " in outside
