"""Pages that work with a script: map, leaflet, side by side, what is this metal."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from generator.numbers import quantities
from generator.numbers.quantities import Quantity
from generator.records.knowledge import Knowledge
from generator.records.languages import for_owners
from generator.site import leaflet, watch_map
from generator.site.page import MATRICES, Page, Site
from generator.site.pages.lookup import Field
from generator.site.speech import speeches
from generator.site.texts import any_of, sort_text
from generator.verdicts import identify

MAP = "The watch as a map"


def map_page(site: Site) -> Page:
    """The drawn section of a watch with its links, outside and inside, and the same links as
    lists."""
    address, zones = "map.html", site.knowledge.words("zones")
    sides = [
        {
            "name": name,
            "drawing": watch_map.linked(site.knowledge, site.view, side, list(site.zones), address),
            "zones": [(z, keys) for z, keys in site.zones.items() if zones[z].side == side],
        }
        for side, name in watch_map.SIDES.items()
    ]
    summary = "Tap a zone or a part of the drawing, or take it from the list."
    body = site.view.draw(
        "map",
        address,
        title=MAP,
        summary=summary,
        sides=sides,
        trail=[("Start", "index.html"), ("Parts", "parts/index.html"), (MAP, "")],
    )
    return Page("map.md", MAP, summary, body, wide=True)


LEAFLET = "What to tell the owner"


def leaflet_page(site: Site) -> Page:
    """The owner's leaflet: the choices, the page they make, and all sentences as lists for readers
    without scripts."""
    knowledge, address = site.knowledge, "leaflet.html"
    fields = []
    for field in leaflet.FIELDS:
        usual, suits = leaflet.choices(knowledge, site.verdicts, field)
        fields.append(
            {
                "id": field,
                "label": leaflet.label(knowledge, field),
                "usual": usual,
                "suits": suits,
                "none": "none" if field == "plating" else "not said",
            }
        )
    spoken = [
        (f, [(m, knowledge.materials[m].owner) for m in keys if knowledge.materials[m].owner])
        for f, keys in site.families.items()
    ]
    summary = (
        "Choose what the watch is made of and what it is exposed to; "
        "the result is one page of care, to print on A5."
    )
    body = site.view.draw(
        "leaflet",
        address,
        title=LEAFLET,
        summary=summary,
        fields=fields,
        activities=leaflet.activities(knowledge),
        water=list(leaflet.WATER.values()),
        limits=leaflet.limits(knowledge),
        tongues=leaflet.languages(knowledge),
        lists=[(s, s.address("leaflet")) for s in speeches(knowledge)[1:]],
        says=leaflet.phrases(knowledge),
        materials=[(f, rows) for f, rows in spoken if rows],
        hazards=[(h, record.owner) for h, record in knowledge.hazards.items()],
        trail=[("Start", "index.html"), (LEAFLET, "")],
    )
    return Page("leaflet.md", LEAFLET, summary, body, wide=True)


def owner_lines_pages(site: Site) -> Iterator[Page]:
    """All sentences of the leaflet as lists, a page for each other language; those in the language
    of the records stand below the leaflet."""
    knowledge = site.knowledge
    families = (
        (knowledge.words("families")[f], [r for m in keys if (r := knowledge.materials[m]).owner])
        for f, keys in site.families.items()
    )
    materials = [(family, records) for family, records in families if records]
    sentences = list(for_owners(knowledge))
    for speech in speeches(knowledge)[1:]:
        address = speech.address("leaflet")
        title, summary = (speech.words(key) for key in ("leaflet-title", "leaflet-title-summary"))
        body = site.view.draw(
            "owner_lines",
            address,
            title=title,
            summary=summary,
            t=speech,
            trust=speech.trust(sentences),
            languages=[(s, s.address("leaflet")) for s in speeches(knowledge)],
            limits=list(knowledge.words("leaflet_limits").values()),
            materials=materials,
            hazards=[r for r in knowledge.hazards.values() if r.owner],
            trail=[(speech.phrase("start"), "index.html"), (title, "")],
        )
        file = address.removesuffix(".html") + ".md"
        yield Page(file, title, summary, body, wide=True, lang=speech.tag)


COMPARE = "Side by side"


def compare_page(site: Site) -> Page:
    """The choice of up to four materials; the page's script puts them side by side from
    assets/compare-data.js."""
    tables = [(f"tables/{t.id}.html", t.title, t.summary) for t in site.tables.values()]
    tables += [
        (f"tables/{t}.html", title, "Every material at a glance.") for t, title in MATRICES.items()
    ]
    summary = (
        "Two to four materials, each in its state: figures, ratios, what attacks them, and which"
        " suits a part."
    )
    body = site.view.draw(
        "compare",
        "compare.html",
        title=COMPARE,
        summary=summary,
        slots=("First", "Second", "Third", "Fourth"),
        tables=tables,
        trail=[("Start", "index.html"), (COMPARE, "")],
    )
    return Page("compare.md", COMPARE, summary, body, wide=True)


IDENTIFY = "What is this metal"


@dataclass(frozen=True)
class BenchTest:
    """A test that tells metals apart, with its cautions."""

    id: str
    name: str
    marks: bool  # it leaves a mark
    cautions: list
    process: str | None
    text: str


def identify_page(site: Site) -> Page:
    """What the bench can observe, the tests gentlest first with their cautions, the rules, and
    what each material would show."""
    knowledge = site.knowledge

    def offered(observation: str) -> list[tuple[str, str]]:
        return [(k, a.name) for k, a in identify.answers(knowledge, observation).items()]

    summary = (
        "Enter what you can see, feel and weigh; each answer rules metals out and says why; "
        "the gentlest useful test comes next."
    )
    body = site.view.draw(
        "identify",
        "identify.html",
        title=IDENTIFY,
        summary=summary,
        trail=[("Start", "index.html"), (IDENTIFY, "")],
        colours=offered("colour"),
        marks=mark_options(knowledge),
        magnet=offered("magnet"),
        tarnish=offered("tarnish"),
        file=offered("file"),
        sparks=offered("spark"),
        weigh=_weighing(site),
        spark_cautions=_cautions_of(site, "spark-test"),
        file_cautions=_cautions_of(site, knowledge.words("bench_tests")["file"].process),
        tests=_bench_tests(site),
        rules=identify.rules(knowledge),
        rows=[_signs_row(site, m) for m in site.signs["materials"]],
    )
    return Page("identify.md", IDENTIFY, summary, body, wide=True)


def _bench_tests(site: Site) -> list[BenchTest]:
    processes = site.knowledge.processes
    return [
        BenchTest(
            id=t,
            name=test.name,
            marks=test.leaves_mark,
            cautions=_cautions_of(site, test.process),
            process=test.process,
            text=test.how or processes[test.process].summary,
        )
        for t, test in site.knowledge.words("bench_tests").items()
        if test.tells_apart and (test.how or test.process in processes)
    ]


def _cautions_of(site: Site, process: str | None) -> list:
    if process not in site.knowledge.processes:
        return []
    return site.cautions(site.knowledge.processes[process], process=process)


def _weighing(site: Site) -> list[Field]:
    """The fields of a weighing in water; none where no metal has a density to compare with."""
    if not site.signs["weigh"]:
        return []
    return [
        Field("in_air", "weight in air", unit="g"),
        Field("in_water", "weight in water", unit="g"),
        Field("warmth", "water temperature", value="20", unit=site.view.unit("degC")),
        Field("step", "smallest step of the balance", value="0.01", unit="g"),
    ]


def mark_options(knowledge: Knowledge) -> list[tuple[str, str]]:
    """Every number that is stamped, once, with the metals it may stand for: `950: platinum or
    palladium`."""
    by_number: dict[Decimal, list[str]] = defaultdict(list)
    for mark in knowledge.words("marks").values():
        carat = f" ({quantities.number_text(mark.carat)} ct)" if mark.carat is not None else ""
        by_number[mark.fineness].append(f"{knowledge.words('elements')[mark.metal].name}{carat}")
    return [
        (f"{number:f}", f"{number:f}: {any_of(metals)}")
        for number, metals in sorted(by_number.items(), reverse=True)
    ]


@dataclass(frozen=True)
class SignsRow:
    """What a material would show to each observation, in words."""

    id: str
    colour: str
    density: Quantity | None
    sort: str
    tarnish: str
    magnet: str
    file: str
    marks: str


def _signs_row(site: Site, signs: dict) -> SignsRow:
    record, density = site.knowledge.materials[signs["id"]], site.values.of(signs["id"], "density")

    def names(observation: str) -> dict[str, str]:
        found = identify.answers(site.knowledge, observation)
        return {key: answer.name for key, answer in found.items()}

    def words(observation: str) -> str:
        found = [s[observation] for s in signs["states"]]
        allowed = {a for f in found if f for a in f}
        return (
            "not known"
            if None in found and not allowed
            else ", ".join(w for a, w in names(observation).items() if a in allowed)
        )

    tarnish = (
        "what lies below"
        if signs["coating"]
        else ", ".join(names("tarnish")[s] for s in signs["tarnish"])
    )
    return SignsRow(
        id=signs["id"],
        colour=site.view.word("colours", record.colour) if record.colour else "not known",
        density=density,
        sort=sort_text(density.middle) if density else "",
        tarnish=tarnish,
        magnet=words("magnet"),
        file=words("file") + (f" {signs['fileFrom']}" if signs["fileFrom"] else ""),
        marks=", ".join(signs["mark"] or []),
    )
