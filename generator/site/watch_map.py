"""What the drawn section of a watch needs: links, labels, the marked zone.

The shapes are in ``site_src/templates/watch.j2``, one group per zone and one per part. This module
holds where each label goes and which point its line leads to, in units of the drawing (at least one
CSS pixel on a screen of 820 px). A part missing from the knowledge base is drawn without a link.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from generator.records.knowledge import Knowledge
from generator.site.texts import plain_text, sentence
from generator.site.view import View

WIDTH, COLUMN, BOX, GAP, TOP = (
    760,
    156,
    48,
    8,
    8,
)  # a label box is as high as a finger needs, with room to the next
LINE = {
    "zone": 14,
    "part": 16,
}  # characters of a label that fit the column; names of zones are bold
SIDES = {"exterior": "Outside", "movement": "Inside"}
HEIGHTS = {"exterior": 1016, "movement": 1408}

# side -> column -> zone -> part -> the point its line leads to. Order is from top to bottom, as the
# labels stand.
PLACES: Mapping[str, Mapping[str, Mapping[str, Mapping[str, tuple[int, int]]]]] = {
    "exterior": {
        "left": {
            "case": {
                "rotating-bezel-insert": (256, 38),
                "bezel": (248, 90),
                "movement-ring": (250, 400),
                "case-clamp": (256, 474),
                "case-screw": (274, 446),
                "case-middle": (242, 532),
                "lug": (206, 560),
                "helium-valve": (296, 634),
                "case-back": (258, 702),
            },
            "bracelet": {
                "spring-bar": (200, 600),
                "strap": (196, 740),
                "buckle": (212, 930),
                "bracelet-link": (296, 850),
                "bracelet-pin": (344, 866),
                "clasp": (440, 936),
            },
        },
        "right": {
            "crystal": {"crystal": (468, 136)},
            "dial": {
                "hand-seconds": (496, 216),
                "hand-hour-minute": (508, 242),
                "hand-centre-bush": (390, 256),
                "luminous-dot": (502, 292),
                "dial": (506, 301),
                "dial-feet": (470, 326),
            },
            "crown": {"crown": (566, 536), "crown-tube": (530, 546), "pusher": (566, 652)},
            "seals": {
                "crystal-gasket": (492, 182),
                "crown-stem-seal": (547, 562),
                "case-tube-seal": (504, 566),
                "case-back-gasket": (498, 666),
            },
        },
    },
    "movement": {
        "left": {
            "train": {
                "hour-wheel": (334, 130),
                "cannon-pinion": (366, 196),
                "centre-wheel": (304, 506),
                "train-wheel": (388, 556),
                "train-pinion": (404, 500),
                "pivot": (414, 446),
            },
            "frame": {
                "main-plate": (184, 262),
                "jewel-bearing": (256, 252),
                "pillar": (198, 350),
                "bridge": (190, 800),
                "movement-screw": (204, 872),
            },
            "power": {
                "mainspring": (206, 670),
                "barrel": (184, 700),
                "barrel-arbor": (234, 726),
                "ratchet-wheel": (206, 918),
                "click": (300, 926),
            },
            "automatic": {
                "reversing-wheel": (262, 1130),
                "rotor-bearing": (362, 1240),
                "rotor-weight": (204, 1290),
            },
        },
        "right": {
            "calendar": {"date-ring": (556, 44), "date-jumper": (510, 84)},
            "winding": {
                "minute-wheel": (520, 172),
                "crown-wheel": (580, 322),
                "winding-stem": (584, 362),
                "winding-pinion": (556, 376),
                "sliding-pinion": (520, 376),
                "setting-lever": (566, 412),
                "yoke": (514, 420),
            },
            "escapement": {
                "escape-wheel": (490, 700),
                "pallet-lever": (572, 745),
                "jewel-pallet": (554, 762),
                "pallet-staff": (531, 784),
            },
            "balance": {
                "shock-setting": (518, 908),
                "balance-spring": (554, 970),
                "timing-screw": (576, 1041),
                "balance-wheel": (552, 1048),
                "balance-staff": (502, 1090),
                "roller": (514, 1131),
                "impulse-jewel": (484, 1152),
            },
        },
    },
}


@dataclass(frozen=True)
class Label:
    """A label of the drawing: box, lines of text, the line to the part, and where it links to
    (address below the root)."""

    name: str
    lines: tuple[tuple[str, int], ...]  # text and baseline
    address: str
    x: int
    y: int
    leader: str = ""
    dot: tuple[int, int] | None = None

    width: int = COLUMN
    height: int = BOX

    @property
    def middle(self) -> int:
        """Where the text stands, across."""
        return self.x + self.width // 2


def wrapped(text: str, most: int) -> list[str]:
    """The text in one or two lines, broken at a space where the first line is full; what is left
    over stays on the second."""
    if len(text) <= most:
        return [text]
    words, first = text.split(), ""
    while words and len(f"{first} {words[0]}".strip()) <= most:
        first = f"{first} {words.pop(0)}".strip()
    return [line for line in (first, " ".join(words)) if line]


def _label(name: str, address: str, column: str, row: int, point: tuple[int, int] | None) -> Label:
    x, y = (2 if column == "left" else WIDTH - COLUMN - 2), TOP + row * (BOX + GAP)
    lines = wrapped(plain_text(name), LINE["part" if point else "zone"])
    first = y + BOX // 2 + (6 if len(lines) == 1 else -3)
    leader = ""
    if point:
        edge, bend = (x + COLUMN, x + COLUMN + 8) if column == "left" else (x, x - 8)
        long_way = abs(point[1] - y) > 400  # such a line runs beside the drawing, not across it
        leader = f"M{edge} {y + BOX // 2}H{bend}" + (
            f"V{point[1]}H{point[0]}" if long_way else f"L{point[0]} {point[1]}"
        )
    return Label(
        name,
        tuple((line, first + 19 * i) for i, line in enumerate(lines)),
        address,
        x,
        y,
        leader,
        point,
    )


def labels(knowledge: Knowledge, view: View, side: str, zones: Sequence[str]) -> dict[str, Label]:
    """The labels of one side by id of zone (``zone:train``) or part; zones without a page and
    unknown parts are left out."""
    found = {}
    for column, groups in PLACES[side].items():
        row = 0
        for zone, parts in groups.items():
            if zone in zones:
                found[f"zone:{zone}"] = _label(
                    view.name("zone", zone), view.address("zone", zone), column, row, None
                )
            row += 1
            for part, point in parts.items():
                if part in knowledge.parts:
                    found[part] = _label(
                        sentence(view.name("part", part)),
                        view.address("part", part),
                        column,
                        row,
                        point,
                    )
                row += 1
    return found


def linked(
    knowledge: Knowledge, view: View, side: str, zones: Sequence[str], address: str
) -> Markup:
    """The drawing of one side for the page at ``address``, with a link for every zone and every
    part that has a page."""
    text = (
        f"Section of a watch, {SIDES[side].lower()}. Every label is a link; the same links stand in"
        " the list."
    )
    found = labels(knowledge, view, side, zones)
    return Markup(
        view.draw(
            "watch",
            address,
            side=side,
            box=f"0 0 {WIDTH} {HEIGHTS[side]}",
            labels=found,
            spoken=text,
        )
    )


# Dark lines on nothing, which tools.css turns round in the dark; a marked zone is filled and its
# lines are heavy, so that it does not rest on the colour.
MARK_STYLE = (
    "path,circle{fill:#fff;stroke:#333;stroke-width:3.4;stroke-linejoin:round}"
    ".w-line,.w-axis,.w-stitch{fill:none}.w-axis{stroke-dasharray:14 4 2 4}"
    ".zone--marked *{fill:#7a5c12;stroke:#7a5c12;stroke-width:10}"
)


def marks(knowledge: Knowledge, view: View, zones: Iterable[str]) -> dict[str, str]:
    """The same drawing, small and without links, as a file for each zone with that zone marked.

    Each side is drawn once.
    """
    drawn, found = {}, {}
    for side, height in HEIGHTS.items():
        box = f"{COLUMN + 8} 0 {WIDTH - 2 * COLUMN - 16} {height}"
        text = view.draw("watch", "index.html", side=side, box=box, labels={}, spoken="@spoken@")
        alone = text.strip().replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)
        drawn[side] = alone.replace("<defs>", f"<style>{MARK_STYLE}</style><defs>", 1)
    for zone in zones:
        side = knowledge.words("zones")[zone].side
        spoken = (
            f"Small section of a watch, {SIDES[side].lower()}; marked: {view.word('zones', zone)}."
        )
        marked = drawn[side].replace(f'"zone zone--{zone}"', f'"zone zone--{zone} zone--marked"')
        found[zone] = marked.replace("@spoken@", escape(spoken))
    return found
