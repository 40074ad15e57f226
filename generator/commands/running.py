"""The verbs that read, build and give away the knowledge base as it is.

Each function takes the words of its command and the project folder, and returns an exit code.
"""

from __future__ import annotations

import json
import statistics
import sys
import time
from pathlib import Path

from generator.commands.exit_codes import DONE, FAULTS, LACKING, NOT_BUILT
from generator.commands.lead import known
from generator.records.complaints import Complaint, Refused

SHOWN = 200  # faults; who has more of them mends these first


def print_complaints(complaints: list[Complaint]) -> int:
    """Print the first faults, and how many there are; return the exit code."""
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


def check(arguments) -> int:
    """Run the verb of that name."""
    if not arguments.watch:
        return _check_once(arguments)
    from generator.commands.watch import Watch

    print("Checking at every save (Ctrl+C stops).", flush=True)
    try:
        for _ in Watch([arguments.root / "knowledge", *arguments.layers]).changes():
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
        knowledge = known(arguments.root, arguments.layers)
    except Refused as refused:  # watching goes on
        return print_complaints(refused.complaints)
    counts = ", ".join(
        f"{len(getattr(knowledge, name))} {name}" for name in (*COLLECTIONS.values(), "sources")
    )
    print(f"No faults: {counts}; {time.perf_counter() - began:.2f} s.")
    return DONE


def build(arguments) -> int:
    """Run the verb of that name."""
    from generator.commands.build import Timings, build, cannot_write, write_pages
    from generator.deliver.pages import BuildFailed

    timings = Timings(_say)
    try:
        if arguments.pages:
            configuration, count = write_pages(arguments.root, timings, arguments.layers)
            print(f"Wrote {count} pages. Their configuration:\n  {configuration}")
            return DONE
        folder, count = build(arguments.root, timings, arguments.layers)
    except BuildFailed as failed:
        print(f"generator: {failed}\nThe last good site is untouched.", file=sys.stderr)
        return NOT_BUILT
    except OSError as error:
        print(
            f"generator: {cannot_write(error)}. The last good site is untouched.", file=sys.stderr
        )
        return LACKING
    if arguments.timings:
        _print_timings(timings, arguments.root)
    print(f"Built {count} pages. Open:\n  {folder / 'index.html'}")
    return DONE


def _say(step: str) -> None:
    print(f"  {step} ...", flush=True)


def publish(arguments) -> int:
    """Run the verb of that name."""
    from generator.commands.build import Timings, build
    from generator.deliver.bundle import bundle, in_words
    from generator.deliver.pages import BuildFailed
    from generator.deliver.swap import alone

    try:
        site, _ = build(arguments.root, Timings(_say), arguments.layers)
        with alone(arguments.root):  # no other build may exchange the site that is being copied
            folder, items = bundle(
                site, arguments.root / "site_src" / "offline", arguments.to, _say
            )
    except (BuildFailed, OSError) as failed:
        print(f"generator: {failed}", file=sys.stderr)
        return NOT_BUILT if isinstance(failed, BuildFailed) else LACKING
    print(f"Published in {folder}:", *in_words(items), sep="\n")
    return DONE


def _print_timings(timings, root: Path) -> None:
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
        check(root)
        times.append(time.perf_counter() - began)
    print(f"  {statistics.median(times):7.2f} s  check alone (median of 5)")


def serve(arguments) -> int:
    """Run the verb of that name."""
    from generator.commands.serve import serve

    return serve(arguments.root, arguments.port, arguments.layers, arguments.tablet)


def work(arguments) -> int:
    """Run the verb of that name."""
    from generator.commands.calculate import LOOKUPS, job_words, work, work_words

    knowledge = known(arguments.root)
    if arguments.id in LOOKUPS:
        print(LOOKUPS[arguments.id](knowledge, arguments.values))
        return DONE
    if arguments.id in knowledge.jobs:
        print(job_words(knowledge, arguments.id, arguments.values))
        return DONE
    result = work(knowledge, arguments.id, arguments.values)
    print(json.dumps(result.as_json()) if arguments.json else work_words(knowledge, result))
    return DONE


def run_tests(root: Path, words: list[str]) -> int:
    """Hand the words to pytest."""
    from generator.commands.testing import run_tests

    return run_tests(root, words)


def test(arguments) -> int:
    """Run the verb of that name."""
    return run_tests(arguments.root, arguments.words)
