"""Which body is behind a figure."""

from __future__ import annotations

import re

from generator.records import models

_STANDARD = re.compile(r"\b(?:ISO|EN|DIN|ASTM|BS|JIS|GOST|AMS|GB|YB)\b[ /T-]*(?:[A-Z] ?)?\d[\d.-]*")


def body(source: models.Source, kind: str = "typical") -> str:
    """Who answers for a figure: where it is a limit or a range, the standard whose table the
    source copies; or else its publisher."""
    standard = _STANDARD.search(source.number or "") if kind != "typical" else None
    return standard.group() if standard else source.publisher
