"""Texts as readers see them: signs, breaks and units of what a record holds; short phrases."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from functools import lru_cache

from markupsafe import Markup, escape

from generator.numbers import quantities
from generator.numbers.quantities import NBSP
from generator.records import models

_UNIT_AFTER_NUMBER = re.compile(r"(?<=\d) ?(degC|degrees C)\b")
_SPACED = re.compile(
    r"(?<=\d) (?=(?:g|mg|kg|mm|um|µm|nm|cm[²³]?|mm[²³]|m|MPa|GPa|HV|HRC|HRB|HBW|%|h|min|s|V|bar"
    r"|ct|mT|T|A/m|kHz|ppm|years?|minutes?|hours?|days?)\b)"
)
_SQUARE_OR_CUBE = re.compile(r"\b([cdm]m)([23])\b")
_MOMENT = re.compile(r"(?<=\d) (m?N)\.([cm]?m)\b")
_MINUS = re.compile(r"(?<![\w.,)])-(?=\d)")


@lru_cache(maxsize=20_000)
def plain_text(typed: str) -> str:
    """Text from a record with the signs that readers expect: °C, µm, true minus, and no break
    between number and unit."""
    text = _UNIT_AFTER_NUMBER.sub(f"{NBSP}°C", typed).replace("degC", "°C")
    text = re.sub(r"(?<=\d) degF\b", f"{NBSP}°F", text).replace("degF", "°F")
    text = re.sub(r"(?<=\d) um\b", f"{NBSP}µm", text)
    text = re.sub(r"(?<=\d) 10\^-6/K", f"{NBSP}×10⁻⁶/K", text)
    text = text.replace("10^-6/K", "10⁻⁶/K").replace("+/-", "±")
    text = _MOMENT.sub(f"{NBSP}\\1·\\2", text)
    text = _SQUARE_OR_CUBE.sub(lambda m: m[1] + ("²" if m[2] == "2" else "³"), text)
    return _MINUS.sub(quantities.MINUS, _SPACED.sub(NBSP, text))


@lru_cache(maxsize=20_000)
def terms(typed: str) -> Markup:
    """``plain_text`` escaped for the page; `code` marks become plain quotes."""
    return Markup(escape(plain_text(typed).replace("`", "'")))


def sentence(text: str) -> str:
    """The text with a capital first letter."""
    return text[:1].upper() + text[1:]


def any_of(words) -> str:
    """A, b or c."""
    *first, last = list(words)
    return f"{', '.join(first)} or {last}" if first else last


def bound_words(bound: models.Bound) -> str:
    """A bound in words, without unit."""
    match bound.kind:
        case "typical":
            return quantities.number_text(bound.typical)
        case "range":
            return (
                f"{quantities.number_text(bound.range[0])} to"
                f" {quantities.number_text(bound.range[1])}"
            )
        case "at_least":
            return f"at least {quantities.number_text(bound.at_least)}"
        case _:
            return f"at most {quantities.number_text(bound.at_most)}"


def day(when: date) -> str:
    """A date as 25 November 2026."""
    return f"{when.day} {when:%B %Y}"


def share_text(bound: models.Bound) -> str:
    """A composition share for a narrow table cell."""
    match bound.kind:
        case "range":
            return quantities.EN_DASH.join(quantities.number_text(end) for end in bound.range)
        case "at_least":
            return f"≥{NBSP}{quantities.number_text(bound.at_least)}"
        case "at_most":
            return f"≤{NBSP}{quantities.number_text(bound.at_most)}"
        case _:
            return quantities.number_text(bound.typical)


def sort_text(middle: Decimal | None) -> str:
    """The number that the browser sorts by; more digits would only weigh."""
    return "" if middle is None else f"{middle:.7g}"
