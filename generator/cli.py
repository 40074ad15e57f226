"""Receives the words of a command line; hands on an exit code."""

from __future__ import annotations

import argparse
import gc
import json
import statistics
import sys
import time

from generator.bootstrap import ROOT
from generator.complaints import Complaint, Refused

DONE, FAULTS, WRONG_COMMAND, LACKING, TESTS_FAILED = 0, 1, 2, 3, 4


def main(words: list[str]) -> int:
    """Run one verb. 0 done, 1 faults in the knowledge base, 2 wrong command line, 3 something is lacking, 4 tests failed."""
    if words[:1] == ["test"] and not {"-h", "--help"} & set(words):
        return _test(words[1:])  # handed to pytest as they are, so they are not parsed here
    arguments = _parser().parse_args(words)
    gc.disable()  # one build keeps nearly all it makes until the end; looking for garbage in between costs a fifth of the time
    try:
        return arguments.run(arguments)
    except KeyboardInterrupt:
        print("\nStopped. The last good site is untouched.", file=sys.stderr)
        return LACKING


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python3 -m generator", formatter_class=argparse.RawDescriptionHelpFormatter,
                                     description="Builds, checks and serves the bench materials reference.",
                                     epilog="example:\n  python3 -m generator build\n\nexit codes: 0 done, 1 faults in the knowledge base, "
                                            "2 wrong command line, 3 the machine lacks something, 4 tests failed")
    verbs = parser.add_subparsers(required=True, metavar="VERB")

    def verb(name: str, run, text: str, example: str) -> argparse.ArgumentParser:
        sub = verbs.add_parser(name, help=text, description=text, epilog=f"example:\n  python3 -m generator {example}",
                               formatter_class=argparse.RawDescriptionHelpFormatter)
        sub.set_defaults(run=run)
        return sub

    build = verb("build", _build, "check the knowledge base, build the site, and print the path to open", "build --timings")
    build.add_argument("--timings", action="store_true", help="print what each step took")
    verb("check", _check, "check the knowledge base and print every fault with its place and cure", "check")
    serve = verb("serve", _serve, "build, serve the site on this machine, and build again when a file is saved", "serve --port 8020")
    serve.add_argument("--port", type=int, default=8020, help="port to listen on (default 8020)")
    new = verb("new", _new, "write an annotated record to fill in", "new alloy brass-cuzn36")
    new.add_argument("kind", metavar="KIND", help="alloy, nonmetal, coating, part, hazard, process or formula")
    new.add_argument("id", metavar="ID", help="the file name without .yaml: small letters, digits, hyphens")
    work = verb("work", _work, "work out a formula of the knowledge base; a value may be a range: 7.9..8.0", "work mass-from-volume V=4.0 rho=7.98")
    work.add_argument("id", metavar="ID", help="file name of the formula without .yaml")
    work.add_argument("values", nargs="*", metavar="symbol=value", help="one for each symbol; symbols with a default may be left out")
    work.add_argument("--json", action="store_true", help="print the result as JSON")
    test = verb("test", _test, "run all tests: unit, external checks, browser; further words are handed to pytest", "test -k figures")
    test.add_argument("words", nargs="*", help="handed to pytest as they are")
    return parser


def _print_complaints(complaints: list[Complaint]) -> int:
    for complaint in complaints:
        print(complaint)
    many = "s" if len(complaints) != 1 else ""
    print(f"{len(complaints)} fault{many} in the knowledge base. The last good site is untouched.", file=sys.stderr)
    return FAULTS


def _check(_arguments) -> int:
    from generator.checking import check
    from generator.linking import COLLECTIONS

    began = time.perf_counter()
    knowledge, complaints = check(ROOT)
    if complaints:
        return _print_complaints(complaints)
    counts = ", ".join(f"{len(getattr(knowledge, name))} {name}" for name in (*COLLECTIONS.values(), "sources"))
    print(f"No faults: {counts}; {time.perf_counter() - began:.2f} s.")
    return DONE


def _build(arguments) -> int:
    from generator.building import Timings, build
    from generator.publishing import BuildFailed

    timings = Timings(lambda step: print(f"  {step} ...", flush=True))
    try:
        folder, count = build(ROOT, timings)
    except Refused as refused:
        return _print_complaints(refused.complaints)
    except BuildFailed as failed:
        print(f"generator: {failed}\nThe last good site is untouched.", file=sys.stderr)
        return FAULTS
    if arguments.timings:
        _print_timings(timings)
    print(f"Built {count} pages. Open:\n  {folder / 'index.html'}")
    return DONE


def _print_timings(timings) -> None:
    from generator.checking import check

    for name, seconds in timings.steps.items():
        print(f"  {seconds:7.2f} s  {name}")
    print(f"  {timings.own:7.2f} s  generator in all: {timings.own / timings.mkdocs:.0%} of MkDocs' share")
    times = []
    for _ in range(5):
        began = time.perf_counter()
        check(ROOT)
        times.append(time.perf_counter() - began)
    print(f"  {statistics.median(times):7.2f} s  check alone (median of 5)")


def _serve(arguments) -> int:
    from generator.serving import serve

    return serve(ROOT, arguments.port)


def _new(arguments) -> int:
    from generator.scaffolding import NewFailed, new_record

    try:
        path = new_record(ROOT, arguments.kind, arguments.id)
    except NewFailed as failed:
        print(f"generator: {failed}", file=sys.stderr)
        return WRONG_COMMAND
    print(f"Wrote {path.relative_to(ROOT).as_posix()}. Fill it in, then: python3 -m generator check")
    return DONE


def _work(arguments) -> int:
    from generator.checking import check
    from generator.working import LOOKUPS, WorkFailed, work, work_words

    knowledge, complaints = check(ROOT)
    if complaints:
        return _print_complaints(complaints)
    try:
        if arguments.id in LOOKUPS:
            print(LOOKUPS[arguments.id](knowledge, arguments.values))
            return DONE
        result = work(knowledge, arguments.id, arguments.values)
    except WorkFailed as failed:
        print(f"generator: {failed}", file=sys.stderr)
        return WRONG_COMMAND
    print(json.dumps(result.as_json()) if arguments.json else work_words(knowledge, result))
    return DONE


def _test(words: list[str]) -> int:
    from generator.testing import run_tests

    return run_tests(ROOT, words)


