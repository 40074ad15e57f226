"""The record of a hazard and its ordered rules."""

from typing import Annotated

from pydantic import (
    Field,
)

from generator.records.common import NamedFigure, Record, Statement
from generator.records.field_types import (
    ContactSituationId,
    ExposureVerdictId,
    Line,
    MechanismId,
    PartId,
    Shape,
    SourceId,
    Text,
    ZoneId,
    some,
)
from generator.records.materials import When


class ExposureRule(Shape):
    """One step of a hazard's ordered rules: the first that fits a material decides.

    One with ``zones`` or ``parts`` speaks only of a material that serves there.
    """

    when: When = When()
    zones: list[ZoneId] = some(list, description="only for parts of these zones")
    parts: list[PartId] = some(list, description="only for these parts")
    verdict: ExposureVerdictId = Field(
        description="id in knowledge/vocabulary/exposure_verdicts.yaml"
    )
    mechanism: MechanismId | None = Field(
        None, description="id in knowledge/vocabulary/mechanisms.yaml"
    )
    why: Text
    looks_like: Line | None = None
    how_fast: Line | None = None
    source: SourceId


class Hazard(Record):
    """Something that attacks materials, and the ordered rules for which."""

    meets: Text = Field(description="how a watch meets it")
    wets: ContactSituationId | None = Field(
        None, description="where it wets two metals that touch, id in contact_situations"
    )
    rules: Annotated[list[ExposureRule], Field(min_length=1)]
    owner: Annotated[list[Line], Field(min_length=1)] = Field(
        description="what the owner can do, in plain sentences"
    )
    bench: Annotated[list[Statement], Field(min_length=1)] = Field(
        description="what the bench can do"
    )
    figures: list[NamedFigure] = some(list)
