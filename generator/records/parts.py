"""The record of a part: what it asks, what it meets, what the trade makes it from."""

from typing import Annotated, Self

from pydantic import (
    Field,
    model_validator,
)

from generator.records.common import Record
from generator.records.field_types import (
    FormId,
    HazardId,
    Id,
    Line,
    MagnetismId,
    MaterialId,
    Number,
    PartId,
    ProcessId,
    PropertyId,
    RatingId,
    SeverityId,
    Shape,
    SourceId,
    Text,
    TraitId,
    UnitId,
    WorkingId,
    ZoneId,
    some,
)


class Mate(Shape):
    """A part that this one is joined to, and how far the two expansions may differ."""

    part: PartId
    within: Number = Field(description="largest allowed difference of expansion, 10^-6 per K")


class Demand(Shape):
    """What a part role asks of its material.

    Exactly one of: property, working, magnetism, trait, lacks_trait, mate.
    """

    property: PropertyId | None = None
    at_least: Number | None = None
    at_most: Number | None = None
    unit: UnitId | None = Field(None, description="only for properties with several units")
    working: WorkingId | None = None
    rating: RatingId | None = Field(None, description="lowest rating of the working that will do")
    magnetism: MagnetismId | None = Field(None, description="the strongest magnetism that will do")
    trait: TraitId | None = None
    lacks_trait: TraitId | None = None
    mate: Mate | None = None
    firm: bool = Field(
        True, description="false: preferred only; missing it does not rule the material out"
    )
    why: Text
    source: SourceId = "practice"

    @model_validator(mode="after")
    def one_demand(self):
        """A demand asks one thing, and a demand on a property has at_least or at_most."""
        asks = [
            k
            for k in ("property", "working", "magnetism", "trait", "lacks_trait", "mate")
            if getattr(self, k) is not None
        ]
        if len(asks) != 1:
            raise ValueError(
                "needs exactly one of property, working, magnetism, trait, lacks_trait, mate; "
                f"it has {' and '.join(asks) or 'none'}"
            )
        limits = (self.at_least is not None) + (self.at_most is not None)
        if limits != (1 if self.property else 0):
            raise ValueError(
                "property goes with exactly one of at_least and at_most, and they with property"
                " alone"
            )
        if (self.working is None) != (self.rating is None):
            raise ValueError("working and rating go together")
        return self


class Choice(Shape):
    """A material that the trade uses, or knows to be wrong, for a part."""

    material: MaterialId
    state: Id | None = None
    coated: MaterialId | None = Field(None, description="id of a coating")
    why: Text
    source: SourceId = "practice"


class Meeting(Shape):
    """A hazard that a part meets, and how much of it."""

    hazard: HazardId
    severity: SeverityId = Field(description="id in knowledge/vocabulary/severities.yaml")
    note: Line | None = None


class Step(Shape):
    """One step of remaking a part."""

    do: Text
    process: ProcessId | None = None


class Failure(Shape):
    """A way in which a part fails."""

    sign: Line
    cause: Text
    hazard: HazardId | None = None


class Setting(Shape):
    """A part in another watch: beside another mate, or of another period. What stands here takes
    the place of what the part says by itself; what it is exposed to and made from stays."""

    name: Line = Field(description="follows the name of the part: `of a cut bimetallic balance`")
    tells: Line = Field(description="how to see that the watch in hand is of this kind")
    period: bool = Field(
        False, description="true: the material of its time; restoration asks for that"
    )
    made_from: list[FormId] = some(list, description="only where it differs from the part's")
    demands: Annotated[list[Demand], Field(min_length=1)]
    usual: Annotated[list[Choice], Field(min_length=1)]
    wrong: list[Choice] = some(list)


class Part(Record):
    """A role that a part plays in a watch, what it asks of its material, and how it is remade."""

    zone: ZoneId
    does: Text
    made_from: list[FormId] = some(
        list, description="forms that it can be made from, where that matters; any one will do"
    )
    rubs_on: list[PartId] = some(list, description="parts that it rubs on, where that matters")
    soldered: Line | None = Field(
        None, description="what the torch reaches when it is made or mended, where that is usual"
    )
    demands: Annotated[list[Demand], Field(min_length=1)]
    meets: list[Meeting] = some(list)
    usual: list[Choice] = some(list)
    wrong: list[Choice] = some(list)
    identify: list[Line] = some(
        list, description="how to tell what the part in hand is made of, gentlest first"
    )
    remake: list[Step] = some(list)
    fails: list[Failure] = some(list)
    after_service: list[Line] = some(list)
    settings: dict[Id, Setting] = some(
        dict, description="other watches in which the part asks for something else"
    )

    def in_setting(self, key: str) -> Self:
        """The part as it is in one of its settings: a role of its own, judged like any other."""
        setting = self.settings[key]
        return self.model_copy(
            update={
                "name": f"{self.name} {setting.name}",
                "made_from": setting.made_from or self.made_from,
                "demands": setting.demands,
                "usual": setting.usual,
                "wrong": setting.wrong,
                "settings": {},
            }
        )
