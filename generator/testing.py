"""Receives words for pytest; hands on its verdict. Finds or fetches a browser first, because a skipped test proves nothing."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome", "microsoft-edge")


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


def get_chromium() -> str | None:
    """Find Chromium, else install it: Debian's package as root, otherwise the browser that the test library installs."""
    found = find_chromium()
    if found:
        return found
    print("No Chromium found; installing one for the browser tests ...", flush=True)
    if shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "env": {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}}
        subprocess.run(["apt-get", "update", "-qq"], **quiet)
        subprocess.run(["apt-get", "install", "-y", "-qq", "chromium"], **quiet)
    else:
        subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return find_chromium()


def run_tests(root: Path, words: list[str]) -> int:
    """Build the site that the browser tests look at, then run pytest. 0 passed, 4 failed."""
    browser = get_chromium()
    if browser is None:
        print("No Chromium: browser tests cannot run. Install it (Debian: apt-get install chromium) and start again.", file=sys.stderr)
    environment = {**os.environ, "BENCH_CHROMIUM": browser or "", "PYTHONUTF8": "1"}
    command = [sys.executable, "-m", "pytest", *words]
    return 4 if subprocess.run(command, cwd=root, env=environment).returncode else 0
