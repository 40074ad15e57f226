"""Limits and first aid as the reader sees them, against what the law, agency or poison centre
published.

Each expected figure was taken from the text named beside it, not from the knowledge base.
"""

import re

import pytest

pytestmark = pytest.mark.external

# caution, words of the line, figure, unit, where it was published
LIMITS = [
    ("beryllium-dust", "air over 8 hours (US)", "0.2", "ug/m3", "29 CFR 1910.1024(c)(1)"),
    ("beryllium-dust", "(EU)", "0.0002", "mg/m3", "2019/983 annex, after 11 July 2026"),
    ("lead-dust", "air over 8 hours (US)", "50", "ug/m3", "29 CFR 1910.1025(c)(1)"),
    ("lead-dust", "action level", "30", "ug/m3", "29 CFR 1910.1025(b)"),
    ("lead-dust", "8 hours (EU", "30", "ug/m3", "2024/869: 0.03 mg/m3"),
    ("lead-dust", "blood (EU)", "15", "ug/100ml", "2024/869, from 1 January 2029"),
    ("lead-dust", "childbearing", "4.5", "ug/100ml", "2024/869, surveillance"),
    ("mercury-gilding", "(EU", "0.02", "mg/m3", "2009/161/EU annex"),
    ("mercury-gilding", "8 hours (US)", "0.1", "mg/m3", "OSHA directive of 9 September 1996"),
    ("cadmium-solder", "8 hours (US)", "5", "ug/m3", "Federal Register, 14 September 1992"),
    ("cadmium-solder", "until 11 July 2027", "0.004", "mg/m3", "2019/983 annex"),
    ("cobalt", "8 hours (US)", "0.1", "mg/m3", "OSHA chemical sampling information"),
    ("silica", "air over 8 hours (US)", "50", "ug/m3", "29 CFR 1910.1053(c)"),
    ("silica", "8 hours (EU)", "0.1", "mg/m3", "2004/37/EC Annex III"),
    ("nitrous-fumes", "at any moment (US)", "5", "ppm", "29 CFR 1910.1000 Table Z-1, ceiling"),
    ("chromium-six", "air over 8 hours (EU)", "0.005", "mg/m3", "2004/37/EC Annex III"),
    ("chromium-six", "leather", "3", "ppm", "301/2014: 3 mg/kg"),
    ("asbestos-and-fibres", "asbestos fibres in air over 8 hours (EU)", "0.01", "fibre/cm3",
     "2023/2668"),
    ("nickel-compounds", "inhalable", "0.05", "mg/m3", "2022/431, from 18 January 2025"),
    ("fluxes", "8 hours", "0.05", "mg/m3", "HSE SIM 03/2002/26"),
    ("fluxes", "15 minutes", "0.15", "mg/m3", "HSE SIM 03/2002/26"),
    ("fluorides", "8 hours (US)", "3", "ppm", "29 CFR 1910.1000 Table Z-2"),
    ("gas-and-carbon-monoxide", "8 hours (EU)", "20", "ppm", "ECHA list, 2022/431"),
    ("gas-and-carbon-monoxide", "8 hours (US)", "50", "ppm", "29 CFR 1910.1000 Table Z-1"),
    ("zinc-and-metal-fume", "8 hours (US)", "5", "mg/m3", "OSHA chemical sampling information"),
    ("plastic-fume", "8 hours (EU)", "0.37", "mg/m3", "2019/983 annex"),
    ("hot-work", "fire code", "60", "min", "NFPA 51B (2019) 5.6.1.1: 1 hour"),
    ("platinum-salts", "rhodium", "0.001", "mg/m3", "NIOSH, May 1994: current OSHA PEL"),
    ("silver-dips", "ceiling (US)", "20", "ppm", "29 CFR 1910.1000 Table Z-2"),
    ("silver-dips", "over 8 hours", "5", "ppm", "SCOEL/SUM/124, June 2007"),
    ("silver-dips", "over 15 minutes", "10", "ppm", "SCOEL/SUM/124, June 2007"),
    ("electric-shock", "wet", "30", "V", "IEC 60598-1:2008, 8.2.3; BS 7671, 414.4.5"),
    ("electric-shock", "in normal dry conditions", "60", "V", "IEC 60598-1:2008, 8.2.3"),
]  # fmt: skip


@pytest.mark.parametrize("caution, words, figure, unit, published", LIMITS)
def test_the_limit_is_the_published_one(knowledge, caution, words, figure, unit, published):
    found = [f for f in knowledge.cautions[caution].limits if words in f.what]
    assert len(found) == 1, (caution, words)
    value = found[-1].at_most if found[-1].at_most is not None else found[-1].typical
    value = value if value is not None else found[-1].at_least
    assert (f"{value:f}", found[-1].unit) == (figure, unit), published


def test_thirty_six_cautions_and_no_limit_from_memory(knowledge):
    assert len(knowledge.cautions) >= 36
    assert not [c for c, e in knowledge.cautions.items() for f in e.limits if f.source == "memory"]


def test_swallowed_cells_as_the_poison_centre_says(knowledge):
    """National Capital Poison Center, guideline of 2018: no vomiting, honey only from 12 months,
    within 12 hours, 10 ml every 10 minutes up to six doses; the children's hospital: straight to
    emergency.
    """
    told = " ".join(
        [*knowledge.first_aid["swallowed-cell"].do, knowledge.first_aid["swallowed-cell"].then]
    )
    assert told.index("emergency number") < told.index("honey")
    for word in (
        "Do not make them vomit",
        "over one year",
        "12 hours",
        "two teaspoons",
        "ten minutes",
        "X-ray",
    ):
        assert word in told
    assert "six times" in told


def test_an_eye_is_rinsed_with_water_only_for_15_to_20_minutes(knowledge):
    """National Capital Poison Center: irrigate 15 to 20 minutes; nothing but water."""
    told = " ".join(knowledge.first_aid["splash-in-the-eye"].do)
    assert "15 to 20 minutes" in told
    assert "Water and nothing else" in told


def test_hydrofluoric_acid_goes_to_hospital_with_calcium_gluconate(knowledge):
    """Two university protocols: water (5 minutes with gel at hand, 15 without), gel of 2.5 %,
    hospital."""
    entry = knowledge.first_aid["hydrofluoric-acid"]
    told = " ".join(entry.do)
    assert "calcium gluconate gel 2.5 %" in told
    assert "5 minutes" in told
    assert "15 minutes" in told
    assert entry.then.startswith("Hospital")


def test_nobody_is_told_to_neutralise_a_body(knowledge):
    """Bicarbonate and vinegar are for bench and metal (US DOE handbook: water; common practice)."""
    lines = [
        (c, line)
        for c, e in (*knowledge.cautions.items(), *knowledge.first_aid.items())
        for line in getattr(e, "first_aid", None) or e.do
        if re.search("bicarbonate|vinegar|neutralis", line, re.I)
    ]
    for where, line in lines:
        assert re.search(
            "no (bicarbonate|vinegar)|nothing to neutralise|floor|on the artic", line, re.I
        ) or ("never on skin" in line.lower()), (where, line)


def test_help_is_called_first(knowledge):
    for key, caution in knowledge.cautions.items():
        assert "emergency number" in caution.first_aid[0], key
    for key, entry in knowledge.first_aid.items():
        assert re.search(
            "emergency number|poison centre|Do not touch|Stop|Out into", entry.do[0]
        ), key


@pytest.mark.parametrize(
    "word", ["cyanide", "swallowed", "splash", "fumes", "respirator", "gloves", "verdigris", "burn"]
)
def test_a_frightened_word_is_a_name_of_a_caution_or_of_first_aid(knowledge, word):
    names = {
        n.casefold()
        for e in (*knowledge.cautions.values(), *knowledge.first_aid.values())
        for n in (*e.also_called, e.name)
    }
    assert any(word in name for name in names)
