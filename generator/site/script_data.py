"""What the scripts of the pages read: for each file that a script loads, the text in it."""

from __future__ import annotations

from collections.abc import Iterator

from generator.site import compare, find, find_index, leaflet, only_have, watch_sheet
from generator.site.calculators import material_values, unit_spellings
from generator.site.page import Site
from generator.site.pages.contact import PAIRS
from generator.site.pages.training import questions_script
from generator.site.pictures import drawings, swatches
from generator.verdicts import identify


def of(site: Site) -> Iterator[dict[str, str]]:
    """The files one after the other, those of one module together."""
    yield _find_box(site)
    yield {"assets/values.js": material_values(site)}
    yield {"assets/units.js": unit_spellings(site.knowledge)}
    yield leaflet.scripts(site.knowledge, site.view, site.verdicts)
    yield {"assets/identify-data.js": identify.as_script(site.signs)}
    yield {"assets/swatches.js": swatches.script(site.colours)}
    yield {"assets/compare-data.js": compare.as_script(compare.data(site))}
    yield watch_sheet.scripts(site)
    yield only_have.scripts(site)
    yield {"assets/questions-data.js": questions_script(site)}


def _find_box(site: Site) -> dict[str, str]:
    knowledge = site.knowledge
    return find_index.scripts(
        find.entries(knowledge, site.view, site.tables, list(site.families)),
        knowledge.words("languages"),
        frozenset(drawings.files(knowledge)),
        [each.words for each in knowledge.words("same_words").values()],
        knowledge.words("leanings"),
        {PAIRS: _groups_in_contact(site)},
    )


def _groups_in_contact(site: Site) -> dict[str, str]:
    """The group of each metal on the page of metals in contact, by the metal's address."""
    return {
        site.view.address("material", material): group
        for group, materials in site.contacts.members.items()
        for material in materials
    }
