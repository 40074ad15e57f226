"""Figures of materials against independent sources.

The second column of numbers is what handbooks and standards other than the record's own print for
the same thing: ASM Metals Handbook (10th ed., vols. 1 and 2), CRC Handbook of Chemistry and
Physics, EN 10088-1 annex, the copper associations' alloy tables. They are written here from
memory; pure metals are compared with two reference libraries. The tolerance is a few per cent, as
sources differ by.
"""

import pytest

pytestmark = pytest.mark.external

DENSITY = [  # g/cm3, within 1.5 %
    ("stainless-304", 8.00, "ASM vol. 1"),
    ("stainless-303", 8.00, "ASM vol. 1"),
    ("stainless-316l", 8.00, "ASM vol. 1"),
    ("stainless-904l", 8.00, "EN 10088-1"),
    ("stainless-420-1-4021", 7.70, "EN 10088-1"),
    ("stainless-420-1-4034", 7.70, "EN 10088-1"),
    ("stainless-440c", 7.70, "EN 10088-1"),
    ("stainless-17-4ph", 7.80, "EN 10088-1"),
    ("steel-o1", 7.85, "ASM vol. 1"),
    ("steel-52100", 7.81, "ASM vol. 1"),
    ("titanium-grade-2", 4.51, "ASM vol. 2"),
    ("titanium-grade-5", 4.43, "ASM vol. 2"),
    ("aluminium-6082", 2.70, "EN 573"),
    ("aluminium-7075", 2.81, "ASM vol. 2"),
    ("brass-c36000", 8.50, "copper association"),
    ("brass-cuzn30", 8.53, "copper association"),
    ("brass-cuzn37", 8.44, "copper association"),
    ("brass-cuzn39pb3", 8.47, "copper association"),
    ("nickel-silver-cuni18zn20", 8.73, "copper association"),
    ("bronze-cusn8", 8.80, "copper association"),
    ("beryllium-copper-cube2", 8.25, "ASM vol. 2"),
    ("alloy-fe-36ni", 8.10, "ASM vol. 1"),
    ("silver-925", 10.36, "ASM vol. 2"),
    ("gold-18-yellow-3n", 15.4, "goldsmiths' tables"),
    ("sapphire-synthetic", 3.98, "CRC"),
    ("glass-mineral", 2.50, "CRC"),
    ("acrylic-pmma", 1.19, "CRC"),
    ("zirconia-3y", 6.05, "ISO 13356"),
    ("silicon-crystal", 2.329, "CRC"),
]
MODULUS = [  # GPa, within 8 %
    ("stainless-304", 193, "ASM vol. 1"),
    ("stainless-316l", 193, "ASM vol. 1"),
    ("stainless-904l", 195, "EN 10088-1"),
    ("stainless-420-1-4034", 215, "EN 10088-1"),
    ("stainless-17-4ph", 200, "EN 10088-1"),
    ("titanium-grade-2", 103, "ASM vol. 2"),
    ("titanium-grade-5", 114, "ASM vol. 2"),
    ("aluminium-6082", 70, "EN 1999"),
    ("aluminium-7075", 71.7, "ASM vol. 2"),
    ("brass-c36000", 97, "copper association"),
    ("brass-cuzn30", 110, "copper association"),
    ("bronze-cusn8", 110, "copper association"),
    ("beryllium-copper-cube2", 128, "ASM vol. 2"),
    ("alloy-fe-36ni", 144, "ASM vol. 1"),
    ("copper-pure", 118, "ASM vol. 2"),
    ("gold-24", 78, "CRC"),
    ("steel-52100", 210, "ASM vol. 1"),
    ("zirconia-3y", 210, "ISO 13356"),
]
EXPANSION = [  # 10^-6/K near room temperature, within 10 %
    ("stainless-304", 16.6, "ASM and EN 10088-1, middle"),
    ("stainless-316l", 16.0, "EN 10088-1"),
    ("stainless-904l", 15.8, "EN 10088-1"),
    ("stainless-420-1-4034", 10.5, "EN 10088-1"),
    ("stainless-440c", 10.3, "ASM vol. 1"),
    ("stainless-17-4ph", 10.9, "EN 10088-1"),
    ("titanium-grade-2", 8.6, "ASM vol. 2"),
    ("titanium-grade-5", 8.6, "ASM vol. 2"),
    ("aluminium-6082", 23.4, "EN 1999"),
    ("aluminium-7075", 23.5, "ASM vol. 2"),
    ("brass-c36000", 20.5, "copper association"),
    ("brass-cuzn30", 19.9, "copper association"),
    ("brass-cuzn39pb3", 20.9, "copper association"),
    ("nickel-silver-cuni18zn20", 16.4, "copper association"),
    ("bronze-cusn8", 18.2, "copper association"),
    ("beryllium-copper-cube2", 17.0, "ASM vol. 2"),
    ("copper-pure", 16.8, "CRC"),
    ("gold-24", 14.2, "CRC"),
    ("glass-mineral", 9.0, "CRC"),
    ("steel-52100", 11.9, "ASM vol. 1"),
]
MINIMUM_PROOF = [  # MPa, guaranteed minima of the standards, exact
    ("titanium-grade-2", "annealed", 275, "ASTM B265"),
    ("titanium-grade-5", "annealed", 828, "ASTM B265"),
]


def middle(values, knowledge, material, prop):
    quantity = values.of(material, prop)
    for state in knowledge.materials[material].states if quantity is None else ():
        quantity = quantity or values.of(material, prop, state)
    assert quantity is not None, f"{material}: no {prop}"
    return float(quantity.middle)


@pytest.mark.parametrize(("material", "expected", "source"), DENSITY)
def test_density(knowledge, values, material, expected, source):
    assert middle(values, knowledge, material, "density") == pytest.approx(expected, rel=0.015), (
        source
    )


@pytest.mark.parametrize(("material", "expected", "source"), MODULUS)
def test_elastic_modulus(knowledge, values, material, expected, source):
    assert middle(values, knowledge, material, "elastic-modulus") == pytest.approx(
        expected, rel=0.08
    ), source


@pytest.mark.parametrize(("material", "expected", "source"), EXPANSION)
def test_expansion(knowledge, values, material, expected, source):
    assert middle(values, knowledge, material, "expansion") == pytest.approx(expected, rel=0.10), (
        source
    )


@pytest.mark.parametrize(("material", "state", "expected", "source"), MINIMUM_PROOF)
def test_guaranteed_proof_strength(knowledge, material, state, expected, source):
    figures = knowledge.materials[material].states[state].figures["proof-strength"]
    assert any(expected in (f.at_least, f.range[0] if f.range else None) for f in figures), source


def test_there_are_at_least_60_of_them():
    assert len(DENSITY) + len(MODULUS) + len(EXPANSION) + len(MINIMUM_PROOF) >= 60


def test_counts_and_provenance(knowledge):
    """The bars of the content: numbers of records, and at least nine figures in ten from a
    publication."""
    from generator.records.materials import figures_of

    assert len(knowledge.materials) >= 130
    assert len(knowledge.parts) >= 55
    assert len(knowledge.hazards) >= 24
    assert len(knowledge.processes) >= 78
    assert len(knowledge.sayings) >= 90
    judged = [s.judged for s in knowledge.sayings.values()]
    assert judged.count("holds") >= len(judged) / 3  # nobody learns to answer "never true"
    assert len(knowledge.lessons) == 13  # twelve lessons and the gate before them
    assert len(list(knowledge.questions())) >= 120
    assert (len(knowledge.tasks), len(knowledge.cases), len(knowledge.weeks)) == (12, 8, 4)
    found = [f for m in knowledge.materials.values() for _, _, f in figures_of(m)]
    assert sum(f.source == "memory" for f in found) / len(found) < 0.10


@pytest.mark.slow
def test_every_part_is_made_of_something_and_few_cells_are_open(knowledge, verdicts):
    cells = [j for found in verdicts.cells.values() for j in found]
    assert {j.part for j in cells if j.rung == "own"} == set(knowledge.roles)
    open_ones = [j for j in cells if j.rung == "cannot-say"]
    assert len(open_ones) / len(cells) <= 0.02
    assert all(j.missing for j in open_ones)  # each names the figure


def test_nothing_is_offered_or_refused_by_a_figure_from_memory(verdicts):
    for cells in verdicts.cells.values():
        for j in cells:
            for answer in verdicts.judge.answers(j.part, j.material, j.state):
                if answer.quantity is not None and answer.outcome != "unknown":
                    assert not answer.quantity.from_memory, (j.part, j.material)


def test_the_bimetal_follows_from_its_layers(knowledge, values):
    """Layers that are fused share one stretch, so the force of each is share times modulus times
    what it is kept from growing; together they are nought (rule of mixtures along the layers, any
    textbook of composites). Worked out here in plain numbers for half and two thirds of brass."""

    def ends(material, prop):
        found = values.of(material, prop)
        return float(found.low), float(found.high)

    (steel, _), (grows, _) = ends("steel-c75s", "elastic-modulus"), ends("steel-c75s", "expansion")
    (warmth, _) = ends("brass-cuzn37", "expansion")
    stiffness, growth = [], []
    for share in (1 / 2, 2 / 3):
        for brass in ends("brass-cuzn37", "elastic-modulus"):
            both = share * brass + (1 - share) * steel
            stiffness.append(both)
            growth.append((share * brass * warmth + (1 - share) * steel * grows) / both)
    assert ends("bimetal-brass-steel", "elastic-modulus") == pytest.approx(
        (min(stiffness), max(stiffness)), abs=0.5
    )
    assert ends("bimetal-brass-steel", "expansion") == pytest.approx(
        (min(growth), max(growth)), abs=0.06
    )


def test_every_metal_has_stiffness_and_expansion(knowledge, values):
    """The bar of the content: no gap in what every calculation of springs, fits and warmth asks."""
    classes = knowledge.words("families")
    for name, material in knowledge.materials.items():
        if classes[material.family].material_class == "metal":
            for prop in ("elastic-modulus", "expansion"):
                assert any(values.of(name, prop, s) for s in (None, *material.states)), (name, prop)
