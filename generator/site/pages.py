"""Receives knowledge, tables and judgements; hands on Markdown pages, each with its address and
front matter.

One function a page kind. Pages hold HTML blocks between Markdown headings: the headings feed the
theme's list of sections, the blocks are escaped by the templates, so that text from a record can
never become markup.
"""

from __future__ import annotations

import json
import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from markupsafe import Markup, escape

from generator.checks.claims import quantity_of
from generator.checks.rules import example_agrees, figures_of
from generator.numbers import quantities
from generator.numbers.formulas import compile_expression, evaluate_quantities, for_browser
from generator.numbers.quantities import Quantity
from generator.numbers.values import Values
from generator.records import models
from generator.records.knowledge import COLLECTIONS, KINDS, Knowledge, mentions
from generator.records.recent import Recent
from generator.site import leaflet, pictures, print_layout, watch_map
from generator.site.view import View, any_of, plain_text, sentence, share_text, sort_text
from generator.tables.derivations import Derivation, derivations, number_of
from generator.tables.tables import Computed, Table
from generator.upkeep import editions
from generator.verdicts import identify, wording
from generator.verdicts.candidates import MOST, near
from generator.verdicts.conditions import applies
from generator.verdicts.fit import (
    CARE,
    LIMITS,
    SUITS,
    Cell,
    Exposure,
    Fit,
    Replacement,
    Verdicts,
    replacements,
)

KIND_TITLES = {
    "material": "Materials",
    "part": "Parts",
    "hazard": "Hazards",
    "process": "Work",
    "formula": "Calculations",
    "table": "Tables",
    "saying": "Sayings",
    "lesson": "Lessons",
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
}
PROVES = {
    "independent": "Published",
    "partly-from-memory": "Published, recalled in part",
    "circular": "Inputs were fitted to the printed answer",
    "definition": "By definition or arithmetic",
    "wrong": "A printed answer that is wrong",
}
SECTIONS = '<nav class="sections"></nav>'
_HEADING = re.compile(r"^## (.+?) \{: #([a-z-]+) \}$", re.MULTILINE)
BASIC = (
    "density",
    "hardness",
    "proof-strength",
    "tensile-strength",
    "elastic-modulus",
    "expansion",
    "melting-range",
)
BASIC_FOR = {
    "metal": BASIC,
    "coating": ("thickness", "hardness"),
    "ceramic": ("density", "hardness", "elastic-modulus", "expansion"),
    "glass": ("density", "hardness", "expansion"),
    "plastic": ("density", "tensile-strength", "service-temperature"),
    "elastomer": ("hardness", "service-temperature", "lowest-service-temperature"),
    "organic": (),
}


@dataclass(frozen=True)
class Page:
    """One Markdown page: its file below build/pages, its title, and its text without front
    matter."""

    file: str
    title: str
    description: str
    body: str
    listed: bool = False  # True: stands in the navigation
    wide: bool = False  # True: no list of sections beside it, the table needs the room

    def text(self) -> str:
        """The page as MkDocs reads it.

        The title is escaped here because the theme writes it as it is.
        """
        front = {
            "title": str(escape(plain_text(sentence(self.title)))),
            "description": str(escape(plain_text(self.description))),
        }
        hidden = [*([] if self.listed else ["navigation"]), *(["toc"] if self.wide else [])]
        if hidden:
            front["hide"] = hidden
        lines = "".join(f"{key}: {_json(value)}\n" for key, value in front.items())  # JSON is YAML
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
    ):
        """``base`` is the http address that the site has on a server, empty when it has none."""
        self.base = base.rstrip("/")
        self.knowledge, self.values, self.tables, self.verdicts = (
            knowledge,
            values,
            tables,
            verdicts,
        )
        self.view = View(
            knowledge, templates, {**{t.id: t.title for t in tables.values()}, **MATRICES}, cache
        )
        self.mentions = mentions(knowledge)
        self.families = _grouped(
            knowledge.materials, lambda m: m.family, knowledge.words("families")
        )
        self.zones = _grouped(knowledge.parts, lambda r: r.zone, knowledge.words("zones"))
        self.groups = _grouped(
            knowledge.processes, lambda r: r.group, knowledge.words("process_groups")
        )
        self.formula_groups = _grouped(
            knowledge.formulas, lambda r: r.group, knowledge.words("formula_groups")
        )
        self.fields = verdicts.fields
        # families in their order, then names
        self.rank = {m: i for i, m in enumerate(m for keys in self.families.values() for m in keys)}
        self.in_tables = _by_material(tables)
        self.choices = self._choices()
        self.marks = watch_map.marks(knowledge, self.view, self.zones)
        self._reasons = Recent(20_000)
        self.cards: dict[
            str, str
        ] = {}  # page of each card that was drawn -> digest of what it says
        self._stamped = editions.cards_of(knowledge)
        self.signs = identify.data(knowledge, values, verdicts.judge)

    def _choices(self):
        """Material id -> the parts that name it as usual or wrong."""
        found = defaultdict(lambda: {"usual": [], "wrong": []})
        for key, part in self.knowledge.parts.items():
            for name in ("usual", "wrong"):
                for choice in getattr(part, name):
                    found[choice.material][name].append((key, choice))
                    if choice.coated and name == "usual":
                        found[choice.coated][name].append((key, choice))
        return found

    def reasons(self, fit: Fit) -> list[str]:
        """The reasons that weigh most, one for what does not suit; asked for by the page of the
        part and by that of the material."""
        most = 3 if fit.verdict in (SUITS, CARE) else 1
        return self._reasons.get_or(
            (fit.part, fit.material, fit.state, fit.coated),
            lambda: wording.reasons(self.knowledge, fit, most),
        )

    def note_card(self, address: str, texts: list[str]) -> None:
        """Keep the digest of a card, and whether it differs from the last edition."""
        page = address.removesuffix(".html")
        self.cards[page] = editions.digest(texts)
        if self._stamped and self._stamped.get(page, ("", ""))[1] != self.cards[page]:
            self.view.drafts.add(address)

    def cautions(
        self, record: models.Record, material: str | None = None
    ) -> list[tuple[str, models.Caution]]:
        """The cautions named by a record, and those that apply to a material by themselves, in the
        order of the list."""
        named = set(record.cautions)
        if material:
            named |= {
                c
                for c, entry in self.knowledge.cautions.items()
                if any(applies(self.knowledge, w, material) for w in entry.applies)
            }
        return [(c, entry) for c, entry in self.knowledge.cautions.items() if c in named]

    def mentioned(self, kind: str, key: str) -> list[tuple[str, list]]:
        """Who mentions a record, grouped by kind."""
        by = self.mentions.get((kind, key), [])
        return [
            (KIND_TITLES[k], [pair for pair in by if pair[0] == k])
            for k in KINDS
            if any(pair[0] == k for pair in by)
        ]


def _by_material(tables: dict[str, Table]) -> dict[str, list[tuple[str, str]]]:
    found: dict[str, dict] = defaultdict(dict)
    for table in tables.values():
        for row in table.rows:
            found[row.material][table.id, table.title] = None
    return {material: list(of_it) for material, of_it in found.items()}


def _grouped(records, group_of, order) -> dict[str, list[str]]:
    groups = {name: [] for name in order}
    for key in sorted(records, key=lambda k: records[k].name.casefold()):
        groups[group_of(records[key])].append(key)
    return {name: keys for name, keys in groups.items() if keys}


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
    for key in site.knowledge.sayings:
        yield saying_page(site, key)
    for key in site.knowledge.lessons:
        yield lesson_page(site, key)
    yield from matrix_pages(site)
    yield pairs_page(site)
    for key in site.knowledge.words("marks"):
        yield mark_page(site, key)
    yield from index_pages(site)
    yield map_page(site)
    yield leaflet_page(site)
    yield compare_page(site)
    yield identify_page(site)
    yield from names_pages(site)
    yield from sources_pages(site)
    yield from (glossary_page(site), cautions_page(site), coverage_page(site))


def navigation(site: Site) -> list:
    """MkDocs' nav: indexes only, so that no page carries the whole menu."""

    def listed(title, index, folder, keys, words):
        return {
            title: [
                index,
                *(
                    {
                        sentence(
                            words[k].plural if folder == "families" else words[k].name
                        ): f"{folder}/{k}.md"
                    }
                    for k in keys
                ),
            ]
        }

    words = site.knowledge.words
    parts = listed("Parts", "parts/index.md", "zones", site.zones, words("zones"))
    parts["Parts"].insert(1, {MAP: "map.md"})
    return [
        {"Start": "index.md"},
        parts,
        listed("Materials", "materials/index.md", "families", site.families, words("families")),
        {"Hazards": "hazards/index.md"},
        {"Work": "processes/index.md"},
        {
            "Tables": [
                "tables/index.md",
                *({t.title: f"tables/{t.id}.md"} for t in site.tables.values()),
                *({title: f"tables/{t}.md"} for t, title in MATRICES.items()),
            ]
        },
        {"Calculations": "formulas/index.md"},
        {"Tools": [{COMPARE: "compare.md"}, {IDENTIFY: "identify.md"}]},
        {"Learn": [{"Lessons": "lessons/index.md"}, {"Sayings, judged": "sayings/index.md"}]},
        {
            "More": [
                {LEAFLET: "leaflet.md"},
                {"A to Z": "names.md"},
                {"Cautions": "cautions.md"},
                {"Glossary": "glossary.md"},
                {"Sources": "sources.md"},
                {"Coverage": "coverage.md"},
                {EDITIONS: "editions.md"},
                {"How to read the numbers": "about.md"},
            ]
        },
    ]


def material_page(site: Site, key: str) -> Page:
    """A material: what it is, its key figures, where it belongs, all figures with state and
    source."""
    knowledge, view, record = site.knowledge, site.view, site.knowledge.materials[key]
    address = view.address("material", key)
    family = record.family
    choices = site.choices[key]
    fit, unfit = _split([fit_row(site, "part", cells) for cells in site.verdicts.of_material(key)])
    curves = [
        {"curve": c, "svg": pictures.tempering_curve(c, view.unit(c.unit))}
        for c in record.tempering
    ]
    exposure, cautions, key_rows = (
        exposure_rows(site, key),
        site.cautions(record, key),
        key_figures(site, key),
    )
    lines = print_layout.material_lines(
        knowledge, key, ((h, e) for h, e, _ in exposure), (c for _, c in cautions)
    )
    body = view.draw(
        "material",
        address,
        m=record,
        id=key,
        trail=_trail(
            "material", [(view.name("family", family), view.address("family", family))], record.name
        ),
        cautions=cautions,
        key=key_rows,
        usual=choices["usual"],
        wrong=choices["wrong"],
        card=_card(
            site,
            address,
            record,
            lines,
            [c for name in ("usual", "wrong") for _, c in choices[name]],
            key_rows,
            [view.name("part", part) for name in ("usual", "wrong") for part, _ in choices[name]],
        ),
        figures=figure_rows(site, key),
        missing=missing_figures(site, key),
        states=[
            {
                "id": s,
                "name": view.state_name(key, s),
                "reached": st.reached,
                "magnetism": st.magnetism,
            }
            for s, st in record.states.items()
        ],
        curves=curves,
        workings=[
            (w, record.working[w]) for w in knowledge.words("workings") if w in record.working
        ],
        designations=[(view.word("systems", d.system), d.code) for d in record.designations],
        composition=_composition(record),
        mentions=site.mentioned("material", key),
        computed_in=site.in_tables.get(key, []),
        siblings=[("material", k) for k in near(site.families[family], key)],
        exposure=exposure,
        fit=fit,
        unfit=unfit,
        signs=material_signs(site, exposure),
    )
    return _page(address, record, body)


def _card(site: Site, address: str, record, lines, choices, figures=(), parts=()) -> dict:
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


def _trail(kind: str, between: list, last: str) -> list:
    return [("Start", "index.html"), (KIND_TITLES[kind], INDEXES[kind]), *between, (last, "")]


def _page(address: str, record, body: str) -> Page:
    return Page(
        address.removesuffix(".html") + ".md", record.name, record.summary, _with_sections(body)
    )


def _with_sections(body: str) -> str:
    """The page with links to its sections where its template leaves room for them; headings are
    fixed words of templates."""
    links = "".join(
        f'<li><a href="#{key}">{title}</a></li>\n' for title, key in _HEADING.findall(body)
    )
    return body.replace(
        SECTIONS,
        f'<nav class="sections" aria-label="On this page"><ul class="links">{links}</ul></nav>',
        1,
    )


def _composition(record: models.Material) -> list[tuple[str, str]]:
    if record.composition is None or not (record.composition.shares or record.composition.balance):
        return []
    balance = [(record.composition.balance, "rest")] if record.composition.balance else []
    return [*balance, *((s, share_text(b)) for s, b in record.composition.shares.items())]


def key_figures(site: Site, key: str) -> list[tuple[str, object]]:
    """The few figures that are asked for most, for the top of the page."""
    record, view = site.knowledge.materials[key], site.view
    rows: list[tuple[str, object]] = []
    density = site.values.of(key, "density")
    if density:
        rows.append(("density", view.quantity_text(density)))
    for state, quantity in _hardness_by_state(site, key)[:4]:
        rows.append(
            (
                f"hardness, {view.state_name(key, state)}" if state else "hardness",
                view.quantity_text(quantity),
            )
        )
    for prop in ("thickness", "expansion", "service-temperature"):
        quantity = site.values.of(key, prop)
        if quantity:
            rows.append((view.property_name(prop), view.quantity_text(quantity)))
    rows.append(("a magnet", view.word("magnetism", record.magnetism)))
    if record.colour:
        rows.append(("colour", view.word("colours", record.colour)))
    return rows


def _hardness_by_state(site: Site, key: str) -> list[tuple[str | None, Quantity]]:
    found = []
    for state in site.values.states_with(key, "hardness"):
        for unit in site.knowledge.words("properties")["hardness"].units:
            quantity = site.values.of(key, "hardness", state, unit)
            if quantity:
                found.append((state, quantity))
                break
    return found


def figure_rows(site: Site, key: str) -> list[dict]:
    """All figures of a material in the order of the vocabulary, then of the states; one row a
    figure."""
    record, view = site.knowledge.materials[key], site.view
    order = {p: i for i, p in enumerate(site.knowledge.words("properties"))}
    states = {s: i for i, s in enumerate(record.states)}
    found = []
    for way, prop, figure in figures_of(record):
        state = way[1] if way[0] == "states" else ""
        found.append((order[prop], states.get(state, -1), state, prop, figure, way))
    rows, last = [], None
    for _, _, state, prop, figure, way in sorted(found, key=lambda row: row[:2]):
        quantity = quantities.of_figure(figure, figure.unit or view.property_unit(prop))
        span = (
            f"{quantities.number_text(figure.over[0])} to {quantities.number_text(figure.over[1])} degC"
            if figure.over
            else ""
        )
        note = "; ".join(t for t in (span, figure.note) if t)
        rows.append(
            {
                "name": view.property_name(prop),
                "state": view.state_name(key, state) if state else "any",
                "q": quantity,
                "source": figure.source,
                "note": note,
                "first": prop != last,
                "own": view.own_of("material", key, way),
            }
        )
        last = prop
    return rows


def missing_figures(site: Site, key: str) -> list[str]:
    """The basic properties of its class for which a material has no figure at all."""
    record = site.knowledge.materials[key]
    wanted = BASIC_FOR[site.knowledge.material_class(record)]
    have = {prop for _, prop, _ in figures_of(record)}
    return [site.view.property_name(p) for p in wanted if p not in have]


def _split(rows: list[dict]) -> tuple[list[dict], list[dict]]:
    good = [r for r in rows if r["verdict"] in (SUITS, CARE)]
    return good, [r for r in rows if r["verdict"] not in (SUITS, CARE)]


def fit_row(site: Site, kind: str, cells: list[Cell]) -> dict:
    """The best verdict of one material for one part, the states it holds in, and the working."""
    best = cells[0]
    states = [
        site.view.state_name(c.material, c.state)
        for c in cells
        if c.verdict == best.verdict and c.state
    ]
    return _row(site, kind, site.verdicts.fit(best), ", ".join(states) or "any")


def _row(site: Site, kind: str, fit: Fit, states: str) -> dict:
    reasons = site.reasons(fit)
    return {
        "kind": kind,
        "id": fit.part if kind == "part" else fit.material,
        "verdict": fit.verdict,
        "states": states,
        "reason": reasons[0] if reasons else "",
        "reasons": "; ".join(reasons),
        "fit": fit,
    }


def _judged(site: Site, field, every) -> str:
    """What a page says when not all materials were judged; nothing when they were."""
    if len(field) == len(every):
        return ""
    return f"{len(field)} of {len(every)} materials are judged here, first those that this page names and their families."


def coated_row(site: Site, fit: Fit) -> dict:
    """A usual coated choice, with what is left on the day the coating is worn through."""
    state = f"{site.view.state_name(fit.material, fit.state)}, " if fit.state else ""
    return _row(
        site, "material", fit, f"{state}coated: {site.knowledge.materials[fit.coated].name}"
    )


def _mechanism(site: Site, exposure: Exposure) -> str:
    return (
        site.view.word("mechanisms", exposure.rule.mechanism)
        if exposure.rule and exposure.rule.mechanism
        else ""
    )


def exposure_rows(site: Site, key: str) -> list[tuple[str, Exposure, str]]:
    """What each hazard does to a material, worst first; states that differ stand in rows of their
    own."""
    record, rows = site.knowledge.materials[key], []
    for hazard in site.fields.hazards_of(key):
        by_rule: dict[int, list] = defaultdict(list)
        for state in record.states or (None,):
            exposure = site.verdicts.judge.exposure(hazard, key, state)
            by_rule[exposure.number].append((state, exposure))
        for found in by_rule.values():
            names = (
                ", ".join(site.view.state_name(key, s) for s, _ in found if s)
                if len(by_rule) > 1
                else ""
            )
            rows.append(
                (hazard, found[0][1], f"<br><small>{escape(names)}</small>" if names else "")
            )
    worst = {
        v: i for i, v in enumerate(("fails", "suffers", "unknown", "holds-with-care", "holds"))
    }
    return sorted(rows, key=lambda r: worst[r[1].verdict])


def exposed(site: Site, hazard: str) -> list[tuple[str, list[dict]]]:
    """What a hazard does: materials grouped by verdict and by the rule that decided, worst
    first."""
    groups: dict[tuple, list[str]] = defaultdict(list)
    for key in sorted(site.fields.of_hazard(hazard), key=site.rank.get):
        exposures = (
            site.verdicts.judge.exposure(hazard, key, s)
            for s in site.knowledge.materials[key].states or (None,)
        )
        for verdict_and_rule in sorted(
            {(e.verdict, e.number) for e in exposures}, key=lambda pair: pair[1]
        ):
            groups[verdict_and_rule].append(key)
    rules = site.knowledge.hazards[hazard].rules
    result = []
    for verdict in ("fails", "suffers", "unknown", "holds-with-care", "holds"):
        rows = []
        for (v, number), keys in sorted(groups.items(), key=lambda g: g[0][1]):
            if v == verdict:
                rule = rules[number - 1] if number else None
                rows.append(
                    {
                        "materials": keys,
                        "rule": number,
                        "why": rule.why if rule else "No rule decides.",
                        "mechanism": site.view.word("mechanisms", rule.mechanism)
                        if rule and rule.mechanism
                        else "",
                    }
                )
        if rows:
            result.append((verdict, rows))
    return result


def replacement_rows(site: Site, part: str) -> Iterator[tuple[str, str, list[dict]]]:
    """For each usual material of a part (once), what may stand in, with what is gained, lost, and
    what the owner notices."""
    knowledge, record, seen = site.knowledge, site.knowledge.parts[part], set()
    for choice in record.usual:
        if choice.material in seen:
            continue
        seen.add(choice.material)
        state = choice.state or next(iter(knowledge.materials[choice.material].states), None)
        rows = []
        for r in replacements(site.verdicts, part, choice.material, state, most=5):
            rows.append(
                {
                    "material": r.fit.material,
                    "state": site.view.state_name(r.fit.material, r.fit.state)
                    if r.fit.state
                    else "",
                    "verdict": r.fit.verdict,
                    "gained": [_difference_words(site, part, d) for d in r.gained],
                    "lost": [_difference_words(site, part, d) for d in r.lost],
                    "owner": _owner_notices(site, choice.material, r),
                }
            )
        yield choice.material, site.view.state_name(choice.material, state) if state else "", rows


def _difference_words(site: Site, part: str, difference: str) -> str:
    kind, _, key = difference.partition(":")
    if kind == "hazard":
        return site.knowledge.hazards[key].name.lower()
    return wording.demand_words(site.knowledge, site.knowledge.parts[part].demands[int(key)])


def _owner_notices(site: Site, material: str, r: Replacement) -> list[str]:
    """Weight, colour and magnet: what changes for the owner."""
    old, new = site.knowledge.materials[material], site.knowledge.materials[r.fit.material]
    found = []
    if r.weight and abs(r.weight.middle - 1) >= Decimal("0.03"):
        found.append(f"{quantities.shown(r.weight)} times the weight")
    if old.colour and new.colour and old.colour != new.colour:
        found.append(site.view.word("colours", new.colour))
    if old.magnetism != new.magnetism:
        found.append(f"a magnet: {site.view.word('magnetism', new.magnetism)}")
    return found or ["no difference to see"]


def part_page(site: Site, key: str) -> Page:
    """A part role: usual and wrong materials first, then what it asks, meets, and how it is
    remade."""
    view, record = site.view, site.knowledge.parts[key]
    fit, unfit = _split([fit_row(site, "material", cells) for cells in site.verdicts.of_part(key)])
    at_once = part_at_once(site, key, fit, unfit)
    fit = [coated_row(site, f) for f in site.verdicts.coated[key]] + fit
    address = view.address("part", key)
    cautions = site.cautions(record)
    lines = print_layout.part_lines(site.knowledge, key, (c for _, c in cautions))
    body = view.draw(
        "part",
        address,
        r=record,
        judged=_judged(site, site.fields.of_part(key), site.fields.bases),
        card=_card(site, address, record, lines, [*record.usual, *record.wrong]),
        trail=_trail(
            "part",
            [(view.name("zone", record.zone), view.address("zone", record.zone))],
            record.name,
        ),
        cautions=cautions,
        mentions=site.mentioned("part", key),
        fit=fit,
        unfit=unfit,
        at_once=at_once,
        replacements=[(m, s, rows) for m, s, rows in replacement_rows(site, key) if rows],
        siblings=[("part", k) for k in near(site.zones[record.zone], key)],
        drawing=site.marks[record.zone],
        side=watch_map.SIDES[site.knowledge.words("zones")[record.zone].side],
    )
    return _page(address, record, body)


SHOWN_AT_ONCE = 6  # names in one line at the top of a page; the tables below hold all


def part_at_once(site: Site, key: str, fit: list[dict], unfit: list[dict]) -> dict:
    """What is asked of a part most often: how hard, by which heat, and which relatives of its
    usual material may take its place."""
    knowledge, record = site.knowledge, site.knowledge.parts[key]
    hardness = [
        f"{'at least' if d.at_least is not None else 'at most'} "
        f"{wording.with_unit(knowledge, _asked(site, d))}{'' if d.firm else ' wished'}"
        for d in record.demands
        if d.property == "hardness"
    ]
    family = knowledge.materials[record.usual[0].material].family
    relatives = []
    for words, rows in (
        ("suit", [r for r in fit if r["verdict"] == SUITS]),
        ("suit with care", [r for r in fit if r["verdict"] == CARE]),
        ("do not", unfit),
    ):
        ids = list(
            dict.fromkeys(r["id"] for r in rows if knowledge.materials[r["id"]].family == family)
        )
        if ids:
            relatives.append((words, ids[:SHOWN_AT_ONCE], len(ids) - SHOWN_AT_ONCE))
    return {
        "hardness": "; ".join(hardness),
        "family": family,
        "relatives": relatives,
        "heat": [
            s for s in record.remake if s.process and knowledge.processes[s.process].group == "heat"
        ],
    }


def _asked(site: Site, demand: models.Demand) -> Quantity:
    number = demand.at_least if demand.at_least is not None else demand.at_most
    return Quantity(
        number,
        number,
        demand.unit or site.view.property_unit(demand.property),
        quantities.significant_digits(number),
    )


def material_signs(site: Site, exposure: list[tuple[str, Exposure, str]]) -> list[tuple[str, str]]:
    """What harms a material and how that looks, worst first: (hazard, sign), for the top of its
    page."""
    found = {
        hazard: e.rule.looks_like
        for hazard, e, _ in exposure
        if e.verdict in ("fails", "suffers") and e.rule and e.rule.looks_like
    }
    return list(found.items())[:SHOWN_AT_ONCE]


MAP = "The watch as a map"


def map_page(site: Site) -> Page:
    """The drawn section of a watch with its links, outside and inside, and the same links as
    lists."""
    address, zones = "map.html", site.knowledge.words("zones")
    sides = [
        {
            "name": name,
            "drawing": watch_map.linked(site.knowledge, site.view, side, list(site.zones), address),
            "zones": [(z, keys) for z, keys in site.zones.items() if zones[z].side == side],
        }
        for side, name in watch_map.SIDES.items()
    ]
    summary = "Tap a zone or a part of the drawing, or take it from the list."
    body = site.view.draw(
        "map",
        address,
        title=MAP,
        summary=summary,
        sides=sides,
        trail=[("Start", "index.html"), ("Parts", "parts/index.html"), (MAP, "")],
    )
    return Page("map.md", MAP, summary, body, listed=True, wide=True)


LEAFLET = "What to tell the owner"


def leaflet_page(site: Site) -> Page:
    """The owner's leaflet: the choices, the page they make, and all sentences as lists for readers
    without scripts."""
    knowledge, address = site.knowledge, "leaflet.html"
    fields = []
    for field, (label, _) in leaflet.FIELDS.items():
        usual, suits = leaflet.choices(knowledge, site.verdicts, field)
        fields.append(
            {
                "id": field,
                "label": label,
                "usual": usual,
                "suits": suits,
                "none": "none" if field == "plating" else "not said",
            }
        )
    spoken = [
        (f, [(m, knowledge.materials[m].owner) for m in keys if knowledge.materials[m].owner])
        for f, keys in site.families.items()
    ]
    summary = "Choose what the watch is made of and what it meets; one page of care comes out, to print on A5."
    body = site.view.draw(
        "leaflet",
        address,
        title=LEAFLET,
        summary=summary,
        fields=fields,
        activities=leaflet.activities(knowledge),
        limits=leaflet.LIMITS,
        materials=[(f, rows) for f, rows in spoken if rows],
        hazards=[(h, record.owner) for h, record in knowledge.hazards.items()],
        trail=[("Start", "index.html"), (LEAFLET, "")],
    )
    return Page("leaflet.md", LEAFLET, summary, body, listed=True, wide=True)


COMPARE = "Side by side"


def compare_page(site: Site) -> Page:
    """The choice of up to four materials; the page's script puts them side by side from
    assets/compare-data.js."""
    tables = [(f"tables/{t.id}.html", t.title, t.summary) for t in site.tables.values()]
    tables += [
        (f"tables/{t}.html", title, "Every material at a glance.") for t, title in MATRICES.items()
    ]
    summary = "Two to four materials, each in its state: figures, ratios, what attacks them, and which suits a part."
    body = site.view.draw(
        "compare",
        "compare.html",
        title=COMPARE,
        summary=summary,
        slots=("First", "Second", "Third", "Fourth"),
        tables=tables,
        trail=[("Start", "index.html"), (COMPARE, "")],
    )
    return Page("compare.md", COMPARE, summary, body, listed=True, wide=True)


IDENTIFY = "What is this metal"


def identify_page(site: Site) -> Page:
    """What the bench can observe, the tests gentlest first with their cautions, the rules, and
    what each material would show."""
    knowledge, view = site.knowledge, site.view

    def cautions(process: str | None) -> list:
        return site.cautions(knowledge.processes[process]) if process in knowledge.processes else []

    tests = [
        {
            "id": t,
            "name": identify.TEST_NAMES[t],
            "marks": marks,
            "cautions": cautions(process),
            "process": process if process in knowledge.processes else None,
            "text": knowledge.processes[process].summary
            if process in knowledge.processes
            else identify.LOOK,
        }
        for t, (_, process, marks) in identify.TESTS.items()
        if process is None or process in knowledge.processes
    ]
    weigh = [
        {"name": "in_air", "label": "weight in air", "unit": "g", "value": ""},
        {"name": "in_water", "label": "weight in water", "unit": "g", "value": ""},
        {"name": "warmth", "label": "water temperature", "unit": view.unit("degC"), "value": "20"},
        {"name": "step", "label": "smallest step of the balance", "unit": "g", "value": "0.01"},
    ]
    summary = (
        "Enter what you can see, feel and weigh; what does not fit falls out, with the reason; "
        "the next gentle test is named."
    )
    body = view.draw(
        "identify",
        "identify.html",
        title=IDENTIFY,
        summary=summary,
        trail=[("Start", "index.html"), (IDENTIFY, "")],
        colours=[(c, label) for c, (label, _) in identify.COLOURS.items()],
        marks=mark_options(knowledge),
        magnet=identify.MAGNET_WORDS.items(),
        tarnish=identify.TARNISH.items(),
        file=identify.FILE_WORDS.items(),
        sparks=identify.SPARKS.items(),
        weigh=weigh if site.signs["weigh"] else [],
        spark_cautions=cautions("spark-test"),
        file_cautions=cautions(identify.TESTS["file"][1]),
        tests=tests,
        rules=identify.rules(),
        rows=[_signs_row(site, m) for m in site.signs["materials"]],
    )
    return Page("identify.md", IDENTIFY, summary, body, listed=True, wide=True)


def mark_options(knowledge: Knowledge) -> list[tuple[str, str]]:
    """Every number that is stamped, once, with the metals it may stand for: `950: platinum or
    palladium`."""
    by_number: dict[Decimal, list[str]] = defaultdict(list)
    for mark in knowledge.words("marks").values():
        carat = f" ({quantities.number_text(mark.carat)} ct)" if mark.carat is not None else ""
        by_number[mark.fineness].append(f"{knowledge.words('elements')[mark.metal].name}{carat}")
    return [
        (f"{number:f}", f"{number:f}: {any_of(metals)}")
        for number, metals in sorted(by_number.items(), reverse=True)
    ]


def _signs_row(site: Site, signs: dict) -> dict:
    record, density = site.knowledge.materials[signs["id"]], site.values.of(signs["id"], "density")

    def words(observation: str, names: dict) -> str:
        found = [s[observation] for s in signs["states"]]
        allowed = {a for f in found if f for a in f}
        return (
            "not known"
            if None in found and not allowed
            else ", ".join(w for a, w in names.items() if a in allowed)
        )

    tarnish = (
        "what lies below"
        if signs["coating"]
        else ", ".join(identify.TARNISH[s] for s in signs["tarnish"])
    )
    return {
        "id": signs["id"],
        "colour": site.view.word("colours", record.colour) if record.colour else "not known",
        "density": density,
        "sort": sort_text(density.middle) if density else "",
        "tarnish": tarnish,
        "magnet": words("magnet", identify.MAGNET_WORDS),
        "file": words("file", identify.FILE_WORDS),
        "marks": ", ".join(signs["mark"] or []),
    }


def hazard_page(site: Site, key: str) -> Page:
    """A hazard: what to tell the owner and do at the bench first, then what it does to each
    material."""
    view, record = site.view, site.knowledge.hazards[key]
    address = view.address("hazard", key)
    body = view.draw(
        "hazard",
        address,
        r=record,
        judged=_judged(site, site.fields.of_hazard(key), site.fields.materials),
        trail=_trail("hazard", [], record.name),
        cautions=site.cautions(record),
        mentions=site.mentioned("hazard", key),
        exposure=exposed(site, key),
        siblings=[("hazard", k) for k in near(list(site.knowledge.hazards), key)],
    )
    return _page(address, record, body)


def process_page(site: Site, key: str) -> Page:
    """A process: the steps first, then the numbers and what goes wrong."""
    view, record = site.view, site.knowledge.processes[key]
    address = view.address("process", key)
    suits = (
        []
        if record.suits == models.When()
        else [m for m in site.fields.of_process(key) if applies(site.knowledge, record.suits, m)]
    )
    body = view.draw(
        "process",
        address,
        r=record,
        first=record.figures[:4],
        trail=_trail("process", [], record.name),
        cautions=site.cautions(record),
        suits=suits,
        mentions=site.mentioned("process", key),
        siblings=[("process", k) for k in near(site.groups[record.group], key)],
    )
    return _page(address, record, body)


def formula_page(site: Site, key: str) -> Page:
    """A formula: set out, its symbols, its limits, its worked examples."""
    view, record = site.view, site.knowledge.formulas[key]
    address = view.address("formula", key)
    body = view.draw(
        "formula",
        address,
        r=record,
        id=key,
        trail=_trail("formula", [], record.name),
        cautions=site.cautions(record),
        examples=list(_examples(site, key)),
        calc=_calculator(site, key),
        computed_in=[(t.id, t.title) for t in site.tables.values() if key in t.formulas],
        siblings=[("formula", k) for k in near(site.formula_groups[record.group], key)],
    )
    return _page(address, record, body)


def _calculator(site: Site, key: str) -> dict:
    """What the page's calculator starts from: program, symbols, thresholds, and one field a
    symbol."""
    record, view = site.knowledge.formulas[key], site.view
    symbols, fields = [], []
    for name, s in record.symbols.items():
        start = s.default if s.default is not None else None
        low, high = (quantities.number_text(e) for e in s.range)
        symbols.append(
            {
                "name": name,
                "meaning": sentence(s.meaning),
                "unit": view.unit(s.unit),
                "typed": s.unit,
                "property": s.property or "",
                "range": [float(e) for e in s.range],
                "shown": f"{low} to {high}",
                "example": f"{start if start is not None else s.range[1]:f}",
            }
        )
        fields.append(
            {
                "name": name,
                "meaning": sentence(s.meaning),
                "unit": view.unit(s.unit),
                "property": s.property,
                "value": "" if start is None else f"{start:f}",
            }
        )
    readings = [
        [None if r.below is None else float(r.below), sentence(r.say)] for r in record.readings
    ]
    return {
        "program": _json(for_browser(compile_expression(record.expression, record.symbols))),
        "symbols": _json(symbols),
        "readings": _json(readings),
        "fields": fields,
    }


def material_values(site: Site) -> str:
    """assets/values.js: for each property that a calculator may take from a material, [name,
    shown, low, high, digits]."""
    wanted = sorted(
        {
            s.property
            for f in site.knowledge.formulas.values()
            for s in f.symbols.values()
            if s.property
        }
    )
    found: dict[str, list] = {}
    for prop in wanted:
        rows = []
        for keys in site.families.values():
            for key in keys:
                for state in site.values.states_with(key, prop):
                    q = site.values.of(key, prop, state)
                    if q and not q.from_memory:
                        name = site.knowledge.materials[key].name + (
                            f", {site.view.state_name(key, state)}" if state else ""
                        )
                        ends = [None if e is None else float(e) for e in (q.low, q.high)]
                        rows.append(
                            [
                                name,
                                quantities.shown(q).replace(quantities.NBSP, " "),
                                *ends,
                                q.digits,
                            ]
                        )
        found[prop] = rows
    return f"window.benchValues={_json(found)};\n"


def _examples(site: Site, key: str) -> Iterator[dict]:
    record, view = site.knowledge.formulas[key], site.view
    program = compile_expression(record.expression, record.symbols)
    for example in record.examples:
        inputs = {
            n: Quantity(v, v, record.symbols[n].unit, quantities.significant_digits(v))
            for n, v in example.inputs.items()
        }
        result = evaluate_quantities(program, inputs, record.result.unit)
        result = Quantity(result.low, result.high, result.unit, max(result.digits, 4))
        spoken = ", ".join(
            f"{record.symbols[n].meaning} {quantities.number_text(v)}{quantities.NBSP}{view.unit(record.symbols[n].unit)}".strip()
            for n, v in example.inputs.items()
        )
        if example.published_range:
            answer = f"{quantities.number_text(example.published_range[0])} to {quantities.number_text(example.published_range[1])}"
        else:
            answer = quantities.number_text(example.published)
        answer = f"{PROVES[example.proves]}: {answer}."
        assert example_agrees(example, result.middle) != (example.proves == "wrong"), (
            "the checker lets no such example through"
        )
        yield {
            "inputs": sentence(spoken),
            "result": quantities.shown(result),
            "answer": answer,
            "source": example.source,
            "note": example.note,
        }


# Columns whose figures are drawn as bars beside their numbers, and the top of their scale (None: the greatest figure).
BARS = {
    "density-ratio": {"density": None},
    "hardness": {"HV": Decimal(1000)},
    "specific-strength": {"proof-strength": None},
    "coating-thickness": {"thickness": Decimal(30)},
}


def table_page(site: Site, table: Table) -> Page:
    """A computed table with its formula, its inputs and its sources."""
    view = site.view
    address = view.address("table", table.id)
    refs: dict[str, int] = {}
    rows = []
    tops = {
        c: top
        or pictures.scale_of([q for r in table.rows if isinstance(q := r.cells.get(c), Quantity)])
        for c, top in BARS.get(table.id, {}).items()
    }
    scales = [
        f"{column.title} from 0 to {quantities.number_text(tops[column.id])}{quantities.NBSP}{view.unit(column.unit)}".strip()
        for column in table.columns
        if column.id in tops
    ]
    shared = derivations(table)
    for row in table.rows:
        cells = []
        for i, column in enumerate(table.columns):
            cells.append(
                _cell(
                    site,
                    row,
                    column,
                    row.cells.get(column.id),
                    base=bool(table.chooser) and i == 0,
                    refs=refs,
                    top=tops.get(column.id),
                    shared=shared.get(column.id, []),
                )
            )
        rows.append(
            {"material": row.material, "id": row.material if table.chooser else "", "cells": cells}
        )
    body = view.draw(
        "table",
        address,
        t=table,
        rows=rows,
        scales=scales,
        refs=refs,
        shared=shared,
        columns={column.id: (i, column) for i, column in enumerate(table.columns, 1)},
        absent=any(cell["kind"] == "none" for row in rows for cell in row["cells"]),
        by_material=any(r.material for r in table.rows),
        data=_chooser(site, table),
        trail=_trail("table", [], table.title),
        siblings=_other_tables(site, table.id),
    )
    return Page(f"tables/{table.id}.md", table.title, table.summary, body, listed=True, wide=True)


def _cell(
    site: Site,
    row,
    column,
    content,
    base: bool,
    refs: dict[str, int],
    top: Decimal | None,
    shared: list[Derivation],
) -> dict:
    if column.kind == "state":
        return {
            "kind": "text",
            "text": site.view.state_name(row.material, row.state) if row.state else "any",
        }
    if content is None:
        return {"kind": "none"}
    if isinstance(content, Computed):
        return {
            "kind": "computed",
            "computed": content,
            "sort": sort_text(content.value.middle),
            "shared": number_of(content, row, shared),
        }
    if isinstance(content, Quantity):
        for source in content.sources:
            refs.setdefault(source, len(refs) + 1)
        return {
            "kind": "figure",
            "q": content,
            "sort": sort_text(content.middle),
            "base": base,
            "bar": top and pictures.bar(content, top),
        }
    return {"kind": "text", "text": str(content)}


def _chooser(site: Site, table: Table) -> dict[str, str]:
    """What the page's script needs to compute against a reference or a volume of the reader's
    choice."""
    if not table.chooser:
        return {}
    formula = site.knowledge.formulas[table.formulas[0]]
    names = list(formula.symbols)
    program = for_browser(compile_expression(formula.expression, formula.symbols))
    choose = {"reference": "Compare with", "mate": "Joined to", "volume": "Volume, cm³"}[
        table.chooser
    ]
    result = {
        "reference": "against chosen",
        "mate": "difference to chosen, ×10⁻⁶/K",
        "volume": "mass at this volume, g",
    }[table.chooser]
    kind = {"kind": "number", "start": "4.0"} if table.chooser == "volume" else {"kind": "row"}
    return {
        "program": _json(program),
        "symbols": " ".join(names),
        "choose": choose,
        "result": result,
        **kind,
    }


def _json(value) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


MATRIX_SIGNS = {
    "suits": "+",
    "suits-with-care": "(+)",
    "unfit": "−",
    "unknown": "?",
    "holds": "+",
    "holds-with-care": "(+)",
    "suffers": "(−)",
    "fails": "−",
    "not-judged": "·",
}
NOT_JUDGED = "not-judged"  # outside the field of a part, in a large knowledge base
MATRICES = {
    "matrix-parts-outside": "Outside parts and materials",
    "matrix-parts-movement": "Movement parts and materials",
    "matrix-hazards": "Hazards and materials",
    "pairs": "Metals in contact",
}


def matrix_pages(site: Site) -> Iterator[Page]:
    """Parts by materials (outside, movement) and hazards by materials, one sign a cell."""
    zones = site.knowledge.words("zones")
    bases = [m for m in site.rank if site.knowledge.folders[m] != "coatings"][:MOST]
    for side, table_id in (
        ("exterior", "matrix-parts-outside"),
        ("movement", "matrix-parts-movement"),
    ):
        parts = [p for z, keys in site.zones.items() if zones[z].side == side for p in keys][:MOST]
        fits = {
            part: {group[0].material: group[0].verdict for group in site.verdicts.of_part(part)}
            for part in parts
        }
        rows = [(m, [_sign(fits[p].get(m, NOT_JUDGED)) for p in parts]) for m in bases]
        yield _matrix(
            site,
            table_id,
            "What suits what, at a glance.",
            "fit_verdicts",
            [("part", p) for p in parts],
            rows,
            "part",
        )
    order = ("holds", "holds-with-care", "unknown", "suffers", "fails")
    rows, hazards = [], list(site.knowledge.hazards)[:MOST]
    for material in list(site.rank)[:MOST]:
        states = tuple(site.knowledge.materials[material].states) or (None,)
        best = [
            min(
                (site.verdicts.judge.exposure(h, material, s).verdict for s in states),
                key=order.index,
            )
            for h in hazards
        ]
        rows.append((material, [_sign(v) for v in best]))
    yield _matrix(
        site,
        "matrix-hazards",
        "What attacks what, at a glance.",
        "exposure_verdicts",
        [("hazard", h) for h in hazards],
        rows,
        "hazard",
    )


def _sign(verdict: str) -> tuple[str, str]:
    return MATRIX_SIGNS[verdict], verdict


def _matrix(
    site: Site, table_id: str, summary: str, vocabulary: str, columns, rows, row_word: str
) -> Page:
    title = MATRICES[table_id]
    legend = [(MATRIX_SIGNS[v], e.name) for v, e in site.knowledge.words(vocabulary).items()]
    way, letters, _ = print_layout.matrix_size(
        [site.view.name("material", m) for m, _ in rows], [site.view.name(*c) for c in columns]
    )
    body = site.view.draw(
        "matrix",
        f"tables/{table_id}.html",
        title=title,
        summary=summary,
        legend=legend,
        columns=columns,
        rows=rows,
        way=way,
        letters=letters,
        row_word=row_word,
        trail=_trail("table", [], title),
        siblings=_other_tables(site, table_id),
    )
    return Page(f"tables/{table_id}.md", title, summary, body, listed=True, wide=True)


def _other_tables(site: Site, table_id: str) -> list[tuple[str, str]]:
    return [("table", t) for t in (*site.tables, *MATRICES) if t != table_id]


def pairs_page(site: Site) -> Page:
    """Galvanic difference of every two families of metals in contact, and where the pair is
    allowed."""
    members: dict[Decimal, list[str]] = defaultdict(list)
    sources: dict[str, None] = {}
    for key, record in site.knowledge.materials.items():
        index = site.values.of(key, "anodic-index")
        if index and not index.from_memory:
            members[index.middle].append(record.family)
            sources.update(dict.fromkeys(index.sources))
    names = {
        i: ", ".join(dict.fromkeys(site.view.word("families", f) for f in fs))
        for i, fs in sorted(members.items())
    }
    numbered = {i: f"{name} ({quantities.number_text(i)})" for i, name in names.items()}
    rows = [(name, [_pair_cell(i, other) for other in names]) for i, name in numbered.items()]
    title = MATRICES["pairs"]
    summary = "How far apart two metals are, and where they may touch: in sweat and salt, in damp, or only in the dry."
    legend = [
        ("h", "harsh place allowed (up to 0.15 V)"),
        ("d", "damp place allowed (up to 0.25 V)"),
        ("dry", "dry place only (up to 0.50 V)"),
        ("−", "keep apart"),
    ]
    body = site.view.draw(
        "pairs",
        "tables/pairs.html",
        title=title,
        summary=summary,
        names=list(numbered.values()),
        rows=rows,
        legend=legend,
        sources=list(sources),
        trail=_trail("table", [], title),
        siblings=_other_tables(site, "pairs"),
    )
    return Page("tables/pairs.md", title, summary, body, listed=True, wide=True)


def _pair_cell(row: Decimal, column: Decimal) -> dict:
    if row == column:
        return {"text": "·", "css": "same"}
    difference = abs(row - column)
    allowed = [place for place, limit in LIMITS if difference <= limit]
    sign, css = (
        {
            "harsh": ("h", "suits"),
            "damp": ("d", "suits-with-care"),
            "dry": ("dry", "suits-with-care"),
        }[allowed[0]]
        if allowed
        else ("−", "unfit")
    )
    return {
        "text": f"{quantities.number_text(difference)} {sign} {'◂' if row > column else '▴'}",
        "css": css,
    }


def mark_page(site: Site, key: str) -> Page:
    """A fineness mark: what it means by arithmetic, and which materials carry it."""
    view, mark = site.view, site.knowledge.words("marks")[key]
    metal = site.knowledge.words("elements")[mark.metal].name
    fineness = quantities.number_text(mark.fineness)
    title = mark_title(site.knowledge, key)
    summary = f"At least {fineness} parts in a thousand are {metal}."
    rows = [("mark", fineness), (metal, f"{quantities.number_text(mark.fineness / 10)} % by mass")]
    if mark.metal == "Au":
        rows.append(
            (
                "by arithmetic",
                f"{quantities.number_text(quantities.round_to(mark.fineness * 24 / 1000, 4))} ct",
            )
        )
        if mark.carat is not None:
            rows.append(
                (
                    f"{quantities.number_text(mark.carat)} of 24 is",
                    f"{quantities.number_text(quantities.round_to(mark.carat / 24 * 1000, 4))} in a thousand",
                )
            )
    carrying = [
        m
        for m, r in site.knowledge.materials.items()
        if any(d.system == "fineness" and d.code == str(mark.fineness) for d in r.designations)
        and r.family in (metal, *_metal_families(mark.metal))
    ]
    address = f"marks/{key}.html"
    body = view.draw(
        "mark",
        address,
        mark=mark,
        title=title,
        summary=summary,
        key=rows,
        materials=carrying,
        trail=[
            ("Start", "index.html"),
            ("Tables", "tables/index.html"),
            ("Carat, fineness and marks", "tables/fineness.html"),
            (title, ""),
        ],
    )
    return Page(f"marks/{key}.md", title, summary, body)


def _metal_families(symbol: str) -> tuple[str, ...]:
    return {"Au": ("gold",), "Ag": ("silver",), "Pt": ("platinum",), "Pd": ("palladium",)}.get(
        symbol, ()
    )


def mark_title(knowledge: Knowledge, key: str) -> str:
    """The title of a mark's page: `Gold 750 (18 ct)`."""
    mark = knowledge.words("marks")[key]
    carat = f" ({quantities.number_text(mark.carat)} ct)" if mark.carat is not None else ""
    return f"{sentence(knowledge.words('elements')[mark.metal].name)} {quantities.number_text(mark.fineness)}{carat}"


def index_pages(site: Site) -> Iterator[Page]:
    """The indexes: materials by family, parts by zone, hazards, processes, tables, formulas; and
    each family and zone."""
    view, words = site.view, site.knowledge.words

    def index(file, title, summary, groups, trail):
        address = file.removesuffix(".md") + ".html"
        sections = [(g["title"], f"#{g['id']}") for g in groups if g["title"]]
        names = (
            [] if sections else [(sentence(view.name(*e)), e) for g in groups for e in g["entries"]]
        )
        body = view.draw(
            "list",
            address,
            title=title,
            summary=summary,
            groups=groups,
            trail=trail,
            sections=sections,
            names=names if len(names) > 12 else [],
        )
        return Page(file, title, summary, body, listed=True, wide=not sections)

    def group(kind, keys, key="", title="", text="", address=""):
        return {
            "entries": [(kind, k) for k in keys],
            "id": key or "all",
            "title": title,
            "heading": Markup(escape(title)),
            "text": text,
            "address": address,
            "links": [],
        }

    start = [("Start", "index.html")]
    families = [
        group(
            "material",
            keys,
            f,
            words("families")[f].plural,
            words("families")[f].meaning or "",
            f"families/{f}.html",
        )
        for f, keys in site.families.items()
    ]
    yield index(
        "materials/index.md",
        "Materials",
        "What parts are made of and covered with, family by family.",
        families,
        [*start, ("Materials", "")],
    )
    for f, keys in site.families.items():
        entry = words("families")[f]
        yield index(
            f"families/{f}.md",
            entry.plural,
            entry.meaning or f"All we know of {entry.name}.",
            [group("material", keys)],
            [*start, ("Materials", "materials/index.html"), (entry.plural, "")],
        )
    zones = [
        group(
            "part",
            keys,
            z,
            sentence(words("zones")[z].name),
            words("zones")[z].meaning or "",
            f"zones/{z}.html",
        )
        for z, keys in site.zones.items()
    ]
    yield index(
        "parts/index.md",
        "Parts",
        "What each part of a watch does, what it is made of, and what would be wrong.",
        zones,
        [*start, ("Parts", "")],
    )
    for z, keys in site.zones.items():
        entry = words("zones")[z]
        yield index(
            f"zones/{z}.md",
            sentence(entry.name),
            entry.meaning or entry.name,
            [group("part", keys)],
            [*start, ("Parts", "parts/index.html"), (sentence(entry.name), "")],
        )
    yield index(
        "hazards/index.md",
        "Hazards",
        "What attacks a watch, which materials it harms, and what helps.",
        [group("hazard", site.knowledge.hazards)],
        [*start, ("Hazards", "")],
    )
    work = [
        group("process", keys, g, sentence(words("process_groups")[g].name))
        for g, keys in site.groups.items()
    ]
    yield index(
        "processes/index.md",
        "Work",
        "Hardening, finishing, plating, joining, cleaning, testing: step by step with the numbers.",
        work,
        [*start, ("Work", "")],
    )
    sums = [
        group("formula", keys, g, sentence(words("formula_groups")[g].name))
        for g, keys in site.formula_groups.items()
    ]
    sums[:0] = [
        {
            **group("formula", [], "tables", "From published tables"),
            "links": [(f"formulas/{k}.html", *LOOKUPS[k]) for k in LOOKUPS],
        }
    ]
    yield index(
        "formulas/index.md",
        "Calculations",
        "Bench calculations, each with its limits and a worked example.",
        sums,
        [*start, ("Calculations", "")],
    )
    judged = [
        (j, [k for k, r in site.knowledge.sayings.items() if r.judged == j])
        for j in words("judgements")
    ]
    title, summary = "Sayings, judged", "What is said at the bench, and what the figures say."
    body = view.draw(
        "sayings",
        "sayings/index.html",
        title=title,
        summary=summary,
        groups=[g for g in judged if g[1]],
        trail=[*start, ("Sayings", "")],
    )
    yield Page("sayings/index.md", title, summary, body, listed=True)
    title, summary = (
        "Lessons",
        "Twelve short lessons in order, each with questions to try yourself.",
    )
    path = lesson_path(site.knowledge)
    body = view.draw(
        "lessons",
        "lessons/index.html",
        title=title,
        summary=summary,
        lessons=path,
        trail=[*start, ("Lessons", "")],
        counts={k: len(site.knowledge.lessons[k].questions) for k in path},
    )
    yield Page("lessons/index.md", title, summary, body, listed=True, wide=True)
    body = view.draw(
        "tables",
        "tables/index.html",
        tables=list(site.tables.values()),
        matrices=MATRICES,
        trail=[*start, ("Tables", "")],
    )
    yield Page(
        "tables/index.md",
        "Tables",
        "Every material side by side, one question a table.",
        body,
        listed=True,
        wide=True,
    )


def saying_page(site: Site, key: str) -> Page:
    """A saying: the verdict in one line, why, and what it rests on."""
    view, record = site.view, site.knowledge.sayings[key]
    address = view.address("saying", key)
    alike = [k for k, r in site.knowledge.sayings.items() if r.judged == record.judged]
    body = view.draw(
        "saying",
        address,
        r=record,
        trail=_trail("saying", [], record.name),
        cautions=site.cautions(record),
        grounds=ground_rows(site, record.rests_on),
        see=see_links(record.see),
        siblings=[("saying", k) for k in near(alike, key)],
    )
    return _page(address, record, body)


def lesson_page(site: Site, key: str) -> Page:
    """A lesson: short text, what to read, and questions whose answers open in place."""
    view, record = site.view, site.knowledge.lessons[key]
    address = view.address("lesson", key)
    path = lesson_path(site.knowledge)
    at = path.index(key)
    questions = [
        {
            "ask": q.ask,
            "options": q.options,
            "grounds": ground_rows(site, q.rests_on),
            "see": see_links(q.see),
        }
        for q in record.questions
    ]
    body = view.draw(
        "lesson",
        address,
        r=record,
        id=key,
        trail=_trail("lesson", [], record.name),
        cautions=site.cautions(record),
        see=see_links(record.see),
        questions=questions,
        before=path[at - 1] if at else "",
        after=path[at + 1] if at + 1 < len(path) else "",
    )
    return _page(address, record, body)


def lesson_path(knowledge: Knowledge) -> list[str]:
    """The lessons in the order of the path."""
    return sorted(knowledge.lessons, key=lambda k: knowledge.lessons[k].number)


def see_links(see: models.See) -> list[tuple[str, str]]:
    """The pages that a record recommends, as (kind, id)."""
    return [
        (kind, key)
        for kind in ("part", "material", "hazard", "process", "formula")
        for key in getattr(see, COLLECTIONS[kind])
    ]


def ground_rows(site: Site, grounds: models.Grounds) -> list[dict]:
    """What something rests on, with the figures as they stand now."""
    judge, rows = site.verdicts.judge, []
    for claim in grounds.figures:
        sides = [s for s in (claim.left, claim.right) if s]
        quantities = [quantity_of(judge, s) for s in sides]
        texts = [
            f"{site.view.property_name(s.property)} {wording.with_unit(site.knowledge, q)}"
            for s, q in zip(sides, quantities, strict=True)
        ]
        other = texts[1] if len(texts) > 1 else quantities.number_text(claim.number)
        sources = tuple(dict.fromkeys(s for q in quantities for s in q.sources))
        rows.append(
            {
                "links": [("material", s.material) for s in sides],
                "said": f"{texts[0]} is {claim.relation} {other}",
                "sources": sources,
            }
        )
    for claim in grounds.fits:
        words = " or ".join(site.view.word("fit_verdicts", v) for v in claim.verdicts)
        rows.append(
            {
                "links": [("material", claim.material), ("part", claim.part)],
                "said": words,
                "sources": (),
            }
        )
    for claim in grounds.exposures:
        words = " or ".join(site.view.word("exposure_verdicts", v) for v in claim.verdicts)
        rows.append(
            {
                "links": [("material", claim.material), ("hazard", claim.hazard)],
                "said": words,
                "sources": (),
            }
        )
    return rows


LOOKUPS = {
    "hardness-conversion": (
        "Hardness conversion for steels",
        "A steel's hardness in HV, HRC, HRB, HBW and tensile strength, by published table.",
    ),
    "tempering-temperature": (
        "Tempering temperature for a wanted hardness",
        "Where to set the oven, from the steel's published tempering table.",
    ),
}


def lookup_pages(site: Site) -> Iterator[Page]:
    """Look-ups in published tables: hardness scales, and tempering temperatures with their
    colours."""
    yield _hardness_lookup(site)
    yield _tempering_lookup(site)


def _lookup(
    site: Site, key: str, kind: str, table, fields, notes, columns, rows, cautions=()
) -> Page:
    title, summary = LOOKUPS[key]
    entries = [(c, site.knowledge.cautions[c]) for c in cautions if c in site.knowledge.cautions]
    body = site.view.draw(
        "lookup",
        f"formulas/{key}.html",
        title=title,
        summary=summary,
        kind=kind,
        table=_json(table),
        fields=fields,
        notes=notes,
        columns=columns,
        rows=rows,
        cautions=entries,
        trail=_trail("formula", [], title),
    )
    return Page(f"formulas/{key}.md", title, summary, body)


def _hardness_lookup(site: Site) -> Page:
    table = site.knowledge.words("hardness_table")
    scales = ("HV", "HRC", "HRB", "HBW", "Rm")
    data = [
        [
            {s: float(getattr(r, s)) for s in scales if getattr(r, s) is not None}
            for r in table.values()
            if r.source == source
        ]
        for source in ("astm-e140", "din-50150")
    ]
    rows = [
        {
            "cells": [
                quantities.number_text(v) if (v := getattr(r, s)) is not None else ""
                for s in scales
            ],
            "source": r.source,
        }
        for r in table.values()
    ]
    fields = [
        {
            "name": "metal",
            "label": "Metal",
            "options": [
                ("steel", "carbon, tool or hardenable stainless steel"),
                ("other", "case steel, titanium, gold, brass or another"),
            ],
        },
        {
            "name": "scale",
            "label": "Scale",
            "options": [(s, site.view.unit(s)) for s in ("HRC", "HV", "HBW", "HRB")],
        },
        {"name": "value", "label": "Hardness", "options": [], "value": "60", "unit": ""},
    ]
    notes = [
        "The scales are different tests. The table was made for unalloyed, low-alloy and hardened steels; it does not hold for "
        "austenitic case steel, "
        "titanium, gold, copper alloys, coatings or ceramics, and is not used for them anywhere on this site."
    ]
    return _lookup(
        site,
        "hardness-conversion",
        "hardness",
        {"rows": data},
        fields,
        notes,
        ["HV", "HRC", "HRB", "HBW", "Rm, MPa", "source"],
        rows,
    )


def _tempering_lookup(site: Site) -> Page:
    curves, options, rows = [], [], []
    steels = [
        key
        for keys in site.families.values()
        for key in keys
        if site.knowledge.materials[key].tempering
    ]
    # What the bench tempers most stands first: carbon steels with a table of their own.
    steels.sort(
        key=lambda k: (
            site.knowledge.materials[k].family != "carbon-steel",
            all(c.stands_in_for for c in site.knowledge.materials[k].tempering),
        )
    )
    for record in (site.knowledge.materials[key] for key in steels):
        for curve in sorted(
            record.tempering, key=lambda c: c.unit != "HRC"
        ):  # the scale of the bench's files first
            hardnesses = [p.hardness for p in curve.points]
            stand_in = f" Stand-in: {curve.stands_in_for}." if curve.stands_in_for else ""
            text = plain_text(
                f"Hardened from {curve.hardened_from}, quenched in {curve.quenched}.{stand_in}"
            )
            options.append(
                (str(len(curves)), f"{record.name}, {site.view.source_label(curve.source)}")
            )
            curves.append(
                {
                    "unit": curve.unit,
                    "points": [[float(p.temperature), float(p.hardness)] for p in curve.points],
                    "text": text,
                    "low": float(min(hardnesses)),
                    "high": float(max(hardnesses)),
                    "plain": record.family == "carbon-steel",
                }
            )
            shown = ", ".join(
                f"{quantities.number_text(p.temperature)}:{quantities.NBSP}{quantities.number_text(p.hardness)}"
                for p in curve.points
            )
            rows.append({"cells": [record.name, curve.unit, shown], "source": curve.source})
    colours = [
        [c.name, float(c.range[0]), float(c.range[1])]
        for c in site.knowledge.words("temper_colours").values()
    ]
    fields = [
        {
            "name": "curve",
            "label": "Steel and table",
            "options": options or [("", "no steel has a table")],
        },
        {"name": "value", "label": "Hardness wanted", "options": [], "value": "60", "unit": "HRC"},
    ]
    notes = [
        "Straight lines between printed points; a heat, a section and a holding time of your own shift it. Test a scrap first.",
        "The colour of the film shows temperature and time together: the same brown comes at 321 degC in eight minutes and "
        "at 221 degC in an hour.",
    ]
    return _lookup(
        site,
        "tempering-temperature",
        "tempering",
        {"curves": curves, "colours": colours},
        fields,
        notes,
        ["steel", "scale", "tempered at °C: hardness", "source"],
        rows,
        ("hot-work", "quench-oil"),
    )


NAMES_A_PAGE = 500


def names_pages(site: Site) -> Iterator[Page]:
    """Every name and designation, A to Z, some letters a page; also what is reached without
    scripts."""
    found: set[tuple[str, str, str]] = set()
    for kind in KINDS:
        for key, record in site.knowledge.of_kind(kind).items():
            texts = {record.name, *record.also_called}
            if kind == "material":
                texts |= {d.code for d in record.designations}
            found |= {(text, kind, key) for text in texts}
    letters: dict[str, list] = defaultdict(list)
    for text, kind, key in sorted(found, key=lambda e: (e[0].casefold(), e)):
        first = text[0].upper()
        letters[first if "A" <= first <= "Z" else "0-9"].append((text, kind, key))
    order = sorted(letters, key=lambda letter: (letter == "0-9", letter))
    groups = _in_groups([(letter, len(letters[letter])) for letter in order], NAMES_A_PAGE)
    places = [
        (letter, f"names/{_letters_slug(group)}.html") for group in groups for letter in group
    ]
    title, summary = (
        "Every name, A to Z",
        "Every name and designation in any system, and the page it belongs to.",
    )
    trail = [("Start", "index.html"), ("A to Z", "names.html")]
    body = site.view.draw(
        "names",
        "names.html",
        title=title,
        summary=summary,
        places=places,
        letters=[],
        trail=[trail[0], ("A to Z", "")],
    )
    yield Page("names.md", title, summary, body, listed=True, wide=True)
    for group in groups:
        slug, title = (
            _letters_slug(group),
            f"Names, {group[0]}" + (f" to {group[-1]}" if len(group) > 1 else ""),
        )
        body = site.view.draw(
            "names",
            f"names/{slug}.html",
            title=title,
            summary=summary,
            places=places,
            letters=[(letter, letters[letter]) for letter in group],
            trail=[*trail, (title, "")],
        )
        yield Page(f"names/{slug}.md", title, summary, body, wide=True)


def _in_groups(counts: list[tuple[str, int]], most: int) -> list[list[str]]:
    """Neighbours together as long as their counts do not come to more than ``most``."""
    groups, total = [], 0
    for name, count in counts:
        if not groups or total + count > most:
            groups.append([])
            total = 0
        groups[-1].append(name)
        total += count
    return groups


def _letters_slug(group: list[str]) -> str:
    return _slug(group[0] if len(group) == 1 else f"{group[0]} {group[-1]}")


def sources_pages(site: Site) -> Iterator[Page]:
    """Every source in full with the pages that cite it: a page a kind, and one that lists them."""
    knowledge = site.knowledge
    counts = Counter(f.source for m in knowledge.materials.values() for _, _, f in figures_of(m))
    title, summary = "Sources", "Where every figure and judgement comes from."
    trail, listing = [("Start", "index.html"), ("Sources", "sources.html")], []
    for address, keys in site.view.source_pages.items():
        kind = knowledge.sources[keys[0]].kind
        pages_of_kind = sum(
            knowledge.sources[other[0]].kind == kind for other in site.view.source_pages.values()
        )
        span = (
            f", {_head_word(knowledge, keys[0])} to {_head_word(knowledge, keys[-1])}"
            if pages_of_kind > 1
            else ""
        )
        name = f"Sources: {knowledge.words('source_kinds')[kind].name}{span}"
        listing.append((address, name.removeprefix("Sources: "), len(keys)))
        entries = [(s, knowledge.sources[s], site.mentions.get(("source", s), [])) for s in keys]
        body = site.view.draw(
            "sources",
            address,
            title=name,
            summary=summary,
            entries=entries,
            trail=[*trail, (name, "")],
        )
        yield Page(address.removesuffix(".html") + ".md", name, summary, body)
    body = site.view.draw(
        "source_kinds",
        "sources.html",
        title=title,
        summary=summary,
        listing=listing,
        memory=counts["memory"],
        trail=[trail[0], ("Sources", "")],
    )
    yield Page("sources.md", title, summary, body, listed=True)


def _head_word(knowledge: Knowledge, source: str) -> str:
    return knowledge.sources[source].title.split()[0].strip(",:;")


def glossary_page(site: Site) -> Page:
    """The words of the field, and those of the vocabularies that carry a meaning."""
    terms = dict(site.knowledge.words("glossary"))
    known = {t.casefold() for t in terms}
    for vocabulary in ("properties", "mechanisms", "traits", "exposure_verdicts", "fit_verdicts"):
        for entry in site.knowledge.words(vocabulary).values():
            if entry.meaning and entry.name.casefold() not in known:
                terms[entry.name] = models.Term(meaning=entry.meaning)
                known.add(entry.name.casefold())
    ids = {term: _slug(term) for term in terms}
    known_ids = {i: sentence(t) for t, i in ids.items()}
    rows = [(sentence(t), ids[t], terms[t]) for t in sorted(terms, key=str.casefold)]
    listing = [
        (
            t,
            i,
            {
                "meaning": e.meaning,
                "see": [(known_ids[_slug(s)], _slug(s)) for s in e.see if _slug(s) in known_ids],
            },
        )
        for t, i, e in rows
    ]
    title, summary = "Glossary", "The words of the field in plain sentences."
    body = site.view.draw(
        "glossary",
        "glossary.html",
        title=title,
        summary=summary,
        terms=listing,
        trail=[("Start", "index.html"), ("Glossary", "")],
    )
    return Page("glossary.md", title, summary, body, listed=True, wide=True)


def _slug(text: str) -> str:
    """Letters and digits with hyphens between, for anchors."""
    return "-".join("".join(c if c.isalnum() else " " for c in text.casefold()).split())


def cautions_page(site: Site) -> Page:
    """Every caution with what to do, its authority, and the pages it is shown on."""
    entries = []
    for key, caution in site.knowledge.cautions.items():
        materials = [
            ("material", m)
            for m in site.knowledge.materials
            if any(applies(site.knowledge, w, m) for w in caution.applies)
        ]
        users = [pair for pair in site.mentions.get(("caution", key), []) if pair not in materials]
        entries.append((key, caution, materials, users))
    title = "Cautions"
    summary = "What can hurt, and the usual care. Local codes and licensed practice come first; ask them when in doubt."
    body = site.view.draw(
        "cautions",
        "cautions.html",
        title=title,
        summary=summary,
        entries=entries,
        trail=[("Start", "index.html"), ("Cautions", "")],
    )
    return Page("cautions.md", title, summary, body, listed=True, wide=True)


def coverage_page(site: Site) -> Page:
    """How many figures are sourced, from memory, or missing."""
    rows = []
    for key in sorted(
        site.knowledge.materials, key=lambda k: site.knowledge.materials[k].name.casefold()
    ):
        record = site.knowledge.materials[key]
        found = list(figures_of(record))
        memory = sum(f.source == "memory" for *_, f in found)
        double = sum(
            len({f.source for f in record.figures.get(p, ()) if f.source != "memory"}) > 1
            for p in record.figures
        )
        double += sum(
            len({f.source for f in fs if f.source != "memory"}) > 1
            for s in record.states.values()
            for fs in s.figures.values()
        )
        rows.append(
            {
                "id": key,
                "figures": len(found),
                "published": len(found) - memory,
                "memory": memory,
                "double": double,
                "missing": missing_figures(site, key),
                "reviewed": record.reviewed.on,
            }
        )
    total, memory = sum(r["figures"] for r in rows), sum(r["memory"] for r in rows)
    cited = sum(r.target == "source" for r in site.knowledge.all_references())
    share = f" ({100 * (total - memory) / total:.1f} %)" if total else ""
    key = [
        ("materials", len(rows)),
        ("parts", len(site.knowledge.parts)),
        ("hazards", len(site.knowledge.hazards)),
        ("processes", len(site.knowledge.processes)),
        ("calculations", len(site.knowledge.formulas)),
        ("figures of materials", total),
        ("from a publication", f"{total - memory}{share}"),
        ("from memory", memory),
        ("basic figures not found", sum(len(r["missing"]) for r in rows)),
        ("sources", len(site.knowledge.sources)),
        ("citations in all", cited),
    ]
    title, summary = "Coverage", "How much of this reference is sourced, remembered or missing."
    body = site.view.draw(
        "coverage",
        "coverage.html",
        title=title,
        summary=summary,
        key=key,
        rows=rows,
        trail=[("Start", "index.html"), ("Coverage", "")],
    )
    return Page("coverage.md", title, summary, body, listed=True, wide=True)


EDITIONS = "What changed"
MOST_CHANGES = 250  # shown in full; of older editions the counts


def editions_page(site: Site) -> Page:
    """Is a printed card still current, and what each edition changed, newest first.

    Comes after all cards were drawn.
    """
    knowledge, view = site.knowledge, site.view
    stamped = editions.cards_of(knowledge)
    cards = sorted(
        ((view.name(*_record_of(page)), *_record_of(page), page) for page in site.cards),
        key=lambda c: (c[0].casefold(), c[3]),
    )
    rows = [
        {
            "kind": kind,
            "id": key,
            "page": f"{page}.html",
            "since": stamped[page][0] if page in stamped else "",
            "draft": f"{page}.html" in view.drafts,
        }
        for _, kind, key, page in cards
    ]
    withdrawn = [
        (page, day) for page, (day, _) in sorted(stamped.items()) if page not in site.cards
    ]
    shown, told = [], 0
    for day in sorted(knowledge.editions, reverse=True):
        edition = knowledge.editions[day]
        told += len(edition.changed)
        shown.append(
            {
                "day": day,
                "words": editions.in_words(edition),
                "new": [_listed(site, page) for page in edition.new],
                "gone": edition.gone,
                "records": _changes(site, edition.changed) if told <= MOST_CHANGES else [],
            }
        )
    title = EDITIONS
    summary = (
        "A printed card names its page and its edition. Find the page here: a card of that edition, or of a later one, "
        "is current."
    )
    body = view.draw(
        "editions",
        "editions.html",
        title=title,
        summary=summary,
        rows=rows,
        withdrawn=withdrawn,
        editions=shown,
        trail=[("Start", "index.html"), (title, "")],
    )
    return Page("editions.md", title, summary, body, listed=True)


def _record_of(page: str) -> tuple[str, str]:
    """Kind and id of a page such as materials/stainless-316l."""
    folder, _, key = page.partition("/")
    return next((kind for kind, name in COLLECTIONS.items() if name == folder), "caution"), key


def _listed(site: Site, page: str) -> tuple[str, str]:
    """Address and name of a record; no address when it is gone."""
    kind, key = _record_of(page)
    known = site.knowledge.cautions if kind == "caution" else site.knowledge.of_kind(kind)
    return (site.view.address(kind, key), site.view.name(kind, key)) if key in known else ("", page)


def _changes(site: Site, changed: list[models.Change]) -> list[dict]:
    """Changes by record: which field, how, and the texts before and after where they are short."""
    records: dict[str, list] = defaultdict(list)
    for c in changed:
        records[c.record].append(
            {
                "field": sentence(editions.field_words(site.knowledge, c.record, c.field)),
                "how": c.how,
                "was": c.was,
                "now": c.now,
            }
        )
    return [{"record": _listed(site, page), "fields": found} for page, found in records.items()]
