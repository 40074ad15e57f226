"""Runs two pieces of work in parallel where the process can be forked safely, otherwise one after
the other; hands out shared items, each once.
"""

from __future__ import annotations

import gc
import os
import pickle
import signal
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator, Sequence


class ShareFailed(Exception):
    """The child process ended without a result; its traceback stands above."""


def both(first: Callable[[], object], second: Callable[[], object]) -> tuple:
    """The results of both.

    The second may run in a forked child: it must leave nothing behind but files and its result.
    """
    if sys.platform != "linux" or threading.active_count() > 1 or (os.cpu_count() or 1) < 2:
        return first(), second()
    reader, writer = os.pipe()
    # else the copy would touch, and so double, every page of memory when it looks for garbage
    gc.freeze()
    child = os.fork()
    if not child:
        os.close(reader)
        _report(second, writer)
    os.close(writer)
    try:
        with os.fdopen(reader, "rb") as answer:
            mine = first()
            told = answer.read()
    except BaseException:  # nobody waits for the rest
        os.kill(child, signal.SIGKILL)
        raise
    finally:
        os.waitpid(child, 0)
        gc.unfreeze()
    if not told:
        raise ShareFailed
    theirs = pickle.loads(told)
    if isinstance(theirs, OSError):  # a full disk is told in the same words wherever it is met
        raise theirs
    return mine, theirs


def taken(items: Sequence) -> Iterator:
    """The items, each handed out once: to this process or a forked child, whichever asks first."""
    handed = _handed_out(items)
    next(handed)  # before the process is doubled, so that both read on in one open file
    return handed


def _handed_out(items: Sequence) -> Iterator:
    with tempfile.TemporaryFile(buffering=0) as order:
        order.write(b"".join(number.to_bytes(4) for number in range(len(items))))
        order.seek(0)
        yield None
        while number := order.read(4):
            yield items[int.from_bytes(number)]


def _done(work: Callable[[], object]) -> object:
    try:
        return work()
    except BrokenPipeError:
        raise
    except OSError as error:
        return error


def _report(work: Callable[[], object], writer: int) -> None:
    """Child: run the work, send the result, exit without cleanup."""
    try:
        with os.fdopen(writer, "wb") as answer:
            pickle.dump(_done(work), answer)
    except (KeyboardInterrupt, BrokenPipeError):
        pass  # the first process was stopped, and says so
    except BaseException:  # the copy must not go on with the first one's business
        sys.excepthook(*sys.exc_info())
    finally:
        os._exit(0)
