"""Element contents as quantities, and the density given by the reciprocal rule."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from generator.numbers.quantities import EXACT, Quantity, exact, of_bound, significant_digits
from generator.records import models
from generator.records.knowledge import Knowledge


@dataclass(frozen=True)
class Mixed:
    """Density by the reciprocal rule, and what went in."""

    value: Quantity
    inputs: tuple[tuple[str, Quantity], ...]


def share(composition: models.Composition, symbol: str) -> Quantity:
    """The content of an element in per cent; an element that is not listed counts as an exact
    zero."""
    bound = composition.shares.get(symbol)
    if bound is None and symbol != composition.balance:
        return exact(0, "%")
    low, high = share_range(composition, symbol)
    digits = of_bound(bound, "%", composition.source).digits if bound else 3
    return Quantity(
        low, high, "%", digits, (composition.source,), bound.kind if bound else "computed"
    )


def density_by_mixing(knowledge: Knowledge, composition: models.Composition) -> Mixed | None:
    """Reciprocal rule, 1/rho = sum(w/rho), over the corners of the composition ranges, each scaled
    to 100 %.

    Elements given only as ``at_most`` are traces and are left out. None when an element has no
    density or when the
    shares that remain do not make up at least 95 %.
    """
    elements = knowledge.words("elements")
    main = [
        s
        for s, b in composition.shares.items()
        if b.kind in ("typical", "range") and (s not in elements or elements[s].room != "none")
    ]
    symbols = [*main, *([composition.balance] if composition.balance else [])]
    if not symbols or len(symbols) > 8 or any(s not in elements for s in symbols):
        return None
    results = [
        sum(shares.values()) / sum(w / elements[s].density for s, w in shares.items())
        for shares in _corners(composition, main)
    ]
    if not results:
        return None
    digits = min(significant_digits(elements[s].density) for s in symbols)
    sources = tuple(dict.fromkeys((composition.source, *(elements[s].source for s in symbols))))
    inputs = [(f"{elements[s].name}: share", share(composition, s)) for s in symbols]
    inputs += [(f"{elements[s].name}: density", _density_of(elements[s])) for s in symbols]
    value = Quantity(min(results), max(results), "g/cm3", min(digits, EXACT), sources)
    return Mixed(value, tuple(inputs))


def volume_shares(
    knowledge: Knowledge, composition: models.Composition
) -> Iterator[dict[str, Decimal]]:
    """The share of the volume that each element takes, at every corner of the composition ranges;
    nothing where an element has no density. Traces are left out."""
    elements = knowledge.words("elements")
    main = [s for s, b in composition.shares.items() if b.kind in ("typical", "range")]
    if len(main) > 8 or any(
        s not in elements for s in (*main, *filter(None, [composition.balance]))
    ):
        return
    for shares in _corners(composition, main):
        taken = {s: w / elements[s].density for s, w in shares.items()}
        yield {s: volume / sum(taken.values()) for s, volume in taken.items()}


def _corners(composition: models.Composition, main: list[str]) -> Iterator[dict[str, Decimal]]:
    """Every choice of ends of the shares that makes up about 100 %, the balance taking the rest."""
    for corner in itertools.product(*(sorted(set(share_range(composition, s))) for s in main)):
        shares = dict(zip(main, corner, strict=True))
        if composition.balance:
            shares[composition.balance] = max(Decimal(0), 100 - sum(corner))
        if 95 <= sum(shares.values()) <= 105:
            yield shares


def _density_of(element: models.Element) -> Quantity:
    density = element.density
    digits = significant_digits(density)
    return Quantity(density, density, "g/cm3", digits, (element.source,), "typical")


def deviation(rule: Quantity, measured: Quantity) -> Quantity:
    """How far the rule lies from the measured density, in per cent, to one digit; spans both
    intervals."""
    ends = [
        (r / m - 1) * 100
        for r in (rule.low, rule.high)
        for m in (measured.low, measured.high)
        if r is not None and m
    ]
    sources = tuple(dict.fromkeys((*rule.sources, *measured.sources)))
    return Quantity(min(ends), max(ends), "%", 2, sources)


def share_range(
    composition: models.Composition | None, symbol: str
) -> tuple[Decimal, Decimal] | None:
    """Lowest and highest content of an element in per cent by mass; None when there is no
    composition."""
    if composition is None:
        return None
    if symbol == composition.balance:
        ends = [ends_of_share(s) for s in composition.shares.values()]
        least, most = sum(low for low, _ in ends), sum(high for _, high in ends)
        return max(Decimal(0), 100 - most), max(Decimal(0), 100 - least)
    share = composition.shares.get(symbol)
    return ends_of_share(share) if share else (Decimal(0), Decimal(0))


def ends_of_share(share: models.Bound) -> tuple[Decimal, Decimal]:
    """Lowest and highest content that a share allows, in per cent."""
    match share.kind:
        case "typical":
            return share.typical, share.typical
        case "range":
            return share.range
        case "at_least":
            return share.at_least, Decimal(100)
        case _:
            return Decimal(0), share.at_most
