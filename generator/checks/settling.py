"""What measuring a figure would settle: the verdicts, identifications and table places that differ
at one end of the figure's doubt.

Only what the figure can change is judged again. A rung changes only where the answer to a firm
demand changes, or where a figure crosses the edge of what the usual choices reach.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from typing import NamedTuple

from generator.checks.askers import Asker, askers
from generator.numbers.doubt import Doubts
from generator.numbers.quantities import OWN, Quantity
from generator.numbers.values import TENSILE, Values
from generator.records import models
from generator.records.knowledge import Knowledge
from generator.tables.cells import Table
from generator.tables.places import Places
from generator.verdicts import identify
from generator.verdicts.findings import MISSED, compare
from generator.verdicts.rungs import (
    BESIDE,
    CANNOT_SAY,
    NO,
    PAPER,
    PINCH,
    Judgement,
)
from generator.verdicts.usage import Asked, falls_short, reached
from generator.verdicts.verdicts import Verdicts
from generator.verdicts.wording import state_name, with_unit

UNOFFERED = {PAPER, NO}  # from one of these to the other nothing is settled at the bench
OPEN = (BESIDE, PINCH, CANNOT_SAY)  # rungs on which a shortfall counts
FEWEST_DIGITS = 2  # that the ends of a doubt are shown with
NO_TABLES: Mapping[str, Table] = {}
NO_SIGNS: Mapping = {"materials": ()}
NAMED = 6  # verdicts and metals that are named
HARDNESS = "hardness"


class Turn(NamedTuple):
    """A verdict that comes out otherwise at one end."""

    judgement: Judgement
    rung: str  # what it becomes
    at_low: bool


class Settled(NamedTuple):
    """What the measuring of one figure would settle."""

    material: str
    property: str
    state: str | None  # None: the figure holds in every state that has none of its own
    now: Quantity
    low: Quantity
    high: Quantity
    turns: tuple[Turn, ...]
    told_apart: tuple[str, ...]  # metals that it cannot be told from now
    places: Mapping[str, int]  # table -> places that it would go up or down there

    @property
    def weight(self) -> tuple[int, int]:
        """Verdicts and identifications, then places in tables."""
        verdicts = {(t.judgement.part, *t.judgement[1:4]) for t in self.turns}
        return len(verdicts) + len(self.told_apart), sum(self.places.values())


class Settling:
    """What figures decide, worked out figure by figure."""

    def __init__(
        self,
        verdicts: Verdicts,
        tables: Mapping[str, Table] = NO_TABLES,
        signs: Mapping = NO_SIGNS,
    ):
        """``signs`` is what ``identify.data`` hands on; who asks for verdicts alone gives no tables
        and no signs."""
        self.verdicts, self.ladder = verdicts, verdicts.ladder
        self.judge, self.knowledge = verdicts.judge, verdicts.knowledge
        self.values = verdicts.judge.values
        self._doubts = Doubts(self.values)
        self._shown = {m["id"]: m for m in signs["materials"] if not m["coating"]}
        self.places = Places(self.knowledge, tables)
        self._known: dict[tuple, tuple[Turn, ...]] = {}
        self._figured: dict[tuple[str, Asked], list[tuple[Judgement, Quantity]]] = {}
        self._streak = identify.tolerance(self.knowledge, "touchstone")

    def all(self) -> list[Settled]:
        """Every figure that a verdict or an identification hangs on, the most first."""
        found = (
            self._placed(states, settled)
            for material in self.knowledge.materials
            for prop in self._decisive
            for states, settled in self._of(material, prop)
            if settled.turns or settled.told_apart
        )
        return sorted(
            found,
            key=lambda s: (*(-w for w in s.weight), s.material, s.property, s.state or ""),
        )

    def of(self, material: str, prop: str) -> Iterator[Settled]:
        """What the figures of a material's property would settle, those of each state by
        themselves."""
        return (self._placed(states, s) for states, s in self._of(material, prop))

    def turning(self) -> Iterator[Settled]:
        """Every figure that a verdict hangs on where one more source might put it, without
        identifications and places in tables."""
        for material in self.knowledge.materials:
            for prop in self._decisive:
                for state, states, unit, now in self._figures(material, prop):
                    ends = self._doubts.reach(prop, now)
                    turns = self._turned(material, prop, states, unit, ends)
                    if turns:
                        yield Settled(material, prop, state, now, *ends, turns, (), {})

    def limits(self, settled: Settled) -> set[tuple]:
        """(at least, at most) of the demands, and of the edges of what is usual, in the parts
        where a figure turns verdicts."""
        parts = {turn.judgement.part for turn in settled.turns}
        askers = self._askers.get((settled.property, settled.now.unit), ())
        return {limit for a in askers if a.part in parts for limit in a.pairs}

    def _of(self, material: str, prop: str) -> Iterator[tuple[tuple, Settled]]:
        """The same without places in tables, each with the states that its figure holds in."""
        for state, states, unit, now in self._figures(material, prop):
            ends = self._doubts.ends(prop, now)
            turns = self._turned(material, prop, states, unit, ends)
            told = tuple(self._told_apart(material, prop, states, unit, ends))
            yield states, Settled(material, prop, state, now, *ends, turns, told, {})

    def _figures(
        self, material: str, prop: str
    ) -> Iterator[tuple[str | None, tuple, str, Quantity]]:
        """The figures of a material's property in each unit that is asked: (where it stands, the
        states that it holds in, the unit, what it is)."""
        record = self.knowledge.materials[material]
        own = [s for s, state in record.states.items() if prop in state.figures]
        others = [s for s in record.states if s not in own]
        for unit in self._decisive.get(prop, (self.values.unit_of(prop),)):
            places = [(state, (state,)) for state in own]
            if prop in record.figures and (others or not own):
                places.append((None, (*others, None)))
            for state, states in places:
                now = self.values.of(material, prop, states[0], unit)
                if now is not None:
                    yield state, states, unit, now

    @cached_property
    def _decisive(self) -> dict[str, tuple[str, ...]]:
        """The properties that a demand, a table or an observation asks for, or that such a one is
        worked out from, each with its units."""
        found: dict[str, dict[str, None]] = {"density": {}, HARDNESS: {"HV": None}}
        for asked in self.ladder.usages.asked.values():
            for a in asked:
                found.setdefault(a.property, {})[a.unit or self.values.unit_of(a.property)] = None
        properties = self.knowledge.words("properties")
        for rule in (properties[p].worked_out for p in list(found)):
            for given in rule.inputs.values() if rule else ():
                found.setdefault(given, {})
        for column in self.places.names:
            if column in properties:
                found.setdefault(column, {})
        return {p: tuple(units) or (self.values.unit_of(p),) for p, units in found.items()}

    def _placed(self, states: tuple, s: Settled) -> Settled:
        return s._replace(places=self.places.passed(s.material, states, s.now, (s.low, s.high)))

    def _moved(self, material: str, prop: str, states: tuple, unit: str, end: Quantity) -> Values:
        units = (unit, None) if unit == self.values.unit_of(prop) else (unit,)
        if end.from_memory:  # once it is measured, it is no longer from memory
            end = replace(end, evidence=OWN, sources=())
        return self.values.moved({(material, prop, s, u): end for s in states for u in units})

    def _turned(
        self, material: str, prop: str, states: tuple, unit: str, ends: tuple
    ) -> tuple[Turn, ...]:
        """What turns when a figure stands at two ends. Where sources lie apart as far as they do
        elsewhere, the ends of its doubt are those of its reach, and it is judged once."""
        key = material, prop, states, unit, ends
        if key not in self._known:
            moved = [self._moved(material, prop, states, unit, end) for end in ends]
            self._known[key] = tuple(self._turns(material, prop, states, unit, ends, moved))
        return self._known[key]

    def _turns(
        self, material: str, prop: str, states: tuple, unit: str, ends: tuple, moved: list[Values]
    ) -> Iterator[Turn]:
        for asker in self._askers.get((prop, unit), ()):
            judged = material in self._judged[asker.part]
            if material in asker.usual or (judged and asker.turns_between(*ends)):
                yield from self._in_part(asker, material, states, ends, moved)
        for derived, state in ((d, s) for d in self._read_from[prop] for s in states):
            now = self.values.of(material, derived, state)
            through = tuple(v.of(material, derived, state) for v in moved)
            if through != (now, now):
                unit = self.values.unit_of(derived)
                yield from self._turns(material, derived, (state,), unit, through, moved)

    @cached_property
    def _read_from(self) -> Mapping[str, list[str]]:
        """Property -> what is read or worked out from it: the tensile strength of a steel from its
        hardness, the work that a spring stores from its strength and stiffness."""
        found: dict[str, list[str]] = defaultdict(list, {HARDNESS: [TENSILE]})
        for name, entry in self.knowledge.words("properties").items():
            rule = entry.worked_out
            if rule:
                for prop in {*rule.inputs.values(), *(rule.at_most_inputs or {}).values()}:
                    found[prop].append(name)
        return found

    @cached_property
    def _askers(self) -> dict[tuple[str, str], list[Asker]]:
        return askers(self.ladder.usages, self.values)

    def _in_part(
        self,
        asker: Asker,
        material: str,
        states: tuple,
        ends: tuple,
        moved: list[Values],
    ) -> Iterator[Turn]:
        part, place, asked, firm, span, _, _ = asker
        usage = self.ladder.usages.of(part)
        cells = self._cells[part]
        usual = any(u.choice.material == material and u.state in states for u in usage.choices)
        for end, values, at_low in zip(ends, moved, (True, False), strict=True):
            reach = span
            if usual and span is not None:
                reach = reached(
                    end
                    if u.choice.material == material and u.state in states
                    else u.traits.figures[place]
                    for u in usage.choices
                )
            for state in states:
                for j in cells.get((material, state), ()):
                    rung = self._rung(j, asked, firm, end, span, reach, values)
                    if rung != j.rung and not {rung, j.rung} <= UNOFFERED:
                        yield Turn(j, rung, at_low)
            if reach != span:
                yield from self._others(part, asked, material, states, span, reach, at_low)
            if asked.property == HARDNESS and asker.turns_between(*ends):
                yield from self._soldered(part, material, states, values, at_low)

    def _soldered(
        self, part: str, material: str, states: tuple, values: Values, at_low: bool
    ) -> Iterator[Turn]:
        """Other states where a torch reaches the part: at the joint they are as soft as the
        softest; all materials where that is so of a usual choice, or no longer."""
        soldered = self.knowledge.roles[part].soldered
        if not soldered or self.ladder.tempers.softest(material) not in states:
            return
        ladder = self.ladder.on(values)
        all_alike = ladder.usual_softens(part) == self.ladder.usual_softens(part)
        for j in self.verdicts.cells[part]:
            own = j.material == material
            if j.state in states if own else all_alike:
                continue
            rung = ladder.judgement(*j[:4]).rung
            if rung != j.rung and not {rung, j.rung} <= UNOFFERED:
                yield Turn(j, rung, at_low)

    def _rung(
        self,
        j: Judgement,
        asked: Asked,
        firm: Iterable[models.Demand],
        end: Quantity | None,
        span: tuple | None,
        reach: tuple | None,
        values: Values,
    ) -> str:
        """The rung of a judgement whose own figure stands at an end; a figure that comes or goes
        there, as a strength by the hardness table does, is judged again."""
        now = self.values.of(j.material, asked.property, j.state, asked.unit)
        if now is None or end is None or now.from_memory:
            return self.ladder.on(values).judgement(*j[:4]).rung
        for demand in firm:
            was = _outcome(now, demand)
            if was != _outcome(end, demand):
                if _outcome(end, demand) == MISSED:
                    return NO
                if was == MISSED:
                    return self.ladder.on(values).judgement(*j[:4]).rung
        return self._with_shortfall(j, asked, now, end, span, reach)

    def _others(
        self,
        part: str,
        asked: Asked,
        material: str,
        states: tuple,
        span: tuple,
        reach: tuple,
        at_low: bool,
    ) -> Iterator[Turn]:
        """Materials beside a usual choice, when the edge of what is usual moves."""
        for j, mine in self._compared(part, asked):
            if j.material == material and j.state in states:
                continue
            rung = self._with_shortfall(j, asked, mine, mine, span, reach)
            if rung != j.rung:
                yield Turn(j, rung, at_low)

    def _compared(self, part: str, asked: Asked) -> list[tuple[Judgement, Quantity]]:
        """The judgements of a part in which a shortfall of a figure counts, with that figure."""
        if (part, asked) not in self._figured:
            found = (
                (j, self.values.of(j.material, asked.property, j.state, asked.unit))
                for j in self.verdicts.cells[part]
                if j.rung in OPEN
            )
            self._figured[part, asked] = [(j, q) for j, q in found if q and not q.from_memory]
        return self._figured[part, asked]

    def _with_shortfall(
        self,
        j: Judgement,
        asked: Asked,
        now: Quantity,
        then: Quantity,
        span: tuple | None,
        reach: tuple | None,
    ) -> str:
        """The rung when one shortfall comes or goes; nothing else of the judgement changes."""
        if j.rung not in OPEN or span is None or reach is None:
            return j.rung
        wished = self.ladder.usages.wishes[j.part].get(asked)
        was = falls_short(now, span, asked, wished)
        shortfalls = len(j.shortfalls) + falls_short(then, reach, asked, wished) - was
        return CANNOT_SAY if j.missing else PINCH if shortfalls else BESIDE

    @cached_property
    def _cells(self) -> dict[str, dict[tuple, list[Judgement]]]:
        found: dict = {}
        for part, cells in self.verdicts.cells.items():
            by_cell = found[part] = {}
            for j in cells:
                by_cell.setdefault((j.material, j.state), []).append(j)
        return found

    @cached_property
    def _judged(self) -> dict[str, set[str]]:
        """Part -> the materials on its rungs."""
        return {part: {j.material for j in cells} for part, cells in self.verdicts.cells.items()}

    def _told_apart(
        self, material: str, prop: str, states: tuple, unit: str, ends: tuple
    ) -> Iterator[str]:
        now = self._shown.get(material)
        if now is None or prop not in ("density", HARDNESS) or unit == "HK":
            return
        moved = (self._moved(material, prop, states, unit, end) for end in ends)
        after = [identify.measured(self.knowledge, v, now, prop) for v in moved]
        if all(a == now for a in after):
            return
        for other in self._like(material):
            if any(self._differ(a, self._shown[other]) for a in after):
                yield other

    def _like(self, material: str) -> list[str]:
        if material not in self._alike:
            mine = self._shown[material]
            self._alike[material] = [
                k for k, o in self._shown.items() if k != material and not self._differ(mine, o)
            ]
        return self._alike[material]

    @cached_property
    def _alike(self) -> dict[str, list[str]]:
        return {}

    def _differ(self, a: Mapping, b: Mapping) -> bool:
        return identify.told_apart(a, b, float(self._streak))


def by_part(settled: Settled) -> dict[str, int]:
    """How many verdicts turn for each part, the most first."""
    found: dict[str, set] = {}
    for turn in settled.turns:
        found.setdefault(turn.judgement.part, set()).add(turn.judgement[1:4])
    return dict(sorted(((p, len(js)) for p, js in found.items()), key=lambda x: (-x[1], x[0])))


def doubt(settled: Settled) -> Quantity:
    """From the low to the high end, as one span with the evidence of the figure."""
    digits = max(settled.now.digits, FEWEST_DIGITS)
    low, high = settled.low.low, settled.high.high
    return replace(settled.now, low=low, high=high, kind="range", digits=digits)


def measured_by(knowledge: Knowledge, prop: str) -> models.BenchTest | None:
    """The test that gives a figure of a property."""
    tests = knowledge.words("bench_tests").values()
    return next((t for t in tests if prop in t.measures), None)


def in_words(knowledge: Knowledge, settled: Settled) -> Iterator[str]:
    """What the measuring would settle, in lines for the terminal."""
    verdicts, places = sum(by_part(settled).values()), settled.weight[1]
    counts = (
        f"verdicts {verdicts}, metals told apart {len(settled.told_apart)},"
        f" places in tables {places}"
    )
    span = with_unit(knowledge, doubt(settled))
    yield f"  if it lay elsewhere in its uncertainty ({span}): {counts}"
    rungs = knowledge.words("rungs")
    for turn in settled.turns[:NAMED]:
        j, end = turn.judgement, settled.low if turn.at_low else settled.high
        own = (j.material, settled.state) in ((settled.material, j.state), (settled.material, None))
        name = "" if own else f" {state_name(knowledge, j.material, j.state)}"
        yield (
            f"      at {with_unit(knowledge, replace(end, of=(), evidence=OWN))}:"
            f" {knowledge.roles[j.part].name}:{name}"
            f" {rungs[turn.rung].name} instead of {rungs[j.rung].name}"
        )
    if len(settled.turns) > NAMED:
        yield f"      and {len(settled.turns) - NAMED} more"
    if settled.told_apart:
        names = ", ".join(knowledge.materials[m].name for m in settled.told_apart[:NAMED])
        yield f"      told apart: {names}"
    test = measured_by(knowledge, settled.property)
    if test is not None:
        process = knowledge.processes.get(test.process)
        yield f"      test: {test.name} ({process.name if process else test.how})"


def _outcome(found: Quantity, demand: models.Demand) -> str:
    return compare(found, demand.at_least, demand.at_most)
