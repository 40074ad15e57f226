"""Receives verdicts; hands on the few pieces of HTML that stand on the site tens of thousands of
times.

Everything else is drawn by templates; these are made here, once each, because a template call for
every answer of every material for every part would take longer than MkDocs itself.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from markupsafe import Markup, escape

from generator.numbers.quantities import Quantity, shown
from generator.records.recent import Recent
from generator.tables.cells import Computed
from generator.verdicts import wording
from generator.verdicts.fit import CANNOT_SAY, Answer, Exposure, Fit, Met


class Fragments:
    """Pieces for pages at one depth of folder; ``link`` and ``source`` make links from there."""

    def __init__(self, view, link: Callable[[str, str], Markup], source: Callable[[str], Markup]):
        self.knowledge, self.view, self.link, self.source = view.knowledge, view, link, source
        self._inputs: dict[Quantity, Markup] = {}
        self._met: dict[tuple, str] = {}
        self._exposures: dict[tuple, str] = {}
        self._openings = Recent(3_000)  # 1.4 KB each; the shipped knowledge base has 2,548
        self._demand_words = cache(
            lambda part, index: escape(
                wording.demand_words(self.knowledge, self.knowledge.parts[part].demands[index])
            )
        )

    def working(self, fit: Fit) -> Markup:
        """The working of a verdict: every demand with what was found and its sources, every hazard
        with its rule."""
        lines = [self._answer(fit.part, i, a) for i, a in enumerate(fit.answers)] + [
            self._hazard(m) for m in fit.met
        ]
        return Markup(f"<ul>{''.join(lines)}</ul>")

    def fit_rows(self, rows: list[dict]) -> Markup:
        """Table rows of a fit table: link, states, verdict, and the reasons that open to the
        working."""
        return Markup(
            "".join(
                f'<tr><th scope="row">{self.link(r["kind"], r["id"])}</th>'
                f"<td>{escape(r['states'])}</td><td>{self.verdict(r['verdict'])}</td>"
                f"<td>{self._opening(r['fit'], r['reasons'])}</td></tr>\n"
                for r in rows
            )
        )

    def _opening(self, fit: Fit, reasons: str) -> str:
        """Reasons that open to the working; the page of the part and the page of the material show
        the same."""
        return self._openings.get_or(
            (fit.part, fit.material, fit.state, fit.coated),
            lambda: (
                f'<details class="working"><summary>{escape(self._marked(fit, reasons))}</summary><div '
                f'class="working__in">{self.working(fit)}</div></details>'
            ),
        )

    def _marked(self, fit: Fit, reasons: str) -> str:
        """The reasons, and that a verdict rests on a borrowed figure where they do not say so."""
        sign = wording.RESTS_ON_BORROWED
        hidden = sign[0] not in reasons and wording.rests_on_borrowed(fit)
        return f"{reasons} {sign}" if hidden else reasons

    def unfit_items(self, rows: list[dict]) -> Markup:
        """List items of what does not suit, each with the reason that decided."""
        return Markup(
            "".join(
                f"<li>{self.link(r['kind'], r['id'])}: "
                f"{self._cannot_say if r['verdict'] == CANNOT_SAY else ''}{escape(r['reason'])}</li>\n"
                for r in rows
            )
        )

    def computed(self, cell: Computed) -> Markup:
        """A computed number that opens to its formula and its inputs with their sources.

        The formula stands set out once, below the table; the page's script copies it in when a
        number is opened.
        """
        formula = f' data-formula="{cell.formula}"' if cell.formula else ""
        lines = "".join(f"<li>{escape(label)}: {self.input(q)}</li>" for label, q in cell.inputs)
        return Markup(
            f'<details class="working"{formula}><summary><span class="num">{shown(cell.value, True)}'
            f"</span>{self.view.evidence(wording.weakest(cell), True)}</summary>"
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
                f"{self.source(rule.source)} {self._rule_link(hazard, number, f'rule {number}')}"
                if rule
                else ""
            )
            self._exposures[key] = (
                f'<tr><th scope="row">{self.link("hazard", hazard)}</th>'
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

    def verdict(self, verdict: str) -> str:
        """A verdict on fit in its plain word."""
        return f'<span class="verdict verdict--{verdict}">{escape(self.view.word("fit_verdicts", verdict))}</span>'

    @property
    def _cannot_say(self) -> str:
        return f"<strong>{escape(self.view.word('fit_verdicts', CANNOT_SAY))}</strong>, "

    def _answer(self, part: str, index: int, answer: Answer) -> str:
        sources = "".join(
            f", {self.source(s)}" for s in (answer.quantity.sources if answer.quantity else ())
        )
        found = escape(wording.answer_words(self.knowledge, answer))
        return f"<li>{self._demand_words(part, index)}: {answer.outcome}, {found}{sources}</li>\n"

    def _hazard(self, met: Met) -> str:
        hazard, number, verdict = met.meeting.hazard, met.exposure.number, met.exposure.verdict
        key = (hazard, met.meeting.severity, number, verdict)
        if key not in self._met:
            words, rule = self.view.word, met.exposure.rule
            mechanism = (
                f", {words('mechanisms', rule.mechanism)}" if rule and rule.mechanism else ""
            )
            link = (
                self._rule_link(hazard, number, self.view.name("hazard", hazard))
                if number
                else self.link("hazard", hazard)
            )
            said = f"{words('severities', met.meeting.severity)}: {words('exposure_verdicts', verdict)}{mechanism}"
            self._met[key] = f"<li>{link}, {escape(said)}</li>\n"
        return self._met[key]
