"""Reads a command line, runs its verb and returns the exit code (commands/exit_codes.py)."""

from __future__ import annotations

import argparse
import gc
import sys

from generator.bootstrap import ROOT, SELDOM
from generator.commands.exit_codes import IN_WORDS, LACKING, STOPPED, WRONG_COMMAND
from generator.commands.running import print_complaints, run_tests
from generator.commands.verbs import LAYER, VERBS, Verb
from generator.records.complaints import Lacking, NotDone, Refused


def main(words: list[str]) -> int:
    """Run one verb."""
    if words[:1] == ["test"] and not {"-h", "--help"} & set(words):
        return run_tests(ROOT, words[1:])  # for pytest as they are, so they are not parsed here
    arguments = _parser().parse_args(words)
    arguments.root = ROOT
    gc.set_threshold(*SELDOM)
    try:
        return arguments.run(arguments)
    except Refused as refused:
        return print_complaints(refused.complaints)
    except NotDone as failed:
        print(f"generator: {failed}", file=sys.stderr)
        return WRONG_COMMAND
    except Lacking as lacking:
        print(f"generator: {lacking}", file=sys.stderr)
        return LACKING
    except KeyboardInterrupt:
        print("\nStopped. The last good site is untouched.", file=sys.stderr)
        return STOPPED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python3 -m generator",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Builds, checks and serves the bench materials reference.",
        epilog=f"example:\n  python3 -m generator build\n\nexit codes: {IN_WORDS}",
    )
    verbs = parser.add_subparsers(required=True, metavar="VERB")
    for verb in VERBS:
        _add(verbs, verb)
    return parser


def _add(verbs, verb: Verb) -> None:
    sub = verbs.add_parser(
        verb.name,
        help=verb.text,
        description=verb.text,
        epilog=f"example:\n  python3 -m generator {verb.example}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    sub.set_defaults(run=verb.run)
    for word in (*verb.words, *([LAYER] if verb.takes_layers else [])):
        sub.add_argument(*word.names, **word.how)
