"""Receives verdicts; hands on the few pieces of HTML that stand on the site tens of thousands of times.

Everything else is drawn by templates; these are made here, once each, because a template call for every answer of every
material for every part would take longer than MkDocs itself.
"""

from __future__ import annotations

from collections.abc import Callable

from markupsafe import Markup, escape

from generator import wording
from generator.verdicts import Answer, Fit, Met


class Fragments:
    """Pieces for pages at one depth of folder; ``link`` and ``source`` make links from there."""

    def __init__(self, view, link: Callable[[str, str], Markup], source: Callable[[str], Markup]):
        self.knowledge, self.view, self.link, self.source = view.knowledge, view, link, source
        self._answers: dict[int, tuple[Answer, str]] = {}
        self._met: dict[tuple, str] = {}

    def working(self, fit: Fit) -> Markup:
        """The working of a verdict: every demand with what was found and its sources, every hazard with its rule."""
        lines = [self._answer(a) for a in fit.answers] + [self._hazard(m) for m in fit.met]
        return Markup(f"<ul>{''.join(lines)}</ul>")

    def _answer(self, answer: Answer) -> str:
        key = id(answer)
        if key not in self._answers:
            sources = "".join(f", {self.source(s)}" for s in (answer.quantity.sources if answer.quantity else ()))
            said = f"{wording.demand_words(self.knowledge, answer.demand)}: {answer.outcome}, {wording.answer_words(self.knowledge, answer)}"
            self._answers[key] = (answer, f"<li>{escape(said)}{sources}</li>\n")  # the answer is kept so that its id stays taken
        return self._answers[key][1]

    def _hazard(self, met: Met) -> str:
        hazard, number, verdict = met.meeting.hazard, met.exposure.number, met.exposure.verdict
        key = (hazard, met.meeting.severity, number, verdict)
        if key not in self._met:
            words, rule = self.view.word, met.exposure.rule
            mechanism = f", {words('mechanisms', rule.mechanism)}" if rule and rule.mechanism else ""
            link = self.link("hazard", hazard)
            if number:
                link = link.replace('.html"', f'.html#rule-{number}"', 1)
            said = f"{words('severities', met.meeting.severity)}: {words('exposure_verdicts', verdict)}{mechanism}"
            self._met[key] = f"<li>{link}, {escape(said)}</li>\n"
        return self._met[key]
