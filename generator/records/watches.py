"""The record of a kind of watch: its parts, what each is usually made of, and what touches what.

A kind is invented: it stands for many watches of its build and for no maker's.
"""

from typing import Annotated

from pydantic import Field

from generator.records.common import Record
from generator.records.field_types import (
    ContactSituationId,
    Id,
    JoinId,
    Line,
    MaterialId,
    Number,
    PartId,
    Shape,
    Text,
)
from generator.records.vocabulary import Entry


class WatchPart(Shape):
    """A part in its place in a watch, and what it is usually made of there."""

    part: PartId
    id: Id | None = Field(
        None, description="only where a part role stands twice: a name of its own in this watch"
    )
    name: Line | None = Field(None, description="what it is called here, where it has its own id")
    setting: Id | None = Field(
        None, description="where the part's record tells settings apart: which of them this is"
    )
    material: MaterialId | None = Field(
        None, description="what this kind is usually made of here; left out, it is open"
    )
    state: Id | None = None
    coating: MaterialId | None = Field(None, description="id of a coating")
    outside: bool = Field(False, description="true: sees skin, sweat and weather")
    oiled: bool = Field(False, description="true: gets oil or grease at a service")
    grams: Number | None = Field(
        None, description="g; only where its weight counts; invented like the watch"
    )

    @property
    def key(self) -> str:
        """What joins call this part: its own id, or else that of its role."""
        return self.id or self.part

    @property
    def role(self) -> str:
        """What its material is judged for: the part, or one of its settings."""
        return f"{self.part}/{self.setting}" if self.setting else self.part


class Join(Shape):
    """Two parts that touch: how, and the wettest that the place gets."""

    between: list[Id] = Field(description="the two parts, by their ids in this watch")
    how: JoinId = Field(description="id in knowledge/vocabulary/joins.yaml")
    where: ContactSituationId = Field(
        description="the wettest it gets: id in knowledge/vocabulary/contact_situations.yaml"
    )
    smaller: Id | None = Field(None, description="the smaller of the two, where that matters")
    look: Line | None = Field(None, description="what to look at here when the watch is open")


class Watch(Record):
    """A kind of watch: every part in its place, and every contact."""

    period: Line = Field(description="when such watches were made")
    invented: bool = Field(
        True, description="true: stands for many watches; false: one that was really on the bench"
    )
    does: Text = Field(description="how this kind is built, and what comes to the bench with it")
    parts: Annotated[list[WatchPart], Field(min_length=1)]
    joins: Annotated[list[Join], Field(min_length=1)]

    def by_key(self) -> dict[str, WatchPart]:
        """The parts by the id that joins use."""
        return {part.key: part for part in self.parts}


class JoinWay(Entry):
    """A way in which two parts meet."""

    moves: bool = Field(False, description="true: the two move on each other, so they wear")
    for_good: bool = Field(False, description="true: a service does not take the two apart")
    gap: bool = Field(True, description="false: no crevice that could hold water")
