"""Condenses a built site into one HTML file with a section per page, for a device that can only
read files.

No script, no external picture, one short style sheet of its own; every link leads to a place in the
same file. To keep it small, verdicts appear only in the tables at a glance, without reasons and
working, and names in other languages only in the A to Z. Left out: parts in other watches, the
drawn map, posters, pictures and curves (their numbers stay), the tools that need scripts with the
sentences of the care sheet, back-links and the list of editions.
"""

from __future__ import annotations

import base64
import hashlib
import itertools
import posixpath
import re
import string
from collections import Counter
from collections.abc import Iterator
from html import escape, unescape
from html.parser import HTMLParser
from pathlib import Path

ARTICLE = re.compile(r'<article class="md-content__inner md-typeset">(.*?)</article>', re.DOTALL)
TITLE = re.compile(r"<title>(.*?)(?: - [^<]*)?</title>", re.DOTALL)
WORKING = re.compile(r'<div class="working__in">.*?</div>(?=</details>)', re.DOTALL)
# A fold whose working is left out goes; the sign of a weak ground on it stays.
EMPTY_FOLD = re.compile(
    r'<details class="working[^"]*"><summary>(?:Figures and hazards|What it rests on)([^<]*)'
    r"</summary>\s*</details>"
)
ORDER = (
    "index.html",
    "about.html",
    "parts/",
    "materials/",
    "hazards/",
    "processes/",
    "formulas/",
    "sayings/",
    "lessons/",
)
CONTENTS = {
    "parts/": "Parts",
    "materials/": "Materials",
    "hazards/": "Hazards",
    "processes/": "Work",
    "formulas/": "Calculations",
    "sayings/": "Bench sayings: true or false?",
    "lessons/": "Lessons",
    "tables/": "Tables",
    "marks/": "Marks",
    "sources/": "Sources",
    "names/": "Every name, A to Z",
}
# Pages that list others (the contents at the top do that here), the drawing, posters, and pages
# that do nothing without scripts, with the sentences of the care sheet in other languages; what the
# lead has to do is for whoever has the whole.
NOT_HERE = re.compile(
    r"(families|zones)/|\w+/index\.html|(leaflet|poster)(-\w+)?\.html"
    r"|(names|compare|identify|watch-sheet|map|editions|measure|queue|coverage)\.html"
)
LEFT_OUT_TAGS = {
    "script", "form", "button", "input", "select", "label", "textarea", "nav", "svg", "img"
}  # fmt: skip
LEFT_OUT_CLASSES = {
    "at-once",
    "key--first",
    "card",
    "in-languages",
    "mentioned",
    "beside",
    "care",
    "crumbs",
    "siblings",
    "letters",
    "refs",
    "way-said",
    "where",
}
UNFOLDED = {"working", "fold", "srcs"}  # details whose text stands here without a fold
VOID = {"br", "hr", "img", "input", "col", "meta", "link", "wbr"}
KEPT = {"id", "href", "colspan", "rowspan", "open", "value", "start"}
KEPT_CLASSES = {"answer", "cautions", "key", "yes", "no", "added", "layer", "absent"}
# Sections that are worked out from others, by folder (the tables at a glance hold their verdicts),
# and details that are folded
# away on the site too.
LEFT_OUT_SECTIONS = {
    "materials/": {"fit", "exposure", "mentioned"},
    "parts/": {"fit", "mentioned"},
    "hazards/": {"exposure", "mentioned"},
    "processes/": {"mentioned"},
}
# What every page says at its foot, what points to verdicts that are left out, and names that are
# the title of their page.
SAID_ONCE = re.compile(
    r'<p class="foot">Edition [^<]*</p>| Edition of the knowledge base: [^<]*\.html\.|<li>([^<]*):'
    r' <a [^>]*>\1</a></li>|<p>(?:As|What stands) <a href="#fit">above</a>[^<]*</p>'
)
LEFT_OUT_DETAILS = ("sources/", "cautions.html")
# What a reader of HTML does not need: ends that the next tag implies, and line ends before a block.
OPTIONAL_ENDS = re.compile(
    r"</(?:td|th|tr|li|dt|dd|thead|tbody)>|</p>(?=\s*<(?:p|[uod]l|div|table|h\d)\b)"
)
LINE_ENDS = re.compile(r"\n(?=<(?:p|[uod]l|li|d[dt]|t[rhd]|tbody|div|table|h\d|details|section)\b)")

STYLE = """\
body { font: 1.05rem/1.5 system-ui, sans-serif; max-width: 60rem; margin: 0 auto; padding: 0 1rem }
body { color: #1c2224; background: #fbfaf6 }
a { color: #14545c }
li { margin: .3rem 0 }
h1 { border-top: .2rem solid #1f3f43; padding-top: 1rem; margin-top: 3rem }
table { border-collapse: collapse; display: block; overflow-x: auto }
th, td { border: 1px solid #8a8c86; padding: .25rem .5rem; text-align: left; vertical-align: top }
nav ul { columns: 18rem; list-style: none; padding: 0 }
nav li { margin: 0; break-inside: avoid }
nav a, .up a { display: inline-block; padding: .7rem 0 }
summary { padding: .6rem 0 }
.answer { font-size: 1.15rem }
.cautions, .no, .yes, .added { border-left: .3rem solid #7a1f1f; padding-left: .8rem }
.yes { border-color: #1d5b2c }
.added { border-color: #7a5c12 }
.key dl { display: flex; flex-wrap: wrap; gap: .3rem 1.5rem }
.key dd { margin: 0; font-weight: bold }
td, dd { font-variant-numeric: tabular-nums }
@media (prefers-color-scheme: dark) { body { color: #e9ecea; background: #12191b }
  a { color: #8fd0d8 } }
"""

FRAME = """\
<!doctype html>
<html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy"
 content="default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Arbor &amp; Case, everything in one file, {edition}</title>
<style>{style}</style></head>
<body><header id="top"><p><strong>Arbor &amp; Case</strong>, everything in one file. Edition
{edition}. Search with the reader\u2019s own find; \u201cEvery name, A to Z\u201d has
the other names. Verdicts stand in the tables at a
glance. Only the full site has their reasons, verdicts for other kinds of watch, the calculators,
the care sheet, the posters, the drawing and pictures.</p>
{notice}</header>
{body}
</body></html>
"""


def build(site: Path, edition: str) -> str:
    """The whole site as one page."""
    pages = {
        path.relative_to(site).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(site.rglob("*.html"))
    }
    pages = {
        name: text
        for name, text in pages.items()
        if ARTICLE.search(text) and not NOT_HERE.match(name)
    }
    anchors = {name: name.removesuffix(".html") for name in pages}
    names = sorted(
        pages,
        key=lambda name: (
            next((i for i, o in enumerate(ORDER) if name.startswith(o)), len(ORDER)),
            name,
        ),
    )
    sources = {
        key: name
        for name in pages
        if name.startswith("sources")
        for key in re.findall(r'<dt id="([^"]+)"', pages[name])
    }
    sections = "\n".join(_section(name, pages[name], anchors, sources) for name in names)
    notice = re.search(r'<p class="layer">.*?</p>', pages[names[0]])
    return FRAME.format(
        style=STYLE,
        digest=base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode(),
        edition=edition,
        notice=notice.group() if notice else "",
        body=_shortened(f"{_contents(names, pages, anchors)}\n{sections}"),
    )


def _shortened(body: str) -> str:
    """The same with the shortest names for places, the most used first, and without places that
    nothing leads to."""
    places = set(re.findall(r' id="([^"]*)"', body))
    # What is left out is not there to lead to: the section of its page is.
    body = re.sub(
        r'href="#([^"]*)"',
        lambda found: (
            found.group()
            if found.group(1) in places
            else f'href="#{found.group(1).partition(" ")[0]}"'
        ),
        body,
    )
    used = Counter(re.findall(r'href="#([^"]*)"', body))
    short = dict(
        zip((place for place, _ in used.most_common() if place != "top"), _codes(), strict=False)
    )
    body = re.sub(
        r' id="([^"]*)"',
        lambda found: f' id="{short[found.group(1)]}"' if found.group(1) in short else "",
        body,
    )
    return re.sub(
        r'href="#([^"]*)"', lambda found: f'href="#{short.get(found.group(1), "top")}"', body
    )


def _codes() -> Iterator[str]:
    """A, b ...

    z, aa, ab ...
    """
    for length in itertools.count(1):
        yield from (
            "".join(letters) for letters in itertools.product(string.ascii_lowercase, repeat=length)
        )


def title_of(page: str) -> str:
    """The title of a page, as HTML."""
    found = TITLE.search(page)
    return found.group(1).strip() if found else ""


def _contents(names: list[str], pages: dict[str, str], anchors: dict[str, str]) -> str:
    def link(name):
        return f'<li><a href="#{anchors[name]}">{title_of(pages[name])}</a></li>'

    grouped = [
        (title, [n for n in names if n.startswith(folder)]) for folder, title in CONTENTS.items()
    ]
    others = [n for n in names if "/" not in n]
    lists = "".join(
        f"<h2>{title}</h2><ul>{''.join(link(n) for n in found)}</ul>"
        for title, found in [*grouped, ("Other pages", others)]
        if found
    )
    return f'<nav aria-label="Contents">{lists}</nav>'


def _section(name: str, page: str, anchors: dict[str, str], sources: dict[str, str]) -> str:
    content = WORKING.sub("", ARTICLE.search(page).group(1))
    content = SAID_ONCE.sub("", EMPTY_FOLD.sub(r"\1", content))
    condensed = _Condenser(name, anchors, sources)
    condensed.feed(content)
    condensed.close()
    content = LINE_ENDS.sub("", OPTIONAL_ENDS.sub("", condensed.html()))
    return (
        f'<section id="{anchors[name]}">{content}\n<p class="up"><a'
        ' href="#top">Contents</a></p></section>'
    )


class _Condenser(HTMLParser):
    """Copies a page's content without what is left out; ids and links are turned into places in
    the one file."""

    def __init__(self, name: str, anchors: dict[str, str], sources: dict[str, str]):
        super().__init__(convert_charrefs=False)
        self.name, self.anchors, self.sources = name, anchors, sources
        folder = name.partition("/")[0] + "/"
        self._sections, self._outside = LEFT_OUT_SECTIONS.get(folder, set()), False
        self.out: list[str] = []
        self._open: list[tuple[str, bool]] = []  # tag, and whether it is copied
        self._skip = 0  # how many elements deep inside something left out

    def html(self) -> str:
        """What was copied, without needless space and without headings that have nothing below
        them."""
        text = re.sub(r"\s*\n\s*", "\n", "".join(self.out)).strip()
        return re.sub(r"<h2[^>]*>[^<]*</h2>\s*(?=<h2|$)", "", text)

    def handle_starttag(self, tag, attrs):
        """Copy an element, or begin to leave it out."""
        given = dict(attrs)
        classes = set((given.get("class") or "").split())
        if tag == "h2":
            self._outside = given.get("id") in self._sections
        elif "fold" in classes:
            self._outside = False
        leave_out = (
            self._outside
            or tag in LEFT_OUT_TAGS
            or classes & LEFT_OUT_CLASSES
            or "hidden" in given
            or (tag == "summary" and self._inside("details.srcs"))
            or (tag == "details" and self.name.startswith(LEFT_OUT_DETAILS))
            or ("unfit" in classes and self.name.startswith("parts/"))  # verdicts, worked out
        )
        if tag in VOID:
            if not self._skip and not leave_out:
                self.out.append(f"<{tag}>")
            return
        if self._skip or leave_out:
            self._skip += 1
            self._open.append((tag, False))
            return
        folded = tag == "details" and next(iter(sorted(classes & UNFOLDED)), "")
        plain = bool(
            tag == "span"
            or classes & {"way", "src--practice"}  # common practice is named thousands of times
            or "scroll" in classes  # a table moves sideways by itself here
            or bool(folded)
            or (tag == "summary" and self._inside(*(f"details.{name}" for name in UNFOLDED)))
        )
        self._open.append((f"details.{folded}" if folded else tag, not plain))
        if not plain:
            self.out.append(f"<{tag}{self._attributes(given, classes)}>")

    def _inside(self, *what: str) -> bool:
        return bool(self._open) and self._open[-1][0] in what

    def handle_startendtag(self, tag, attrs):
        """Drawn shapes end themselves."""
        if not self._skip:
            self.out.append(f"<{tag}{self._attributes(dict(attrs), set())}/>")

    def handle_endtag(self, tag):
        """End an element as it was begun."""
        if tag in VOID or not self._open:
            return
        _, copied = self._open.pop()
        if self._skip:
            self._skip -= 1
        elif copied:
            self.out.append(f"</{tag}>")

    def handle_data(self, data):
        """Text, as it stands."""
        if not self._skip:
            self.out.append(data)

    def handle_entityref(self, name):
        """A sign by name: as itself where it may stand so, which is shorter."""
        self.handle_data(escape(unescape(f"&{name};"), quote=False))

    def handle_charref(self, name):
        """A sign by number."""
        self.handle_data(f"&#{name};")

    def _attributes(self, given: dict, classes: set[str]) -> str:
        kept = {key: value for key, value in given.items() if key in KEPT}
        if "id" in kept:
            kept["id"] = f"{self.anchors[self.name]} {kept['id']}"  # a space: no id has one
        if "href" in kept:
            kept["href"] = self._target(kept["href"])
        found = classes & KEPT_CLASSES
        if found:
            kept["class"] = " ".join(sorted(found))
        return "".join(
            f" {key}" if value is None else f' {key}="{escape(value)}"'
            for key, value in kept.items()
            if key != "href" or value
        )

    def _target(self, href: str) -> str:
        """Where a link leads in the one file; empty when what it led to is not in it."""
        path, _, place = href.partition("#")
        path = path.partition("?")[0]
        page = (
            posixpath.normpath(posixpath.join(posixpath.dirname(self.name), path))
            if path
            else self.name
        )
        if page not in self.anchors:
            return ""
        if (
            place.startswith("care-") and "cautions.html" in self.anchors
        ):  # shown once, on their own page
            page, place = "cautions.html", place.removeprefix("care-")
        elif place.startswith("s-"):
            page, place = self.sources.get(place.removeprefix("s-"), page), place.removeprefix("s-")
        return f"#{self.anchors[page]} {place}" if place else f"#{self.anchors[page]}"
