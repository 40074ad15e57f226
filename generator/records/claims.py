"""What a saying or an answer rests on; the build checks every claim."""

from typing import Annotated, ClassVar

from pydantic import (
    Field,
    model_validator,
)

from generator.records.common import Bound
from generator.records.field_types import (
    CautionId,
    ExposureVerdictId,
    FirstAidId,
    FormulaId,
    HazardId,
    Id,
    MaterialId,
    Number,
    PartId,
    ProcessId,
    PropertyId,
    Quoted,
    RungId,
    Shape,
    Symbol,
    UnitId,
    Word,
    some,
)


class FigureOf(Shape):
    """A figure of the knowledge base, named by material, property and state."""

    material: MaterialId
    property: PropertyId
    state: Id | None = None
    unit: UnitId | None = Field(
        None,
        description="only for properties with several units; hardness of steels converts to HV",
    )


class Claim(Shape):
    """A comparison that must come out true from the figures, or the build fails."""

    left: FigureOf
    relation: Id = Field(
        description=(
            "above, below, or about; ranges must lie apart, or for `about` differ by at most"
            " within_percent"
        )
    )
    right: FigureOf | None = None
    number: Number | None = Field(None, description="instead of right")
    within_percent: Number | None = None

    RELATIONS: ClassVar = ("above", "below", "about")

    @model_validator(mode="after")
    def one_right_side(self):
        """A claim compares with a figure or with a number; `about` needs its tolerance."""
        if self.relation not in Claim.RELATIONS:
            raise ValueError(
                f"relation: {self.relation} is not one of {', '.join(Claim.RELATIONS)}"
            )
        if (self.right is None) == (self.number is None):
            raise ValueError("needs exactly one of right and number")
        if (self.relation == "about") != (self.within_percent is not None):
            raise ValueError("`about` and within_percent go together")
        return self


class ListedFigure(Shape):
    """A figure in the list of a process, or a limit or figure of a caution, named by its own
    words."""

    process: ProcessId | None = None
    caution: CautionId | None = None
    what: Quoted = Field(description="exactly as it is called in the list there")

    @model_validator(mode="after")
    def one_home(self):
        """A listed figure stands with one process or one caution."""
        if (self.process is None) == (self.caution is None):
            raise ValueError("needs exactly one of process and caution")
        return self


class ListedClaim(Claim):
    """A comparison with a listed figure."""

    left: ListedFigure
    right: ListedFigure | None = None


class RungClaim(Shape):
    """The rung on which a material must stand for a part; several may be allowed."""

    part: PartId
    material: MaterialId
    state: Id | None = None
    rungs: Annotated[list[RungId], Field(min_length=1)]


class ExposureClaim(Shape):
    """A verdict on exposure that must come out so."""

    hazard: HazardId
    material: MaterialId
    state: Id | None = None
    part: PartId | None = Field(None, description="where in a watch, if the hazard asks")
    verdicts: Annotated[list[ExposureVerdictId], Field(min_length=1)]


class SumClaim(Shape):
    """A bench calculation that must come out so; the build works it out."""

    formula: FormulaId
    inputs: dict[Word, Number] = some(dict, description="symbol: value, in the symbol's unit")
    figures: dict[Word, FigureOf] = some(
        dict, description="symbol: figure of a material, where the value comes from this base"
    )
    relation: Id = Field(description="above, below, or about, as in a comparison of figures")
    number: Number = Field(description="in the unit of the formula's result")
    within_percent: Number | None = None

    @model_validator(mode="after")
    def one_tolerance(self):
        """The relation is a known one, and `about` needs its tolerance."""
        if self.relation not in Claim.RELATIONS:
            raise ValueError(
                f"relation: {self.relation} is not one of {', '.join(Claim.RELATIONS)}"
            )
        if (self.relation == "about") != (self.within_percent is not None):
            raise ValueError("`about` and within_percent go together")
        return self


class ShareClaim(Bound):
    """How much of an element an alloy holds, in per cent; its whole composition must obey."""

    material: MaterialId
    element: Symbol


class SaidClaim(Shape):
    """Words that must stand in a caution, in first aid or in a process, or the build fails."""

    caution: CautionId | None = None
    first_aid: FirstAidId | None = None
    process: ProcessId | None = None
    words: Annotated[list[Quoted], Field(min_length=1)]

    @model_validator(mode="after")
    def one_home(self):
        """The words stand in one place."""
        if sum(v is not None for v in (self.caution, self.first_aid, self.process)) != 1:
            raise ValueError("needs exactly one of caution, first_aid and process")
        return self


class Grounds(Shape):
    """What a saying or an answer rests on in this knowledge base; the build checks all of it."""

    figures: list[Claim] = some(list)
    listed: list[ListedClaim] = some(list)
    sums: list[SumClaim] = some(list)
    shares: list[ShareClaim] = some(list)
    stands: list[RungClaim] = some(list)
    exposures: list[ExposureClaim] = some(list)
    said: list[SaidClaim] = some(list)
