"""Adds or changes figures in the text of a record.

Only the characters of the figures change: comments, order, quotes, spaces and line ends of
everything else stay as typed. The caller must read the new text to check that it says what was
meant.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

import yaml

from generator.records.reading import TextLoader

INDENT = 2
TEXTS = ("of", "note", "instrument", "by", "sheet")
_PLAIN = re.compile(r"[A-Za-z][\w./^+-]*")


class Added(NamedTuple):
    """A figure for a property; without a state it holds in every state."""

    state: str | None
    prop: str
    figure: Mapping[str, object]


class Changed(NamedTuple):
    """Another value for a figure that stands at ``index`` of its list."""

    state: str | None
    prop: str
    index: int
    kind: str
    value: object


class Replaced(NamedTuple):
    """Another figure in the place of the one that stands at ``index`` of its list."""

    state: str | None
    prop: str
    index: int
    figure: Mapping[str, object]


class NoPlace(ValueError):
    """The record is written in a way that nothing can be put in safely."""


def with_figures(
    text: str, added: Sequence[Added], changed: Sequence[Changed | Replaced] = ()
) -> str:
    """The text of a record with the figures in it. Raises NoPlace."""
    root = yaml.compose(text, Loader=TextLoader)
    if not isinstance(root, yaml.MappingNode) or root.flow_style:
        raise NoPlace("the record is not a list of `key: value` lines")
    line_end = "\r\n" if "\r\n" in text else "\n"
    edits = [_change(root, each) for each in changed]
    for state in dict.fromkeys(each.state for each in added):
        ours: dict[str, list[str]] = {}
        for each in added:
            if each.state == state:
                ours.setdefault(each.prop, []).append(flow(each.figure))
        home = root if state is None else _at(root, "states", state)
        edits += _additions(text, home, ours, line_end)
    return _applied(text, edits)


def new_record(added: Sequence[Added]) -> str:
    """The text of a record that holds these figures and nothing else, for a workshop's layer."""
    lines = []
    for state in sorted({a.state or "" for a in added}):
        pad = ""
        if state:
            lines += [] if "states:" in lines else ["states:"]
            lines.append(f"  {state}:")
            pad = "    "
        lines.append(f"{pad}figures:")
        for prop in dict.fromkeys(a.prop for a in added if (a.state or "") == state):
            lines.append(f"{pad}  {prop}:")
            lines += [
                f"{pad}    - {flow(a.figure)}"
                for a in added
                if (a.state or "", a.prop) == (state, prop)
            ]
    return "\n".join(lines) + "\n"


def flow(figure: Mapping[str, object]) -> str:
    """A figure in braces, as records have it."""
    return "{" + ", ".join(f"{key}: {_typed(key, value)}" for key, value in figure.items()) + "}"


def _typed(key: str, value: object) -> str:
    if key == "measured":
        return "[" + ", ".join(flow(each) for each in value) + "]"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(str, value)) + "]"
    text = str(value)
    if key in TEXTS or (key == "unit" and not _PLAIN.fullmatch(text)):
        return json.dumps(text, ensure_ascii=False)
    return text


class _Edit(NamedTuple):
    at: int
    until: int
    text: str


def _applied(text: str, edits: Iterable[_Edit]) -> str:
    pieces, done = [], 0
    for edit in sorted(edits, key=lambda e: (e.at, e.until)):
        pieces += [text[done : edit.at], edit.text]
        done = max(done, edit.until)
    return "".join([*pieces, text[done:]])


def _at(node: yaml.Node, *way) -> yaml.Node:
    for step in way:
        found = _find(node, step)
        if found is None:
            raise NoPlace(f"there is no {step}")
        node = found
    return node


def _find(node: yaml.Node, step) -> yaml.Node | None:
    if isinstance(node, yaml.MappingNode):
        return next((value for key, value in node.value if key.value == step), None)
    if isinstance(node, yaml.SequenceNode) and isinstance(step, int):
        return node.value[step] if step < len(node.value) else None
    return None


def _end(node: yaml.Node) -> int:
    """Where the last letter of a value stands; a block has no bracket to say so."""
    if isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        last = node.value[-1]
        return _end(last[1] if isinstance(last, tuple) else last)
    return node.end_mark.index


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    end = len(text) if end < 0 else end
    return end - 1 if text[end - 1 : end] == "\r" else end


def _change(root: yaml.Node, each: Changed | Replaced) -> _Edit:
    way = ("figures",) if each.state is None else ("states", each.state, "figures")
    item = _at(root, *way, each.prop, each.index)
    if isinstance(each, Replaced):
        return _Edit(item.start_mark.index, _end(item), flow(each.figure))
    kinds = ("typical", "range", "at_least", "at_most")
    found = next(((k, v) for k, v in getattr(item, "value", ()) if k.value in kinds), None)
    if found is None:
        raise NoPlace("the figure has no kind")
    key, value = found
    return _Edit(key.start_mark.index, _end(value), f"{each.kind}: {_typed(each.kind, each.value)}")


def _additions(
    text: str, home: yaml.Node, ours: Mapping[str, list[str]], line_end: str
) -> Iterable[_Edit]:
    """Puts figures, by property, into a record or a state."""
    figures = _find(home, "figures")
    if figures is None:
        yield _fresh(text, home, ours, line_end)
        return
    if not isinstance(figures, yaml.MappingNode):
        raise NoPlace("figures is empty")
    fresh = {prop: found for prop, found in ours.items() if _find(figures, prop) is None}
    for prop, found in ours.items():
        if prop not in fresh:
            yield _longer(text, _at(figures, prop), found, line_end)
    if fresh:
        yield _more_keys(text, figures, fresh, line_end)


def _longer(text: str, items: yaml.Node, found: list[str], line_end: str) -> _Edit:
    """A list with more entries."""
    if not isinstance(items, yaml.SequenceNode) or not items.value:
        raise NoPlace("the property is not a list")
    if items.flow_style:
        at = _end(items.value[-1])
        return _Edit(at, at, "".join(f", {figure}" for figure in found))
    at = _line_end(text, _end(items.value[-1]))
    pad = " " * items.start_mark.column
    return _Edit(at, at, "".join(f"{line_end}{pad}- {figure}" for figure in found))


def _more_keys(text: str, figures: yaml.MappingNode, fresh: Mapping, line_end: str) -> _Edit:
    """A mapping with more properties, in the style of those that it has."""
    if figures.flow_style:
        listed = [f"{prop}: [{', '.join(found)}]" for prop, found in fresh.items()]
        if figures.value:
            at = _end(figures.value[-1][1])
            return _Edit(at, at, "".join(f", {each}" for each in listed))
        at = figures.end_mark.index - 1
        return _Edit(at, at, ", ".join(listed))
    last = figures.value[-1][1]
    pad = " " * figures.start_mark.column
    offset = last.start_mark.column - figures.start_mark.column
    lines = []
    for prop, found in fresh.items():
        if last.flow_style or not isinstance(last, yaml.SequenceNode):
            lines.append(f"{pad}{prop}: [{', '.join(found)}]")
        else:
            lines.append(f"{pad}{prop}:")
            lines += [f"{pad}{' ' * offset}- {figure}" for figure in found]
    at = _line_end(text, _end(last))
    return _Edit(at, at, "".join(line_end + line for line in lines))


def _fresh(text: str, home: yaml.Node, ours: Mapping, line_end: str) -> _Edit:
    """A record or state that has no figures yet."""
    if not isinstance(home, yaml.MappingNode) or not home.value:
        raise NoPlace("the state holds nothing")
    if home.flow_style:
        listed = ", ".join(f"{prop}: [{', '.join(found)}]" for prop, found in ours.items())
        at = _end(home.value[-1][1])
        return _Edit(at, at, f", figures: {{{listed}}}")
    pad = " " * home.start_mark.column
    lines = [f"{pad}figures:"]
    for prop, found in ours.items():
        lines.append(f"{pad}{' ' * INDENT}{prop}:")
        lines += [f"{pad}{' ' * 2 * INDENT}- {figure}" for figure in found]
    at = _line_end(text, _end(home.value[-1][1]))
    return _Edit(at, at, "".join(line_end + line for line in lines))
