"""What people type into the find box and what they mean by it: the models of its vocabularies."""

from typing import Annotated

from pydantic import Field

from generator.records.common import Line, Named, Shape
from generator.records.field_types import Refers, some

LeaningId = Annotated[str, Refers("leanings")]


class AskedFor(Named):
    """What people type who do not know the name of a page, by the page's address with
    hyphens for all its signs: `hazards-sea-water`."""

    words: list[Line] = some(list)


class Leaning(Named):
    """Words of a query that say what kind of page is wanted."""

    words: Annotated[list[Line], Field(min_length=1)] = Field(
        description="words, or several words that follow each other"
    )
    kinds: Annotated[list[Line], Field(min_length=1)] = Field(
        description="kinds of page, as the find box writes them beside a hit"
    )
    passed: bool = Field(False, description="true: beyond that the words tell nothing")
    things: Annotated[int, Field(ge=0, le=2)] = Field(
        0, description="only where so many other things of those kinds are named"
    )
    between: bool = Field(False, description="true: only where the word stands between two things")
    page: Line | None = Field(
        None, description="address of the page that comes first, instead of the kinds"
    )
    sure: bool = Field(
        False,
        description="true: a page of those kinds that the word, or a number beside it, names"
        " comes before others",
    )
    value: bool = Field(False, description="true: a number beside it is a value and no name")
    without: list[Line] = Field([], description="not where a thing of these kinds is named")
    beside: list[LeaningId] = Field([], description="only where one of these leanings holds too")
    unless: list[LeaningId] = Field([], description="other leanings that silence this one")


class SameWords(Shape):
    """Words that are taken for one another by who searches."""

    words: Annotated[list[Line], Field(min_length=2)]
