"""Bands and swatches of colour: which film stands at which degree or volt, worked out by hand, and
the words beside each; the colours themselves are held against publications in
tests/external/test_colours.py."""

import json
import re
from decimal import Decimal as D
from types import SimpleNamespace

import pytest

from generator.numbers.colour import Seen
from generator.site.pictures import hardness, swatches, tints
from tests.drawn import frame, spoken, strokes


class Named:
    """In place of colours: each tells what it was asked for."""

    def __init__(self, **lists):
        lists = {"films": {"titanium-oxide": film("titanium oxide film on titanium")}, **lists}
        self.knowledge = SimpleNamespace(words=lists.__getitem__)

    def of_film(self, film, nanometres):
        return Seen((50.4, -3.6, 0), f"{film} {nanometres:g} nm")

    def by_volts(self, film, volts):
        return Seen((50.4, -3.6, 0), f"{film} {volts:g} V")

    def of_metal(self, key):
        return Seen((50.4, -3.6, 0), f"bare {key}")


def film(name):
    return SimpleNamespace(name=name, natural=D(2), per_volt=D("1.5"), source="memory")


def tint(name, nanometres, minutes, eight=None, hour=None, source="a-book"):
    times = {"minutes": minutes, "eight": eight, "hour": hour}
    known = {key: v and D(v) for key, v in times.items()}
    return SimpleNamespace(name=name, film=D(nanometres), source=source, **known)


def tints_of(*found):
    return Named(tints=dict(enumerate(found)))


def bands(markup):
    """(beginning, height at which it begins, width, how high, colour) of each."""
    found = (s.split(" ", 6) for s in strokes(markup) if s.startswith("rect band"))
    return [(float(x), float(y), float(w), h, colour) for _, _, x, y, w, h, colour in found]


# ----- swatches


def test_a_swatch_has_its_name_and_what_it_rests_on():
    colour = Seen((50.4, -3.6, 0), "#abcdef")
    box = (
        '<li><svg viewBox="0 0 64 26" aria-hidden="true"><rect class="pic__swatch" x=".5" y=".5" '
        'width="63" height="25" rx="3" fill="#abcdef"/></svg>'
    )
    assert swatches.swatch(colour, "a & b", source="a-book") == (
        f"{box}a &amp; b<br><small>L*a*b* 50, −4, 0</small></li>"
    )
    sign = ' <small class="evidence">○ from memory</small>'
    both = [swatches.swatch(colour, "c", "<d>", "memory"), swatches.swatch(colour, "e", "f")]
    assert swatches.row(both) == (
        f'<ul class="swatches">{box}c{sign}<br><small>&lt;d&gt;</small></li>'
        f"{box}e<br><small>f</small></li></ul>"
    )


def of_metal(monkeypatch, material_class):
    """The swatches of a material of the entry that fits every material."""
    entry = {"tarnish": None, "tarnish_steps": [], "worn": [], "source": "a-book"}
    lists = {
        "metal_colours": {
            "other": SimpleNamespace(**entry, name="other", when="never"),
            "silver": SimpleNamespace(
                name="silver",
                when="always",
                tarnish="sulphide",
                tarnish_steps=[D("10"), D("20.5")],
                worn=["other"],
                source="memory",
            ),
        },
        "films": {"sulphide": film("silver sulphide film on silver")},
    }
    colours = Named(**lists)
    colours.knowledge.materials = {"spoon": "record"}
    colours.knowledge.material_class = lambda record: material_class
    monkeypatch.setattr(swatches, "applies", lambda _, when, material: when == "always")
    return colours


def shown(row):
    """Colour and name of each swatch, and whether it bears the sign of weak evidence."""
    found = re.findall(r'fill="([^"]*)"/></svg>([^<]*)<(small class="evidence")?', row)
    return [(colour, name.strip()) for colour, name, _ in found], [bool(s) for *_, s in found]


def test_a_metal_is_shown_clean_and_tarnished_and_a_coating_worn_through(monkeypatch):
    clean = [
        ("bare silver", "silver, polished"),
        ("sulphide 10 nm", "tarnished: 10 nm of silver sulphide"),
        ("sulphide 20.5 nm", "tarnished: 20.5 nm of silver sulphide"),
    ]
    key, row = swatches.of_material(of_metal(monkeypatch, "metal"), "spoon")
    assert (key, *shown(row)) == ("silver", clean, [True, True, True])
    _, row = swatches.of_material(of_metal(monkeypatch, "coating"), "spoon")
    worn = ("bare other", "worn through to other")
    assert shown(row) == ([*clean, worn], [True, True, True, False])


def test_a_material_without_a_colour_has_no_swatch(monkeypatch):
    colours = of_metal(monkeypatch, "metal")
    assert swatches.script(colours) == 'window.benchSwatches={"spoon":"bare silver"};\n'
    monkeypatch.setattr(swatches, "applies", lambda *_: False)
    assert swatches.of_material(colours, "spoon") is None
    assert swatches.script(colours) == "window.benchSwatches={};\n"


def test_the_script_names_each_metal_that_has_a_colour(site_pages):
    text = swatches.script(site_pages.colours)
    known = json.loads(text.removeprefix("window.benchSwatches=").removesuffix(";\n"))
    assert {"brass-cuzn37", "stainless-316l", "gold-18-yellow-3n"} <= set(known)
    assert not {"ruby", "nylon"} & set(known)


# ----- heat


def test_between_two_published_points_a_film_grows_evenly():
    points = [(200.0, 40.0), (240.0, 60.0), (300.0, 70.0)]
    found = {at: tints.film_at(points, at) for at in (200, 210, 240, 270, 300)}
    assert found == {200: 40, 210: 45, 240: 60, 270: 65, 300: 70}
    with pytest.raises(ValueError, match="301 lies outside the table"):
        tints.film_at(points, 301)


def test_heat_colours_stand_at_their_degrees():
    """184 to 242 degC with 4 at each end, 66 in all, are 344 units from 8 on: 5.21 each. Bands of 4
    degrees are 20.8 wide and overlap by 0.4; each has the film of its middle, which grows by half
    a nanometre a degree from 40 on. The last band is what is left over. One point is no band."""
    drawn = tints.steel(
        tints_of(tint("straw", 40, 200, 184), tint("blue", 61, 242, 226, 204, "memory"))
    )
    films = [f"iron-oxide {41 + 2 * i} nm" for i in range(10)]
    expected = [
        place
        for start, top in ((112.24, 24), (28.85, 76))
        for place in (
            *((start + 20.85 * i, top, 21.25, "24", film) for i, film in enumerate(films)),
            (start + 208.5, top, 10.82, "24", "iron-oxide 60.5 nm"),
        )
    ]
    for wanted, measured in zip(expected, bands(drawn), strict=True):
        assert measured[:3] == pytest.approx(wanted[:3], abs=0.06)
        assert measured[3:] == wanted[3:]
    assert [s for s in strokes(drawn) if not s.startswith("rect")] == [
        "path grid M8.0 0v160M112.2 0v160M216.5 0v160M320.7 0v160",
        "text strong 8 17 | a few minutes",
        "text strong 8 69 | 8 minutes",
        "text strong 8 121 | 1 hour",
        "path axis M8 160H352M8 160v5M112.2 160v5M216.5 160v5M320.7 160v5",
        "text 8 178 middle | 180",
        "text 112.2 178 middle | 200",
        "text 216.5 178 middle | 220",
        "text 320.7 178 middle | 240",
        "text quiet 352 194 end | °C",
    ]
    assert spoken(drawn) == (
        "Heat colours of plain carbon steel. straw: 200 °C in a few minutes, 184 in 8 minutes. "
        "blue: 242 °C in a few minutes, 226 in 8 minutes, 204 in an hour."
    )
    assert frame(drawn) == ("pic", "0 0 360 198", "")
    weak = '<small class="evidence">○ from memory</small>'
    for swatch in (
        '"iron-oxide 40 nm"/></svg>straw<br><small>200 / 184 °C</small></li>',
        f'"iron-oxide 61 nm"/></svg>blue {weak}<br><small>242 / 226 / 204 °C</small></li>',
    ):
        assert swatch in drawn


def test_anodised_titanium_by_volt():
    """140 V are 344 units from 8 on, 2.457 a volt: 70 bands of 2 V, 4.9 wide, which overlap by
    0.4; each has the colour of its middle. A volt makes 1.5 nm on top of the 2 of the air."""
    named = {"a": tint("straw", 0, 0), "b": tint("blue", 0, 0)}
    named["a"].volts, named["b"].volts = D(10), D(30)
    drawn = tints.titanium(Named(anodic_colours=named))
    for i, (measured, volts) in enumerate(zip(bands(drawn), range(1, 140, 2), strict=True)):
        assert measured[:3] == pytest.approx((8 + 688 * i / 140, 4, 5.31), abs=0.06)
        assert measured[3:] == ("40", f"titanium-oxide {volts} V")
    marks = ((0, "8"), (20, "57.1"), (40, "106.3"), (60, "155.4"), (80, "204.6"), (100, "253.7"))
    assert [s for s in strokes(drawn) if s.startswith("text")] == [
        *(f"text {x} 66 middle | {v}" for v, x in (*marks, (120, "302.9"), (140, "352"))),
        "text quiet 352 82 end | V",
    ]
    assert spoken(drawn) == "Anodised titanium: straw at about 10 V, blue at about 30 V."
    assert frame(drawn) == ("pic", "0 0 360 86", "")
    assert '"titanium-oxide 10 V"/></svg>straw<br><small>10 V, 17 nm</small></li>' in drawn
    assert '"titanium-oxide 30 V"/></svg>blue<br><small>30 V, 47 nm</small></li>' in drawn


@pytest.mark.parametrize(
    ("degrees", "expected"),
    [
        # the first reaches 8 down, the last 8 up, and two meet half-way: 112, 140, 200, 248
        (
            (120, 160, 240),
            ["69 266 39.8 16", "108.8 266 85.2 16", "194 266 68.2 16", "268.2 279"],
        ),
        # no further than the curve itself, 100 to 300, which has its ends: 100, 130, 230, 300
        (
            (99, 100, 160, 300, 301),
            ["52 266 42.6 16", "94.6 266 142 16", "236.6 266 99.4 16", "342 279"],
        ),
    ],
)
def test_the_colours_of_the_heat_stand_under_a_tempering_curve(degrees, expected):
    """1.42 units a degree from 52 at 100 degC on."""
    curve = SimpleNamespace(
        points=[
            SimpleNamespace(temperature=D(t), hardness=D(h))
            for t, h in ((100, 60), (200, 58), (300, 50))
        ],
        as_quenched=None,
    )
    found = [tint(f"at {t}", t, t) for t in degrees]
    drawn = hardness.tempering(curve, "HRC", tints_of(*found))
    shown = [t for t in degrees if 100 <= t <= 300]
    *places, words = expected
    assert strokes(drawn)[-4:] == [
        *(f"rect swatch {place} iron-oxide {t} nm" for place, t in zip(places, shown, strict=True)),
        f"text {words} | at {shown[0]} to at {shown[-1]}, minutes",
    ]
    said = ", ".join(f"at {t} at {t}" for t in shown)
    assert spoken(drawn).endswith(f"300 °C 50. Colours after a few minutes: {said}.")
    assert frame(drawn) == ("pic", "0 0 360 290", "")
