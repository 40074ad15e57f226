"""Matrices: parts against materials, materials against hazards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.site import print_layout
from generator.site.page import MATRICES, Page, Site, trail
from generator.verdicts import wording
from generator.verdicts.candidates import MOST, makes_parts
from generator.verdicts.findings import EXPOSURE_RANK
from generator.verdicts.rungs import PINCH, Judgement

MATRIX_SIGNS = {
    "own": "●",
    "beside": "+",
    "pinch": "(+)",
    "paper": "p",
    "no": "−",
    "cannot-say": "?",
    "unknown": "?",
    "holds": "+",
    "holds-with-care": "(+)",
    "suffers": "(−)",
    "fails": "−",
    "not-judged": "·",
}


NOT_JUDGED = "not-judged"  # outside the field of a part, in a large knowledge base


def matrix_pages(site: Site) -> Iterator[Page]:
    """Parts by materials (outside, movement) and hazards by materials, one sign a cell."""
    zones = site.knowledge.words("zones")
    bases = [m for m in site.rank if makes_parts(site.knowledge, m)][:MOST]
    for side, table_id in (
        ("exterior", "matrix-parts-outside"),
        ("movement", "matrix-parts-movement"),
    ):
        parts = [p for z, keys in site.zones.items() if zones[z].side == side for p in keys][:MOST]
        best = {part: _best(site.verdicts.cells[part]) for part in parts}
        rows = [(m, [_grounded(site, best[p].get(m)) for p in parts]) for m in bases]
        yield _matrix(
            site,
            table_id,
            "What can be made of what, at a glance.",
            "rungs",
            [("part", p) for p in parts],
            rows,
            "part",
            [(f"{words[0]}", words[2:]) for words in wording.GROUNDS.values()],
        )
    rows, hazards = [], list(site.knowledge.hazards)[:MOST]
    for material in list(site.rank)[:MOST]:
        states = tuple(site.knowledge.materials[material].states) or (None,)
        best = [
            min(
                (site.verdicts.judge.exposure(h, material, s).verdict for s in states),
                key=EXPOSURE_RANK.get,
            )
            for h in hazards
        ]
        rows.append((material, [_sign(v) for v in best]))
    yield _matrix(
        site,
        "matrix-hazards",
        "What attacks what, at a glance.",
        "exposure_verdicts",
        [("hazard", h) for h in hazards],
        rows,
        "hazard",
    )


def _best(cells: list[Judgement]) -> dict[str, Judgement]:
    """Material -> where it stands best in any state; the cells come best first."""
    found: dict[str, Judgement] = {}
    for j in cells:
        found.setdefault(j.material, j)
    return found


def _grounded(site: Site, best: Judgement | None) -> tuple[str, str]:
    """The sign of a rung, with that of a weak ground: beside it, or in the brackets of a pinch,
    where two would be too wide for paper."""
    if best is None:
        return _sign(NOT_JUDGED)
    sign, css = _sign(best.rung)
    ground = site.verdicts.worded.ground_words(best)[:1]
    return (sign.replace("+", ground) if ground and best.rung == PINCH else sign + ground), css


def _sign(verdict: str) -> tuple[str, str]:
    return MATRIX_SIGNS[verdict], verdict


def _matrix(
    site: Site,
    table_id: str,
    summary: str,
    vocabulary: str,
    columns,
    rows,
    row_word: str,
    further: Sequence[tuple[str, str]] = (),
) -> Page:
    title = MATRICES[table_id]
    legend = [(MATRIX_SIGNS[v], e.name) for v, e in site.knowledge.words(vocabulary).items()]
    legend += further
    way, letters, _ = print_layout.matrix_size(
        [site.view.name("material", m) for m, _ in rows], [site.view.name(*c) for c in columns]
    )
    body = site.view.draw(
        "matrix",
        f"tables/{table_id}.html",
        title=title,
        summary=summary,
        legend=legend,
        columns=columns,
        rows=rows,
        way=way,
        letters=letters,
        row_word=row_word,
        trail=trail("table", [], title),
        siblings=other_tables(site, table_id),
    )
    return Page(f"tables/{table_id}.md", title, summary, body, wide=True)


def other_tables(site: Site, table_id: str) -> list[tuple[str, str]]:
    return [("table", t) for t in (*site.tables, *MATRICES) if t != table_id]
