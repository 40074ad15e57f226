"""The workshop's own server: the built site, again after each save, and the last good one while
something is wrong."""

import errno
import http.client
import os
import socket
import subprocess
import sys
import threading
import time
import urllib.request

import pytest
import segno

from generator import cli
from generator.commands import answering, desk, serve
from generator.deliver.swap import alone
from generator.records.complaints import Complaint, Place
from generator.records.loading import load
from generator.upkeep.said import site_of
from tests.conftest import ROOT

# A shell that started the tests in the background lets them ignore Ctrl+C.
SERVE = (
    "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler); from pathlib"
    " import Path; from generator.commands.serve import serve; sys.exit(serve(Path(sys.argv[1]),"
    " int(sys.argv[2]), [Path(p) for p in sys.argv[3:]]))"
)


@pytest.fixture
def port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


def wait_for(address: str, text: str) -> None:
    for _ in range(900):
        try:
            with urllib.request.urlopen(address, timeout=5) as answer:
                if text in answer.read().decode():
                    return
        except OSError:
            pass
        time.sleep(0.1)
    raise AssertionError(f"{address} never said {text}")


@pytest.mark.slow
def test_a_saved_record_shows_and_a_faulty_one_does_not(buildable, tmp_path, port):
    layer = tmp_path / "layer"
    (layer / "parts").mkdir(parents=True)
    own = layer / "parts" / "test-case.yaml"
    own.write_text("notes: [Our first note.]\n")
    out = tmp_path / "out"
    with out.open("w") as file:
        process = subprocess.Popen(
            [sys.executable, "-c", SERVE, str(buildable), str(port), str(layer)],
            cwd=ROOT,
            stdout=file,
        )
    page = f"http://127.0.0.1:{port}/parts/test-case.html"
    try:
        wait_for(page, "Our first note.")
        record = buildable / "knowledge" / "parts" / "test-case.yaml"
        good = record.read_text()
        record.write_text("name: [\n")
        wait_for(out.as_uri(), "knowledge/parts/test-case.yaml:2:1: ")
        wait_for(page, "Our first note.")
        own.write_text("notes: [Our second note.]\n")
        record.write_text(good.replace("Holds the rest.", "Holds everything."))
        wait_for(page, "Our second note.")
        wait_for(page, "Holds everything.")
    finally:
        process.send_signal(2)
        assert process.wait(180) == 0
    assert f"Serving http://127.0.0.1:{port}/" in out.read_text()


ENDLESS = """import pathlib, sys, time
pathlib.Path(sys.argv[0]).parent.joinpath("begun").touch()
time.sleep(10000)
"""


@pytest.mark.slow
def test_stopping_does_not_wait_for_mkdocs(buildable, tmp_path, port):
    """A MkDocs that never ends is stopped with the server that started it."""
    (tmp_path / "mkdocs").mkdir()
    (tmp_path / "mkdocs" / "__main__.py").write_text(ENDLESS)
    (tmp_path / "mkdocs" / "__init__.py").touch()
    process = subprocess.Popen(
        [sys.executable, "-c", SERVE, str(buildable), str(port)],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
    )
    while not (tmp_path / "mkdocs" / "begun").exists():
        assert process.poll() is None
        time.sleep(0.1)
    process.send_signal(2)
    assert process.wait() == 0
    with alone(buildable):  # MkDocs held the lock of the build too: it is gone
        pass


def test_a_taken_port_is_said_with_another_one(small_built, monkeypatch, capsys):
    monkeypatch.setattr(serve, "rebuild", lambda *_: pytest.fail("built before the port was tried"))
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        number = taken.getsockname()[1]
        assert serve.serve(small_built, number) == 3
    assert f"port {number} cannot be used" in capsys.readouterr().err


def test_without_being_asked_it_listens_on_this_machine_alone(buildable, port):
    servers = serve._start(buildable, port, None)
    try:
        assert [s.server_address for s in servers] == [("127.0.0.1", port)]
    finally:
        for s in servers:
            s.shutdown()
            s.server_close()


def test_for_a_tablet_it_prints_the_address_and_listens_there(buildable, port, capsys):
    (buildable / "site").mkdir()
    (buildable / "site" / "index.html").write_text("here", encoding="utf-8")
    servers = serve._start(
        buildable, port, "127.0.0.2"
    )  # stands for the address in the local network
    try:
        assert [s.server_address for s in servers] == [("127.0.0.1", port), ("127.0.0.2", port)]
        assert (
            f"On a tablet in the same network: http://127.0.0.2:{port}/" in capsys.readouterr().out
        )
        wait_for(f"http://127.0.0.2:{port}/", "here")
    finally:
        for s in servers:
            s.shutdown()
            s.server_close()


def test_without_a_network_or_with_an_address_of_another_machine_it_says_so(
    buildable, port, monkeypatch, capsys
):
    monkeypatch.setattr(serve, "own_address", lambda: "")
    assert serve.serve(buildable, port, (), "") == 3
    assert "no local network was found" in capsys.readouterr().err
    assert serve._start(buildable, port, "203.0.113.7") is None
    assert f"port {port} cannot be used on 203.0.113.7" in capsys.readouterr().err


def test_the_qr_in_the_terminal_is_the_square_of_the_address():
    address = "http://192.168.1.23:8020/"
    lines = [
        line.removeprefix("\x1b[97;40m").removesuffix("\x1b[0m")
        for line in serve.qr_lines(address).splitlines()
    ]
    lit = {
        "\u2588": (0, 0),
        "\u2580": (0, 1),
        "\u2584": (1, 0),
        " ": (1, 1),
    }  # light shows as the letter, dark as the ground
    rows = [[lit[sign][half] for sign in line] for line in lines for half in (0, 1)]
    wide = len(lines[0])
    assert wide == 25 + 8  # version 2, and four squares of quiet on each side
    assert all(sum(row) == 0 for row in rows[:4])
    assert [row[4:-4] for row in rows[4 : 4 + 25]] == [
        [int(v) for v in row] for row in segno.make(address, micro=False).matrix
    ]
    finder = [
        [1] * 7,
        [1, 0, 0, 0, 0, 0, 1],
        [1, 0, 1, 1, 1, 0, 1],
        [1, 0, 1, 1, 1, 0, 1],
        [1, 0, 1, 1, 1, 0, 1],
        [1, 0, 0, 0, 0, 0, 1],
        [1] * 7,
    ]
    assert [row[4:11] for row in rows[4:11]] == finder


def test_a_browser_that_breaks_off_is_no_fault(buildable, port, capsys):
    (buildable / "site").mkdir()
    (server,) = serve._start(buildable, port, None)
    try:
        for error in (BrokenPipeError(), ConnectionResetError()):
            try:
                raise error
            except OSError:
                server.handle_error(None, ("127.0.0.1", 1))
        assert capsys.readouterr().err == ""
        try:
            raise ValueError("a fault of ours")
        except ValueError:
            server.handle_error(None, ("127.0.0.1", 1))
        assert "a fault of ours" in capsys.readouterr().err
    finally:
        server.shutdown()
        server.server_close()


@pytest.fixture(params=["with a desk", "without"])
def site(tmp_path, port, request):
    """A small folder that is served, beside something that must stay hidden."""
    own = desk.Desk(tmp_path) if request.param == "with a desk" else None
    (tmp_path / "secret.txt").write_text("hidden")
    folder = tmp_path / "site"
    (folder / "empty").mkdir(parents=True)
    (folder / "index.html").write_text("<h1>here</h1>")
    (folder / "link.txt").symlink_to(tmp_path / "secret.txt")
    (folder / "out").symlink_to(tmp_path)
    server = answering.Server(("127.0.0.1", port), folder, own)
    answer(server)
    yield server
    server.shutdown()
    server.server_close()


def answer(server) -> None:
    """Let it answer in a thread that stops soon when it is told to."""
    threading.Thread(target=server.serve_forever, args=(0.01,), daemon=True).start()


def ask(port: int, path: str, host: str | None = None) -> tuple[int, str]:
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    line.putrequest("GET", path, skip_host=True)
    if host != "":
        line.putheader("Host", host or f"127.0.0.1:{port}")
    line.endheaders()
    answer = line.getresponse()
    return answer.status, answer.read().decode()


@pytest.mark.parametrize("name", ["127.0.0.1:{}", "localhost:{}", "LocalHost:{}"])
def test_it_answers_to_its_own_names(site, port, name):
    status, text = ask(port, "/", name.format(port))
    assert (status, text.startswith("<h1>here</h1>")) == (200, True)


@pytest.mark.parametrize(
    "name", ["", "evil.example", "evil.example:{}", "127.0.0.1", "10.0.0.1:{}"]
)
def test_a_foreign_name_gets_nothing(site, port, name):
    """A page elsewhere whose name was turned to this machine (DNS rebinding) sends its own name."""
    status, text = ask(port, "/", name.format(port))
    assert (status, "here" in text) == (421, False)


@pytest.mark.parametrize(
    "path",
    ["/empty/", "/link.txt", "/out/", "/out/secret.txt", "/%00", "/a%00b.html", "/../secret.txt",
     "/%2e%2e/secret.txt", "/" + "a" * 5000, "/no.html"],
)  # fmt: skip
def test_nothing_but_files_of_the_site(site, port, path, capsys):
    status, text = ask(port, path)
    assert status == 404
    assert not any(word in text for word in ("hidden", "secret.txt</a>", "Directory listing"))
    assert capsys.readouterr().err == ""


def test_slow_clients_do_not_keep_others_out(site, port):
    """A hundred and fifty that never finish their request hold few threads, and a reader gets its
    page."""
    before, slow = threading.active_count(), []
    try:
        for _ in range(150):
            line = socket.create_connection(("127.0.0.1", port))
            line.sendall(b"GET / HTTP/1.1\r\n")
            slow.append(line)
        assert ask(port, "/")[0] == 200
        assert threading.active_count() - before <= 2 * answering.MOST
    finally:
        for line in slow:
            line.close()


def test_a_client_that_never_asks_is_hung_up_on(site, port, monkeypatch):
    monkeypatch.setattr(answering, "ASKING", 0)
    with socket.create_connection(("127.0.0.1", port), timeout=20) as line:
        line.sendall(b"GET / HT")
        assert line.recv(100) == b""


@pytest.mark.parametrize("typed", ["0", "99999", "-1", "80a", "80", "١٢٣٤"])
def test_a_port_that_cannot_be_is_a_wrong_command(typed, capsys):
    with pytest.raises(SystemExit) as left:
        cli.main(["serve", f"--port={typed}"])
    assert left.value.code == 2
    assert "is not a port; write 1024 to 65535" in capsys.readouterr().err


SLIPS = ["{% if %}", "{{ nothing_of_this_name }}", "{{ 1 / 0 }}", "{% include 'x' %}"]


@pytest.mark.parametrize("slip", SLIPS)
@pytest.mark.parametrize("template", ["part", "hazard"])
def test_a_slip_in_a_template_is_told_in_a_line(buildable, capsys, template, slip):
    """Both shares of the pages are tried: one of them may be drawn in a process of its own."""
    path = buildable / "site_src" / "templates" / f"{template}.j2"
    first, _, rest = path.read_text().partition("\n")
    path.write_text(f"{first}\n{slip}\n{rest}")
    serve.rebuild(buildable)
    said = capsys.readouterr().out
    assert said.startswith(f"site_src/templates/{template}.j2:2: "), said
    assert "Traceback" not in said


def test_a_full_disk_is_told_and_serving_goes_on(buildable, capsys, monkeypatch):
    def full(*_):
        raise OSError(errno.ENOSPC, "No space left on device", "build/pages/x.md")

    monkeypatch.setattr(serve, "build_again", full)
    serve.rebuild(buildable)
    words = "build/pages/x.md: no space left on device; free some space and build again"
    assert capsys.readouterr().out.strip() == words


def test_only_pages_on_this_machine_learn_from_the_desk(site, port):
    status, text = ask(port, "/")
    script = '<script src="/.desk/page.js" data-mark="'
    assert text.startswith("<h1>here</h1>" + (script if site.desk else ""))
    assert ask(port, "/.desk/state.js?1")[0] == (200 if site.desk else 404)
    assert ask(port, "/.desk/../secret.txt")[0] == 404
    assert ask(port, "/.desk/other.js")[0] == 404
    assert ask(port, "/.desk/state.js", "evil.example")[0] == 421


def test_the_state_says_builds_and_faults_with_place_and_cure(buildable):
    state = desk.Desk(buildable)
    state.fails(
        [Complaint(Place("knowledge/x.yaml", 3, 5), "a: </script> is no number", "write 7")]
    )
    assert state.answer("/.desk/state.js") == (
        b'benchDesk({"mark": "", "faults": [["knowledge/x.yaml:3:5", '
        b'"a: </script> is no number", "write 7"]], "told": 0, "effects": 0});'
    )
    state.fails(["build/x: no space left; free some space"])
    assert b'["", "build/x: no space left", "free some space"]' in state.answer("/.desk/state.js")
    state.is_built()
    assert (
        state.answer("/.desk/state.js")
        == b'benchDesk({"mark": "", "faults": [], "told": 0, "effects": 0});'
    )


@pytest.mark.slow
def test_rebuilding_tells_the_desk(buildable, monkeypatch, capsys):
    state = desk.Desk(buildable)
    path = buildable / "knowledge/alloys/test-steel.yaml"
    good = path.read_text()
    path.write_text(good.replace("typical: 7.98", "typical: 79.8"))
    serve.rebuild(buildable, desk=state)
    assert state.faults == [
        (
            "knowledge/alloys/test-steel.yaml:13:23",
            "density: 79.8 is outside 0.8 to 25 g/cm3",
            "check the decimal point and the unit",
        )
    ]
    path.write_text(good)

    def built_without_pages(root, timings, layers, kept, waiting):
        waiting.know(site_of(root, load(root, layers)[0]))
        return 3, lambda: None

    monkeypatch.setattr(serve, "build_again", built_without_pages)
    serve.rebuild(buildable, desk=state)
    assert (state.built, state.faults, state.effects) == (1, [], ["Nothing differs."])
    path.write_text(good.replace("typical: 7.98", "typical: 7.97"))
    serve.rebuild(buildable, desk=state)
    assert state.effects[:2] == [
        "Changed:",
        "  Test steel, density: 7.98 g/cm3 (test-standard) -> 7.97 g/cm3 (test-standard)",
    ]
    page = state.answer("/.desk/effects.html").decode()
    assert "7.98 g/cm3 (test-standard) -&gt; 7.97" in page
    assert "/.desk/page.js" in page


@pytest.fixture
def looked_at(tmp_path):
    """A desk, and a page that loads a script."""
    (tmp_path / "site" / "assets").mkdir(parents=True)
    (tmp_path / "site" / "assets" / "x.js").write_text("1;")
    (tmp_path / "site" / "a.html").write_text('<script src="assets/x.js" defer></script>old')
    return desk.Desk(tmp_path)


def mark(state: desk.Desk) -> str:
    return state.answer("/.desk/state.js", "a.html").decode().split('"mark": "')[1].split('"')[0]


def test_a_page_that_somebody_looks_at_is_drawn_first_once_a_build(looked_at):
    assert looked_at.asked() == []
    assert looked_at.page("a.html").endswith(b"old")
    assert looked_at.page("no.html") is None
    assert looked_at.asked() == ["a.html"]
    looked_at.shows({"a.html": b"new"})
    assert (looked_at.page("a.html"), looked_at.asked()) == (b"new", [])
    looked_at.begins()  # a save overtook the first build
    assert (looked_at.page("a.html"), looked_at.asked()) == (b"new", ["a.html"])
    looked_at.withdraws()
    assert looked_at.page("a.html").endswith(b"old")


def test_a_page_that_must_wait_for_the_site_is_asked_for_once(looked_at):
    looked_at.page("a.html")
    looked_at.shows({"a.html": None})
    assert looked_at.asked() == []
    assert looked_at.page("a.html").endswith(b"old")


def test_a_page_loads_again_only_when_it_or_its_script_says_something_else(looked_at, tmp_path):
    before = mark(looked_at)
    looked_at.shows({"a.html": looked_at.page("a.html")})
    assert mark(looked_at) == before
    looked_at.is_built()
    assert mark(looked_at) == before
    os.utime(tmp_path / "site" / "assets" / "x.js", (1, 1))
    assert mark(looked_at) != before
    looked_at.shows({"a.html": b"new"})
    early = mark(looked_at)
    assert early != before
    (tmp_path / "site" / "a.html").write_bytes(b"new")
    looked_at.is_built()  # the same page, from the site now
    assert mark(looked_at) == early


def test_before_the_first_build_the_start_page_waits(tmp_path, port):
    server = answering.Server(("127.0.0.1", port), tmp_path / "site", desk.Desk(ROOT))
    answer(server)
    try:
        status, text = ask(port, "/")
        assert status == 200
        assert "The site is being built" in text
        assert "/.desk/page.js" in text
    finally:
        server.shutdown()
        server.server_close()


def test_nothing_of_the_desk_is_in_a_built_site(small_built):
    for path in (small_built / "site").rglob("*"):
        if path.is_file():
            assert b".desk/" not in path.read_bytes(), path
