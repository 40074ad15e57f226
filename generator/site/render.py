"""Every page of the site, in order, and the navigation."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import chain

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
    owner_lines_pages,
)
from generator.site.pages.training import training_pages
from generator.site.pages.watch import watch_page
from generator.site.pages.watch_sheet import TITLE as IN_HAND
from generator.site.pages.watch_sheet import watch_sheet_page

RECORDS = {  # collection of the knowledge -> what draws the page of one of its records
    "hazards": hazard_page,
    "processes": process_page,
    "formulas": formula_page,
    "sayings": saying_page,
    "lessons": lesson_page,
    "watches": watch_page,
}
SINGLE = (  # what draws one page or several of all records
    lookup_pages,
    job_pages,
    training_pages,
    matrix_pages,
    pairs_page,
    index_pages,
    map_page,
    gallery_page,
    poster_pages,
    leaflet_page,
    owner_lines_pages,
    compare_page,
    identify_page,
    watch_sheet_page,
    names_pages,
    sources_pages,
    glossary_page,
    cautions_pages,
    first_aid_pages,
    coverage_page,
)
Maker = tuple  # a function that draws a page or several, and the id that it wants beside the site


def render(
    site: Site, taken: Callable[[list[Maker]], Iterator[Maker]] = iter
) -> tuple[Iterator[Page], Iterator[Page]]:
    """Every generated page of the site, in two shares that may be drawn at the same time: materials
    and parts, and all others.

    Whoever draws the first helps with the second. ``taken`` hands its pages out, each once.
    """
    others = taken(list(_all_others(site)))
    return _drawn(site, chain(_of_materials_and_parts(site), others)), _drawn(site, others)


def one(site: Site, file: str) -> Page | None:
    """One page alone; None where no earlier build of this process drew it, or it is no more."""
    maker = site.kept.makers.get(file)
    if maker not in {*_of_materials_and_parts(site), *_all_others(site)}:
        return None
    return next((page for page in _pages(site, maker) if page.file == file), None)


def _drawn(site: Site, makers: Iterable[Maker]) -> Iterator[Page]:
    for maker in makers:
        for page in _pages(site, maker):
            site.kept.makers[page.file] = maker
            yield page


def _pages(site: Site, maker: Maker) -> Iterable[Page]:
    draw, *key = maker
    made = draw(site, *key)
    return [made] if isinstance(made, Page) else made


def _of_materials_and_parts(site: Site) -> Iterator[Maker]:
    """These show the same verdicts, so they belong together; and the page that tells which of
    their cards are current."""
    yield from ((material_page, key) for key in site.knowledge.materials)
    yield from ((part_page, key) for key in site.knowledge.parts)
    yield (editions_page,)


def _all_others(site: Site) -> Iterator[Maker]:
    """The longest first, so that nobody waits for it at the end."""
    yield from ((measure_page,), (queue_page,))
    for collection, draw in RECORDS.items():
        yield from ((draw, key) for key in getattr(site.knowledge, collection))
    yield from ((table_page, key) for key in site.tables)
    yield from ((mark_page, key) for key in site.knowledge.words("marks"))
    yield from ((draw,) for draw in SINGLE)


NAVIGATION = [
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


def navigation() -> list:
    """MkDocs' nav, which is the menu of every page: one line per kind of page, in five groups."""
    return NAVIGATION
