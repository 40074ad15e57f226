"""The forms that parts are drawn from, measured: places worked out by hand in the box of 96 by 96
whose middle is 48, 48."""

from decimal import Decimal as D
from types import SimpleNamespace

import pytest

from generator.site.pictures import drawings, shapes
from tests.drawn import spoken, strokes

HUB = "circle body 48 48"


def round_hole(r):
    """As a path: from its left, half a turn to the right and half a turn back."""
    return f"M{48 - r} 48a{r} {r} 0 1 0 {2 * r} 0a{r} {r} 0 1 0 {-2 * r} 0Z"


def test_the_rim_of_a_wheel_of_the_train():
    """Two teeth of 10 on a radius of 40: half a turn each. From the root at 0.12 of the pitch
    (21.6 degrees on 30: 27.9 across and 11 down) to the tip at 0.28 (50.4 degrees on 40: 25.5 and
    30.8), along it to 0.58, and down to 0.74; the second tooth lies opposite the first."""
    assert strokes(shapes.wheel({"teeth": 2, "outer": 40, "depth": 10})) == [
        "path body M75.9 59L73.5 78.8L38.1 86.7L27.5 69.9L20.1 37L22.5 17.2L57.9 9.3L68.5 26.1Z",
        "circle hole 48 48 3",
    ]


def test_a_wheel_of_which_nothing_is_said():
    """One tooth of 5 on 44, without a bore: 43.2 degrees on 39 are 28.4 and 26.7."""
    assert strokes(shapes.wheel({"teeth": 1, "bore": 0})) == [
        "path body M76.4 74.7L39.8 91.2L9.4 26.8L45.6 9.1Z"
    ]


def spokes_of(low, high, wide, *turns):
    """Each is a box from the hub to the rim with its two long sides, turned about the middle."""
    for turn in turns:
        yield f"g rotate({turn} 48 48)"
        yield f"rect fill {48 + low} {48 - wide / 2:g} {high - low} {wide}"
        sides = (f"M{48 + low} {48 + side * wide / 2:g}h{high - low}" for side in (-1, 1))
        yield f"path edge {''.join(sides)}"


def test_a_ratchet_wheel_with_spokes_and_a_square():
    """Inside a rim of 7 below teeth of 5 is a hole of 28; the spokes run from 8, inside the hub of
    9, to 29, inside the rim, the first upwards."""
    wheel = {"teeth": 2, "kind": 1, "outer": 40, "spokes": 2, "pinion": 2, "square": 6}
    assert strokes(shapes.wheel(wheel)) == [
        f"path body M83 48L11.8 65L13.6 54.6L13 48L84.2 31L82.4 41.4Z{round_hole(28)}",
        *spokes_of(8, 29, 5, -90, 90),
        f"{HUB} 9",
        "path soft M53.2 50.1L53.7 54.9L45.8 56.7L44.2 52.1"
        "L42.8 45.9L42.3 41.1L50.2 39.3L51.8 43.9Z",
        "rect hole 45 45 6 6",
    ]
    finer = {**wheel, "band": 4, "hub": 11, "spoke": 3, "spokes": 1}
    assert strokes(shapes.wheel(finer))[1:5] == [*spokes_of(10, 32, 3, -90), f"{HUB} 11"]
    assert 'fill-rule="evenodd"' in shapes.wheel(wheel)  # the hole is seen through


def test_a_ring_plain_and_with_all_that_it_can_bear():
    """Marks of 4 in the middle between 34 and 44 begin at 37, the first at the top; teeth inside
    reach 4 inwards of 34; screws stand half a pitch aside, 3.5 to each side."""
    plain = f"path body {round_hole(44)}{round_hole(34)}"
    assert strokes(shapes.ring({})) == [plain]
    full = {"line": 40, "marks": 2, "teeth": 2, "spokes": 1, "screws": 2, "slit": 1}
    assert strokes(shapes.ring(full)) == [
        plain,
        "circle edge 48 48 40",
        "path edge M48 11L48 7M48 85L48 89",
        "path body M83.3 62L69.7 74.2L39.5 80.9L22 75.7L12.7 34L26.3 21.8L56.5 15.1L74 20.3Z",
        *spokes_of(7, 35, 5, -90),
        f"{HUB} 8",
        "circle hole 48 48 2.5",
        "g rotate(90 48 48)",
        "rect soft 92 44.5 5 7",
        "g rotate(270 48 48)",
        "rect soft 92 44.5 5 7",
        "path slit M48 3v12",
    ]


def test_a_ring_with_sizes_of_its_own():
    sizes = {"outer": 40, "inner": 20, "marks": 1, "mark": 2, "from": 25}
    sizes |= {"spokes": 2, "hub": 6, "bore": 1, "spoke": 4}
    assert strokes(shapes.ring(sizes)) == [
        f"path body {round_hole(40)}{round_hole(20)}",
        "path edge M48 23L48 21",
        *spokes_of(5, 21, 4, -90, 90),
        f"{HUB} 6",
        "circle hole 48 48 1",
    ]


def test_a_spiral_grows_evenly_and_has_no_corner():
    """A fifth of a turn in four steps of 18 degrees, the radius from 10 to 20 in steps of 2.5: at
    18 degrees 12.5 is 11.9 across and 3.9 down. The curve runs from middle to middle."""
    assert strokes(shapes.spiral({"turns": 0.2, "inner": 10, "outer": 20})) == [
        "path edge M58 48L59 50Q59.9 51.9 60 54.3Q60.1 56.8 59.2 59.5Q58.3 62.2 56.2 64.6L54.2 67"
    ]
    (whole,) = strokes(shapes.spiral({"thick": 1}))
    assert whole.startswith("path thick M54 48L")
    assert whole.endswith("L90 48")
    assert whole.count("Q") == 6 * 20 - 1
    assert shapes._between("-1 2", "2 -3.5") == "0.5 -0.8"


def test_a_turned_piece_fills_the_box():
    """Steps of 10, 20 and 14 long fill 88 at a scale of 2, from 4 on; the bore is half of each."""
    profile = [(D(10), D(20)), (D(20), D(10)), (D(14), D(16))]
    shown = {"leaves_on": 0, "leaves": 2, "thread_on": 1, "cross_on": 2, "bore": 0.5}
    assert strokes(shapes.turned(shown, profile)) == [
        "rect body 4 28 20 40",
        "path edge M4 48h20",
        "path dash M4 38h20m0 20h-20",
        "rect body 24 38 40 20",
        "path edge " + "".join(f"M{x} 58l3 -20" for x in range(24, 64, 5)),
        "path dash M24 43h40m0 10h-40",
        "rect body 64 32 28 32",
        "path edge M64 32l28 32m0 -32l-28 32",
        "path dash M64 40h28m0 16h-28",
    ]


def test_a_stout_turned_piece_is_no_higher_than_eighty():
    """10 long and 40 thick at a scale of 2 stands in the middle; four leaves where it is not said
    how many; a thread on a step of 1 has one turn."""
    assert strokes(shapes.turned({"leaves_on": 0}, [(D(10), D(40))])) == [
        "rect body 38 8 20 80",
        "path edge M38 28h20M38 48h20M38 68h20",
    ]
    assert strokes(shapes.turned({"thread_on": 0}, [(D(1), D(40))])) == [
        "rect body 47 8 2 80",
        "path edge M47 88l3 -80",
    ]


def test_a_disc_and_its_marks():
    """Where nothing else is said marks run from 34 to 40, the first at the top."""
    assert strokes(shapes.disc({})) == [f"{HUB} 44"]
    assert strokes(shapes.disc({"outer": 40, "line": 30, "marks": 2, "bore": 3})) == [
        f"{HUB} 40",
        "circle edge 48 48 30",
        "path strokes M48 14L48 8M48 82L48 88",
        "circle hole 48 48 3",
    ]
    assert strokes(shapes.disc({"marks": 1, "from": 20, "mark": 4}))[1:] == [
        "path strokes M48 28L48 24"
    ]


def test_a_ball_bearing():
    """Two rings with the balls on 27 between them, from the right."""
    rings = [f"path body {round_hole(a)}{round_hole(b)}" for a, b in ((44, 33), (21, 9))]
    assert strokes(shapes.balls({"count": 4})) == [
        *rings,
        *(f"circle soft {at} 5.4" for at in ("75 48", "48 75", "21 48", "48 21")),
    ]
    assert len(strokes(shapes.balls({}))) == 2 + 9


@pytest.mark.parametrize("form", ["outline", "turned", "disc"])
def test_shapes_of_an_entry_lie_on_its_form(form):
    entry = SimpleNamespace(
        form=form,
        numbers={"outer": D(20)},
        profile=[(D(11), D(10))],
        shapes=[SimpleNamespace(d="M1 1", stroke="thin"), SimpleNamespace(d="M2 2", stroke="body")],
    )
    base = {"outline": [], "turned": ["rect body 4 8 88 80"], "disc": [f"{HUB} 20"]}
    assert strokes(shapes.drawn(entry)) == [*base[form], "path edge M1 1", "path body M2 2"]


def test_a_drawing_says_what_it_shows_in_its_box_of_96(knowledge):
    drawn = drawings.part(knowledge, "escape-wheel", "hit")
    assert drawn.startswith('<svg class="hit" viewBox="0 0 96 96" role="img" aria-label="')
    entry = knowledge.words("part_drawings")["escape-wheel"]
    assert spoken(f"<p>{drawn}</p>") == f"Drawing of escape wheel: {entry.said}."
    assert strokes(drawn) == strokes(shapes.drawn(entry))
    assert drawings.part(knowledge, "no-such-part") == ""


def test_damage_is_drawn_named_and_said(knowledge):
    entry = knowledge.words("damage_drawings")["pits-in-a-thread"]
    (drawn,) = [d for d in drawings.damage(knowledge, entry.hazards[0]) if entry.said in d]
    said = f"Pits in a thread: {entry.said}."
    assert drawn == (
        '<figure class="damage"><svg class="drawn" viewBox="0 0 96 96" role="img" '
        f'aria-label="{said}">{shapes.drawn(entry)}</svg><figcaption>{said}</figcaption></figure>'
    )
    files = drawings.files(knowledge)
    assert list(files) == sorted(files)
    whole = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96"><style>'
    for hazard, shown in ((h, f) for h in entry.hazards for f in [files[f"hazards/{h}"]]):
        first = next(e for e in knowledge.words("damage_drawings").values() if hazard in e.hazards)
        assert shown.startswith(whole)
        assert shown.endswith(f"</style>{shapes.drawn(first)}</svg>\n")
