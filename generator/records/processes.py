"""The record of a process."""

from typing import Annotated

from pydantic import (
    Field,
)

from generator.records.common import NamedFigure, Record, Statement
from generator.records.field_types import Line, ProcessGroupId, PropertyId, Text, some
from generator.records.materials import When
from generator.records.parts import Failure


class Process(Record):
    """Something done to a material: hardening, plating, joining, cleaning ..."""

    group: ProcessGroupId
    does: Text
    suits: When = Field(When(), description="which materials it is for")
    measures: list[PropertyId] = some(list, description="the properties whose figure it finds")
    not_for: list[Statement] = some(list)
    needs: list[Line] = some(list, description="equipment and supplies")
    steps: Annotated[list[Line], Field(min_length=1)]
    figures: list[NamedFigure] = some(list)
    goes_wrong: list[Failure] = some(list)
    no_caution: Line | None = Field(None, description="why this work needs no caution")
