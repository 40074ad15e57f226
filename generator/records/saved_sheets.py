"""The file format of a saved watch sheet, as the page writes it.

One plain JSON file. Numbers stay as typed. Fields of newer editions are kept and ignored; it holds
nobody's name.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

SCHEMA_ID = "watch-sheet.schema.json"
VERSION = 1
Short = Annotated[str, StringConstraints(max_length=200)]
Key = Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=60)]


class _Kept(BaseModel):
    """Unknown keys stay where they are."""

    model_config = ConfigDict(extra="allow", frozen=True)


class PartOnSheet(_Kept):
    """What one part of this piece is made of, where that is known."""

    material: Short = Field("", description="id of a material; empty or left out: not known")
    state: Short | None = Field(None, description="id of a state of the material")
    coating: Short | None = Field(None, description="id of a coating")


class MeasuredOnSheet(_Kept):
    """One measurement on one part, as typed."""

    part: Key = Field(description="id of the part in this kind of watch")
    property: Key = Field(
        description="id of a property, or weight-in-air, weight-in-water, magnet, "
        "plating-thickness, rate"
    )
    unit: Short = ""
    value: Short = Field(description="as typed")
    doubt: Short = Field("", description="plus or minus: 95 of 100 such values lie within it")
    readings: Short = Field("", description="how many readings the value is the mean of")
    instrument: Short = ""
    day: Short = ""
    by: Short = Field("", description="a role, never a name")


class SavedSheet(_Kept):
    """The sheet of one watch: what it is made of, how its owner lives, what was measured."""

    sheet: Literal[1] = Field(description="version of this form")
    edition: Short = Field("", description="edition of the knowledge base it was saved with")
    watch: Key = Field(description="id of a kind of watch")
    job: Annotated[str, StringConstraints(max_length=300)] = Field(
        "", description="what the bench calls the job; no name of a customer"
    )
    day: Short = ""
    owner: list[Key] = Field([], description="ids of activities of the owner")
    parts: dict[str, PartOnSheet] = {}
    measured: list[MeasuredOnSheet] = []
    note: Annotated[str, StringConstraints(max_length=20000)] = ""


def sheet_schema() -> dict:
    """The JSON Schema (2020-12) of a saved sheet."""
    made = SavedSheet.model_json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": SCHEMA_ID, **made}
