"""Receives plain data as typed; hands on typed, frozen records, or pydantic's list of what does
not fit.

One class a kind of record. A class says what a record may hold; whether ids exist and figures make
sense is checked afterwards, in checking.py. The docstrings and ``description`` texts here are the
help that editors show.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Annotated, ClassVar, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    WithJsonSchema,
    model_validator,
)

ID_PATTERN = r"^[a-z0-9]+(-[a-z0-9]+)*$"
_NUMBER = re.compile(r"[-+]?\d{1,12}(\.\d{1,12})?([eE][-+]?\d{1,2})?", re.ASCII)
_CURLY = frozenset("\u2018\u2019\u201a\u201c\u201d\u201e")


def _number(typed: object) -> Decimal:
    """A number as it was typed; its digits are kept, so 7.90 stays 7.90."""
    text = str(typed).strip(" ") if isinstance(typed, str | int | float | Decimal) else ""
    if text == "NUMBER":
        raise ValueError("a placeholder from `new` has not been replaced; write the figure")
    if not _NUMBER.fullmatch(text):
        hint = (
            "write the decimal point as a point"
            if "," in text
            else "delete the curly quotes"
            if _CURLY & set(text)
            else "delete the odd spaces and write the digits 0 to 9"
            if not text.isascii()
            else "write digits and a point, no unit"
        )
        shown = repr(text) if text else "this"
        raise ValueError(f"{shown} is not a number; {hint}")
    return Decimal(text)


def _date(typed: object) -> date:
    """A day written year-month-day."""
    if typed == "DATE":
        raise ValueError("a placeholder from `new` has not been replaced; write the day")
    try:
        return typed if isinstance(typed, date) else date.fromisoformat(str(typed))
    except ValueError:
        raise ValueError(f"{str(typed)!r} is not a date; write it as 2026-01-31") from None


_typed_text = WithJsonSchema({"type": ["string", "number"]})
Number = Annotated[Decimal, BeforeValidator(_number), WithJsonSchema({"type": "number"})]
Day = Annotated[
    date,
    BeforeValidator(_date),
    WithJsonSchema({"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"}),
]
Line = Annotated[
    str, StringConstraints(min_length=1, max_length=300, strip_whitespace=True), _typed_text
]
Text = Annotated[
    str, StringConstraints(min_length=1, max_length=3000, strip_whitespace=True), _typed_text
]
Quoted = Annotated[
    str, StringConstraints(min_length=1, max_length=300, strip_whitespace=True)
]  # the words of another record, which must be found there
Id = Annotated[
    str, StringConstraints(pattern=ID_PATTERN, max_length=60)
]  # an id that is defined right here
Word = Annotated[
    str, StringConstraints(min_length=1, max_length=40, strip_whitespace=True), _typed_text
]


@dataclass(frozen=True)
class Refers:
    """Marks a field (or the keys of a mapping) as the id of something else: a record kind or a
    vocabulary.

    One walk over these marks checks that ids exist, finds back-links, and fills the editors' lists
    of choices.
    """

    target: str

    def __get_pydantic_json_schema__(self, core_schema, handler):
        return {**handler(core_schema), "x-refers": self.target}


_ID = StringConstraints(pattern=ID_PATTERN, max_length=60)
Symbol = Annotated[str, StringConstraints(pattern=r"^[A-Z][a-z]?$"), Refers("elements")]
UnitId = Annotated[Word, Refers("units")]
SourceId = Annotated[str, _ID, Refers("source")]
MaterialId = Annotated[str, _ID, Refers("material")]
PartId = Annotated[str, _ID, Refers("part")]
HazardId = Annotated[str, _ID, Refers("hazard")]
ProcessId = Annotated[str, _ID, Refers("process")]
CautionId = Annotated[str, _ID, Refers("caution")]
FamilyId = Annotated[str, _ID, Refers("families")]
ClassId = Annotated[str, _ID, Refers("classes")]
SideId = Annotated[str, _ID, Refers("sides")]
ZoneId = Annotated[str, _ID, Refers("zones")]
PropertyId = Annotated[str, _ID, Refers("properties")]
PropertyGroupId = Annotated[str, _ID, Refers("property_groups")]
SystemId = Annotated[str, _ID, Refers("systems")]
ColourId = Annotated[str, _ID, Refers("colours")]
MagnetismId = Annotated[str, _ID, Refers("magnetism")]
TraitId = Annotated[str, _ID, Refers("traits")]
RatingId = Annotated[str, _ID, Refers("ratings")]
WorkingId = Annotated[str, _ID, Refers("workings")]
ExposureVerdictId = Annotated[str, _ID, Refers("exposure_verdicts")]
SeverityId = Annotated[str, _ID, Refers("severities")]
MechanismId = Annotated[str, _ID, Refers("mechanisms")]
ProcessGroupId = Annotated[str, _ID, Refers("process_groups")]
JudgementId = Annotated[str, _ID, Refers("judgements")]
FitVerdictId = Annotated[str, _ID, Refers("fit_verdicts")]
FormId = Annotated[str, _ID, Refers("forms")]
FormulaId = Annotated[str, _ID, Refers("formula")]
FormulaGroupId = Annotated[str, _ID, Refers("formula_groups")]
SourceKindId = Annotated[str, _ID, Refers("source_kinds")]
ContactDegreeId = Annotated[str, _ID, Refers("contact_degrees")]
ContactSituationId = Annotated[str, _ID, Refers("contact_situations")]


class Shape(BaseModel):
    """What all pieces of a record share: unknown keys are refused and nothing changes after
    reading."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Bound(Shape):
    """A value as a kind: exactly one of typical, range, at_least, at_most."""

    typical: Number | None = Field(
        None, description="one value, as published for the usual material"
    )
    range: tuple[Number, Number] | None = Field(None, description="[low, high], as published")
    at_least: Number | None = Field(None, description="a guaranteed or required minimum")
    at_most: Number | None = Field(None, description="a guaranteed or required maximum")

    KINDS: ClassVar = ("typical", "range", "at_least", "at_most")

    @model_validator(mode="after")
    def one_kind(self):
        """A figure has exactly one kind, and a range runs from low to high."""
        given = [kind for kind in Bound.KINDS if getattr(self, kind) is not None]
        if len(given) != 1:
            raise ValueError(
                f"needs exactly one of {', '.join(Bound.KINDS)}; it has {' and '.join(given) or 'none'}"
            )
        if self.range and self.range[0] >= self.range[1]:
            raise ValueError(f"range runs backwards: {self.range[0]} is not below {self.range[1]}")
        return self

    @property
    def kind(self) -> str:
        """Which of the four kinds this is."""
        return next(kind for kind in Bound.KINDS if getattr(self, kind) is not None)


class Figure(Bound):
    """A published value: kind, source, and unit where the property has several."""

    unit: UnitId | None = Field(
        None, description="only for properties with several units, such as hardness"
    )
    over: tuple[Number, Number] | None = Field(
        None, description="[from, to] in degC, for expansion"
    )
    source: SourceId = Field(description="id in knowledge/sources, or `memory`")
    of: Line | None = Field(
        None, description="set when the figure was measured on a relative: which alloy or state"
    )
    note: Line | None = Field(None, description="condition of the test: form, size, temperature")


class Statement(Shape):
    """A sentence and where it comes from (`practice` = common practice of the trade, no published source)."""

    text: Text
    source: SourceId = "practice"


class Reviewed(Shape):
    """Who last read the whole record, by role, and when."""

    on: Day
    by: Line


class Record(Shape):
    """What every record has."""

    name: Line = Field(description="the name a practitioner would say")
    summary: Line = Field(
        description="the answer in one line, shown in search results and at the top of the page"
    )
    also_called: list[Line] = Field([], description="other names, including usual misnomers")
    cautions: list[CautionId] = Field(
        [], description="ids in knowledge/cautions.yaml, beyond those that apply by themselves"
    )
    notes: list[Text] = Field(
        [], description="a workshop's own notes, shown at the top of the page"
    )
    reviewed: Reviewed


class Designation(Shape):
    """What a standard calls it."""

    system: SystemId = Field(description="id in knowledge/vocabulary/systems.yaml")
    code: Word


class Composition(Shape):
    """Limits or typical contents in per cent by mass; the balance element takes the rest."""

    source: SourceId
    balance: Symbol | None = None
    shares: dict[Symbol, Bound] = {}
    note: Line | None = None


Figures = dict[PropertyId, Annotated[list[Figure], Field(min_length=1)]]


class State(Shape):
    """A condition a material is supplied in or brought to; its figures hold only there."""

    name: Line
    reached: Text | None = Field(None, description="how the material gets into this state")
    stage: Text | None = Field(
        None,
        description="what must follow, where this is a stage of the work and no part is used in it",
    )
    magnetism: MagnetismId | None = None
    figures: Figures = {}


class Working(Shape):
    """How well one way of working goes."""

    rating: RatingId = Field(description="id in knowledge/vocabulary/ratings.yaml")
    note: Text | None = None
    source: SourceId = "practice"


class CurvePoint(Shape):
    """One point of a tempering table."""

    temperature: Number = Field(description="degC")
    hardness: Number


class TemperingCurve(Shape):
    """Hardness after tempering, as published; not interpolated across other treatments."""

    hardened_from: Line
    quenched: Line
    held: Line | None = None
    unit: UnitId
    as_quenched: Number | None = None
    points: Annotated[list[CurvePoint], Field(min_length=2)]
    source: SourceId
    stands_in_for: Line | None = Field(
        None, description="set when the curve belongs to a near relative; say which and why"
    )
    note: Line | None = None


class Material(Record):
    """What a part is made of or covered with.

    Lives in alloys/, nonmetals/ or coatings/.
    """

    family: FamilyId
    designations: list[Designation] = []
    composition: Composition | None = None
    colour: ColourId | None = Field(None, description="id in knowledge/vocabulary/colours.yaml")
    sold_as: list[FormId] = Field(
        [], description="forms in which stockists sell it, ids in knowledge/vocabulary/forms.yaml"
    )
    sold_source: SourceId = "practice"
    magnetism: MagnetismId = Field(
        description="id in knowledge/vocabulary/magnetism.yaml, for every state that does not say otherwise"
    )
    magnetism_source: SourceId = "practice"
    traits: list[TraitId] = Field(
        [], description="ids in knowledge/vocabulary/traits.yaml, such as transparent"
    )
    figures: Figures = Field({}, description="figures that hold in every state")
    states: dict[Id, State] = {}
    answered: dict[Word, Line] = Field(
        {}, description="a rule of the checker that this record breaks, and why it is right"
    )
    tempering: list[TemperingCurve] = []
    working: dict[WorkingId, Working] = Field(
        {}, description="keys from knowledge/vocabulary/workings.yaml"
    )
    bench: list[Statement] = Field(
        [], description="where and how the bench meets it, in short sentences"
    )
    no_caution: Line | None = Field(None, description="why this material needs no caution")
    owner: list[Line] = Field([], description="what a client should hear, in plain sentences")


def figures_of(material: Material):
    """Every figure of a material as (way, property, figure)."""
    for start, figures in (
        (("figures",), material.figures),
        *((("states", s, "figures"), state.figures) for s, state in material.states.items()),
    ):
        for name, values in figures.items():
            for i, figure in enumerate(values):
                yield (*start, name, i), name, figure


class When(Shape):
    """Which materials a rule speaks of; every line given must hold."""

    materials: list[MaterialId] = []
    families: list[FamilyId] = []
    classes: list[ClassId] = Field(
        [], description="ids of material classes: metal, plastic, elastomer ..."
    )
    contains: dict[Symbol, Bound] = Field(
        {}, description="at_least or at_most in per cent; the whole composition range must obey"
    )
    pitting_index: Bound | None = Field(
        None, description="at_least or at_most; judged on the lowest composition"
    )
    traits: list[TraitId] = []
    lacks_traits: list[TraitId] = []
    magnetism: list[MagnetismId] = []
    states: list[Id] = []


class ExposureRule(Shape):
    """One step of a hazard's ordered rules: the first that fits a material decides."""

    when: When = When()
    verdict: ExposureVerdictId = Field(
        description="id in knowledge/vocabulary/exposure_verdicts.yaml"
    )
    mechanism: MechanismId | None = Field(
        None, description="id in knowledge/vocabulary/mechanisms.yaml"
    )
    why: Text
    looks_like: Line | None = None
    how_fast: Line | None = None
    source: SourceId


class Hazard(Record):
    """Something that attacks materials, and the ordered rules for which."""

    meets: Text = Field(description="how a watch meets it")
    rules: Annotated[list[ExposureRule], Field(min_length=1)]
    owner: Annotated[list[Line], Field(min_length=1)] = Field(
        description="what the owner can do, in plain sentences"
    )
    bench: Annotated[list[Statement], Field(min_length=1)] = Field(
        description="what the bench can do"
    )
    figures: list[NamedFigure] = []


class NamedFigure(Figure):
    """A figure that belongs to no material: a limit, a concentration, a temperature of a
    process."""

    what: Line
    unit: UnitId


class Mate(Shape):
    """A part that this one is joined to, and how far the two expansions may differ."""

    part: PartId
    within: Number = Field(description="largest allowed difference of expansion, 10^-6 per K")


class Demand(Shape):
    """What a part role asks of its material.

    Exactly one of: property, working, magnetism, trait, lacks_trait, mate.
    """

    property: PropertyId | None = None
    at_least: Number | None = None
    at_most: Number | None = None
    unit: UnitId | None = Field(None, description="only for properties with several units")
    working: WorkingId | None = None
    rating: RatingId | None = Field(None, description="lowest rating of the working that will do")
    magnetism: MagnetismId | None = Field(None, description="the strongest magnetism that will do")
    trait: TraitId | None = None
    lacks_trait: TraitId | None = None
    mate: Mate | None = None
    firm: bool = Field(
        True, description="false: missing it asks for care but does not rule the material out"
    )
    why: Text
    source: SourceId = "practice"

    @model_validator(mode="after")
    def one_demand(self):
        """A demand asks one thing, and a demand on a property has at_least or at_most."""
        asks = [
            k
            for k in ("property", "working", "magnetism", "trait", "lacks_trait", "mate")
            if getattr(self, k) is not None
        ]
        if len(asks) != 1:
            raise ValueError(
                "needs exactly one of property, working, magnetism, trait, lacks_trait, mate; "
                f"it has {' and '.join(asks) or 'none'}"
            )
        limits = (self.at_least is not None) + (self.at_most is not None)
        if limits != (1 if self.property else 0):
            raise ValueError(
                "property goes with exactly one of at_least and at_most, and they with property alone"
            )
        if (self.working is None) != (self.rating is None):
            raise ValueError("working and rating go together")
        return self


class Choice(Shape):
    """A material that the trade uses, or knows to be wrong, for a part."""

    material: MaterialId
    state: Id | None = None
    coated: MaterialId | None = Field(None, description="id of a coating")
    why: Text
    source: SourceId = "practice"


class Meeting(Shape):
    """A hazard that a part meets, and how much of it."""

    hazard: HazardId
    severity: SeverityId = Field(description="id in knowledge/vocabulary/severities.yaml")
    note: Line | None = None


class Step(Shape):
    """One step of remaking a part."""

    do: Text
    process: ProcessId | None = None


class Failure(Shape):
    """A way in which a part fails."""

    sign: Line
    cause: Text
    hazard: HazardId | None = None


class Part(Record):
    """A role that a part plays in a watch, what it asks of its material, and how it is remade."""

    zone: ZoneId
    does: Text
    made_from: list[FormId] = Field(
        [], description="forms that it can be made from, where that matters; any one will do"
    )
    rubs_on: list[PartId] = Field([], description="parts that it rubs on, where that matters")
    demands: Annotated[list[Demand], Field(min_length=1)]
    meets: list[Meeting] = []
    usual: list[Choice] = []
    wrong: list[Choice] = []
    identify: list[Line] = Field(
        [], description="how to tell what the part in hand is made of, gentlest first"
    )
    remake: list[Step] = []
    fails: list[Failure] = []
    after_service: list[Line] = []


class Process(Record):
    """Something done to a material: hardening, plating, joining, cleaning ..."""

    group: ProcessGroupId
    does: Text
    suits: When = Field(When(), description="which materials it is for")
    not_for: list[Statement] = []
    needs: list[Line] = Field([], description="equipment and supplies")
    steps: Annotated[list[Line], Field(min_length=1)]
    figures: list[NamedFigure] = []
    goes_wrong: list[Failure] = []
    no_caution: Line | None = Field(None, description="why this work needs no caution")


class FormulaSymbol(Shape):
    """A symbol of a formula: what it means, its unit, and the values for which the formula is
    meant."""

    meaning: Line
    unit: UnitId
    range: tuple[Number, Number] = Field(
        description="[lowest, highest] value for which the formula is meant"
    )
    default: Number | None = Field(None, description="what the calculator starts with")
    property: PropertyId | None = Field(None, description="may be taken from a chosen material")
    exact: bool = Field(
        False, description="true for counts, carats, electrons, definitions: never rounded"
    )
    whole: bool = Field(False, description="true where only whole numbers make sense")


class FormulaResult(Shape):
    """What a formula gives, and between which bounds it makes sense."""

    meaning: Line
    unit: UnitId
    at_least: Number | None = Field(None, description="a result below this is refused")
    at_most: Number | None = Field(None, description="a result above this is refused")
    otherwise: Line | None = Field(
        None, description="what a reader is told when the result is outside the bounds"
    )
    rounded: Id | None = Field(
        None, description="up or down: to the safe side, instead of to the nearest"
    )

    SIDES: ClassVar = ("up", "down")

    @model_validator(mode="after")
    def bounds_have_words(self):
        """Bounds need words, and there are two sides to round to."""
        if (self.at_least is None and self.at_most is None) != (self.otherwise is None):
            raise ValueError("`otherwise` goes together with at_least or at_most")
        if self.rounded not in (None, *FormulaResult.SIDES):
            raise ValueError(f"rounded: {self.rounded} is not up or down")
        return self


class FormulaDemand(Shape):
    """What the symbols of a formula must satisfy together."""

    that: Line = Field(description="an expression in the symbols; it must come out above zero")
    otherwise: Line = Field(description="what a reader is told when it does not")


class Example(Shape):
    """A worked example with a published answer; the build fails when it does not come out."""

    inputs: dict[Word, Number]
    published: Number | None = Field(
        None, description="the printed answer, in the formula's result unit"
    )
    published_range: tuple[Number, Number] | None = Field(
        None, description="where the source prints a range"
    )
    within: Number | None = Field(
        None, description="largest allowed difference, in the result unit"
    )
    within_percent: Number | None = None
    proves: Id = Field(
        "independent",
        description="independent, partly-from-memory, circular, definition, or wrong (must not come out)",
    )
    source: SourceId
    note: Line | None = None

    @model_validator(mode="after")
    def one_answer(self):
        """An example has one answer and one tolerance."""
        if (self.published is None) == (self.published_range is None):
            raise ValueError("needs exactly one of published and published_range")
        if self.published is not None and (self.within is None) == (self.within_percent is None):
            raise ValueError("needs exactly one of within and within_percent")
        if self.proves not in Example.PROVES:
            raise ValueError(f"proves: {self.proves} is not one of {', '.join(Example.PROVES)}")
        return self

    PROVES: ClassVar = ("independent", "partly-from-memory", "circular", "definition", "wrong")


class Reading(Shape):
    """What a result means below a threshold, or up to and with it; the last has no threshold."""

    below: Number | None = None
    at_most: Number | None = None
    say: Line
    source: SourceId = "practice"

    @model_validator(mode="after")
    def one_threshold(self):
        """A threshold belongs to the reading or it does not."""
        if self.below is not None and self.at_most is not None:
            raise ValueError("needs only one of below and at_most")
        return self

    @property
    def threshold(self):
        """The number, whether it belongs to the reading or not; None for the last."""
        return self.below if self.at_most is None else self.at_most


class Formula(Record):
    """A bench calculation, stated once: page, calculator, command and table all come from here."""

    group: FormulaGroupId
    symbols: Annotated[dict[Word, FormulaSymbol], Field(min_length=1)]
    expression: Line = Field(
        description="numbers, symbols, + - * / ** ( ) and sqrt, exp, ln, pi, min, max, abs"
    )
    result: FormulaResult
    demands: list[FormulaDemand] = Field([], description="what the symbols must satisfy together")
    limits: list[Line] = Field([], description="where it stops being true")
    source: SourceId
    why: Text | None = Field(None, description="where the formula comes from, in a sentence or two")
    examples: list[Example] = []
    readings: list[Reading] = Field(
        [], description="what the result means, from low to high; the last has no threshold"
    )


class FigureOf(Shape):
    """A figure of the knowledge base, named by material, property and state."""

    material: MaterialId
    property: PropertyId
    state: Id | None = None
    unit: UnitId | None = Field(
        None,
        description="only for properties with several units; hardness of steels converts to HV",
    )


class Claim(Shape):
    """A comparison that must come out true from the figures, or the build fails."""

    left: FigureOf
    relation: Id = Field(
        description="above, below, or about; ranges must lie apart, or for `about` differ by at most within_percent"
    )
    right: FigureOf | None = None
    number: Number | None = Field(None, description="instead of right")
    within_percent: Number | None = None

    RELATIONS: ClassVar = ("above", "below", "about")

    @model_validator(mode="after")
    def one_right_side(self):
        """A claim compares with a figure or with a number; `about` needs its tolerance."""
        if self.relation not in Claim.RELATIONS:
            raise ValueError(
                f"relation: {self.relation} is not one of {', '.join(Claim.RELATIONS)}"
            )
        if (self.right is None) == (self.number is None):
            raise ValueError("needs exactly one of right and number")
        if (self.relation == "about") != (self.within_percent is not None):
            raise ValueError("`about` and within_percent go together")
        return self


class ListedFigure(Shape):
    """A figure in the list of a process, named by its own words."""

    process: ProcessId
    what: Quoted = Field(description="exactly as it is called in the list of the process")


class ListedClaim(Claim):
    """A comparison with a figure in the list of a process."""

    left: ListedFigure
    right: ListedFigure | None = None


class FitClaim(Shape):
    """A verdict on fit that must come out so; several verdicts may be allowed."""

    part: PartId
    material: MaterialId
    state: Id | None = None
    verdicts: Annotated[list[FitVerdictId], Field(min_length=1)]


class ExposureClaim(Shape):
    """A verdict on exposure that must come out so."""

    hazard: HazardId
    material: MaterialId
    state: Id | None = None
    verdicts: Annotated[list[ExposureVerdictId], Field(min_length=1)]


class SumClaim(Shape):
    """A bench calculation that must come out so; the build works it out."""

    formula: FormulaId
    inputs: dict[Word, Number] = Field({}, description="symbol: value, in the symbol's unit")
    figures: dict[Word, FigureOf] = Field(
        {}, description="symbol: figure of a material, where the value comes from this base"
    )
    relation: Id = Field(description="above, below, or about, as in a comparison of figures")
    number: Number = Field(description="in the unit of the formula's result")
    within_percent: Number | None = None

    @model_validator(mode="after")
    def one_tolerance(self):
        """The relation is a known one, and `about` needs its tolerance."""
        if self.relation not in Claim.RELATIONS:
            raise ValueError(
                f"relation: {self.relation} is not one of {', '.join(Claim.RELATIONS)}"
            )
        if (self.relation == "about") != (self.within_percent is not None):
            raise ValueError("`about` and within_percent go together")
        return self


class ShareClaim(Bound):
    """How much of an element an alloy holds, in per cent; its whole composition must obey."""

    material: MaterialId
    element: Symbol


class Grounds(Shape):
    """What a saying or an answer rests on in this knowledge base; the build checks all of it."""

    figures: list[Claim] = []
    listed: list[ListedClaim] = []
    sums: list[SumClaim] = []
    shares: list[ShareClaim] = []
    fits: list[FitClaim] = []
    exposures: list[ExposureClaim] = []


class See(Shape):
    """Pages worth reading."""

    materials: list[MaterialId] = []
    parts: list[PartId] = []
    hazards: list[HazardId] = []
    processes: list[ProcessId] = []
    formulas: list[FormulaId] = []


class Saying(Record):
    """A common saying of the bench, in our own words, judged.

    `name` is the saying, `summary` the verdict in one line.
    """

    judged: JudgementId
    because: Annotated[list[Statement], Field(min_length=1)]
    rests_on: Grounds = Grounds()
    see: See = See()


class Option(Shape):
    """One answer that a trainee may choose."""

    say: Line
    right: bool = False
    why: Text = Field(description="shown when it is chosen")


class Question(Shape):
    """A self-test question with two to five answers, exactly one right."""

    ask: Line
    options: Annotated[list[Option], Field(min_length=2, max_length=5)]
    rests_on: Grounds = Grounds()
    see: See = See()

    @model_validator(mode="after")
    def one_right(self):
        """Exactly one option is right."""
        right = sum(o.right for o in self.options)
        if right != 1:
            raise ValueError(f"needs exactly one right option; it has {right}")
        return self


class Lesson(Record):
    """A short lesson of the trainee's path.

    `summary` is its aim.
    """

    number: Number = Field(description="its place on the path")
    text: Annotated[list[Text], Field(min_length=1)] = Field(
        description="short paragraphs, in order"
    )
    see: See = Field(description="the pages to read")
    questions: Annotated[list[Question], Field(min_length=5)]


class Limit(NamedFigure):
    """A limit set by law, or recommended by a body that is named."""

    since: Line = Field(description="year or day from which it applies, or a year it was in force")


class Work(Shape):
    """Processes on whose pages a caution appears by itself; any one line is enough."""

    processes: list[ProcessId] = []
    groups: list[ProcessGroupId] = []
    uses: list[Line] = Field(
        [], description="words of tools and chemicals, looked for in what a process needs"
    )


class Caution(Shape):
    """What can hurt, whom, and what to do about it; always defers to local codes and licensed
    practice."""

    name: Line
    also_called: list[Line] = Field([], description="words under which a frightened person looks")
    danger: Line
    do: Annotated[list[Line], Field(min_length=1)]
    wear: list[Line] = []
    first_aid: list[Line] = Field([], description="the first line says whom to call")
    authority: Annotated[list[SourceId], Field(min_length=1)]
    limits: list[Limit] = []
    figures: list[NamedFigure] = []
    applies: list[When] = Field([], description="materials on whose pages it appears by itself")
    work: Work = Field(Work(), description="processes on whose pages it appears by itself")


class FirstAid(Shape):
    """What to do at the bench after one kind of accident, until help takes over."""

    name: Line = Field(description="the accident, in the words of somebody frightened")
    also_called: list[Line] = []
    do: Annotated[list[Line], Field(min_length=1)]
    then: Line = Field(description="where the injured person goes next")
    cautions: list[CautionId] = []
    sources: Annotated[list[SourceId], Field(min_length=1)]


class Source(Shape):
    """Where figures come from, full enough to find."""

    title: Line
    author: Line | None = Field(None, description="who wrote it, or the body that issued the law")
    publisher: Line
    year: Line | None = None
    kind: SourceKindId = Field(description="id in knowledge/vocabulary/source_kinds.yaml")
    number: Line | None = Field(None, description="document number or edition, journal and volume")
    where: Line | None = Field(None, description="table, clause, page")
    address: Line | None = Field(None, description="web address or DOI, without https://")
    read_in: Line | None = Field(None, description="where it was seen, if not in the original")
    seen: bool = Field(True, description="false: cited, but the text itself was not read")
    note: Line | None = None


class Entry(Shape):
    """A word of a closed list: what it is called and what it means."""

    name: Line
    meaning: Text | None = None


class Family(Entry):
    """A family of materials."""

    material_class: ClassId
    plural: Line
    also_called: list[Line] = []


class Zone(Entry):
    """A region of the watch."""

    side: SideId


class Activity(Entry):
    """What a watch meets in its owner's life, and the hazards whose sentences the owner is then
    told. ``water`` is what the watch must be marked for; without that mark the owner is told only
    ``without``."""

    hazards: Annotated[list[HazardId], Field(min_length=1)]
    water: Literal["resistant", "divers"] | None = None
    without: str | None = None


class Potential(Bound):
    """Where a metal lies in sea water, in volts against the saturated calomel electrode."""

    source: SourceId
    note: Line | None = None

    @model_validator(mode="after")
    def closed(self):
        """A place in a series has both ends."""
        if self.kind not in ("typical", "range"):
            raise ValueError(f"a place in the series is typical or a range, not {self.kind}")
        return self


class SeriesPlace(Entry):
    """A group of metals that lie together in the sea-water series."""

    when: When
    whole: Annotated[list[Potential], Field(min_length=1)] = Field(
        description="in the open, its film whole; all sources that give it"
    )
    broken: list[Potential] = Field(
        [], description="in a salt-wet gap where the film has broken down"
    )
    film: bool = Field(False, description="true: not the metal that goes while its film is whole")
    goes: ContactDegreeId = Field(description="the fastest that it goes beside a nobler metal")
    poor_partner: SourceId | None = Field(
        None, description="the source that says it drives a neighbour less than its place suggests"
    )


class ContactSituation(Entry):
    """Where two metals touch, and the volts apart up to which nothing, or little, happens."""

    salt: bool = Field(False, description="true: a film may break in a gap")
    none_up_to: Number | None = Field(None, description="V; without limits there is no cell")
    slow_up_to: Number | None = Field(None, description="V")
    pore_up_to: Number | None = Field(
        None, description="V; what a bare spot under a large coating bears"
    )
    source: SourceId
    note: Line | None = None

    @model_validator(mode="after")
    def both_limits(self):
        """Either both limits or none, the lower one first."""
        if (self.none_up_to is None) != (self.slow_up_to is None):
            raise ValueError("needs both none_up_to and slow_up_to, or neither")
        if self.none_up_to is not None and self.none_up_to >= self.slow_up_to:
            raise ValueError("none_up_to must be below slow_up_to")
        return self


class UsualContact(Entry):
    """Metals that the trade joins on purpose."""

    one: When
    other: When
    situations: Annotated[list[ContactSituationId], Field(min_length=1)]
    say: Line
    source: SourceId


class Property(Entry):
    """A measurable property: its units with their physical bounds."""

    group: PropertyGroupId
    units: dict[UnitId, tuple[Number, Number]] = Field(
        description="unit: [lowest, highest] that can be real"
    )
    state_bound: bool = Field(
        False, description="true: depends on the state, so it may stand under states"
    )
    symbol: Word | None = None


class Unit(Shape):
    """A unit: how it is shown, and how it is called by the library that checks dimensions."""

    label: Word
    dimension: Word | None = None


class DesignationSystem(Entry):
    """A system of designations and the form its codes have."""

    pattern: Line
    example: Word
    shared: bool = Field(False, description="true: several materials may carry the same code")


class Element(Shape):
    """A chemical element."""

    name: Line
    density: Number = Field(description="g/cm3 near 20 degC")
    atomic_weight: Number
    source: SourceId


class HardnessRow(Shape):
    """One row of a conversion table for steels: the same steel in each scale, and its tensile
    strength in MPa."""

    HV: Number
    HRC: Number | None = None
    HRB: Number | None = None
    HBW: Number | None = None
    Rm: Number | None = None
    source: SourceId


class TemperColour(Entry):
    """A temper colour: what the charts say, from lowest to highest, in degC."""

    range: tuple[Number, Number]
    source: SourceId
    note: Line | None = None


class Term(Shape):
    """A word of the glossary."""

    meaning: Text
    see: list[Id] = []


class Mark(Shape):
    """A legal fineness mark."""

    metal: Symbol
    fineness: Number = Field(description="per mille, as marked")
    carat: Number | None = None
    source: SourceId
    note: Line | None = None


Hazard.model_rebuild()


class Change(Shape):
    """One field that differs between two editions; a text too long to keep stands with neither."""

    record: Line = Field(description="folder/id, as on the printed card")
    field: Line
    how: Literal["changed", "added", "removed"] = "changed"
    was: Text | None = None
    now: Text | None = None


class Edition(Shape):
    """What one edition changed.

    Written by `python3 -m generator edition`, never by hand.
    """

    records: int = Field(description="how many records and cautions it holds")
    new: list[Line] = []
    gone: list[Line] = []
    changed: list[Change] = []
    cards: dict[Line, Word] = Field(
        description="page of each card that is new or differs -> digest of what it says"
    )
