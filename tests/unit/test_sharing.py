"""Two pieces of work at the same time: both results come back, and a fault in the copy is not
passed over."""

import os
import subprocess
import sys

import pytest

from generator.deliver.sharing import both
from tests.conftest import ROOT

pytestmark = pytest.mark.skipif(
    sys.platform != "linux", reason="elsewhere the work is done one after the other"
)


def outcome(program: str) -> subprocess.CompletedProcess:
    """In a process without other threads, which the runner of the tests may have."""
    return subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True)


def test_both_results_come_back_and_the_second_from_a_copy():
    done = outcome(
        "import os; from generator.deliver.sharing import both\na, b = both(os.getpid, lambda:"
        " ('two', os.getppid())); print(a == os.getpid(), b[0], b[1] == a)"
    )
    assert (done.stdout, done.stderr) == ("True two True\n", "")


def test_a_fault_in_the_copy_is_a_fault():
    done = outcome(
        "from generator.deliver.sharing import both, ShareFailed\n"
        "try: both(int, lambda: int('x'))\nexcept ShareFailed: print('told')"
    )
    assert done.stdout == "told\n"
    assert "invalid literal for int()" in done.stderr


def test_a_full_disk_in_the_copy_is_the_same_fault_as_here():
    done = outcome(
        "import errno; from generator.deliver.sharing import both\n"
        "def full(): raise OSError(errno.ENOSPC, 'No space left on device', 'x.csv')\n"
        "try: both(int, full)\nexcept OSError as e: print(e.errno == errno.ENOSPC, e.filename)"
    )
    assert (done.stdout, done.stderr) == ("True x.csv\n", "")


def test_beside_another_thread_one_comes_after_the_other():
    done = outcome(
        "import threading, os; from generator.deliver.sharing import both\n"
        "threading.Thread(target=threading.Event().wait, daemon=True).start()\n"
        "print(both(os.getpid, os.getpid) == (os.getpid(), os.getpid()))"
    )
    assert done.stdout == "True\n"


def test_what_both_draw_on_is_handed_out_once():
    """The first waits until the second has taken some, and both together have all."""
    done = outcome(
        "import os, time; from generator.deliver.sharing import both, taken\n"
        "items = taken(list('abcdefgh')); reader, writer = os.pipe()\n"
        "def second(): got = [next(items), next(items)]; os.write(writer, b'!'); return got\n"
        "def first(): os.read(reader, 1); return list(items)\n"
        "mine, theirs = both(first, second); print(''.join(theirs), ''.join(mine))"
    )
    assert (done.stdout, done.stderr) == ("ab cdefgh\n", "")


def test_here_too_both_answer():
    assert both(int, os.getcwd) == (0, os.getcwd())
