"""A plugin: two or more copies of one process run the tests, a file to whichever is free.

They are forked when everything is imported, collected and judged, so that none of this is done
twice; the first process only tells what they report. It is for tests that drive no browser, and
stands back where a process cannot be forked safely.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
import tempfile
import threading
from collections.abc import Iterator
from itertools import groupby
from multiprocessing import Pipe
from multiprocessing.connection import Connection, wait

import pytest

from generator.deliver.sharing import taken

MOST = 4  # copies: more would wait for memory
IN_MEMORY = "/dev/shm"  # where Linux has it, tens of thousands of small files cost no disk there
ROOM = 2**29  # bytes that must be free in it; a run holds a tenth of that at a time


@pytest.hookimpl(tryfirst=True)
def pytest_runtestloop(session):
    """Let copies run the tests; without need of them, pytest's own loop does."""
    files = by_file(session.items)
    copies = min(os.cpu_count() or 1, MOST, len(files))
    alone = session.config.option.collectonly or session.config.option.usepdb or copies < 2
    if alone or session.testsfailed or sys.platform != "linux" or threading.active_count() > 1:
        return None
    if can_hold(IN_MEMORY):
        tempfile.tempdir = IN_MEMORY
    session.config._tmp_path_factory.getbasetemp()  # of this process: it clears up at the end
    session.config.hook.pytest_before_copies()
    handed, told = taken(files), {}
    gc.freeze()  # else each copy would double every page of memory when it looks for garbage
    try:
        for number in range(copies):
            reader, writer = Pipe(duplex=False)
            if not (child := os.fork()):
                _run(session, handed, writer, number)
            writer.close()
            told[reader] = child
        _tell_all(session, told)
    finally:
        for child in told.values():  # those that are done are gone
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
    return True


class Hooks:
    """What a conftest may add."""

    def pytest_before_copies(self):
        """Make what all copies use."""


def pytest_addhooks(pluginmanager):
    """Name the hook of this plugin."""
    pluginmanager.add_hookspecs(Hooks)


def can_hold(folder: str) -> bool:
    """Whether the folders of the tests can lie there: it is there, may be written and started
    from, and has room."""
    if not os.access(folder, os.W_OK | os.X_OK):
        return False
    found = os.statvfs(folder)
    return found.f_bavail * found.f_frsize >= ROOM and not found.f_flag & os.ST_NOEXEC


def by_file(items: list) -> list[list]:
    """The tests of each file, long files first, so that no copy is left with one at the end.

    A test with many inputs is short to read, so each test counts as much as four lines.
    """
    files = [list(tests) for _, tests in groupby(items, lambda item: item.path)]
    return sorted(files, key=lambda tests: -tests[0].path.stat().st_size - 200 * len(tests))


def _tell_all(session, told: dict[Connection, int]) -> None:
    """Tell the reports as they come; what no copy reported on, since it died, has failed."""
    left = {item.nodeid: item for item in session.items}
    open_ones = set(told)
    while open_ones and not (session.shouldfail or session.shouldstop):
        for reader in wait(list(open_ones)):
            try:
                reports = reader.recv()
            except EOFError:
                open_ones.discard(reader)
                continue
            for report in reports:
                left.pop(report["nodeid"], None)
                _tell(session.config, report)
    if session.shouldfail:
        raise session.Failed(session.shouldfail)
    if session.shouldstop:
        raise session.Interrupted(session.shouldstop)
    for item in left.values():
        _tell(session.config, _not_run(session.config, item))


def _tell(config, written: dict) -> None:
    hook = config.hook
    report = hook.pytest_report_from_serializable(config=config, data=written)
    if report.when == "setup":
        hook.pytest_runtest_logstart(nodeid=report.nodeid, location=report.location)
    hook.pytest_runtest_logreport(report=report)
    if report.when == "teardown":
        hook.pytest_runtest_logfinish(nodeid=report.nodeid, location=report.location)


def _not_run(config, item) -> dict:
    said = "the process that had this file ended before its report"
    report = pytest.TestReport(item.nodeid, item.location, {}, "failed", said, "call")
    return config.hook.pytest_report_to_serializable(config=config, report=report)


class Reports:
    """In a copy: the reports of a file, sent when it is done."""

    def __init__(self, config, writer: Connection):
        self.config, self.writer, self.written = config, writer, []

    def pytest_runtest_logreport(self, report):
        """Write one down."""
        hook = self.config.hook
        self.written.append(hook.pytest_report_to_serializable(config=self.config, report=report))

    def send(self) -> None:
        """Send what is written down."""
        self.writer.send(self.written)
        self.written = []


def _run(session, handed: Iterator[list], writer: Connection, number: int) -> None:
    """In a copy: run files until none is left, with output and folders of its own."""
    try:
        config = session.config
        config.pluginmanager.unregister(name="terminalreporter")
        capture = config.pluginmanager.getplugin("capturemanager")
        capture.stop_global_capturing()
        capture.start_global_capturing()
        folders = config._tmp_path_factory
        folders._basetemp = folders.mktemp(f"copy{number}-", numbered=False)
        reports = Reports(config, writer)
        config.pluginmanager.register(reports)
        for item, following in _with_following(handed):
            config.hook.pytest_runtest_protocol(item=item, nextitem=following)
            if session.shouldfail or session.shouldstop:
                break
            if following is None or following.path != item.path:
                reports.send()
        reports.send()
    except KeyboardInterrupt:
        pass  # the first process was stopped, and says so
    except BaseException:  # the copy must not go on with the first one's business
        sys.excepthook(*sys.exc_info())
    finally:
        os._exit(0)


def _with_following(handed: Iterator[list]) -> Iterator[tuple]:
    """Each test with that after it, for which pytest keeps what both use."""
    last = None
    for tests in handed:
        for item in tests:
            if last is not None:
                yield last, item
            last = item
    if last is not None:
        yield last, None
