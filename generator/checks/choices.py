"""Rules about what parts are made of and about the order of a hazard's rules."""

from __future__ import annotations

from collections.abc import Iterator

from generator.checks.ids import named_materials
from generator.checks.rule import Fault, rule
from generator.records.knowledge import Knowledge


@rule
def part_without_usual_material(knowledge: Knowledge) -> Iterator[Fault]:
    """Every part role names at least one material that the trade uses for it."""
    for key, part in knowledge.parts.items():
        if not part.usual:
            yield Fault(
                "part",
                key,
                ("name",),
                "usual is missing",
                "name at least one material that the trade uses",
            )


@rule
def usual_and_wrong(knowledge: Knowledge) -> Iterator[Fault]:
    """No material is both usual and wrong for a part in the same state."""
    for key, way, part in knowledge.choosers():
        usual = {(c.material, c.state, c.coated) for c in part.usual}
        for i, choice in enumerate(part.wrong):
            if (choice.material, choice.state, choice.coated) in usual:
                fault = f"{choice.material} is both usual and wrong"
                yield Fault(
                    "part", key, (*way, "wrong", i), fault, "name the states in which it differs"
                )


@rule
def coating_that_is_none(knowledge: Knowledge) -> Iterator[Fault]:
    """What a part is coated with lives in coatings/."""
    for kind, key, way, choice in named_materials(knowledge):
        field = "coated" if kind == "part" else "coating"
        coating = getattr(choice, field)
        if coating in knowledge.materials and knowledge.folders[coating] != "coatings":
            fault = f"{coating} is not a coating"
            yield Fault(kind, key, (*way, field), fault, "name a record in coatings/")


@rule
def rule_never_reached(knowledge: Knowledge) -> Iterator[Fault]:
    """A hazard's rule without conditions is the last one."""
    for key, hazard in knowledge.hazards.items():
        for i, step in enumerate(hazard.rules[:-1]):
            if not any(step.when.__dict__.values()):
                fault = "the rules below this one are never reached"
                yield Fault(
                    "hazard", key, ("rules", i), fault, "move it to the end or add conditions"
                )
