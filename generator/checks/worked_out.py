"""Recalculates the figures that this reference calculated itself.

Such a figure goes stale when its inputs change, and an error in it contradicts no source. The
calculation used is the one of the source that the figure names.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from generator.checks.metallurgy import CURE, ends_of, metallurgical
from generator.numbers.composition import volume_shares
from generator.numbers.values import Values
from generator.records import models
from generator.records.knowledge import Knowledge
from generator.records.materials import figures_of

PER_POINT = Decimal("2.9"), Decimal("4.6")  # MPa a Vickers point, of precious alloys
GROWTH_ROOM = Decimal("0.3")  # 10^-6/K, by which the span of growth is widened
Ends = tuple[Decimal | None, Decimal | None]  # an open end is None


@metallurgical
def worked_out_otherwise(values: Values, key: str, material: models.Material):
    """A figure that this reference worked out is what its sum gives now."""
    for way, prop, figure in figures_of(material):
        sum_of = SUMS.get(figure.source)
        found = sum_of(values, key, material, way) if sum_of and not figure.of else None
        if found and not _is(figure, found):
            name = values.knowledge.words("properties")[prop].name
            least, most = ("open" if end is None else f"{end:.4g}" for end in found)
            fault = f"{name} {ends_of(figure)[0]} is not what was worked out, {least} to {most}"
            yield way, fault, CURE


def _is(figure: models.Figure, found: Ends) -> bool:
    """True where a figure is a sum, each end rounded outwards in the last digit typed."""
    low, high = ends_of(figure)
    return _rounded(None if figure.at_most is not None else low, found[0], 1) and _rounded(
        None if figure.at_least is not None else high, found[1], -1
    )


def _rounded(typed: Decimal | None, end: Decimal | None, downwards: int) -> bool:
    if typed is None or end is None:
        return typed is end
    return 0 <= downwards * (end - typed) < _last_digit(typed)


def _last_digit(number: Decimal) -> Decimal:
    """What one more in the last typed digit adds; of 140 or 1000 the second digit counts."""
    typed = number.as_tuple().exponent
    whole = number.normalize().as_tuple().exponent
    return Decimal(1).scaleb(max(typed, min(whole, number.adjusted() - 1)))


def _strength(values: Values, key: str, material: models.Material, way: tuple) -> Ends | None:
    """MPa, by the hardness of the state; nothing where relatives give it."""
    hard = values.of(key, "hardness", way[1], "HV")
    if hard is None or hard.of:
        return None
    return tuple(
        None if end is None else end * times
        for end, times in zip((hard.low, hard.high), PER_POINT, strict=True)
    )


def _stiffness(values: Values, key: str, material: models.Material, way: tuple) -> Ends | None:
    """GPa, between the mean of reciprocals and the mean by volume (Reuss; Voigt)."""
    mixes = list(_mixes(values.knowledge, material, "elastic_modulus"))
    if not mixes:
        return None
    return (
        min(1 / sum(share / low for share, (low, _) in mix) for mix in mixes),
        max(sum(share * high for share, (_, high) in mix) for mix in mixes),
    )


def _growth(values: Values, key: str, material: models.Material, way: tuple) -> Ends | None:
    """10^-6/K, the mean by volume."""
    mixes = list(_mixes(values.knowledge, material, "expansion"))
    if not mixes:
        return None
    return (
        min(sum(share * low for share, (low, _) in mix) for mix in mixes) - GROWTH_ROOM,
        max(sum(share * high for share, (_, high) in mix) for mix in mixes) + GROWTH_ROOM,
    )


def _mixes(
    knowledge: Knowledge, material: models.Material, field: str
) -> Iterator[list[tuple[Decimal, tuple[Decimal, Decimal]]]]:
    """Each corner of the recipe as (share of the volume, ends of what the element has); none where
    an element has none."""
    elements = knowledge.words("elements")
    for shares in volume_shares(knowledge, material.composition) if material.composition else ():
        found = [(share, getattr(elements[symbol], field)) for symbol, share in shares.items()]
        if all(ends for _, ends in found):
            yield found


def _no_nickel(values: Values, key: str, material: models.Material, way: tuple) -> Ends | None:
    return Decimal(0), Decimal(0)


SUMS: dict[str, Callable[..., Ends | None]] = {  # by the source that a figure names
    "strength-of-the-hardness": _strength,
    "stiffness-of-the-recipe": _stiffness,
    "expansion-of-the-recipe": _growth,
    "none-in-the-recipe": _no_nickel,
}
