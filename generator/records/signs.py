"""Finds invisible residue of word processors and web pages in texts: hidden characters, sentences
cut off by a comment sign, commas that split an entry, curly quotes.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

# Drawn as nothing although Unicode counts them as letters or marks.
_BLANK = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u3164\uffa0") | {
    chr(n) for n in range(0xFE00, 0xFE10)
}
_CURLY = re.compile("[\u2018\u201a\u201c\u201e].*[\u2018\u2019\u201c\u201d]", re.DOTALL)
_REMARK = re.compile(r" #")
_ENDS = (".", "!", "?")


def invisible(text: str) -> Iterator[tuple[int, str]]:
    """(place in the text, name) of every sign that a reader cannot see.

    Control and format characters, soft hyphen, line separators, private use, and what Unicode
    keeps for no character. Spaces of other widths pass in prose.
    """
    if text.isprintable() and _BLANK.isdisjoint(text):
        return
    for i, sign in enumerate(text):
        kind = unicodedata.category(sign)
        if sign in _BLANK or kind[0] == "C" or kind in ("Zl", "Zp"):
            yield i, f"U+{ord(sign):04X}"


def typed_oddly(value: str, after: str) -> tuple[str, str] | None:
    """Fault and cure of an unquoted text, given what follows it in the line."""
    if _REMARK.match(after) and len(after) > 2:
        fault = f"the text ends before #: {value[-20:]!r}"
        return fault, "quote the text, or put two spaces before a remark"
    if len(value) > 1 and _CURLY.fullmatch(value):
        return "stands in curly quotes", "delete them, or type straight ones"
    if value.endswith('"') and value.count('"') == 1 and not value[-2:-1].isdigit():
        return f"a quote is closed and was not opened: {value[-20:]!r}", "type both or neither"
    return None


def split_sentence(entries: list) -> str | None:
    """The entry that a comma has cut off, in a list of sentences in brackets.

    Such a list has entries that end with a stop; then each begins with a capital, a figure or a
    sign.
    """
    texts = [e for e in entries if isinstance(e, str) and e]
    if len(texts) < 2 or len(texts) < len(entries) or not any(t.endswith(_ENDS) for t in texts):
        return None
    pairs = zip(texts, texts[1:], strict=False)
    return next((b for a, b in pairs if b[0].islower() and not a.endswith((*_ENDS, ":"))), None)
