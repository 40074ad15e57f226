"""What templates may call: addresses, names, words, numbers and units as text.

Templates hold no logic beyond loops and conditions; anything that decides or formats stands here.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import jinja2
from markupsafe import Markup, escape

from generator.numbers import quantities
from generator.numbers.formulas import as_mathml, compile_expression, symbol_html
from generator.numbers.quantities import NBSP, Quantity
from generator.records import models
from generator.records.knowledge import COLLECTIONS, UNPUBLISHED, Knowledge, part_of, setting_of
from generator.site import caution_line, in_languages, layer_words
from generator.site.kept_pages import KeptPages
from generator.site.snippets import Fragments
from generator.site.texts import any_of, bound_words, day, plain_text, sentence, terms
from generator.upkeep import editions
from generator.verdicts import wording

FOLDERS = {kind: f"{plural}/" for kind, plural in COLLECTIONS.items()}
_STANDARD = re.compile(
    r"^((?:ISO|IEC|EN|ASTM|DIN|BS|JIS|MIL|AMS|ASME|FED|YB/T|GB/T|NFPA|GOST|\d+ CFR|REACH)[A-Z"
    r" /-]*[\w./-]*\d[\w./-]*)"
)

_LAW = re.compile(r"^([^:]*?\d[\w./]*)")  # up to its number: `Directive (EU) 2017/2398`
_PERSON = re.compile(r"^(?:[A-Z]\. ?)+|^[A-Z][\w'-]+$")  # initials, or a surname alone


def authors(source: models.Source) -> str:
    """Who wrote a source, by surname, or the body that issued it; nothing where it is not named."""
    said = re.sub(r"^after |, \d{4}$| \(.*", "", source.author or "")
    names = re.split(r", | and ", said)
    written = source.kind in ("paper", "handbook", "patent")
    if all(_PERSON.match(n) or n == "others" for n in names) and (written or ". " in said):
        names = [n if n.endswith(".") else n.split()[-1] for n in names]
        return f"{names[0]} and others" if len(names) > 2 else " and ".join(names)
    return said if said[:1].isupper() else ""


def _shortened(name: str) -> str:
    return name if len(name) <= 32 else name[:30].rsplit(" ", 1)[0] + " …"


OWN = Markup(
    f'<span class="own" role="img" aria-label="of this workshop">{layer_words.MARK}</span>'
)


class View:
    """What the templates of one site share."""

    def __init__(
        self,
        knowledge: Knowledge,
        templates: Path,
        table_titles: Mapping[str, str],
        cache: Path | None = None,
        kept: KeptPages | None = None,
    ):
        """``kept`` holds the pages that this process drew before."""
        self.knowledge, self.table_titles = knowledge, table_titles
        self._kept = kept or KeptPages()
        self._kept.begin((_named_everywhere(knowledge), dict(table_titles), _saved(templates)))
        self.drafts: set[str] = (
            set()
        )  # pages of cards that say something else than in the last edition
        self._programs = {
            f: compile_expression(r.expression, r.symbols) for f, r in knowledge.formulas.items()
        }
        self._mathml = {f: Markup(as_mathml(p, {})) for f, p in self._programs.items()}
        self.environment = _environment(templates, cache)
        self.environment.globals.update(self._callable())
        self.source_pages = source_pages(knowledge)
        self._source_places = {
            key: page for page, keys in self.source_pages.items() for key in keys
        }
        self.added = {
            self.address(*record): found for record, found in layer_words.added(knowledge).items()
        }
        self._named = in_languages.by_address(knowledge, self.address)
        self._templates: dict[str, jinja2.Template] = {}
        self._by_depth: dict[str, dict] = {}

    def _callable(self) -> dict[str, object]:
        """What every template may call or name."""
        knowledge = self.knowledge
        return {
            "address": self.address,
            "name": self.name,
            "value": self.value,
            "shown": quantities.shown,
            "unit": self.unit,
            "number": quantities.number_text,
            "word": self.word,
            "meaning": lambda vocabulary, key: knowledge.words(vocabulary)[key].meaning or "",
            "source_text": self.source_text,
            "state_name": self.state_name,
            "property_name": self.property_name,
            "property_unit": self.property_unit,
            "formula_name": lambda f: knowledge.formulas[f].name,
            "mathml": self.mathml,
            "symbol_html": lambda s: Markup(f"<math>{symbol_html(s)}</math>"),
            "day": day,
            "edition": editions.last_of(knowledge),
            "drafts": self.drafts,
            "draft": editions.DRAFT,
            "quantity": quantities.of_figure,
            "evidence": self.evidence,
            "weakest": wording.weakest,
            "own": OWN,
            "own_of": self.own_of,
            "summary_of": self.summary_of,
            "caution_line": caution_line.named_first,
            "names_of": lambda named: in_languages.names_of(knowledge, named),
            "when": self.when_words,
            "where": self.where_words,
            "verdict": self.verdict,
        }

    def draw(self, template: str, page_id: str, **context) -> str:
        """Fill a template for the page at ``page_id`` (folder/name.html); links become relative to
        it."""
        added = self.added.get(page_id)
        named = self._named.get(page_id)
        given = (added, named, page_id in self.drafts, context)
        return self._kept.text(
            page_id,
            template,
            given,
            lambda: self._drawn(template, page_id=page_id, added=added, named=named, **context),
        )

    def _drawn(self, template: str, page_id: str, **context) -> str:
        if template not in self._templates:
            self._templates[template] = self.environment.get_template(f"{template}.j2")
        pieces = self._pieces("../" * page_id.count("/"))
        return self._templates[template].render(page_id=page_id, **pieces, **context)

    def _pieces(self, up: str) -> dict:
        """What templates call most, for one depth of folder, each piece of HTML made once."""
        if up not in self._by_depth:

            @cache
            def link(kind: str, key: str) -> Markup:
                name, own = escape(self.name(kind, key)), self.own_of(kind, key)
                return Markup(f'<a href="{up}{self.address(kind, key)}">{name}</a>{own}')

            @cache
            def titled(kind: str, key: str) -> Markup:
                shown, own = escape(sentence(self.name(kind, key))), self.own_of(kind, key)
                return Markup(f'<a href="{up}{self.address(kind, key)}">{shown}</a>{own}')

            @cache
            def source(key: str) -> Markup:
                css = f"src src--{key}" if key in UNPUBLISHED else "src"
                address, own = up + self.source_address(key), self.own_of("source", key)
                label = escape(self.source_label(key))
                return Markup(f'<a class="{css}" href="{address}">{label}</a>{own}')

            @cache
            def cite(key: str) -> Markup:
                if key in UNPUBLISHED:  # two words that say how much to trust, not where to look
                    return Markup(f'<span class="from">{source(key)}</span>')
                return Markup(
                    f'<details class="srcs"><summary>Source</summary>{source(key)}</details>'
                )

            pieces = Fragments(self, link, titled, source)
            self._by_depth[up] = {
                "to": lambda address: up + address,
                "link": link,  # in a sentence
                "titled": titled,  # standing alone: in a list, at the head of a row
                "source": source,
                "cite": cite,
                "rung_rows": pieces.rung_rows,
                "ruled_out": pieces.ruled_out,
                "opening": pieces.opening,
                "exposure_rows": pieces.exposure_rows,
                "computed": pieces.computed,
                "input": pieces.input,
            }
        return self._by_depth[up]

    def own_of(self, kind: str, key: str, way: tuple | None = None) -> str:
        """The mark of a workshop's own layer where it touched a record, or gave one value of it;
        else nothing."""
        if not self.knowledge.layered:
            return ""
        if kind == "caution":
            return (
                OWN
                if any(
                    found[:1] in ((), (key,))
                    for found in self.knowledge.layered.get(("list", "cautions"), ())
                )
                else ""
            )
        touched = (
            (kind, key) in self.knowledge.layered
            if way is None
            else self.knowledge.from_layer(kind, key, way)
        )
        return OWN if touched else ""

    def address(self, kind: str, key: str) -> str:
        """The address of a record's page, relative to the root of the site."""
        if kind == "caution":
            return f"cautions.html#{key}"
        if kind == "first aid":
            return f"first-aid.html#{key}"
        if kind == "family":
            return f"families/{key}.html"
        if kind == "zone":
            return f"zones/{key}.html"
        if kind == "mark":
            return f"marks/{key}.html"
        if kind == "table":
            return f"tables/{key}.html"
        if kind == "part" and setting_of(key):
            return f"{FOLDERS[kind]}{part_of(key)}.html#in-{setting_of(key)}"
        return f"{FOLDERS[kind]}{key}.html"

    def name(self, kind: str, key: str) -> str:
        """What a record is called."""
        if kind == "family":
            return self.knowledge.words("families")[key].plural
        if kind == "zone":
            return sentence(self.knowledge.words("zones")[key].name)
        if kind == "caution":
            return self.knowledge.cautions[key].name
        if kind == "first aid":
            return self.knowledge.first_aid[key].name
        if kind == "table":
            return self.table_titles[key]
        if kind == "part":
            return self.knowledge.roles[key].name
        return self.knowledge.of_kind(kind)[key].name

    def summary_of(self, kind: str, key: str) -> str:
        """A record in one line."""
        if kind in ("family", "zone"):
            entry = self.knowledge.words("families" if kind == "family" else "zones")[key]
            return entry.meaning or entry.name
        return self.knowledge.of_kind(kind)[key].summary

    def word(self, vocabulary: str, key: str) -> str:
        """The plain word for an id of a vocabulary."""
        return self.knowledge.words(vocabulary)[key].name

    def unit(self, unit: str) -> str:
        """A unit as readers see it; nothing for pure numbers."""
        return "" if unit in ("", "1") else self.knowledge.words("units")[unit].label

    def property_name(self, key: str) -> str:
        """The plain name of a property."""
        return self.knowledge.words("properties")[key].name

    def property_unit(self, key: str) -> str:
        """The first unit of a property."""
        return next(iter(self.knowledge.words("properties")[key].units))

    def state_name(self, material: str, state: str) -> str:
        """The plain name of a material's state."""
        return plain_text(self.knowledge.materials[material].states[state].name)

    def source_address(self, key: str) -> str:
        """Where a source stands in full, relative to the root of the site."""
        return f"{self._source_places.get(key, 'sources.html')}#{key}"

    def standard(self, key: str) -> str:
        """The number of the standard or rule that a source is; nothing for any other."""
        source = self.knowledge.sources.get(key)
        found = source and _STANDARD.match(source.title)
        return found.group(1) if found else ""

    def source_label(self, key: str) -> str:
        """A source in two or three words, for use beside a figure."""
        if key in ("memory", "practice"):
            return {"memory": "unsourced, from memory", "practice": "common practice"}[key]
        source = self.knowledge.sources[key]
        year = f" {source.year}" if source.year and re.fullmatch(r"\d{4}", source.year) else ""
        norm = source.kind in ("law", "standard") and source.number
        for text in (source.title, norm or ""):
            if found := _STANDARD.match(text) or (source.kind == "law" and _LAW.match(text)):
                return found.group(1)
        return _shortened(authors(source) or source.publisher) + year

    def source_text(self, key: str) -> str:
        """A source in full, one line."""
        if key not in self.knowledge.sources:
            return ""
        source = self.knowledge.sources[key]
        parts = [
            source.author,
            source.title,
            source.number,
            source.publisher,
            source.year,
            source.where,
        ]
        return ", ".join(p for p in parts if p)

    def mathml(self, formula: str) -> Markup:
        """A formula set out."""
        return self._mathml[formula]

    def terms(self, typed: str) -> Markup:
        """Text from a record, ready for the page."""
        return terms(typed)

    def verdict(self, vocabulary: str, key: str) -> Markup:
        """A verdict in its plain word, marked for the style sheet."""
        return Markup(
            f'<span class="verdict verdict--{key}">{escape(self.word(vocabulary, key))}</span>'
        )

    def value(self, quantity: Quantity, table: bool = False) -> Markup:
        """A quantity with its unit, for tables and lists."""
        unit = self.unit(quantity.unit)
        shown = f'<span class="num">{quantities.shown(quantity, table)}</span>'
        said = f'{shown}{NBSP}<span class="unit">{unit}</span>' if unit else shown
        remembered = quantity.evidence == quantities.MEMORY  # said in the place of the source
        return Markup(said) + ("" if remembered else self.evidence(quantity))

    def evidence(self, quantity: Quantity, brief: bool = False) -> Markup:
        """Sign and word for evidence that is not the metal's own; ``brief``: without from what."""
        words = wording.evidence_words(replace(quantity, of=()) if brief else quantity)
        if not words:
            return Markup("")
        return Markup(' <small class="evidence">{}</small>').format(plain_text(words))

    def quantity_text(self, quantity: Quantity, brief: bool = False) -> Markup:
        """A quantity with its unit; ``brief`` leaves out from what a weaker one comes."""
        unit = self.unit(quantity.unit)
        return Markup(
            f'<span class="num">{escape(quantities.shown(quantity))}</span>'
            + (f"{NBSP}{escape(unit)}" if unit else "")
        ) + self.evidence(quantity, brief)

    def where_words(self, rule: models.ExposureRule) -> str:
        """Where in a watch a rule holds, in plain words; nothing where it holds everywhere."""
        words = [self.word("zones", z) for z in rule.zones]
        words += [self.name("part", p) for p in rule.parts]
        return f"only in: {', '.join(words)}" if words else ""

    def when_words(self, when: models.When) -> str:
        """A condition in plain words."""
        words = []
        if when.materials:
            words.append(any_of(self.name("material", m) for m in when.materials))
        if when.families:
            words.append(any_of(self.word("families", f) for f in when.families))
        if when.classes:
            words.append(any_of(self.word("classes", c) for c in when.classes))
        for symbol, bound in when.contains.items():
            words.append(
                f"with {bound_words(bound)} % {self.knowledge.words('elements')[symbol].name}"
            )
        if when.pitting_index:
            words.append(f"with a pitting index of {bound_words(when.pitting_index)}")
        if when.traits:
            words.append(any_of(self.word("traits", t) for t in when.traits))
        if when.lacks_traits:
            words.append("not " + any_of(self.word("traits", t) for t in when.lacks_traits))
        if when.magnetism:
            words.append("a magnet: " + any_of(self.word("magnetism", m) for m in when.magnetism))
        if when.states:
            words.append("in the state " + any_of(s.replace("-", " ") for s in when.states))
        return "; ".join(words) or "everything else"


def _named_everywhere(knowledge: Knowledge) -> tuple:
    """What templates may name on any page without being given it."""
    names = {
        kind: {key: (r.name, r.summary) for key, r in knowledge.of_kind(kind).items()}
        for kind in COLLECTIONS
    }
    states = {
        key: {s: state.name for s, state in r.states.items()}
        for key, r in knowledge.materials.items()
    }
    settings = {key: r.name for key, r in knowledge.roles.items()}
    measures = {key: r.measures for key, r in knowledge.processes.items()}
    formulas = {
        key: (r.expression, tuple(r.symbols), r.result) for key, r in knowledge.formulas.items()
    }
    layered = sorted((*record, sorted(map(repr, w))) for record, w in knowledge.layered.items())
    edition = editions.last_of(knowledge), layered
    found = (names, states, settings, measures, formulas)
    return *found, knowledge.hazards, knowledge.lists, knowledge.sources, edition


def _saved(templates: Path) -> list[tuple[str, str]]:
    return sorted((path.name, path.read_text(encoding="utf-8")) for path in templates.iterdir())


SOURCES_A_PAGE = 120


def source_pages(knowledge: Knowledge) -> dict[str, list[str]]:
    """Address of each page of sources -> its sources by title: a page for each kind, several of
    like length where a kind has many."""
    pages = {}
    for kind in knowledge.words("source_kinds"):
        keys = sorted(
            (s for s, source in knowledge.sources.items() if source.kind == kind),
            key=lambda s: knowledge.sources[s].title.casefold(),
        )
        count = -(-len(keys) // SOURCES_A_PAGE)
        for n in range(count):
            name = kind if not n else f"{kind}-{n + 1}"
            pages[f"sources/{name}.html"] = keys[
                n * len(keys) // count : (n + 1) * len(keys) // count
            ]
    return pages


def _environment(templates: Path, cache: Path | None) -> jinja2.Environment:
    """Strict templates; compiled ones are kept in ``cache`` between builds, where it is given."""
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(templates),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        bytecode_cache=_compiled_templates(cache),
    )
    environment.filters.update(terms=terms, sentence=sentence)
    return environment


def _compiled_templates(folder: Path | None) -> jinja2.BytecodeCache | None:
    """Where compiled templates are kept between builds; none where no folder is given."""
    if folder is None:
        return None
    folder.mkdir(parents=True, exist_ok=True)
    return jinja2.FileSystemBytecodeCache(str(folder))
