"""Receives the project folder; serves site/ on this machine and builds it again whenever a source file is saved."""

from __future__ import annotations

import gc
import sys
import threading
import time
from collections.abc import Sequence
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from generator.building import Timings, build
from generator.complaints import Refused
from generator.publishing import BuildFailed
from generator.watching import changes

WATCHED = ("knowledge", "site_src", "mkdocs.yml")


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_):
        """Say nothing for each request."""

    def end_headers(self):
        """Let the browser ask again after each build."""
        self.send_header("Cache-Control", "no-cache")
        super().end_headers()


def serve(root: Path, port: int, layers: Sequence[Path] = ()) -> int:
    """Serve until Ctrl+C. Returns 3 when the port is taken."""
    server = None
    try:
        for _ in changes([*(root / name for name in WATCHED), *layers]):
            rebuild(root, layers)
            server = server or _start(root, port)
            if server is None:
                return 3
    except KeyboardInterrupt:
        print("\nStopped.")
    return 0


def _start(root: Path, port: int) -> ThreadingHTTPServer | None:
    """A server of site/ on this machine, running beside; None when the port is taken."""
    try:
        server = ThreadingHTTPServer(("127.0.0.1", port), partial(_Quiet, directory=str(root / "site")))
    except OSError as error:
        print(f"generator: port {port} cannot be used ({error.strerror}); try --port {port + 1}", file=sys.stderr)
        return None
    threading.Thread(target=server.serve_forever, daemon=True).start()
    print(f"Serving http://127.0.0.1:{port}/  (Ctrl+C stops; saving a file builds again)", flush=True)
    return server


def rebuild(root: Path, layers: Sequence[Path] = ()) -> None:
    """Build once and say in one line how it went; faults are printed and the old site stays."""
    gc.collect()
    timings = Timings()
    began = time.perf_counter()
    try:
        _, count = build(root, timings, layers)
        print(f"{time.strftime('%H:%M:%S')} built {count} pages in {time.perf_counter() - began:.1f} s", flush=True)
    except Refused as refused:
        for complaint in refused.complaints:
            print(complaint, flush=True)
    except BuildFailed as failed:
        print(failed, flush=True)
