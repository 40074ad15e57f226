"""The training beside the lessons: questions that come back, bench tasks, cases, the plan of four
weeks, and the mentor's view."""

from __future__ import annotations

import json
from collections.abc import Iterator

from generator.records import models
from generator.records.knowledge import Knowledge
from generator.site.page import Page, Site
from generator.site.pages.grounds import ground_rows, see_links
from generator.site.pages.learning import lesson_path
from generator.site.pages.questions import question_row, right_answer
from generator.verdicts.conditions import cautions_of_process

START = [("Start", "index.html"), ("Lessons", "lessons/index.html")]
AGAIN = "Questions that come back"
TASKS = "Twelve bench tasks"
CASES = "Eight cases"
PLAN = "The four-week plan"
MENTOR = "For the mentor"
# file, title, what it is for; as the index of the lessons lists them
PAGES = (
    ("plan", PLAN, "Which lesson, task and case in which week, and why."),
    ("again", AGAIN, "What you missed, after 1, 3, 7 and 21 days; or ten mixed questions."),
    ("tasks", TASKS, "Samples, what to do, what the mentor must see."),
    ("cases", CASES, "Watches that need several pages at once."),
    ("mentor", MENTOR, "Sheets to sign and right answers, to print."),
)


def training_pages(site: Site) -> Iterator[Page]:
    """The pages of the training beside the lessons."""
    if not site.knowledge.lessons:
        return
    yield again_page(site)
    yield tasks_page(site)
    yield cases_page(site)
    yield plan_page(site)
    yield mentor_page(site)


def _page(site: Site, name: str, title: str, summary: str, **given) -> Page:
    body = site.view.draw(
        name,
        f"lessons/{name}.html",
        title=title,
        summary=summary,
        trail=[*START, (title, "")],
        **given,
    )
    return Page(f"lessons/{name}.md", title, summary, body, wide=True)


def homes(site: Site) -> list[tuple[str, str, list[dict]]]:
    """(name, address, questions) of every lesson in its order, then of every case."""
    knowledge = site.knowledge
    found = [
        (
            knowledge.lessons[key].name,
            site.view.address("lesson", key),
            [question_row(site, q) for q in knowledge.lessons[key].questions],
        )
        for key in lesson_path(knowledge)
    ]
    return found + [
        (case.name, f"lessons/cases.html#{key}", [question_row(site, q) for q in case.questions])
        for key, case in knowledge.cases.items()
    ]


def questions_script(site: Site) -> str:
    """assets/questions-data.js: every question as the lessons show it, for the page of those that
    come back. It may not be fetched from file://, and on the page itself it would be heavy."""
    drawn = site.view.draw("pool", "lessons/pool.html", homes=homes(site))
    return f"window.benchQuestions={json.dumps(drawn, ensure_ascii=False)};\n"


def again_page(site: Site) -> Page:
    """The script shows the questions that are due, or ten mixed ones."""
    summary = (
        "What you missed comes back after 1, 3, 7 and 21 days, mixed over all lessons. "
        "Kept on this device only."
    )
    return _page(site, "again", AGAIN, summary, homes=homes(site))


def tasks_page(site: Site) -> Page:
    """The bench tasks, each with a line to sign."""
    knowledge = site.knowledge
    tasks = [
        (key, task, site.cautions_named(task_cautions(knowledge, task)), see_links(task.see))
        for key, task in knowledge.tasks.items()
    ]
    summary = (
        "What your hands must be able to do, each with its samples and what the mentor must see"
        " before signing."
    )
    return _page(
        site,
        "tasks",
        TASKS,
        summary,
        tasks=[
            {
                "id": key,
                "task": task,
                "cautions": cautions,
                "see": see,
                "grounds": ground_rows(site, task.rests_on),
            }
            for key, task, cautions, see in tasks
        ],
    )


def task_cautions(knowledge: Knowledge, task: models.Task) -> set[str]:
    """The cautions of a bench task: its own, and those of the work it names."""
    found = set(task.cautions)
    for process in task.see.processes:
        found |= cautions_of_process(knowledge, process)
    return found


def cases_page(site: Site) -> Page:
    """The cases, each with the pages that it joins and its questions."""
    cases = [
        {
            "id": key,
            "case": case,
            "see": see_links(case.see),
            "questions": [question_row(site, q) for q in case.questions],
        }
        for key, case in site.knowledge.cases.items()
    ]
    summary = "Watches that need several pages at once. All of them are invented."
    return _page(site, "cases", CASES, summary, cases=cases)


def plan_page(site: Site) -> Page:
    """The plan of four weeks, and why it is arranged so."""
    summary = "Lessons, tasks and cases week by week, with what comes back in between."
    return _page(
        site,
        "plan",
        PLAN,
        summary,
        weeks=list(site.knowledge.weeks.values()),
        tasks=site.knowledge.tasks,
        cases=site.knowledge.cases,
    )


def mentor_page(site: Site) -> Page:
    """Everything that the mentor signs, and every right answer, to print."""
    gates = [r for r in site.knowledge.lessons.values() if r.demonstrate]
    summary = "The sheets to sign and all right answers, to print. Not for the trainee's eyes."
    return _page(
        site,
        "mentor",
        MENTOR,
        summary,
        gates=gates,
        weeks=list(site.knowledge.weeks.values()),
        tasks=site.knowledge.tasks,
        cases=site.knowledge.cases,
        answers=[
            (name, [(row["ask"], right_answer(row)) for row in rows])
            for name, _, rows in homes(site)
        ],
    )
