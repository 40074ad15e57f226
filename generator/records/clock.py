"""Today's date, in one place, so that tests can set it."""

from __future__ import annotations

from datetime import date


def today() -> date:
    """The day by this machine's clock."""
    return date.today()
