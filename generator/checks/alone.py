"""Finds outliers: figures far from those of every relative, or at odds with the rest of their own
source.

A number in the wrong unit, or with its decimal point shifted, is often within the bounds of its
property and has no second source. It shows because the relatives, the other rows of the source, or
the steps of the table agree with one another and not with it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal

from generator.checks.metallurgy import (
    CHECKS,
    CURE,
    asked,
    ends_of,
    figures_in,
    is_answered,
    metallurgical,
)
from generator.numbers.quantities import MEMORY
from generator.numbers.values import Values
from generator.records import models
from generator.records.complaints import Complaint
from generator.records.knowledge import Knowledge
from generator.records.materials import figures_of

STEPS = {"anodic-index": (Decimal("0.05"), "the table of compatible couples, MIL-F-14072")}
COMPANY = 3  # relatives with such a figure, from which a family says what is usual
BEYOND = Decimal(3)  # times the most of all relatives; or so many times below the least
WARMER = Decimal("1.15")  # the same for degrees: kelvin and degF hide within a factor of two
QUENCHED = ("carbon-steel", "hardenable-stainless")
NO_COMPANY = ("permeability", "nickel-release")  # these span many powers of ten in one family
Found = tuple[str, tuple, str, models.Figure]  # material, way, property, figure


@metallurgical
def between_the_steps(values: Values, key: str, material: models.Material):
    """A figure from a table that goes by steps is one of its steps."""
    for prop, (step, table) in STEPS.items():
        for way, _, figure in figures_in(material, prop):
            for end in ends_of(figure):
                if end % step:
                    yield way, f"{end} is no row of {table}: it goes by steps of {step}", CURE


def stands_alone(knowledge: Knowledge) -> Iterator[Complaint]:
    """A figure is not far beyond, or below, those of all its relatives, where there are several and
    no band of the family judges it."""
    cells, banded = defaultdict(list), _banded(knowledge)
    for found in _printed(knowledge):
        key, _, prop, figure = found
        family = knowledge.materials[key].family
        if prop not in NO_COMPANY and (family, prop) not in banded:
            cells[family, prop, figure.unit].append(found)
    for (_, prop, _), cell in cells.items():
        props = knowledge.words("properties")
        times = WARMER if "degC" in props[prop].units else BEYOND
        for key, way, figure, least, most in _strays(cell, times):
            fault = f"{props[prop].name} {ends_of(figure)[0]} is far from all its relatives, "
            fault += f"{least} to {most}"
            yield from _asked(knowledge, key, way, fault, stands_alone.__name__)


def _banded(knowledge: Knowledge) -> set[tuple[str, str]]:
    """The families and properties that a band judges."""
    families = knowledge.words("families").items()
    return {(name, prop) for name, f in families if f.bands for prop in f.bands.spans}


def _strays(cell: list[Found], times: Decimal) -> Iterator[tuple]:
    """(material, way, figure, least and most of the relatives) of what is far from all of them."""
    spans: dict[str, list] = defaultdict(list)
    for key, _, _, figure in cell:
        spans[key] += ends_of(figure)
    lowest, highest = min(map(min, spans.values())), max(map(max, spans.values()))
    if len(spans) <= COMPANY or lowest < 0 or highest <= times * lowest:
        return
    for key, way, _, figure in cell:
        low, high = ends_of(figure)
        least = min(min(ends) for k, ends in spans.items() if k != key)
        most = max(max(ends) for k, ends in spans.items() if k != key)
        if least and (low > times * most or high * times < least):
            yield key, way, figure, least, most


def scale_of_no_other(knowledge: Knowledge) -> Iterator[Complaint]:
    """A hardness is in a scale in which its source prints another metal or state too, where it
    prints any; steel, of which Brinell is for the soft and Rockwell for the hard, is compared with
    the same state only."""
    rows, props = defaultdict(list), knowledge.words("properties")
    known = props["hardness"].units if "hardness" in props else ()
    for key, material in knowledge.materials.items():
        for way, _, figure in figures_in(material, "hardness"):
            own = figure.unit in known and not figure.of and figure.source != MEMORY
            if way[0] == "states" and own:
                rows[figure.source].append((key, way[1], way, figure))
    for source, row in rows.items():
        for key, state, way, figure in row if len({f.unit for *_, f in row}) > 1 else ():
            quenched = knowledge.materials[key].family in QUENCHED
            scales = {
                f.unit
                for k, s, _, f in row
                if (k, s) != (key, state) and (s == state or not quenched)
            }
            if scales and figure.unit not in scales:
                fault = f"{ends_of(figure)[0]} is in {figure.unit}, and {source} prints "
                fault += f"other metals or states in {' and '.join(sorted(scales))}"
                yield from _asked(knowledge, key, way, fault, scale_of_no_other.__name__)


CHECKS += [stands_alone, scale_of_no_other]  # they compare records, so they are asked every time


def _printed(knowledge: Knowledge) -> Iterator[Found]:
    """Every published value of the very material, of a property that there is."""
    props = knowledge.words("properties")
    for key, material in knowledge.materials.items():
        for way, prop, figure in figures_of(material):
            valued = figure.kind in ("typical", "range") and not figure.of
            if valued and figure.source != MEMORY and prop in props:
                yield key, way, prop, figure


def _asked(knowledge: Knowledge, key, way, fault: str, rule: str) -> Iterator[Complaint]:
    if not is_answered(knowledge.materials[key], rule, fault):
        yield asked(knowledge.place("material", key, way), fault, CURE, rule)
