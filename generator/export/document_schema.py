"""The JSON Schema of the published data."""

from __future__ import annotations

SCHEMA_ID = "knowledge.schema.json"


_NUMBER = {
    "type": ["object", "null"],
    "required": ["value", "text"],
    "additionalProperties": False,
    "properties": {
        "value": {"type": "number"},
        "text": {"type": "string", "pattern": r"^-?\d+(\.\d+)?$"},
    },
}
_STRINGS = {"type": "array", "items": {"type": "string"}}
_NAMED = {
    "id": {"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"},
    "name": {"type": "string", "minLength": 1},
}


def _listed(required: list[str], properties: dict) -> dict:
    return {
        "type": "array",
        "items": {
            "type": "object",
            "required": ["id", *required],
            "properties": {**_NAMED, **properties},
        },
    }


_FIGURE = {
    "type": "object",
    "additionalProperties": False,
    "required": ["property", "state", "kind", "low", "high", "unit", "sources", "layer"],
    "properties": {
        "property": {"type": "string"},
        "state": {"type": ["string", "null"]},
        "kind": {"enum": ["typical", "range", "at_least", "at_most"]},
        "low": _NUMBER,
        "high": _NUMBER,
        "unit": {"type": "string"},
        "over": {"type": ["array", "null"], "items": {"type": "string"}},
        "note": {"type": ["string", "null"]},
        "sources": {**_STRINGS, "minItems": 1},
        "evidence": {
            "enum": ["own", "converted", "computed", "borrowed", "memory"],
            "description": "what the figure rests on, from strong to weak",
        },
        "of": {"type": ["string", "null"], "description": "the relative it is borrowed from"},
        "layer": {"type": "boolean", "description": "true: from a workshop's own layer"},
    },
}
_DESIGNATION = {
    "type": "object",
    "required": ["system", "code"],
    "properties": {"system": {"type": "string"}, "code": {"type": "string"}},
}
_ROW = {
    "type": "object",
    "required": ["material", "state", "cells"],
    "properties": {"cells": {"type": "object"}},
}


def _collections() -> dict:
    """What each member of the document holds."""
    return {
        "edition": {"type": "string", "format": "date"},
        "materials": _listed(
            ["name", "family", "designations", "also_called", "cautions", "figures"],
            {
                "cautions": _STRINGS,
                "family": {"type": "string"},
                "designations": {"type": "array", "items": _DESIGNATION},
                "also_called": _STRINGS,
                "names": {"type": "object", "additionalProperties": _STRINGS},
                "figures": {"type": "array", "items": _FIGURE},
            },
        ),
        "parts": _listed(["name", "zone", "demands", "usual"], {}),
        "hazards": _listed(["name", "rules"], {}),
        "processes": _listed(["name", "steps", "cautions"], {"cautions": _STRINGS}),
        "tables": _listed(["title", "columns", "rows"], {"rows": {"type": "array", "items": _ROW}}),
        "formulas": _listed(["name", "symbols", "expression", "result"], {}),
        "watches": _listed(["name", "parts", "joins"], {}),
        "sayings": _listed(["name", "judged", "because"], {}),
        "lessons": _listed(["name", "questions"], {}),
        "tasks": _listed(["name", "samples", "do", "passed"], {}),
        "cases": _listed(["name", "story", "questions"], {}),
        "weeks": _listed(["name", "lessons", "tasks", "cases"], {}),
        "cautions": _listed(["name", "danger", "do", "authority"], {}),
        "first_aid": _listed(["name", "do", "then", "sources"], {}),
        "sources": _listed(["title", "publisher", "kind"], {}),
    }


def schema() -> dict:
    """The JSON Schema (2020-12) of knowledge.json."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": SCHEMA_ID,
        "title": "Arbor & Case, published data",
        "type": "object",
        "required": [
            "title",
            "edition",
            "materials",
            "parts",
            "hazards",
            "processes",
            "tables",
            "sources",
        ],
        "properties": _collections(),
    }
