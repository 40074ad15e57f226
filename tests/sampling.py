"""What several tests of formulas share: every formula compiled, and random inputs."""

from decimal import Decimal as D

from generator.numbers.formulas import compile_expression


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
