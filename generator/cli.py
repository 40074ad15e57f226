"""Receives the words of a command line; hands on an exit code."""

from __future__ import annotations

import argparse
import gc
import json
import statistics
import sys
import time
from datetime import date
from pathlib import Path

from generator.bootstrap import ROOT, SELDOM
from generator.commands import lead
from generator.records.complaints import Complaint, Lacking, NotDone, Refused

DONE, FAULTS, WRONG_COMMAND, LACKING, TESTS_FAILED, NOT_BUILT = range(6)
SHOWN = 200  # faults; who has more of them mends these first
STOPPED = 130  # by Ctrl+C, as shells have it
EXIT_CODES = (
    "0 done, 1 faults in the knowledge base, 2 wrong command line, 3 the machine lacks something, "
    "4 tests failed, 5 the site could not be built, 130 stopped"
)


def main(words: list[str]) -> int:
    """Run one verb.

    What it returns is in EXIT_CODES.
    """
    if words[:1] == ["test"] and not {"-h", "--help"} & set(words):
        return _test(words[1:])  # handed to pytest as they are, so they are not parsed here
    arguments = _parser().parse_args(words)
    arguments.root = ROOT
    gc.set_threshold(*SELDOM)
    try:
        return arguments.run(arguments)
    except Refused as refused:
        return _print_complaints(refused.complaints)
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
        epilog="example:\n  python3 -m generator build\n\nexit codes: " + EXIT_CODES,
    )
    verbs = parser.add_subparsers(required=True, metavar="VERB")

    def verb(name: str, run, text: str, example: str) -> argparse.ArgumentParser:
        sub = verbs.add_parser(
            name,
            help=text,
            description=text,
            epilog=f"example:\n  python3 -m generator {example}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        sub.set_defaults(run=run)
        return sub

    build = verb(
        "build",
        _build,
        "check the knowledge base, build the site, and print the path to open",
        "build --timings",
    )
    build.add_argument("--timings", action="store_true", help="print what each step took")
    build.add_argument(
        "--pages",
        action="store_true",
        help="only write complete Markdown into build/pages, for another site generator",
    )
    check = verb(
        "check",
        _check,
        "check the knowledge base and print every fault with its place and cure",
        "check",
    )
    serve = verb(
        "serve",
        _serve,
        "build, serve the site on this machine, and build again when a file is saved",
        "serve --port 8020",
    )
    serve.add_argument("--port", type=_port, default=8020, help="port to listen on (default 8020)")
    serve.add_argument(
        "--tablet",
        metavar="ADDRESS",
        nargs="?",
        const="",
        default=None,
        help=(
            "let the local network read the site too, and print the address and a QR of it; without"
            " ADDRESS this machine's own is found"
        ),
    )
    check.add_argument(
        "--watch", action="store_true", help="check again whenever a file is saved, until Ctrl+C"
    )
    reviewed = verb(
        "reviewed",
        lead.reviewed,
        "write the day of the last review into a record; nothing else in the file changes",
        "reviewed stainless-316l --on 2026-11-25",
    )
    reviewed.add_argument(
        "id",
        metavar="ID",
        help="the file name without .yaml, or folder/name where two records share it",
    )
    reviewed.add_argument(
        "--on",
        metavar="DATE",
        type=_day,
        default=None,
        help="the day, as 2026-01-31 (default: today)",
    )
    read_back = verb(
        "read-back",
        lead.read_back,
        "hand out the translations that nobody has turned back yet, and record those that were",
        "read-back de > sheet.txt",
    )
    read_back.add_argument("language", metavar="LANGUAGE", help="its tag, such as de")
    read_back.add_argument(
        "--beside",
        metavar="SHEET",
        type=Path,
        help="a sheet turned back: show it with the originals",
    )
    read_back.add_argument(
        "--done", metavar="SHEET", type=Path, help="its sentences mean the same: record them"
    )
    read_back.add_argument("--on", metavar="DATE", type=_day, default=None, help="default: today")
    read_back.add_argument("--by", default="a second reader", help="who turned them back")
    explain = verb(
        "explain",
        lead.explain,
        "say where each figure of a property comes from, or where every material stands for a part",
        "explain stainless-316l.density",
    )
    explain.add_argument(
        "figure",
        metavar="ID.property",
        help="file name of the material without .yaml, a point, and the property; or a part",
    )
    edition = verb(
        "edition",
        lead.edition,
        "stamp a new edition before publishing: what changed since the last one, and which cards",
        "edition",
    )
    edition.add_argument(
        "--again",
        action="store_true",
        help="stamp the newest edition once more, when nothing of it was given away or printed yet",
    )
    publish = verb(
        "publish",
        _publish,
        "build the site and make one dated folder to give away: site, zip, one file of everything,"
        " book of cards",
        "publish --to ~/shared",
    )
    publish.add_argument(
        "--to",
        metavar="DIR",
        type=Path,
        default=ROOT / "published",
        help="where the dated folder goes (default: published/)",
    )
    take = verb(
        "take",
        lead.take,
        "read figures from a table (.csv or .xlsx, columns as in site/data/figures.csv) and show"
        " what they would change in the records",
        "take measured.csv --write",
    )
    take.add_argument("file", metavar="FILE", type=Path, help="the table")
    take.add_argument("--write", action="store_true", help="write it into the records")
    sheets = verb(
        "sheets",
        lead.sheets,
        "read saved sheets of watches and pool their measurements into a workshop's own layer",
        "sheets ../sheets --layer ../our-layer",
    )
    sheets.add_argument("folder", metavar="DIR", type=_folder, help="the folder of saved sheets")
    new = verb("new", lead.new, "write an annotated record to fill in", "new alloy brass-cuzn36")
    new.add_argument(
        "kind",
        metavar="KIND",
        help=(
            "alloy, nonmetal, coating, part, hazard, process, formula, saying, lesson, source or "
            "caution"
        ),
    )
    new.add_argument(
        "id", metavar="ID", help="the file name without .yaml: small letters, digits, hyphens"
    )
    queue = verb(
        "queue",
        lead.queue,
        "say what is worth an hour of work: gaps, weak figures, disagreements, sources, reviews",
        "queue",
    )
    queue.add_argument("--all", action="store_true", help="show every line")
    effects = verb(
        "effects",
        lead.effects,
        "say what the knowledge base says otherwise than at the last edition, weightiest first",
        "effects --against ../before/knowledge",
    )
    effects.add_argument(
        "--against",
        metavar="DIR",
        type=_folder,
        help="compare with this folder of records instead of the last edition",
    )
    effects.add_argument("--all", action="store_true", help="show every line")
    effects.add_argument(
        "--cards", action="store_true", help="tell too which cards change; takes some seconds"
    )
    for sub in (
        build,
        check,
        serve,
        explain,
        publish,
        new,
        reviewed,
        read_back,
        edition,
        take,
        sheets,
        queue,
        effects,
    ):
        sub.add_argument(
            "--layer",
            dest="layers",
            metavar="DIR",
            type=_folder,
            action="append",
            default=[],
            help=(
                "a workshop's own records, in the same folders as knowledge/; they add to the"
                " shipped ones or override them; what is written is written there"
            ),
        )
    work = verb(
        "work",
        _work,
        "work out a formula or a whole job; a value may be a range or have a unit: 7.9..8.0, 25dwt",
        "work mass-from-volume V=4.0 rho=7.98",
    )
    work.add_argument("id", metavar="ID", help="file name of the formula without .yaml")
    work.add_argument(
        "values",
        nargs="*",
        metavar="symbol=value",
        help="one for each symbol; symbols with a default may be left out",
    )
    work.add_argument("--json", action="store_true", help="print the result as JSON")
    test = verb(
        "test",
        _test,
        "run all tests: unit, external checks, browser; further words are handed to pytest",
        "test -k figures",
    )
    test.add_argument("words", nargs="*", help="handed to pytest as they are")
    return parser


def _folder(typed: str) -> Path:
    """A folder that exists, as argparse asks for it."""
    path = Path(typed).resolve()
    if not path.is_dir():
        raise argparse.ArgumentTypeError(f"{typed} is not a folder")
    return path


def _day(typed: str) -> date:
    """A day, as argparse asks for it."""
    try:
        return date.fromisoformat(typed)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{typed} is not a date; write it as 2026-01-31") from None


def _port(typed: str) -> int:
    """A port that anybody may listen on, as argparse asks for it."""
    if not (typed.isascii() and typed.isdigit() and 1024 <= int(typed[:6]) <= 65535):
        raise argparse.ArgumentTypeError(f"{typed[:20]} is not a port; write 1024 to 65535")
    return int(typed)


def _print_complaints(complaints: list[Complaint]) -> int:
    for complaint in complaints[:SHOWN]:
        print(complaint)
    if len(complaints) > SHOWN:
        print(f"... and {len(complaints) - SHOWN} more; mend these first")
    many = "s" if len(complaints) != 1 else ""
    print(
        f"{len(complaints)} fault{many} in the knowledge base. The last good site is untouched.",
        file=sys.stderr,
    )
    return FAULTS


def _check(arguments) -> int:
    if not arguments.watch:
        return _check_once(arguments)
    from generator.commands.watch import Watch

    print("Checking at every save (Ctrl+C stops).", flush=True)
    try:
        for _ in Watch([ROOT / "knowledge", *arguments.layers]).changes():
            print(time.strftime("%H:%M:%S"), end=" ", flush=True)
            _check_once(arguments)
            sys.stdout.flush()
    except KeyboardInterrupt:
        print("\nStopped.")
    return DONE


def _check_once(arguments) -> int:
    from generator.records.knowledge import COLLECTIONS

    began = time.perf_counter()
    try:
        knowledge = lead.known(ROOT, arguments.layers)
    except Refused as refused:  # watching goes on
        return _print_complaints(refused.complaints)
    counts = ", ".join(
        f"{len(getattr(knowledge, name))} {name}" for name in (*COLLECTIONS.values(), "sources")
    )
    print(f"No faults: {counts}; {time.perf_counter() - began:.2f} s.")
    return DONE


def _build(arguments) -> int:
    from generator.commands.build import Timings, build, cannot_write, write_pages
    from generator.deliver.pages import BuildFailed

    timings = Timings(_say)
    try:
        if arguments.pages:
            configuration, count = write_pages(ROOT, timings, arguments.layers)
            print(f"Wrote {count} pages. Their configuration:\n  {configuration}")
            return DONE
        folder, count = build(ROOT, timings, arguments.layers)
    except BuildFailed as failed:
        print(f"generator: {failed}\nThe last good site is untouched.", file=sys.stderr)
        return NOT_BUILT
    except OSError as error:
        print(
            f"generator: {cannot_write(error)}. The last good site is untouched.", file=sys.stderr
        )
        return LACKING
    if arguments.timings:
        _print_timings(timings)
    print(f"Built {count} pages. Open:\n  {folder / 'index.html'}")
    return DONE


def _say(step: str) -> None:
    print(f"  {step} ...", flush=True)


def _publish(arguments) -> int:
    from generator.commands.build import Timings, build
    from generator.deliver.bundle import bundle, in_words
    from generator.deliver.pages import BuildFailed
    from generator.deliver.swap import alone

    try:
        site, _ = build(ROOT, Timings(_say), arguments.layers)
        with alone(ROOT):  # no other build may exchange the site that is being copied
            folder, items = bundle(site, ROOT / "site_src" / "offline", arguments.to, _say)
    except (BuildFailed, OSError) as failed:
        print(f"generator: {failed}", file=sys.stderr)
        return NOT_BUILT if isinstance(failed, BuildFailed) else LACKING
    print(f"Published in {folder}:", *in_words(items), sep="\n")
    return DONE


def _print_timings(timings) -> None:
    from generator.checks.rules import check

    for name, seconds in timings.steps.items():
        print(f"  {seconds:7.2f} s  {name}")
    print(
        f"  {timings.own:7.2f} s  generator in all: {timings.own / timings.mkdocs:.0%} of MkDocs'"
        " share"
    )
    times = []
    for _ in range(5):
        began = time.perf_counter()
        check(ROOT)
        times.append(time.perf_counter() - began)
    print(f"  {statistics.median(times):7.2f} s  check alone (median of 5)")


def _serve(arguments) -> int:
    from generator.commands.serve import serve

    return serve(ROOT, arguments.port, arguments.layers, arguments.tablet)


def _work(arguments) -> int:
    from generator.commands.calculate import LOOKUPS, job_words, work, work_words

    knowledge = lead.known(ROOT)
    if arguments.id in LOOKUPS:
        print(LOOKUPS[arguments.id](knowledge, arguments.values))
        return DONE
    if arguments.id in knowledge.jobs:
        print(job_words(knowledge, arguments.id, arguments.values))
        return DONE
    result = work(knowledge, arguments.id, arguments.values)
    print(json.dumps(result.as_json()) if arguments.json else work_words(knowledge, result))
    return DONE


def _test(words: list[str]) -> int:
    from generator.commands.testing import run_tests

    return run_tests(ROOT, words)
