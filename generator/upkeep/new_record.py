"""Writes a new record, or a new entry of a list, with a comment beside every line, ready to fill
in.

It holds no example figures: one left by mistake would pass as true. NUMBER is refused, and so is
every placeholder sentence.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import yaml

from generator.records.complaints import NotDone, did_you_mean
from generator.records.field_types import ID_PATTERN
from generator.records.reading import read_file, shown_path
from generator.records.writing import write_whole

FOLDERS = {
    "alloy": "alloys",
    "nonmetal": "nonmetals",
    "coating": "coatings",
    "part": "parts",
    "hazard": "hazards",
    "process": "processes",
    "formula": "formulas",
    "saying": "sayings",
    "lesson": "lessons",
    "watch": "watches",
}
# Entries are added to a file of many: all cautions stand in one, a workshop's sources in this one.
LISTS = {"source": "sources/workshop.yaml", "caution": "cautions.yaml"}
KINDS = (*FOLDERS, *LISTS)

_MATERIAL = """\
# yaml-language-server: $schema=../.schema/material.json
name: Name as the bench says it
summary: The answer in one line, shown in search results and at the top of the page.
family: brass                     # knowledge/vocabulary/families.yaml
designations:                     # what standards call it; knowledge/vocabulary/systems.yaml
  - {system: en-copper-name, code: CuZn36}
also_called: []                   # other names that people type
composition:
  source: memory                  # id in knowledge/sources/, or memory
  balance: Zn                     # the element that takes the rest
  shares:                         # per cent by mass: typical, range, at_least or at_most
    Cu: {range: [NUMBER, NUMBER]}
colour: yellow                    # knowledge/vocabulary/colours.yaml
magnetism: none                   # none, trace or strong
figures:                          # what holds in every state; a list for each property, two
                                  # sources can stand side by side
  density:
    - {typical: NUMBER, source: memory}
states:                           # figures that depend on the state
  annealed:
    name: annealed
    reached: Say how it gets there.
    figures:
      hardness:
        - {range: [NUMBER, NUMBER], unit: HV, source: memory}
working:                          # see vocabulary/workings.yaml; well, with-care, badly or not
  turn: {rating: well, note: Say why in a few words.}
bench:
  - {text: Where the bench meets it., source: practice}
owner: []                         # plain sentences for the client
reviewed: {on: DATE, by: workshop lead}
"""

_PART = """\
# yaml-language-server: $schema=../.schema/part.json
name: Name as the bench says it
summary: The answer in one line.
zone: train                       # knowledge/vocabulary/zones.yaml
does: What the part does, in a sentence or two.
demands:                          # one of property, working, magnetism, trait, lacks_trait, mate
  - {property: hardness, at_least: NUMBER, unit: HV, why: Say why it must be so., source: practice}
  - {working: turn, rating: with-care, firm: false, why: "firm: false is preferred, not ruled out"}
meets:                            # hazards, and how much: seldom, often, always
  - {hazard: humidity-inside, severity: often}
usual:                            # what the trade uses; the build fails when a verdict
                                  # contradicts this
  - {material: steel-free-cutting-1c, state: tempered-hard, why: Say why.}
wrong:
  - {material: stainless-316l, why: Say why.}
identify: [How to tell what the part in hand is made of.]
remake:
  - {do: First step., process: turn-pivot}
fails:
  - {sign: What one sees, cause: What did it., hazard: humidity-inside}
after_service: [What to check.]
reviewed: {on: DATE, by: workshop lead}
"""

_HAZARD = """\
# yaml-language-server: $schema=../.schema/hazard.json
name: Name as the owner would say it
summary: The answer in one line.
meets: Where a watch meets it.
rules:                            # the first rule that fits a material decides
  - when: {families: [carbon-steel]}
    # or classes, materials, contains, pitting_index, traits, magnetism, states
    verdict: fails                # holds, holds-with-care, suffers, fails, unknown
    mechanism: rust               # knowledge/vocabulary/mechanisms.yaml
    why: Say why.
    looks_like: What one sees
    how_fast: How long it takes.
    source: practice
  - verdict: holds                # no `when`: everything else; always last
    why: Say why.
    source: practice
owner: [A plain sentence for the client.]
bench:
  - {text: What the bench can do.}
reviewed: {on: DATE, by: workshop lead}
"""

_PROCESS = """\
# yaml-language-server: $schema=../.schema/process.json
name: Name as the bench says it
summary: The answer in one line.
group: heat                       # knowledge/vocabulary/process_groups.yaml
does: What happens and why.
suits: {families: [carbon-steel]}
needs: [What you need.]
steps: [First step., Second step.]
figures:
  - {what: temperature, range: [NUMBER, NUMBER], unit: degC, source: memory}
goes_wrong:
  - {sign: What one sees, cause: What did it.}
cautions: [hot-work]              # knowledge/cautions.yaml
reviewed: {on: DATE, by: workshop lead}
"""

_FORMULA = """\
# yaml-language-server: $schema=../.schema/formula.json
name: Name as the bench says it
summary: What it answers, in one line.
group: weight                     # knowledge/vocabulary/formula_groups.yaml
symbols:                          # meaning, unit, and the values it is meant for
  V: {meaning: volume, unit: cm3, range: [NUMBER, NUMBER], default: NUMBER}
  rho: {meaning: density, unit: g/cm3, range: [NUMBER, NUMBER], property: density}
expression: V * rho               # + - * / ** ( ) sqrt exp ln abs min max pi
result: {meaning: mass, unit: g}
limits: [Limits.]
source: practice
examples:                         # a published answer; the build fails when it does not come out
  - {inputs: {V: NUMBER, rho: NUMBER}, published: NUMBER, within: NUMBER,
     proves: definition, source: practice}
reviewed: {on: DATE, by: workshop lead}
"""

_SAYING = """\
# yaml-language-server: $schema=../.schema/saying.json
name: The saying as the bench has it
summary: What is true of it, in one line.
also_called: []                   # other wordings
judged: half                      # knowledge/vocabulary/judgements.yaml
because:
  - {text: Say why it is so., source: practice}
rests_on:                         # what must come out so, or the build complains
  figures:
    - {left: {material: stainless-316l, property: hardness, state: annealed, unit: HV},
       relation: below, number: NUMBER}
see: {materials: [stainless-316l]}   # pages worth reading
reviewed: {on: DATE, by: workshop lead}
"""

_QUESTION = """\
  - ask: {nth} question to the trainee
    options:                      # two to five, exactly one right
      - {{say: One answer that sounds right, why: Say why it is wrong.}}
      - {{say: The right answer, right: true, why: Say why it is right.}}
    rests_on: {{}}                  # figures, sums, shares, fits or exposures that prove it
"""
_LESSON = (
    """\
# yaml-language-server: $schema=../.schema/lesson.json
name: Name of the lesson
summary: What the trainee can do afterwards.
number: NUMBER                    # its place on the path
text:
  - First paragraph of the lesson.
see: {materials: [stainless-316l]}   # the pages to read
questions:                        # five or more
"""
    + "".join(_QUESTION.format(nth=n) for n in ("First", "Second", "Third", "Fourth", "Fifth"))
    + """\
reviewed: {on: DATE, by: workshop lead}
"""
)

_SOURCE = """\
KEY:
  title: Title as it is printed
  author: Who wrote or issued it  # delete what is not known
  publisher: Who published it
  year: Year of the edition
  kind: handbook                  # knowledge/vocabulary/source_kinds.yaml
  number: Number of the document or edition
  where: Which table, clause or page
  address: Web address or DOI
  seen: false                     # true once you have read the text itself
"""

_CAUTION = """\
KEY:
  name: Name of the danger as the bench says it
  short: In two words
  grave: false                    # true: one spell of careless work can kill, then or later
  also_called: []                 # words under which a frightened person looks
  danger: What it does, and to whom.
  do: [What to do first about it.,
       "Local codes, the safety data sheet and licensed practice come first."]
  wear: []
  first_aid: [Say when to call the emergency number.]   # the first line says whom to call
  authority: [name-the-source]    # ids in knowledge/sources/
  applies: []                     # materials on whose pages it appears: {families: [...]},
                                  # {contains: {Be: {at_least: ...}}}
  work: {}                        # processes, groups or uses on whose pages it appears
"""

_WATCH = """\
# yaml-language-server: $schema=../.schema/watch.json
name: Name of this kind of watch as the bench says it
summary: The answer in one line, shown in search results and at the top of the page.
period: When such watches were made
invented: true                    # it stands for many watches and for no maker's
does: Say how this kind is built and what comes to the bench with it.
parts:                            # every part; outside, oiled, grams, state, coating, setting
  - {part: case-middle, material: stainless-316l, state: annealed, outside: true}
  - {part: case-back, material: stainless-316l, state: annealed, outside: true}
  - {part: bridge, id: train-bridge, name: train bridge}   # a role that stands twice
joins:                            # every contact; how: knowledge/vocabulary/joins.yaml
  - {between: [case-back, case-middle], how: screwed, where: sweat}   # sweat, damp or dry
  - {between: [train-bridge, case-middle], how: rests-on, where: dry, smaller: train-bridge}
reviewed: {on: DATE, by: workshop lead}
"""

TEMPLATES = {
    "saying": _SAYING,
    "lesson": _LESSON,
    "watch": _WATCH,
    "source": _SOURCE,
    "caution": _CAUTION,
    "alloy": _MATERIAL,
    "nonmetal": _MATERIAL,
    "coating": _MATERIAL,
    "part": _PART,
    "hazard": _HAZARD,
    "process": _PROCESS,
    "formula": _FORMULA,
}


def _texts(value) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    for inner in (
        value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    ):
        yield from _texts(inner)


# The sentences above that somebody must replace; the checker complains of those that were left.
STANDING = ("Local codes,", "handbook")
TO_REPLACE = frozenset(
    text
    for template in TEMPLATES.values()
    for text in _texts(yaml.load(template, Loader=yaml.CBaseLoader))
    if re.match("[A-Z][a-z]+ ", text) and not text.startswith(STANDING)
)


class NewFailed(NotDone):
    """Why no record was written, as `fault; cure`."""


def new_record(root: Path, kind: str, key: str, layer: Path | None = None) -> Path:
    """Write the template of ``kind`` into knowledge/ or a workshop's own layer.

    Raises NewFailed; never overwrites.
    """
    if kind not in KINDS:
        cure = did_you_mean(kind, KINDS, "kinds: " + ", ".join(KINDS))
        raise NewFailed(f"there is no kind {kind}; {cure}")
    if not re.fullmatch(ID_PATTERN, key):
        raise NewFailed(f"{key!r} cannot be an id; use small letters a to z, digits and hyphens")
    homes = [root / "knowledge", *([layer] if layer else [])]
    if kind in LISTS:
        return _new_entry(root, homes, kind, key)
    template = TEMPLATES[kind]
    for folder in {FOLDERS[k] for k in FOLDERS if TEMPLATES[k] is template}:
        for home in homes:
            path = home / folder / f"{key}.yaml"
            if path.exists():
                shown = shown_path(root, path)
                raise NewFailed(f"{shown} is there already; choose another id or edit it")
    path = homes[-1] / FOLDERS[kind] / f"{key}.yaml"
    write_whole(path, template if not layer else _without_schema(template), fresh=True)
    return path


def _without_schema(template: str) -> str:
    """A layer has no schemas beside it."""
    return template.partition("\n")[2]


def _new_entry(root: Path, homes: list[Path], kind: str, key: str) -> Path:
    """Add an entry below the others of its file, which stay as they are."""
    for home in homes:
        found = home.glob("sources/*.yaml") if kind == "source" else [home / LISTS[kind]]
        for path in found:
            if path.is_file() and key in read_file(root, path).data:
                shown = shown_path(root, path)
                raise NewFailed(f"{key} is in {shown} already; choose another id or edit it")
    path = homes[-1] / LISTS[kind]
    old = path.read_bytes() if path.exists() else b""
    line_end = b"\r\n" if b"\r\n" in old else b"\n"
    entry = TEMPLATES[kind].replace("KEY", key, 1).encode().replace(b"\n", line_end)
    between = b"" if not old else line_end if old.endswith(b"\n") else line_end * 2
    write_whole(path, old + between + entry, lambda copy: _holds(root, copy, key))
    return path


def _holds(root: Path, copy: Path, key: str) -> None:
    if key not in read_file(root, copy).data:
        raise NewFailed(f"{copy.name} would not hold {key}; nothing was written")
