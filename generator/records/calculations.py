"""The record of a formula with its symbols, examples and readings."""

from typing import Annotated, ClassVar

from pydantic import (
    Field,
    model_validator,
)

from generator.records.common import Record
from generator.records.field_types import (
    CautionId,
    FormulaGroupId,
    FormulaId,
    Id,
    Line,
    Number,
    PropertyId,
    Shape,
    SourceId,
    Text,
    UnitId,
    Word,
    some,
)


class FormulaSymbol(Shape):
    """A symbol of a formula: what it means, its unit, and the values for which the formula is
    meant."""

    meaning: Line
    unit: UnitId
    range: tuple[Number, Number] = Field(
        description="[lowest, highest] value for which the formula is meant"
    )
    default: Number | None = Field(None, description="what the calculator starts with")
    property: PropertyId | None = Field(None, description="may be taken from a chosen material")
    deposit: Id | None = Field(
        None,
        description="may be taken from a chosen plating metal: atomic-weight, electrons or density",
    )
    of: Line = Field(
        "metal", description="the piece whose one choice of material fills this and its like"
    )
    exact: bool = Field(
        False, description="true for counts, carats, electrons, definitions: never rounded"
    )
    whole: bool = Field(False, description="true where only whole numbers make sense")


class FormulaResult(Shape):
    """What a formula gives, and between which bounds it makes sense."""

    meaning: Line
    unit: UnitId
    at_least: Number | None = Field(None, description="a result below this is refused")
    at_most: Number | None = Field(None, description="a result above this is refused")
    otherwise: Line | None = Field(
        None, description="what a reader is told when the result is outside the bounds"
    )
    rounded: Id | None = Field(
        None, description="up or down: to the safe side, instead of to the nearest"
    )

    whole: bool = Field(
        False, description="true where only whole results make sense: what is over does not count"
    )

    SIDES: ClassVar = ("up", "down")

    @model_validator(mode="after")
    def bounds_have_words(self):
        """Bounds need words, and there are two sides to round to."""
        if (self.at_least is None and self.at_most is None) != (self.otherwise is None):
            raise ValueError("`otherwise` goes together with at_least or at_most")
        if self.rounded not in (None, *FormulaResult.SIDES):
            raise ValueError(f"rounded: {self.rounded} is not up or down")
        return self


class FormulaDemand(Shape):
    """What the symbols of a formula must satisfy together."""

    that: Line = Field(description="an expression in the symbols; it must come out above zero")
    otherwise: Line = Field(description="what a reader is told when it does not")


class Example(Shape):
    """A worked example with a published answer; the build fails when it does not come out."""

    inputs: dict[Word, Number]
    published: Number | None = Field(
        None, description="the printed answer, in the formula's result unit"
    )
    published_range: tuple[Number, Number] | None = Field(
        None, description="where the source prints a range"
    )
    within: Number | None = Field(
        None, description="largest allowed difference, in the result unit"
    )
    within_percent: Number | None = None
    proves: Id = Field(
        "independent",
        description=(
            "independent, partly-from-memory, circular, definition, or wrong (must not come out)"
        ),
    )
    source: SourceId
    note: Line | None = None

    @model_validator(mode="after")
    def one_answer(self):
        """An example has one answer and one tolerance."""
        if (self.published is None) == (self.published_range is None):
            raise ValueError("needs exactly one of published and published_range")
        if self.published is not None and (self.within is None) == (self.within_percent is None):
            raise ValueError("needs exactly one of within and within_percent")
        if self.proves not in Example.PROVES:
            raise ValueError(f"proves: {self.proves} is not one of {', '.join(Example.PROVES)}")
        return self

    PROVES: ClassVar = ("independent", "partly-from-memory", "circular", "definition", "wrong")


class Reading(Shape):
    """What a result means below a threshold, or up to and with it; the last has no threshold."""

    below: Number | None = None
    at_most: Number | None = None
    say: Line
    source: SourceId = "practice"

    @model_validator(mode="after")
    def one_threshold(self):
        """A threshold belongs to the reading or it does not."""
        if self.below is not None and self.at_most is not None:
            raise ValueError("needs only one of below and at_most")
        return self

    @property
    def threshold(self):
        """The number, whether it belongs to the reading or not; None for the last."""
        return self.below if self.at_most is None else self.at_most


class Formula(Record):
    """A bench calculation, stated once: page, calculator, command and table all come from here."""

    group: FormulaGroupId
    symbols: Annotated[dict[Word, FormulaSymbol], Field(min_length=1)]
    expression: Line = Field(
        description="numbers, symbols, + - * / ** ( ) and sqrt, exp, ln, pi, min, max, abs"
    )
    constant: Line | None = Field(
        None, description="unit of the numbers inside the expression, where they have one: mol/C"
    )
    result: FormulaResult
    demands: list[FormulaDemand] = some(list, description="what the symbols must satisfy together")
    limits: list[Line] = some(list, description="where it stops being true")
    source: SourceId
    why: Text | None = Field(None, description="where the formula comes from, in a sentence or two")
    examples: list[Example] = some(list)
    readings: list[Reading] = some(
        list, description="what the result means, from low to high; the last has no threshold"
    )
    readings_for: dict[Word, tuple[Number, Number]] = some(
        dict, description="the readings hold only where these symbols lie in these ranges"
    )


class JobField(Shape):
    """A number that a job asks for once: it is read as a symbol of a formula."""

    like: Line = Field(description="formula and symbol: weight-lost-in-water.m_air")
    meaning: Line | None = Field(None, description="where it should be called something else")
    default: Number


class JobStep(Shape):
    """A formula, and where each of its symbols comes from: a field, an earlier step, a number."""

    formula: FormulaId
    meaning: Line | None = Field(
        None, description="where the result should be called something else"
    )
    take: dict[Word, Word]


class JobExample(Shape):
    """A whole job worked out elsewhere, to five digits."""

    inputs: dict[Word, Number]
    answers: dict[Word, Number] = Field(description="step: its result")


class Job(Shape):
    """Calculations that carry their results on, from numbers that are typed once."""

    name: Line
    summary: Line
    also_called: list[Line] = some(list)
    fields: Annotated[dict[Word, JobField], Field(min_length=1)]
    steps: Annotated[dict[Word, JobStep], Field(min_length=1)]
    answers: Annotated[list[Word], Field(min_length=1)] = Field(
        description="the steps whose results are shown large"
    )
    limits: list[Line] = some(list)
    cautions: list[CautionId] = some(list)
    example: JobExample
