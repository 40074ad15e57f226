"""Sources, and the entries of the closed lists in knowledge/vocabulary."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import (
    Field,
    model_validator,
)

from generator.records.common import Bound, Named, Translated
from generator.records.field_types import (
    ColourId,
    ContactDegreeId,
    ContactSituationId,
    Day,
    FamilyId,
    FormulaId,
    HazardId,
    Id,
    JoinId,
    LanguageId,
    Line,
    MagnetismId,
    MaterialId,
    MechanismId,
    Number,
    PartId,
    PropertyGroupId,
    PropertyId,
    Shape,
    SideId,
    SourceId,
    SourceKindId,
    Symbol,
    Text,
    UnitId,
    Word,
    WorkingId,
    some,
)
from generator.records.materials import When


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


class Entry(Translated):
    """A word of a closed list: what it is called and what it means."""

    name: Line
    meaning: Text | None = None


class SourceKind(Entry):
    """A kind of source."""

    weak: bool = Field(False, description="one of this kind alone is little to go by")


class ShownBy(Shape):
    """What leaves a sign on the skin: one of the mechanisms, where an element is plentiful."""

    mechanisms: Annotated[list[MechanismId], Field(min_length=1)]
    element: Symbol | None = None
    at_least: Number | None = Field(None, description="per cent of the element in some alloy")


class Answer(Shape):
    """One answer that an observation of an unknown metal can have, and what it may come from."""

    name: Line
    colours: list[ColourId] = some(list)
    tinted_by: list[WorkingId] = some(list, description="workings that give this colour")
    magnetism: list[MagnetismId] = some(list)
    hardness: Bound | None = Field(None, description="in HV")
    families: list[FamilyId] = some(list)
    shown_by: list[ShownBy] = some(list, description="none: anything may show it")


class Observation(Shape):
    """What can be observed of an unknown metal."""

    name: Line
    source: SourceId
    of_state: bool = Field(False, description="it depends on the state")
    below: bool = Field(False, description="on a coated piece it tells of the metal below")
    answers: dict[Id, Answer] = some(dict)


class BenchTest(Shape):
    """A test that tells apart what remains of the metals, or gives a figure."""

    name: Line
    observation: Id | None = Field(None, description="the observation it makes, if one is asked")
    process: Id | None = Field(None, description="the process that tells how")
    how: Line | None = Field(None, description="where no process tells it")
    leaves_mark: bool = False
    tells_apart: bool = Field(True, description="false: it only gives a figure")
    measures: list[PropertyId] = some(list, description="the properties that it gives a figure of")


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
    fails: Line | None = Field(
        None, description="what to say of materials that it destroys, {} for their names"
    )
    suffers: Line | None = Field(None, description="the same of those that it harms slowly")


class LeafletLimit(Translated):
    """A sentence that stands on every owner's leaflet."""

    says: Line


class CustomerName(Named):
    """What a customer calls a material or family, and words by which sentences name it."""

    name: Line | None = None
    words: list[Word] = some(list)


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
    broken: list[Potential] = some(
        list, description="in a salt-wet gap where the film has broken down"
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


class Bath(Entry):
    """A bath of the bench: the hazard that judges materials in it, and what it spoils besides."""

    hazard: HazardId
    loosens: list[JoinId] = some(list, description="joins that it opens")
    spoils: list[PartId] = some(list, description="parts that stay out, whatever they are made of")
    say: Line = Field(description="why those joins and parts stay out")
    source: SourceId


class Galling(Entry):
    """Metals that seize on their own kind where they are screwed or slide dry."""

    when: When
    usual: bool = Field(False, description="true: the trade does it all the same, with grease")
    say: Line
    source: SourceId


class Stock(Shape):
    """Materials that a standard or a maker's sheet names for one purpose."""

    materials: Annotated[list[MaterialId], Field(min_length=1)]
    says: Line = Field(description="follows a colon: `EN 10151, stainless strip for springs`")
    source: SourceId


class Purpose(Entry):
    """What stock is sold for, and the parts that serve it."""

    parts: Annotated[list[PartId], Field(min_length=1)]
    stock: Annotated[list[Stock], Field(min_length=1)]


class WorkedOut(Shape):
    """By which formula a property follows from others, where nobody measured it."""

    formula: FormulaId
    inputs: dict[Word, PropertyId] = Field(description="symbol: property")
    at_most_inputs: dict[Word, PropertyId] = some(
        dict, description="symbol: property that is never less; what follows is a highest value"
    )


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
    less: Word | None = Field(None, description="what a material with less of it is: softer")
    more: Word | None = Field(None, description="what a material with more of it is: harder")
    worked_out: WorkedOut | None = None


class Mechanism(Entry):
    """How a hazard harms."""

    put_right: bool = Field(
        False, description="true: the bench cleans it off, polishes it out or renews the piece"
    )
    below_coating: Literal["at-pores", "as-bare"] | None = Field(
        None,
        description=(
            "how it reaches what is coated: at pores and worn edges, or as if it were bare; without"
            " this the coating alone decides"
        ),
    )


class Price(Entry):
    """What a metal costs in kind, by what it holds at least."""

    elements: list[Symbol] = some(list)
    at_least: Number = Field(Decimal(0), description="per cent by mass, of all of them together")


class Unit(Named):
    """A unit: how it is shown, and how it is called by the library that checks dimensions."""

    label: Word
    dimension: Word | None = None
    kind: Id | None = Field(
        None, description="units of one kind are converted into each other where they are typed"
    )
    also: list[Id] = some(list, description="further kinds whose fields take this unit")
    typed: list[Line] = some(list, description="further spellings that a bench types")


class AskedUnit(Shape):
    """What can mean two units, and what the reader is told to type instead."""

    name: Line
    kind: Id
    typed: list[Line] = some(list)
    ask: Line = Field(description="begins with `type`")


class DesignationSystem(Entry):
    """A system of designations and the form its codes have."""

    pattern: Line
    example: Word
    shared: bool = Field(False, description="true: several materials may carry the same code")


class Element(Named):
    """A chemical element."""

    name: Line
    density: Number = Field(description="g/cm3 near 20 degC")
    atomic_weight: Number
    room: Literal["own", "none", "none-in-steel"] = Field(
        "own", description="whether it takes room of its own in an alloy: gases do not"
    )
    elastic_modulus: tuple[Number, Number] | None = Field(
        None, description="GPa; from where, stiffness-of-the-recipe says"
    )
    expansion: tuple[Number, Number] | None = Field(
        None, description="10^-6/K near 20 degC; from where, expansion-of-the-recipe says"
    )
    source: SourceId


class PlatingMetal(Entry):
    """A metal as its bath gives it: the electrons that each atom takes up."""

    element: Symbol
    electrons: Number
    source: SourceId


class HardnessRow(Shape):
    """One row of a conversion table for steels or for brass: the same metal in each scale, and its
    tensile strength in MPa; that of brass differs for sheet and rod of the same hardness."""

    HV: Number
    HRC: Number | None = None
    HRB: Number | None = None
    HBW: Number | None = None
    Rm: Number | None = None
    Rm_sheet: Number | None = None
    Rm_rod: Number | None = None
    source: SourceId


class TemperColour(Entry):
    """A temper colour: what the charts say, from lowest to highest, in degC."""

    range: tuple[Number, Number]
    source: SourceId
    note: Line | None = None


class Language(Shape):
    """A language of the bench, or the words of one region."""

    name: Line = Field(description="what it calls itself")
    english: Line
    written: bool = Field(False, description="true: the language of the records; exactly one is")
    region_of: LanguageId | None = Field(
        None, description="for a regional tag: the language whose further words it holds"
    )
    decimal: Word = Field(".", description="the decimal sign of its numbers")
    spelled: dict[Word, Word] = some(
        dict, description="letter: how it is written where a keyboard lacks it"
    )
    not_asked: list[Word] = some(list, description="little words that the find box passes over")
    plurals: list[Word] = some(list, description="endings by which a name stands for several")


class ReadBack(Shape):
    """Translations that somebody turned back into the language of the records without having it
    at hand, and whose meaning was then compared."""

    language: LanguageId
    on: Day
    by: Line
    how: Literal["turned back", "compared"] = Field(
        "turned back",
        description="turned back without the original at hand, or held against it",
    )
    marks: Annotated[list[Line], Field(min_length=1)] = Field(
        description="one for each sentence, written by the verb read-back; a changed translation "
        "has another mark and counts as not read"
    )


class StateName(Named):
    """What a state, named as in the records, is called in other languages."""


class Term(Named):
    """A word of the glossary."""

    meaning: Text
    see: list[Id] = some(list)


class Mark(Shape):
    """A legal fineness mark."""

    metal: Symbol
    fineness: Number = Field(description="per mille, as marked")
    carat: Number | None = None
    source: SourceId
    note: Line | None = None
