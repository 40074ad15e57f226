"""While `serve` runs, an open page loads again after each save and says in itself what is wrong."""

import socket
import subprocess
import sys

import pytest

from tests.conftest import ROOT
from tests.unit.test_serving import SERVE, wait_for

pytestmark = pytest.mark.browser


def until(page, said: str, there: bool = True) -> None:
    for _ in range(400):
        if (said in page.inner_text("body")) == there:
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"{said!r} {'never came' if there else 'never went'}")


def test_a_page_answers_the_save(chromium, built, tmp_path):
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        [sys.executable, "-c", SERVE, str(built), str(port)], cwd=ROOT, stdout=subprocess.DEVNULL
    )
    context = chromium.new_context(viewport={"width": 1180, "height": 820})
    page, faults = context.new_page(), []
    page.on("console", lambda m: faults.append(m.text))
    page.on("pageerror", lambda e: faults.append(str(e)))
    path = built / "knowledge" / "alloys" / "test-brass.yaml"
    good = path.read_text()
    try:
        address = f"http://127.0.0.1:{port}/materials/test-brass.html"
        wait_for(address, "An invented brass.")
        page.goto(address)
        path.write_text(good.replace("An invented brass.", "A brass saved a moment ago."))
        until(page, "A brass saved a moment ago.")

        path.write_text(good.replace("typical: 8.53", "typical: 85.3"))
        until(page, "One fault. This page shows the last good state.")
        banner = page.locator("#desk-faults")
        assert banner.get_attribute("role") == "alert"
        words = banner.inner_text()
        assert "knowledge/alloys/test-brass.yaml:12:23" in words
        assert "density: 85.3 is outside 0.8 to 25 g/cm3" in words
        assert "check the decimal point and the unit" in words
        assert "A brass saved a moment ago." in page.inner_text("body")
        box = banner.bounding_box()
        assert box["y"] <= 1
        assert box["height"] < 400

        path.write_text(good.replace("typical: 8.53", "typical: 8.52"))
        until(page, "One fault", there=False)
        until(page, "8.52")
        assert faults == []
    finally:
        context.close()
        process.terminate()
        process.wait(60)
