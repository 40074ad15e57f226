"""Rules about the figures, compositions and curves of materials."""

from __future__ import annotations

import re
from collections.abc import Iterator

from generator.checks.rule import Fault, rule_of_one
from generator.numbers.composition import ends_of_share
from generator.records import models
from generator.records.knowledge import Knowledge
from generator.records.materials import figures_of


@rule_of_one
def practice_for_a_figure(knowledge: Knowledge) -> Iterator[Fault]:
    """A figure of a material cites a publication, or `memory`; `practice` is for judgements."""
    for key, material in knowledge.unsure("material").items():
        for way, _, figure in figures_of(material):
            if figure.source == "practice":
                fault = "a figure cannot rest on `practice`"
                yield Fault(
                    "material", key, (*way, "source"), fault, "cite a source or write memory"
                )


@rule_of_one
def figure_out_of_bounds(knowledge: Knowledge) -> Iterator[Fault]:
    """A figure lies within what can be real for its property and unit."""
    for key, material in knowledge.unsure("material").items():
        for way, name, figure in figures_of(material):
            prop = knowledge.words("properties").get(name)
            bounds = prop.units.get(figure.unit or next(iter(prop.units))) if prop else None
            if not bounds:
                continue
            for step in ("typical", "at_least", "at_most", "range"):
                value = getattr(figure, step)
                for end in value if step == "range" and value else (value,):
                    if end is not None and not bounds[0] <= end <= bounds[1]:
                        fault = (
                            f"{name}: {end} is outside {bounds[0]} to {bounds[1]}"
                            f" {_typed_unit(prop, figure)}"
                        )
                        yield Fault(
                            "material",
                            key,
                            (*way, step),
                            fault,
                            "check the decimal point and the unit",
                        )


def _typed_unit(prop: models.Property, figure) -> str:
    return figure.unit or next(iter(prop.units))


@rule_of_one
def figure_unit(knowledge: Knowledge) -> Iterator[Fault]:
    """A property with several units needs one; a property with one unit must not repeat it."""
    for kind, key, way, name, value in _measured(knowledge):
        prop = knowledge.words("properties").get(name)
        if prop is None or (value.unit and value.unit not in knowledge.words("units")):
            continue  # complained of as unknown already
        if value.unit is None and len(prop.units) > 1:
            yield Fault(
                kind, key, way, f"{name} needs a unit", f"add unit: {' or '.join(prop.units)}"
            )
        elif value.unit is not None and value.unit not in prop.units:
            fault = f"{name} is not measured in {value.unit}"
            yield Fault(kind, key, (*way, "unit"), fault, f"use {' or '.join(prop.units)}")
        elif value.unit is not None and len(prop.units) == 1:
            fault = f"{name} is always in {value.unit}"
            yield Fault(kind, key, (*way, "unit"), fault, "delete the unit")


def _measured(knowledge: Knowledge) -> Iterator[tuple]:
    for key, material in knowledge.unsure("material").items():
        for way, name, figure in figures_of(material):
            yield "material", key, way, name, figure
    for key, way, part in knowledge.choosers():
        for i, demand in enumerate(() if ("part", key) in knowledge.sure else part.demands):
            if demand.property:
                yield "part", key, (*way, "demands", i), demand.property, demand


@rule_of_one
def figure_in_the_wrong_place(knowledge: Knowledge) -> Iterator[Fault]:
    """What does not depend on the state (density, melting range) stands under figures, not under a
    state."""
    for key, material in knowledge.unsure("material").items():
        for name, state in material.states.items():
            for prop_id in state.figures:
                prop = knowledge.words("properties").get(prop_id)
                if prop and not prop.state_bound:
                    fault = f"{prop_id} does not depend on the state"
                    way = ("states", name, "figures", prop_id)
                    yield Fault("material", key, way, fault, "move it to figures", True)


@rule_of_one
def span_only_for_expansion(knowledge: Knowledge) -> Iterator[Fault]:
    """`over` (a span of temperature) goes with expansion, conductivity and the coefficient of the
    modulus, and runs upwards."""
    spanned = {"expansion", "thermal-conductivity", "modulus-temperature-coefficient"}
    for key, material in knowledge.unsure("material").items():
        for way, name, figure in figures_of(material):
            if figure.over and (name not in spanned or figure.over[0] >= figure.over[1]):
                fault = (
                    "`over` does not go with " + name
                    if name not in spanned
                    else "`over` runs backwards"
                )
                yield Fault(
                    "material",
                    key,
                    (*way, "over"),
                    fault,
                    "write [from, to] in degC, for expansion",
                )


@rule_of_one
def expansion_without_span(knowledge: Knowledge) -> Iterator[Fault]:
    """A published expansion says over which temperatures it was measured, or its note says that
    the source does not tell; a source may say it once for all its figures."""
    for key, material in knowledge.unsure("material").items():
        for way, name, figure in figures_of(material):
            if name == "expansion" and not _says_when(knowledge, figure):
                fault = "an expansion without its span of temperature"
                cure = "add over: [20, 100], or a note that the source gives none"
                yield Fault("material", key, way, fault, cure)


def _says_when(knowledge: Knowledge, figure: models.Figure) -> bool:
    source = knowledge.sources.get(figure.source)
    words = f"{source.title} {source.where} {source.note}" if source else ""
    known = figure.over or figure.note or re.search("degC|room temperature", words)
    return bool(known) or figure.source == "memory"


@rule_of_one
def composition_off_100(knowledge: Knowledge) -> Iterator[Fault]:
    """The shares of a composition can add up to 100 %."""
    for key, material in knowledge.unsure("material").items():
        if not material.composition or not material.composition.shares:
            continue
        ends = [ends_of_share(s) for s in material.composition.shares.values()]
        least, most = sum(low for low, _ in ends), sum(high for _, high in ends)
        if least > 100 or (most < 100 and not material.composition.balance):
            fault = (
                f"the shares add up to at least {least} %, more than 100 %"
                if least > 100
                else f"the shares add up to {most} %"
            )
            cure = (
                "lower a share"
                if least > 100
                else "add what is missing, or name the balance element"
            )
            yield Fault("material", key, ("composition", "shares"), fault, cure, True)


@rule_of_one
def curve_out_of_order(knowledge: Knowledge) -> Iterator[Fault]:
    """A tempering curve runs from low to high temperature."""
    for key, material in knowledge.unsure("material").items():
        for i, curve in enumerate(material.tempering):
            temperatures = [p.temperature for p in curve.points]
            if any(a >= b for a, b in zip(temperatures, temperatures[1:], strict=False)):
                yield Fault(
                    "material",
                    key,
                    ("tempering", i, "points"),
                    "points are not in order of temperature",
                    "sort them",
                    True,
                )
