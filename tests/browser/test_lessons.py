"""The trainee's questions in a browser: kept on the device only, back on their days, and of use
where the browser keeps nothing."""

import pytest

from tests.conftest import settled, until

pytestmark = pytest.mark.browser
GATE = "lessons/safety-gate.html"
BLOCKED = "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('no'); }})"


def opened(page, site, where=GATE):
    page.goto((site / where).as_uri())
    until(page, "!!window.benchLessons")
    return page


def miss_first(page):
    question = page.locator(".question").first
    question.locator(".option--other summary").first.click()
    until(page, "document.querySelector('.question').dataset.noted === 'yes'")
    return question.locator("h3").inner_text()


def test_a_missed_question_is_there_again_the_next_day(chromium, site):
    context = chromium.new_context()
    page = context.new_page()
    page.clock.install(time="2026-11-26T10:00:00")
    opened(page, site)
    asked = miss_first(page)
    opened(page, site, "lessons/again.html")
    rows = page.locator(".again__list tbody tr")
    assert rows.count() == 1 and "27 November 2026" in rows.inner_text()
    assert page.locator(".pool .question").count() == 0
    page.clock.set_system_time("2026-11-27T10:00:00")
    opened(page, site, "lessons/again.html")
    assert page.locator(".again__list tbody tr").inner_text().startswith("today")
    assert page.locator(".pool .question h3").inner_text() in asked
    page.locator(".pool .option--right summary").click()
    until(page, "document.querySelector('.pool .question').dataset.noted === 'yes'")
    opened(page, site, "lessons/again.html")
    assert "29 November 2026" in page.locator(".again__list tbody tr").inner_text()
    context.close()


def test_how_sure_one_is_is_asked_before_and_told_after(watched, site):
    opened(watched, site)
    question = watched.locator(".question").first
    question.locator(".sure button", has_text="I am sure").click()
    miss_first(watched)
    assert "You were sure" in question.inner_text()
    second = watched.locator(".question:has(.option--right)").nth(1)
    second.locator(".sure button", has_text="I guess").click()
    second.locator(".option--right summary").click()
    until(watched, "document.querySelectorAll('[data-noted=yes]').length === 2")
    assert second.locator(".sure").count() == 0
    opened(watched, site, "lessons/index.html")
    told = watched.locator(".progress").inner_text()
    assert "Sure, and right: 0 of 1." in told and "Guessed, and right: 1 of 1." in told


def test_only_the_first_answer_counts(watched, site):
    opened(watched, site)
    miss_first(watched)
    watched.locator(".question").first.locator(".option--right summary").click()
    kept = watched.evaluate("Object.values(JSON.parse(localStorage['bench-questions']))")
    assert len(kept) == 1 and kept[0]["first"] is False and kept[0]["due"]


def test_where_the_browser_keeps_nothing_the_page_lists_what_was_missed(chromium, site):
    """The theme's own inline script stumbles over a blocked store; ours must not."""
    context = chromium.new_context()
    page, ours = context.new_page(), []
    page.on(
        "pageerror", lambda error: ours.append(error.stack) if "assets/" in error.stack else None
    )
    page.add_init_script(BLOCKED)
    opened(page, site)
    asked = miss_first(page)
    missed = page.locator(".missed")
    missed.scroll_into_view_if_needed()
    settled(page)
    assert missed.is_visible() and asked in missed.inner_text()
    opened(page, site, "lessons/again.html")
    assert "keeps nothing" in page.locator(".again__kept").inner_text()
    page.locator("[data-show=mixed]").click()
    assert page.locator(".pool .question").count() == 10
    assert ours == []
    context.close()


def test_printing_answers_nothing(watched, site):
    """Paper opens every answer; the device must not take that for the trainee's."""
    opened(watched, site)
    watched.evaluate("dispatchEvent(new Event('beforeprint'))")
    settled(watched)
    assert watched.locator(".answer[open]").count() > 0
    watched.evaluate("dispatchEvent(new Event('afterprint'))")
    settled(watched)
    assert watched.evaluate("localStorage.getItem('bench-questions')") is None
    miss_first(watched)
    assert watched.evaluate("localStorage.getItem('bench-questions')") is not None


def test_answers_change_their_places(watched, site):
    orders = set()
    for _ in range(8):
        opened(watched, site)
        orders.add(tuple(watched.locator(".question").first.locator("summary").all_inner_texts()))
        if len(orders) > 1:
            break
    assert len(orders) > 1 and len({tuple(sorted(o)) for o in orders}) == 1


@pytest.mark.parametrize(
    ("typed", "told"),
    [("15", "Right."), ("20 ", "Right."), ("5", "No."), ("soon", "Type one number")],
)
def test_a_number_is_typed(watched, site, typed, told):
    """Poison centres say fifteen to twenty minutes under water."""
    opened(watched, site)
    question = watched.locator(".question", has_text="splashed into an eye")
    question.locator("input").fill(typed)
    question.locator(".typed button").click()
    assert told in question.locator(".told").inner_text()
    assert question.locator(".answer[open]").count() == (0 if typed == "soon" else 1)


def test_lines_are_put_in_order(watched, site):
    opened(watched, site)
    question = watched.locator(".question", has_text="hangs on to a live wire")
    first = question.locator(".order li", has_text="Keep your hands off")
    first.scroll_into_view_if_needed()
    settled(watched)
    assert question.locator(".order li").first.inner_text() != first.inner_text()
    for place in range(question.locator(".order li").count()):
        item = question.locator(f".order li[data-place='{place}']")
        while (
            watched.evaluate("e => [...e.parentNode.children].indexOf(e)", item.element_handle())
            > place
        ):
            item.locator("[data-move='-1']").click()
    question.locator(".order__check button").click()
    assert question.locator(".told").inner_text() == "Right."


def test_a_wrong_order_is_told(watched, site):
    opened(watched, site)
    question = watched.locator(".question", has_text="hangs on to a live wire")
    question.locator(".order__check button").click()
    assert question.locator(".told").inner_text() == "No."
    answer = question.locator(".answer li").all_inner_texts()
    assert answer[0] == "Keep your hands off the person" and answer[-1].startswith("Hospital")


def test_everything_can_be_forgotten(watched, site):
    opened(watched, site)
    miss_first(watched)
    opened(watched, site, "lessons/index.html")
    assert "0 of 1 answered right first time" in watched.locator(".progress").inner_text()
    watched.locator(".progress__clear").click()
    assert not watched.locator(".progress").is_visible()
    assert watched.evaluate("localStorage.getItem('bench-questions')") is None


def test_without_scripts_every_answer_opens(chromium, site):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / GATE).as_uri())
    assert page.locator(".typed:visible, .order__check:visible, .missed:visible").count() == 0
    page.locator(".question", has_text="hangs on to").locator(".answer summary").click()
    assert page.locator(".answer[open] li").first.inner_text() == "Keep your hands off the person"
    context.close()


HEIGHTS = """[...document.querySelectorAll('.order__move button, .typed input, .option summary')]
  .filter(e => e.offsetParent).map(e => e.getBoundingClientRect().height)"""


def test_buttons_are_large_enough_and_nothing_leaves_the_width(watched, site):
    for name in ("safety-gate", "again", "tasks", "cases", "plan", "mentor"):
        if name in ("tasks", "plan"):
            watched.goto((site / f"lessons/{name}.html").as_uri())
        else:
            opened(watched, site, f"lessons/{name}.html")
        for width, height in ((390, 844), (820, 1180), (1180, 820)):
            watched.set_viewport_size({"width": width, "height": height})
            assert watched.evaluate("document.documentElement.scrollWidth") <= width, name
            if name == "safety-gate":
                assert min(watched.evaluate(HEIGHTS)) >= 48
