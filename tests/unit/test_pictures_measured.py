"""Pictures measured with a ruler: every stroke of a small picture against places that are worked
out beside it by hand, and what is said where nobody sees it.

A picture is 360 units wide. A ladder keeps 2 at its left and 14 at its right, so that its scale is
344 units long; a row is its words and a bar below them.
"""

from decimal import Decimal as D
from types import SimpleNamespace

import pytest

from generator.numbers.quantities import Quantity
from generator.site.pictures import drawing, hardness, ladders, sections
from generator.site.pictures.bars import scale_of
from generator.verdicts.contact import Place
from tests.drawn import frame, spoken, strokes


def figure(low, high, evidence="own"):
    ends = (None if e is None else D(str(e)) for e in (low, high))
    return Quantity(*ends, "HV", 3, evidence=evidence)


# ----- what all pictures share


def test_a_picture_is_a_figure_with_words_for_who_does_not_see_it():
    whole = drawing.picture(99.96, 'a "b" & c', "<g/>", "below", "pic--x")
    assert whole == (
        '<figure class="pic pic--x"><svg viewBox="0 0 360 100" role="img" '
        'aria-label="a &#34;b&#34; &amp; c"><g/></svg><figcaption>below</figcaption></figure>'
    )
    assert drawing.picture(20.25, "", "") == (
        '<figure class="pic"><svg viewBox="0 0 360 20.2" role="img" aria-label=""></svg></figure>'
    )


def test_strokes_as_they_stand_in_a_page():
    assert drawing.text(1, 2.55, "a<b") == '<text x="1" y="2.5">a&lt;b</text>'
    assert drawing.text(1, 2, "a", "end", "x") == (
        '<text x="1" y="2" text-anchor="end" class="x">a</text>'
    )
    assert drawing.path("M1 2", "x") == '<path class="x" d="M1 2"/>'
    assert drawing.rect(1, 2, 3, 4, "x") == '<rect class="x" x="1" y="2" width="3" height="4"/>'
    assert drawing.rect(1, 2, 3, 4, "x", "#fff") == (
        '<rect class="x" x="1" y="2" width="3" height="4" fill="#fff"/>'
    )


def test_a_line_is_shortened_by_whole_words():
    """A letter is 13 times 0.56 = 7.28 wide: 13 letters are 94.64, 9 are 65.52, 5 are 36.4."""
    line = "one two three"
    assert drawing.width_of(line) == pytest.approx(94.64)
    assert drawing.width_of(line, 10) == pytest.approx(72.8)
    assert drawing.shortened(line, drawing.width_of(line)) == line
    assert drawing.shortened(line, 94.6) == "one two …"
    assert drawing.shortened(line, drawing.width_of("one two …")) == "one two …"
    assert drawing.shortened(line, 65.5) == "one …"
    assert drawing.shortened(line, 36.3) == "one "  # no word fits: 36.3 / 7.28 = 4.99 letters


@pytest.mark.parametrize(
    ("low", "high", "most", "found"),
    [
        (0, 100, 6, [0, 20, 40, 60, 80, 100]),
        (0, 100, 5, [0, 50, 100]),
        (0, 100, 11, [0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100]),
        (3, 47, 6, [10, 20, 30, 40]),
        (-12, 13, 6, [-10, -5, 0, 5, 10]),
        (0, 0.5, 6, [0, 0.1, 0.2, 0.3, 0.4, 0.5]),
        (0, 240, 6, [0, 50, 100, 150, 200]),
    ],
)
def test_marks_are_round_and_no_more_than_fit(low, high, most, found):
    assert drawing.ticks(low, high, most) == found


def test_labels_just_far_enough_apart_all_stand():
    assert drawing.apart([0, 50, 100], 50) == {0, 1, 2}
    assert drawing.apart([0, 49, 100], 50) == drawing.apart([0, 51, 100], 50) == {0, 2}


def test_a_scale_numbers_the_marks_that_are_34_units_apart():
    """1 unit of the scale is 2 of the picture, from 10 on."""
    box = drawing.Box(10, 0, 210, 90)
    below = drawing.scale_below(box, [0, 16, 17, 83, 100], lambda v: 10 + 2 * v, "kg m")
    assert strokes(below) == [
        "path axis M10 90H210M10 90v5M42 90v5M44 90v5M176 90v5M210 90v5",
        "text 10 108 middle | 0",
        "text 44 108 middle | 17",
        "text 176 108 middle | 83",
        "text 210 108 middle | 100",
        "text quiet 210 124 end | kg m",
    ]
    assert ">kg\u00a0m<" in below  # the unit never breaks
    assert [s for s in strokes(drawing.scale_below(box, [5], float, "V")) if "middle" in s] == [
        "text 5 108 middle | 5"
    ]


def test_numbers_on_an_axis():
    assert [drawing.plain(v) for v in (-0.25, 1000.0, 1e-3)] == ["−0.25", "1000", "0.001"]


def test_a_scale_of_nothing_but_zero_has_a_length():
    assert scale_of([figure(0, 0)]) == 1


# ----- ladders


def test_the_span_of_several_figures():
    """The least and the greatest end; the digits of the most exact, the evidence of the weakest
    of the two that lie at the ends: 7.2 and 11.4 are not 7.2 to 12."""
    found = ladders.wide(
        [
            Quantity(D(5), None, "g", 3),
            Quantity(D(7), D(9), "g", 2, evidence="borrowed"),
            Quantity(D(6), D(6), "g", 4, evidence="memory"),
        ]
    )
    assert found == Quantity(D(5), D(9), "g", 3, evidence="borrowed")
    assert ladders.wide([Quantity(None, D(3), "g", 1)]) == Quantity(D(3), D(3), "g", 1)
    assert ladders.wide([Quantity(None, None)]) is None


def test_a_span_leaves_out_states_that_are_no_more_than_a_stage(values):
    """Data sheet of C100S: as quenched it is only a stage on the way to the tempered states."""
    record = values.knowledge.materials["steel-c100s"]
    (stage,) = (key for key, state in record.states.items() if state.stage)
    found = ladders.span(values, "steel-c100s", "hardness")
    own = [values.of("steel-c100s", "hardness", s) for s in record.states if s != stage]
    assert found.high == max(q.high for q in own if q and q.high is not None)
    assert values.of("steel-c100s", "hardness", stage).high > found.high


def test_a_strip_shows_one_metal_among_all():
    """From 8 to 352 the line is 344 long. Weight: others at 1, 3 and the middle 5 of 4 to 6, one
    with an open end left out; 86 units each, so 2 to 4 is from 94 to 266, with 3 more at each end.
    Growth: it ends at this metal's 8, and 4 lies a third of the way from 2. Stretch: begins at
    this metal's 1. Half the line less 6 has room for 22 letters."""
    drawn = ladders.strips(
        "Steel among all",
        [
            (
                "Weight",
                "kg",
                figure(2, 4),
                [
                    ("light", figure(1, 1)),
                    ("this", figure(3, 3)),
                    ("an alloy with a very long name", figure(4, 6)),
                    ("open", figure(9, None)),
                    ("shut", figure(None, 0)),
                ],
            ),
            (
                "Growth",
                "mm",
                figure(None, 8, "memory"),
                [("warm", figure(4, 4)), ("cold", figure(2, 2))],
            ),
            ("Stretch", "m", figure(1, None), [("soft", figure(2, 2)), ("hard", figure(4, 4))]),
            ("Same", "s", figure(4, 4), [("one", figure(4, 4)), ("two", figure(4, 4))]),
        ],
    )
    assert strokes(drawn) == [
        "text 8 16 | Weight",
        "text strong 352 16 end | 2 to 4 kg",
        "path axis M8 34H352",
        "path grid M8 29v10M180 29v10M352 29v10",
        "rect mark 91 26 178 16",
        "text quiet 8 55 | light",
        "text quiet 352 55 end | an alloy with a very …",
        "text 8 84 | Growth",
        "text strong 352 84 end | at most 8 mm ○ from memory",
        "path axis M8 102H352",
        "path grid M8 97v10M122.7 97v10",
        "rect mark 349 94 6 16",
        "text quiet 8 123 | cold",
        "text quiet 352 123 end | warm",
        "text 8 152 | Stretch",
        "text strong 352 152 end | at least 1 m",
        "path axis M8 170H352",
        "path grid M122.7 165v10M352 165v10",
        "rect mark 5 162 6 16",
        "text quiet 8 191 | soft",
        "text quiet 352 191 end | hard",
        "text 8 220 | Same",
        "text strong 352 220 end | 4 s",
        "path axis M8 238H352",
        "path grid M8 233v10M8 233v10",
        "rect mark 5 230 6 16",
        "text quiet 8 259 | one",
        "text quiet 352 259 end | two",
    ]
    assert spoken(drawn) == (
        "Steel among all: Weight 2 to 4 kg, between light and an alloy with a very long name; "
        "Growth at most 8 mm ○ from memory, between cold and warm; "
        "Stretch at least 1 m, between soft and hard; Same 4 s, between one and two."
    )
    assert frame(drawn) == ("pic pic--strips", "0 0 360 272", "")


def test_a_ladder_from_zero_has_the_heaviest_on_top():
    """0 to 15 on 344 units: 5 is 116.7 on, 8.4 is 194.6 on, and the least bar is 4 wide."""
    drawn = ladders.ladder(
        "How heavy",
        "kg",
        [("brass", figure("8.4", "8.6")), ("gold & its kin", figure(15, 15, "borrowed"))],
    )
    assert strokes(drawn) == [
        "path grid M2 4V74M116.7 4V74M231.3 4V74M346 4V74",
        "text 2 19 | gold & its kin",
        "text strong 346 19 end | 15 ◇ borrowed",
        "rect bar 346 24 4 8",
        "text 2 53 | brass",
        "text strong 346 53 end | 8.4 to 8.6",
        "rect bar 194.6 58 4.6 8",
        "path axis M2 74H346M2 74v5M116.7 74v5M231.3 74v5M346 74v5",
        "text 2 92 middle | 0",
        "text 116.7 92 middle | 5",
        "text 231.3 92 middle | 10",
        "text 346 92 middle | 15",
        "text quiet 346 108 end | kg",
    ]
    assert spoken(drawn) == (
        "How heavy, in kg, highest first: gold & its kin 15 ◇ borrowed; brass 8.4 to 8.6."
    )
    assert frame(drawn) == ("pic pic--ladder", "0 0 360 112", "")


def test_a_ladder_shortens_a_name_that_its_figures_leave_no_room_for():
    """0 to 190 on 344 units, 1.81 each; 150 is 271.6 on. Before "150 to 190" (72.8) and 8 there is
    room for 36 letters."""
    name = "a family of metals whose name is too long"
    drawn = ladders.ladder("", "kg", [(name, figure(150, 190)), ("b", figure(110, 130))])
    assert strokes(drawn)[:7] == [
        "path grid M2 4V74M92.5 4V74M183.1 4V74M273.6 4V74",
        "text 2 19 | a family of metals whose name is …",
        "text strong 346 19 end | 150 to 190",
        "rect bar 273.6 24 72.4 8",
        "text 2 53 | b",
        "text strong 346 53 end | 110 to 130",
        "rect bar 201.2 58 36.2 8",
    ]


def test_growth_is_drawn_as_lengths():
    """100 mm and 30 degrees make three times the coefficient in micrometres: 90 for 30 of zinc,
    the longest, drawn 230 units. What shrinks begins no longer than a line; 6 is 15.3 units."""
    drawn = ladders.lengths(
        [
            ("zinc", figure(30, 30)),
            ("a steel that is hardly longer when it is warm", figure(-1, 2)),
            ("brass", figure(18, 20, "memory")),
        ]
    )
    assert strokes(drawn) == [
        "text 2 19 | a steel that is hardly longer when …",
        "text strong 356 19 end | −3 to 6 µm",
        "rect soft 2 24 118 8",
        "path axis M120 21v14",
        "rect bar 120 24 1 8",
        "rect open 120 24 15.3 8",
        "text 2 53 | brass",
        "text strong 356 53 end | 54 to 60 µm ○ from memory",
        "rect soft 2 58 118 8",
        "path axis M120 55v14",
        "rect bar 120 58 138 8",
        "rect open 258 58 15.3 8",
        "text 2 87 | zinc",
        "text strong 356 87 end | 90 µm",
        "rect soft 2 92 118 8",
        "path axis M120 89v14",
        "rect bar 120 92 230 8",
    ]
    assert spoken(drawn) == (
        "Growth of a bar of 100 mm that is 30 degrees warmer: a steel that is hardly longer when "
        "it is warm −3 to 6 µm; brass 54 to 60 µm ○ from memory; zinc 90 µm."
    )
    assert frame(drawn) == ("pic pic--ladder", "0 0 360 110", "")


def volts(low, high=None):
    span = high and (D(low), D(high))
    return SimpleNamespace(range=span, typical=None if span else D(low))


def test_the_series_shows_a_metal_with_its_film_whole_and_broken():
    """From -0.9 to 0.3 V, a volt is 286.7 units: 0.1 is 286.7 on, -0.05 is 243.7, -0.5 is 114.7."""
    drawn = ladders.series(
        {
            key: Place(key, SimpleNamespace(name=key, whole=whole, broken=broken), D(at), None)
            for key, at, whole, broken in (
                ("zinc", "-0.9", [volts("-0.9")], []),
                ("gold", "0.2", [volts("0.1", "0.3")], []),
                (
                    "steel",
                    "-0.02",
                    [volts("0.0"), volts("-0.05", "0.02")],
                    [volts("-0.5", "-0.4")],
                ),
            )
        },
        ["steel"],
    )
    assert strokes(drawn) == [
        "path grid M116.7 4V108M260 4V108",
        "text 2 19 | gold",
        "text strong 346 19 end | 0.10 to 0.30",
        "rect bar 288.7 24 57.3 8",
        "text strong 2 53 | steel",
        "text strong 346 53 end | −0.05 to 0.02",
        "rect bar 245.7 58 20.1 8",
        "rect open 116.7 58 28.7 8",
        "text 2 87 | zinc",
        "text strong 346 87 end | −0.90",
        "rect bar 2 92 4 8",
        "path axis M2 108H346M116.7 108v5M260 108v5",
        "text 116.7 126 middle | −0.5",
        "text 260 126 middle | 0",
        "text quiet 346 142 end | V",
    ]
    assert spoken(drawn) == (
        "Volts in sea water against the calomel electrode, noblest first: gold 0.10 to 0.30; "
        "steel −0.05 to 0.02, in a wet gap −0.50 to −0.40; zinc −0.90."
    )
    assert frame(drawn) == (
        "pic pic--ladder",
        "0 0 360 146",
        "Filled: in the open, film whole. Dashed outline: in a salt-wet gap, film broken. "
        "The lower of two metals in wet contact is the one that corrodes.",
    )


# ----- hardness


def test_bars_of_hardness_and_what_the_part_asks():
    """0 to 1000 on 344 units. Two demands take 18 each above the bars. "at least 250" is 87.4
    wide and its line at 88, so its words stand to the right; those of 600 end 6 before theirs."""
    drawn = hardness.bars(
        [
            hardness.Row("soft", figure(100, 200)),
            hardness.Row("hard", figure(600, None)),
            hardness.Row("weak", figure(None, 150, "memory")),
            hardness.Row("a steel that was hardened right through", figure(950, 950)),
        ],
        "HV",
        "Hardness",
        [hardness.Demand(250, True, True), hardness.Demand(600, False, False)],
        "said < below",
    )
    assert strokes(drawn) == [
        "path grid M2 42V206M174 42V206M346 42V206",
        "text 2 59 | soft",
        "text strong 346 59 end | 100 to 200",
        "rect bar 36.4 65 34.4 10",
        "text 2 99 | hard",
        "text strong 346 99 end | at least 600",
        "rect open 208.4 105 137.6 10",
        "text 2 139 | weak",
        "text strong 346 139 end | at most 150 ○ from memory",
        "rect open 2 145 51.6 10",
        "text 2 179 | a steel that was hardened right through",
        "text strong 346 179 end | 950",
        "rect bar 328.8 185 4 10",
        "text strong 94 14 | at least 250",
        "path demand M88 3V42M88 61v19M88 101v19M88 141v19M88 181v19",
        "text strong 202.4 32 end | at most 600, better",
        "path demand M208.4 21V42M208.4 61v19M208.4 101v19M208.4 141v19M208.4 181v19",
        "path axis M2 206H346M2 206v5M174 206v5M346 206v5",
        "text 2 224 middle | 0",
        "text 174 224 middle | 500",
        "text 346 224 middle | 1000",
        "text quiet 346 240 end | HV",
    ]
    assert spoken(drawn) == (
        "Hardness, in HV: soft 100 to 200; hard at least 600; weak at most 150 ○ from memory; "
        "a steel that was hardened right through 950; the part needs at least 250 HV; "
        "the part needs at most 600 HV, better."
    )
    assert frame(drawn) == ("pic pic--rows", "0 0 360 244", "said < below")


def test_a_bar_that_passes_the_last_mark_leaves_a_fiftieth_free():
    """990 is 1 / 1.02 of the scale: 2 + 344 / 1.02 = 339.3. "at least 900" leaves room for 34
    letters of the name."""
    name = "a name that fills more than its own line"
    drawn = hardness.bars([hardness.Row(name, figure(990, None))], "HV", "Hardness")
    assert strokes(drawn)[:4] == [
        "path grid M2 6V50M172.3 6V50M342.7 6V50",
        "text 2 23 | a name that fills more than its …",
        "text strong 346 23 end | at least 990",
        "rect open 339.3 29 6.7 10",
    ]
    assert frame(drawn) == ("pic pic--rows", "0 0 360 88", "")


def curve(*points, as_quenched=None):
    return SimpleNamespace(
        points=[SimpleNamespace(temperature=D(t), hardness=D(h)) for t, h in points],
        as_quenched=as_quenched and D(as_quenched),
    )


def test_a_tempering_curve_lies_between_both_axes():
    """Across, 200 degrees are 284 units from 52 on: 1.42 each. Upwards, 50 to 64 HRC with 0.06 of
    the 14 and 0.01 more at each end, 15.7 in all, are 200 units from 222: 60 is 10.85 up the
    scale, 138.2 units."""
    drawn = hardness.tempering(curve((100, 60), (200, 58), (300, 50), as_quenched=64), "HRC")
    assert strokes(drawn) == [
        "path grid M44 211.2H344M44 147.5H344M44 83.8H344"
        "M52 22V222M123 22V222M194 22V222M265 22V222M336 22V222",
        "text 38 215.7 end | 50",
        "text 38 152 end | 55",
        "text 38 88.3 end | 60",
        "text quiet 2 14 | HRC",
        "path axis M44 222H344M52 222v5M123 222v5M194 222v5M265 222v5M336 222v5",
        "text 52 240 middle | 100",
        "text 123 240 middle | 150",
        "text 194 240 middle | 200",
        "text 265 240 middle | 250",
        "text 336 240 middle | 300",
        "text quiet 344 256 end | °C",
        "path demand M44 32.8H344",
        "text 344 27.8 end | as quenched 64",
        "path line M52 83.8L194 109.3L336 211.2",
        "circle dot 52 83.8 4",
        "circle dot 194 109.3 4",
        "circle dot 336 211.2 4",
    ]
    assert spoken(drawn) == ("Hardness in HRC after tempering: 100 °C 60; 200 °C 58; 300 °C 50.")
    assert frame(drawn) == ("pic", "0 0 360 264", "")


# ----- cut open


def test_coatings_lie_to_scale_beside_a_hair():
    """1.2 units are a micrometre: the hair of 70 is a circle of radius 42, 10 are 12 units. What
    is thinner than a third of a micrometre keeps a line of 0.4. A long name has a line to
    itself."""
    drawn = sections.coatings(
        [
            ("gold", figure(5, 10)),
            ("nickel with a long name that fills the line", figure(None, 2)),
            ("hard film", figure("0.5", None)),
            ("flash", figure("0.1", "0.2")),
        ]
    )
    assert strokes(drawn) == [
        "circle soft 46 60 42",
        "text 46 58 middle | a hair",
        "text 46 75 middle | 70 µm",
        "text 98 21 | gold",
        "text strong 358 21 end | 5 to 10 µm",
        "rect open hairline 98 28 260 12",
        "rect gilt 98 34 260 6",
        "text 98 63 | nickel with a long name that fills the line",
        "text strong 358 80 end | at most 2 µm",
        "rect open hairline 98 87 260 2.4",
        "rect gilt 98 89.4 260 0.4",
        "text 98 112.4 | hard film",
        "text strong 358 112.4 end | at least 0.5 µm",
        "rect open hairline 98 119.4 260 0.6",
        "rect gilt 98 119.4 260 0.6",
        "text 98 144.4 | flash",
        "text strong 358 144.4 end | 0.1 to 0.2 µm",
        "rect open hairline 98 151.4 260 0.4",
        "rect gilt 98 151.5 260 0.4",
    ]
    assert spoken(drawn) == (
        "Thickness of coatings to scale next to a hair of 70 µm: gold 5 to 10 µm; nickel with a "
        "long name that fills the line at most 2 µm; hard film at least 0.5 µm; "
        "flash 0.1 to 0.2 µm."
    )
    assert frame(drawn) == (
        "pic",
        "0 0 360 163.4",
        "To scale. Filled: the least that is usual; dashed outline: the most. "
        "The hair is common practice, 50 to 100 µm.",
    )
    alone = sections.coatings([("gold", figure(5, 10, "memory"))])
    assert frame(alone)[1] == "0 0 360 110"  # the hair needs it
    assert "gold 5 to 10 µm ○ from memory." in spoken(alone)


def test_a_gasket_free_and_shut():
    """110 units a millimetre: a groove of 1.5 by 0.8 is 165 by 88, the gasket of 0.9 has a radius
    of 49.5 and stands 11 above the groove. Shut it is 88 high with round ends of 44; between them
    it is pi/4 (99² - 88²) / 88 = 18.4 long."""
    drawn = sections.gasket(D("0.9"), D("0.8"), D("1.5"))
    assert strokes(drawn) == [
        "path soft M14 40h16v88h165v-88h16v110h-197Z",
        "circle rubber 112.5 78.5 49.5",
        "path soft M149 40h16v88h165v-88h16v110h-197Z",
        "rect rubber 194.3 40 106.4 88 44",
        "rect soft 149 18 197 22",
        "text 247.5 33 middle | lid, shut",
        "text 14 170 | free: 0.9 mm thick",
        "text 346 170 end | shut: 0.8 mm",
        "text strong 180 190 middle | squeeze 11.1 %",
    ]
    assert spoken(drawn) == (
        "A gasket of 0.9 mm in a groove 0.8 mm deep and 1.5 mm wide: free it stands above the "
        "groove; shut it is pressed to 0.8 mm, a squeeze of 11.1 per cent, and bulges to the sides."
    )
    assert frame(drawn) == ("pic", "0 0 360 196", "")


def test_rates_cross_at_the_warmth_at_which_the_watch_was_set():
    """Across, 30 degrees are 298 units from 50 on; upwards, 300 seconds (15 degrees at 10 a degree
    either way) are 210 from 234. A span is a fan of two dashed lines: 1 second a degree is 10.5
    units at each end. Both cross at 20 degC, 199 across and 129 down."""
    drawn = sections.rates(
        [
            ("plain", figure(-10, -10)),
            ("a spring with a name that is far too long for one line", figure(1, 2)),
        ]
    )
    assert strokes(drawn) == [
        "path grid M50 199H348M50 129H348M50 59H348M50 24V234M99.7 24V234M149.3 24V234"
        "M199 24V234M248.7 24V234M298.3 24V234M348 24V234",
        "text 44 203.5 end | −100",
        "text 44 133.5 end | 0",
        "text 44 63.5 end | 100",
        "text quiet 2 14 | seconds a day",
        "path axis M50 234H348M50 234v5M99.7 234v5M149.3 234v5"
        "M199 234v5M248.7 234v5M298.3 234v5M348 234v5",
        *(f"text {x} 252 middle | {t}" for x, t in (("50", 5), ("99.7", 10), ("149.3", 15))),
        *(f"text {x} 252 middle | {t}" for x, t in (("199", 20), ("248.7", 25), ("298.3", 30))),
        "text 348 252 middle | 35",
        "text quiet 348 268 end | °C",
        "path line M50 24L348 234",
        "path demand M50 139.5L348 118.5",
        "path demand M50 150L348 108",
        "path line M4 282h28",
        "text 38 286 | plain",
        "path demand M4 300h28",
        "text 38 304 | a spring with a name that is far too long",
        "text 38 322 | for one line",
    ]
    assert spoken(drawn) == (
        "Rate against temperature, set right at 20 °C. plain: −10 seconds a day per degree; "
        "a spring with a name that is far too long for one line: 1 to 2 seconds a day per "
        "degree."
    )
    assert frame(drawn) == ("pic", "0 0 360 332", "")
