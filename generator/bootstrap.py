"""Makes sure the program runs inside the project's own .venv with the packages it needs.

Uses the standard library only. The lock file decides what is installed; its hash is kept, so a
second start installs nothing.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
HOME = ROOT / ".venv"
# A build keeps nearly all it makes; looking for garbage as often as Python does costs a fifth of
# the time.
SELDOM = (100_000, 50, 1000)
NEEDED = ("yaml", "pydantic", "jinja2", "mkdocs", "segno")  # what every verb imports
# Settings that would send packages somewhere else than .venv.
ELSEWHERE = {
    "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PIP_USER", "PYTHONHOME", "PYTHONPATH", "PYTHONUSERBASE"
}  # fmt: skip
LOCKS = {"build": ROOT / "requirements.lock", "test": ROOT / "requirements-test.lock"}


def python_of(home: Path = HOME) -> Path:
    """The interpreter inside a virtual environment."""
    return home / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def is_whole() -> bool:
    """True when the environment is its own: its Python runs, keeps its packages inside .venv, and
    can install.

    Asked before anything is installed: the Python of a half-made environment would install into
    the machine's own.
    """
    ask = "import sys, sysconfig, pip; print(sys.prefix); print(sysconfig.get_path('purelib'))"
    try:
        told = subprocess.run(
            [str(python_of(HOME)), "-I", "-c", ask], capture_output=True, text=True, timeout=60
        )
    except (OSError, subprocess.SubprocessError):
        return False
    lines, home = [Path(line).resolve() for line in told.stdout.splitlines()], HOME.resolve()
    return told.returncode == 0 and lines[0] == home and lines[1].is_relative_to(home)


def _fits() -> bool:
    """True when .venv is there and its Python is the one that it was made with."""
    try:
        made = (HOME / "pyvenv.cfg").read_text(encoding="utf-8")
    except (OSError, ValueError):
        return False
    named = dict(line.split(" = ", 1) for line in made.splitlines() if " = " in line)
    if _is_inside():
        version = ".".join(map(str, sys.version_info[:3]))
        return named.get("version", "").strip() == version and all(
            importlib.util.find_spec(name) for name in NEEDED
        )
    return python_of(HOME).exists() and Path(named.get("executable", sys.executable)).exists()


def _is_inside() -> bool:
    return Path(sys.prefix).resolve() == HOME.resolve()


def ensure(purpose: str) -> None:
    """Return inside a process that has the packages for ``purpose`` ("build" or "test"); start
    that process if needed.

    Exits with 3 and one line when Python is too old or the packages cannot be installed.
    """
    # Nobody has checked the version before this module runs.
    if sys.version_info < (3, 11):  # noqa: UP036
        _stop(f"Python {sys.version.split()[0]} is too old; install Python 3.11 or newer")
    # The test lock holds all that the build lock holds, in the same versions.
    if not _installed(purpose) and not (purpose == "build" and _installed("test")):
        _install(purpose)
        _restart()
    if not _is_inside():
        try:
            _restart()
        except OSError:  # its Python is there and cannot run
            _install(purpose)
            _restart()


def _stamp(purpose: str) -> Path:
    return HOME / f"installed-{purpose}"


def _hash(purpose: str) -> str:
    return hashlib.sha256(LOCKS[purpose].read_bytes()).hexdigest()


def _installed(purpose: str) -> bool:
    return _fits() and _stamp(purpose).exists() and _stamp(purpose).read_text() == _hash(purpose)


def _install(purpose: str) -> None:
    if HOME.is_symlink():
        _stop(".venv is a link; delete the link and start again: packages go nowhere else")
    if not (_fits() and is_whole()):
        print(
            "Setting up the project's own Python packages in .venv (once, about a minute) ...",
            file=sys.stderr,
            flush=True,
        )
        # Inside an environment that is made anew, its own Python would be deleted under our feet.
        python = (
            getattr(sys, "_base_executable", sys.executable) if _is_inside() else sys.executable
        )
        made = subprocess.run(
            [python, "-m", "venv", "--clear", str(HOME)], capture_output=True, text=True
        )
        if made.returncode or not is_whole():
            _stop(
                "Python cannot make the environment .venv; delete that folder and start again, and"
                " on Debian or Ubuntu install the package python3-venv"
            )
    else:
        print(f"Installing packages for {purpose} ...", file=sys.stderr, flush=True)
    command = [
        str(python_of()),
        "-m",
        "pip",
        "--require-virtualenv",
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
    environment = {k: v for k, v in os.environ.items() if k not in ELSEWHERE}
    done = subprocess.run(command, capture_output=True, text=True, env=environment)
    if done.returncode:
        print(done.stderr.strip(), file=sys.stderr)
        _stop(
            f"the packages in {LOCKS[purpose].name} could not be installed; check the network and"
            " start again"
        )
    _stamp(purpose).write_text(_hash(purpose))


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
