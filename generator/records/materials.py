"""The record of a material, and the conditions that speak of materials."""

from typing import Annotated

from pydantic import (
    Field,
)

from generator.records.common import Bound, Figure, Record, Statement
from generator.records.field_types import (
    ClassId,
    ColourId,
    FamilyId,
    FormId,
    Id,
    Line,
    MagnetismId,
    MaterialId,
    Number,
    PropertyId,
    RatingId,
    Shape,
    SourceId,
    Symbol,
    SystemId,
    Text,
    TraitId,
    UnitId,
    Word,
    WorkingId,
    some,
)


class Designation(Shape):
    """What a standard calls it."""

    system: SystemId = Field(description="id in knowledge/vocabulary/systems.yaml")
    code: Word


class Composition(Shape):
    """Limits or typical contents in per cent by mass; the balance element takes the rest."""

    source: SourceId
    balance: Symbol | None = None
    shares: dict[Symbol, Bound] = some(dict)
    note: Line | None = None


Figures = dict[PropertyId, Annotated[list[Figure], Field(min_length=1)]]


class State(Shape):
    """A condition a material is supplied in or brought to; its figures hold only there."""

    name: Line
    reached: Text | None = Field(None, description="how the material gets into this state")
    stage: Text | None = Field(
        None,
        description="what must follow, where this is a stage of the work and no part is used in it",
    )
    sold_as: list[FormId] = some(
        list, description="forms in which this state is sold, where fewer than the material's"
    )
    magnetism: MagnetismId | None = None
    figures: Figures = some(dict)


class Working(Shape):
    """How well one way of working goes."""

    rating: RatingId = Field(description="id in knowledge/vocabulary/ratings.yaml")
    note: Text | None = None
    source: SourceId = "practice"


class CurvePoint(Shape):
    """One point of a tempering table."""

    temperature: Number = Field(description="degC")
    hardness: Number


class TemperingCurve(Shape):
    """Hardness after tempering, as published; not interpolated across other treatments."""

    hardened_from: Line
    quenched: Line
    held: Line | None = None
    unit: UnitId
    as_quenched: Number | None = None
    points: Annotated[list[CurvePoint], Field(min_length=2)]
    source: SourceId
    stands_in_for: Line | None = Field(
        None, description="set when the curve belongs to a near relative; say which and why"
    )
    note: Line | None = None


class Material(Record):
    """What a part is made of or covered with.

    Lives in alloys/, nonmetals/ or coatings/.
    """

    family: FamilyId
    designations: list[Designation] = some(list)
    composition: Composition | None = None
    colour: ColourId | None = Field(None, description="id in knowledge/vocabulary/colours.yaml")
    sold_as: list[FormId] = some(
        list, description="forms in which stockists sell it, ids in knowledge/vocabulary/forms.yaml"
    )
    sold_source: SourceId = "practice"
    magnetism: MagnetismId = Field(
        description=(
            "id in knowledge/vocabulary/magnetism.yaml, for every state that does not say otherwise"
        )
    )
    magnetism_source: SourceId = "practice"
    traits: list[TraitId] = some(
        list, description="ids in knowledge/vocabulary/traits.yaml, such as transparent"
    )
    figures: Figures = some(dict, description="figures that hold in every state")
    states: dict[Id, State] = some(dict)
    answered: dict[Word, Line] = some(
        dict,
        description="a rule of the checker that this record breaks, and why the numbers that are"
        " named are right",
    )
    tempering: list[TemperingCurve] = some(list)
    working: dict[WorkingId, Working] = some(
        dict, description="keys from knowledge/vocabulary/workings.yaml"
    )
    bench: list[Statement] = some(
        list, description="where and how the bench meets it, in short sentences"
    )
    no_caution: Line | None = Field(None, description="why this material needs no caution")
    owner: list[Line] = some(list, description="what a client should hear, in plain sentences")


def figures_of(material: Material):
    """Every figure of a material as (way, property, figure)."""
    for start, figures in (
        (("figures",), material.figures),
        *((("states", s, "figures"), state.figures) for s, state in material.states.items()),
    ):
        for name, values in figures.items():
            for i, figure in enumerate(values):
                yield (*start, name, i), name, figure


class When(Shape):
    """Which materials a rule speaks of; every line given must hold."""

    materials: list[MaterialId] = some(list)
    families: list[FamilyId] = some(list)
    classes: list[ClassId] = some(
        list, description="ids of material classes: metal, plastic, elastomer ..."
    )
    contains: dict[Symbol, Bound] = some(
        dict, description="at_least or at_most in per cent; the whole composition range must obey"
    )
    pitting_index: Bound | None = Field(
        None, description="at_least or at_most; judged on the lowest composition"
    )
    traits: list[TraitId] = some(list)
    lacks_traits: list[TraitId] = some(list)
    magnetism: list[MagnetismId] = some(list)
    states: list[Id] = some(list)
