"""What kind of stuff materials are: families, their classes, and what metals of a family have."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from generator.records.field_types import ClassId, Line, Number, PropertyId, Shape, SourceId, Symbol
from generator.records.vocabulary import Entry


class Bands(Shape):
    """What metals of a family have, with room; the checker asks about a figure outside."""

    density: tuple[Number, Number] | None = Field(
        None, description="per cent that a measured density may lie from the mixture rule"
    )
    strength_per_hardness: tuple[Number, Number] | None = Field(
        None, description="MPa of tensile strength a Vickers point"
    )
    spans: dict[PropertyId, tuple[Number, Number]] = Field(
        {}, description="in the first unit of the property; hardness in HV"
    )
    source: SourceId


class Family(Entry):
    """A family of materials."""

    material_class: ClassId
    plural: Line
    also_called: list[Line] = []
    stamped: Symbol | None = Field(None, description="the metal that its marks of fineness name")
    streak: Literal["gold", "silver", "base"] | None = Field(
        None, description="what its streak shows on the touchstone; none: it shows nothing"
    )
    mixes: bool = Field(False, description="true: density by the mixture rule is worth printing")
    bands: Bands | None = None


class MaterialClass(Entry):
    """A kind of stuff that families are of."""

    hardest: Number | None = Field(None, description="HV; no material of the class is harder")
    stiffest: Number | None = Field(None, description="GPa; none has a higher elastic modulus")
    asked: list[PropertyId] = Field([], description="what a reader looks for first")
