"""Finds the ids inside a record by the ``Refers`` marks of the models.

Every record is walked at every check, so empty fields are skipped and the path to an id is built
only on demand.
"""

from __future__ import annotations

import typing
from collections.abc import Callable
from functools import cache, reduce
from types import UnionType
from typing import Annotated, NamedTuple

from pydantic import BaseModel

from generator.records import models


class Reference(NamedTuple):
    """One id that a record names: what it must be, where it stands, and whether it is a key of a
    mapping."""

    target: str
    id: str
    at: tuple | None  # (where the value around it stands, last step)
    is_key: bool = False

    @property
    def way(self) -> tuple:
        """The way to the id in its file."""
        steps, at = [], self.at
        while at is not None:
            at, step = at
            steps.append(step)
        return tuple(reversed(steps))


Walk = Callable[[object, tuple | None, list[Reference]], None]  # value, where it stands, found


def references(value: BaseModel, way: tuple = ()) -> list[Reference]:
    """Every id inside a record, found by the ``Refers`` marks of the models."""
    found: list[Reference] = []
    _walk_model(value, reduce(lambda at, step: (at, step), way, None), found)
    return found


def _walk_model(value: BaseModel, at: tuple | None, found: list[Reference]) -> None:
    fields = value.__dict__
    for name, walk in _walkers(type(value)):
        inner = fields[name]
        if inner:
            walk(inner, (at, name), found)


@cache
def _walkers(model: type[BaseModel]) -> tuple[tuple[str, Walk], ...]:
    walkers = ((name, _walker(kind)) for name, kind in annotations_of(model).items())
    return tuple((name, walk) for name, walk in walkers if walk)


def annotations_of(model: type[BaseModel]) -> dict[str, object]:
    """The type of each field with its marks, as pydantic has worked it out."""
    return {
        name: Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation
        for name, field in model.model_fields.items()
    }


def _walker(annotation) -> Walk | None:
    """What finds the ids in a value of this type, or None where none can be inside."""
    target = _target(annotation)
    if target:
        return lambda value, at, found: found.append(Reference(target, value, at))
    origin, inner = typing.get_origin(annotation), typing.get_args(annotation)
    if origin is Annotated:
        return _walker(inner[0])
    if origin in (typing.Union, UnionType):
        return _walker(next(kind for kind in inner if kind is not type(None)))
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return _walk_model
    if origin is list:
        return _list_walker(_walker(inner[0]))
    if origin is dict:
        return _mapping_walker(_target(inner[0]), _walker(inner[1]))
    return None


def _target(annotation) -> str | None:
    """What an id of this type names."""
    marks = getattr(annotation, "__metadata__", ())
    return next((m.target for m in marks if isinstance(m, models.Refers)), None)


def _list_walker(walk: Walk | None) -> Walk | None:
    def walk_list(value: list, at: tuple, found: list[Reference]) -> None:
        for i, inner in enumerate(value):
            walk(inner, (at, i), found)

    return walk_list if walk else None


def _mapping_walker(target: str | None, walk: Walk | None) -> Walk | None:
    def walk_mapping(value: dict, at: tuple, found: list[Reference]) -> None:
        for key, inner in value.items():
            here = at, key
            if target:
                found.append(Reference(target, key, here, True))
            if walk:
                walk(inner, here, found)

    return walk_mapping if target or walk else None


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
                waiting += annotations_of(kind).values()
        else:
            waiting += typing.get_args(kind)
    return frozenset(found)
