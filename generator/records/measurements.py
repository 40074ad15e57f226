"""A workshop's own measurements, as a figure of its layer keeps them."""

from pydantic import Field

from generator.records.field_types import Day, Id, Line, Number, Shape


class Measurement(Shape):
    """One measurement on one piece, in the unit of its figure."""

    value: Number
    doubt: Number = Field(
        gt=0, description="plus or minus, so that 95 of 100 such values hold: twice the standard "
        "uncertainty"
    )  # fmt: skip
    readings: Number | None = Field(None, description="how many readings the value is the mean of")
    instrument: Line | None = None
    on: Day
    by: Line | None = Field(None, description="a role, never a name")
    part: Id = Field(description="the part of the watch that was measured")
    sheet: Line = Field(description="the saved sheet it was typed on, by its file name")
