"""Entries of the lists that pictures are worked out from: light, optical constants, colours of
metal, films and heat tints, and which drawing stands for a part or a kind of damage.
"""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from generator.records.field_types import (
    HazardId,
    Id,
    Line,
    MaterialId,
    Number,
    Refers,
    Shape,
    SourceId,
    some,
)
from generator.records.materials import When
from generator.records.vocabulary import Entry

OpticalId = Annotated[str, Refers("optical_constants")]
FilmId = Annotated[str, Refers("films")]
MetalColourId = Annotated[str, Refers("metal_colours")]


class Daylight(Shape):
    """Relative power of daylight at one wavelength, which is the entry's name in nm."""

    power: Number
    source: SourceId


class OpticalConstants(Entry):
    """A metal's complex index of refraction: by the Lorentz-Drude formula, or one value for all."""

    plasma: Number | None = Field(None, description="plasma energy in eV")
    terms: list[tuple[Number, Number, Number]] = some(
        list,
        description="[strength, width in eV, energy in eV]; the first is that of free electrons",
    )
    fixed: tuple[Number, Number] | None = Field(None, description="[n, k] where one value must do")
    source: SourceId
    note: Line | None = None

    @model_validator(mode="after")
    def one_way(self):
        """Either the formula or one value."""
        if (self.fixed is None) == (self.plasma is None or not self.terms):
            raise ValueError("needs either plasma with terms, or fixed")
        return self


class Film(Entry):
    """A clear film on a metal that shows a colour by its thickness."""

    on: OpticalId
    index: tuple[Number, Number] = Field(description="[a, b] in a + b/wavelength^2, micrometres")
    absorbs: Number = Field(Decimal(0), description="k: how much light it swallows")
    per_volt: Number | None = Field(None, description="nm grown for each volt")
    natural: Number | None = Field(None, description="nm that air alone makes")
    source: SourceId
    note: Line | None = None


class MetalColour(Entry):
    """The colour of polished metal; exactly one of lab, chromaticity, linear, optical."""

    when: When
    lab: tuple[Number, Number, Number] | None = None
    chromaticity: tuple[Number, Number, Number] | None = Field(
        None, description="[x, y, share of light thrown back]"
    )
    linear: tuple[Number, Number, Number] | None = Field(
        None, description="linear red, green and blue of sRGB"
    )
    optical: OpticalId | None = None
    tarnish: FilmId | None = None
    tarnish_steps: list[Number] = some(list, description="thicknesses in nm that are shown")
    worn: list[MetalColourId] = some(list, description="what shows when a plating is worn through")
    source: SourceId
    note: Line | None = None

    @model_validator(mode="after")
    def one_colour(self):
        """A colour is given in one way."""
        given = [n for n in ("lab", "chromaticity", "linear", "optical") if getattr(self, n)]
        if len(given) != 1:
            raise ValueError(
                "needs exactly one of lab, chromaticity, linear, optical; "
                f"it has {' and '.join(given) or 'none'}"
            )
        return self


class Tint(Entry):
    """A heat colour of carbon steel: its film, and when it is seen."""

    film: Number = Field(description="nm")
    minutes: Number = Field(description="degC, after a few minutes")
    eight: Number | None = Field(None, description="degC, after eight minutes")
    hour: Number | None = Field(None, description="degC, after an hour")
    source: SourceId


class AnodicColour(Entry):
    """A colour of anodised titanium as a published table calls it, and where the picture has it."""

    volts: Number
    hue: tuple[Number, Number] | None = Field(
        None, description="from where to where the hue angle of such a colour lies; none: no hue"
    )
    source: SourceId


class RatePair(Entry):
    """A spring and a balance: by their coefficients, or by their materials."""

    coefficient: Number | None = Field(None, description="of the spring's modulus, 10^-6/K")
    spring_grows: Number | None = Field(None, description="10^-6/K")
    balance_grows: Number | None = Field(None, description="10^-6/K")
    spring: MaterialId | None = None
    state: Id | None = None
    balance: MaterialId | None = None
    source: SourceId
    note: Line | None = None

    @model_validator(mode="after")
    def one_way(self):
        """Three coefficients, or two materials."""
        given = (self.coefficient, self.spring_grows, self.balance_grows)
        if all(n is not None for n in given) == bool(self.spring and self.balance):
            raise ValueError("needs the three coefficients, or spring and balance")
        return self


class Stroke(Shape):
    """One path of a drawing, in its box of 96 by 96."""

    d: Annotated[str, Field(pattern=r"^[MmLlHhVvCcSsQqTtAaZz0-9 .,-]+$", max_length=600)]
    stroke: Literal["body", "soft", "thin", "thick", "dash", "solid", "hole", "rubber"] = "body"


class Drawn(Shape):
    """A drawing from the parametric set of ``site/pictures/shapes.py``."""

    form: Literal["wheel", "ring", "spiral", "turned", "disc", "balls", "outline"]
    said: Line = Field(description="what is to be seen, in a few words")
    numbers: dict[str, Number] = some(dict)
    profile: list[tuple[Number, Number]] = some(list, description="turned: [length, diameter]")
    shapes: list[Stroke] = some(list)

    @model_validator(mode="after")
    def something(self):
        """There is something to draw."""
        if self.form == "turned" and not self.profile:
            raise ValueError("turned needs a profile")
        if self.form == "outline" and not self.shapes:
            raise ValueError("outline needs shapes")
        return self


class DamageDrawing(Drawn):
    """A kind of damage, and the hazards whose pages show it."""

    name: Line
    hazards: Annotated[list[HazardId], Field(min_length=1)]
