"""What several kinds of record share: bounds and figures with their source, statements, and the
fields of every record.
"""

from typing import Annotated, ClassVar

from pydantic import (
    Field,
    model_validator,
)

from generator.records.field_types import (
    CautionId,
    Day,
    LanguageId,
    Line,
    Number,
    Shape,
    SourceId,
    Text,
    UnitId,
    some,
)
from generator.records.measurements import Measurement


class Bound(Shape):
    """A value as a kind: exactly one of typical, range, at_least, at_most."""

    typical: Number | None = Field(
        None, description="one value, as published for the usual material"
    )
    range: tuple[Number, Number] | None = Field(None, description="[low, high], as published")
    at_least: Number | None = Field(None, description="a guaranteed or required minimum")
    at_most: Number | None = Field(None, description="a guaranteed or required maximum")

    KINDS: ClassVar = ("typical", "range", "at_least", "at_most")

    @model_validator(mode="after")
    def one_kind(self):
        """A figure has exactly one kind, and a range runs from low to high."""
        given = [kind for kind in Bound.KINDS if getattr(self, kind) is not None]
        if len(given) != 1:
            cure = "keep one of them" if given else "add it"
            has = f" and has {' and '.join(given)}" if given else ""
            raise ValueError(f"needs exactly one of {', '.join(Bound.KINDS)}{has}; {cure}")
        if self.range and self.range[0] >= self.range[1]:
            raise ValueError(f"range runs backwards: {self.range[0]} is not below {self.range[1]}")
        return self

    @property
    def kind(self) -> str:
        """Which of the four kinds this is."""
        given = self.__dict__
        for kind in Bound.KINDS:  # asked of every figure, so without a generator
            if given[kind] is not None:
                return kind
        raise ValueError("a bound of no kind")


class Sourced(Bound):
    """A published value: kind, source, and unit where there is a choice."""

    unit: UnitId | None = Field(
        None, description="only for properties with several units, such as hardness"
    )
    over: tuple[Number, Number] | None = Field(
        None, description="[from, to] in degC, for expansion"
    )
    source: SourceId = Field(description="id in knowledge/sources, or `memory`")
    of: Line | None = Field(
        None, description="set when the figure was measured on a relative: which alloy or state"
    )
    note: Line | None = Field(None, description="condition of the test: form, size, temperature")


class Figure(Sourced):
    """A value of a material's property, published or measured at the bench."""

    measured: list[Measurement] = some(
        list, description="a workshop's own measurements, of which the range is pooled"
    )


class Statement(Shape):
    """A sentence and where it comes from (`practice` = common practice of the trade, no published
    source)."""

    text: Text
    source: SourceId = "practice"


class Reviewed(Shape):
    """Who last read the whole record, by role, and when."""

    on: Day
    by: Line


class Named(Shape):
    """What a thing is called in other languages."""

    names: dict[LanguageId, Annotated[list[Line], Field(min_length=1)]] = some(
        dict,
        description="by language (tags of knowledge/vocabulary/languages.yaml): the preferred word "
        "first; under a regional tag the words used only there",
    )
    names_source: SourceId | None = Field(
        None, description="where the names were seen; left out, they are common practice"
    )
    described: list[LanguageId] = some(
        list,
        description="languages whose first name is a plain description: no trade term is known",
    )


class Translated(Named):
    """What also carries its sentences in other languages."""

    translations: dict[Line, dict[LanguageId, Text]] = some(
        dict,
        description="a sentence of this record, word for word, and what it is in each language",
    )


class Record(Translated):
    """What every record has.

    A record equals itself alone: an unchanged file gives the very same record again.
    """

    name: Line = Field(description="the name a practitioner would say")
    summary: Line = Field(
        description="the answer in one line, shown in search results and at the top of the page"
    )
    also_called: list[Line] = some(list, description="other names, including usual misnomers")
    cautions: list[CautionId] = some(
        list, description="ids in knowledge/cautions.yaml, beyond those that apply by themselves"
    )
    notes: list[Text] = some(
        list, description="a workshop's own notes, shown at the top of the page"
    )
    reviewed: Reviewed

    def __eq__(self, other: object) -> bool:
        return self is other


class NamedFigure(Sourced):
    """A figure that belongs to no material: a limit, a concentration, a temperature of a
    process."""

    what: Line
    unit: UnitId
