"""Cautions, their limits, and first aid."""

from typing import Annotated

from pydantic import (
    Field,
)

from generator.records.common import NamedFigure, Translated
from generator.records.field_types import (
    CautionId,
    Line,
    ProcessGroupId,
    ProcessId,
    Shape,
    SourceId,
    some,
)
from generator.records.materials import When


class Limit(NamedFigure):
    """A limit set by law, or recommended by a body that is named."""

    since: Line = Field(description="year or day from which it applies, or a year it was in force")


class Work(Shape):
    """Processes on whose pages a caution appears by itself; any one line is enough."""

    processes: list[ProcessId] = some(list)
    groups: list[ProcessGroupId] = some(list)
    uses: list[Line] = some(
        list, description="words of tools and chemicals, looked for in what a process needs"
    )


class Caution(Translated):
    """What can hurt, whom, and what to do about it; always defers to local codes and licensed
    practice."""

    name: Line
    short: Line | None = Field(None, description="one or two words, for a line of several")
    grave: bool = Field(
        False,
        description="one spell of careless work can kill, at once or years later: the substance is"
        " classified as fatal, or such deaths are on record",
    )
    also_called: list[Line] = some(list, description="words under which a frightened person looks")
    danger: Line
    do: Annotated[list[Line], Field(min_length=1)]
    wear: list[Line] = some(list)
    first_aid: list[Line] = some(list, description="the first line says whom to call")
    authority: Annotated[list[SourceId], Field(min_length=1)]
    limits: list[Limit] = some(list)
    figures: list[NamedFigure] = some(list)
    applies: list[When] = some(list, description="materials on whose pages it appears by itself")
    work: Work = Field(Work(), description="processes on whose pages it appears by itself")


class FirstAid(Translated):
    """What to do at the bench after one kind of accident, until help takes over."""

    name: Line = Field(description="the accident, in the words of somebody frightened")
    also_called: list[Line] = some(list)
    do: Annotated[list[Line], Field(min_length=1)]
    then: Line = Field(description="where the injured person goes next")
    cautions: list[CautionId] = some(list)
    sources: Annotated[list[SourceId], Field(min_length=1)]
