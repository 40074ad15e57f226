"""The verbs of the workshop lead: new records, figures from a sheet, reviews, editions, effects of
edits, the queue, and where a figure comes from.

Each function takes the words of its command and the project folder, and returns an exit code.
"""

from __future__ import annotations

import contextlib
import sys
from pathlib import Path

from generator.commands.exit_codes import DONE, FAULTS
from generator.deliver.swap import alone
from generator.records import clock
from generator.records.complaints import Refused
from generator.records.reading import shown_path

LINES = 200  # faults of a sheet that are shown
LOOKS = 8  # of each kind of the queue that are shown without --all
EFFECTS = 40  # lines of effects that are shown without --all


def known(root: Path, layers=()):
    """The knowledge without faults; with faults Refused is raised."""
    from generator.checks.rules import check

    knowledge, complaints = check(root, layers)
    if complaints:
        raise Refused(complaints)
    return knowledge


def reviewed(arguments) -> int:
    """Run the verb of that name."""
    from generator.upkeep.review import stamp_review

    on = arguments.on or clock.today()
    path = stamp_review(arguments.root, arguments.id, on, _own_layer(arguments))
    print(f"{shown_path(arguments.root, path)}: reviewed on {on}.")
    return DONE


def read_back(arguments) -> int:
    """Run the verb of that name."""
    from generator.upkeep import read_back

    knowledge, tag = known(arguments.root, arguments.layers), arguments.language
    if arguments.done:
        folder = _own_layer(arguments) or arguments.root / "knowledge"
        on = arguments.on or clock.today()
        count = read_back.record(folder, knowledge, tag, arguments.done, on, arguments.by)
        print(f"{read_back.FILE}: {count} sentences read back on {on}.")
        return DONE
    shown = read_back.sheet(knowledge, tag)
    if arguments.beside:
        shown = read_back.beside(knowledge, tag, arguments.beside)
    print("\n".join(shown))
    return DONE


def edition(arguments) -> int:
    """Run the verb of that name."""
    from generator.commands.build import cards
    from generator.upkeep.comparing import KEPT, effects_since, packed
    from generator.upkeep.editions import in_words, stamp
    from generator.upkeep.said import said, site_of

    root, layer = arguments.root, _own_layer(arguments)
    with alone(root):
        knowledge = known(root, arguments.layers)
        site = site_of(root, knowledge)
        now = said(site, cards(site))
        follows = effects_since(root, layer, site, now)
        beside = {KEPT: packed(now)}
        path, edition = stamp(root, knowledge, site.cards, arguments.again, layer, follows, beside)
    print(f"{shown_path(arguments.root, path)}: {in_words(edition)}.")
    return DONE


def effects(arguments) -> int:
    """Run the verb of that name."""
    from generator.records.loading import load
    from generator.upkeep.comparing import kept, said_by_folder
    from generator.upkeep.effects import effects, lines
    from generator.upkeep.said import said, site_and_said

    cards = _cards() if arguments.cards else None
    if arguments.against:
        before = said_by_folder(arguments.root, arguments.against, cards)
    else:
        before = kept(arguments.root, _own_layer(arguments))
    knowledge, complaints = load(arguments.root, arguments.layers)
    if complaints:
        raise Refused(complaints)
    site, now = site_and_said(arguments.root, knowledge)
    if cards:
        now = said(site, cards(site))
    print(*lines(effects(site, before, now), None if arguments.all else EFFECTS), sep="\n")
    return DONE


def _cards():
    """What draws the cards; only loaded where they are asked for, for it needs all of a build."""
    from generator.commands.build import cards

    return cards


def queue(arguments) -> int:
    """Run the verb of that name."""
    from generator.checks.queue import in_words, queue
    from generator.checks.settling import Settling
    from generator.numbers.values import values_of
    from generator.verdicts.verdicts import Verdicts

    knowledge = known(arguments.root, arguments.layers)
    found = queue(Settling(Verdicts(knowledge, values_of(knowledge))), clock.today())
    print(*in_words(found, None if arguments.all else LOOKS), sep="\n")
    return DONE


def explain(arguments) -> int:
    """Run the verb of that name."""
    from generator.upkeep.review import explain
    from generator.upkeep.said import site_of

    knowledge = known(arguments.root, arguments.layers)
    site = site_of(arguments.root, knowledge)
    print(explain(knowledge, arguments.figure, site.settling))
    return DONE


def new(arguments) -> int:
    """Run the verb of that name."""
    from generator.upkeep.new_record import new_record

    path = new_record(arguments.root, arguments.kind, arguments.id, _own_layer(arguments))
    print(f"Wrote {shown_path(arguments.root, path)}. Fill it in, then: python3 -m generator check")
    return DONE


def take(arguments) -> int:
    """Run the verb of that name."""
    with alone(arguments.root) if arguments.write else contextlib.nullcontext():
        return _take(arguments)


def _take(arguments) -> int:
    from generator.records.loading import load
    from generator.upkeep.take import RowsRefused, in_words, plan, write

    knowledge, complaints = load(arguments.root, arguments.layers)
    if complaints:
        raise Refused(complaints)
    try:
        plans = plan(arguments.root, knowledge, arguments.file, _own_layer(arguments))
    except RowsRefused as refused:
        print(*refused.lines[:LINES], sep="\n")
        more = f", {len(refused.lines) - LINES} not shown" if len(refused.lines) > LINES else ""
        print(f"Nothing was written: {len(refused.lines)} faults{more}.", file=sys.stderr)
        return FAULTS
    print(*in_words(arguments.root, plans, knowledge), sep="\n")
    if not arguments.write:
        print("Nothing was written; with --write it is.")
        return DONE
    write(arguments.root, plans)
    print("Written. Then: python3 -m generator check")
    return DONE


def _own_layer(arguments) -> Path | None:
    """Where something is written: the last layer that was named, or knowledge/ itself."""
    return arguments.layers[-1] if arguments.layers else None


def sheets(arguments) -> int:
    """Run the verb of that name."""
    from generator.numbers.values import values_of
    from generator.records.complaints import NotDone
    from generator.records.loading import load
    from generator.upkeep.watch_sheets import in_words, plan, write

    layer = _own_layer(arguments)
    if layer is None:
        raise NotDone("measurements go into a workshop's own layer; name its folder with --layer")
    with alone(arguments.root):
        knowledge = known(arguments.root)
        made = plan(arguments.root, knowledge, arguments.folder, layer)
        values = values_of(load(arguments.root)[0])
        print(*in_words(arguments.root, knowledge, values, made), sep="\n")
        write(made)
    many = len(made.files)
    print(f"Wrote {many} file{'s' if many != 1 else ''} of {shown_path(arguments.root, layer)}.")
    return DONE
