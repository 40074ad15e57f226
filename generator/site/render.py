"""Every page of the site, in order, and the navigation."""

from __future__ import annotations

from collections.abc import Iterator

from generator.site.page import EDITIONS, GALLERY, KIND_TITLES, MEASURE, QUEUE, Page, Site
from generator.site.pages.contact import pairs_page
from generator.site.pages.editions import editions_page
from generator.site.pages.formula import formula_page
from generator.site.pages.gallery import gallery_page
from generator.site.pages.hazard import hazard_page
from generator.site.pages.indexes import index_pages
from generator.site.pages.job import job_pages
from generator.site.pages.learning import lesson_page, saying_page
from generator.site.pages.lists import (
    coverage_page,
    glossary_page,
    names_pages,
    sources_pages,
)
from generator.site.pages.lookup import lookup_pages
from generator.site.pages.mark import mark_page
from generator.site.pages.material import material_page
from generator.site.pages.matrix import matrix_pages
from generator.site.pages.measure import measure_page
from generator.site.pages.part import part_page
from generator.site.pages.poster import poster_pages
from generator.site.pages.process import process_page
from generator.site.pages.queue import queue_page
from generator.site.pages.safety import cautions_pages, first_aid_pages
from generator.site.pages.table import table_page
from generator.site.pages.tools import (
    COMPARE,
    IDENTIFY,
    LEAFLET,
    MAP,
    compare_page,
    identify_page,
    leaflet_page,
    map_page,
)
from generator.site.pages.training import training_pages
from generator.site.pages.watch import watch_page
from generator.site.pages.watch_sheet import TITLE as IN_HAND
from generator.site.pages.watch_sheet import watch_sheet_page


def render(site: Site) -> tuple[Iterator[Page], Iterator[Page]]:
    """Every generated page of the site, in two shares of like work that may be drawn at the same
    time."""
    return _of_materials_and_parts(site), _all_others(site)


def _of_materials_and_parts(site: Site) -> Iterator[Page]:
    """These show the same verdicts, so they belong together; and the page that tells which of
    their cards are current."""
    for key in site.knowledge.materials:
        yield material_page(site, key)
    for key in site.knowledge.parts:
        yield part_page(site, key)
    yield editions_page(site)


def _all_others(site: Site) -> Iterator[Page]:
    for key in site.knowledge.hazards:
        yield hazard_page(site, key)
    for key in site.knowledge.processes:
        yield process_page(site, key)
    for key in site.knowledge.formulas:
        yield formula_page(site, key)
    for table in site.tables.values():
        yield table_page(site, table)
    yield from lookup_pages(site)
    yield from job_pages(site)
    for key in site.knowledge.sayings:
        yield saying_page(site, key)
    for key in site.knowledge.lessons:
        yield lesson_page(site, key)
    for key in site.knowledge.watches:
        yield watch_page(site, key)
    yield from training_pages(site)
    yield from matrix_pages(site)
    yield pairs_page(site)
    for key in site.knowledge.words("marks"):
        yield mark_page(site, key)
    yield from index_pages(site)
    yield map_page(site)
    yield gallery_page(site)
    yield from poster_pages(site)
    yield leaflet_page(site)
    yield compare_page(site)
    yield identify_page(site)
    yield watch_sheet_page(site)
    yield from names_pages(site)
    yield from sources_pages(site)
    yield glossary_page(site)
    yield from cautions_pages(site)
    yield from first_aid_pages(site)
    yield coverage_page(site)
    yield queue_page(site)
    yield measure_page(site)


def navigation() -> list:
    """MkDocs' nav, which is the menu of every page: one line per kind of page, in five groups."""
    return [
        {"Start": "index.md"},
        {
            "Look up": [
                {"Parts": "parts/index.md"},
                {MAP: "map.md"},
                {KIND_TITLES["watch"]: "watches/index.md"},
                {"Materials": "materials/index.md"},
                {"Hazards": "hazards/index.md"},
                {"Tables": "tables/index.md"},
                {"Metals in contact": "tables/pairs.md"},
                {GALLERY: "pictures.md"},
                {"A to Z": "names.md"},
            ]
        },
        {
            "At the bench": [
                {IN_HAND: "watch-sheet.md"},
                {IDENTIFY: "identify.md"},
                {COMPARE: "compare.md"},
                {"Work": "processes/index.md"},
                {"Calculations": "formulas/index.md"},
                {LEAFLET: "leaflet.md"},
            ]
        },
        {"Safety": [{"First aid": "first-aid.md"}, {"Cautions": "cautions.md"}]},
        {
            "Learn": [
                {"Lessons": "lessons/index.md"},
                {"Bench sayings: true or false?": "sayings/index.md"},
                {"Glossary": "glossary.md"},
            ]
        },
        {
            "About": [
                {"How to read the numbers": "about.md"},
                {"Coverage": "coverage.md"},
                {QUEUE: "queue.md"},
                {MEASURE: "measure.md"},
                {"Sources": "sources.md"},
                {EDITIONS: "editions.md"},
            ]
        },
    ]
