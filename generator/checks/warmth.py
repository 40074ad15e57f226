"""Checks temperatures of metals for values that cannot be right."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from generator.checks.metallurgy import CHECKS, CURE, bands_of, ends_of, figures_in, metallurgical
from generator.numbers.values import Values
from generator.records import models

_DEGREES = re.compile(r"(-?\d+(?:\.\d+)?) ?deg([CF])\b")
# Treatments by heat work from a quarter of the melting point on, counted from absolute zero.
HEATS = ("anneal", "hardening", "age", "stress-relief", "hot-working")
STIRS, ZERO = Decimal("0.25"), Decimal("-273")


@metallurgical
def celsius_is_not_fahrenheit(values: Values, key: str, material: models.Material):
    """Degrees Fahrenheit in a note agree with the degrees Celsius beside them."""
    props = values.knowledge.words("properties")
    for prop in props:
        for way, _, figure in figures_in(material, prop):
            note = figure.note or ""
            degrees = [(Decimal(n), scale) for n, scale in _DEGREES.findall(note)]
            celsius = [n for n, scale in degrees if scale == "C"]
            if "degC" in props[prop].units:
                celsius += ends_of(figure)
            for warm in (n for n, scale in degrees if scale == "F"):
                if celsius and all(abs(c * 9 / 5 + 32 - warm) > 10 for c in celsius):
                    fault = f"{warm} degF in the note is {(warm - 32) * 5 / 9:.0f} degC"
                    yield way, fault, CURE


@metallurgical
def heat_against_melting(values: Values, key: str, material: models.Material):
    """A metal is annealed, hardened, aged and forged well above the cold, and below its melting."""
    band = bands_of(values, material).spans.get("melting-range")
    for prop in (f"{heat}-temperature" for heat in HEATS) if band else ():
        least = (band[0] - ZERO) * STIRS + ZERO
        most = min([band[1], *_melts_from(material)])
        for way, _, figure in figures_in(material, prop):
            low, high = ends_of(figure)
            if low < least or high > most:
                name = values.knowledge.words("properties")[prop].name
                fault = f"{name} {low} degC is not between {least:.0f} and {most} degC"
                yield way, fault, CURE


def _melts_from(material: models.Material) -> Iterator[Decimal]:
    """Where its sources let the metal itself begin to melt."""
    for _, _, figure in figures_in(material, "melting-range"):
        if figure.kind in ("typical", "range") and not figure.of:
            yield ends_of(figure)[0]


@metallurgical
def lowest_is_not_highest(values: Values, key: str, material: models.Material):
    """The lowest temperature of use is below that of a room, and the highest above it."""
    for prop, wrong in (
        ("lowest-service-temperature", lambda low, high: high > 5),
        ("service-temperature", lambda low, high: low < 40),
    ):
        for way, _, figure in figures_in(material, prop):
            low, high = ends_of(figure)
            if wrong(low, high):
                yield way, f"{low} degC cannot be right; is a sign missing?", CURE


ALL = CHECKS  # those of metallurgy with these
