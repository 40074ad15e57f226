"""Receives the words of a command line; hands on an exit code."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from generator.bootstrap import ROOT
from generator.complaints import Complaint


def main(words: list[str]) -> int:
    """Run one verb. 0 done, 1 faults in the knowledge base, 2 wrong command line, 3 something is lacking, 4 tests failed."""
    arguments = _parser().parse_args(words)
    return arguments.run(arguments)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python3 -m generator", description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    verbs = parser.add_subparsers(required=True, metavar="VERB")

    def verb(name: str, run, text: str, example: str) -> argparse.ArgumentParser:
        sub = verbs.add_parser(name, help=text, description=f"{text}\n\nexample:\n  python3 -m generator {example}",
                               formatter_class=argparse.RawDescriptionHelpFormatter)
        sub.set_defaults(run=run)
        return sub

    verb("check", _check, "check the knowledge base and print every fault with its place and cure", "check")
    return parser


def _print_complaints(complaints: list[Complaint]) -> None:
    for complaint in complaints:
        print(complaint)
    many = "s" if len(complaints) != 1 else ""
    print(f"{len(complaints)} fault{many}. Nothing was changed.", file=sys.stderr)


def _check(_arguments) -> int:
    from generator.checking import check

    began = time.perf_counter()
    knowledge, complaints = check(ROOT)
    if complaints:
        _print_complaints(complaints)
        return 1
    counts = f"{len(knowledge.materials)} materials, {len(knowledge.parts)} parts, {len(knowledge.hazards)} hazards, " \
             f"{len(knowledge.processes)} processes, {len(knowledge.sources)} sources"
    print(f"No faults: {counts}; {time.perf_counter() - began:.2f} s.")
    return 0
