"""The record of a hazard and its ordered rules."""

from __future__ import annotations

from typing import Annotated

from pydantic import (
    Field,
)

from generator.records.common import NamedFigure, Record, Statement
from generator.records.field_types import (
    ExposureVerdictId,
    Line,
    MechanismId,
    Shape,
    SourceId,
    Text,
)
from generator.records.materials import When


class ExposureRule(Shape):
    """One step of a hazard's ordered rules: the first that fits a material decides."""

    when: When = When()
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
    rules: Annotated[list[ExposureRule], Field(min_length=1)]
    owner: Annotated[list[Line], Field(min_length=1)] = Field(
        description="what the owner can do, in plain sentences"
    )
    bench: Annotated[list[Statement], Field(min_length=1)] = Field(
        description="what the bench can do"
    )
    figures: list[NamedFigure] = []
