"""The colour of metals, tints and films in daylight, from optical constants, film thickness and
published coordinates.

Reflectance at normal incidence by Fresnel, one film by interference; tristimulus values with the
CIE 1931 observer; coordinates and sRGB by ColorAide. Floats: three digits are enough for the eye.
"""

from __future__ import annotations

import cmath
import contextlib
import hashlib
import importlib.metadata
import json
import sys
from collections.abc import Callable, Iterable
from functools import cache, cached_property
from pathlib import Path
from typing import NamedTuple

from pydantic import BaseModel

from generator.records import models
from generator.records.knowledge import Knowledge

EV_NM = 1239.84193  # photon energy in eV times wavelength in nm: h c / e


class Seen(NamedTuple):
    """A colour: CIELAB under D65, and as web pages write it."""

    lab: tuple[float, float, float]
    hex: str

    def apart(self, other: Seen) -> float:
        """How far the eye finds two colours apart: CIEDE2000."""
        return _colour("lab-d65", self.lab).delta_e(_colour("lab-d65", other.lab), method="2000")


def _colour(space: str, coordinates: Iterable[float]):
    """A colour of the library, which takes a twentieth of a second to load."""
    from coloraide import Color

    return Color(space, list(coordinates))


def seen(space: str, coordinates: Iterable[float]) -> Seen:
    """A colour as the eye sees it; what no screen shows is brought to the nearest that does."""
    colour = _colour(space, coordinates)
    lab = tuple(colour.convert("lab-d65")[:3])
    return Seen(lab, colour.convert("srgb").fit("srgb", method="clip").to_string(hex=True))


def index_of(metal: models.OpticalConstants, nanometres: float) -> complex:
    """The complex index of refraction of a metal at a wavelength."""
    if metal.fixed:
        return complex(*map(float, metal.fixed))
    energy, plasma = EV_NM / nanometres, float(metal.plasma)
    permittivity: complex = 1
    for strength, width, at in metal.terms:
        permittivity += (
            float(strength) * plasma**2 / (float(at) ** 2 - energy**2 - 1j * energy * float(width))
        )
    return cmath.sqrt(permittivity)


def reflectance(metal: complex, film: complex = 1, thickness: float = 0, nm: float = 550) -> float:
    """How much light a metal under a film throws back at right angles."""
    top, bottom = (1 - film) / (1 + film), (film - metal) / (film + metal)
    turn = cmath.exp(4j * cmath.pi * film * thickness / nm)
    return abs((top + bottom * turn) / (1 + top * bottom * turn)) ** 2


_SEEN: dict[str, Seen] = {}  # what was worked out where no file keeps it, by what decides it


class Colours:
    """The colours of one knowledge base, each worked out once.

    ``kept`` is a file that remembers them, so that most builds need not load the library; without
    one this process does. Several processes may add to it; a line that one of them could not
    finish is passed over.
    """

    def __init__(self, knowledge: Knowledge, kept: Path | None = None):
        self.knowledge, self._kept = knowledge, kept
        self._known = _lines_of(kept) if kept else _SEEN

    def _once(self, see: Callable[[], Seen], *given: object) -> Seen:
        """What is seen, of records and numbers that alone decide it."""
        told = [g.model_dump_json() if isinstance(g, BaseModel) else repr(g) for g in given]
        key = hashlib.sha256("\n".join([_maker(), self._daylight, *told]).encode()).hexdigest()
        if key not in self._known:
            found = self._known[key] = see()
            if self._kept:
                self._kept.parent.mkdir(parents=True, exist_ok=True)
                with open(self._kept, "ab", buffering=0) as file:
                    file.write(f"{json.dumps([key, *found])}\n".encode())
        return self._known[key]

    @cached_property
    def _daylight(self) -> str:
        return repr([(nm, str(d.power)) for nm, d in self.knowledge.words("daylight").items()])

    @cached_property
    def _light(self) -> list[tuple[float, list[float]]]:
        """(wavelength, its share of X, Y and Z) with white at Y = 1."""
        from coloraide.cmfs import CIE_1931_2DEG

        observer = dict(CIE_1931_2DEG.items())
        daylight = {int(nm): float(d.power) for nm, d in self.knowledge.words("daylight").items()}
        whole = sum(power * observer[nm][1] for nm, power in daylight.items())
        return [
            (nm, [power * part / whole for part in observer[nm]]) for nm, power in daylight.items()
        ]

    def of_spectrum(self, thrown_back: Callable[[float], float]) -> Seen:
        """The colour of a surface by how much of each wavelength (nm) it throws back."""
        shares = [(thrown_back(nm), parts) for nm, parts in self._light]
        return seen("xyz-d65", [sum(r * p[i] for r, p in shares) for i in range(3)])

    def of_film(self, film: str, thickness: float) -> Seen:
        """The colour of a film of so many nm on its metal."""
        record = self.knowledge.words("films")[film]
        metal = self.knowledge.words("optical_constants")[record.on]
        a, b, k = float(record.index[0]), float(record.index[1]), float(record.absorbs)

        def thrown_back(nm: float) -> float:
            film_index = complex(a + b * 1e6 / nm**2, k)
            return reflectance(index_of(metal, nm), film_index, thickness, nm)

        return self._once(lambda: self.of_spectrum(thrown_back), metal, a, b, k, thickness)

    def of_metal(self, key: str) -> Seen:
        """The colour of an entry of the list of metal colours, polished and clean."""
        entry = self.knowledge.words("metal_colours")[key]
        metal = entry.optical and self.knowledge.words("optical_constants")[entry.optical]
        return self._once(lambda: self._of_entry(entry, metal), entry, metal)

    def _of_entry(self, entry: models.MetalColour, metal: models.OpticalConstants | None) -> Seen:
        if entry.lab:
            return seen("lab-d65", [float(n) for n in entry.lab])
        if entry.linear:
            return seen("srgb-linear", [float(n) for n in entry.linear])
        if entry.chromaticity:
            x, y, light = map(float, entry.chromaticity)
            return seen("xyz-d65", [x / y * light, light, (1 - x - y) / y * light])
        return self.of_spectrum(lambda nm: reflectance(index_of(metal, nm)))

    def by_volts(self, film: str, volts: float) -> Seen:
        """The colour of an anodic film grown at so many volts."""
        record = self.knowledge.words("films")[film]
        return self.of_film(film, float(record.natural or 0) + volts * float(record.per_volt))


@cache
def _maker() -> str:
    """All that decides a colour besides what it is worked out from."""
    version = importlib.metadata.version("coloraide")
    return f"{sys.version} {version} {Path(__file__).read_text(encoding='utf-8')}"


def _lines_of(kept: Path) -> dict[str, Seen]:
    found = {}
    try:
        lines = kept.read_bytes().split(b"\n")
    except OSError:
        return found
    for line in lines:
        with contextlib.suppress(ValueError, TypeError):
            key, lab, shown = json.loads(line)
            found[key] = Seen(tuple(lab), shown)
    return found
