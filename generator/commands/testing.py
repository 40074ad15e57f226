"""Runs pytest with the given words and returns its exit code.

Finds or fetches browsers first, because a skipped test proves nothing.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome", "microsoft-edge")
FIREFOX_NAMES = ("firefox-esr", "firefox")  # Debian: firefox-esr
# One process a core, a test file to each in turn, so that what a file shares is made once. Not
# where builds cannot wait for each
# other.
BESIDE_EACH_OTHER = (
    ()
    if os.name == "nt"
    else ("-n", "auto", "--maxprocesses", "4", "--dist", "loadfile", "--no-loadscope-reorder")
)
QUICK = "not browser and not slow"  # needs no process of its own for each core: copies do
COPIES = ("-p", "no:xdist", "-p", "tests.forked")
WEBKIT_DRIVER = "WebKitWebDriver"  # Debian: webkit2gtk-driver; the engine family of the tablet


def find_chromium() -> str | None:
    """The path of a Chromium-family browser, or None."""
    for name in CHROMIUM_NAMES:
        path = shutil.which(name)
        if path:
            return path
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        own = play.chromium.executable_path
    return own if Path(own).exists() else None


def find_webkit() -> str | None:
    """The path of WebKitGTK's driver where a screen or Xvfb is there too, or None."""
    return (
        shutil.which(WEBKIT_DRIVER) if shutil.which("Xvfb") or os.environ.get("DISPLAY") else None
    )


def find_firefox() -> str | None:
    """The path of a Firefox, or None."""
    return next((path for name in FIREFOX_NAMES if (path := shutil.which(name))), None)


def _debian(*packages: str) -> bool:
    """Install Debian packages when this is Debian and we are root; says first what it does."""
    if not (shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0):
        return False
    print(f"Installing {', '.join(packages)} for the browser tests ...", flush=True)
    quiet = {
        "stdout": subprocess.DEVNULL,
        "stderr": subprocess.DEVNULL,
        "env": {**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
    }
    subprocess.run(["apt-get", "update", "-qq"], **quiet)
    return subprocess.run(["apt-get", "install", "-y", "-qq", *packages], **quiet).returncode == 0


def get_chromium() -> str | None:
    """Find Chromium, else install it: Debian's package as root, otherwise the browser that the
    test library installs."""
    found = find_chromium()
    if not found and not _debian("chromium"):
        print("No Chromium found; asking the test library for one ...", flush=True)
        subprocess.run(
            [sys.executable, "-m", "playwright", "install", "chromium"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
    return found or find_chromium()


def get_webkit() -> str | None:
    """Find WebKitGTK; with CI=true install it where that is possible."""
    found = find_webkit()
    if not found and os.environ.get("CI") == "true":
        _debian("webkit2gtk-driver", "xvfb")
    return found or find_webkit()


def _is_quick(words: list[str]) -> bool:
    """True for the quick run, unless a number of processes is asked for."""
    return QUICK in words and not any(word.startswith("-n") for word in words)


def run_tests(root: Path, words: list[str]) -> int:
    """Run pytest with the engines that are there; names those that are not.

    0 passed, 4 failed.
    """
    chromium, webkit, firefox = get_chromium(), get_webkit(), find_firefox()
    if chromium is None:
        print(
            "No Chromium: its tests cannot run. Install it (Debian: apt-get install chromium) and"
            " start again.",
            file=sys.stderr,
        )
    if webkit is None:
        print(
            "No WebKitGTK: its tests are left out. Install it (Debian: apt-get install"
            " webkit2gtk-driver xvfb) to run them.",
            file=sys.stderr,
        )
    if firefox is None:
        print(
            "No Firefox: its tests are left out. Install it (Debian: apt-get install firefox-esr)"
            " to run them.",
            file=sys.stderr,
        )
    environment = {
        **os.environ,
        "BENCH_CHROMIUM": chromium or "",
        "BENCH_WEBKIT": webkit or "",
        "BENCH_FIREFOX": firefox or "",
        "PYTHONUTF8": "1",
    }
    shared = COPIES if _is_quick(words) else BESIDE_EACH_OTHER
    command = [sys.executable, "-m", "pytest", *shared, *words]
    return 4 if subprocess.run(command, cwd=root, env=environment).returncode else 0
