"""Serves site/ on this machine and builds it again whenever a source file is saved.

Only this machine can ask for pages, unless ``tablet`` is given: then the server listens on one
address of the local network too.
"""

from __future__ import annotations

import gc
import io
import socket
import sys
import threading
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from generator.commands.answering import Server
from generator.commands.build import (
    Kept,
    Overtaken,
    Timings,
    Waiting,
    build_again,
    cannot_write,
)
from generator.commands.desk import Desk
from generator.commands.watch import Watch
from generator.deliver.pages import BuildFailed
from generator.records.complaints import NotDone, Refused
from generator.site.page import Site
from generator.upkeep.comparing import kept as kept_said
from generator.upkeep.effects import effects, lines
from generator.upkeep.said import said

WATCHED = ("knowledge", "site_src", "mkdocs.yml")


def serve(root: Path, port: int, layers: Sequence[Path] = (), tablet: str | None = None) -> int:
    """Serve until Ctrl+C.

    Returns 3 when the port is taken or there is no network for the tablet.     ``tablet``: this
    machine's address in the local network; empty to find it; None to serve this machine alone.
    """
    host = own_address() if tablet == "" else tablet
    if tablet is not None and not host:
        print(
            "generator: no local network was found; connect this machine, or name its address:"
            " --tablet 192.168.1.20",
            file=sys.stderr,
        )
        return 3
    desk = Desk(root)
    if _start(root, port, host, desk) is None:  # said before anything is built
        return 3
    try:
        kept, watch = Kept(), Watch([*(root / name for name in WATCHED), *layers])
        for _ in watch.changes():
            rebuild(root, layers, kept, desk, watch.changed_again)
    except KeyboardInterrupt:
        print("\nStopped.")
    return 0


def own_address() -> str:
    """The address that others in the local network reach this machine by; empty when there is
    none.

    Sends nothing.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(("10.255.255.255", 9))  # only asks the system which way it would send
            found = asked.getsockname()[0]
        except OSError:
            return ""
    return "" if found.startswith(("127.", "0.")) else found


def _start(
    root: Path, port: int, host: str | None, desk: Desk | None = None
) -> list[Server] | None:
    """Servers of site/ on this machine and, with a host, on the local network, running beside;
    None when a port is taken.

    Only the pages on this machine learn from the desk."""
    servers = []
    for address in ("127.0.0.1", *([host] if host else [])):
        try:
            own = desk if address == "127.0.0.1" else None
            servers.append(Server((address, port), root / "site", own))
        except OSError as error:
            cure = (
                f"try --port {port + 1}"
                if address == "127.0.0.1"
                else "name an address of this machine after --tablet"
            )
            print(
                f"generator: port {port} cannot be used on {address} ({error.strerror}); {cure}",
                file=sys.stderr,
            )
            for server in servers:
                server.server_close()
            return None
    for server in servers:
        threading.Thread(target=server.serve_forever, daemon=True).start()
    print(
        f"Serving http://127.0.0.1:{port}/  (Ctrl+C stops; saving a file builds again)", flush=True
    )
    if host:
        address = f"http://{host}:{port}/"
        print(f"On a tablet in the same network: {address}", flush=True)
        if sys.stdout.isatty():
            print(qr_lines(address), flush=True)
    return servers


def qr_lines(address: str) -> str:
    """An address as a square to photograph, two rows of it in one line; white on black whatever
    the terminal's colours are."""
    import segno  # only here: nothing else of the server needs it

    drawn = io.StringIO()
    segno.make(address, micro=False).terminal(out=drawn, border=4, compact=True)
    return "\n".join(f"\x1b[97;40m{line}\x1b[0m" for line in drawn.getvalue().splitlines())


class Readers(Waiting):
    """Those who look at pages on this machine while a build runs."""

    def __init__(self, root: Path, layers: Sequence[Path], desk: Desk, saved: Callable[[], bool]):
        self._root, self._layer, self._desk = root, layers[-1] if layers else None, desk
        self.overtaken, self.asked = saved, desk.asked
        self.show = desk.shows

    def know(self, site: Site) -> None:
        """Tell what differs from the last edition, or from the first build where no edition kept
        what it said."""
        now = said(site, {})
        if self._desk.before is None:
            try:
                self._desk.before = kept_said(self._root, self._layer)
            except NotDone:
                self._desk.before = now
        self._desk.follows(lines(effects(site, self._desk.before, now), 100))


def rebuild(
    root: Path,
    layers: Sequence[Path] = (),
    kept: Kept | None = None,
    desk: Desk | None = None,
    saved: Callable[[], bool] = lambda: False,
) -> None:
    """Build once and say in one line how it went; faults are printed, and shown on open pages, and
    the old site stays. Ends early where something was ``saved`` again.

    The pages that somebody looks at come first, then what follows from the edit, then all other
    pages, then the published data.
    """
    desk, began = desk or Desk(root), time.perf_counter()
    desk.begins()
    try:
        readers = Readers(root, layers, desk, saved)
        count, export = build_again(root, Timings(), layers, kept or Kept(), readers)
        desk.is_built()
        took = time.perf_counter() - began
        print(f"{time.strftime('%H:%M:%S')} built {count} pages in {took:.1f} s", flush=True)
        export()
        gc.collect()
    except Overtaken:
        pass
    except Refused as refused:
        desk.fails(refused.complaints)
        for complaint in refused.complaints:
            print(complaint, flush=True)
    except (BuildFailed, OSError) as failed:
        words = cannot_write(failed) if isinstance(failed, OSError) else str(failed)
        desk.withdraws()
        desk.fails(words.splitlines())
        print(words, flush=True)
