"""What an edition changed, as the verb `edition` writes it."""

from typing import Literal

from pydantic import (
    Field,
)

from generator.records.field_types import Line, Shape, Text, Word, some


class Change(Shape):
    """One field that differs between two editions; a text too long to keep stands with neither."""

    record: Line = Field(description="folder/id, as on the printed card")
    field: Line
    how: Literal["changed", "added", "removed"] = "changed"
    was: Text | None = None
    now: Text | None = None


class Edition(Shape):
    """What one edition changed.

    Written by `python3 -m generator edition`, never by hand.
    """

    records: int = Field(description="how many records and cautions it holds")
    new: list[Line] = some(list)
    gone: list[Line] = some(list)
    changed: list[Change] = some(list)
    effects: list[Text] = some(
        list, description="what followed from the changes, most important first"
    )
    cards: dict[Line, Word] = Field(
        description="page of each card that is new or differs -> digest of what it says"
    )
