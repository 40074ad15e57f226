"""Find-box entries of pages without a record: address, title, purpose, and the words people type
for them.
"""

from __future__ import annotations

from generator.site.page import EDITIONS

TRAINING = (
    (
        "lessons/plan.html",
        "The four-week plan",
        "Lessons, tasks and cases week by week.",
        ["training plan", "four weeks", "apprentice", "trainee"],
    ),
    (
        "lessons/again.html",
        "Questions that come back",
        "Missed questions after 1, 3, 7 and 21 days; ten mixed ones.",
        ["repeat", "quiz", "test yourself", "revision", "flash cards"],
    ),
    (
        "lessons/tasks.html",
        "Twelve bench tasks",
        "What your hands must be able to do, with sheets to sign.",
        ["practical", "exercise", "samples"],
    ),
    (
        "lessons/cases.html",
        "Eight cases",
        "Watches that need several pages at once.",
        ["case study"],
    ),
    (
        "lessons/mentor.html",
        "For the mentor",
        "Sheets to sign and right answers, to print.",
        ["mentor", "sign-off", "answers", "sheet to sign"],
    ),
)


TABLES = {
    "density-ratio": (
        "weight",
        "heavier",
        "how much heavier",
        "lighter",
        "times the weight",
        "relative weight",
        "heavier in platinum",
        "heavier in gold",
    ),
    "case-mass": ("weight of a case", "case weight"),
    "hardness": ("hardest", "softest"),
    "coating-thickness": ("plating thickness", "how thick is plating", "microns"),
}

# Pages in other languages, and the phrase that holds their title.
IN_LANGUAGES = (("cautions", "safety"), ("first-aid", "first-aid"), ("leaflet", "leaflet-title"))

PAGES = (
    (
        "editions.html",
        EDITIONS,
        "What the last edition changed, and which printed cards are current.",
        ["edition", "changes", "news"],
    ),
    (
        "tables/pairs.html",
        "Metals in contact",
        "Which of two metals corrodes when they are wet together, and where they may touch.",
        ["galvanic", "galvanic series", "two metals", "dissimilar metals", "bimetallic", "contact"],
    ),
    (
        "compare.html",
        "Side by side",
        "Two to four materials: figures, ratios, hazards, and which suits a part.",
        ["compare", "comparison", "versus", "which is better"],
    ),
    (
        "identify.html",
        "What is this metal",
        "Narrows it down by colour, magnet, weight, file and marks.",
        ["identify", "unknown metal", "which metal is it", "what metal is this", "real or plated"],
    ),
    (
        "pictures.html",
        "In pictures",
        (
            "Scales of weight, strength, stiffness, growth and sea water; colours of metal, heat"
            " and voltage."
        ),
        ["picture", "chart", "ladder", "colours of metals", "heat colours", "swatch"],
    ),
    (
        "poster.html",
        "The watch and its metals: a poster",
        "Every part with what the trade makes it from, on one sheet of A3 or four of A4.",
        ["poster", "wall chart", "print"],
    ),
    (
        "map.html",
        "The watch as a map",
        "A drawn section of a watch whose zones and parts are links.",
        ["drawing", "section", "exploded view", "where is it"],
    ),
    (
        "watch-sheet.html",
        "The watch in hand",
        "One watch, its metals, and every answer about them: contacts, places, baths, weight.",
        ["watch sheet", "job sheet", "this watch", "the whole watch", "intake"],
    ),
    (
        "leaflet.html",
        "What to tell the owner",
        "A page of care for the owner, put together for one watch.",
        ["leaflet", "owner", "care sheet", "client", "customer"],
    ),
    (
        "formulas/hardness-conversion.html",
        "Hardness conversion for steels",
        "HV, HRC, HRB, HBW and tensile strength by table.",
        ["hrc to hv", "hv to hrc", "rockwell to vickers", "hardness table"],
    ),
    (
        "formulas/tempering-temperature.html",
        "Tempering temperature for a wanted hardness",
        "Where to set the oven, and the colour.",
        ["temper colours", "temper color", "pinion hardness", "draw temper"],
    ),
    (
        "first-aid.html",
        "First aid at the bench",
        "Whom to call and what to do until help takes over.",
        ["accident", "emergency", "injury", "help", "splash", "burn", "swallowed"],
    ),
    (
        "cautions.html",
        "Cautions",
        "What can hurt, and what to do.",
        ["safety", "danger", "toxic", "poison"],
    ),
    ("glossary.html", "Glossary", "The terms of the trade.", ["terms", "meaning"]),
    ("sources.html", "Sources", "Where figures come from.", ["references", "literature"]),
    ("coverage.html", "Coverage", "What is sourced, remembered or missing.", []),
    ("measure.html", "What to measure next", "Which measurements would settle most verdicts.", []),
    ("queue.html", "What to look at next", "Gaps, weak figures, disagreements, reviews due.", []),
    ("names.html", "Every name, A to Z", "All names and designations.", ["index", "a-z"]),
    ("about.html", "How to read the numbers", "Kinds, ranges, digits.", ["rounding", "help"]),
)
