"""Rules about kinds of watch: what a fitter would notice on putting the watch together from its
record.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from generator.checks.rule import Fault, rule
from generator.records import models
from generator.records.complaints import did_you_mean
from generator.records.knowledge import Knowledge


def _joins(
    knowledge: Knowledge,
) -> Iterator[tuple[str, dict[str, models.WatchPart], int, models.Join]]:
    """Every join that has two sides, with the parts of its watch."""
    for key, watch in knowledge.watches.items():
        known = watch.by_key()
        for i, join in enumerate(watch.joins):
            if len(join.between) == 2:
                yield key, known, i, join


@rule
def part_touches_nothing(knowledge: Knowledge) -> Iterator[Fault]:
    """Every part of a watch touches another."""
    for key, watch in knowledge.watches.items():
        touched = {end for join in watch.joins for end in join.between}
        for i, part in enumerate(watch.parts):
            if part.key not in touched:
                yield Fault(
                    "watch",
                    key,
                    ("parts", i),
                    f"{part.key} touches no other part",
                    "say under `joins` what holds it, or take it out",
                )


@rule
def join_without_both_sides(knowledge: Knowledge) -> Iterator[Fault]:
    """A join has two sides, and both are parts of the watch; so is the smaller one."""
    for key, watch in knowledge.watches.items():
        known = watch.by_key()
        for i, join in enumerate(watch.joins):
            for step, fault, cure in _faults_of_sides(join, known):
                yield Fault("watch", key, ("joins", i, *step), fault, cure)


def _faults_of_sides(join: models.Join, known: Mapping) -> Iterator[tuple[tuple, str, str]]:
    if len(join.between) != 2:
        fault = f"a join has two sides, this one has {len(join.between)}"
        yield ("between",), fault, "write between: [one-part, other-part]"
    for side, end in enumerate(join.between):
        if end not in known:
            cure = did_you_mean(end, known, "add it under `parts`, or choose one from there")
            yield ("between", side), f"this watch has no part {end}", cure
    if join.smaller is not None and join.smaller not in join.between:
        fault = f"{join.smaller} is neither side of this join"
        yield ("smaller",), fault, f"choose {' or '.join(join.between)}"


@rule
def watch_part_twice(knowledge: Knowledge) -> Iterator[Fault]:
    """A part role that stands twice in a watch has an id and a name of its own each time, and no id
    is that of another role."""
    for key, watch in knowledge.watches.items():
        seen: set[str] = set()
        for i, part in enumerate(watch.parts):
            fault = cure = ""
            if part.key in seen:
                fault = f"{part.key} stands in this watch already"
                cure = "give this one an id and a name of its own"
            elif part.id in knowledge.parts and part.id != part.part:
                fault = f"the id {part.id} is that of another part role"
                cure = "choose an id that is not a part role"
            elif part.id and not part.name:
                fault = f"{part.id} has no name"
                cure = "add name: what it is called here"
            seen.add(part.key)
            if fault:
                way = ("parts", i, "id" if part.id else "part")
                yield Fault("watch", key, way, fault, cure)


@rule
def unknown_setting(knowledge: Knowledge) -> Iterator[Fault]:
    """A setting that is named for a part is one of that part's settings."""
    for key, watch in knowledge.watches.items():
        for i, part in enumerate(watch.parts):
            role = knowledge.parts.get(part.part)
            if role and part.setting and part.setting not in role.settings:
                yield Fault(
                    "watch",
                    key,
                    ("parts", i, "setting"),
                    f"{part.part} has no setting {part.setting}",
                    did_you_mean(part.setting, role.settings, "leave it out"),
                )


@rule
def joined_to_itself(knowledge: Knowledge) -> Iterator[Fault]:
    """A join is between two parts, and is written once."""
    seen: set[tuple] = set()
    for key, _, i, join in _joins(knowledge):
        one, other = join.between
        same = (key, *sorted(join.between), join.how)
        if one == other or same in seen:
            fault = (
                f"{one} is joined to itself"
                if one == other
                else f"{one} and {other} are joined so already"
            )
            yield Fault(
                "watch",
                key,
                ("joins", i, "between"),
                fault,
                "name the other side" if one == other else "delete one of the two lines",
            )
        seen.add(same)


@rule
def falls_in_pieces(knowledge: Knowledge) -> Iterator[Fault]:
    """A watch hangs together: from its first part every other is reached over joins."""
    for key, watch in knowledge.watches.items():
        touching: dict[str, set[str]] = defaultdict(set)
        for join in watch.joins:
            for end in join.between:
                touching[end] |= set(join.between)
        reached, waiting = set(), [watch.parts[0].key]
        while waiting:
            end = waiting.pop()
            if end not in reached:
                reached.add(end)
                waiting += touching[end]
        loose = [p.key for p in watch.parts if p.key not in reached and p.key in touching]
        if loose:
            yield Fault(
                "watch",
                key,
                ("joins",),
                f"nothing joins {', '.join(loose[:3])} to {watch.parts[0].key}",
                "add the join that holds them in the watch",
            )


@rule
def friction_partner_denied(knowledge: Knowledge) -> Iterator[Fault]:
    """Where a part role says what it rubs on and both stand in a watch, one join lets them move."""
    for key, watch in knowledge.watches.items():
        roles = {part.key: part.part for part in watch.parts}
        free = {
            tuple(sorted(roles.get(end, end) for end in join.between))
            for join in watch.joins
            if join.how in knowledge.words("joins")
            and not knowledge.words("joins")[join.how].for_good
        }
        for i, part in enumerate(watch.parts):
            role = knowledge.parts.get(part.part)
            first = roles[part.key] not in [p.part for p in watch.parts[:i]]
            for other in role.rubs_on if role and first else ():
                if other in roles.values() and tuple(sorted((part.part, other))) not in free:
                    yield Fault(
                        "watch",
                        key,
                        ("parts", i),
                        f"{part.part} rubs on {other} by its own record, and no join here says so",
                        "add the join, or mend how the two are joined",
                    )


@rule
def one_piece_of_two_metals(knowledge: Knowledge) -> Iterator[Fault]:
    """What is one piece is of one material."""
    for key, known, i, join in _joins(knowledge):
        ends = [known.get(end) for end in join.between]
        if join.how == "one-piece" and all(ends):
            one, other = ((e.material, e.state, e.coating) for e in ends)
            if one != other:
                yield Fault(
                    "watch",
                    key,
                    ("joins", i, "how"),
                    f"{join.between[0]} and {join.between[1]} are one piece of unlike material",
                    "make material, state and coating alike, or say how they are joined",
                )


@rule
def wet_where_it_is_not(knowledge: Knowledge) -> Iterator[Fault]:
    """Sweat is met outside only, and two outside parts do not stay dry."""
    situations = knowledge.words("contact_situations")
    for key, known, i, join in _joins(knowledge):
        situation = situations.get(join.where)
        if situation is None or not all(end in known for end in join.between):
            continue
        outside = [known[end].outside for end in join.between]
        fault = ""
        if situation.salt and not any(outside):
            fault = f"neither part is outside, so no {join.where} gets there"
        if situation.none_up_to is None and all(outside):
            fault = f"both parts are outside, so the joint does not stay {situation.name}"
        if fault:
            yield Fault(
                "watch",
                key,
                ("joins", i, "where"),
                fault,
                "mend `where`, or `outside` of the parts",
            )
