"""What a trainee learns by: lessons with their questions, bench tasks, cases, and the weeks."""

from typing import Annotated

from pydantic import Field, StringConstraints, model_validator

from generator.records.claims import FigureOf, Grounds, ListedFigure
from generator.records.common import Record, Statement
from generator.records.field_types import (
    ID_PATTERN,
    CautionId,
    FirstAidId,
    FormulaId,
    Line,
    Number,
    ProcessId,
    Quoted,
    Refers,
    Shape,
    Text,
    UnitId,
    Word,
    some,
)
from generator.records.learning import See

_ID = StringConstraints(pattern=ID_PATTERN, max_length=100)
LessonId = Annotated[str, _ID, Refers("lesson")]
TaskId = Annotated[str, _ID, Refers("tasks")]
CaseId = Annotated[str, _ID, Refers("cases")]


class Option(Shape):
    """One answer that a trainee may choose."""

    say: Line
    right: bool = False
    why: Text = Field(description="shown when it is chosen")


class SumOf(Shape):
    """A bench calculation that the build works out."""

    formula: FormulaId
    inputs: dict[Word, Number] = some(dict, description="symbol: value, in the symbol's unit")
    figures: dict[Word, FigureOf] = some(dict, description="symbol: figure of a material")


class NumberAnswer(Shape):
    """A number to type. The base holds or computes it, so it is never typed here."""

    figure: FigureOf | None = None
    listed: ListedFigure | None = None
    sum: SumOf | None = None
    unit: UnitId = Field(description="the unit that stands beside the field")
    within_percent: Number = Field(description="how far off still counts as right")

    @model_validator(mode="after")
    def one_origin(self):
        """The answer comes from one place."""
        if sum(v is not None for v in (self.figure, self.listed, self.sum)) != 1:
            raise ValueError("needs exactly one of figure, listed and sum")
        return self


class OrderedStep(Shape):
    """One line to put in its place, and words by which the base is seen to agree."""

    say: Line
    words: Quoted = Field(description="words of the process or first aid, in its own order")


class OrderAnswer(Shape):
    """Lines to put in order, written here in the right order."""

    process: ProcessId | None = None
    first_aid: FirstAidId | None = None
    steps: Annotated[list[OrderedStep], Field(min_length=3, max_length=7)]

    @model_validator(mode="after")
    def one_origin(self):
        """The order is that of one process or of one accident's first aid."""
        if (self.process is None) == (self.first_aid is None):
            raise ValueError("needs exactly one of process and first_aid")
        return self


class Question(Shape):
    """A self-test question: answers to choose from, a number to type, or lines to put in order."""

    ask: Line
    options: Annotated[list[Option], Field(max_length=5)] = some(list)
    number: NumberAnswer | None = None
    order: OrderAnswer | None = None
    why: Text | None = Field(None, description="shown with the answer; options have their own")
    rests_on: Grounds = Grounds()
    see: See = See()

    @model_validator(mode="after")
    def one_kind(self):
        """One kind of answer; of options exactly one is right; the other kinds say why."""
        if sum((bool(self.options), self.number is not None, self.order is not None)) != 1:
            raise ValueError("needs exactly one of options, number and order")
        if self.options:
            right = sum(o.right for o in self.options)
            if right != 1:
                raise ValueError(f"needs exactly one right option; it has {right}")
            if len(self.options) < 2:
                raise ValueError("needs two to five options")
        if bool(self.options) == (self.why is not None):
            raise ValueError("`why` goes with number and order; options have their own")
        return self

    @property
    def kind(self) -> str:
        """choice, number or order."""
        return "choice" if self.options else "number" if self.number else "order"


class Demonstration(Shape):
    """Something to show with one's hands before work begins, in front of a mentor."""

    show: Line
    cautions: list[CautionId] = some(list)


class Lesson(Record):
    """A short lesson of the trainee's path.

    `summary` is its aim.
    """

    number: Number = Field(description="its place on the path; 0 is the gate before bench work")
    text: Annotated[list[Text], Field(min_length=1)] = Field(
        description="short paragraphs, in order"
    )
    see: See = Field(description="the pages to read")
    questions: Annotated[list[Question], Field(min_length=5)]
    demonstrate: list[Demonstration] = some(
        list, description="what the mentor watches and signs before bench work"
    )


class Task(Shape):
    """A task at the bench with samples, and what the mentor looks at before signing."""

    name: Line
    aim: Line
    samples: Annotated[list[Line], Field(min_length=1)]
    do: Annotated[list[Line], Field(min_length=2)]
    passed: Annotated[list[Line], Field(min_length=1)] = Field(
        description="what the mentor must see"
    )
    cautions: list[CautionId] = some(
        list, description="besides those of the processes, which come by themselves"
    )
    rests_on: Grounds = Grounds()
    see: See


class Case(Shape):
    """A watch on the bench that needs several pages at once; invented."""

    name: Line
    story: Annotated[list[Text], Field(min_length=1)]
    questions: Annotated[list[Question], Field(min_length=2)]
    see: See = Field(description="at least three pages to join")

    @model_validator(mode="after")
    def joins_pages(self):
        """A case joins at least three pages."""
        see = self.see
        pages = see.materials + see.parts + see.hazards + see.processes + see.formulas
        if len(pages) < 3:
            raise ValueError(f"see names {len(pages)} pages; a case joins at least three")
        return self


class Week(Shape):
    """One week of the plan."""

    name: Line
    goal: Line
    lessons: list[LessonId]
    tasks: list[TaskId]
    cases: list[CaseId]
    again: Line = Field(description="what is mixed in from earlier weeks")
    because: list[Statement] = some(list, description="why it is arranged so")
