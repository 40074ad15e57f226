"""The site on two more engine families (WebKitGTK, which is the tablet's, and Firefox), from
file:// and over http."""

import os
import shutil
import subprocess
import threading
import time
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from generator.commands.testing import find_firefox
from tests.browser.firefox import Firefox

pytestmark = [
    pytest.mark.browser,
    pytest.mark.filterwarnings("ignore"),
]  # the driver library warns of its own future


@pytest.fixture(scope="module", params=["webkit", "firefox"])
def engine(request, tmp_path_factory):
    """A running browser of each family.

    WebKitGTK missing is a failure where CI=true; Firefox is run where it is there.
    """
    if request.param == "webkit":
        yield from _webkit()
        return
    path = os.environ.get("BENCH_FIREFOX") or find_firefox()
    if not path:
        pytest.skip("no Firefox on this machine")
    browser = Firefox(path, tmp_path_factory.mktemp("firefox"))
    yield browser
    browser.quit()


def _webkit():
    """WebKitGTK under a screen of its own."""
    driver = os.environ.get("BENCH_WEBKIT") or shutil.which("WebKitWebDriver")
    if not driver or not (shutil.which("Xvfb") or os.environ.get("DISPLAY")):
        if os.environ.get("CI") == "true":
            pytest.fail(
                "no WebKitGTK on this machine; run python3 -m generator test, which gets it"
            )
        pytest.skip("no WebKitGTK on this machine")
    from selenium import webdriver
    from selenium.webdriver.webkitgtk.options import Options
    from selenium.webdriver.webkitgtk.service import Service

    screen = None
    if shutil.which("Xvfb"):
        screen = subprocess.Popen(
            ["Xvfb", ":97", "-screen", "0", "1280x1024x24"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.environ["DISPLAY"] = ":97"
        for _ in range(600):  # until the screen is there
            if Path("/tmp/.X11-unix/X97").exists():
                break
            time.sleep(0.05)
    options = Options()
    binaries = [
        p
        for p in (
            "/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser",
            "/usr/lib/aarch64-linux-gnu/webkit2gtk-4.1/MiniBrowser",
            "/usr/lib/x86_64-linux-gnu/webkit2gtk-4.0/MiniBrowser",
            "/usr/lib/aarch64-linux-gnu/webkit2gtk-4.0/MiniBrowser",
        )
        if os.path.exists(p)
    ]
    options.binary_location = binaries[0]
    options.add_argument("--automation")
    browser = webdriver.WebKitGTK(
        options=options, service=Service(driver, log_output=subprocess.DEVNULL)
    )
    yield browser
    browser.quit()
    if screen:
        screen.terminate()


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_):
        """Say nothing."""


@pytest.fixture(scope="module", params=["file", "http"])
def base(request, site):
    """The address of the site, from file:// and over http."""
    if request.param == "file":
        yield site.as_uri()
        return
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def until(browser, script):
    for _ in range(100):
        found = browser.execute_script(f"return {script}")
        if found:
            return found
        time.sleep(0.05)
    raise AssertionError(f"never true: {script}")


def test_the_find_box_answers(engine, base):
    engine.get(f"{base}/index.html")
    engine.find_element("id", "find-input").send_keys("14404")
    first = until(
        engine,
        "document.querySelector('#find-list a') && document.querySelector('#find-list a').href",
    )
    assert first.endswith("materials/stainless-316l.html")


ROWS = "[...document.querySelectorAll('table.wide tbody tr')].map(r => +r.cells[1].dataset.sort)"


def test_a_table_sorts(engine, base):
    engine.get(f"{base}/tables/density-ratio.html")
    engine.execute_script("document.querySelectorAll('thead button.sort')[1].click()")
    until(engine, "document.querySelector('th[aria-sort=ascending]') !== null")
    until(engine, f"{ROWS}.every((v, i, all) => !i || all[i - 1] <= v)")
    values = engine.execute_script(f"return {ROWS}")
    assert values == sorted(values)


def test_a_long_table_is_whole_and_its_numbers_open(engine, base):
    engine.get(f"{base}/tables/density-ratio.html")
    until(engine, "document.querySelector('tbody.rest') === null")
    drawn = (
        "[...document.querySelectorAll('table.wide tbody tr')].filter(r =>"
        " r.getBoundingClientRect().height > 0).length"
    )
    assert engine.execute_script(f"return {drawn}") > 80
    engine.execute_script("document.querySelector('tbody a.way').click()")
    assert until(engine, "document.querySelector('tbody a.way + .working__in math') !== null")


def test_a_calculator_computes(engine, base):
    engine.get(f"{base}/formulas/mass-from-volume.html")
    engine.find_element("name", "rho").send_keys("7.98")
    until(engine, "document.querySelector('.calc__result').textContent.includes('31.92')")


def test_the_watch_in_hand_answers_and_keeps(engine, base):
    engine.get(f"{base}/watch-sheet.html?watch=three-hand-automatic-diver")
    until(engine, "document.querySelectorAll('.tile').length > 30")
    engine.execute_script("document.querySelector('.tile[data-part=crown]').click()")
    engine.execute_script(
        "const f = document.querySelector('.panel [name=material]'); f.value = 'steel-c75s';"
        " f.dispatchEvent(new Event('input', {bubbles: true}))"
    )
    until(engine, "document.querySelector('.finding').textContent.includes('Crown')")
    assert engine.execute_script("return Object.keys(localStorage).join().includes('bench.watch')")
    engine.execute_script("document.querySelector('[data-fold=baths] > summary').click()")
    until(engine, "document.querySelector('[data-fold=baths] h3') !== null")
    engine.execute_script("localStorage.clear()")


def test_formulas_are_drawn_and_styles_apply(engine, base):
    engine.get(f"{base}/formulas/density-ratio.html")
    assert until(
        engine,
        "document.querySelector('math mfrac') && document.querySelector('math"
        " mfrac').getBoundingClientRect().height > 10",
    )
    assert (
        engine.execute_script("return getComputedStyle(document.querySelector('.topbar')).position")
        == "sticky"
    )
