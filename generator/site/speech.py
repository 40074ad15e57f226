"""What a page says in one language of the bench: names, sentences, words of the page, numbers.

What nobody has translated stands in the language of the records, tagged as such.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from markupsafe import Markup, escape

from generator.numbers import quantities
from generator.numbers.quantities import NBSP
from generator.records.common import Bound, Named, NamedFigure, Translated
from generator.records.knowledge import Knowledge
from generator.records.languages import (
    COMPARED,
    marks,
    name_in,
    offered,
    read_back,
    sentence_in,
    written,
)
from generator.site.texts import plain_text, sentence, terms

# Who sets a space before these signs, or inside such quotation marks, wants no line to break there.
_TIGHT = re.compile(r" (?=[;:!?»])|(?<=«) ")


def tidy(text: str) -> str:
    """A translated text ready for the page."""
    return plain_text(_TIGHT.sub(NBSP, text))


class Speech:
    """One language as the templates use it."""

    def __init__(self, knowledge: Knowledge, tag: str):
        self._knowledge, self.tag, self.base = knowledge, tag, written(knowledge)
        self.language = knowledge.words("languages")[tag]
        self.is_base = tag == self.base

    @property
    def rests_on(self) -> tuple:
        """What tells two of them apart (``site/kept_pages.py``), besides the lists of words."""
        return self.tag, self.base

    def address(self, page: str) -> str:
        """The address of a page in this language: page.html in that of the records."""
        return f"{page}.html" if self.is_base else f"{page}-{self.tag}.html"

    def say(self, record: Translated, text: str) -> Markup:
        """A sentence of a record."""
        found = None if self.is_base else sentence_in(record, text, self.tag)
        return self._text(text) if found is None else Markup(escape(tidy(found)))

    def since(self, record: Translated, text: str) -> Markup:
        """A day or year; a bare number is the same in every language."""
        return Markup(escape(text)) if text.isdigit() else self.say(record, text)

    def title(self, named: Named, name: str) -> Markup:
        """What a thing is called, with a capital."""
        found = None if self.is_base else name_in(named, self.tag)
        return self._text(sentence(name)) if found is None else Markup(escape(sentence(found)))

    def phrase(self, key: str, *fillers: object) -> Markup:
        """Words of the page itself, each {} filled."""
        entry = self._knowledge.words("phrases")[key]
        found = None if self.is_base else name_in(entry, self.tag)

        def filled(text: str) -> str:
            for filler in fillers:
                text = text.replace("{}", str(filler), 1)
            return text

        return (
            self._text(filled(entry.name)) if found is None else Markup(escape(tidy(filled(found))))
        )

    def words(self, key: str) -> str:
        """Words of the page itself as plain text, for titles."""
        entry = self._knowledge.words("phrases")[key]
        return plain_text((None if self.is_base else name_in(entry, self.tag)) or entry.name)

    def trust(self, sentences: Iterable[tuple[Translated, str]], of: str = "") -> list[Markup]:
        """What a reader of this language should know of how sentences were translated, into it or
        into another, ``of``."""
        known = read_back(self._knowledge, of or self.tag)
        found = {m for m, *_ in marks(sentences, of or self.tag)}
        days, left = [known[m] for m in found if m in known], found - known.keys()
        compared = len(left & read_back(self._knowledge, of or self.tag, COMPARED).keys())
        if not days:
            return [self.phrase("unread")]
        said = [self.phrase("read-back", max(days))]
        if left:
            said.append(self.phrase("not-read-back", len(left)))
        if compared:
            said.append(self.phrase("only-compared", compared))
        return said

    def value(self, figure: NamedFigure) -> Markup:
        """A number with its unit, as the language writes it."""
        unit = self._knowledge.words("units")[figure.unit]
        label = name_in(unit, self.tag) or ("" if figure.unit == "1" else unit.label)
        return Markup("{}{}").format(self._bound(figure), f"{NBSP}{label}" if label else "")

    def _bound(self, bound: Bound) -> Markup:
        def number(value) -> str:
            return quantities.number_text(value).replace(".", self.language.decimal)

        match bound.kind:
            case "typical":
                return Markup(escape(number(bound.typical)))
            case "range":
                return Markup("{} {} {}").format(
                    number(bound.range[0]), self.phrase("to"), number(bound.range[1])
                )
            case kind:
                return Markup("{} {}").format(
                    self.phrase(kind.replace("_", "-")), number(getattr(bound, kind))
                )

    def _text(self, text: str) -> Markup:
        """Text in the language of the records."""
        if self.is_base:
            return terms(text)
        return Markup('<span lang="{}">{}</span>').format(self.base, terms(text))


def speeches(knowledge: Knowledge) -> list[Speech]:
    """One for each language, that of the records first."""
    return [Speech(knowledge, tag) for tag in (written(knowledge), *offered(knowledge))]
