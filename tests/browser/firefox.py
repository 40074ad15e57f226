"""Receives the path of a Firefox; hands on a browser that the tests drive as they drive the
others.

It speaks Firefox's own remote protocol (Marionette): messages of JSON, each with its length before
it, over a socket. So no driver beside the browser is needed, which Debian does not have. Nothing
is downloaded, and all but this machine is out of reach.
"""

from __future__ import annotations

import json
import os
import socket
import subprocess
import time
from pathlib import Path

# No first-run pages, no updates, no reports; every other machine lies behind a proxy that is not
# there.
PREFERENCES = {
    "marionette.port": 0,
    "browser.startup.page": 0,
    "browser.shell.checkDefaultBrowser": False,
    "app.update.auto": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "toolkit.telemetry.enabled": False,
    "browser.aboutwelcome.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "network.proxy.type": 1,
    "network.proxy.http": "127.0.0.1",
    "network.proxy.http_port": 9,
    "network.proxy.ssl": "127.0.0.1",
    "network.proxy.ssl_port": 9,
}
PATIENCE = 60  # seconds


class Field:
    """A field of the page that keys are sent to."""

    def __init__(self, browser: Firefox, reference: dict):
        self.browser, self.key = browser, next(iter(reference.values()))

    def send_keys(self, text: str) -> None:
        """Type a text."""
        self.browser.ask("WebDriver:ElementSendKeys", id=self.key, text=text)


class Firefox:
    """A running Firefox with a profile of its own in ``profile``."""

    def __init__(self, path: str, profile: Path):
        lines = (
            f"user_pref({json.dumps(name)}, {json.dumps(value)});\n"
            for name, value in PREFERENCES.items()
        )
        (profile / "user.js").write_text("".join(lines))
        command = [
            path,
            "--headless",
            "--marionette",
            "--no-remote",
            "--profile",
            str(profile),
            "about:blank",
        ]
        self.process = subprocess.Popen(
            command,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "HOME": str(profile)},
        )
        try:
            self.socket = socket.create_connection(
                ("127.0.0.1", self._port(profile / "MarionetteActivePort")), PATIENCE
            )
            self.stream, self.count = self.socket.makefile("rb"), 0
            self._read()  # the greeting
            self.ask("WebDriver:NewSession")
        except BaseException:
            self.process.kill()
            raise

    def _port(self, file: Path) -> int:
        end = time.monotonic() + PATIENCE
        while not (file.exists() and file.read_text().strip()):
            if time.monotonic() > end or self.process.poll() is not None:
                raise RuntimeError("Firefox did not open its remote port")
            time.sleep(0.1)
        return int(file.read_text())

    def _read(self):
        length = b""
        while not length.endswith(b":"):
            length += self.stream.read(1) or _gone()
        return json.loads(self.stream.read(int(length[:-1])))

    def ask(self, command: str, **what):
        """Send a command and return what Firefox answers.

        Raises RuntimeError with Firefox's words.
        """
        self.count += 1
        message = json.dumps([0, self.count, command, what])
        self.socket.sendall(f"{len(message)}:{message}".encode())
        _, _, error, answer = self._read()
        if error:
            raise RuntimeError(f"{command}: {error['message']}")
        return answer

    def get(self, address: str) -> None:
        """Open an address and wait until it is loaded."""
        self.ask("WebDriver:Navigate", url=address)

    def execute_script(self, script: str):
        """Run the body of a function in the page and return its value."""
        return self.ask("WebDriver:ExecuteScript", script=script, args=[])["value"]

    def find_element(self, by: str, value: str) -> Field:
        """The field with this id or name."""
        return Field(
            self,
            self.ask(
                "WebDriver:FindElement", using="css selector", value=f"[{by}={json.dumps(value)}]"
            )["value"],
        )

    def quit(self) -> None:
        """End the browser."""
        self.ask("Marionette:Quit", flags=["eForceQuit"])
        self.stream.close()
        self.socket.close()
        self.process.wait(PATIENCE)


def _gone():
    raise RuntimeError("Firefox ended")
