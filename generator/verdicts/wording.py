"""Plain sentences for demands, answers, exposures and judgements, the same on pages and in
complaints.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

from generator.numbers import quantities
from generator.numbers.hardness import TABLES
from generator.records import models
from generator.records.knowledge import Knowledge
from generator.tables.cells import Computed
from generator.verdicts.findings import MET, MISSED, OFTEN, UNKNOWN, Answer, Exposure, Judge
from generator.verdicts.rungs import (
    BESIDE,
    CANNOT_SAY,
    OFFERED,
    OWN,
    PAPER,
    Gate,
    Judgement,
    Shortfall,
)


def unit_label(knowledge: Knowledge, unit: str) -> str:
    """A unit as readers see it; nothing for pure numbers."""
    return "" if unit in ("", "1") else knowledge.words("units")[unit].label


def with_unit(knowledge: Knowledge, quantity: quantities.Quantity) -> str:
    """A quantity with its unit and, where it is borrowed, from what, as plain text."""
    unit = unit_label(knowledge, quantity.unit)
    borrowed = f" {evidence_words(quantity)}" if quantity.evidence == quantities.BORROWED else ""
    return quantities.shown(quantity) + (f"{quantities.NBSP}{unit}" if unit else "") + borrowed


def _found(knowledge: Knowledge, quantity: quantities.Quantity) -> str:
    """A quantity that a verdict rests on; says where it is of this workshop."""
    own = " \u25c6 of this workshop" if is_own(knowledge, quantity) else ""
    return with_unit(knowledge, quantity) + own


def is_own(knowledge: Knowledge, quantity: quantities.Quantity | None) -> bool:
    """True for what rests on a source in a workshop's own layer."""
    return (
        quantity is not None
        and bool(knowledge.layered)
        and any(knowledge.from_layer("source", s) for s in quantity.sources)
    )


def rounding_words(formula: models.Formula, result: quantities.Quantity) -> str:
    """What is said behind a result that was rounded to the safe side; else nothing."""
    side = formula.result.rounded
    return f" (rounded {side}, to be safe)" if side and quantities.is_cut(result) else ""


def meaning_of(formula: models.Formula, result: quantities.Quantity) -> str:
    """What a result means by the readings of its formula; an interval may span two or more."""
    if not formula.readings or (len(formula.readings) > 1 and not result.showing.thresholds):
        return ""
    low = 0 if result.low is None else result.showing.meaning(result.low)
    high = len(formula.readings) - 1 if result.high is None else result.showing.meaning(result.high)
    return "; or: ".join(reading.say for reading in formula.readings[low : high + 1])


SIGNS = {
    quantities.CONVERTED: "⇄ converted",
    quantities.COMPUTED: "∑ worked out",
    quantities.BORROWED: "◇ borrowed",
    quantities.MEMORY: "○ from memory",
}
RESTS_ON_BORROWED = "◇ rests on a borrowed figure"
RESTS_ON_LITTLE = "◔ thinly sourced"
GROUNDS = {"borrowed": RESTS_ON_BORROWED, "little": RESTS_ON_LITTLE}


def evidence_words(quantity: quantities.Quantity) -> str:
    """How weak a quantity's evidence is, sign and word; nothing for a figure of the very metal."""
    said = SIGNS.get(quantity.evidence, "")
    return f"{said} from {', '.join(quantity.of)}" if said and quantity.of else said


def brief_evidence(quantity: quantities.Quantity) -> str:
    """Sign and word for a borrowed or remembered quantity where there is no room to say from
    what."""
    weak = quantity.evidence in (quantities.BORROWED, quantities.MEMORY)
    return SIGNS[quantity.evidence] if weak else ""


def shown_with_evidence(quantity: quantities.Quantity) -> str:
    """A number, and sign and word where it is borrowed or remembered."""
    return f"{quantities.shown(quantity)} {brief_evidence(quantity)}".rstrip()


def weakest(cell: Computed) -> quantities.Quantity:
    """The input of a computed number that speaks least of the very metal."""
    inputs = (q for _, q in cell.inputs)
    return max(inputs, key=lambda q: quantities.RANK[q.evidence], default=cell.value)


def rests_on_borrowed(answers: Iterable[Answer]) -> bool:
    """True when an answer that went into a judgement was measured on a relative."""
    return any(
        a.quantity is not None and a.quantity.evidence == quantities.BORROWED for a in answers
    )


def rests_on_little(knowledge: Knowledge, answers: Iterable[Answer]) -> bool:
    """True when a figure that answers a firm demand has one weak source alone, or was worked
    out."""
    return any(
        a.demand.firm and a.quantity is not None and _is_little(knowledge, a.quantity)
        for a in answers
    )


def ground(judge: Judge, judgement: Judgement) -> str | None:
    """The weak ground of what is offered: `borrowed`, `little`; none where it stands firm."""
    if judgement.rung not in OFFERED:
        return None
    answers = judge.answers(judgement.part, judgement.material, judgement.state)
    if rests_on_borrowed(answers):
        return "borrowed"
    return "little" if rests_on_little(judge.knowledge, answers) else None


def ground_words(judge: Judge, judgement: Judgement) -> str:
    """Sign and word of a weak ground; nothing where what is offered stands firm."""
    return GROUNDS.get(ground(judge, judgement), "")


def _is_little(knowledge: Knowledge, quantity: quantities.Quantity) -> bool:
    kinds = knowledge.words("source_kinds")
    measured = set(quantity.sources) - TABLES  # a table of conversion says nothing of the metal
    known = [knowledge.sources[s] for s in measured if s in knowledge.sources]
    return all(kinds[s.kind].weak for s in known) and len({s.publisher for s in known}) < 2


def demand_words(knowledge: Knowledge, demand: models.Demand) -> str:
    """A demand in a few words: `hardness at least 500 HV`."""
    words = knowledge.words
    if demand.property:
        prop = words("properties")[demand.property]
        limit, number = (
            ("at least", demand.at_least)
            if demand.at_least is not None
            else ("at most", demand.at_most)
        )
        unit = unit_label(knowledge, demand.unit or next(iter(prop.units)))
        return (
            f"{prop.name} {limit} {quantities.number_text(number)}{quantities.NBSP}{unit}".strip()
        )
    if demand.working:
        better = "" if demand.rating == next(iter(words("ratings"))) else " or better"
        return (
            f"{words('workings')[demand.working].name}:"
            f" {words('ratings')[demand.rating].name}{better}"
        )
    if demand.magnetism:
        most = "" if demand.magnetism == next(iter(words("magnetism"))) else "at most "
        return f"{most}{words('magnetism')[demand.magnetism].name} by a magnet"
    if demand.trait:
        return words("traits")[demand.trait].name
    if demand.lacks_trait:
        return f"not {words('traits')[demand.lacks_trait].name}"
    mate = knowledge.parts[demand.mate.part].name.lower()
    return (
        f"expansion within {quantities.number_text(demand.mate.within)}{quantities.NBSP}×10⁻⁶/K of"
        f" the {mate}"
    )


def answer_words(knowledge: Knowledge, answer: Answer) -> str:
    """What was found for a demand: `found 140 to 215 HV`, `not known`."""
    if answer.outcome == UNKNOWN:
        return "only from memory" if answer.quantity is not None else "not known"
    if answer.quantity is not None:
        converted = (
            f" (converted from {answer.quantity.converted_from})"
            if answer.quantity.converted_from
            else ""
        )
        return f"found {_found(knowledge, answer.quantity)}{converted}"
    if answer.demand.property:
        how = {"hardness": "hard", "elastic-modulus": "stiff"}[answer.demand.property]
        return f"no {knowledge.words('classes')[answer.found].name} is that {how}"
    if answer.demand.working:
        return knowledge.words("ratings")[answer.found].name
    if answer.demand.magnetism:
        return knowledge.words("magnetism")[answer.found].name
    return {MET: "yes", MISSED: "no"}[answer.outcome]


def state_name(knowledge: Knowledge, material: str, state: str | None) -> str:
    """A material's name, with the state that is meant: `silver steel, tempered blue`."""
    record = knowledge.materials[material]
    return f"{record.name}, {record.states[state].name}" if state in record.states else record.name


def reasons(knowledge: Knowledge, judgement: Judgement, most: int | None = None) -> list[str]:
    """Why a material stands where it stands, up to ``most`` reasons."""
    return ["".join(halves) for halves in islice(reason_halves(knowledge, judgement), most)]


def reason_halves(knowledge: Knowledge, j: Judgement) -> Iterator[tuple[str, str]]:
    """The reasons, each in two halves that many materials share: `softer than any usual choice: `
    and `90 HV, against 150 to 180 HV`."""
    if j.rung == OWN:
        yield j.choice.why, ""
    for gate in j.gates:
        yield gate_reason(knowledge, gate)
    if j.rung == PAPER:
        yield "the figures allow it, but nobody makes it from this", ""
    for answer in j.missing:
        known = "known only from memory" if answer.quantity is not None else "not known"
        yield f"{known}: ", asked_words(knowledge, answer.demand)
    if j.rung in (BESIDE, CANNOT_SAY) and j.nearest and not j.shortfalls:
        like = state_name(knowledge, j.nearest.choice.material, j.nearest.state)
        else_ = "otherwise " if j.rung == CANNOT_SAY else ""
        yield f"{else_}as good as ", f"{like} on every count"
    for shortfall in j.shortfalls:
        yield shortfall_reason(knowledge, shortfall)


def asked_words(knowledge: Knowledge, demand: models.Demand) -> str:
    """What a demand asks about, in a word."""
    words = knowledge.words
    if demand.property:
        return words("properties")[demand.property].name
    if demand.working:
        return f"ease of {words('workings')[demand.working].name}"
    return "response to a magnet" if demand.magnetism else "thermal expansion"


def gate_reason(knowledge: Knowledge, gate: Gate) -> tuple[str, str]:
    """What shuts a material out: `hardness at least 500 HV: ` and `found 160 to 200 HV`."""
    if gate.kind == "stage":
        return "only a stage of the work: ", gate.words[0]
    if gate.kind == "stock":
        forms = knowledge.words("forms")
        asked = " or ".join(forms[f].name for f in gate.words)
        return f"the part is made from {asked}; this is sold only in other forms", ""
    if gate.kind == "partner":
        partner = knowledge.parts[gate.words[0]].name
        return f"the same kind of metal as the {partner} it rubs on; the two gall and wear", ""
    if gate.kind == "soft":
        return "its softest state; the trade always makes this part harder", ""
    if gate.kind == "temper":
        return "too hard for a spring; it snaps where it is bent", ""
    if gate.kind == "unaged":
        return "not aged; the trade ages this metal for a spring, or it sets", ""
    if gate.kind == "unhardened":
        return "not hardened; the trade hardens this part", ""
    if gate.met:
        return hazard_reason(knowledge, gate.met.meeting, gate.met.exposure), ""
    return f"{demand_words(knowledge, gate.answer.demand)}: ", answer_words(knowledge, gate.answer)


def _apart(s: Shortfall) -> bool:
    """False where a figure touches the span of the usual choices and falls short by a wish."""
    own, edge = (s.found.high, s.span[0].low) if s.low else (s.found.low, s.span[1].high)
    return own is None or edge is None or (own <= edge if s.low else own >= edge)


def shortfall_reason(knowledge: Knowledge, s: Shortfall) -> tuple[str, str]:
    """Where a material falls short of every usual choice, with both figures."""
    words = knowledge.words
    if s.kind == "use":
        return (
            f"not used for this part, but for the {knowledge.roles[s.key].name.lower()}",
            "",
        )
    if s.kind == "purpose":
        return f"not used for this part, but sold for {words('purposes')[s.key].name}: ", s.found
    if s.kind == "property":
        prop = words("properties")[s.key]
        than = (prop.less or f"less {prop.name}") if s.low else (prop.more or f"more {prop.name}")
        ends = with_unit(knowledge, quantities.envelope(s.span))
        found = _found(knowledge, s.found)
        if _apart(s):
            return f"{than} than any usual choice: ", f"{found}, against {ends}"
        return f"{than} than preferred: ", f"{found}; usual choices have {ends}"
    if s.kind == "working":
        ratings = words("ratings")
        name = words("workings")[s.key].name
        return f"{name} ", f"{ratings[s.found].name}; with a usual choice it {ratings[s.span].name}"
    if s.kind == "magnetism":
        kinds = words("magnetism")
        return "", f"{kinds[s.found].name} by a magnet; a usual choice is {kinds[s.span].name}"
    if s.kind == "price":
        return f"dearer: {words('prices')[s.found].name}", ""
    if s.kind == "trait":
        return f"{words('traits')[s.key].name}, unlike any usual choice", ""
    if s.kind == "solder":
        return "soft again wherever solder heats it: ", _found(knowledge, s.found)
    if s.kind == "galling":
        return f"{words('galling')[s.key].name}: it may seize on the ", _partner(knowledge, s)
    verdicts, rule = words("exposure_verdicts"), s.exposure.rule
    how = f" ({mechanism_words(knowledge, s.exposure)})" if rule and rule.mechanism else ""
    hazard = knowledge.hazards[s.key].name.lower()
    worst = verdicts[s.span].name
    return f"{hazard}: {verdicts[s.found].name}{how}; ", f"a usual choice {worst}"


def _partner(knowledge: Knowledge, s: Shortfall) -> str:
    """The part that a metal seizes on."""
    return knowledge.parts[s.found].name.lower()


def lost_words(knowledge: Knowledge, s: Shortfall) -> str:
    """What is lost where one material takes the place of another."""
    return _change(knowledge, s, lost=True)


def gained_words(knowledge: Knowledge, s: Shortfall) -> str:
    """What is gained, as a shortfall of the piece that is replaced."""
    return _change(knowledge, s, lost=False)


def _change(knowledge: Knowledge, s: Shortfall, lost: bool) -> str:
    words = knowledge.words
    first, second = (s.found, s.span) if lost else (s.span, s.found)
    if s.kind == "property":
        prop = words("properties")[s.key]
        less = s.low == lost
        new, old = (first, second[0]) if lost else (first[0], second)
        than = (prop.less or f"less {prop.name}") if less else (prop.more or f"more {prop.name}")
        return f"{than}: {with_unit(knowledge, new)} for {with_unit(knowledge, old)}"
    if s.kind == "working":
        return f"{words('workings')[s.key].name} {words('ratings')[first].name}"
    if s.kind == "magnetism":
        return f"{words('magnetism')[first].name} by a magnet"
    if s.kind == "price":
        return f"{'dearer' if lost else 'cheaper'}: {words('prices')[first].name}"
    if s.kind == "solder":
        return f"{'soft' if lost else 'does not go soft'} where solder heats it"
    if s.kind == "galling":
        seizes = f"seize on the {_partner(knowledge, s)}"
        return f"may {seizes}" if lost else f"does not {seizes}"
    if s.kind == "trait":
        name = words("traits")[s.key].name
        return name if lost else f"not {name}"
    return f"{knowledge.hazards[s.key].name.lower()}: {words('exposure_verdicts')[first].name}"


def mechanism_words(knowledge: Knowledge, exposure: Exposure) -> str:
    """How a hazard harms: `rust`, `rust at pores and worn edges`; nothing where no rule says."""
    mechanism = exposure.rule.mechanism if exposure.rule else None
    if mechanism is None:
        return ""
    entry = knowledge.words("mechanisms")[mechanism]
    at_pores = exposure.beneath and entry.below_coating == "at-pores"
    return f"{entry.name} at pores and worn edges" if at_pores else entry.name


def hazard_reason(knowledge: Knowledge, meeting: models.Meeting, exposure: Exposure) -> str:
    """What a hazard that the part meets does: `sea water: fails (pitting)`."""
    name = knowledge.hazards[meeting.hazard].name.lower()
    word = knowledge.words("exposure_verdicts")[exposure.verdict].name
    how = mechanism_words(knowledge, exposure)
    mechanism = f" ({how})" if how else ""
    return f"{name}: {word}{mechanism}{'' if meeting.severity in OFTEN else ', rarely exposed'}"
