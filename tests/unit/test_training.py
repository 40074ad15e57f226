"""Questions rest on the base, their answers are worked out from it, and what is missed comes back
on its days. The page's own script runs in an engine inside Python."""

import json
import re
from decimal import Decimal as D
from pathlib import Path

import pytest
from py_mini_racer import MiniRacer

from generator.checks.claims import accepted, answer_of
from generator.checks.rules import check
from generator.numbers.quantities import NBSP
from generator.site.pages.questions import shuffled
from generator.verdicts.findings import Judge
from tests.conftest import FULL, SMALL, make_root

SCRIPT = Path(__file__).parents[2] / "site_src" / "pages" / "assets" / "lessons.js"


@pytest.fixture(scope="module")
def page():
    engine = MiniRacer()
    engine.eval(SCRIPT.read_text(encoding="utf-8"))
    return engine


def after(page, kept, right, today):
    call = f"benchLessons.after({json.dumps(kept)}, {json.dumps(right)}, {json.dumps(today)})"
    return json.loads(page.eval(f"JSON.stringify({call})"))


def test_missed_it_comes_back_after_1_3_7_and_21_days(page):
    """26 November and 1, 3, 7, 21 days: 27 and 29 November, 3 and 17 December."""
    kept, days = after(page, None, False, "2026-11-26"), []
    while kept["due"]:
        days.append(kept["due"])
        kept = after(page, kept, True, kept["due"])
    assert days == ["2026-11-27", "2026-11-29", "2026-12-03", "2026-12-17"]
    assert kept["first"] is False


def test_answered_late_the_gaps_stay(page):
    """Due on the 27th, answered on the 30th: the next gap is two days, from the 30th."""
    kept = after(page, None, False, "2026-11-26")
    assert after(page, kept, True, "2026-11-30")["due"] == "2026-12-02"


def test_missed_again_it_starts_again(page):
    kept = after(page, {"first": False, "step": 2, "due": "2026-12-03"}, False, "2026-12-03")
    assert (kept["step"], kept["due"]) == (0, "2026-12-04")


def test_right_before_its_day_changes_nothing(page):
    kept = {"first": False, "step": 1, "due": "2026-11-29"}
    assert after(page, kept, True, "2026-11-28") == kept


def test_right_at_once_never_comes_back(page):
    assert after(page, None, True, "2026-11-26") == {"first": True, "step": 0, "due": ""}


def test_what_one_was_sure_of_is_counted_apart(page):
    """Worked out by hand: sure twice, right once; guessed once, wrong; two that did not say."""
    kept = {
        "a": {"first": True, "sure": True},
        "b": {"first": False, "sure": True},
        "c": {"first": False, "sure": False},
        "d": {"first": True},
        "e": {"first": False},
    }
    told = json.loads(page.eval(f"JSON.stringify(benchLessons.calibration({json.dumps(kept)}))"))
    assert told == {"sure": {"right": 1, "of": 2}, "unsure": {"right": 0, "of": 1}}


def test_what_was_missed_for_sure_is_asked_first(page):
    """Butler, Fazio and Marsh 2011: such errors are the likeliest to come back after a week."""
    rows = [
        {"n": 1, "due": "2026-11-27"},
        {"n": 2, "due": "2026-11-27", "sure": True},
        {"n": 3, "due": "2026-11-26", "sure": False},
    ]
    sort = f"JSON.stringify({json.dumps(rows)}.sort(benchLessons.sooner).map(r => r.n))"
    assert json.loads(page.eval(sort)) == [3, 2, 1]


@pytest.mark.parametrize(
    ("day", "days", "then"),
    [
        ("2026-12-31", 1, "2027-01-01"),
        ("2028-02-28", 1, "2028-02-29"),
        ("2026-03-28", 3, "2026-03-31"),  # the clocks change on the 29th
    ],
)
def test_days_are_counted_by_the_calendar(page, day, days, then):
    assert page.eval(f"benchLessons.dayAfter({day!r}, {days})") == then


def test_answers_change_places_and_none_is_lost(page):
    """Fisher and Yates with the highest draws leaves the order, with the lowest it moves all."""
    stay = json.loads(page.eval("JSON.stringify(benchLessons.shuffled(['a','b','c'], () => 0.99))"))
    move = json.loads(page.eval("JSON.stringify(benchLessons.shuffled(['a','b','c'], () => 0))"))
    assert stay == ["a", "b", "c"] and move == ["b", "c", "a"]


@pytest.fixture
def full(tmp_path):
    return make_root(tmp_path, SMALL, FULL)


def faults(root):
    return [c.fault for c in check(root)[1]]


def edited(root, where, old, new):
    path = root / "knowledge" / where
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))
    return faults(root)


def test_the_filled_base_has_no_fault(full):
    assert faults(full) == []


@pytest.mark.parametrize(
    ("where", "old", "new", "fault"),
    [
        ("cautions.yaml", "[wear words]", "[other]", "full-caution does not say 'wear words'"),
        ("first_aid.yaml", "[aid words]", "[other]", "full-aid does not say 'aid words'"),
        (
            "processes/full-harden.yaml",
            "first step words, second step,",
            "second step, first step words,",
            "full-harden says 'second step' earlier than that",
        ),
        (
            "cautions.yaml",
            "what: limit words",
            "what: renamed words",
            "the base holds no such figure",
        ),
        (
            "lessons/full-lesson.yaml",
            "unit: g/cm3",
            "unit: kg/m3",
            "the answer comes in g/cm3, not in kg/m3",
        ),
        (
            "training/tasks.yaml",
            "verdicts: [fails]",
            "verdicts: [holds]",
            "test-brass in test-sea: the verdict is 'fails'",
        ),
    ],
)
def test_an_edit_that_falsifies_an_answer_is_complained_of(full, where, old, new, fault):
    assert edited(full, where, old, new) == [fault]


def test_a_remembered_figure_is_no_answer(full):
    path = full / "knowledge" / "alloys" / "test-steel.yaml"
    path.write_text(
        re.sub(
            r"typical: (7.98|8.0), source: [a-z-]+",
            r"typical: \1, source: memory",
            path.read_text(),
        )
    )
    assert "the answer rests on memory" in faults(full)


def test_the_tolerance_widens_the_answers_own_span(full):
    """7.98 to 8.0 within one per cent of 8.0: 7.90 to 8.08."""
    from generator.numbers.values import Values

    knowledge, _ = check(full)
    question = knowledge.lessons["full-lesson"].questions[1]
    quantity = answer_of(Judge(knowledge, Values(knowledge)), question.number)
    assert accepted(question.number, quantity) == (D("7.900"), D("8.080"))


def test_lines_to_order_never_stand_in_order(knowledge):
    orders = [q.order for _, _, _, q in knowledge.questions() if q.order]
    assert len(orders) >= 8
    for order in orders:
        lines = [s.say for s in order.steps]
        mixed = shuffled(lines)
        assert [line for _, line in mixed] != lines
        assert [lines[place] for place, _ in mixed] == [line for _, line in mixed]


# Worked out by hand from the question's own numbers; limits as the law prints them.
ANSWERS = {
    "loses 1.294 g": ("15.43", "g/cm3"),  # 20.000 * 0.9982 / 1.294
    "at 30 m?": ("3.02", "bar"),  # 1025 * 9.80665 * 30 / 100000
    "and want 750": ("6.63", "g"),  # 10 * (750 - 585) / (999 - 750) = 6.627, up
    "0.64 mm deep": ("20", "%"),  # (0.80 - 0.64) / 0.80
    "What density does that give": ("8.73", "g/cm3"),  # 42.00 * 0.9982 / 4.80
    "marked 200 m": ("250", "m"),  # ISO 6425: 1.25 times the marked pressure
    "let out by 0.10 mm": ("-36", "s/d"),  # 86400 / 2 * 0.10 / 120
    "1500 um of it must stay": ("26.7", "polish"),  # (1900 - 1500) / 15
    "European limit for nickel": ("0.5", "ug/cm2/week"),  # REACH Annex XVII entry 27
    "of direct current": ("30", "V"),  # IEC 60598-1: ripple-free direct voltage, not dry
    "splashed into an eye": ("15", "min"),  # poison centres: fifteen minutes at the least
    "60.0 g": ("34", "g"),  # 60.0 * 4.51 / 7.98, titanium grade 2 over 316L
    "4.00 g": ("7.3", "g"),  # 4.00 * 15.45 / 8.44, 3N gold over CuZn37
    "3 mm diameter": ("12.0", "g"),  # 0.15^2 * pi * 20 * 8.47
}


@pytest.mark.parametrize("asked", ANSWERS)
def test_a_number_to_type_is_the_number_worked_out_by_hand(knowledge, values, asked):
    found = [q.number for _, _, _, q in knowledge.questions() if q.number and asked in q.ask]
    assert len(found) == 1
    number, unit = ANSWERS[asked]
    low, high = accepted(found[0], answer_of(Judge(knowledge, values), found[0]))
    assert low <= D(number) <= high and found[0].unit == unit


def test_the_gate_has_twenty_questions_and_a_list_to_show(knowledge):
    gate = knowledge.lessons["safety-gate"]
    assert gate.number == 0 and len(gate.questions) == 20 and len(gate.demonstrate) >= 10


def test_every_lesson_task_and_case_has_its_week(knowledge):
    weeks = list(knowledge.weeks.values())
    for name, known in (
        ("lessons", knowledge.lessons),
        ("tasks", knowledge.tasks),
        ("cases", knowledge.cases),
    ):
        named = [key for week in weeks for key in getattr(week, name)]
        assert sorted(named) == sorted(known)


def test_three_kinds_of_question(knowledge):
    kinds = [q.kind for _, _, _, q in knowledge.questions()]
    assert len(kinds) >= 120
    assert kinds.count("number") >= 12 and kinds.count("order") >= 8


def test_the_length_of_an_answer_tells_nothing(knowledge):
    """Cues of length let people pass without the knowledge (Haladyna, Downing and Rodriguez 2002:
    keep the length of choices about equal). Where length tells nothing, the right answer stands
    on each place of the order by length as often as chance would put it there; equal lengths share
    a place."""
    found, chance = [0.0] * 4, [0.0] * 4
    shortest, longest, n = 0.0, 0.0, 0
    for options in (q.options for _, _, _, q in knowledge.questions() if q.options):
        lengths = [len(o.say) for o in options]
        right = next(len(o.say) for o in options if o.right)
        above, alike = sum(k > right for k in lengths), lengths.count(right)
        for place in range(above, above + alike):
            found[place] += 1 / alike
        for place in range(len(options)):
            chance[place] += 1 / len(options)
        longest += right == max(lengths)
        shortest += right == min(lengths)
        n += 1
    assert n >= 120
    assert longest <= chance[0] + 0.03 * n
    assert shortest <= chance[0] + 0.08 * n
    assert all(abs(f - c) <= 0.06 * n for f, c in zip(found, chance, strict=True)), (found, chance)


def test_every_ground_of_a_choice_stands_in_the_base(knowledge):
    """Most answers rest on something that the build checks."""
    choices = [q for _, _, _, q in knowledge.questions() if q.options]
    borne = [
        q for q in choices if any(getattr(q.rests_on, n) for n in type(q.rests_on).model_fields)
    ]
    assert len(borne) >= 0.9 * len(choices)
    assert NBSP not in "".join(q.ask for q in choices)
