"""What the find box knows of a record beyond its name and summary, as lines of text: its words, the
standards it cites, and the default values of a calculation.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache

from pydantic import BaseModel

from generator.records.knowledge import Knowledge, everything
from generator.site.view import View

# Fields that say what a thing is for, is done with, or comes to. What they hold of other records
# (choices, demands) is found under those.
TOLD = (
    "does",
    "meets",
    "owner",
    "bench",
    "identify",
    "remake",
    "fails",
    "after_service",
    "needs",
    "steps",
    "figures",
    "goes_wrong",
    "rules",
    "danger",
    "do",
    "then",
    "wear",
    "because",
    "why",
    "limits",
    "readings",
    "symbols",
    "result",
    "demonstrate",
    "story",
)
SAYS = ("text", "do", "sign", "cause", "why", "looks_like", "what", "say", "meaning", "name")


def cited(knowledge: Knowledge) -> dict[int, set[str]]:
    """The sources that each record and list entry names, by its identity."""
    return {
        id(value): {reference.id for reference in found if reference.target == "source"}
        for (_, _, value, _), (_, _, found) in zip(
            everything(knowledge), knowledge.references_by_file(), strict=True
        )
    }


def of_record(view: View, record: BaseModel, sources: Iterable[str]) -> list[str]:
    """The lines of a record's text, with the names of the standards behind its figures."""
    lines = [line for field in TOLD for line in _lines(getattr(record, field, None))]
    return [*lines, *sorted(label for s in sources if (label := view.standard(s)))]


def _lines(held) -> Iterator[str]:
    """The sentences in a field: a text, a list of texts, or shapes that say something."""
    if isinstance(held, str):
        yield held
    elif isinstance(held, BaseModel):
        for field in _saying(type(held)):
            yield from _lines(getattr(held, field))
        default = getattr(held, "default", None) if "default" in type(held).model_fields else None
        if default is not None:
            yield f"{default:f}"
    elif isinstance(held, dict):
        for each in held.values():
            yield from _lines(each)
    elif isinstance(held, list | tuple):
        for each in held:
            yield from _lines(each)


@cache
def _saying(model: type[BaseModel]) -> list[str]:
    """What a shape says something in: its fields, and what it works out of them."""
    return [field for field in SAYS if field in model.model_fields or hasattr(model, field)]
