"""Receives a kind and an id; hands on a new record with a comment beside every line, ready to fill
in."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import yaml

from generator.records.complaints import NotDone, did_you_mean
from generator.records.field_types import ID_PATTERN
from generator.records.writing import write_whole

FOLDERS = {
    "alloy": "alloys",
    "nonmetal": "nonmetals",
    "coating": "coatings",
    "part": "parts",
    "hazard": "hazards",
    "process": "processes",
    "formula": "formulas",
}

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
figures:                          # what holds in every state; each property is a list, so that two sources can stand side by side
  density:
    - {typical: NUMBER, source: memory}
states:                           # figures that depend on the state
  annealed:
    name: annealed
    reached: Say how it gets there.
    figures:
      hardness:
        - {range: [NUMBER, NUMBER], unit: HV, source: memory}
working:                          # knowledge/vocabulary/workings.yaml; well, with-care, badly or not
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
  - {working: turn, rating: with-care, firm: false, why: "firm: false means wished, not ruled out"}
meets:                            # hazards, and how much: seldom, often, always
  - {hazard: humidity-inside, severity: often}
usual:                            # what the trade uses; the build fails when a computed verdict contradicts this
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
  - when: {families: [carbon-steel]}   # families, classes, materials, contains, pitting_index, traits, magnetism, states
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
  - {inputs: {V: NUMBER, rho: NUMBER}, published: NUMBER, within: NUMBER, proves: definition, source: practice}
reviewed: {on: DATE, by: workshop lead}
"""

TEMPLATES = {
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


# No example figure stands above: one that was forgotten would pass as true. NUMBER is refused.
# The sentences above that somebody must replace; the checker complains of those that were left.
TO_REPLACE = frozenset(
    text
    for template in TEMPLATES.values()
    for text in _texts(yaml.load(template, Loader=yaml.CBaseLoader))
    if re.match("[A-Z][a-z]+ ", text)
)


class NewFailed(NotDone):
    """Why no record was written, as `fault; cure`."""


def new_record(root: Path, kind: str, key: str) -> Path:
    """Write the template of ``kind`` as knowledge/FOLDER/KEY.yaml.

    Raises NewFailed; never overwrites.
    """
    if kind not in FOLDERS:
        raise NewFailed(
            f"there is no kind {kind}; {did_you_mean(kind, FOLDERS, 'kinds: ' + ', '.join(FOLDERS))}"
        )
    if not re.fullmatch(ID_PATTERN, key):
        raise NewFailed(f"{key!r} cannot be an id; use small letters a to z, digits and hyphens")
    folders = {FOLDERS[k] for k, t in TEMPLATES.items() if t is TEMPLATES[kind]}
    for folder in folders:
        if (root / "knowledge" / folder / f"{key}.yaml").exists():
            raise NewFailed(
                f"knowledge/{folder}/{key}.yaml is there already; choose another id or edit it"
            )
    path = root / "knowledge" / FOLDERS[kind] / f"{key}.yaml"
    write_whole(path, TEMPLATES[kind], fresh=True)
    return path
