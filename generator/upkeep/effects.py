"""Everything that the knowledge base says differently after an edit, weightiest first, in words.

Cautions come first, then rungs and exposures, then lessons, identification, tables, leaflet and
cards. The comparison does not depend on the wording: no difference is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from generator.numbers.quantities import NBSP
from generator.records.knowledge import COLLECTIONS
from generator.site.page import Site
from generator.upkeep import editions
from generator.upkeep.moves import moved
from generator.upkeep.said import SECTIONS, Said
from generator.verdicts.findings import EXPOSURE_RANK
from generator.verdicts.rungs import CANNOT_SAY, OFFERED, ORDER
from generator.verdicts.wording import reasons, state_name

KINDS = {collection: kind for kind, collection in COLLECTIONS.items()}
TITLES = {
    "figures": "Records",
    "cautions": "Cautions",
    "stands": "What it is used for",
    "exposures": "What attacks it",
    "grounds": "Lessons and sayings",
    "marks": "What is this metal?",
    "tables": "Tables",
    "places": "Order",
    "leaflet": "The owner's leaflet",
    "cards": "Cards to print again",
}
JOINED = ("stands", "exposures")
FEW = 5  # rows of a table that are told one by one


class Difference(NamedTuple):
    """One text that is not what it was; None where there was or is none."""

    section: str
    subject: str
    what: str
    was: str | None
    now: str | None


class Effect(NamedTuple):
    """A difference in words, and how much hangs on it."""

    weight: float
    section: str
    text: str


def differences(old: Said, new: Said) -> Iterator[Difference]:
    """Every text of any section that differs, and those that only one side has."""
    for section in SECTIONS:
        before, after = old.get(section, {}), new.get(section, {})
        if section == "figures":
            yield from _fields(before, after)
            continue
        if section == "cards" and not (before and after):
            continue  # one side drew none
        for subject in sorted(before.keys() | after.keys()):
            was, now = before.get(subject, {}), after.get(subject, {})
            if section == "places":
                for row in moved(was, now):
                    yield Difference(section, subject, row, was[row], now[row])
            elif was != now:
                for what in sorted(was.keys() | now.keys()):
                    if was.get(what) != now.get(what):
                        yield Difference(section, subject, what, was.get(what), now.get(what))


def _fields(old: Mapping, new: Mapping) -> Iterator[Difference]:
    for page in sorted(old.keys() ^ new.keys()):
        there = page in new
        yield Difference("figures", page, "", None if there else page, page if there else None)
    for change in editions.compare(old, new):
        was = change.was if change.how != "added" else None
        now = change.now if change.how != "removed" else None
        if was is None and now is None:  # a long text that was reworded
            was = now = ""
        yield Difference("figures", change.record, change.field, was, now)


def effects(site: Site, old: Said, new: Said) -> list[Effect]:
    """The differences in words, weightiest first."""
    changed = list(_without_floods(old, new))
    found = [_in_words(site, d) for d in changed if d.section not in (*JOINED, "tables", "places")]
    found += _in_tables(site, [d for d in changed if d.section == "tables"], new)
    found += _in_order(site, [d for d in changed if d.section == "places"], new)
    for section in JOINED:
        found += _together(site, section, [d for d in changed if d.section == section])
    rank = {section: at for at, section in enumerate(SECTIONS)}
    return sorted(found, key=lambda e: (-e.weight, rank[e.section], e.text))


def _without_floods(old: Said, new: Said) -> Iterator[Difference]:
    """Of a record that came or went, what is said of it everywhere is not listed piece by piece."""
    pages = old["figures"].keys() ^ new["figures"].keys()
    gone_or_new = {page.partition("/")[2] for page in pages}
    for d in differences(old, new):
        keys = {d.subject.rpartition("/")[2], d.what.partition("|")[0]}
        if d.section == "figures" or not keys & gone_or_new:
            yield d


def _in_words(site: Site, d: Difference) -> Effect:
    weight, text = _WORDS[d.section](site, d)
    return Effect(weight, d.section, text.replace(NBSP, " "))


def _arrow(d: Difference) -> str:
    return f"{_short(d.was)} -> {_short(d.now)}"


def _short(text: str | None) -> str:
    if text is None:
        return "nothing"
    return text if len(text) <= 160 else f"{text[:77]} ... {text[-77:]}"


def _pieces_that_differ(d: Difference) -> str:
    """Of a list in one line only what came and went."""
    between = "; " if "; " in (d.was or "") + (d.now or "") else ", "
    was, now = ((text or "").split(between) if text else [] for text in (d.was, d.now))
    gone = [piece for piece in was if piece not in now]
    come = [piece for piece in now if piece not in was]
    if not gone or not come or len(gone) + len(come) == len(was) + len(now):
        words = {False: "added", True: "taken away"}[bool(gone)]
        if bool(gone) != bool(come):
            return f"{words}: {_short(between.join(gone or come))}"
        return _arrow(d)
    return f"{_short(between.join(gone))} -> {_short(between.join(come))}"


def _name(site: Site, page: str) -> str:
    """The name of a record's page such as materials/brass-cuzn37; its id when it is gone."""
    folder, _, key = page.partition("/")
    if folder == "cautions":
        known = site.knowledge.cautions
    elif folder == "parts":
        known = site.knowledge.roles
    else:
        known = site.knowledge.of_kind(KINDS[folder]) if folder in KINDS else {}
    return known[key].name if key in known else key


def _figures(site: Site, d: Difference) -> tuple[float, str]:
    of_list = d.subject == "sources" or d.subject in site.knowledge.lists
    name = f"knowledge/{d.subject}" if of_list else _name(site, d.subject)
    if not d.what:
        return 40, f"{name} is {'new' if d.was is None else 'gone'}"
    field = d.what if of_list else editions.field_words(site.knowledge, d.subject, d.what)
    if d.was == d.now == "":
        return 10, f"{name}, {field}: reworded"
    weight = 50 if "figures" in d.what or d.what == "composition" else 20
    return weight, f"{name}, {field}: {_pieces_that_differ(d)}"


def _cautions(site: Site, d: Difference) -> tuple[float, str]:
    caution = site.knowledge.cautions.get(d.what)
    verb, weight = ("no longer bears", 1000) if d.now is None else ("now bears", 900)
    return (
        weight,
        f"{_name(site, d.subject)} {verb} the caution {caution.name if caution else d.what}",
    )


def _piece(site: Site, what: str) -> str:
    material, state, coated = (what.split("|") + ["", ""])[:3]
    if material not in site.knowledge.materials:
        return material
    known = site.knowledge.materials[material]
    name = state_name(site.knowledge, material, state if state in known.states else None)
    if coated:
        name += f", coated with {_name(site, f'materials/{coated}')}"
    return name


def _stands(site: Site, d: Difference) -> tuple[float, str]:
    """How much a change of rung weighs, and what it is called behind the piece and the part."""
    part = site.knowledge.roles.get(d.subject)
    was, now = ((text or "").partition(" ")[0] for text in (d.was, d.now))
    if not was or not now:
        return 30, "judged now" if now else "no longer judged"
    rungs = site.knowledge.words("rungs")
    why = "; ".join(_why(site, d)) or "nothing is short any more"
    if was == now:
        return 60, f"still {_word(rungs, now)}; {why}"
    weight = 100.0 * (1 + abs(ORDER.get(was, 0) - ORDER.get(now, 0)))
    weight *= 2 if (was in OFFERED) != (now in OFFERED) else 1
    named = part is not None and any(
        c.material == d.what.partition("|")[0] for c in (*part.usual, *part.wrong)
    )
    weight *= 1.5 if named else 0.5 if CANNOT_SAY in (was, now) else 1
    return min(weight, 899), f"{_word(rungs, was)} -> {_word(rungs, now)}, because {why}"


def _word(words: Mapping, key: str) -> str:
    """A word of a vocabulary; the key where an older edition had one that is gone."""
    return words[key].name if key in words else key


def _why(site: Site, d: Difference) -> list[str]:
    material, state, coated = d.what.split("|")
    for j in site.verdicts.of_role(d.subject):
        if (j.material, j.state or "", j.coated or "") == (material, state, coated):
            return reasons(site.knowledge, j, 2)
    return []


def _exposures(site: Site, d: Difference) -> tuple[float, str]:
    words = site.knowledge.words("exposure_verdicts")
    if d.was is None or d.now is None:
        return 30, "judged now" if d.now else "no longer judged"
    rank = EXPOSURE_RANK
    step = abs(rank[d.was] - rank[d.now]) if {d.was, d.now} <= rank.keys() else 1
    return 150.0 + 100 * step, f"{_word(words, d.was)} -> {_word(words, d.now)}"


def _together(site: Site, section: str, found: list[Difference]) -> Iterator[Effect]:
    """Judgements that change alike, of the states of a material and for several parts, in one
    line."""
    states: dict[tuple, list[str]] = {}
    for d in found:
        material, state, coated = d.what.split("|")
        weight, words = _WORDS[section](site, d)
        states.setdefault((weight, material, coated, d.subject, words), []).append(state)
    subjects: dict[tuple, list[str]] = {}
    for (weight, material, coated, subject, words), of in states.items():
        subjects.setdefault((weight, material, coated, tuple(of), words), []).append(subject)
    folder, joint = ("parts", "for") if section == "stands" else ("hazards", "in")
    for (weight, material, coated, of, words), about in subjects.items():
        names = ", ".join(_name(site, f"{folder}/{key}") for key in about)
        piece = _pieces(site, material, of, coated)
        yield Effect(weight, section, f"{piece} {joint} {names}: {words}".replace(NBSP, " "))


def _pieces(site: Site, material: str, states: Sequence[str], coated: str) -> str:
    record = site.knowledge.materials.get(material)
    if record is None:
        return material
    known = [record.states[s].name for s in states if s in record.states]
    every = len(known) == len(record.states) > 1
    name = record.name if every or not known else f"{record.name} ({'; '.join(known)})"
    return f"{name}, coated with {_name(site, f'materials/{coated}')}" if coated else name


def _grounds(site: Site, d: Difference) -> tuple[float, str]:
    question = f", question {d.what}," if d.what else ""
    return 140, f"{_name(site, d.subject)}{question} rests on: {_arrow(d)}"


def _marks(site: Site, d: Difference) -> tuple[float, str]:
    return 130, f"{_name(site, f'materials/{d.subject}')}, {d.what}: {_arrow(d)}"


def _in_tables(site: Site, found: list[Difference], new: Said) -> Iterator[Effect]:
    """Rows of a table one by one; where many follow from one reference, in one line."""
    for table in dict.fromkeys(d.subject for d in found):
        ours = [d for d in found if d.subject == table]
        title = site.tables[table].title if table in site.tables else table
        for d in ours[:FEW]:
            piece = _piece(site, "|".join(d.what.split("|")[:2]))
            yield Effect(70, "tables", f"{title}: {piece}: {_cells(d)}".replace(NBSP, " "))
        if len(ours) > FEW:
            rows = len(new["tables"].get(table, {}))
            text = f"{title}: {len(ours) - FEW} more of its {rows} rows"
            yield Effect(69, "tables", text)


def _in_order(site: Site, found: list[Difference], new: Said) -> Iterator[Effect]:
    """The rows that moved in a table, or among what is offered for a part, in one line."""
    for where in dict.fromkeys(d.subject for d in found):
        ours = [d for d in found if d.subject == where]
        folder, _, key = where.partition("/")
        table = site.tables.get(key) if folder == "tables" else None
        title = table.title if table else _name(site, where)
        moves = [f"{_piece(site, d.what)} from place {d.was} to {d.now}" for d in ours[:FEW]]
        more = f" and {len(ours) - FEW} more" if len(ours) > FEW else ""
        text = f"{title}: {', '.join(moves)}{more}, of {len(new['places'].get(where, {}))}"
        yield Effect(65 if table else 80, "places", text.replace(NBSP, " "))


def _cells(d: Difference) -> str:
    """Only the cells that differ."""
    if d.was is None or d.now is None:
        return f"{'a new row' if d.was is None else 'the row is gone'}"
    was, now = d.was.split("; "), d.now.split("; ")
    if len(was) != len(now):
        return _arrow(d)
    pairs = [(a, b) for a, b in zip(was, now, strict=True) if a != b]
    return "; ".join(f"{_short(a)} -> {_short(b)}" for a, b in pairs)


def _leaflet(site: Site, d: Difference) -> tuple[float, str]:
    hazard = site.knowledge.hazards.get(d.what)
    what = f", {hazard.name}" if hazard else ""
    return 200, f"{_name(site, d.subject)}{what}: {_arrow(d)}"


def _cards(site: Site, d: Difference) -> tuple[float, str]:
    return 15, f"{_name(site, d.subject)}{' has no card any more' if d.now is None else ''}"


_WORDS = {
    "figures": _figures,
    "cautions": _cautions,
    "stands": _stands,
    "exposures": _exposures,
    "grounds": _grounds,
    "marks": _marks,
    "leaflet": _leaflet,
    "cards": _cards,
}


def lines(found: list[Effect], most: int | None = None) -> list[str]:
    """Figures first, as the cause; then the effects, weightiest first."""
    causes = [e for e in found if e.section == "figures"]
    rest = [e for e in found if e.section != "figures"]
    out = []
    for title, group in (("Changed:", causes), ("What follows:", rest)):
        shown = group[:most]
        out += [title] if group else []
        out += [f"  {e.text}" if e in causes else f"  {TITLES[e.section]}: {e.text}" for e in shown]
        if len(group) > len(shown):
            out.append(f"  ... and {len(group) - len(shown)} more; --all shows them")
    if not rest:
        out.append("Nothing follows from it." if causes else "Nothing differs.")
    return out
