"""The page of a material."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from markupsafe import Markup, escape

from generator.numbers import quantities
from generator.numbers.composition import share_range
from generator.numbers.quantities import Quantity
from generator.numbers.values import figure_quantity
from generator.records import models
from generator.records.materials import figures_of
from generator.site import layer_words, print_layout
from generator.site.page import Page, Site, card_choices, record_page, trail
from generator.site.pages.rung_rows import SHOWN_AT_ONCE, by_rung
from generator.site.pictures import on_pages
from generator.site.texts import share_text
from generator.verdicts.candidates import near
from generator.verdicts.findings import EXPOSURE_RANK, Exposure

NICKEL = 1  # per cent, from which a metal may give off enough to ask


@dataclass(frozen=True)
class StateRow:
    """A state of a material as its page names it."""

    id: str
    name: str
    names: object  # the entry with its names in other languages, if there is one
    reached: str | None
    stage: str | None
    magnetism: str | None


@dataclass(frozen=True)
class FigureRow:
    """A figure of a material with its state and source; ``first`` of its property."""

    name: str
    state: str
    q: Quantity
    source: str
    note: str
    first: bool
    own: str
    measured: object


def material_page(site: Site, key: str) -> Page:
    """A material: what it is, its key figures, where it belongs, all figures with state and
    source."""
    view, record = site.view, site.knowledge.materials[key]
    address, family = view.address("material", key), record.family
    pictures = on_pages.of_material(site, key)
    exposure, cautions = exposure_rows(site, key), site.cautions(record, key)
    key_rows, workings = key_figures(site, key), site.knowledge.words("workings")
    body = view.draw(
        "material",
        address,
        m=record,
        id=key,
        trail=trail(
            "material", [(view.name("family", family), view.address("family", family))], record.name
        ),
        cautions=cautions,
        key=key_rows,
        usual=site.choices[key]["usual"],
        wrong=site.choices[key]["wrong"],
        card=_card(site, key, exposure, cautions, key_rows),
        figures=figure_rows(site, key),
        missing=missing_figures(site, key),
        states=_states(site, key),
        pictures=pictures,
        curves=pictures["curves"],
        workings=[(w, record.working[w]) for w in workings if w in record.working],
        designations=[(view.word("systems", d.system), d.code) for d in record.designations],
        composition=_composition(record),
        mentions=site.mentioned("material", key),
        computed_in=site.in_tables.get(key, []),
        siblings=[("material", k) for k in near(site.families[family], key)],
        exposure=exposure,
        rungs=by_rung(site, "part", site.verdicts.of_material(key)),
        signs=material_signs(site, exposure),
        contact=site.contacts.place_of.get(key),
    )
    return record_page(address, record, body)


def _card(site: Site, key: str, exposure, cautions, key_rows) -> dict:
    """The card of a material, which lists the parts that name it."""
    chosen = [pair for name in ("usual", "wrong") for pair in site.choices[key][name]]
    lines = print_layout.material_lines(
        site.knowledge, key, ((h, e) for h, e, _ in exposure), (c for _, c in cautions)
    )
    return card_choices(
        site,
        site.view.address("material", key),
        site.knowledge.materials[key],
        lines,
        [choice for _, choice in chosen],
        key_rows,
        [site.view.name("part", part) for part, _ in chosen],
    )


def _states(site: Site, key: str) -> list[StateRow]:
    names = site.knowledge.words("state_names")
    return [
        StateRow(
            id=s,
            name=site.view.state_name(key, s),
            names=names.get(state.name),
            reached=state.reached,
            stage=state.stage,
            magnetism=state.magnetism,
        )
        for s, state in site.knowledge.materials[key].states.items()
    ]


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
        rows.append(("density", view.quantity_text(density, brief=True)))
    for state, quantity in _hardness_by_state(site, key)[:4]:
        rows.append(
            (
                f"hardness, {view.state_name(key, state)}" if state else "hardness",
                view.quantity_text(quantity, brief=True),
            )
        )
    for prop in ("thickness", "expansion", "service-temperature"):
        quantity = site.values.of(key, prop)
        if quantity:
            rows.append((view.property_name(prop), view.quantity_text(quantity, brief=True)))
    rows.append(("a magnet", view.word("magnetism", record.magnetism)))
    if record.colour:
        word = Markup('{} <small class="evidence">common practice</small>')
        rows.append(("colour", word.format(view.word("colours", record.colour))))
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


def figure_rows(site: Site, key: str) -> list[FigureRow]:
    """All figures of a material in the order of the vocabulary, then of the states; one row a
    figure."""
    record = site.knowledge.materials[key]
    order = {p: i for i, p in enumerate(site.knowledge.words("properties"))}
    states = {s: i for i, s in enumerate(record.states)}

    def place(found) -> tuple[int, int]:
        way, prop, _ = found
        return order[prop], states.get(_state_of(way), -1)

    rows, last = [], None
    for way, prop, figure in sorted(figures_of(record), key=place):
        rows.append(_figure_row(site, key, way, prop, figure, first=prop != last))
        last = prop
    return rows


def _state_of(way: tuple) -> str:
    return way[1] if way[0] == "states" else ""


def _figure_row(
    site: Site, key: str, way: tuple, prop: str, figure: models.Figure, first: bool
) -> FigureRow:
    view, state = site.view, _state_of(way)
    unit = figure.unit or view.property_unit(prop)
    span = " to ".join(map(quantities.number_text, figure.over or ()))
    return FigureRow(
        name=view.property_name(prop),
        state=view.state_name(key, state) if state else "any",
        q=figure_quantity(site.knowledge, figure, unit),
        source=figure.source,
        note="; ".join(t for t in (span and f"{span} degC", figure.note) if t),
        first=first,
        own=view.own_of("material", key, way),
        measured=layer_words.measured(figure, view.unit(unit)),
    )


def missing_figures(site: Site, key: str) -> list[str]:
    """The basic properties of its class for which a material has no figure at all; of a metal with
    nickel in it, also what it gives off to the skin."""
    record = site.knowledge.materials[key]
    of_class = site.knowledge.words("classes")[site.knowledge.material_class(record)]
    wanted = [*of_class.asked]
    nickel = share_range(record.composition, "Ni")
    if nickel and nickel[1] >= NICKEL and "nickel-release" in site.knowledge.words("properties"):
        wanted.append("nickel-release")
    have = {prop for _, prop, _ in figures_of(record)}
    return [site.view.property_name(p) for p in wanted if p not in have]


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
                "; ".join(site.view.state_name(key, s) for s, _ in found if s)
                if len(by_rule) > 1
                else ""
            )
            rows.append(
                (hazard, found[0][1], f"<br><small>{escape(names)}</small>" if names else "")
            )
    return sorted(rows, key=lambda r: -EXPOSURE_RANK[r[1].verdict])


def material_signs(site: Site, exposure: list[tuple[str, Exposure, str]]) -> list[tuple[str, str]]:
    """What harms a material and how that looks, worst first: (hazard, sign), for the top of its
    page."""
    found = {
        hazard: e.rule.looks_like
        for hazard, e, _ in exposure
        if e.verdict in ("fails", "suffers") and e.rule and e.rule.looks_like
    }
    return list(found.items())[:SHOWN_AT_ONCE]
