"""The set-up: packages go into the project's .venv and nowhere else, and a broken .venv is made
anew. Each is tried with a real environment and a lock file that needs no package."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import ROOT

# The tests' own Python has a .venv around it; a user starts with the machine's.
PYTHON = getattr(sys, "_base_executable", sys.executable)
TRY = "from generator import bootstrap; bootstrap.NEEDED = (); bootstrap.ensure('build')"
# Nearly all the time of making an environment goes into unpacking pip: it is unpacked once and put
# beside each environment that Python makes afterwards, before the set-up looks at it.
PUT_PIP = """
import pathlib, shutil, subprocess
really = subprocess.run
def run(command, **how):
    if "venv" not in command:
        return really(command, **how)
    made = really([*command[:-1], "--without-pip", command[-1]], **how)
    kept = pathlib.Path(__file__).parents[2] / "pip"
    for packages in pathlib.Path(command[-1]).glob("lib/python*/site-packages"):
        shutil.copytree(kept, packages, dirs_exist_ok=True)
    return made
subprocess.run = run
"""


@pytest.fixture
def project(tmp_path) -> Path:
    """A copy of the set-up alone, with nothing to install."""
    package = tmp_path / "project" / "generator"
    package.mkdir(parents=True)
    (package / "__init__.py").touch()
    shutil.copy(ROOT / "generator" / "bootstrap.py", package)
    (package / "__main__.py").write_text(TRY + "; import sys; print(sys.prefix)\n")
    for name in ("requirements.lock", "requirements-test.lock"):
        (package.parent / name).write_text("# nothing\n")
    return package.parent


def start(project: Path, **settings: str) -> subprocess.CompletedProcess:
    environment = {k: v for k, v in os.environ.items() if not k.startswith("PYTHON")} | settings
    return subprocess.run(
        [PYTHON, "-m", "generator"], cwd=project, capture_output=True, text=True, env=environment
    )


def runs_inside(done: subprocess.CompletedProcess, project: Path) -> bool:
    return done.returncode == 0 and done.stdout.strip() == str(project / ".venv")


def no_settings(home: Path):
    (home / "pyvenv.cfg").unlink()


def no_pip(home: Path):
    """Half made, before anything was installed."""
    for path in home.glob("lib/python*/site-packages/pip*"):
        shutil.rmtree(path)
    (home / "installed-build").unlink()


def other_version(home: Path):
    """The machine's Python was exchanged underneath."""
    cfg = home / "pyvenv.cfg"
    lines = cfg.read_text().splitlines()
    cfg.write_text("\n".join("version = 3.10.1" if x[:8] == "version " else x for x in lines))


def no_python(home: Path):
    (home / "bin" / "python").unlink()


def broken_python(home: Path):
    (home / "bin" / "python").unlink()
    (home / "bin" / "python").write_bytes(b"\x7fELF half")
    (home / "bin" / "python").chmod(0o755)


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="the paths are those of other systems")
def test_a_broken_environment_is_made_anew(project):
    assert runs_inside(start(project), project)
    (packages,) = (project / ".venv").glob("lib/python*/site-packages")
    shutil.copytree(packages, project.parent / "pip")
    program = project / "generator" / "__main__.py"
    program.write_text(PUT_PIP + program.read_text())
    for spoil in (no_settings, no_pip, other_version, no_python, broken_python):
        spoil(project / ".venv")
        done = start(project)
        assert runs_inside(done, project), (spoil.__name__, done.stderr)
        assert "Setting up" in done.stderr
        again = start(project)
        assert runs_inside(again, project)
        assert again.stderr == ""


@pytest.mark.slow
def test_settings_that_send_packages_elsewhere_are_not_followed(project, tmp_path):
    elsewhere = tmp_path / "elsewhere"
    done = start(project, PIP_TARGET=str(elsewhere), PIP_USER="1", PIP_PREFIX=str(elsewhere))
    assert runs_inside(done, project), done.stderr
    assert not elsewhere.exists()


def test_a_link_is_not_filled(project, tmp_path):
    """Clearing an environment that is a link would empty the folder that it leads to."""
    other = tmp_path / "other"
    other.mkdir()
    (other / "kept.txt").write_text("kept")
    (project / ".venv").symlink_to(other)
    done = start(project)
    assert done.returncode == 3
    assert ".venv is a link; delete the link and start again" in done.stderr
    assert [p.name for p in other.iterdir()] == ["kept.txt"]
