"""What a field of a record may be: numbers with their digits, days, lines, ids and what they
refer to.

One walk over the ``Refers`` marks checks that ids exist, finds back-links and fills the editors'
lists of choices.
"""

import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Annotated

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    WithJsonSchema,
)
from pydantic_core import core_schema

from generator.records.meant import day_meant, number_cure

ID_PATTERN = r"^[a-z0-9]+(-[a-z0-9]+)*$"
_NUMBER = re.compile(r"[-+]?\d{1,12}(\.\d{1,12})?([eE][-+]?\d{1,2})?", re.ASCII)


def _number(typed: object) -> Decimal:
    """A number as it was typed; its digits are kept, so 7.90 stays 7.90."""
    text = str(typed).strip(" ") if isinstance(typed, str | int | float | Decimal) else ""
    if text == "NUMBER":
        raise ValueError("a placeholder from `new` has not been replaced; write the figure")
    if not _NUMBER.fullmatch(text):
        shown = repr(text) if text else "this"
        raise ValueError(f"{shown} is not a number; {number_cure(text)}")
    return Decimal(text)


def _date(typed: object) -> date:
    """A day written year-month-day."""
    if typed == "DATE":
        raise ValueError("a placeholder from `new` has not been replaced; write the day")
    try:
        return typed if isinstance(typed, date) else date.fromisoformat(str(typed))
    except ValueError:
        text = str(typed)
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text, re.ASCII):
            raise ValueError(f"there is no such day as {text}; look at the calendar") from None
        raise ValueError(f"{text!r} is not a date; write it as {day_meant(text)}") from None


@dataclass(frozen=True)
class _Text:
    """What a text must be; many fields have one, so its schema is made in one step."""

    pattern: str | None = None
    longest: int | None = None

    def __get_pydantic_core_schema__(self, source, handler):
        if self.pattern:
            return core_schema.str_schema(pattern=self.pattern, max_length=self.longest)
        return core_schema.str_schema(min_length=1, max_length=self.longest, strip_whitespace=True)


_typed_text = WithJsonSchema({"type": ["string", "number"]})
Number = Annotated[Decimal, BeforeValidator(_number), WithJsonSchema({"type": "number"})]
Day = Annotated[
    date,
    BeforeValidator(_date),
    WithJsonSchema({"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"}),
]
_ID = _Text(ID_PATTERN, 60)
Line = Annotated[str, _Text(longest=300), _typed_text]
Text = Annotated[str, _Text(longest=3000), _typed_text]
Quoted = Annotated[str, _Text(longest=300)]  # words of another record, which must be found there
Id = Annotated[str, _ID]  # an id that is defined right here
Word = Annotated[str, _Text(longest=40), _typed_text]


@dataclass(frozen=True)
class Refers:
    """Marks a field (or the keys of a mapping) as the id of something else: a record kind or a
    vocabulary.

    One walk over these marks checks that ids exist, finds back-links, and fills the editors' lists
    of choices.
    """

    target: str

    def __get_pydantic_json_schema__(self, core_schema, handler):
        return {**handler(core_schema), "x-refers": self.target}


Symbol = Annotated[str, _Text(r"^[A-Z][a-z]?$"), Refers("elements")]
UnitId = Annotated[Word, Refers("units")]
SourceId = Annotated[str, _ID, Refers("source")]
MaterialId = Annotated[str, _ID, Refers("material")]
PartId = Annotated[str, _ID, Refers("part")]
HazardId = Annotated[str, _ID, Refers("hazard")]
ProcessId = Annotated[str, _ID, Refers("process")]
CautionId = Annotated[str, _ID, Refers("caution")]
FirstAidId = Annotated[str, _ID, Refers("first_aid")]
FamilyId = Annotated[str, _ID, Refers("families")]
ClassId = Annotated[str, _ID, Refers("classes")]
SideId = Annotated[str, _ID, Refers("sides")]
ZoneId = Annotated[str, _ID, Refers("zones")]
PropertyId = Annotated[str, _ID, Refers("properties")]
PropertyGroupId = Annotated[str, _ID, Refers("property_groups")]
SystemId = Annotated[str, _ID, Refers("systems")]
ColourId = Annotated[str, _ID, Refers("colours")]
MagnetismId = Annotated[str, _ID, Refers("magnetism")]
TraitId = Annotated[str, _ID, Refers("traits")]
RatingId = Annotated[str, _ID, Refers("ratings")]
WorkingId = Annotated[str, _ID, Refers("workings")]
ExposureVerdictId = Annotated[str, _ID, Refers("exposure_verdicts")]
SeverityId = Annotated[str, _ID, Refers("severities")]
MechanismId = Annotated[str, _ID, Refers("mechanisms")]
ProcessGroupId = Annotated[str, _ID, Refers("process_groups")]
JudgementId = Annotated[str, _ID, Refers("judgements")]
RungId = Annotated[str, _ID, Refers("rungs")]
FormId = Annotated[str, _ID, Refers("forms")]
FormulaId = Annotated[str, _ID, Refers("formula")]
FormulaGroupId = Annotated[str, _ID, Refers("formula_groups")]
SourceKindId = Annotated[str, _ID, Refers("source_kinds")]
ContactDegreeId = Annotated[str, _ID, Refers("contact_degrees")]
LanguageId = Annotated[str, _Text(r"^[a-z]{2,3}(-[A-Z]{2})?$"), Refers("languages")]
JoinId = Annotated[str, _ID, Refers("joins")]
ContactSituationId = Annotated[str, _ID, Refers("contact_situations")]


def some(kind: type, **words):
    """A list or mapping that may be left out.

    Made by its type: pydantic would deep-copy a default for each record that is read.
    """
    return Field(default_factory=kind, json_schema_extra={"default": kind()}, **words)


class Shape(BaseModel):
    """What all pieces of a record share: unknown keys are refused and nothing changes after
    reading."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    def __eq__(self, other: object) -> bool:
        """True for the same content typed with the same digits: 7.90 is not 7.9."""
        if self is other or type(self) is not type(other):
            return self is other
        return repr(self.__dict__) == repr(other.__dict__)
