"""What people type into the find box and what they mean by it: the models of its vocabularies."""

from typing import Annotated

from pydantic import Field

from generator.records.common import Line, Named, Shape


class AskedFor(Named):
    """What people type who do not know the name of a page, by the page's address with
    hyphens for all its signs: `hazards-sea-water`."""

    words: list[Line] = []


class Leaning(Named):
    """Words of a query that say what kind of page is wanted."""

    words: Annotated[list[Line], Field(min_length=1)]
    kinds: Annotated[list[Line], Field(min_length=1)] = Field(
        description="kinds of page, as the find box writes them beside a hit"
    )
    passed: bool = Field(False, description="true: beyond that the words tell nothing")
    named: bool = Field(
        False, description="true: only where another word names a thing of those kinds"
    )
    between: Line | None = Field(
        None,
        description="address of the page that comes first where the word stands between two things"
        " of those kinds",
    )


class SameWords(Shape):
    """Words that are taken for one another by who searches."""

    words: Annotated[list[Line], Field(min_length=2)]
