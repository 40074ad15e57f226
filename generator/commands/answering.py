"""HTTP request handler for the built site, and for nothing else.

It answers to its own host names only (so a foreign page whose name resolves to this machine gets
nothing), lists no folders, follows no links out of the site, and limits the number of clients and
how long each may take. With a desk, pages get a script that reports builds and faults; the server
for a tablet has none.
"""

from __future__ import annotations

import contextlib
import io
import socket
import sys
import threading
import time
from functools import partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import unquote, urlsplit

from generator.commands.desk import WAITING, Desk

MOST = 48  # connections at a time; a browser opens six
ASKING = 10  # seconds in which a client must have sent its request
SENDING = 20  # seconds for each piece of an answer (64 KB)


class Handler(SimpleHTTPRequestHandler):
    """One request for one file."""

    timeout = SENDING

    def log_message(self, *_):
        """Say nothing for each request."""

    def end_headers(self):
        """Let the browser ask again after each build, and believe the type it is given."""
        self.send_header("Cache-Control", "no-cache")
        self.send_header("X-Content-Type-Options", "nosniff")
        super().end_headers()

    def parse_request(self):
        """Read the request; from here on the client is no longer one that keeps us waiting."""
        whole = super().parse_request()
        self.server.has_asked(self.connection)
        return whole

    def send_head(self):
        """Refuse foreign names and what is not a file of the site."""
        if self.headers.get("Host", "").strip().casefold() not in self.server.names:
            self.send_error(HTTPStatus.MISDIRECTED_REQUEST, "not the name of this server")
            return None
        desk, asked = self.server.desk, urlsplit(self.path)
        script = desk.answer(asked.path, self._looked_at(asked.query)) if desk else None
        if script is not None:
            kind = "html" if asked.path.endswith(".html") else "javascript"
            return self._send(script, f"text/{kind}; charset=utf-8")
        name = self._name(asked.path)
        if name is None:
            self.send_error(HTTPStatus.NOT_FOUND)
            return None
        try:
            page = self._page(desk, name) if desk else None
            if page is not None:
                return self._send(desk.with_script(name, page), "text/html; charset=utf-8")
            return super().send_head()
        except (OSError, ValueError):
            self.send_error(HTTPStatus.NOT_FOUND)
            return None

    def _name(self, address: str) -> str | None:
        """The file of the site that an address means; None where it leads out of the site."""
        try:
            folder = Path(self.directory).resolve()
            path = Path(self.translate_path(address)).resolve()
            if path == folder or (path.is_dir() and address.endswith("/")):
                path = path / "index.html"
            return path.relative_to(folder).as_posix()
        except (OSError, ValueError):  # %00, a name too long, a link that leads in a circle or out
            return None

    def _looked_at(self, query: str) -> str:
        """The page that asks for the state; empty where it says none."""
        address = unquote(query.partition("&")[0])
        return (self._name(address) or "") if address.startswith("/") else ""

    def _page(self, desk: Desk, name: str) -> bytes | None:
        """A page of the site; what is said before the first one stands; None for other files."""
        waits = name == "index.html" and not Path(self.directory).is_dir()
        return WAITING if waits else desk.page(name)

    def _send(self, octets: bytes, kind: str):
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(octets)))
        self.end_headers()
        return io.BytesIO(octets)

    def list_directory(self, path):
        """A folder without a page of its own is not there."""
        self.send_error(HTTPStatus.NOT_FOUND)


class Server(ThreadingHTTPServer):
    """Listens on one address and bounds its clients."""

    daemon_threads = True

    def __init__(self, address: tuple[str, int], folder: Path, desk: Desk | None = None):
        self.desk = desk
        self._held: dict[socket.socket, float] = {}  # every open connection, since when
        self._waiting: dict[socket.socket, float] = {}  # those that sent no whole request yet
        self._lock = threading.Lock()
        super().__init__(address, partial(Handler, directory=str(folder)))
        host, port = self.server_address[:2]
        hosts = {host, "localhost", "127.0.0.1"} if host.startswith("127.") else {host}
        self.names = {f"{h}:{port}" for h in hosts} | (hosts if port == 80 else set())

    def process_request(self, request, client_address):
        """Take a client; with too many, hang up on the one that has kept us waiting longest."""
        with self._lock:
            if len(self._held) >= MOST and self._waiting:
                self._hang_up(next(iter(self._waiting)))
            full = len(self._held) >= MOST
            if not full:
                self._held[request] = self._waiting[request] = time.monotonic()
        if full:
            self.shutdown_request(request)
        else:
            super().process_request(request, client_address)

    def service_actions(self):
        """Twice a second: hang up on clients that never finish their request."""
        with self._lock:
            late = [s for s, since in self._waiting.items() if time.monotonic() - since > ASKING]
            for request in late:
                self._hang_up(request)

    def has_asked(self, request):
        """The client has sent its request."""
        with self._lock:
            self._waiting.pop(request, None)

    def shutdown_request(self, request):
        """Forget a client that is served."""
        with self._lock:
            self._waiting.pop(request, None)
            self._held.pop(request, None)
        super().shutdown_request(request)

    def _hang_up(self, request):
        self._waiting.pop(request, None)
        self._held.pop(request, None)
        with contextlib.suppress(OSError):
            request.shutdown(socket.SHUT_RDWR)  # its thread reads the end and closes

    def handle_error(self, request, client_address):
        """Say nothing when a browser breaks off, as it does when a page is left."""
        if not isinstance(sys.exc_info()[1], ConnectionError | TimeoutError):
            super().handle_error(request, client_address)
