"""The records of sayings, and the pages that a record recommends."""

from typing import Annotated

from pydantic import Field

from generator.records.claims import Grounds
from generator.records.common import Record, Statement
from generator.records.field_types import (
    FormulaId,
    HazardId,
    JudgementId,
    MaterialId,
    PartId,
    ProcessId,
    Shape,
    some,
)


class See(Shape):
    """Pages worth reading."""

    materials: list[MaterialId] = some(list)
    parts: list[PartId] = some(list)
    hazards: list[HazardId] = some(list)
    processes: list[ProcessId] = some(list)
    formulas: list[FormulaId] = some(list)


class Saying(Record):
    """A common saying of the bench, in our own words, judged.

    `name` is the saying, `summary` the verdict in one line.
    """

    judged: JudgementId
    because: Annotated[list[Statement], Field(min_length=1)]
    rests_on: Grounds = Grounds()
    see: See = See()
