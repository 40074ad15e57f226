"""Receives the need for installed packages; hands on a process in the project's own .venv that has
them.

Standard library alone. The lock file decides what is installed; its hash is kept beside, so a
second start installs nothing.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
HOME = ROOT / ".venv"
# A build keeps nearly all it makes; looking for garbage as often as Python does costs a fifth of the time.
SELDOM = (100_000, 50, 1000)
LOCKS = {"build": ROOT / "requirements.lock", "test": ROOT / "requirements-test.lock"}


def python_of(home: Path = HOME) -> Path:
    """The interpreter inside a virtual environment."""
    return home / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def ensure(purpose: str) -> None:
    """Return inside a process that has the packages for ``purpose`` ("build" or "test"); start
    that process if needed.

    Exits with 3 and one line when Python is too old or the packages cannot be installed.
    """
    if sys.version_info < (3, 11):  # noqa: UP036 (this module runs before anybody has checked the version)
        _stop(f"Python {sys.version.split()[0]} is too old; install Python 3.11 or newer")
    # The test lock holds all that the build lock holds, in the same versions.
    if not _installed(purpose) and not (purpose == "build" and _installed("test")):
        _install(purpose)
        _stamp(purpose).write_text(_hash(purpose))
    if Path(sys.prefix).resolve() != HOME.resolve():
        _restart()


def _stamp(purpose: str) -> Path:
    return HOME / f"installed-{purpose}"


def _hash(purpose: str) -> str:
    return hashlib.sha256(LOCKS[purpose].read_bytes()).hexdigest()


def _installed(purpose: str) -> bool:
    return (
        python_of().exists()
        and _stamp(purpose).exists()
        and _stamp(purpose).read_text() == _hash(purpose)
    )


def _install(purpose: str) -> None:
    if not python_of().exists():
        print(
            "Setting up the project's own Python packages in .venv (once, about a minute) ...",
            file=sys.stderr,
            flush=True,
        )
        made = subprocess.run(
            [sys.executable, "-m", "venv", "--clear", str(HOME)], capture_output=True, text=True
        )
        if made.returncode:
            _stop(
                "Python cannot make a virtual environment; on Debian or Ubuntu install the package python3-venv"
            )
    else:
        print(f"Installing packages for {purpose} ...", file=sys.stderr, flush=True)
    command = [
        str(python_of()),
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        "--no-input",
        "--require-hashes",
        "--no-deps",
        "--only-binary",
        ":all:",
        "-r",
        str(LOCKS[purpose]),
    ]
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode:
        print(done.stderr.strip(), file=sys.stderr)
        _stop(
            f"the packages in {LOCKS[purpose].name} could not be installed; check the network and start again"
        )


def _restart() -> None:
    """Start the same command again inside .venv and take over its exit code."""
    command = [str(python_of()), "-m", "generator", *sys.argv[1:]]
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"}
    if os.name == "nt":
        sys.exit(subprocess.run(command, env=environment).returncode)
    os.execve(command[0], command, environment)


def _stop(message: str) -> None:
    print(f"generator: {message}", file=sys.stderr)
    sys.exit(3)
