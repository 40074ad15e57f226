"""Elements against two reference libraries: periodictable (CRC Handbook values) and mendeleev."""

import periodictable
import pytest

pytestmark = pytest.mark.external

# Where the two libraries disagree by more than the tolerance, and which one the knowledge base
# follows (reason beside it).
PERIODICTABLE_IS_OFF = {"Ir": "1999 handbook value 22.42", "Ti": "4.54; producers give 4.51"}
MENDELEEV_IS_OFF = {"Ru": "12.1; crystallographic density is about 12.4"}
GASES = {"H", "N", "O"}


@pytest.fixture(scope="module")
def mendeleev():
    """The elements of mendeleev by symbol, read in one go.

    It is large, so it is loaded by whoever asks.
    """
    from mendeleev.fetch import fetch_table

    return fetch_table("elements").set_index("symbol")


@pytest.mark.slow
def test_atomic_weights_agree_with_both_libraries(knowledge, mendeleev):
    for symbol, entry in knowledge.words("elements").items():
        assert float(entry.atomic_weight) == pytest.approx(
            getattr(periodictable, symbol).mass, rel=2e-4
        ), symbol
        assert float(entry.atomic_weight) == pytest.approx(
            mendeleev.atomic_weight[symbol], rel=2e-4
        ), symbol


def test_densities_agree_with_periodictable(knowledge):
    for symbol, entry in knowledge.words("elements").items():
        if symbol not in GASES and symbol not in PERIODICTABLE_IS_OFF:
            assert float(entry.density) == pytest.approx(
                getattr(periodictable, symbol).density, rel=0.011
            ), symbol


@pytest.mark.parametrize(
    "symbol",
    [
        "Cu",
        "Zn",
        "Pb",
        "Ni",
        "Fe",
        "Cr",
        "Mo",
        "Co",
        "Ti",
        "Al",
        "Be",
        "Sn",
        "Au",
        "Ag",
        "Pt",
        "Pd",
        "Rh",
        "Ir",
        "W",
        "Mn",
        "Si",
        "Nb",
        "Zr",
    ],
)
@pytest.mark.slow
def test_densities_agree_with_mendeleev(knowledge, mendeleev, symbol):
    assert float(knowledge.words("elements")[symbol].density) == pytest.approx(
        mendeleev.density[symbol], rel=0.006
    )


@pytest.mark.parametrize(("material", "symbol"), [("gold-24", "Au"), ("copper-pure", "Cu")])
@pytest.mark.slow
def test_fine_metals_against_two_libraries(values, mendeleev, material, symbol):
    density = values.of(material, "density")
    assert float(density.middle) == pytest.approx(getattr(periodictable, symbol).density, rel=0.006)
    assert float(density.middle) == pytest.approx(mendeleev.density[symbol], rel=0.006)
