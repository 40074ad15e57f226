"""Puts pydantic's findings into a practitioner's words."""

from __future__ import annotations

import re
import typing
from collections.abc import Callable, Iterable, Iterator
from types import UnionType
from typing import NamedTuple

from pydantic import BaseModel, ValidationError

from generator.records import models
from generator.records.complaints import Complaint, did_you_mean
from generator.records.meant import id_meant
from generator.records.reading import RawFile

_NUMBER = re.compile(r"-?\d+(\.\d+)?")


def shape_complaints(model, file: RawFile, error: ValidationError) -> Iterator[Complaint]:
    """Pydantic's findings as place, fault, cure."""
    found = error.errors(include_url=False)
    broken = [item["loc"][:-1] for item in found if item["type"] != "missing"]
    for item in found:
        if item["type"] == "missing" and item["loc"][:-1] in broken and _is_place(item["loc"]):
            continue  # the other end of a range that could not be read
        way = tuple(step for step in item["loc"] if step != "[key]")
        at_key = item["loc"][-1:] == ("[key]",) or item["type"] == "extra_forbidden"
        name = next((step for step in reversed(way) if isinstance(step, str)), "the record")
        fault, cure = words_for(item, name, model, way)
        yield Complaint(file.place(way, key=at_key), fault, cure)


def _is_place(way: tuple) -> bool:
    return bool(way) and isinstance(way[-1], int)


class _Slip(NamedTuple):
    """One of pydantic's findings, with the name of the key it is about and the way to it."""

    item: dict
    name: str
    model: type
    way: tuple

    @property
    def input(self):
        """What was typed."""
        return self.item["input"]

    @property
    def limits(self) -> dict:
        """The numbers and patterns that were not kept."""
        return self.item.get("ctx", {})


def words_for(item: dict, name: str, model, way: tuple) -> tuple[str, str]:
    """One of pydantic's findings as fault and cure."""
    in_words = _IN_WORDS.get(item["type"])
    return in_words(_Slip(item, name, model, way)) if in_words else (f"{name}: {item['msg']}", "")


def _unknown_key(slip: _Slip) -> tuple[str, str]:
    if slip.name.replace(".", "").isdigit():
        return (
            f"{slip.name} stands alone, as if it were a key",
            "write the decimal point as a point, and quote text that holds commas",
        )
    return f"unknown key {slip.name}", _home_of(slip.name, slip.input, slip.model, slip.way)


def _missing(slip: _Slip) -> tuple[str, str]:
    if _is_place(slip.item["loc"]):
        return f"{slip.name} needs two numbers", "put a comma between them"
    return f"{slip.name} is missing", "add it"


def _said_by_the_model(slip: _Slip) -> tuple[str, str]:
    fault, _, cure = str(slip.limits.get("error", slip.item["msg"])).partition("; ")
    return f"{slip.name}: {fault}", cure


def _other_pattern(slip: _Slip) -> tuple[str, str]:
    typed = slip.input
    if slip.limits["pattern"] == models.ID_PATTERN:
        meant = id_meant(typed)
        cure = f"write {meant}" if meant else "use small letters a to z, digits and hyphens"
        return f"{slip.name}: {_short(typed)} cannot be an id", cure
    is_close = re.fullmatch("[A-Za-z]{1,2}", typed)
    cure = f"write {typed.capitalize()}" if is_close else "write Fe, Cu, Au ..."
    return f"{slip.name}: {_short(typed)} is not the symbol of an element", cure


def _no_list(slip: _Slip) -> tuple[str, str]:
    if slip.item["type"] == "list_type" and _is_number(slip.input):
        cure = f"say what kind it is: [{{typical: {slip.input}, source: ID}}]"
        return f"{slip.name}: {slip.input} stands alone", cure
    if slip.item["type"] == "list_type" and isinstance(slip.input, dict):
        return f"{slip.name} must be a list", "put it in brackets: [{...}]"
    return f"{slip.name} must be a list", "write [a, b] or lines that start with `- `"


def _no_mapping(slip: _Slip) -> tuple[str, str]:
    if _is_number(slip.input):
        cure = f"say what kind it is: {{typical: {slip.input}, source: ID}}"
        return f"{slip.name}: {slip.input} stands alone", cure
    if slip.name == "reviewed" and isinstance(slip.input, str):
        day = slip.input if re.match(r"\d{4}-", slip.input) else "2026-01-31"
        return "reviewed must say who read it", f"write {{on: {day[:10]}, by: workshop lead}}"
    return f"{slip.name} must hold `key: value` lines", "indent them below it"


def _is_number(typed: object) -> bool:
    return isinstance(typed, str) and bool(_NUMBER.fullmatch(typed))


def _too_few(slip: _Slip) -> tuple[str, str]:
    least = slip.limits["min_length"]
    many = "entry" if least == 1 else "entries"
    return f"{slip.name} needs at least {least} {many}", "add what is missing"


def _too_many(slip: _Slip) -> tuple[str, str]:
    if slip.name in ("range", "over") and isinstance(slip.input, list):
        cure = "write the decimal point as a point: [7.9, 8.1]"
        return f"{slip.name} has {len(slip.input)} entries and needs two", cure
    return f"{slip.name} may have {slip.limits['max_length']} entries", "delete the others"


def _empty(slip: _Slip) -> tuple[str, str]:
    return f"{slip.name} is empty", "write something or delete the line"


def _too_long(slip: _Slip) -> tuple[str, str]:
    return f"{slip.name} has more than {slip.limits['max_length']} letters", "shorten it"


def _no_text(slip: _Slip) -> tuple[str, str]:
    cure = "write one piece of text; quote it if it holds braces or brackets"
    return f"{slip.name} must be text", cure


def _no_truth_value(slip: _Slip) -> tuple[str, str]:
    return f"{slip.name}: {_short(slip.input)} is neither true nor false", "write true or false"


_IN_WORDS: dict[str, Callable[[_Slip], tuple[str, str]]] = {  # by pydantic's name of the finding
    "extra_forbidden": _unknown_key,
    "missing": _missing,
    "value_error": _said_by_the_model,
    "assertion_error": _said_by_the_model,
    "string_pattern_mismatch": _other_pattern,
    "string_too_short": _empty,
    "string_too_long": _too_long,
    "string_type": _no_text,
    "list_type": _no_list,
    "tuple_type": _no_list,
    "dict_type": _no_mapping,
    "model_type": _no_mapping,
    "model_attributes_type": _no_mapping,
    "too_short": _too_few,
    "too_long": _too_many,
    "bool_parsing": _no_truth_value,
    "bool_type": _no_truth_value,
}


def _home_of(name: str, value: object, model, way: tuple) -> str:
    """The cure for an unknown key: the known one that was meant, or the key it belongs below."""
    if len(way) == 1 and isinstance(value, list) and value and _is_figure(value[0]):
        return did_you_mean(name, _keys_at(model, ()), "") or f"indent {name} below figures"
    cure = did_you_mean(name, _keys_at(model, way[:-1]))
    if cure or len(way) > 1:
        return cure or "indent it below the key that it belongs to, or delete it"
    for field_name in model.model_fields:
        if name in _keys_at(model, (field_name, "*")) or name in _keys_at(model, (field_name,)):
            return f"indent it below {field_name}, where it belongs"
    return "indent it below the key that it belongs to, or delete it"


def _is_figure(value: object) -> bool:
    return isinstance(value, dict) and not {*models.Bound.KINDS}.isdisjoint(value)


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "...'"


def _keys_at(annotation, way: Iterable) -> list[str]:
    """The keys that the model allows at a place, for did-you-mean."""
    for step in way:
        annotation = _unwrap(annotation)
        if isinstance(annotation, type) and issubclass(annotation, BaseModel):
            if step not in annotation.model_fields:
                return []
            annotation = annotation.model_fields[step].annotation
        else:
            inner = typing.get_args(annotation)
            annotation = inner[-1] if inner else None
    annotation = _unwrap(annotation)
    return (
        list(annotation.model_fields)
        if isinstance(annotation, type) and issubclass(annotation, BaseModel)
        else []
    )


def _unwrap(annotation):
    """The type inside ``X | None`` and ``Annotated[X, ...]``."""
    while True:
        origin = typing.get_origin(annotation)
        if origin is typing.Annotated:
            annotation = typing.get_args(annotation)[0]
        elif origin in (typing.Union, UnionType):
            annotation = next(a for a in typing.get_args(annotation) if a is not type(None))
        else:
            return annotation
