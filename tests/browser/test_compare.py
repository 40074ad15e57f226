"""Side by side: figures, ratios, verdicts and reasons in the browser are those of the generator;
the address holds the choice."""

import re

import pytest

from generator.numbers.values import Values
from generator.verdicts.findings import Judge
from generator.verdicts.rungs import Ladder
from generator.verdicts.wording import reasons
from tests.conftest import until

pytestmark = pytest.mark.browser

CHOICE = "?m=stainless-316l.annealed,titanium-grade-5.annealed&part=case-middle"


def open_page(page, site, query=CHOICE):
    page.goto((site / "compare.html").as_uri() + query)
    until(page, "!document.querySelector('form[data-compare]').hidden")


def cells(page, head, whole=False):
    """The texts of the cells of the row whose head begins with (or, ``whole``, is) this, with
    plain spaces."""
    head = page.locator(
        "th[scope=row]", has_text=re.compile(f"^{re.escape(head)}{'$' if whole else ''}")
    )
    row = page.locator(".side__table tbody tr").filter(has=head)
    return [t.replace("\u00a0", " ") for t in row.first.locator("td").all_inner_texts()]


def ends(text):
    return [float(n) for n in re.findall(r"\d+\.?\d*", text.split("times")[0])]


def test_density_and_its_ratio_come_from_the_published_figures(watched, site, values):
    open_page(watched, site)
    steel, titanium = (
        values.of("stainless-316l", "density"),
        values.of("titanium-grade-5", "density"),
    )
    found = cells(watched, "density")
    assert (float(steel.low), float(steel.high)) == (7.95, 8.0)
    assert ends(found[0])[:2] == [7.95, 8.0]  # what it computes with
    ratio = cells(watched, "weight of the same part")
    assert ratio[0] == "1"
    low, high = float(titanium.low / steel.high), float(titanium.high / steel.low)
    assert ends(ratio[1])[0] == pytest.approx(low, rel=0.01)
    assert ends(ratio[1])[-1] == pytest.approx(high, rel=0.01)


def test_a_value_against_a_guaranteed_minimum_gives_at_most(watched, site, values):
    """316L annealed is only guaranteed a minimum: titanium grade 5 is at most so many times
    stronger."""
    open_page(watched, site)
    steel, titanium = (
        values.of(m, "proof-strength", "annealed") for m in ("stainless-316l", "titanium-grade-5")
    )
    assert steel.high is None
    text = cells(watched, "proof strength", whole=True)[1]
    assert text.startswith("at most")
    assert ends(text)[0] == pytest.approx(float(titanium.high / steel.low), rel=0.01)
    assert "only a limit" in text


def test_two_guaranteed_minima_compare_as_minima(watched, site, values):
    open_page(watched, site, "?m=stainless-316l.cold-worked,stainless-316l.annealed")
    hard, soft = (
        values.of("stainless-316l", "proof-strength", s) for s in ("cold-worked", "annealed")
    )
    assert hard.high is soft.high is None
    text = cells(watched, "proof strength", whole=True)[1]
    assert ends(text)[0] == pytest.approx(float(soft.low / hard.low), rel=0.01)
    assert "guaranteed minimum to guaranteed minimum" in text


def test_specific_strength_by_hand(watched, site, values):
    """Proof strength over density, both ends: lowest over highest, highest over lowest."""
    open_page(watched, site)
    strength, density = (
        values.of("titanium-grade-5", "proof-strength", "annealed"),
        values.of("titanium-grade-5", "density"),
    )
    found = ends(cells(watched, "specific strength")[1])
    assert found[0] == pytest.approx(float(strength.low / density.high), rel=0.01)
    assert found[-1] == pytest.approx(float(strength.high / density.low), rel=0.01)


def test_rung_and_reason_are_the_computed_ones(watched, site, knowledge):
    open_page(
        watched,
        site,
        "?m=stainless-316l.annealed,brass-cuzn37.annealed,titanium-grade-5.annealed&part=mainspring",
    )
    ladder = Ladder(Judge(knowledge, Values(knowledge)))
    chosen = [
        ("stainless-316l", "annealed"),
        ("brass-cuzn37", "annealed"),
        ("titanium-grade-5", "annealed"),
    ]
    for text, (key, state) in zip(cells(watched, "Mainspring", whole=True), chosen, strict=True):
        found = ladder.judgement("mainspring", key, state)
        word, reason = re.split(r"\s*\n+\s*", text, maxsplit=1)
        assert word == knowledge.words("rungs")[found.rung].name
        assert reason in [r.replace("\u00a0", " ") for r in reasons(knowledge, found)]


def test_every_hazard_has_a_row_and_the_differing_ones_come_first(watched, site, knowledge):
    open_page(watched, site)
    links = watched.evaluate(
        "[...document.querySelectorAll('.side__table th[scope=row] a')].map(a =>"
        " a.getAttribute('href')).filter(h => h.startsWith('hazards/'))"
    )
    shown = [link.removeprefix("hazards/").removesuffix(".html") for link in links]
    assert sorted(shown) == sorted(knowledge.hazards)
    judge = Judge(knowledge, Values(knowledge))
    steel, titanium = (
        [judge.exposure(h, m, "annealed").verdict for h in shown]
        for m in ("stainless-316l", "titanium-grade-5")
    )
    alike = [a == b for a, b in zip(steel, titanium, strict=True)]
    assert alike == sorted(alike)


def test_the_link_holds_the_choice(watched, site):
    open_page(watched, site, "")
    assert "Choose two to four" in watched.locator("form[data-compare] .calc__said").inner_text()
    watched.locator("#slot-m-1").select_option("gold-18-yellow-3n")
    assert "Choose a second" in watched.locator("form[data-compare] .calc__said").inner_text()
    watched.locator("#slot-m-2").select_option("stainless-316l")
    watched.locator("#slot-s-2").select_option("cold-worked")
    watched.locator("#slot-part").select_option("crown")
    href = watched.locator("form[data-compare] .calc__link").get_attribute("href")
    assert href.endswith("?m=gold-18-yellow-3n.annealed,stainless-316l.cold-worked&part=crown")
    before = watched.locator(".side__table").inner_text()
    open_page(watched, site, "?" + href.split("?")[1])
    assert watched.locator(".side__table").inner_text() == before
    assert watched.locator("#slot-s-2").input_value() == "cold-worked"


@pytest.mark.parametrize(
    "query",
    [
        "?m=nothing.at-all,stainless-316l.no-such-state",
        "?m=__proto__,constructor&part=toString",
        "?m=,,,",
        "?part=case-middle",
    ],
)
def test_an_odd_address_does_no_harm(watched, site, query):
    open_page(watched, site, query)
    assert watched.locator(".side__table thead th").count() <= 2


def test_a_material_page_leads_here_with_the_material_chosen(watched, site):
    watched.goto((site / "materials" / "silver-925.html").as_uri())
    watched.locator("a", has_text="Side by side with another").click()
    until(
        watched,
        "document.querySelector('#slot-m-1') && document.querySelector('#slot-m-1').value ==="
        " 'silver-925'",
    )
    assert watched.locator(".side__table thead th").count() == 2


def test_every_bar_has_its_number_beside_it_and_starts_at_zero(watched, site):
    open_page(watched, site, "?m=stainless-316l,titanium-grade-5,gold-18-yellow-3n,brass-cuzn37")
    bars = watched.evaluate(
        """[...document.querySelectorAll('.side__table svg.side__bar')].map(b => [
        b.closest('td').querySelector('.num').textContent,
        [...b.querySelectorAll('rect.side__sure, rect.side__upto')]
            .map(r => [+r.getAttribute('x'), +r.getAttribute('width')])])"""
    )
    assert len(bars) > 20
    for number, pieces in bars:
        assert re.search(r"\d", number)
        assert all(x >= 0 and x + width <= 100.02 for x, width in pieces)
    assert watched.evaluate("document.querySelectorAll('.side [style]').length") == 0


def test_each_figure_names_its_sources(watched, site):
    open_page(watched, site)
    broken = watched.evaluate(
        "[...document.querySelectorAll('.side a.ref')]"
        ".filter(a => !document.getElementById(a.getAttribute('href').slice(1))).length"
    )
    assert broken == 0
    assert watched.locator(".side .refs li").count() >= 5


def test_a_coating_is_shown_without_a_verdict_on_fit(watched, site):
    open_page(watched, site, "?m=rhodium-plate,gold-hard-plate&part=case-middle")
    assert all("judged with its base metal" in t for t in cells(watched, "Case middle"))


def test_it_prints_the_table_and_not_the_form(watched, site):
    open_page(watched, site)
    watched.emulate_media(media="print")
    assert watched.locator(".side__table").is_visible()
    assert not watched.locator("form[data-compare]").is_visible()


def test_without_scripts_the_page_leads_to_the_tables(chromium, site):
    context = chromium.new_context(
        java_script_enabled=False, viewport={"width": 820, "height": 1180}
    )
    page = context.new_page()
    page.goto((site / "compare.html").as_uri())
    assert not page.locator("form[data-compare]").is_visible()
    assert page.locator(".note", has_text="needs JavaScript").is_visible()
    assert page.locator("a[href='tables/density-ratio.html']").is_visible()
    context.close()


def test_nothing_leaves_the_width_of_a_tablet(watched, site):
    for width, height in ((820, 1180), (1180, 820)):
        watched.set_viewport_size({"width": width, "height": height})
        open_page(
            watched,
            site,
            "?m=stainless-316l,titanium-grade-5,gold-18-yellow-3n,brass-cuzn37&part=crown",
        )
        assert watched.evaluate("document.documentElement.scrollWidth") <= width


def test_the_data_is_loaded_on_this_page_only(site):
    assert [
        p.name for p in site.rglob("*.html") if "compare-data.js" in p.read_text(encoding="utf-8")
    ] == ["compare.html"]
