"""Colours against publications: the white of daylight, chromaticities of gold, reflectances that
others worked out from the same constants, thicknesses at which films swallow a colour, heat
colours and anodised titanium."""

import re
from math import atan2, degrees

import pytest
from coloraide import Color

from generator.numbers import colour as colour_sums
from generator.numbers.colour import Colours, index_of, reflectance
from generator.site.pictures import tints
from generator.site.pictures.swatches import of_material

pytestmark = pytest.mark.external


@pytest.fixture(scope="module")
def colours(knowledge):
    return Colours(knowledge)


def shown(markup) -> list[tuple[str, Color]]:
    """What a reader sees of swatches: the name and the colour of each."""
    return [
        (name.strip(), Color(colour))
        for colour, name in re.findall(r'fill="(#[0-9a-f]{6})"/></svg>([^<]+)<', markup)
    ]


def test_daylight_is_white(colours):
    """CIE 15 and ISO/CIE 11664-2: the chromaticity of D65 is x 0.3127, y 0.3290."""
    parts = [sum(p[i] for _, p in colours._light) for i in range(3)]
    assert parts[0] / sum(parts) == pytest.approx(0.3127, abs=0.0002)
    assert parts[1] / sum(parts) == pytest.approx(0.3290, abs=0.0002)
    assert colours.of_spectrum(lambda nm: 1).hex == "#ffffff"


@pytest.mark.parametrize(
    ("material", "x", "y", "light"),
    [
        ("gold-14-yellow", 0.3526, 0.3700, 0.82),
        ("gold-18-yellow-2n", 0.3590, 0.3766, 0.82),
        ("gold-18-yellow-3n", 0.3601, 0.3729, 0.79),
    ],
)
def test_golds_show_the_published_chromaticity(colours, material, x, y, light):
    """ISO 8654 as printed in a producer's table of 2004; CIEDE2000 of what the page shows <= 2."""
    _, markup = of_material(colours, material)
    published = Color("xyz-d65", [x / y * light, light, (1 - x - y) / y * light])
    assert shown(markup)[0][1].delta_e(published, method="2000") <= 2


@pytest.mark.parametrize(
    ("metal", "linear"),
    [
        ("platinum", (0.67, 0.64, 0.58)),
        ("tungsten", (0.52, 0.49, 0.47)),
        ("silver", (0.97, 0.96, 0.93)),
        ("aluminium", (0.91, 0.92, 0.92)),
    ],
)
def test_reflectances_agree_with_others_from_the_same_constants(colours, knowledge, metal, linear):
    """Linear red, green and blue that a note on drawing metals gives for the constants of Rakić
    1998 (platinum, tungsten) and Rakić 1995 (aluminium); silver from the formula of 1998 by
    hand."""
    constants = knowledge.words("optical_constants")[metal]
    ours = colours.of_spectrum(lambda nm: reflectance(index_of(constants, nm)))
    assert Color("lab-d65", ours.lab).delta_e(Color("srgb-linear", linear), method="2000") <= 2


@pytest.mark.parametrize(
    ("film", "nanometres", "thickness"),
    [
        ("titanium-oxide", 450, 30.7),
        ("titanium-oxide", 550, 39.6),
        ("titanium-oxide", 650, 48.5),
        ("iron-oxide", 450, 33.2),
        ("iron-oxide", 550, 42.6),
        ("iron-oxide", 650, 50.4),
    ],
)
def test_films_swallow_a_colour_at_the_thickness_others_find(
    knowledge, film, nanometres, thickness
):
    """First minimum of reflectance, from a note on drawing metals that used other constants for
    titanium (Johnson and Christy 1974; the two measurements differ): within 7 nm of film."""
    record = knowledge.words("films")[film]
    metal = index_of(knowledge.words("optical_constants")[record.on], nanometres)
    a, b = map(float, record.index)
    darkest = min(
        range(1, 80),
        key=lambda d: reflectance(metal, a + b * 1e6 / nanometres**2, d, nanometres),
    )
    assert darkest == pytest.approx(thickness, abs=7)


def hue(colour: Color) -> float:
    _, a, b = colour.convert("lab-d65")[:3]
    return degrees(atan2(b, a)) % 360


def test_anodised_titanium_runs_through_the_published_order(colours, knowledge):
    """A fabricator's table: yellow, purple, blue, light blue, silver, yellow, pink, violet, cobalt,
    green, yellow-green, pink between 0 and 140 V. Each swatch has the hue of its name (spans of
    hue angle are common practice), silver has the least colour of all, and volts rise."""
    swatches = shown(tints.titanium(colours))
    named = list(knowledge.words("anodic_colours").values())
    order = "yellow purple blue light-blue silver yellow pink violet cobalt green yellow-green pink"
    assert [name.replace(" ", "-") for name, _ in swatches] == order.split()
    assert [n.volts for n in named] == sorted(n.volts for n in named)
    for entry, (name, colour) in zip(named, swatches, strict=True):
        if entry.hue:
            low, high = map(float, entry.hue)
            assert low <= hue(colour) <= high or low <= hue(colour) + 360 <= high, name
    chroma = {name: Color.convert(c, "lch-d65")[1] for name, c in swatches}
    assert min(chroma, key=chroma.get) == "silver"


def test_heat_colours_look_like_their_names(colours):
    """Trade names of the charts: straw and brown are yellowish to reddish, purple lies between red
    and blue, the blues are blue, and light blue is lighter than dark blue."""
    seen = dict(shown(tints.steel(colours)))
    for name in ("pale yellow", "straw", "dark straw"):
        assert 60 <= hue(seen[name]) <= 100, name
    assert 40 <= hue(seen["brown"]) <= 85
    assert 270 <= hue(seen["purple"]) <= 345
    for name in ("dark blue", "light blue", "grey blue"):
        assert 230 <= hue(seen[name]) <= 295, name
    light = {name: c.convert("lab-d65")[0] for name, c in seen.items()}
    assert light["dark blue"] < light["light blue"] < light["grey blue"]


def test_time_moves_heat_colours_as_the_handbook_prints(colours):
    """The Working of Steel (1921): dark blue at 349 degC in 8 minutes and at 254 in an hour; faint
    yellow at 238 and 188."""
    drawn = str(tints.steel(colours))
    assert re.search(r"dark blue: 300 °C in a few minutes, 349 in 8 minutes, 254 in an hour", drawn)
    assert re.search(r"pale yellow: 221 °C in a few minutes, 238 in 8 minutes, 188 in an", drawn)


def test_each_named_material_of_the_colours_exists(knowledge):
    for entry in knowledge.words("metal_colours").values():
        assert all(m in knowledge.materials for m in entry.when.materials)


def test_kept_colours_are_those_worked_out_anew(knowledge, tmp_path, monkeypatch):
    """A line that was cut off is worked out again, and only that."""
    kept, keys = tmp_path / "colours.txt", list(knowledge.words("metal_colours"))
    before = list(map(Colours(knowledge).of_metal, keys))
    assert list(map(Colours(knowledge, kept).of_metal, keys)) == before
    kept.write_bytes(kept.read_bytes()[:-9])
    seen, anew = colour_sums.seen, []
    monkeypatch.setattr(colour_sums, "seen", lambda *given: anew.append(given) or seen(*given))
    assert list(map(Colours(knowledge, kept).of_metal, keys)) == before
    assert len(anew) == 1
