"""Reads a drawn picture as one reads it with a ruler: a line for each stroke, with its places."""

from __future__ import annotations

from lxml import etree

PLACES = {
    "rect": ("x", "y", "width", "height", "rx", "fill"),
    "circle": ("cx", "cy", "r"),
    "path": ("d",),
    "text": ("x", "y", "text-anchor"),
    "g": ("transform",),
}


def strokes(markup: str) -> list[str]:
    """What is drawn, in the order in which it is drawn: the shape, its look without the prefix,
    its places, and the words of a text; at the end words that belong to no text."""
    tree = _tree(markup)
    astray = [words for drawing in tree.findall(".//svg") or [tree] for words in _astray(drawing)]
    return [*map(_line, tree.iter(*PLACES)), *astray]


def _astray(drawing) -> list[str]:
    inside = [e.tail for e in drawing.iterdescendants()]
    inside += [e.text for e in drawing.iter() if e.tag != "text"]
    return [words for words in inside if words and words.strip()]


def _line(element) -> str:
    look = (element.get("class") or "").replace("pic__", "")
    given = [element.get(name) for name in PLACES[element.tag]]
    words = f"| {_plain(element.text)}" if element.tag == "text" else ""
    return " ".join(filter(None, [element.tag, look, *given, words]))


def spoken(markup: str) -> str:
    """The text that stands for a picture where it is not seen."""
    return _plain(_tree(markup).find(".//svg").get("aria-label"))


def frame(markup: str) -> tuple[str, str, str]:
    """The look of the figure, its box, and what is written below it."""
    figure = _tree(markup).find("figure")
    caption = figure.find("figcaption")
    return (
        figure.get("class"),
        figure.find("svg").get("viewBox"),
        "" if caption is None else caption.text,
    )


def _plain(words: str) -> str:
    """With a plain space where a line must not break."""
    return words.replace("\u00a0", " ")


def _tree(markup: str) -> etree._Element:
    return etree.fromstring(f"<all>{markup.replace('<br>', '<br/>')}</all>")
