"""Receives a Knowledge of the right shape; hands on complaints about its meaning.

Each rule is one small generator; its docstring is the rule. ``check`` runs them all over
everything in one pass.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from functools import cache
from pathlib import Path

from generator.checks import metallurgy, slips
from generator.checks.claims import broken_grounds
from generator.checks.layered import safety_taken_away
from generator.numbers.formulas import FormulaFault, compile_demand, compile_expression, evaluate
from generator.numbers.quantities import NBSP
from generator.numbers.values import Values
from generator.records import models
from generator.records.complaints import Complaint, did_you_mean
from generator.records.knowledge import KINDS, UNPUBLISHED, Knowledge, load
from generator.records.models import figures_of
from generator.upkeep.new_record import TO_REPLACE
from generator.verdicts.conditions import (
    applies,
    cautions_of_material,
    cautions_of_process,
    ends_of_share,
)
from generator.verdicts.fit import Judge, collisions
from generator.verdicts.wording import reasons

Rule = Callable[[Knowledge], Iterator[Complaint]]
RULES: list[Rule] = []


def rule(function: Rule) -> Rule:
    """Registers a rule under its function name."""
    RULES.append(function)
    return function


def check(root: Path, layers: Sequence[Path] = ()) -> tuple[Knowledge, list[Complaint]]:
    """Read, type and check the knowledge base with the workshop's own layers.

    Meaning is checked in files of the right shape only.
    """
    knowledge, complaints = load(root, layers)
    shapely = not complaints
    for each in RULES:
        if shapely or each not in (unused_source, unknown_id):
            complaints += each(knowledge)
        elif each is unknown_id:
            complaints += _only_sure(each(knowledge), complaints)
    if layers and shapely:
        complaints += safety_taken_away(load(root)[0], knowledge)
    if not complaints:
        judge = Judge(knowledge, Values(knowledge))
        complaints += verdict_contradicts_the_trade(knowledge, judge)
        complaints += grounds_do_not_hold(knowledge, judge)
    return knowledge, sorted(set(complaints))


def verdict_contradicts_the_trade(knowledge: Knowledge, judge: Judge) -> Iterator[Complaint]:
    """A usual material comes out as suits or suits with care, a wrong one as unfit.

    Asked only when nothing else is wrong.
    """
    words = knowledge.words("fit_verdicts")
    for key, way, choice, fit in collisions(knowledge, judge):
        where = f", {fit.state}" if fit.state else ""
        why = "; ".join(reasons(knowledge, fit, 2)).replace(NBSP, " ")
        fault = f"{way[0]} says {choice.material}{where}, the verdict is {words[fit.verdict].name!r} ({why})"
        yield _complaint(
            knowledge,
            "part",
            key,
            way,
            fault,
            "mend the figure, the demand, the hazard's rule or the choice",
            "verdict_contradicts_the_trade",
        )


def grounds_do_not_hold(knowledge: Knowledge, judge: Judge) -> Iterator[Complaint]:
    """What a saying or an answer rests on (figures compared, verdicts) comes out true.

    Asked only when nothing else is wrong.
    """
    grounds = [
        ("saying", key, ("rests_on",), saying.rests_on) for key, saying in knowledge.sayings.items()
    ]
    grounds += [
        ("lesson", key, ("questions", i, "rests_on"), question.rests_on)
        for key, lesson in knowledge.lessons.items()
        for i, question in enumerate(lesson.questions)
    ]
    for kind, key, way, ground in grounds:
        for step, fault in broken_grounds(judge, ground):
            yield _complaint(
                knowledge,
                kind,
                key,
                (*way, *step),
                fault,
                "mend the text, or the figure it rests on",
                "grounds_do_not_hold",
            )


def _only_sure(found: Iterator[Complaint], shape: list[Complaint]) -> Iterator[Complaint]:
    """While files are unreadable, an id may be missing only because its file was: keep quiet about
    those."""
    broken = {Path(c.place.file).stem for c in shape}
    listed = any(
        "/sources/" in c.place.file or "/vocabulary/" in c.place.file or "cautions" in c.place.file
        for c in shape
    )
    for complaint in found:
        word = complaint.fault.split(" ")[-1]
        if not listed and word not in broken:
            yield complaint


def _complaint(knowledge, kind, key, way, fault, cure, name, at_key=False) -> Complaint:
    return Complaint(knowledge.place(kind, key, way, at_key), fault, cure, name)


@rule
def unknown_id(knowledge: Knowledge) -> Iterator[Complaint]:
    """Every id names something that exists."""
    known = {kind: knowledge.of_kind(kind) for kind in KINDS}
    known["source"] = {**knowledge.sources, **dict.fromkeys(UNPUBLISHED)}
    known["caution"] = knowledge.cautions
    for kind, key, found in knowledge.references_by_file():
        for reference in found:
            words = known.get(reference.target)
            if words is None:
                words = known[reference.target] = knowledge.words(reference.target)
            if reference.id not in words:
                fault = f"there is no {_singular(reference.target)} {reference.id}"
                listed = f"vocabulary/{reference.target}"
                where = f"knowledge/{listed}.yaml" if listed in knowledge.lists else "knowledge/"
                where = {"source": "knowledge/sources/", "caution": "knowledge/cautions.yaml"}.get(
                    reference.target, where
                )
                few = (
                    f"choose {' or '.join(words)}"
                    if 0 < len(words) <= 6
                    else f"add it, or choose one from {where}"
                )
                cure = did_you_mean(reference.id, words, few)
                yield _complaint(
                    knowledge, kind, key, reference.way, fault, cure, "unknown_id", reference.is_key
                )


def _singular(target: str) -> str:
    word = target.replace("_", " ")
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith("classes"):
        return word[:-2]
    return word if word.endswith(("ss", "sm")) else word.removesuffix("s")


@rule
def text_still_to_write(knowledge: Knowledge) -> Iterator[Complaint]:
    """No sentence still stands as `new` wrote it."""
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            if _holds_any(record, TO_REPLACE):
                for way, text in _texts(record.model_dump(mode="json", exclude_unset=True)):
                    if text in TO_REPLACE:
                        fault = f"placeholder text from `new` has not been replaced: {text!r}"
                        yield _complaint(
                            knowledge,
                            kind,
                            key,
                            way,
                            fault,
                            "write your own, or delete it",
                            "text_still_to_write",
                        )


def _holds_any(record, texts: frozenset[str]) -> bool:
    """True when one of the texts stands anywhere in the record.

    Asked for every record at every check, so it builds nothing.
    """
    waiting = [record]
    while waiting:
        value = waiting.pop()
        kind = type(value)
        if kind is str:
            if value in texts:
                return True
        elif kind is list:
            waiting.extend(value)
        elif kind is dict:
            waiting.extend(value.values())
        elif isinstance(value, models.Shape):
            waiting.extend(value.__dict__.values())
    return False


def _texts(value, way: tuple = ()) -> Iterator[tuple[tuple, str]]:
    """Every text inside plain data, with the way to it."""
    if isinstance(value, str):
        yield way, value
    elif isinstance(value, dict | list):
        for step, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _texts(inner, (*way, step))


@rule
def unknown_state(knowledge: Knowledge) -> Iterator[Complaint]:
    """A state that is named for a material is one of that material's states."""
    for key, part in knowledge.parts.items():
        for name in ("usual", "wrong"):
            for i, choice in enumerate(getattr(part, name)):
                material = knowledge.materials.get(choice.material)
                if choice.state and material and choice.state not in material.states:
                    fault = f"{choice.material} has no state {choice.state}"
                    cure = did_you_mean(
                        choice.state, material.states, "define it under states, or leave it out"
                    )
                    yield _complaint(
                        knowledge, "part", key, (name, i, "state"), fault, cure, "unknown_state"
                    )


@rule
def lesson_number_twice(knowledge: Knowledge) -> Iterator[Complaint]:
    """No two lessons stand at the same place of the path."""
    first: dict = {}
    for key, lesson in knowledge.lessons.items():
        if first.setdefault(lesson.number, key) != key:
            fault = f"number {lesson.number} is also that of {first[lesson.number]}"
            yield _complaint(
                knowledge,
                "lesson",
                key,
                ("number",),
                fault,
                "choose a number that is not taken",
                "lesson_number_twice",
            )


@rule
def unused_source(knowledge: Knowledge) -> Iterator[Complaint]:
    """Every source in knowledge/sources/ is cited somewhere."""
    cited = {r.id for r in knowledge.all_references() if r.target == "source"}
    for key in knowledge.sources:
        if key not in cited:
            yield _complaint(
                knowledge,
                "source",
                key,
                (key,),
                f"source {key} is cited nowhere",
                "delete it",
                "unused_source",
                True,
            )


@rule
def source_without_publication(knowledge: Knowledge) -> Iterator[Complaint]:
    """`memory` and `practice` are words with a fixed meaning and cannot be defined as sources."""
    for key in set(UNPUBLISHED) & set(knowledge.sources):
        fault = f"{key} is kept for what has no publication"
        yield _complaint(
            knowledge,
            "source",
            key,
            (key,),
            fault,
            "choose another id",
            "source_without_publication",
            True,
        )


@rule
def limit_without_authority(knowledge: Knowledge) -> Iterator[Complaint]:
    """A limit names the law or body that set it, its date, and where it was seen; none is from
    memory."""
    for key, caution in knowledge.cautions.items():
        for i, limit in enumerate(caution.limits):
            source = knowledge.sources.get(limit.source)
            if limit.source in UNPUBLISHED or (source and not source.seen):
                fault, cure = "this limit was not read anywhere", "cite where it was read"
            elif limit.source not in caution.authority:
                fault, cure = f"{limit.source} is not among the authorities", "name it there"
            elif source and not (source.address or source.read_in or source.where):
                fault = f"{limit.source} does not say where it was seen"
                cure = "give address, where or read_in in the source"
            elif not re.search(r"\b(19|20)\d\d\b", limit.since):
                fault, cure = (
                    f"{limit.since!r} is not a date",
                    "write a year, or day, month and year",
                )
            else:
                continue
            way = (key, "limits", i)
            yield _complaint(
                knowledge, "list", "cautions", way, fault, cure, "limit_without_authority"
            )


@rule
def first_aid_without_help(knowledge: Knowledge) -> Iterator[Complaint]:
    """First aid begins with whom to call, and the limits of what a bench may do are the doctor's."""
    for key, caution in knowledge.cautions.items():
        if not caution.first_aid or "emergency number" not in caution.first_aid[0]:
            fault = "first_aid does not begin with calling for help"
            cure = "let its first line say when to call the emergency number"
            yield _complaint(
                knowledge, "list", "cautions", (key,), fault, cure, "first_aid_without_help"
            )
    for key, entry in knowledge.first_aid.items():
        if not re.search("hospital|poison centre|authority", entry.then.casefold()):
            fault = "`then` does not say hospital, poison centre or authority"
            cure = "say where the injured person goes next"
            yield _complaint(
                knowledge, "list", "first_aid", (key, "then"), fault, cure, "first_aid_without_help"
            )


@rule
def no_caution_unexplained(knowledge: Knowledge) -> Iterator[Complaint]:
    """A material or process without a caution says why it needs none; one with a caution does not."""
    kinds = (
        ("material", knowledge.materials, cautions_of_material),
        ("process", knowledge.processes, cautions_of_process),
    )
    for kind, records, find in kinds:
        for key, record in records.items():
            if kind == "material" and record.family not in knowledge.words("families"):
                continue
            found = sorted(find(knowledge, key))
            if not found and not record.no_caution:
                fault = "there is no caution here, and no word why"
                cure = "name one under cautions, or say under no_caution why none is needed"
                way = ("name",)
            elif found and record.no_caution:
                fault = f"no_caution does not go with the caution {found[0]}"
                cure, way = "delete it", ("no_caution",)
            else:
                continue
            yield _complaint(knowledge, kind, key, way, fault, cure, "no_caution_unexplained")


@rule
def practice_for_a_figure(knowledge: Knowledge) -> Iterator[Complaint]:
    """A figure of a material cites a publication, or `memory`; `practice` is for judgements."""
    for key, material in knowledge.materials.items():
        for way, _, figure in figures_of(material):
            if figure.source == "practice":
                fault = "a figure cannot rest on `practice`"
                yield _complaint(
                    knowledge,
                    "material",
                    key,
                    (*way, "source"),
                    fault,
                    "cite a source or write memory",
                    "practice_for_a_figure",
                )


@rule
def duplicate_name(knowledge: Knowledge) -> Iterator[Complaint]:
    """No two records of a kind carry the same name."""
    for kind in KINDS:
        first: dict[str, str] = {}
        for key, record in knowledge.of_kind(kind).items():
            folded = record.name.casefold()
            if folded in first:
                fault = f"the name {record.name!r} is also that of {first[folded]}"
                yield _complaint(
                    knowledge, kind, key, ("name",), fault, "say how they differ", "duplicate_name"
                )
            first.setdefault(folded, key)


@rule
def duplicate_designation(knowledge: Knowledge) -> Iterator[Complaint]:
    """A designation belongs to one material, unless its system says that several may share it."""
    owners: dict[tuple[str, str], str] = {}
    for key, material in knowledge.materials.items():
        for i, designation in enumerate(material.designations):
            system = knowledge.words("systems").get(designation.system)
            if system is None or system.shared:
                continue
            known = owners.setdefault((designation.system, designation.code.casefold()), key)
            if known != key:
                fault = f"{designation.code} is also the designation of {known}"
                yield _complaint(
                    knowledge,
                    "material",
                    key,
                    ("designations", i, "code"),
                    fault,
                    "keep it where it belongs",
                    "duplicate_designation",
                )


@cache
def _pattern(text: str) -> re.Pattern:
    return re.compile(text)


@rule
def designation_form(knowledge: Knowledge) -> Iterator[Complaint]:
    """A designation has the form that its system prescribes."""
    for key, material in knowledge.materials.items():
        for i, designation in enumerate(material.designations):
            system = knowledge.words("systems").get(designation.system)
            if system and not _pattern(system.pattern).fullmatch(designation.code):
                fault = f"{designation.code} is not a valid {system.name}"
                yield _complaint(
                    knowledge,
                    "material",
                    key,
                    ("designations", i, "code"),
                    fault,
                    f"one looks like {system.example}",
                    "designation_form",
                )


@rule
def designation_contradicts_composition(knowledge: Knowledge) -> Iterator[Complaint]:
    """EN steel numbers 1.40 and 1.43 have no molybdenum to speak of, 1.44 has at least 1 % or
    nearly (EN 10027-2 groups)."""
    for key, material in knowledge.materials.items():
        if not material.composition:
            continue
        share = material.composition.shares.get("Mo")
        most = (
            max(
                (v for v in (share.typical, share.at_most, *(share.range or ())) if v is not None),
                default=Decimal(0),
            )
            if share
            else Decimal(0)
        )
        for i, designation in enumerate(material.designations):
            if designation.system != "en-number":
                continue
            group = designation.code[:4]
            if (group == "1.43" and most > 1) or (group == "1.44" and most < Decimal("0.8")):
                fault = f"{designation.code} does not go with {most} % Mo"
                yield _complaint(
                    knowledge,
                    "material",
                    key,
                    ("designations", i, "code"),
                    fault,
                    "check number and composition",
                    "designation_contradicts_composition",
                )


@rule
def figure_out_of_bounds(knowledge: Knowledge) -> Iterator[Complaint]:
    """A figure lies within what can be real for its property and unit."""
    for key, material in knowledge.materials.items():
        for way, name, figure in figures_of(material):
            prop = knowledge.words("properties").get(name)
            bounds = prop.units.get(figure.unit or next(iter(prop.units))) if prop else None
            if not bounds:
                continue
            for step in ("typical", "at_least", "at_most", "range"):
                value = getattr(figure, step)
                for end in value if step == "range" and value else (value,):
                    if end is not None and not bounds[0] <= end <= bounds[1]:
                        fault = f"{name}: {end} is outside {bounds[0]} to {bounds[1]} {_typed_unit(prop, figure)}"
                        yield _complaint(
                            knowledge,
                            "material",
                            key,
                            (*way, step),
                            fault,
                            "check the decimal point and the unit",
                            "figure_out_of_bounds",
                        )


def _typed_unit(prop: models.Property, figure) -> str:
    return figure.unit or next(iter(prop.units))


@rule
def figure_unit(knowledge: Knowledge) -> Iterator[Complaint]:
    """A property with several units needs one; a property with one unit must not repeat it."""
    for kind, key, way, name, value in _measured(knowledge):
        prop = knowledge.words("properties").get(name)
        if prop is None or (value.unit and value.unit not in knowledge.words("units")):
            continue  # complained of as unknown already
        if value.unit is None and len(prop.units) > 1:
            yield _complaint(
                knowledge,
                kind,
                key,
                way,
                f"{name} needs a unit",
                f"add unit: {' or '.join(prop.units)}",
                "figure_unit",
            )
        elif value.unit is not None and value.unit not in prop.units:
            fault = f"{name} is not measured in {value.unit}"
            yield _complaint(
                knowledge,
                kind,
                key,
                (*way, "unit"),
                fault,
                f"use {' or '.join(prop.units)}",
                "figure_unit",
            )
        elif value.unit is not None and len(prop.units) == 1:
            fault = f"{name} is always in {value.unit}"
            yield _complaint(
                knowledge, kind, key, (*way, "unit"), fault, "delete the unit", "figure_unit"
            )


def _measured(knowledge: Knowledge) -> Iterator[tuple]:
    for key, material in knowledge.materials.items():
        for way, name, figure in figures_of(material):
            yield "material", key, way, name, figure
    for key, part in knowledge.parts.items():
        for i, demand in enumerate(part.demands):
            if demand.property:
                yield "part", key, ("demands", i), demand.property, demand


@rule
def figure_in_the_wrong_place(knowledge: Knowledge) -> Iterator[Complaint]:
    """What does not depend on the state (density, melting range) stands under figures, not under a
    state."""
    for key, material in knowledge.materials.items():
        for name, state in material.states.items():
            for prop_id in state.figures:
                prop = knowledge.words("properties").get(prop_id)
                if prop and not prop.state_bound:
                    fault = f"{prop_id} does not depend on the state"
                    way = ("states", name, "figures", prop_id)
                    yield _complaint(
                        knowledge,
                        "material",
                        key,
                        way,
                        fault,
                        "move it to figures",
                        "figure_in_the_wrong_place",
                        True,
                    )


@rule
def span_only_for_expansion(knowledge: Knowledge) -> Iterator[Complaint]:
    """`over` (a span of temperature) goes with expansion, conductivity and the coefficient of the
    modulus, and runs upwards."""
    spanned = {"expansion", "thermal-conductivity", "modulus-temperature-coefficient"}
    for key, material in knowledge.materials.items():
        for way, name, figure in figures_of(material):
            if figure.over and (name not in spanned or figure.over[0] >= figure.over[1]):
                fault = (
                    "`over` does not go with " + name
                    if name not in spanned
                    else "`over` runs backwards"
                )
                yield _complaint(
                    knowledge,
                    "material",
                    key,
                    (*way, "over"),
                    fault,
                    "write [from, to] in degC, for expansion",
                    "span_only_for_expansion",
                )


@rule
def composition_off_100(knowledge: Knowledge) -> Iterator[Complaint]:
    """The shares of a composition can add up to 100 %."""
    for key, material in knowledge.materials.items():
        if not material.composition or not material.composition.shares:
            continue
        ends = [ends_of_share(s) for s in material.composition.shares.values()]
        least, most = sum(low for low, _ in ends), sum(high for _, high in ends)
        if least > 100 or (most < 100 and not material.composition.balance):
            fault = f"the shares add up to {least if least > 100 else most} %"
            cure = (
                "lower a share"
                if least > 100
                else "add what is missing, or name the balance element"
            )
            yield _complaint(
                knowledge,
                "material",
                key,
                ("composition", "shares"),
                fault,
                cure,
                "composition_off_100",
                True,
            )


@rule
def derivable_written_out(knowledge: Knowledge) -> Iterator[Complaint]:
    """What can be derived is not written: a second copy of a name, the balance among the shares, a
    caution that applies by itself."""
    for kind in KINDS:
        for key, record in knowledge.of_kind(kind).items():
            known = {record.name.casefold()}
            if kind == "material":
                known |= {d.code.casefold() for d in record.designations}
            for i, name in enumerate(record.also_called):
                if name.casefold() in known:
                    fault = f"{name!r} repeats a name already in this record"
                    yield _complaint(
                        knowledge,
                        kind,
                        key,
                        ("also_called", i),
                        fault,
                        "delete it",
                        "derivable_written_out",
                    )
                known.add(name.casefold())
    for key, material in knowledge.materials.items():
        composition = material.composition
        if composition and composition.balance in composition.shares:
            fault = f"{composition.balance} is the balance and a share"
            yield _complaint(
                knowledge,
                "material",
                key,
                ("composition", "shares", composition.balance),
                fault,
                "keep one of them",
                "derivable_written_out",
            )
        for i, caution in enumerate(material.cautions):
            entry = knowledge.cautions.get(caution)
            if (
                entry
                and material.family in knowledge.words("families")
                and any(applies(knowledge, when, key) for when in entry.applies)
            ):
                fault = f"the caution {caution} applies here by itself"
                yield _complaint(
                    knowledge,
                    "material",
                    key,
                    ("cautions", i),
                    fault,
                    "delete it",
                    "derivable_written_out",
                )


@rule
def part_without_usual_material(knowledge: Knowledge) -> Iterator[Complaint]:
    """Every part role names at least one material that the trade uses for it."""
    for key, part in knowledge.parts.items():
        if not part.usual:
            yield _complaint(
                knowledge,
                "part",
                key,
                ("name",),
                "usual is missing",
                "name at least one material that the trade uses",
                "part_without_usual_material",
            )


@rule
def usual_and_wrong(knowledge: Knowledge) -> Iterator[Complaint]:
    """No material is both usual and wrong for a part in the same state."""
    for key, part in knowledge.parts.items():
        usual = {(c.material, c.state, c.coated) for c in part.usual}
        for i, choice in enumerate(part.wrong):
            if (choice.material, choice.state, choice.coated) in usual:
                fault = f"{choice.material} is both usual and wrong"
                yield _complaint(
                    knowledge,
                    "part",
                    key,
                    ("wrong", i),
                    fault,
                    "name the states in which it differs",
                    "usual_and_wrong",
                )


@rule
def coating_that_is_none(knowledge: Knowledge) -> Iterator[Complaint]:
    """What a part is coated with lives in coatings/."""
    for key, part in knowledge.parts.items():
        for name in ("usual", "wrong"):
            for i, choice in enumerate(getattr(part, name)):
                if (
                    choice.coated in knowledge.materials
                    and knowledge.folders[choice.coated] != "coatings"
                ):
                    fault = f"{choice.coated} is not a coating"
                    yield _complaint(
                        knowledge,
                        "part",
                        key,
                        (name, i, "coated"),
                        fault,
                        "name a record in coatings/",
                        "coating_that_is_none",
                    )


@rule
def rule_never_reached(knowledge: Knowledge) -> Iterator[Complaint]:
    """A hazard's rule without conditions is the last one."""
    for key, hazard in knowledge.hazards.items():
        for i, step in enumerate(hazard.rules[:-1]):
            if step.when == models.When():
                fault = "the rules below this one are never reached"
                yield _complaint(
                    knowledge,
                    "hazard",
                    key,
                    ("rules", i),
                    fault,
                    "move it to the end or add conditions",
                    "rule_never_reached",
                )


@rule
def curve_out_of_order(knowledge: Knowledge) -> Iterator[Complaint]:
    """A tempering curve runs from low to high temperature."""
    for key, material in knowledge.materials.items():
        for i, curve in enumerate(material.tempering):
            temperatures = [p.temperature for p in curve.points]
            if any(a >= b for a, b in zip(temperatures, temperatures[1:], strict=False)):
                yield _complaint(
                    knowledge,
                    "material",
                    key,
                    ("tempering", i, "points"),
                    "points are not in order of temperature",
                    "sort them",
                    "curve_out_of_order",
                    True,
                )


@rule
def formula_cannot_be_read(knowledge: Knowledge) -> Iterator[Complaint]:
    """A formula's expression and its demands are plain arithmetic on its own symbols."""
    for key, formula in knowledge.formulas.items():
        tries = [
            (
                ("expression",),
                "expression",
                lambda f=formula: compile_expression(f.expression, f.symbols),
            )
        ]
        tries += [
            (("demands", i, "that"), "that", lambda d=d, f=formula: compile_demand(d, f.symbols))
            for i, d in enumerate(formula.demands)
        ]
        for way, field, read in tries:
            try:
                read()
            except FormulaFault as fault:
                what, _, cure = str(fault).partition("; ")
                where = f" (letter {fault.column})" if fault.column > 1 else ""
                yield _complaint(
                    knowledge,
                    "formula",
                    key,
                    way,
                    f"{field}{where}: {what}",
                    cure,
                    "formula_cannot_be_read",
                )


@rule
def formula_symbol_range(knowledge: Knowledge) -> Iterator[Complaint]:
    """A symbol's range runs upwards and holds its default."""
    for key, formula in knowledge.formulas.items():
        for name, symbol in formula.symbols.items():
            low, high = symbol.range
            if low >= high or (symbol.default is not None and not low <= symbol.default <= high):
                fault = f"{name}: the range {low} to {high} does not hold {'the default' if low < high else 'anything'}"
                yield _complaint(
                    knowledge,
                    "formula",
                    key,
                    ("symbols", name, "range"),
                    fault,
                    "check both ends",
                    "formula_symbol_range",
                )


@rule
def readings_out_of_order(knowledge: Knowledge) -> Iterator[Complaint]:
    """The readings of a formula rise, and only the last has no threshold."""
    for key, formula in knowledge.formulas.items():
        limits = [r.threshold for r in formula.readings]
        if limits and (
            limits[-1] is not None
            or None in limits[:-1]
            or any(a >= b for a, b in zip(limits, limits[1:-1], strict=False))
        ):
            yield _complaint(
                knowledge,
                "formula",
                key,
                ("readings",),
                "readings do not rise to one without a threshold",
                "sort them",
                "readings_out_of_order",
                True,
            )


@rule
def worked_example_does_not_come_out(knowledge: Knowledge) -> Iterator[Complaint]:
    """A worked example reproduces its published answer; one that is marked wrong does not."""
    for key, formula in knowledge.formulas.items():
        try:
            program = compile_expression(formula.expression, formula.symbols)
        except FormulaFault:
            continue
        for i, example in enumerate(formula.examples):
            way = ("examples", i)
            if set(example.inputs) != set(formula.symbols):
                odd = sorted(set(example.inputs) ^ set(formula.symbols))[0]
                yield _complaint(
                    knowledge,
                    "formula",
                    key,
                    (*way, "inputs"),
                    f"the inputs and the symbols differ in {odd}",
                    "give every symbol once",
                    "worked_example_does_not_come_out",
                )
                continue
            try:
                value = evaluate(program, example.inputs)
            except ValueError as error:
                yield _complaint(
                    knowledge,
                    "formula",
                    key,
                    way,
                    f"the example has no result: {error}",
                    "check the inputs",
                    "worked_example_does_not_come_out",
                )
                continue
            if example_agrees(example, value) == (example.proves == "wrong"):
                answer = (
                    example.published
                    if example.published is not None
                    else " to ".join(map(str, example.published_range))
                )
                verb = (
                    "comes out although it is marked wrong"
                    if example.proves == "wrong"
                    else "does not come out"
                )
                fault = f"the published answer {answer} {verb}: {value:.6g}"
                yield _complaint(
                    knowledge,
                    "formula",
                    key,
                    way,
                    fault,
                    "check expression, inputs and answer",
                    "worked_example_does_not_come_out",
                )


def example_agrees(example: models.Example, value: Decimal) -> bool:
    """True when a computed value meets the published answer within the stated tolerance."""
    if example.published_range:
        return example.published_range[0] <= value <= example.published_range[1]
    allowed = (
        example.within
        if example.within is not None
        else abs(example.published) * example.within_percent / 100
    )
    return abs(value - example.published) <= allowed


RULES += [*slips.CHECKS, *metallurgy.CHECKS, metallurgy.answer_to_no_rule]
