"""The built site from file://: no console message, no request that leaves it, tables sort, theme
switches, links hold."""

import json
import posixpath
import re

import jsonschema
import lxml.html
import pytest

from tests.conftest import settled


@pytest.mark.browser
def test_a_header_button_sorts_both_ways(watched, site):
    watched.goto((site / "tables" / "density-ratio.html").as_uri())
    button = watched.locator("thead th", has_text="density, g/cm³").locator("button")
    column = (
        "[...document.querySelectorAll('table.wide tbody tr')].map(r =>"
        " parseFloat(r.cells[1].dataset.sort))"
    )
    button.click()
    watched.wait_for_selector("th[aria-sort='ascending']")
    settled(watched)
    rising = watched.evaluate(column)
    assert rising == sorted(rising)
    button.focus()
    watched.keyboard.press("Enter")
    watched.wait_for_selector("th[aria-sort='descending']")
    settled(watched)
    assert watched.evaluate(column) == sorted(rising, reverse=True)


@pytest.mark.browser
def test_the_filter_line_leaves_matching_rows(watched, site):
    watched.goto((site / "tables" / "density-ratio.html").as_uri())
    watched.locator("input.filter__input").fill("platinum")
    visible = watched.locator("table.wide tbody tr:visible th")
    assert visible.count() >= 3
    assert all("platinum" in text.lower() for text in visible.all_inner_texts())


@pytest.mark.browser
def test_density_ratio_to_a_chosen_reference(watched, site, values):
    """Gold against titanium, worked out here from the two published densities."""
    watched.goto((site / "tables" / "density-ratio.html").as_uri())
    watched.locator("select").select_option(
        label=watched.locator("#titanium-grade-5 th").inner_text()
    )
    shown = watched.locator("#gold-18-yellow-3n td[data-chosen]").inner_text()
    assert watched.locator("thead th", has_text="against chosen").locator("button").count() == 1
    gold, titanium = (
        values.of("gold-18-yellow-3n", "density"),
        values.of("titanium-grade-5", "density"),
    )
    low, high = float(gold.low / titanium.high), float(gold.high / titanium.low)
    ends = [float(n) for n in re.findall(r"[\d.]+", shown)]
    assert ends[0] == pytest.approx(low, rel=0.02)
    assert ends[-1] == pytest.approx(high, rel=0.02)


@pytest.mark.browser
def test_mass_at_a_typed_volume(watched, site, values):
    watched.goto((site / "tables" / "case-mass.html").as_uri())
    watched.locator("#choose-case-mass").fill("5,00")
    shown = watched.locator("#stainless-316l td[data-chosen]").inner_text()
    density = values.of("stainless-316l", "density")
    assert float(re.findall(r"[\d.]+", shown)[0]) == pytest.approx(5 * float(density.low), abs=0.3)
    watched.locator("#choose-case-mass").fill("lots")
    assert "Type a volume" in watched.locator(".filter [role=status]").first.inner_text()


@pytest.mark.browser
def test_an_opened_number_shows_its_formula_once(watched, site):
    watched.goto((site / "tables" / "density-from-composition.html").as_uri())
    opened = watched.locator("tbody details").first
    for _ in range(3):
        opened.locator("summary").click()
        settled(watched)
    assert opened.locator("math").count() == 1
    assert opened.locator("a[href$='formulas/density-by-reciprocal-rule.html']").is_visible()


@pytest.mark.browser
def test_a_number_opens_to_the_figures_of_its_own_row(watched, site, values):
    """Density against 316L, from the published densities, 7.95 to 8.0; a second tap closes it."""
    watched.goto((site / "tables" / "density-ratio.html").as_uri())
    number = watched.locator("#titanium-grade-5 a.way").first
    number.press("Enter")
    opened = watched.locator("#titanium-grade-5 .c2 .working__in")
    opened.locator("math").wait_for()
    assert opened.locator("math").count() == 1
    own, reference = (
        text.replace("\u00a0", " ")
        for text in opened.locator("> ul:last-child > li").all_inner_texts()
    )
    titanium = values.of("titanium-grade-5", "density")
    assert own.startswith(
        f"density of the material: {titanium.low}–{titanium.high} g/cm³, Titanium Metals"
    )
    assert reference.startswith("density of the reference: 7.95 to 8.0 g/cm³, EN 10088-1")
    assert number.get_attribute("aria-expanded") == "true"
    number.press("Enter")
    assert opened.count() == 0


@pytest.mark.browser
def test_without_scripts_a_number_leads_to_how_it_comes_about(chromium, site):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "tables" / "specific-stiffness.html").as_uri())
    link = page.locator("tbody tr:last-child a.way").first
    assert link.is_visible()
    link.click()
    said = page.locator(":target")
    assert "elastic modulus: the column “elastic modulus” of its row" in said.inner_text()
    assert said.bounding_box()["y"] < 800
    context.close()


@pytest.mark.browser
@pytest.mark.parametrize(
    ("address", "rows"),
    [
        ("tables/hardness.html", None),
        ("tables/matrix-parts-movement.html", None),
        ("identify.html", None),
        ("tables/hardness.html#%E0%A4%A", None),
        ("tables/density-ratio.html#brass-cuzn39pb3", 88),
    ],
)
def test_every_row_of_a_long_table_is_shown_soon(watched, site, address, rows):
    watched.goto((site / address.partition("#")[0]).as_uri() + "".join(address.partition("#")[1:]))
    watched.wait_for_selector("tbody.rest", state="detached")
    shown = watched.locator("table:is(.wide, .matrix) tbody tr:visible").count()
    source = (site / address.partition("#")[0]).read_text(encoding="utf-8")
    body = source[source.rindex("<tbody>") :]
    assert shown == body.count("<tr") > 40
    if rows:
        assert watched.locator(":target").bounding_box()["y"] < 820


@pytest.mark.browser
@pytest.mark.parametrize(
    "address", ["materials/stainless-316l.html", "tables/density-ratio.html", "names/a.html"]
)
def test_without_scripts_every_fact_is_readable(chromium, site, address):
    context = chromium.new_context(
        java_script_enabled=False, viewport={"width": 820, "height": 1180}
    )
    page = context.new_page()
    page.goto((site / address).as_uri())
    assert page.locator("h1").is_visible()
    page.locator(".menu summary").click()
    assert page.locator(".menu a", has_text="A to Z").is_visible()
    assert not page.locator("#find-input").is_visible()
    context.close()


def test_every_link_leads_to_a_page_and_a_place(site):
    files = {p.relative_to(site).as_posix() for p in site.rglob("*") if p.is_file()}
    pages, links = {}, {}
    for name in files:
        if name.endswith(".html"):
            page = lxml.html.document_fromstring((site / name).read_bytes().decode())
            pages[name] = {*page.xpath("//@id", smart_strings=False)}
            links[name] = {*page.xpath("//@href | //@src", smart_strings=False)} - {""}
    broken = []
    for name, of_page in links.items():
        for link in of_page:
            if re.match(r"(https?:|//|data:|mailto:)", link):
                broken.append(f"{name} -> {link} leaves the site")
                continue
            file, _, anchor = link.partition("#")
            file = file.partition("?")[0]  # a choice that a page's script reads
            target = (
                posixpath.normpath(posixpath.join(posixpath.dirname(name), file)) if file else name
            )
            if target not in files:
                target = posixpath.normpath(f"{target}/index.html")
            if target not in files or (
                anchor
                and target in pages
                and anchor not in pages[target]
                and not anchor.startswith("__")
            ):
                broken.append(f"{name} -> {link}")
    assert broken == []


def test_every_page_has_a_strict_policy(site):
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]+)"', text).group(1)
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert not re.search(r"\son\w+=\"", text), path


def test_no_tag_of_ours_is_shown_as_text(site):
    """A piece of HTML that was escaped twice."""
    assert [
        p.name
        for p in site.rglob("*.html")
        if "&lt;a " in p.read_text(encoding="utf-8").replace("&amp;lt;", "&lt;")
    ] == []


def test_the_export_obeys_its_schema(site):
    data = json.loads((site / "data" / "knowledge.json").read_text(encoding="utf-8"))
    schema = json.loads((site / "data" / "knowledge.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(data, schema)


def test_numbers_in_the_export_keep_their_text(site, knowledge):
    data = json.loads((site / "data" / "knowledge.json").read_text(encoding="utf-8"))
    materials = {m["id"]: m for m in data["materials"]}
    for key, record in knowledge.materials.items():
        for figure in record.figures.get("density", ()):
            if figure.typical is not None:
                texts = [
                    f["low"]["text"]
                    for f in materials[key]["figures"]
                    if f["property"] == "density" and f["low"]
                ]
                assert f"{figure.typical:f}" in texts, key


def test_unused_weight_is_not_shipped(site):
    assert not (site / "assets" / "javascripts" / "lunr").exists()
    assert not (site / "sitemap.xml").exists()
