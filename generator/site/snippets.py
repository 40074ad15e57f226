"""The few pieces of HTML that occur tens of thousands of times on the site.

Everything else is drawn by templates; these are made here, once each, because a template call for
every answer of every material for every part would take longer than MkDocs itself.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

from markupsafe import Markup, escape

from generator.numbers.quantities import Quantity, shown
from generator.numbers.values import values_of
from generator.records.recent import Recent
from generator.tables.cells import Computed
from generator.verdicts import wording
from generator.verdicts.findings import (
    EXPOSURE_ORDER,
    HARMS,
    UNKNOWN,
    Answer,
    Exposure,
    Findings,
    Met,
)
from generator.verdicts.rungs import OWN, Gate, Judgement, Shortfall


class Fragments:
    """Pieces for pages at one depth of folder; ``link`` and ``source`` make links from there."""

    def __init__(
        self,
        view,
        link: Callable[[str, str], Markup],
        titled: Callable[[str, str], Markup],
        source: Callable[[str], Markup],
    ):
        self.knowledge, self.view = view.knowledge, view
        self.link, self.titled, self.source = link, titled, source
        self._inputs: dict[Quantity, Markup] = {}
        self._met: dict[tuple, str] = {}
        self._exposures: dict[tuple, str] = {}
        self._openings = Recent(3_000)  # 1.4 KB each; the shipped knowledge base has 2,548
        self._demand_words = cache(
            lambda part, index: escape(
                wording.demand_words(self.knowledge, self.knowledge.roles[part].demands[index])
            )
        )

    def rung_rows(self, rows: list[dict]) -> Markup:
        """Table rows of materials or parts on a rung: link, states, and the reasons that open to
        the working."""
        return Markup(
            "".join(
                "<tr><th"
                f' scope="row">{self.titled(r["kind"], r["id"])}{_states(r)}</th>'
                f"<td>{self.opening(r['judgement'], r['findings'])}</td></tr>\n"
                for r in rows
            )
        )

    def opening(self, judgement: Judgement, findings: Callable[[], Findings]) -> Markup:
        """Reasons that open to the working; the page of the part and that of the material show the
        same."""
        return self._openings.get_or(judgement[:4], lambda: self._opening(judgement, findings()))

    def _opening(self, judgement: Judgement, findings: Findings) -> Markup:
        said = "; ".join(wording.reasons(self.knowledge, judgement))
        if judgement.rung == OWN:  # its reason stands beside it, with its source
            said = "Figures and hazards"
        sign = wording.RESTS_ON_BORROWED
        if wording.rests_on_borrowed(findings.answers):
            said = said if sign[0] in said else f"{said} {sign}"
        elif wording.rests_on_little(self.knowledge, findings.answers):
            said = f"{said} {wording.RESTS_ON_LITTLE}"
        measures = "".join(self._measure(a, judgement.material) for a in judgement.missing)
        return Markup(
            f'<details class="working"><summary>{escape(said)}</summary><div class="working__in">'
            f"<ul>{self._working(judgement, findings)}</ul></div></details>{measures}"
        )

    def _working(self, judgement: Judgement, findings: Findings) -> str:
        """Every demand with what was found and its sources, every hazard with its rule, the span of
        the usual choices, and the precedent."""
        answers = findings.answers
        lines = [self._answer(judgement.part, i, a, answers[:i]) for i, a in enumerate(answers)]
        holds = [m for m in findings.met if self._just_holds(m.exposure)]
        lines += [self._hazard(met) for met in findings.met if met not in holds]
        if holds:
            names = ", ".join(escape(self.view.name("hazard", m.meeting.hazard)) for m in holds)
            lines.append(f"<li>Holds: {names}</li>\n")
        lines += [
            self._hazard(Met(m, e), "where the coating is worn through, ")
            for m, e in zip(findings.meets, findings.worn, strict=False)
            if e.verdict in HARMS
        ]
        lines += [self._span(s) for s in judgement.shortfalls if s.kind == "property"]
        if judgement.precedent:
            lines.append(f"<li>Precedent: {self.link('part', judgement.precedent)}</li>")
        return "".join(lines)

    def _just_holds(self, exposure: Exposure) -> bool:
        """Nothing to tell but that: its rule stands on the page of the material."""
        best = exposure.verdict == EXPOSURE_ORDER[0]
        return best and not wording.mechanism_words(self.knowledge, exposure)

    def _span(self, shortfall: Shortfall) -> str:
        """The usual choices with the lowest and the highest figure, and their sources."""
        low, high = shortfall.span
        name = escape(self.view.property_name(shortfall.key))
        ends = self.input(low) if high == low else self.input(low) + " to " + self.input(high)
        return f"<li>{name} of the usual choices: {ends}</li>\n"

    def _measure(self, answer: Answer, material: str) -> str:
        """Where a missing figure is found: by which work, else from the supplier of the metal."""
        links = [
            self.link("process", key)
            for key, process in self.knowledge.processes.items()
            if answer.demand.property in process.measures
        ]
        found = ", ".join(links) or f"the supplier's sheet for {self.link('material', material)}"
        return f'<p class="from">Find it: {found}</p>'

    def ruled_out(self, rows: list[dict]) -> Markup:
        """List items of what is ruled out, each with the gates that are closed, their figures and
        sources."""
        return Markup(
            "".join(
                f"<li>{self.titled(r['kind'], r['id'])}{escape(_in_states(r))}: "
                f"{'; '.join(self._gate(g, r['judgement']) for g in r['judgement'].gates)}</li>\n"
                for r in rows
            )
        )

    def _gate(self, gate: Gate, judgement: Judgement) -> str:
        said = escape("".join(wording.gate_reason(self.knowledge, gate)))
        quantity = gate.answer.quantity if gate.answer else None
        if wording.is_own(self.knowledge, quantity) and gate.answer.demand.property:
            prop, unit = gate.answer.demand.property, quantity.unit
            shipped = values_of(self.knowledge).shipped(
                judgement.material, prop, judgement.state, unit
            )
            if shipped:
                said += escape(f" (the base has {wording.with_unit(self.knowledge, shipped)})")
        sources = "".join(f", {self.source(s)}" for s in (quantity.sources if quantity else ()))
        if gate.met and gate.met.exposure.number:
            hazard, number = gate.met.meeting.hazard, gate.met.exposure.number
            return f"{said}, {self._rule_link(hazard, number, f'rule {number}')}"
        return f"{said}{sources}"

    def computed(self, cell: Computed) -> Markup:
        """A computed number that opens to its formula and its inputs with their sources.

        The formula stands set out once, below the table; the page's script copies it in when a
        number is opened.
        """
        formula = f' data-formula="{cell.formula}"' if cell.formula else ""
        lines = "".join(f"<li>{escape(label)}: {self.input(q)}</li>" for label, q in cell.inputs)
        evidence = self.view.evidence(wording.weakest(cell), True)
        return Markup(
            f'<details class="working"{formula}><summary>'
            f'<span class="num">{shown(cell.value, True)}</span>{evidence}</summary>'
            f'<div class="working__in"><ul>{lines}</ul></div></details>'
        )

    def input(self, quantity: Quantity) -> Markup:
        """A figure that went into a computed number, with its unit and its sources."""
        if quantity not in self._inputs:
            said = escape(wording.with_unit(self.knowledge, quantity))
            self._inputs[quantity] = said + Markup("").join(
                Markup(", ") + self.source(s) for s in quantity.sources
            )
        return self._inputs[quantity]

    def exposure_rows(self, rows: list[tuple[str, Exposure, str]]) -> Markup:
        """Table rows of what each hazard does: (hazard, exposure, states).

        Many materials share a rule, so each row is made once.
        """
        return Markup(
            "".join(
                self._exposure_row(hazard, exposure).replace("@states@", states)
                for hazard, exposure, states in rows
            )
        )

    def _exposure_row(self, hazard: str, exposure: Exposure) -> str:
        key = (hazard, exposure.number)
        if key not in self._exposures:
            rule, words = exposure.rule, self.view.word
            what = (
                f"<em>{escape(words('mechanisms', rule.mechanism))}</em>. "
                if rule and rule.mechanism
                else ""
            )
            why = self.view.terms(rule.why if rule else "No rule decides.")
            number = exposure.number
            source = (
                '<details class="srcs"><summary>Source</summary>'
                f"{self.source(rule.source)}, {self._rule_link(hazard, number, f'rule {number}')}"
                "</details>"
                if rule
                else ""
            )
            self._exposures[key] = (
                f'<tr><th scope="row">{self.titled("hazard", hazard)}</th>'
                f"<td>{self.view.verdict('exposure_verdicts', exposure.verdict)}"
                f"@states@</td><td>{what}{why}</td><td>{source}</td></tr>\n"
            )
        return self._exposures[key]

    def _rule_link(self, hazard: str, number: int, text: str) -> str:
        whole = str(
            self.link("hazard", hazard)
        )  # plain text: Markup.replace would escape its arguments
        address = whole.split('"')[1]
        return f'<a href="{address}#rule-{number}">{escape(text)}</a>'

    def _answer(self, part: str, index: int, answer: Answer, before: Sequence[Answer]) -> str:
        """A demand with what was found; a figure that the line above has already is not repeated
        with its sources."""
        demand, quantity = self._demand_words(part, index), answer.quantity
        asked = answer.demand.property, quantity
        above = before and (before[-1].demand.property, before[-1].quantity) == asked
        if quantity and above and answer.outcome != UNKNOWN:
            return f"<li>{demand}: {answer.outcome}, same figure</li>\n"
        sources = "".join(
            f", {self.source(s)}" for s in (answer.quantity.sources if answer.quantity else ())
        )
        found = wording.answer_words(self.knowledge, answer)
        told = answer.outcome if found in ("yes", "no") else f"{answer.outcome}, {found}"
        return f"<li>{demand}: {escape(told)}{sources}</li>\n"

    def _hazard(self, met: Met, when: str = "") -> str:
        hazard, number, verdict = met.meeting.hazard, met.exposure.number, met.exposure.verdict
        key = (hazard, met.meeting.severity, number, verdict, met.exposure.beneath, when)
        if key not in self._met:
            words, how = self.view.word, wording.mechanism_words(self.knowledge, met.exposure)
            mechanism = f", {how}" if how else ""
            link = (
                self._rule_link(hazard, number, self.view.name("hazard", hazard))
                if number
                else self.link("hazard", hazard)
            )
            said = (
                f"{words('severities', met.meeting.severity)}:"
                f" {words('exposure_verdicts', verdict)}{mechanism}"
            )
            self._met[key] = f"<li>{link}, {when}{escape(said)}</li>\n"
        return self._met[key]


def _states(row: dict) -> str:
    """The state that the reasons are of, and the others on the same rung; a name may hold
    commas."""
    states = row["states"]
    first = f"<br><small>{escape(states[0])}</small>" if states else ""
    others = (
        "its other states" if row["every"] and len(states) > 2 else escape("; ".join(states[1:]))
    )
    return f"{first}<br><small>also: {others}</small>" if others else first


def _in_states(row: dict) -> str:
    """The states of a row in brackets, each apart from the next though a name may hold commas."""
    states = row["states"]
    named = "every state" if row["every"] and len(states) > 1 else "; ".join(states)
    return f" ({named})" if states else ""
