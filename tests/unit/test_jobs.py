"""Whole jobs: each against an answer worked out elsewhere to five digits, the page's script
against Python, and results carried on unrounded.

The answers in knowledge/jobs.yaml were worked out from the laws in SI units with another program;
the ones below are put together here from the definitions and laws alone.
"""

import json
import math
import random
from decimal import Decimal as D
from pathlib import Path

import pytest
from py_mini_racer import MiniRacer

from generator.commands.calculate import WorkFailed, job_words
from generator.numbers.jobs import run, symbol_of
from generator.numbers.quantities import NBSP, shown
from generator.numbers.typed import read
from generator.numbers.units import exported, unit_table
from generator.site.pages.formula import rule_of
from generator.site.pages.job import job_data
from tests.sampling import sample

ASSETS = Path(__file__).parents[2] / "site_src" / "pages" / "assets"
TEN = 10


@pytest.fixture(scope="module")
def table(knowledge):
    return unit_table(knowledge.words("units"), knowledge.words("asked_units"))


class Words:
    """As much of a site as the data of a job needs."""

    def __init__(self, knowledge):
        self.knowledge, self.view = knowledge, self

    def unit(self, unit):
        return "" if unit == "1" else self.knowledge.words("units")[unit].label


@pytest.fixture(scope="module")
def page(knowledge, table):
    engine = MiniRacer()
    units = {s.unit for f in knowledge.formulas.values() for s in f.symbols.values()}
    units |= {f.result.unit for f in knowledge.formulas.values()}
    engine.eval((ASSETS / "vendor/decimal.js").read_text(encoding="utf-8"))
    engine.eval(f"globalThis.benchUnits = {json.dumps(exported(table, units))}")
    for script in ("calc.js", "forms.js", "job.js"):
        engine.eval((ASSETS / script).read_text(encoding="utf-8"))
    engine.eval(
        """
        const jobs = {};
        function shownSteps(key, texts) {
          const typed = {};
          for (const f of jobs[key].fields) {
            typed[f.name] = benchForms.read(texts[f.name], f);
            if (typed[f.name].fault) { return JSON.stringify([f.name, typed[f.name].fault]); }
          }
          const done = benchJob.run(jobs[key], typed);
          return JSON.stringify(done.map((d) => [d.id, d.fault || benchCalc.shown(d.result)]));
        }
        """
    )
    for key, job in knowledge.jobs.items():
        engine.eval(f"jobs[{json.dumps(key)}] = {json.dumps(job_data(Words(knowledge), job))}")
    return engine


def worked(knowledge, table, key, texts):
    job = knowledge.jobs[key]
    typed = {
        f: read(text, symbol_of(knowledge.formulas, job, f), table) for f, text in texts.items()
    }
    return run(knowledge.formulas, job, typed, table)


def five_digits(found, answer):
    return abs(D(found) - D(answer)) <= D(1).scaleb(D(answer).adjusted() - 4) / 2


def test_ten_jobs_come_out_to_five_digits(knowledge, table):
    assert len(knowledge.jobs) >= TEN
    wrong = []
    for key, job in knowledge.jobs.items():
        texts = {f: f"{v:f}" for f, v in job.example.inputs.items()}
        done = worked(knowledge, table, key, texts)
        assert set(job.answers) <= set(job.example.answers), key
        for step, answer in job.example.answers.items():
            assert len(answer.as_tuple().digits) >= 5, (key, step, answer)
            if not five_digits(done[step].result.low, answer):
                wrong.append((key, step, done[step].result.low, answer))
    assert wrong == []


# Put together from laws and definitions alone, in SI units: Archimedes, two-metal mixing, Hooke,
# Faraday.
WATER_20 = 0.9982067  # g/cm3 at 20 degC, CIPM formula of Tanaka and others
RHO = 25.00 * WATER_20 / (25.00 - 23.40)
INERTIA = 40e-6 * 0.005**2  # kg m2
STIFFNESS = INERTIA * (2 * math.pi * 18000 / 7200) ** 2  # N m for one radian
GOLD = 1e-6 * 19300 * (math.pi * 0.040 * 0.008 + math.pi * 0.040**2 / 2)  # kg on the case
CURRENT = 50 * (math.pi * 0.040 * 0.008 + math.pi * 0.040**2 / 2)  # A at 0.5 A/dm2


@pytest.mark.parametrize(
    ("key", "step", "answer"),
    [
        ("what-carat", "fineness", 1000 * (1 / 8.96 - 1 / RHO) / (1 / 8.96 - 1 / 19.3)),
        ("what-carat", "carat", 24 * (1 / 8.96 - 1 / RHO) / (1 / 8.96 - 1 / 19.3)),
        ("remake-a-case", "order", 60 * 15.4 / 8.0 / 0.85),
        ("remake-a-case", "cost", 60 * 15.4 / 8.0 / 0.85 * 0.750 / 31.1034768 * 2000),
        ("remake-a-case", "melt", 8.5 / 0.96 * 15.4 * 1.10),
        ("spring-and-balance", "stiffness", STIFFNESS * 1e6),
        (
            "spring-and-balance",
            "thickness",
            (12 * STIFFNESS * 0.100 / (187e9 * 0.15e-3)) ** (1 / 3) * 1e6,
        ),
        ("spring-and-balance", "warming", 86400 / 2 * (5 + 3 * 8 - 2 * 17) * 1e-6),
        ("plate-a-case", "current", CURRENT),
        ("plate-a-case", "time", GOLD / 0.19697 * 96485.332 / (CURRENT * 0.95) / 60),
        (
            "screw-or-thread",
            "screw",
            800e6 * math.pi / 4 * (1e-3 - 0.938194 * 0.25e-3) ** 2,
        ),
        ("mainspring", "length", math.pi / 4 * (9**2 - 3**2) / 2 / 0.10),
        ("mainspring", "reserve", (math.sqrt(2 * (81 + 9)) - 12) / 0.2 * 80 / 10),
        ("mainspring", "escape", 2000e6 * 1.5e-3 * 0.10e-3**2 / 6 * 0.70 / 5400 * 1e6),
        ("alloying", "add_first", 10 * (999.9 - 750) / 750 / 2),
        ("alloying", "melt", 750),
        ("compensation", "span", (2.5 - (-1.0 + 0.4) / 2) * (30 / 32) ** 2),
        ("polishing", "polishings", (0.150 / 19.3 / 10 * 1e4 - 2) // 2),
        ("train", "beats", 80 / 10 * 75 / 10 * 70 / 7 * 2 * 15),
        ("train", "stiffness", 10e-10 * (2 * math.pi * 2.5) ** 2 * 1e6),
    ],
)
def test_an_answer_from_the_laws_alone(knowledge, table, key, step, answer):
    job = knowledge.jobs[key]
    done = worked(knowledge, table, key, {f: f"{v:f}" for f, v in job.example.inputs.items()})
    assert float(done[step].result.low) == pytest.approx(answer, rel=5e-6)


def test_results_are_carried_on_unrounded(knowledge, table):
    """25 g that lose 1.6 g show 15.60 g/cm3; from 15.60 the fineness would be 794.5, not 794.3."""
    done = worked(
        knowledge,
        table,
        "what-carat",
        {"air": "25.00", "wet": "23.40", "warmth": "20", "noble": "19.3", "other": "8.96"},
    )
    assert shown(done["density"].result).replace(NBSP, " ") == "about 15.60"
    assert shown(done["fineness"].result).replace(NBSP, " ") == "about 794.3"


def test_a_job_takes_units_and_ranges_and_stops_where_a_result_is_impossible(knowledge, table):
    texts = {"air": "16.1 dwt", "wet": "23.3..23.5", "warmth": "68 F", "noble": "19.3"}
    done = worked(knowledge, table, "what-carat", {**texts, "other": "8.96"})
    assert done["fineness"].result.low < 794 < done["fineness"].result.high
    done = worked(knowledge, table, "what-carat", {**texts, "wet": "24.9", "other": "8.96"})
    assert list(done)[-1] == "density" and "no metal or stone" in done["density"].fault


@pytest.mark.parametrize("each", [10, pytest.param(200, marks=pytest.mark.slow)])
def test_the_page_shows_what_python_shows_on_random_jobs(page, knowledge, table, each):
    generator, wrong, told = random.Random(13), [], 0
    for key, job in knowledge.jobs.items():
        for _ in range(each):
            texts = {}
            for field in job.fields:
                symbol = symbol_of(knowledge.formulas, job, field)
                value = float(symbol.default) * generator.uniform(0.7, 1.4)
                low, high = map(float, symbol.range)
                value = min(max(value, low), high)
                texts[field] = f"{round(value)}" if symbol.whole else f"{value:.4g}"
                if generator.random() < 0.05 and not symbol.whole:
                    texts[field] = f"{sample(generator, symbol):f}"
                texts[field] = texts[field] if "e" not in texts[field] else f"{value:.6f}"
            try:
                done = worked(knowledge, table, key, texts)
            except ValueError:
                continue
            here = [[s, d.fault or shown(d.result)] for s, d in done.items()]
            there = json.loads(page.call("shownSteps", key, texts))
            told += not here[-1][1].startswith("the")
            clean = [[s, t.rstrip(".").casefold()] for s, t in there]
            if clean != [[s, t.rstrip(".").casefold()] for s, t in here]:
                wrong.append((key, texts, here, there))
    assert wrong[:2] == []
    assert told > 5 * each


def test_every_rule_of_a_job_is_its_formulas(knowledge):
    for key, job in knowledge.jobs.items():
        data = job_data(Words(knowledge), job)
        for step, given in zip(job.steps.values(), data["steps"], strict=True):
            assert given["rule"] == rule_of(knowledge.formulas[step.formula]), key


def test_the_command_line_works_a_job_too(knowledge):
    text = job_words(knowledge, "what-carat", ["air=25.00 g", "wet=23.40"]).replace(NBSP, " ")
    assert "parts by mass in a thousand: about 794.3" in text
    with pytest.raises(WorkFailed, match="no metal or stone"):
        job_words(knowledge, "what-carat", ["wet=24.9"])
    with pytest.raises(WorkFailed, match="symbols: air, wet, warmth"):
        job_words(knowledge, "what-carat", ["dry=25"])
