"""Receives what pydantic found; hands on complaints in the words of a practitioner."""

from __future__ import annotations

import re
import typing
from collections.abc import Iterable, Iterator
from types import UnionType

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


def words_for(item: dict, name: str, model, way: tuple) -> tuple[str, str]:
    """One of pydantic's findings as fault and cure."""
    kind, context = item["type"], item.get("ctx", {})
    if kind == "extra_forbidden" and name.replace(".", "").isdigit():
        return (
            f"{name} stands alone, as if it were a key",
            "write the decimal point as a point, and quote text that holds commas",
        )
    if kind == "extra_forbidden":
        return f"unknown key {name}", _home_of(name, item["input"], model, way)
    if kind == "missing" and _is_place(item["loc"]):
        return f"{name} needs two numbers", "put a comma between them"
    if kind == "missing":
        return f"{name} is missing", "add it"
    if kind in ("value_error", "assertion_error"):
        fault, _, cure = str(context.get("error", item["msg"])).partition("; ")
        return f"{name}: {fault}", cure
    if kind == "string_pattern_mismatch":
        if context["pattern"] == models.ID_PATTERN:
            return (
                f"{name}: {_short(item['input'])} cannot be an id",
                f"write {id_meant(item['input'])}"
                if id_meant(item["input"])
                else "use small letters a to z, digits and hyphens",
            )
        return (
            f"{name}: {_short(item['input'])} is not the symbol of an element",
            f"write {item['input'].capitalize()}"
            if re.fullmatch("[A-Za-z]{1,2}", item["input"])
            else "write Fe, Cu, Au ...",
        )
    if kind == "string_too_short":
        return f"{name} is empty", "write something or delete the line"
    if kind == "string_too_long":
        return f"{name} has more than {context['max_length']} letters", "shorten it"
    if kind == "string_type":
        return (
            f"{name} must be text",
            "write one piece of text; quote it if it holds braces or brackets",
        )
    if kind == "list_type" and isinstance(item["input"], str) and _NUMBER.fullmatch(item["input"]):
        cure = f"say what kind it is: [{{typical: {item['input']}, source: ID}}]"
        return f"{name}: {item['input']} stands alone", cure
    if kind == "list_type" and isinstance(item["input"], dict):
        return f"{name} must be a list", "put it in brackets: [{...}]"
    if kind in ("list_type", "tuple_type"):
        return f"{name} must be a list", "write [a, b] or lines that start with `- `"
    if (
        kind in ("dict_type", "model_type", "model_attributes_type")
        and isinstance(item["input"], str)
        and _NUMBER.fullmatch(item["input"])
    ):
        return (
            f"{name}: {item['input']} stands alone",
            f"say what kind it is: {{typical: {item['input']}, source: ID}}",
        )
    if name == "reviewed" and isinstance(item["input"], str):
        day = item["input"] if re.match(r"\d{4}-", item["input"]) else "2026-01-31"
        return "reviewed must say who read it", f"write {{on: {day[:10]}, by: workshop lead}}"
    if kind in ("dict_type", "model_type", "model_attributes_type"):
        return f"{name} must hold `key: value` lines", "indent them below it"
    if kind == "too_short":
        many = "entry" if context["min_length"] == 1 else "entries"
        return f"{name} needs at least {context['min_length']} {many}", "add what is missing"
    if kind == "too_long" and name in ("range", "over") and isinstance(item["input"], list):
        cure = "write the decimal point as a point: [7.9, 8.1]"
        return f"{name} has {len(item['input'])} entries and needs two", cure
    if kind == "too_long":
        return f"{name} may have {context['max_length']} entries", "delete the others"
    if kind in ("bool_parsing", "bool_type"):
        return f"{name}: {_short(item['input'])} is neither true nor false", "write true or false"
    return f"{name}: {item['msg']}", ""


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
