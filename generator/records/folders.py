"""Which folder or file of knowledge/ holds which kind of record."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from pydantic import BaseModel

from generator.records import models

# One record a file: folder -> (kind, model). Several folders may hold one kind.
RECORD_FOLDERS: Mapping[str, tuple[str, type[models.Record]]] = MappingProxyType(
    {
        "alloys": ("material", models.Material),
        "nonmetals": ("material", models.Material),
        "coatings": ("material", models.Material),
        "parts": ("part", models.Part),
        "hazards": ("hazard", models.Hazard),
        "processes": ("process", models.Process),
        "formulas": ("formula", models.Formula),
        "sayings": ("saying", models.Saying),
        "lessons": ("lesson", models.Lesson),
        "watches": ("watch", models.Watch),
    }
)
# Many entries a file: file (without .yaml) -> model of one entry.
LISTS: Mapping[str, type[BaseModel]] = MappingProxyType(
    {
        "vocabulary/languages": models.Language,
        "vocabulary/state_names": models.StateName,
        "vocabulary/phrases": models.Entry,
        "vocabulary/read_back": models.ReadBack,
        "vocabulary/classes": models.MaterialClass,
        "vocabulary/families": models.Family,
        "vocabulary/sides": models.Entry,
        "vocabulary/zones": models.Zone,
        "vocabulary/activities": models.Activity,
        "vocabulary/customer_names": models.CustomerName,
        "vocabulary/leaflet_limits": models.LeafletLimit,
        "vocabulary/observations": models.Observation,
        "vocabulary/bench_tests": models.BenchTest,
        "vocabulary/elimination": models.NamedFigure,
        "vocabulary/units": models.Unit,
        "vocabulary/asked_units": models.AskedUnit,
        "vocabulary/asked_for": models.AskedFor,
        "vocabulary/same_words": models.SameWords,
        "vocabulary/leanings": models.Leaning,
        "vocabulary/property_groups": models.Entry,
        "vocabulary/properties": models.Property,
        "vocabulary/systems": models.DesignationSystem,
        "vocabulary/colours": models.Entry,
        "vocabulary/magnetism": models.Entry,
        "vocabulary/traits": models.Entry,
        "vocabulary/ratings": models.Entry,
        "vocabulary/workings": models.Entry,
        "vocabulary/exposure_verdicts": models.Entry,
        "vocabulary/rungs": models.Entry,
        "vocabulary/prices": models.Price,
        "vocabulary/forms": models.Entry,
        "vocabulary/severities": models.Entry,
        "vocabulary/mechanisms": models.Mechanism,
        "vocabulary/process_groups": models.Entry,
        "vocabulary/formula_groups": models.Entry,
        "vocabulary/source_kinds": models.SourceKind,
        "vocabulary/elements": models.Element,
        "vocabulary/plating_metals": models.PlatingMetal,
        "vocabulary/judgements": models.Entry,
        "vocabulary/marks": models.Mark,
        "vocabulary/hardness_table": models.HardnessRow,
        "vocabulary/temper_colours": models.TemperColour,
        "vocabulary/glossary": models.Term,
        "vocabulary/sea_water_series": models.SeriesPlace,
        "vocabulary/contact_degrees": models.Entry,
        "vocabulary/contact_situations": models.ContactSituation,
        "vocabulary/usual_contacts": models.UsualContact,
        "vocabulary/joins": models.JoinWay,
        "vocabulary/galling": models.Galling,
        "vocabulary/purposes": models.Purpose,
        "vocabulary/baths": models.Bath,
        "vocabulary/daylight": models.Daylight,
        "vocabulary/optical_constants": models.OpticalConstants,
        "vocabulary/films": models.Film,
        "vocabulary/metal_colours": models.MetalColour,
        "vocabulary/tints": models.Tint,
        "vocabulary/anodic_colours": models.AnodicColour,
        "vocabulary/rate_pairs": models.RatePair,
        "vocabulary/part_drawings": models.Drawn,
        "vocabulary/damage_drawings": models.DamageDrawing,
        "cautions": models.Caution,
        "first_aid": models.FirstAid,
        "training/tasks": models.Task,
        "training/cases": models.Case,
        "training/weeks": models.Week,
        "jobs": models.Job,
    }
)
SOURCES = (
    "sources"  # a folder of lists, one file a trade, so that two people can add sources at once
)
EDITIONS = (
    "editions"  # what each edition changed, one file an edition, written by the verb of that name
)
KEY_PATTERNS = {
    "vocabulary/units": ".+",
    "vocabulary/daylight": "[0-9]{3}",
    "vocabulary/elements": "[A-Z][a-z]?",
    "vocabulary/glossary": ".+",
    "vocabulary/languages": "[a-z]{2,3}(-[A-Z]{2})?",
    "vocabulary/state_names": ".+",
}
