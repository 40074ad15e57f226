"""Pictures against handbooks and geometry: what a reader can measure in them."""

import re
from decimal import Decimal as D
from math import pi

import pytest

from generator.site.pictures import ladders, on_pages, sections

pytestmark = pytest.mark.external


def named(markup: str) -> list[str]:
    """The names of a ladder from top to bottom, as they are drawn."""
    found = re.findall(r'<text x="2" y="([\d.]+)"[^>]*>([^<]+)<', str(markup))
    return [name for _, name in sorted((float(y), name) for y, name in found) if name != "0"]


def boxes(markup: str, css: str) -> list[tuple[float, float]]:
    return [
        (float(x), float(w))
        for x, w in re.findall(
            rf'<rect class="{css}" x="([-\d.]+)" y="[\d.]+" width="([\d.]+)"', str(markup)
        )
    ]


def test_the_ladder_of_weight(site_pages):
    """CRC Handbook: platinum 21.45, tungsten 19.25, magnesium 1.74 g/cm3 are the ends of what
    watches are made of; steel lies between titanium and copper."""
    names = named(ladders.ladder("", "", on_pages.by_family(site_pages, "density")))
    assert names[0] == "Platinum alloys" and names[-1] == "Magnesium alloys"
    place = {name: i for i, name in enumerate(names)}
    assert place["Copper"] < place["Austenitic stainless steels"] < place["Titanium"]
    assert place["Titanium"] < place["Aluminium alloys"]


def test_lengths_grow_as_the_handbooks_say(site_pages):
    """CRC Handbook: zinc 30, aluminium 23, brass 19, gold 14, titanium 8.6 times 10^-6 a degree;
    100 mm that are 30 degrees warmer grow three times that in micrometres."""
    names = named(ladders.lengths(on_pages.by_family(site_pages, "expansion")))
    order = ["Titanium", "Gold alloys", "Brasses", "Aluminium alloys", "Zinc casting alloys"]
    assert [n for n in names if n in order] == order
    drawn = str(
        ladders.lengths([("brass", on_pages.spans(site_pages, "expansion")["brass-cuzn37"])])
    )
    micrometres = float(re.search(r"brass ([\d.]+) ?(?:to [\d.]+ )?µm", drawn)[1])
    assert micrometres == pytest.approx(3 * 20, rel=0.1)


def test_both_places_of_film_forming_metals(site_pages):
    """ASM Handbook 13, flowing sea water: 316 passive -0.05 V and active -0.18 V; 304 -0.08 and
    -0.53; magnesium is the least noble, platinum and gold the noblest."""
    drawn = ladders.series(site_pages.contacts.series)
    names = named(drawn)
    assert names[-1] == "magnesium" and names[0] in ("precious plating", "gold of 18 ct and more")
    places = site_pages.contacts.series
    with_film = [p for p in places.values() if p.record.broken]
    assert len(boxes(drawn, "pic__open")) == len(with_film) >= 4
    assert len(boxes(drawn, "pic__bar")) == len(places)
    said = re.search(r'aria-label="([^"]+)"', str(drawn))[1]
    words = re.search(r"304 and its like ([^;]+);", said)[1]
    assert "in a wet gap −0.58 to −0.44" in words


def test_the_gasket_keeps_its_volume():
    """Rubber hardly changes its volume (bulk modulus of rubbers about 2 GPa), so its section when
    shut is as large as the free circle; 0.8 mm in a groove of 0.6 is squeezed by 25 per cent."""
    drawn = str(sections.gasket(D("0.8"), D("0.6"), D("1.1")))
    free = float(re.search(r'<circle class="pic__rubber"[^>]* r="([\d.]+)"', drawn)[1])
    width, height, round_ = map(
        float,
        re.search(
            r'class="pic__rubber" x="[\d.]+" y="[\d.]+" width="([\d.]+)" height="([\d.]+)"'
            r' rx="([\d.]+)"',
            drawn,
        ).groups(),
    )
    shut = (width - height) * height + pi * round_**2
    assert shut == pytest.approx(pi * free**2, rel=0.01)
    assert height / (2 * free) == pytest.approx(0.75, rel=0.01)
    assert "squeeze 25 %" in drawn


def test_a_plain_steel_spring_loses_eleven_seconds_a_degree(knowledge, values):
    """British Watch and Clock Makers' Guild: 11 seconds a day per degree with a plain steel
    spring and a plain brass balance; a constant-modulus spring keeps within about 2."""
    pairs = knowledge.words("rate_pairs")
    formula = knowledge.formulas[on_pages.RATE]
    plain = sections.rate_of(values, formula, pairs["plain-steel"])
    assert float(plain.middle) == pytest.approx(-11, abs=0.2)
    modern = sections.rate_of(values, formula, pairs["constant-modulus"])
    assert -2.5 < modern.low < modern.high < 2.5


def test_a_demand_stands_between_the_right_and_the_wrong_choices(site_pages):
    """Facts of the trade: a train pinion of hardened carbon steel passes a demand that annealed
    316L and free-cutting brass fail."""
    drawn = str(on_pages.demanded(site_pages, "train-pinion"))
    line = min(float(x) for x in re.findall(r'class="pic__demand" d="M([\d.]+) ', drawn))
    rows = re.findall(
        r'<text x="2"[^>]*>([✓✗])[^<]*</text>.*?<rect class="pic__(?:bar|open)" x="([\d.]+)" '
        r'y="[\d.]+" width="([\d.]+)"',
        drawn,
        re.DOTALL,
    )
    assert {sign for sign, *_ in rows} == {"✓", "✗"}
    for sign, x, width in rows:
        ends = float(x), float(x) + float(width)
        assert ends[1] >= line if sign == "✓" else ends[1] < line


def test_a_tempering_curve_is_as_published(site_pages):
    """Diamond Metals, O1: 65 HRC as quenched, 62 at 204 degC, 57 at 316, 31 at 649; each dot lies
    where both axes say."""
    drawn = str(on_pages.of_material(site_pages, "steel-o1")["curves"][0]["svg"])
    dots = [tuple(map(float, d)) for d in re.findall(r'cx="([\d.]+)" cy="([\d.]+)"', drawn)]
    up = {
        float(v): float(y) - 4.5
        for y, v in re.findall(r'<text x="38" y="([\d.]+)" text-anchor="end">([\d.]+)<', drawn)
    }
    a, b = min(up), max(up)
    read = [a + (y - up[a]) * (b - a) / (up[b] - up[a]) for _, y in dots]
    published = [63.0, 62.5, 62.0, 60.0, 57.0, 53.0, 50.0, 47.0, 44.0, 39.0, 31.0]
    assert read == pytest.approx(published, abs=0.3)
    assert "as quenched 65" in drawn


def test_what_is_only_promised_has_no_place_on_the_ladder(site_pages):
    """ISO 22674 asks at least 150 GPa of a dental alloy; cast cobalt-chromium has about 210 to 250
    (from memory). The limit alone is no figure of the metal."""
    names = [name for name, _ in on_pages.by_family(site_pages, "elastic-modulus")]
    assert "Titanium" in names and "Cobalt-chromium alloys" not in names


def test_lead_weighs_no_more_than_lead(site_pages):
    """CRC Handbook: lead 11.34 g/cm3, the heaviest of the soft metals."""
    drawn = str(ladders.ladder("", "", on_pages.by_family(site_pages, "density")))
    said = re.search(r"soft solders ([\d.]+)\s+to\s+([\d.]+)", drawn)
    assert float(said[2]) == pytest.approx(11.34, abs=0.07)
