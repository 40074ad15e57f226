"""Finds the slip behind a text that the YAML parser could not read.

The parser often notices a slip some lines later, and in its own terms. This module looks at the
lines around for what people do: a quote or bracket left open, a missing space, a forgotten comma.
Whether one space more or less would cure a line is found by trying it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

import yaml

from generator.records.complaints import Complaint, Place

BACK = 40  # lines that are looked at above the place where the parser stumbled
TRIED = 12  # lines whose indentation is tried
LONGEST = 64 * 1024  # letters of a text that is parsed again and again
BRACKETS = {"mapping": "{", "sequence": "["}
CLOSES = {"{": "}", "[": "]"}

_OPENED = re.compile(r"""^\s*(?:- )*(?:\{?\s*[\w-]+:\s+)?(?P<quote>["'])""")
_APOSTROPHE = re.compile(r"""^\s*(?:- )?[\w-]+:\s+'[^']*\w(?P<at>')\w[^']*'\s*$""")
_STROKES = re.compile(r"^\s*(?P<at>//)")
_BULLET = re.compile(r"^\s*(?P<at>[*\u2022\u00b7\u2013\u2014+])\s*\S")
_NO_SPACE_AFTER_HYPHEN = re.compile(r"^\s*(?P<at>-)[^\s\d.-]")
_NO_SPACE_AFTER_COLON = re.compile(r"^\s*(?:- )?(?P<at>(?P<key>[A-Za-z][\w-]*):)(?=[^\s/:])")
_NO_COMMA = re.compile(r"""[{,]\s*[\w-]+: +[^,{}\[\]"':]* (?P<at>(?P<key>[a-z_]+): )""")
_NO_COLON = re.compile(r"^\s*(?P<at>(?!- )[A-Za-z_]+(?: +[^:#]+|(?=\s*$)))\s*$")


class Slip(NamedTuple):
    """A slip in a line: its column from 1, what it is, and what to do."""

    column: int
    fault: str
    cure: str


def explain(place: Place, error: yaml.MarkedYAMLError, text: str, loader) -> Complaint:
    """The parser's words turned into place, fault and cure for somebody who edits records once a
    month."""
    mark = error.context_mark
    start = mark.line + 1 if mark else 1
    found = _earlier(place, error, text, loader, max(start, place.line - BACK))
    if found:
        line, slip = found
        return Complaint(Place(place.file, line, slip.column), slip.fault, slip.cure)
    fault, cure = _in_words(error)
    return Complaint(place, fault, cure)


def _earlier(
    place: Place, error: yaml.MarkedYAMLError, text: str, loader, start: int
) -> tuple[int, Slip] | None:
    lines = text.split("\n")
    last = min(place.line, len(lines))
    context, mark = error.context or "", error.context_mark
    if "single document" in context:
        return None
    flow = re.search(r"flow (mapping|sequence)", context)
    if "quoted scalar" in context and mark:
        slip = Slip(mark.column + 1, "a quote is opened and never closed", "close it")
        return mark.line + 1, slip
    around = [(n, lines[n - 1].rstrip("\r")) for n in range(last, max(0, last - BACK), -1)]
    for number, line in around:
        if _apostrophe(line):
            return number, _apostrophe(line)
        slip = _open_quote(line)
        if slip and number < place.line:
            return number, slip
        if slip:
            break
    for number, line in around[: max(1, last - start + 2)]:
        for look in _LOOKS:
            slip = look(line)
            if slip:
                return number, slip
    if flow and mark and mark.line + 1 < place.line:
        sign = BRACKETS[flow[1]]
        return mark.line + 1, Slip(mark.column + 1, f"the bracket {sign} is not closed", "close it")
    if flow:
        return None
    for number, line in around[:3]:
        if _NO_COLON.match(line):
            slip = Slip(
                len(line) - len(line.lstrip()) + 1,
                "a line without a colon",
                "write `key: value`, or indent it when it goes on from the line above",
            )
            return number, slip
    return _by_trying(text, lines, last, loader)


def _apostrophe(line: str) -> Slip | None:
    """The maker's mark between single quotes."""
    found = _APOSTROPHE.match(line)
    if found:
        return Slip(found.start("at") + 1, "the quote ends at this apostrophe", "use double quotes")
    return None


def _open_quote(line: str) -> Slip | None:
    found = _OPENED.match(line)
    if found and line.count(found["quote"]) - line.count("\\" + found["quote"]) == 1:
        fault = "a quote is opened and not closed in this line"
        return Slip(found.start("quote") + 1, fault, "close it")
    return None


def _strokes(line: str) -> Slip | None:
    found = _STROKES.match(line)
    return found and Slip(found.start("at") + 1, "a remark with strokes", "begin it with #")


def _bullet(line: str) -> Slip | None:
    found = _BULLET.match(line)
    if not found:
        return None
    sign = "a long dash" if found["at"] in "\u2013\u2014" else found["at"]
    return Slip(found.start("at") + 1, f"an entry that begins with {sign}", "begin it with `- `")


def _no_space_after_hyphen(line: str) -> Slip | None:
    found = _NO_SPACE_AFTER_HYPHEN.match(line)
    return found and Slip(found.start("at") + 1, "no space after the hyphen", "begin with `- `")


def _no_space_after_colon(line: str) -> Slip | None:
    found = _NO_SPACE_AFTER_COLON.match(line)
    if not found:
        return None
    return Slip(found.start("at") + 1, "no space after the colon", f"write `{found['key']}: ...`")


def _no_comma(line: str) -> Slip | None:
    found = _NO_COMMA.search(line)
    if not found:
        return None
    fault = f"a comma is missing before {found['key']}"
    return Slip(found.start("at") + 1, fault, "put a comma between two keys")


def _brackets(line: str) -> Slip | None:
    """A bracket closed by the wrong sign, or one closed too often, in one line."""
    open_: list[tuple[str, int]] = []
    for at, sign in _outside_quotes(line):
        if sign in CLOSES:
            open_.append((sign, at))
        elif open_ and sign == CLOSES[open_[-1][0]]:
            open_.pop()
        elif open_:
            return Slip(open_[-1][1] + 1, f"the bracket {open_[-1][0]} is not closed", "close it")
        elif re.search(r"[\[{]", line[:at]):  # else it closes a bracket of a line above
            return Slip(at + 1, f"a {sign} too many", "delete it")
    return None


def _outside_quotes(line: str) -> Iterator[tuple[int, str]]:
    quote = ""
    for at, sign in enumerate(line):
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "\"'" and (at == 0 or line[at - 1] in " [{,"):
            quote = sign
        elif sign in "[]{}":
            yield at, sign
        elif sign == "#" and line[at - 1 : at] == " ":
            return


_LOOKS: tuple[Callable[[str], Slip | None], ...] = (
    _strokes,
    _bullet,
    _no_space_after_hyphen,
    _no_space_after_colon,
    _no_comma,
    _brackets,
)


def _by_trying(text: str, lines: list[str], last: int, loader) -> tuple[int, Slip] | None:
    """The line that, with one space more or less, makes the whole readable."""
    if len(text) > LONGEST:
        return None
    near = [n for n in range(last, max(0, last - TRIED), -1) if lines[n - 1].strip()]
    for number in near:
        line = lines[number - 1]
        for words, tried in (("few", " " + line), ("many", line[1:])):
            if words == "many" and not line.startswith(" "):
                continue
            try:
                yaml.compose(
                    "\n".join([*lines[: number - 1], tried, *lines[number:]]), Loader=loader
                )
            except (yaml.YAMLError, RecursionError, ValueError):
                continue
            column = len(line) - len(line.lstrip()) + 1
            fault = f"one space too {words} before {line.split()[0]}"
            return number, Slip(column, fault, "line it up with the lines around it")
    return None


def _in_words(error: yaml.MarkedYAMLError) -> tuple[str, str]:
    problem = error.problem or "cannot be read"
    if "expected a single document" in (error.context or "") or "another document" in problem:
        return "starts a second document (`---`)", "one record a file"
    if "mapping values are not allowed" in problem:
        return "has a second `: ` in one line", "put quotes around the text"
    if "undefined alias" in problem:
        return "uses an alias (`*name`)", "put quotes around the text"
    if "while scanning an alias" in (error.context or ""):
        return "a text that begins with *", "put quotes around the text"
    if "cannot start any token" in problem:
        return "starts with a sign that YAML keeps for itself", "put quotes around the text"
    if re.search(r"expected <block end>|expected key|could not find expected ':'", problem):
        return "does not line up with the lines above", "check indentation, colons and brackets"
    return f"cannot be read: {problem}", "check indentation, colons and quotes"
