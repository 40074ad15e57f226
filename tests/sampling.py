"""What several tests share: every formula compiled, random inputs, some of many pages."""

import os
from decimal import Decimal as D

from generator.numbers.formulas import compile_expression

MANY_PAGES = int(os.environ.get("BENCH_PAGES", "21"))  # of one kind, where all are opened alike


def spread(things, size, many):
    """So many of the things, from the least to the greatest in even steps; all if there are
    fewer."""
    ordered = sorted(things, key=lambda thing: (size(thing), str(thing)))
    if len(ordered) <= many:
        return ordered
    return [ordered[round(n * (len(ordered) - 1) / (many - 1))] for n in range(many)]


def all_formulas(knowledge):
    return [
        (key, record, compile_expression(record.expression, record.symbols))
        for key, record in knowledge.formulas.items()
    ]


def sample(generator, symbol):
    """A value inside a symbol's range with four digits; wide ranges are sampled by decades."""
    low, high = float(symbol.range[0]), float(symbol.range[1])
    share, by_decades = generator.random(), low > 0 and high / low > 100
    value = low * (high / low) ** share if by_decades else low + (high - low) * share
    return min(max(D(f"{value:.4g}"), symbol.range[0]), symbol.range[1])
