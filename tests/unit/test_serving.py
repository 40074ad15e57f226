"""The workshop's own server: the built site, again after each save, and the last good one while something is wrong."""

import socket
import subprocess
import sys
import time
import urllib.request

import pytest

from generator import serving
from tests.conftest import ROOT

SERVE = "import sys; from pathlib import Path; from generator.serving import serve; sys.exit(serve(Path(sys.argv[1]), int(sys.argv[2]), [Path(p) for p in sys.argv[3:]]))"


@pytest.fixture
def port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


def wait_for(address: str, text: str) -> None:
    for _ in range(300):
        try:
            with urllib.request.urlopen(address, timeout=5) as answer:
                if text in answer.read().decode():
                    return
        except OSError:
            pass
        time.sleep(0.1)
    raise AssertionError(f"{address} never said {text}")


def test_a_saved_record_shows_and_a_faulty_one_does_not(buildable, tmp_path, port):
    layer = tmp_path / "layer"
    (layer / "parts").mkdir(parents=True)
    own = layer / "parts" / "test-case.yaml"
    own.write_text("notes: [Our first note.]\n")
    process = subprocess.Popen(
        [sys.executable, "-c", SERVE, str(buildable), str(port), str(layer)], cwd=ROOT, stdout=subprocess.PIPE, text=True
    )
    page = f"http://127.0.0.1:{port}/parts/test-case.html"
    try:
        wait_for(page, "Our first note.")
        record = buildable / "knowledge" / "parts" / "test-case.yaml"
        good = record.read_text()
        record.write_text(good.replace("Holds the rest.", "Holds everything."))
        wait_for(page, "Holds everything.")
        record.write_text("name: [\n")
        time.sleep(1.0)
        wait_for(page, "Holds everything.")
        own.write_text("notes: [Our second note.]\n")
        record.write_text(good)
        wait_for(page, "Our second note.")
    finally:
        process.send_signal(2)
        out, _ = process.communicate(timeout=20)
    assert process.returncode == 0
    assert f"Serving http://127.0.0.1:{port}/" in out
    assert "knowledge/parts/test-case.yaml:2:1: " in out


def test_a_taken_port_is_said_with_another_one(buildable, capsys):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        number = taken.getsockname()[1]
        assert serving.serve(buildable, number) == 3
    assert f"port {number} cannot be used" in capsys.readouterr().err
