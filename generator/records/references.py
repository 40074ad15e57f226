"""Receives a record; hands on the ids inside it, found by the ``Refers`` marks of the models."""

from __future__ import annotations

import typing
from collections.abc import Iterator, Mapping
from functools import cache
from types import UnionType
from typing import NamedTuple

from pydantic import BaseModel

from generator.records import models


class Reference(NamedTuple):
    """One id that a record names: the way to it, what it must be, and whether it is a key of a
    mapping."""

    way: tuple
    target: str
    id: str
    is_key: bool = False


def references(value: BaseModel, way: tuple = ()) -> Iterator[Reference]:
    """Every id inside a record, found by the ``Refers`` marks of the models."""
    for name, walk in _walkers(type(value)):
        yield from walk(getattr(value, name), (*way, name))


@cache
def _walkers(model: type[BaseModel]) -> tuple:
    hints = typing.get_type_hints(model, include_extras=True)
    walkers = ((name, _walker(hints[name])) for name in model.model_fields)
    return tuple((name, walk) for name, walk in walkers if walk)


def _walker(annotation):
    """A function (value, way) -> references for one annotation, or None where no id can be
    inside."""
    refers = next(
        (m for m in getattr(annotation, "__metadata__", ()) if isinstance(m, models.Refers)), None
    )
    if refers:
        return lambda value, way: (
            (Reference(way, refers.target, value),) if value is not None else ()
        )
    if typing.get_origin(annotation) is typing.Annotated:
        return _walker(typing.get_args(annotation)[0])
    if typing.get_origin(annotation) in (typing.Union, UnionType):
        return _walker(next(a for a in typing.get_args(annotation) if a is not type(None)))
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return lambda value, way: references(value, way) if value is not None else ()
    inner = typing.get_args(annotation)
    if typing.get_origin(annotation) is list:
        walk = _walker(inner[0])
        return walk and (
            lambda value, way: (r for i, v in enumerate(value) for r in walk(v, (*way, i)))
        )
    if typing.get_origin(annotation) is dict:
        walk_key, walk = _walker(inner[0]), _walker(inner[1])
        if walk_key or walk:
            return lambda value, way: _of_mapping(value, way, walk_key, walk)
    return None


@cache
def models_inside(annotation) -> frozenset[type[BaseModel]]:
    """Every model that a value of this type can hold, itself among them."""
    found: set[type[BaseModel]] = set()
    waiting = [annotation]
    while waiting:
        kind = waiting.pop()
        if isinstance(kind, type) and issubclass(kind, BaseModel):
            if kind not in found:
                found.add(kind)
                hints = typing.get_type_hints(kind)
                waiting += [hints[name] for name in kind.model_fields]
        else:
            waiting += typing.get_args(kind)
    return frozenset(found)


def _of_mapping(value: Mapping, way: tuple, walk_key, walk) -> Iterator[Reference]:
    for key, inner in value.items():
        for reference in walk_key(key, (*way, key)) if walk_key else ():
            yield Reference(reference.way, reference.target, reference.id, True)
        yield from walk(inner, (*way, key)) if walk else ()
