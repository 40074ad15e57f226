"""What every page kind shares: the page itself, the site that draws it, titles and addresses."""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from markupsafe import escape

from generator.checks.settling import Settling
from generator.numbers import quantities
from generator.numbers.colour import Colours
from generator.numbers.values import Values
from generator.records import models
from generator.records.knowledge import KINDS, Knowledge, mentions
from generator.site import print_layout, watch_map
from generator.site.kept_pages import KeptPages
from generator.site.texts import plain_text, sentence
from generator.site.view import View
from generator.tables.cells import Table
from generator.upkeep import editions
from generator.verdicts import identify
from generator.verdicts.conditions import cautions_of_material, cautions_of_process
from generator.verdicts.contact import Contacts
from generator.verdicts.verdicts import Verdicts

KIND_TITLES = {
    "material": "Materials",
    "part": "Parts",
    "hazard": "Hazards",
    "process": "Work",
    "formula": "Calculations",
    "table": "Tables",
    "saying": "Sayings",
    "lesson": "Lessons",
    "watch": "Kinds of watch",
}


INDEXES = {
    "material": "materials/index.html",
    "part": "parts/index.html",
    "hazard": "hazards/index.html",
    "process": "processes/index.html",
    "formula": "formulas/index.html",
    "table": "tables/index.html",
    "saying": "sayings/index.html",
    "lesson": "lessons/index.html",
    "watch": "watches/index.html",
}


SECTIONS = '<nav class="sections"></nav>'


# A pattern that begins with fixed letters is looked for ten times as fast.
_HEADINGS = (
    re.compile(r"## (?<=\n## )(?P<title>.+?) \{: #(?P<id>[a-z-]+) \}$", re.MULTILINE),
    re.compile(r'<h2 id="(?P<id>[a-z-]+)">(?P<title>.+?)</h2>'),
)


@dataclass(frozen=True)
class Page:
    """One Markdown page: its file below build/pages, its title, and its text without front
    matter."""

    file: str
    title: str
    description: str
    body: str
    wide: bool = False  # True: no list of sections beside it, the table needs the room
    lang: str = ""  # tag of the language of its title, where it is not that of the records

    def text(self) -> str:
        """The page as MkDocs reads it.

        The title is escaped here because the theme writes it as it is.
        """
        front = {
            "title": str(escape(plain_text(sentence(self.title)))),
            "description": str(escape(plain_text(self.description))),
        }
        if self.lang:
            front["lang"] = self.lang
        if folds(self.body):  # their headings are no Markdown, so MkDocs cannot list them
            front["sections"] = [[key, title] for key, title in sections(self.body)]
        if self.wide:
            front["hide"] = ["toc"]
        lines = "".join(
            f"{key}: {as_json(value)}\n" for key, value in front.items()
        )  # JSON is YAML
        return f"---\n{lines}---\n\n{self.body}"


class Site:
    """What the page functions share: one knowledge, one view, and the back-links."""

    def __init__(
        self,
        knowledge: Knowledge,
        values: Values,
        tables: dict[str, Table],
        verdicts: Verdicts,
        templates: Path,
        cache: Path | None = None,
        base: str = "",
        kept: KeptPages | None = None,
    ):
        """``base`` is the http address that the site has on a server, empty when it has none."""
        self.base, self.kept = base.rstrip("/"), kept or KeptPages()
        self.knowledge, self.values, self.tables, self.verdicts = (
            knowledge,
            values,
            tables,
            verdicts,
        )
        self.view = View(
            knowledge,
            templates,
            {**{t.id: t.title for t in tables.values()}, **MATRICES},
            cache,
            self.kept,
        )
        self.families = grouped(
            knowledge.materials, lambda m: m.family, knowledge.words("families")
        )
        self.zones = grouped(knowledge.parts, lambda r: r.zone, knowledge.words("zones"))
        self.groups = grouped(
            knowledge.processes, lambda r: r.group, knowledge.words("process_groups")
        )
        self.formula_groups = grouped(
            knowledge.formulas, lambda r: r.group, knowledge.words("formula_groups")
        )
        self.fields = verdicts.fields
        self.mates = {key: mates(knowledge, part) for key, part in knowledge.roles.items()}
        self.contacts = Contacts(knowledge)
        self.colours = Colours(knowledge, cache and cache.with_name("colours.txt"))
        self.spans: dict[str, dict] = {}  # property -> its figure for every metal
        # families in their order, then names
        self.rank = {m: i for i, m in enumerate(m for keys in self.families.values() for m in keys)}
        self.in_tables = tables_by_material(tables)
        self.choices = self._choices()
        self.marks = watch_map.marks(knowledge, self.view, self.zones)
        self.cards: dict[
            str, str
        ] = {}  # page of each card that was drawn -> digest of what it says
        self._stamped = editions.cards_of(knowledge)
        self.signs = identify.data(knowledge, values, verdicts.judge)

    @cached_property
    def mentions(self):
        """Which pages name a record, by kind and id."""
        return mentions(self.knowledge)

    @cached_property
    def settling(self) -> Settling:
        """What figures decide."""
        return Settling(self.verdicts, self.tables, self.signs)

    def _choices(self):
        """Material id -> the parts, and settings of parts, that name it as usual or wrong."""
        found = defaultdict(lambda: {"usual": [], "wrong": []})
        for key, part in self.knowledge.roles.items():
            for name in ("usual", "wrong"):
                for choice in getattr(part, name):
                    found[choice.material][name].append((key, choice))
                    if choice.coated and name == "usual":
                        found[choice.coated][name].append((key, choice))
        return found

    def note_card(self, address: str, texts: list[str]) -> None:
        """Keep the digest of a card, and whether it differs from the last edition."""
        page = address.removesuffix(".html")
        self.cards[page] = editions.digest(texts)
        if self._stamped and self._stamped.get(page, ("", ""))[1] != self.cards[page]:
            self.view.drafts.add(address)

    def cautions(
        self, record: models.Record, material: str | None = None, process: str | None = None
    ) -> list[tuple[str, models.Caution]]:
        """The cautions named by a record, and those that apply to a material or a process by
        themselves, in the order of the list."""
        named = set(record.cautions)
        if material:
            named |= cautions_of_material(self.knowledge, material)
        if process:
            named |= cautions_of_process(self.knowledge, process)
        return self.cautions_named(named)

    def cautions_named(self, named: Collection[str]) -> list[tuple[str, models.Caution]]:
        """These cautions, in the order of the list."""
        return [(c, entry) for c, entry in self.knowledge.cautions.items() if c in named]

    def mentioned(self, kind: str, key: str) -> list[tuple[str, list]]:
        """Who mentions a record, grouped by kind."""
        by = self.mentions.get((kind, key), [])
        return [
            (KIND_TITLES[k], [pair for pair in by if pair[0] == k])
            for k in KINDS
            if any(pair[0] == k for pair in by)
        ]


def mates(knowledge: Knowledge, part: models.Part) -> list[models.Record]:
    """The parts that a part is joined to, and the usual materials of those."""
    joined = [knowledge.parts[d.mate.part] for d in part.demands if d.mate]
    return [*joined, *(knowledge.materials[c.material] for mate in joined for c in mate.usual)]


def tables_by_material(tables: dict[str, Table]) -> dict[str, list[tuple[str, str]]]:
    found: dict[str, dict] = defaultdict(dict)
    for table in tables.values():
        for row in table.rows:
            found[row.material][table.id, table.title] = None
    return {material: list(of_it) for material, of_it in found.items()}


def grouped(records, group_of, order) -> dict[str, list[str]]:
    groups = {name: [] for name in order}
    for key in sorted(records, key=lambda k: records[k].name.casefold()):
        groups[group_of(records[key])].append(key)
    return {name: keys for name, keys in groups.items() if keys}


def card_choices(site: Site, address: str, record, lines, choices, figures=(), parts=()) -> dict:
    """What the template needs for the printed card: its lines, letter size and sides, and the code
    that leads to the page.

    Notes
    its digest.
    """
    top = [record.name, record.summary, *(str(t) for row in figures for t in row)]
    for c in choices:
        top += [
            site.knowledge.materials[c.material].name,
            c.state or "",
            c.coated or "",
            "a part or source",
            c.why,
        ]
    site.note_card(
        address, [*top, *(t for line in lines for t in line), *parts, *(c.source for c in choices)]
    )
    top += [" " * print_layout.CODE_LETTERS] if site.base else []
    size, sides = print_layout.card_size(top, [t for line in lines for t in line])
    return {
        "lines": lines,
        "size": size,
        "sides": sides,
        "title": record.name,
        "code": print_layout.code(f"{site.base}/{address}") if site.base else "",
    }


def trail(kind: str, between: list, last: str) -> list:
    return [("Start", "index.html"), (KIND_TITLES[kind], INDEXES[kind]), *between, (last, "")]


def record_page(address: str, record, body: str) -> Page:
    return Page(
        address.removesuffix(".html") + ".md", record.name, record.summary, with_sections(body)
    )


def with_sections(body: str) -> str:
    """The page with links to its sections where its template leaves room for them."""
    links = "".join(f'<li><a href="#{key}">{title}</a></li>\n' for key, title in sections(body))
    return body.replace(
        SECTIONS,
        f'<nav class="sections" aria-label="On this page"><ul class="links">{links}</ul></nav>',
        1,
    )


def sections(body: str) -> Iterator[tuple[str, str]]:
    """(place, heading) of each section, open or folded; headings are fixed words of templates."""
    found = [heading for pattern in _HEADINGS for heading in pattern.finditer(body)]
    for heading in sorted(found, key=lambda h: h.start()):
        yield heading["id"], heading["title"]


def folds(body: str) -> bool:
    """Whether a section of the page is folded under its heading."""
    return '<details class="fold"' in body


def as_json(value) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


GALLERY = "In pictures"


MATRICES = {
    "matrix-parts-outside": "Outside parts and materials",
    "matrix-parts-movement": "Movement parts and materials",
    "matrix-hazards": "Hazards and materials",
    "pairs": "Metals in contact",
}


def mark_title(knowledge: Knowledge, key: str) -> str:
    """The title of a mark's page: `Gold 750 (18 ct)`."""
    mark = knowledge.words("marks")[key]
    carat = f" ({quantities.number_text(mark.carat)} ct)" if mark.carat is not None else ""
    return (
        f"{sentence(knowledge.words('elements')[mark.metal].name)}"
        f" {quantities.number_text(mark.fineness)}{carat}"
    )


def slug(text: str) -> str:
    """Letters and digits with hyphens between, for anchors."""
    return "-".join("".join(c if c.isalnum() else " " for c in text.casefold()).split())


EDITIONS = "What changed"
QUEUE = "What to look at next"
MEASURE = "What to measure next"
