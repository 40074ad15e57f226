"""The records of sayings and lessons."""

from __future__ import annotations

from typing import Annotated

from pydantic import (
    Field,
    model_validator,
)

from generator.records.claims import Grounds
from generator.records.common import Record, Statement
from generator.records.field_types import (
    FormulaId,
    HazardId,
    JudgementId,
    Line,
    MaterialId,
    Number,
    PartId,
    ProcessId,
    Shape,
    Text,
)


class See(Shape):
    """Pages worth reading."""

    materials: list[MaterialId] = []
    parts: list[PartId] = []
    hazards: list[HazardId] = []
    processes: list[ProcessId] = []
    formulas: list[FormulaId] = []


class Saying(Record):
    """A common saying of the bench, in our own words, judged.

    `name` is the saying, `summary` the verdict in one line.
    """

    judged: JudgementId
    because: Annotated[list[Statement], Field(min_length=1)]
    rests_on: Grounds = Grounds()
    see: See = See()


class Option(Shape):
    """One answer that a trainee may choose."""

    say: Line
    right: bool = False
    why: Text = Field(description="shown when it is chosen")


class Question(Shape):
    """A self-test question with two to five answers, exactly one right."""

    ask: Line
    options: Annotated[list[Option], Field(min_length=2, max_length=5)]
    rests_on: Grounds = Grounds()
    see: See = See()

    @model_validator(mode="after")
    def one_right(self):
        """Exactly one option is right."""
        right = sum(o.right for o in self.options)
        if right != 1:
            raise ValueError(f"needs exactly one right option; it has {right}")
        return self


class Lesson(Record):
    """A short lesson of the trainee's path.

    `summary` is its aim.
    """

    number: Number = Field(description="its place on the path")
    text: Annotated[list[Text], Field(min_length=1)] = Field(
        description="short paragraphs, in order"
    )
    see: See = Field(description="the pages to read")
    questions: Annotated[list[Question], Field(min_length=5)]
