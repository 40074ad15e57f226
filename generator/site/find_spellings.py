"""Designations and marks as people type them.

They are found without dots and hyphens anyway; this module adds forms that need knowledge, such as
4404 for 1.4404, 18k for 18 ct, Ti64 for Ti-6Al-4V.
"""

from __future__ import annotations

import re

from generator.records import models

CARAT = ("ct", "k", "kt", "carat", "karat", "ct gold", "k gold", "carat gold", "karat gold")


def of_mark(mark: models.Mark, metal: str) -> list[str]:
    """A fineness alone, behind its metal, and as carats where there are any."""
    number = f"{mark.fineness:f}"
    ways = [
        number,
        f"{metal} {number}",
        f"{metal[:4]} {number}",
        f"{mark.metal}{number}",
        f"{number}/1000",
        f"0.{number}",
    ]
    return ways + (of_carat(f"{mark.carat:f}") if mark.carat is not None else [])


def of_carat(carat: str) -> list[str]:
    """18 as 18 ct, 18k, 18 carat ..."""
    return [f"{carat} {unit}" for unit in CARAT] + [f"k{carat}", f"ct{carat}"]


def of_designations(kind: str, record) -> list[str]:
    """Those of a material; other records have none."""
    if kind != "material":
        return []
    return [typed for d in record.designations for typed in of_designation(d.system, d.code)]


def of_designation(system: str, code: str) -> list[str]:
    """A designation as people type it; the page of the mark answers for a fineness."""
    if system == "fineness":
        return []
    return [code, *_WAYS.get(system, lambda code: [])(code)]


def _uns(code: str) -> list[str]:
    return [code[:4]] if re.fullmatch(r"C\d{3}00", code) else []  # C360


def _grade(code: str) -> list[str]:
    number = code.split()[-1]
    return [f"gr {number}", f"gr{number}"]


def _aluminium(code: str) -> list[str]:
    number = code.removeprefix("EN AW-")
    return [number, f"AW{number}", f"AA{number}"]


def _nominal(code: str) -> list[str]:
    letters = re.sub(r"[^A-Za-z0-9]", "", code)
    short = re.sub(r"(?<=[a-z])\d?Al|Al|V$", "", letters) if letters == "Ti6Al4V" else letters
    return [short]


_WAYS = {
    "en-number": lambda code: [code.removeprefix("1.")],  # 4404
    "uns": _uns,
    "aisi": lambda code: [f"AISI {code}", f"SS{code}"],
    "astm-grade": _grade,
    "en-aluminium": _aluminium,
    "nominal": _nominal,
    "colour-code": lambda code: [f"gold {code}"],
}
