"""Prints how fast pages and the find box are in a slowed Chromium.

Figures and ratios, not limits; no test times anything.
"""

import argparse
import os
import shutil
import statistics
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from generator.numbers.values import Values  # noqa: E402
from generator.records.loading import load  # noqa: E402
from generator.site import find, find_index  # noqa: E402
from generator.site.page import Site  # noqa: E402
from generator.tables import tables  # noqa: E402
from generator.verdicts.verdicts import Verdicts  # noqa: E402
from tests.conftest import CHROMIUM_FLAGS  # noqa: E402

PAGES = {
    "start": "index.html",
    "material": "materials/stainless-316l.html",
    "part": "parts/case-middle.html",
    "table": "tables/density-ratio.html",
    "longest table": "tables/hardness.html",
    "matrix": "tables/matrix-parts-outside.html",
    "largest matrix": "tables/matrix-parts-movement.html",
    "observations": "identify.html",
    "hazard": "hazards/sea-water.html",
    "work": "processes/plate-rhodium.html",
    "calculator": "formulas/pitting-index.html",
    "pairs": "tables/pairs.html",
    "names": "names/a.html",
    "glossary": "glossary.html",
    "pictures": "pictures.html",
    "leaflet": "leaflet.html",
    "watch in hand": "watch-sheet.html",
    "cautions": "cautions.html",
}
AIMS = {
    "first paint": 250,
    "load": 700,
    "last rows": 2000,
}  # ms; of long tables the last rows come when the page stands
FIND_AIMS = {
    1: (200, 20),
    6: (350, 50),
}  # times the entries: ready after first focus, answer after a keystroke; ms
QUERIES = (
    "crown",
    "1.4404",
    "berylium",
    "rose gold turned yellow",
    "hardnes of pinion",
    "x2crnimo 17 12 2",
)
PAINTED = """() => new Promise(done => {
  const told = () => {
    const paint = performance.getEntriesByName('first-contentful-paint')[0];
    const load = performance.getEntriesByType('navigation')[0].loadEventEnd;
    const rest = document.querySelector('tbody.rest');
    paint && load && !rest ? done([paint.startTime, load, performance.now()]) : setTimeout(told,
    20);
  };
  told();
})"""
READY = """() => new Promise(done => {
  const began = performance.now();
  document.getElementById('find-input').focus();
  benchFind.load(() => done(performance.now() - began));
})"""
# The find box listens first, so that its list stands when this listener is called.
WATCH = """() => {
  let pressed = 0;
  window.taken = [];
  document.addEventListener('keydown', e => { pressed = e.timeStamp; }, true);
  document.addEventListener('input', () => { if (pressed) { taken.push(performance.now() - pressed);
  } pressed = 0; });
}"""


def entries_times(factor: int) -> list[list]:
    """The shipped entries ``factor`` times, each copy under names that no other has."""
    knowledge, _ = load(ROOT)
    values = Values(knowledge)
    computed = tables.build(knowledge, values)
    site = Site(
        knowledge, values, computed, Verdicts(knowledge, values), ROOT / "site_src" / "templates"
    )
    shipped = find.entries(knowledge, site.view, computed, list(site.families))
    return [renamed(entry, copy) for copy in range(factor) for entry in shipped]


def renamed(entry: list, copy: int) -> list:
    """An entry whose words have another second letter in each copy; the first copy is the entry
    itself."""

    def word(w: str) -> str:
        return (
            w
            if len(w) < 4 or not w[1].isalpha()
            else w[0] + chr(97 + (ord(w[1].lower()) - 97 + 5 * copy) % 26) + w[2:]
        )

    def text(t: str) -> str:
        return " ".join(word(w) for w in t.split(" ")) if copy else t

    address, title, kind, summary, rank, spellings, signs, names, texts = entry
    return [
        address,
        text(title),
        kind,
        text(summary),
        rank,
        [text(s) for s in spellings],
        [text(s) for s in signs],
        {tag: [text(n) for n in named] for tag, named in names.items()},
        [text(t) for t in texts],
    ]


def page_times(browser, address: str, slow: float) -> dict[str, float]:
    """First paint and load of one page, in a profile that knows nothing yet, and what its main
    thread worked: that alone does not grow with other work on the machine."""
    context = browser.new_context(viewport={"width": 1180, "height": 820})
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": slow})
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    page.goto(address)
    paint, load_end, whole = page.evaluate(PAINTED)
    metrics = {m["name"]: m["value"] for m in session.send("Performance.getMetrics")["metrics"]}
    context.close()
    return {
        "first paint": paint,
        "load": load_end,
        "last rows": whole,
        "main thread": 1000 * metrics["TaskDuration"],
    }


def find_times(browser, address: str, slow: float) -> tuple[float, list[float]]:
    """Milliseconds from first focus until the find box can answer, and from each keystroke until
    its results stand."""
    context = browser.new_context(viewport={"width": 1180, "height": 820})
    page = context.new_page()
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slow})
    page.goto(address)
    page.wait_for_timeout(300)
    ready = page.evaluate(READY)
    page.evaluate(WATCH)
    for query in QUERIES:
        page.locator("#find-input").fill("")
        page.keyboard.type(query, delay=30)
    taken = page.evaluate("taken.slice()")
    context.close()
    return ready, taken


def line(what: str, found: list[float], aim: float) -> None:
    """One line of the report: median, best and worst run, and the median as a part of the aim."""
    median = statistics.median(found)
    print(
        f"{what:44} median {median:6.0f} ms, best {min(found):6.0f}, worst {max(found):6.0f}; aim"
        f" {aim:4.0f}, median is {median / aim:4.2f} of it"
    )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(
        description=(
            "Measures a built site from file:// in Chromium with the processor slowed: first paint"
            " and load of the heaviest kinds of page, and when the last rows of their tables"
            " stand, how soon the find box answers after the first focus and after each keystroke,"
            " for the shipped entries and for six times as many. Other work on the machine"
            " spoils the figures: look at the load printed first, and at the best run."
        ),
        epilog=(
            "example: python3 -m generator build && .venv/bin/python tests/benchmarks/browser.py"
            " --runs 7 --slow 4"
        ),
    )
    parser.add_argument(
        "--site", type=Path, default=ROOT / "site", help="the built site (default: site/)"
    )
    parser.add_argument(
        "--runs", type=int, default=5, help="how often each thing is measured (default: 5)"
    )
    parser.add_argument(
        "--slow", type=float, default=4, help="how many times the processor is slowed (default: 4)"
    )
    chosen = parser.parse_args()
    browser_path = os.environ.get("BENCH_CHROMIUM") or shutil.which("chromium")
    if not browser_path:
        parser.error("no Chromium on this machine; set BENCH_CHROMIUM to one")
    from playwright.sync_api import sync_playwright

    print(
        f"{chosen.runs} runs, processor slowed {chosen.slow:g} times, load of the machine"
        f" {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores"
    )
    with sync_playwright() as play, tempfile.TemporaryDirectory() as folder:
        browser = play.chromium.launch(executable_path=browser_path, args=CHROMIUM_FLAGS)
        page_times(
            browser, (chosen.site / "index.html").as_uri(), 1
        )  # the browser itself is warm from here on
        for kind, name in PAGES.items():
            runs = [
                page_times(browser, (chosen.site / name).as_uri(), chosen.slow)
                for _ in range(chosen.runs)
            ]
            for what, aim in AIMS.items():
                line(f"{kind}: {what}", [run[what] for run in runs], aim)
        for factor, (ready_aim, answer_aim) in FIND_AIMS.items():
            copy = Path(folder) / str(factor)
            shutil.copytree(chosen.site / "assets", copy / "assets")
            shutil.copy(chosen.site / "index.html", copy)
            entries = entries_times(factor)
            for name, script in find_index.scripts(
                entries, load(ROOT)[0].words("languages")
            ).items():
                (copy / name).write_text(script, encoding="utf-8")
            runs = [
                find_times(browser, (copy / "index.html").as_uri(), chosen.slow)
                for _ in range(chosen.runs)
            ]
            line(
                f"find box, {len(entries)} entries: ready", [ready for ready, _ in runs], ready_aim
            )
            line(
                f"find box, {len(entries)} entries: keystroke",
                [statistics.median(taken) for _, taken in runs],
                answer_aim,
            )
            line(
                f"find box, {len(entries)} entries: slowest keystroke",
                [max(taken) for _, taken in runs],
                answer_aim,
            )
        browser.close()
    print(f"load of the machine at the end {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
