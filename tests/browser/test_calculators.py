"""The calculators: the browser computes what Python computes, and answers every slip with a
sentence."""

import json
import os
import random

import pytest

from generator.numbers.formulas import compile_expression, evaluate, for_browser
from tests.conftest import LYING, Watched
from tests.sampling import MANY_PAGES, all_formulas, sample, spread

pytestmark = pytest.mark.browser
INPUTS = int(os.environ.get("BENCH_INPUTS", "25"))


def open_formula(page, site, key, query=""):
    page.goto((site / "formulas" / f"{key}.html").as_uri() + query)


@pytest.fixture(scope="module")
def counter(chromium):
    """The page of ``kept``."""
    context = chromium.new_context(viewport=LYING)
    yield Watched(context.new_page())
    context.close()


@pytest.fixture
def kept(counter):
    """A page that stays on its calculator for as long as tests ask for the same one.

    What the last test left there must be gone before anything is asserted: each types something
    else first.
    """
    yield counter.page
    faults, counter.faults = counter.faults, []
    assert faults == []


def keep_at(page, site, key):
    """Open a calculator unless it stands there already."""
    if not page.url.startswith((site / "formulas" / f"{key}.html").as_uri()):
        open_formula(page, site, key)


def test_browser_and_python_agree_on_random_inputs(watched, site, knowledge):
    """Twenty-five random inputs a formula, or BENCH_INPUTS, to 1 part in 10^12."""
    open_formula(watched, site, "mass-from-volume")
    generator = random.Random(11)
    for key, record, program in all_formulas(knowledge):
        cases, expected = [], []
        while len(cases) < INPUTS:
            values = {n: sample(generator, s) for n, s in record.symbols.items()}
            try:
                expected.append(float(evaluate(program, values)))
            except ValueError:
                continue
            cases.append({n: [float(v), 4] for n, v in values.items()})
        found = watched.evaluate(
            "([program, cases]) => cases.map(c => benchCalc.run(program, c).value.toNumber())",
            [for_browser(program), cases],
        )
        scale = max(abs(e) for e in expected)
        # near a difference that cancels, the inputs' own size sets the last place
        assert [
            (key, case, a, b)
            for case, a, b in zip(cases, expected, found, strict=True)
            if not abs(a - b) <= max(1e-12 * abs(b), 1e-15 * scale)
        ] == []


def test_every_published_example_comes_out_in_the_browser(watched, site, knowledge):
    open_formula(watched, site, "mass-from-volume")
    from decimal import Decimal

    from generator.checks.formulas import example_agrees

    for key, record, program in all_formulas(knowledge):
        for example in record.examples:
            inputs = {n: [float(v), 6] for n, v in example.inputs.items()}
            value = watched.evaluate(
                "([program, inputs]) => benchCalc.run(program, inputs).value.toNumber()",
                [for_browser(program), inputs],
            )
            assert example_agrees(example, Decimal(repr(value))) == (example.proves != "wrong"), (
                key,
                example.inputs,
            )


def type_in(page, **values):
    for name, text in values.items():
        page.locator(f"form.calc input[name='{name}']").fill(text)
    return page.locator(".calc__result").inner_text(), page.locator(".calc__said").inner_text()


@pytest.mark.parametrize(
    ("volume", "density", "shown"),
    [
        ("4.0", "7.98", "about 31.92 g"),
        ("4,0", "7,98", "about 31.92 g"),
        ("4.0 cm3", "7.98 g/cm³", "about 31.92 g"),
        ("4.0", "7.9 to 8.0", "31.6 to 32.0 g"),
        ("4.00", "7.90..8.00", "31.6 to 32.0 g"),
        (" 1.00 ", "19.30", "19.3 g"),
    ],
)
def test_what_people_type_is_understood(kept, site, volume, density, shown):
    keep_at(kept, site, "mass-from-volume")
    assert type_in(kept, V="", rho="")[0] == ""
    result, said = type_in(kept, V=volume, rho=density)
    assert result.replace("\u00a0", " ") == shown
    assert said.startswith("What the part should weigh")


@pytest.mark.parametrize(
    ("volume", "said"),
    [
        ("", "Volume of the part: type a number, such as"),
        ("lots", "is not a number"),
        ("1e309", "is not a number"),
        ("-4", "is outside 0.0001 to 1000"),
        ("1 2 3 4", "is not a number"),
        ("1e9", "is outside"),
        ("NaN", "is not a number"),
        ("<b>", "is not a number"),
        ("1..2..3", "is not a number"),
    ],
)
def test_every_slip_gets_a_sentence_and_never_nan(kept, site, volume, said):
    keep_at(kept, site, "mass-from-volume")
    result, message = type_in(kept, V="4.0", rho="7.98")
    assert result != "" and said not in message
    result, message = type_in(kept, V=volume)
    assert result == ""
    assert said in message
    assert "NaN" not in kept.locator("form.calc").inner_text().replace("\u201cNaN\u201d", "")


def test_a_division_by_zero_is_said_in_words(watched, site):
    open_formula(watched, site, "raise-carat")
    result, message = type_in(watched, m="10", c_from="18", c_to="24")
    assert result == ""
    assert "divide by zero" in message or "is outside" in message


def chooser(page, piece):
    return page.locator(f".calc__piece[data-piece='{piece}']")


def test_a_material_fills_the_field_stays_named_and_the_link_brings_it_back(watched, site):
    open_formula(watched, site, "mass-from-volume")
    chooser(watched, "material").locator("select").select_option("platinum-950-ruthenium")
    result = watched.locator(".calc__result").inner_text()
    assert result
    assert "(Platinum 950" in watched.locator(".calc__working").inner_text()
    watched.goto(watched.evaluate("document.querySelector('.calc__link').href"))
    assert watched.locator(".calc__result").inner_text() == result
    assert "(Platinum 950" in watched.locator(".calc__working").inner_text()
    assert chooser(watched, "material").locator("select").input_value() == "platinum-950-ruthenium"


def test_a_material_leaves_when_its_figure_is_typed_over(watched, site):
    open_formula(watched, site, "mass-from-volume")
    chooser(watched, "material").locator("select").select_option("platinum-950-ruthenium")
    type_in(watched, rho="15.4")
    assert chooser(watched, "material").locator("select").input_value() == ""
    assert "Platinum" not in watched.locator(".calc__working").inner_text()
    assert "platinum" not in watched.evaluate("document.querySelector('.calc__link').href")


def test_one_choice_of_a_plating_metal_fills_three_fields(watched, site):
    """Nickel: 58.69 g/mol, two electrons, 8.90 g/cm3 (periodic table)."""
    open_formula(watched, site, "plating-thickness")
    chooser(watched, "plating metal").locator("select").select_option("nickel")
    values = [watched.locator(f"form.calc input[name='{n}']").input_value() for n in ("M", "n")]
    assert values == ["58.6934", "2"]
    assert watched.locator("form.calc input[name='rho']").input_value().startswith("8.9")
    assert "gold" not in watched.locator(".calc__said").inner_text().casefold()


def test_a_long_list_is_grouped_by_family_and_shortened_by_typing(watched, site):
    open_formula(watched, site, "mass-from-volume")
    box = chooser(watched, "material")
    assert box.locator("optgroup").count() > 5
    before = box.locator("option").count()
    box.locator("input").fill("platinum 950")
    after = box.locator("optgroup option").all_inner_texts()
    assert 0 < len(after) < before / 10
    assert all("950" in name for name in after)
    box.locator("input").press("Enter")
    assert box.locator("select").input_value() != ""


def test_an_open_figure_of_a_material_comes_back_by_its_link(watched, site):
    """A guaranteed minimum, such as the strength of a screw's class, stays `at least`."""
    open_formula(watched, site, "thread-breaking-load")
    box = chooser(watched, "screw").locator("select")
    for value in box.evaluate("s => [...s.options].map(o => o.value).filter(Boolean)"):
        box.select_option(value)
        text = watched.locator("form.calc input[name='Rm']").input_value()
        if text.startswith("at least") and watched.locator(".calc__result").inner_text():
            break
    assert text.startswith("at least")
    result = watched.locator(".calc__result").inner_text()
    assert result.startswith("at least")
    watched.goto(watched.evaluate("document.querySelector('.calc__link').href"))
    assert watched.locator(".calc__result").inner_text() == result


@pytest.mark.parametrize(
    ("formula", "name", "text", "below"),
    [
        ("mass-of-round-bar", "d", ".030 in", "= 0.762 mm"),
        ("mass-of-round-bar", "d", "30 thou", "= 0.762 mm"),
        ("raise-fineness", "m", "25 dwt", "= 38.879346 g"),
        ("raise-fineness", "R", "92.5 %", "= 925 \u2030"),
        ("celsius-to-fahrenheit", "C", "590 F", "= 310 \u00b0C"),
        ("beats-to-hertz", "n", "4 Hz", "= 28\u202f800 beats/h"),
        ("mass-of-round-bar", "rho", "7900 kg/m3", "= 7.9 g/cm\u00b3"),
        ("mass-of-round-bar", "d", "1.5 mm", ""),
    ],
)
def test_another_unit_is_converted_before_the_eyes(kept, site, formula, name, text, below):
    """Factors by definition: inch 25.4 mm, pennyweight 1.55517384 g, 24 carat to 1000 per mille."""
    keep_at(kept, site, formula)
    assert type_in(kept, **{name: ""})[0] == ""
    assert kept.locator(f"#as-{name}").inner_text() == ""
    type_in(kept, **{name: text})
    assert kept.locator(f"#as-{name}").inner_text().replace("\u00a0", " ") == below
    assert kept.locator(".calc__result").inner_text() != ""
    assert text in kept.locator(".calc__working").inner_text()


def fullest(site, keys):
    """Calculators from the shortest to the longest form, BENCH_PAGES of them, and the ten longest:
    what pushes an answer down is what stands in the form above it."""

    def above(key):
        text = (site / "formulas" / f"{key}.html").read_text(encoding="utf-8")
        return len(text.partition('class="formula"')[0])

    return dict.fromkeys([*spread(keys, above, MANY_PAGES), *sorted(keys, key=above)[-10:]])


def test_calculators_answer_on_the_first_screen_of_an_upright_tablet(watched, site, knowledge):
    watched.set_viewport_size({"width": 820, "height": 1180})
    low, silent = {}, []
    for key in fullest(site, knowledge.formulas):
        open_formula(watched, site, key)
        place = watched.evaluate(
            "Math.max(...['result', 'said'].map(n => document.querySelector('.calc__' +"
            " n).getBoundingClientRect().bottom))"
        )
        formula = watched.locator(".formula").bounding_box()["y"]
        if place > 1180 or formula < place:
            low[key] = place
        if watched.locator(".calc__result").inner_text():
            silent += [] if watched.locator(".calc__said").inner_text() else [key]
    assert low == {}
    assert silent == []


@pytest.mark.parametrize("typed", ["7,9 to 8,0", "7.98 g/cm\u00b3", "100%", "a&b=c"])
def test_the_link_holds_what_was_typed_to_the_letter(watched, site, typed):
    open_formula(watched, site, "mass-from-volume")
    before = type_in(watched, V="4,0", rho=typed)
    watched.goto(watched.evaluate("document.querySelector('.calc__link').href"))
    assert watched.locator("form.calc input[name='rho']").input_value() == typed
    assert watched.locator("form.calc input[name='V']").input_value() == "4,0"
    assert (
        watched.locator(".calc__result").inner_text(),
        watched.locator(".calc__said").inner_text(),
    ) == before


def test_the_result_says_what_it_means(watched, site):
    open_formula(watched, site, "galvanic-difference")
    watched.locator("form.calc input[name='i_1']").fill("0.50")
    assert watched.locator(".calc__result").inner_text().startswith("0.5")


def test_programs_on_the_pages_are_the_knowledge_bases(site, knowledge):
    for key, record in knowledge.formulas.items():
        text = (site / "formulas" / f"{key}.html").read_text(encoding="utf-8")
        program = json.dumps(
            for_browser(compile_expression(record.expression, record.symbols)),
            separators=(",", ":"),
            ensure_ascii=False,
        )
        assert program.replace('"', "&#34;") in text, key


@pytest.mark.parametrize(
    ("page", "typed", "shown", "said"),
    [
        # ASTM E140 Table 1: 60 HRC is 697 HV, 61 HRC 720 HV
        ("hardness-conversion", "60", "about 697 HV", ""),
        ("hardness-conversion", "60 HRC", "about 697 HV", ""),
        ("hardness-conversion", "60-61", "about 697 to 720 HV", ""),
        ("hardness-conversion", "60 to 61 HRC", "about 697 to 720 HV", ""),
        ("hardness-conversion", "at least 60", "at least about 697 HV", ""),
        ("hardness-conversion", "700 HV", "", "with one of: HRC"),
        ("hardness-conversion", "1,234", "", "can mean two numbers"),
        ("hardness-conversion", "75", "", "do not reach 75 HRC"),
        ("tempering-temperature", "60 to 61", "\u00b0C", ""),
        ("tempering-temperature", "60 HV", "", "with one of: HRC"),
        ("tempering-temperature", "99", "", "is not on it"),
    ],
)
def test_a_look_up_takes_ranges_and_says_what_it_does_not_take(
    kept, site, page, typed, shown, said
):
    keep_at(kept, site, page)
    kept.locator("form.calc input[name='value']").fill("")
    assert kept.locator(".calc__result").inner_text() == ""
    assert not said or said not in kept.locator(".calc__said").inner_text()
    kept.locator("form.calc input[name='value']").fill(typed)
    result = kept.locator(".calc__result").inner_text().replace("\u00a0", " ")
    assert shown in result and bool(shown) == bool(result)
    assert said in kept.locator(".calc__said").inner_text()
