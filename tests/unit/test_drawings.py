"""Drawings of parts and damage: all are there, and show what the trade knows of them."""

import re

from generator.site.pictures import drawings, shapes

# What the bench wants to see of damage, by name.
ASKED = {
    "pits in a thread", "season cracks", "crazing", "galled thread", "worn plating", "set gasket",
    "hollowed leaf", "rust bloom", "fretting",
}  # fmt: skip


def tips(markup: str, outer: float, middle: float = 48) -> int:
    """Teeth of the first toothed edge: runs of points that lie on the outer circle."""
    edge = re.search(r'd="(M[^"]*L[^"]*)"', markup)[1]
    points = [tuple(map(float, p.split())) for p in re.split("[ML]", edge.split("Z")[0])[1:]]
    out = [((x - middle) ** 2 + (y - middle) ** 2) ** 0.5 > outer - 0.3 for x, y in points]
    return sum(a and not b for a, b in zip(out, out[1:] + out[:1], strict=True))


def test_each_part_has_a_drawing_that_says_what_it_shows(knowledge):
    for key, part in knowledge.parts.items():
        drawn = str(drawings.part(knowledge, key))
        assert f"Drawing of {part.name.lower()}: " in drawn.replace("&#39;", "'"), key
    assert not set(knowledge.words("part_drawings")) - set(knowledge.parts)


def test_all_damage_that_the_bench_asked_for_is_drawn(knowledge):
    entries = knowledge.words("damage_drawings").values()
    assert {e.name for e in entries} >= ASKED
    assert len({shapes.drawn(e) for e in entries}) == len(entries)
    for hazard in ("sea-water", "ammonia-cleaner", "shock", "wear-and-polishing"):
        assert drawings.damage(knowledge, hazard), hazard


def test_an_escape_wheel_has_fifteen_teeth(knowledge):
    """Facts of the trade: the escape wheel of a lever watch has 15 teeth."""
    assert tips(str(drawings.part(knowledge, "escape-wheel")), 44) == 15


def test_a_date_ring_has_thirty_one_teeth(knowledge):
    """One tooth a day of the longest month."""
    entry = knowledge.words("part_drawings")["date-ring"]
    inner = re.findall(r'<path class="pic__body" d="(M[^"]*)"', shapes.drawn(entry))[0]
    assert inner.count("L") == 31 * 4 - 1


def test_every_form_of_the_list_can_be_drawn(knowledge):
    forms = {e.form for e in knowledge.words("part_drawings").values()}
    assert forms <= set(shapes.FORMS)


def test_images_for_find_hits_are_small_and_stand_alone(knowledge):
    files = drawings.files(knowledge)
    assert set(files) >= {f"parts/{key}" for key in knowledge.parts}
    for address, text in files.items():
        assert text.startswith("<svg xmlns=") and len(text) < 9000, address
        assert "var(" not in text and "currentColor" not in text, address
