"""What is this metal: the page asks, weighs, and shows what remains with the reason. The
elimination itself is tried by the unit tests, which run the same script."""

import json

import pytest

from generator.verdicts import identify
from generator.verdicts.findings import Judge
from tests.conftest import laid_out, until

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def signs(knowledge, values):
    return identify.data(knowledge, values, Judge(knowledge, values))


def open_page(page, site, query=""):
    page.goto((site / "identify.html").as_uri() + query)
    until(page, "!document.querySelector('form[data-identify]').hidden")


def test_the_page_has_the_data_that_python_decided(watched, site, signs):
    open_page(watched, site)
    assert watched.evaluate("window.benchIdentifyData") == json.loads(json.dumps(signs))


def heading_list(page, heading):
    """The names listed below a heading of the answer."""
    return page.evaluate(
        """h => { const at = [...document.querySelectorAll('.observe__found h2')]
            .find(x => x.textContent === h);
        const links = at ? at.nextElementSibling.querySelectorAll('a') : [];
        return [...links].map(a => a.textContent); }""",
        heading,
    )


def test_a_yellow_case_is_tapped_and_weighed(watched, site):
    """20.000 g in air and 18.706 g in water of 20 °C: 19.999 to 20.001 times 0.9982 over 1.296 to
    1.292, 15.40 to 15.46."""
    open_page(watched, site)
    watched.locator("label:has(input[name=colour][value=yellow])").click()
    watched.locator("label:has(input[name=magnet][value=none])").click()
    assert (
        watched.locator(".observe__count output")
        .inner_text()
        .startswith(
            str(
                len(
                    watched.evaluate(
                        "benchIdentify.identify(benchIdentifyData, {colour: 'yellow', magnet:"
                        " 'none'}).bare.left"
                    )
                )
            )
        )
    )
    watched.locator("#see-in_air").fill("20,000")
    watched.locator("#see-in_water").fill("18.706")
    watched.locator("#see-step").fill("0.001")
    # The middle is 15.43, the error 0.03, which is 0.2 per cent; 1.294 g were lost, with both
    # weighings 0.002 more or less.
    assert (
        watched.locator("[data-density]").inner_text().replace("\u00a0", " ")
        == "Density 15.40 to 15.46 g/cm³, that is 15.43 ± 0.03 (± 0.2 %). Each weighing is taken as"
        " good to ± 0.001 g, so the 1.294 g lost in water may be 1.292 to 1.296 g."
    )
    assert heading_list(watched, "What fits") == [
        "18 ct yellow gold, colour 2N",
        "18 ct yellow gold, colour 3N",
    ]
    assert "by density" in watched.locator(".observe__found").inner_text()


def test_the_link_holds_the_observations(watched, site):
    open_page(
        watched, site, "?colour=grey&magnet=none&in_air=10.000&in_water=7.745&step=0.001&warmth=20"
    )
    count = watched.locator(".observe__count output").inner_text()
    assert "Titanium grade 5" in heading_list(watched, "What fits")
    href = watched.locator(".observe .calc__link").get_attribute("href")
    open_page(watched, site, "?" + href.split("?")[1])
    assert watched.locator(".observe__count output").inner_text() == count
    assert watched.locator("#see-in_water").input_value() == "7.745"


def test_a_plated_yellow_steel_says_what_may_lie_below(watched, site):
    """Yellow and attracted: bare, only a strip of brass on steel; else a coating on steel."""
    open_page(watched, site, "?colour=yellow&magnet=strong")
    assert watched.locator(".observe__count output").inner_text().startswith("1 of")
    text = watched.locator(".observe__found").inner_text()
    assert "Bimetal" in text and "coated" in text
    watched.locator("summary", has_text="Below it may lie").click()
    assert watched.locator("details[open] a[href='materials/steel-o1.html']").count() == 1


def test_a_mark_without_a_record_calls_nothing_false(watched, site):
    open_page(watched, site, "?colour=yellow&magnet=none&mark=500")
    text = watched.locator(".observe__found").inner_text()
    assert "No alloy of this mark and colour is in the base" in text and "false" not in text


def test_an_unknown_light_metal_brings_the_warning(watched, site):
    """10.000 g that lose 5.743 g in water of 20 °C: 1.738 g/cm3, magnesium."""
    open_page(watched, site, "?colour=grey&in_air=10.000&in_water=4.257&step=0.001&warmth=20")
    text = watched.locator(".observe__found").inner_text()
    assert "could be magnesium: no grinding, no sparks" in text
    assert "None of the metals known here" in text


def test_a_piece_known_as_coated_is_judged_below(watched, site):
    open_page(watched, site, "?colour=yellow&coated=coated&magnet=none&in_air=10.00&in_water=8.82")
    text = watched.locator(".observe__found").inner_text()
    assert "The density is that of the metal below" in text
    assert "below the coating" in watched.locator(".observe__count output").inner_text()
    watched.locator("summary", has_text="Below it may lie").click()
    assert watched.locator("details[open] a[href='materials/brass-cuzn37.html']").count() == 1


def test_cautions_stand_before_a_test_that_needs_acid(watched, site, knowledge):
    open_page(watched, site)
    section = watched.locator("#test-stone")
    laid_out(watched)
    first_link = section.locator("a").first
    assert first_link.get_attribute("href").startswith("cautions.html#")
    for key in knowledge.processes["touchstone-test"].cautions:
        assert section.locator(f"a[href='cautions.html#{key}']").count() == 1
        assert knowledge.cautions[key].danger[:30] in section.inner_text()
    assert "leaves a mark" in section.inner_text()
    order = [s.get_attribute("id") for s in watched.locator("section.test").all()]
    assert order == ["test-look", "test-magnet", "test-weigh", "test-file", "test-stone"]


@pytest.mark.parametrize(
    ("in_air", "in_water", "step", "said"),
    [
        ("lots", "1", "0.01", "Type both weights"),
        ("10", "", "0.01", "Type both weights"),
        ("10", "12", "0.01", "less than in air"),
        ("1.00", "0.98", "0.01", "finer balance"),
        ("10", "9", "0", "smallest step"),
    ],
)
def test_every_slip_gets_a_sentence_and_counts_for_nothing(
    watched, site, in_air, in_water, step, said
):
    open_page(watched, site)
    for name, text in (("in_air", in_air), ("in_water", in_water), ("step", step)):
        watched.locator(f"#see-{name}").fill(text)
    assert said in watched.locator(".observe__answer .calc__said").inner_text()
    whole, all_of = watched.locator(".observe__count output").inner_text().split()[0:3:2]
    assert whole == all_of


def test_start_again_forgets_everything(watched, site):
    open_page(watched, site, "?colour=grey&magnet=strong")
    watched.locator("button[type=reset]").click()
    until(
        watched,
        "document.querySelector('.observe__found').textContent.indexOf('Begin with what you see')"
        " === 0",
    )
    assert not watched.locator("input[name=colour][value=grey]").is_checked()


def test_the_next_test_brings_its_cautions_along(watched, site):
    """2.00 and 1.86 g on a balance of 0.01 g: anything from 12.4 to 16.7, so golds are left to the
    touchstone."""
    open_page(watched, site, "?colour=yellow&magnet=none&in_air=2.00&in_water=1.86")
    panel = watched.locator(".next")
    assert panel.locator(".next__name").inner_text().startswith("The touchstone: would separate")
    assert panel.locator("a").first.get_attribute("href").startswith("cautions.html#")
    assert panel.locator("a[href='processes/touchstone-test.html']").count() == 1
    assert "finer balance" in watched.locator(".observe__found").inner_text()


def test_the_file_is_named_with_its_dust_before_it_is_taken(watched, site):
    open_page(watched, site)
    note = watched.locator("[aria-label='Cautions for the file']")
    assert "beryllium copper can start an allergy of the lungs" in note.inner_text()
    answers = watched.locator("label:has(input[name=file])").first
    assert note.bounding_box()["y"] < answers.bounding_box()["y"]
    assert watched.locator("#test-file a[href='cautions.html#beryllium-dust']").count() == 1


def test_looking_comes_before_the_first_test(watched, site):
    open_page(watched, site)
    text = watched.locator(".observe__found").inner_text()
    assert (
        text.index("Begin with what you see") < text.index("The test that helps most next")
        and "Next test" not in text
    )
    watched.locator("label:has(input[name=colour][value=yellow])").click()
    assert "Next test" in watched.locator(".observe__found").inner_text()


def test_without_scripts_the_table_and_the_tests_remain(chromium, site):
    context = chromium.new_context(
        java_script_enabled=False, viewport={"width": 820, "height": 1180}
    )
    page = context.new_page()
    page.goto((site / "identify.html").as_uri())
    assert not page.locator("form[data-identify]").is_visible()
    assert page.locator("noscript, .note", has_text="needs JavaScript").first.is_visible()
    row = page.locator("#signs-table tr", has_text="colour 3N")
    row.scroll_into_view_if_needed()
    assert "15.45" in row.text_content() and row.bounding_box()["height"] > 20
    context.close()


def test_nothing_leaves_the_width_of_a_tablet_and_targets_are_large(watched, site):
    for width, height in ((820, 1180), (1180, 820)):
        watched.set_viewport_size({"width": width, "height": height})
        open_page(watched, site, "?colour=grey&magnet=none")
        assert watched.evaluate("document.documentElement.scrollWidth") <= width
        targets = (
            ".observe label:has(input[type=radio]), .observe select, .observe button,"
            " .observe__count a, .observe summary"
        )
        heights = watched.evaluate(
            "t => [...document.querySelectorAll(t)].filter(e => e.offsetParent)"
            ".map(e => e.getBoundingClientRect().height)",
            targets,
        )
        assert min(heights) >= 48
