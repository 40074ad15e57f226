"""Guesses the number, day or id that was meant where something else was typed."""

from __future__ import annotations

import re
import unicodedata
from datetime import date

_CURLY = frozenset("\u2018\u2019\u201a\u201c\u201d\u201e")
_AMOUNT = r"[-+]?\d+(?:\.\d+)?"
_SPAN = re.compile(rf"({_AMOUNT}) *(?:-|\u2013|\u2014|to|\.\.) *({_AMOUNT})", re.ASCII)
_LIMIT = re.compile(
    rf"(?P<least>>=?|\u2265|min\.?)? ?(?P<most><=?|\u2264|max\.?)? *(?P<end>{_AMOUNT})"
)


def number_cure(text: str) -> str:
    """What somebody meant who typed no number."""
    span, limit = _SPAN.fullmatch(text), _LIMIT.fullmatch(text)
    if span:
        return f"write range: [{span[1]}, {span[2]}]"
    if "\u00b1" in text:
        return "write range: [low, high]"
    if limit and limit["least"]:
        return f"write at_least: {limit['end']}"
    if limit and limit["most"]:
        return f"write at_most: {limit['end']}"
    if re.fullmatch(r"\d{1,3}( \d{3})+(\.\d+)?", text):
        return f"write {text.replace(' ', '')}"
    if ";" in text:
        return "put a comma between two numbers"
    if "," in text:
        return "write the decimal point as a point"
    if _CURLY & set(text):
        return "delete the curly quotes"
    if not text.isascii():
        return "delete the odd spaces and write the digits 0 to 9"
    return "write digits and a point, no unit"


def day_meant(text: str) -> str:
    """A day typed in another order, in ours; an example where it could be two days."""
    found = re.fullmatch(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})", text, re.ASCII)
    parts = found.groups() if found else None
    other = re.fullmatch(r"(\d{1,2})[-./ ]+(\d{1,2})[-./ ]+(\d{4})", text, re.ASCII)
    if other and ("." in text or int(other[1]) > 12):
        parts = other.groups()[::-1]
    try:
        return date(*map(int, parts)).isoformat()
    except (TypeError, ValueError):
        return "2026-01-31"


def id_meant(text: str) -> str:
    """A name as an id; empty when nothing of it can stand in one."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return "-".join(re.findall(r"[a-z0-9]+", plain))[:60].strip("-")
