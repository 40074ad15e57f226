"""Which materials a record is judged against: all of a small knowledge base, the nearest of a
large one."""

from generator.verdicts.candidates import MOST, Fields, near


def test_of_the_shipped_knowledge_everything_is_judged(knowledge):
    fields = Fields(knowledge)
    assert len(knowledge.materials) < MOST
    assert fields.of_part("case-middle") == [
        m
        for m, record in knowledge.materials.items()
        if knowledge.folders[m] != "coatings" and "joining" not in record.traits
    ]
    assert "solder-tin-lead" not in fields.of_part("case-middle")
    assert fields.of_hazard("sweat") == list(knowledge.materials)
    assert fields.hazards_of("stainless-316l") == list(knowledge.hazards)


def test_in_a_large_one_what_the_part_names_comes_first_then_its_families_then_all(knowledge):
    fields = Fields(knowledge, most=20)
    for key, part in knowledge.parts.items():
        named = {c.material for c in (*part.usual, *part.wrong)}
        found = fields.of_part(key)
        assert len(found) == 20
        assert named <= set(found)
        families = {knowledge.materials[m].family for m in named}
        others = {knowledge.materials[m].family for m in found} - families
        assert others, f"{key}: only families that the part names"
        assert all(knowledge.folders[m] != "coatings" for m in found)


def test_a_field_never_leaves_out_what_is_named_however_small_it_is(knowledge):
    part = knowledge.parts["case-middle"]
    named = {c.material for c in (*part.usual, *part.wrong)}
    assert set(Fields(knowledge, most=1).of_part("case-middle")) == named


def test_of_a_material_those_hazards_count_in_whose_field_it_is(knowledge):
    fields = Fields(knowledge, most=30)
    for material in ("stainless-316l", "brass-cuzn39pb3"):
        expected = [h for h in knowledge.hazards if material in fields.of_hazard(h)]
        assert fields.hazards_of(material) == expected


def test_neighbours_of_a_long_list():
    letters = list("abcdefghij")
    assert near(letters, "c", most=20) == list("abdefghij")
    assert near(letters, "e", most=4) == list("cdfg")
    assert near(letters, "a", most=4) == list("bcde")
    assert near(letters, "j", most=4) == list("fghi")
