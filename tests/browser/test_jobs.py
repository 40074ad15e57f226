"""The pages of whole jobs: results at once, the address brings the job back, one printed page."""

import re

import pytest

pytestmark = pytest.mark.browser


def open_job(page, site, key, query=""):
    page.goto((site / "formulas" / f"job-{key}.html").as_uri() + query)


def step(page, key):
    return page.locator(f"[data-step='{key}']").inner_text().replace("\u00a0", " ")


def test_every_job_shows_its_worked_example_and_fits_a_telephone(watched, site, knowledge):
    watched.set_viewport_size({"width": 390, "height": 844})
    for key, job in knowledge.jobs.items():
        open_job(watched, site, key)
        assert watched.evaluate("document.documentElement.scrollWidth") <= 390, key
        for name, value in job.example.inputs.items():
            watched.locator(f"form.calc input[name='{name}']").fill(f"{value:f}")
        for name, answer in job.example.answers.items():
            number = re.search(r"[\u22120-9][0-9\u202f.]*", step(watched, name))[0]
            found = float(number.replace("\u2212", "-").replace("\u202f", ""))
            assert found == pytest.approx(float(answer), rel=6e-4), (key, name)
        assert watched.locator(".calc__said").inner_text().count("outside") == 0
        assert watched.evaluate("document.documentElement.scrollWidth") <= 390, key


def test_the_address_brings_the_job_back(watched, site):
    open_job(watched, site, "spring-and-balance")
    watched.locator("input[name='job']").fill("No. 1204, invented")
    watched.locator("input[name='date']").fill("2026-11-26")
    watched.locator("input[name='rim']").fill("0.6 grains")
    box = watched.locator(".calc__piece[data-piece='balance'] select")
    value = box.evaluate("s => [...s.options].map(o => o.value).filter(Boolean)[0]")
    box.select_option(value)
    before = watched.locator(".calc__answers").inner_text()
    watched.goto(watched.evaluate("document.querySelector('.calc__link').href"))
    assert watched.locator("input[name='job']").input_value() == "No. 1204, invented"
    assert watched.locator("input[name='rim']").input_value() == "0.6 grains"
    assert watched.locator(".calc__piece[data-piece='balance'] select").input_value() == value
    assert watched.locator(".calc__answers").inner_text() == before
    assert "balance: " in watched.locator(".calc__metals").inner_text()


def test_each_job_prints_on_one_page(watched, site, knowledge, tmp_path):
    for key in knowledge.jobs:
        open_job(watched, site, key, "?job=1204&date=2026-11-26")
        paper = watched.pdf(prefer_css_page_size=True)
        assert len(re.findall(rb"/Type\s*/Page\b(?!s)", paper)) == 1, key


def test_a_fault_stops_the_job_in_words(watched, site):
    open_job(watched, site, "what-carat")
    watched.locator("input[name='wet']").fill("26")
    assert "cannot weigh more under water" in watched.locator(".calc__said").inner_text()
    assert step(watched, "carat") == ""
