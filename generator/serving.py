"""Receives the project folder; serves site/ on this machine and builds it again whenever a source file is saved."""

from __future__ import annotations

import gc
import sys
import threading
import time
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from generator.building import Timings, build
from generator.complaints import Refused
from generator.publishing import BuildFailed

WATCHED = ("knowledge", "site_src", "mkdocs.yml")
PAUSE = 0.3  # seconds between two looks at the files


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_):
        """Say nothing for each request."""

    def end_headers(self):
        """Let the browser ask again after each build."""
        self.send_header("Cache-Control", "no-cache")
        super().end_headers()


def serve(root: Path, port: int) -> int:
    """Serve until Ctrl+C. Returns 3 when the port is taken."""
    seen = snapshot(root)
    rebuild(root)
    try:
        server = ThreadingHTTPServer(("127.0.0.1", port), partial(_Quiet, directory=str(root / "site")))
    except OSError as error:
        print(f"generator: port {port} cannot be used ({error.strerror}); try --port {port + 1}", file=sys.stderr)
        return 3
    threading.Thread(target=server.serve_forever, daemon=True).start()
    print(f"Serving http://127.0.0.1:{port}/  (Ctrl+C stops; saving a file builds again)", flush=True)
    try:
        while True:
            time.sleep(PAUSE)
            now = snapshot(root)
            if now != seen:
                seen = now
                rebuild(root)
    except KeyboardInterrupt:
        print("\nStopped.")
        return 0


def snapshot(root: Path) -> dict[str, int]:
    """Time stamps of everything that a build depends on."""
    found = {}
    for name in WATCHED:
        top = root / name
        for path in [top] if top.is_file() else top.rglob("*"):
            if path.is_file() and ".schema" not in path.parts:
                found[str(path)] = path.stat().st_mtime_ns
    return found


def rebuild(root: Path) -> None:
    """Build once and say in one line how it went; faults are printed and the old site stays."""
    gc.collect()
    timings = Timings()
    began = time.perf_counter()
    try:
        _, count = build(root, timings)
        print(f"{time.strftime('%H:%M:%S')} built {count} pages in {time.perf_counter() - began:.1f} s", flush=True)
    except Refused as refused:
        for complaint in refused.complaints:
            print(complaint, flush=True)
    except BuildFailed as failed:
        print(failed, flush=True)
