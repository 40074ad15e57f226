"""All verbs of the command: the function that runs each, its description, an example, and its
arguments.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

from generator.commands import lead, running


class Word(NamedTuple):
    """One word or option of a verb, as argparse takes it."""

    names: tuple[str, ...]
    how: dict


class Verb(NamedTuple):
    """A verb; ``run`` gets the words that were typed and gives an exit code."""

    name: str
    run: Callable[[argparse.Namespace], int]
    text: str
    example: str
    words: tuple[Word, ...] = ()
    takes_layers: bool = True


def word(*names: str, **how) -> Word:
    """One word or option of a verb, as argparse takes it."""
    return Word(names, how)


def _folder(typed: str) -> Path:
    """A folder that exists, as argparse asks for it."""
    path = Path(typed).resolve()
    if not path.is_dir():
        raise argparse.ArgumentTypeError(f"{typed} is not a folder")
    return path


def _day(typed: str) -> date:
    """A day, as argparse asks for it."""
    try:
        return date.fromisoformat(typed)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{typed} is not a date; write it as 2026-01-31") from None


def _port(typed: str) -> int:
    """A port that anybody may listen on, as argparse asks for it."""
    if not (typed.isascii() and typed.isdigit() and 1024 <= int(typed[:6]) <= 65535):
        raise argparse.ArgumentTypeError(f"{typed[:20]} is not a port; write 1024 to 65535")
    return int(typed)


LAYER = word(
    "--layer",
    dest="layers",
    metavar="DIR",
    type=_folder,
    action="append",
    default=[],
    help=(
        "a workshop's own records, in the same folders as knowledge/; they add to the shipped"
        " ones or override them; what is written is written there"
    ),
)
VERBS = (
    Verb(
        "build",
        running.build,
        "check the knowledge base, build the site, and print the path to open",
        "build --timings",
        (
            word("--timings", action="store_true", help="print what each step took"),
            word(
                "--pages",
                action="store_true",
                help="only write complete Markdown into build/pages, for another site generator",
            ),
        ),
    ),
    Verb(
        "check",
        running.check,
        "check the knowledge base and print every fault with its place and cure",
        "check",
        (
            word(
                "--watch",
                action="store_true",
                help="check again whenever a file is saved, until Ctrl+C",
            ),
        ),
    ),
    Verb(
        "serve",
        running.serve,
        "build, serve the site on this machine, and build again when a file is saved",
        "serve --port 8020",
        (
            word("--port", type=_port, default=8020, help="port to listen on (default 8020)"),
            word(
                "--tablet",
                metavar="ADDRESS",
                nargs="?",
                const="",
                default=None,
                help=(
                    "let the local network read the site too, and print the address and a QR of"
                    " it; without ADDRESS this machine's own is found"
                ),
            ),
        ),
    ),
    Verb(
        "reviewed",
        lead.reviewed,
        "write the day of the last review into a record; nothing else in the file changes",
        "reviewed stainless-316l --on 2026-11-25",
        (
            word(
                "id",
                metavar="ID",
                help="the file name without .yaml, or folder/name where two records share it",
            ),
            word(
                "--on",
                metavar="DATE",
                type=_day,
                default=None,
                help="the day, as 2026-01-31 (default: today)",
            ),
        ),
    ),
    Verb(
        "read-back",
        lead.read_back,
        "hand out the translations that nobody has turned back yet, and record those that were",
        "read-back de > sheet.txt",
        (
            word("language", metavar="LANGUAGE", help="its tag, such as de"),
            word(
                "--beside",
                metavar="SHEET",
                type=Path,
                help="a sheet turned back: show it with the originals",
            ),
            word(
                "--done",
                metavar="SHEET",
                type=Path,
                help="its sentences mean the same: record them",
            ),
            word("--on", metavar="DATE", type=_day, default=None, help="default: today"),
            word("--by", default="a second reader", help="who turned them back"),
        ),
    ),
    Verb(
        "explain",
        lead.explain,
        "say where each figure of a property comes from, or where every material stands for a part",
        "explain stainless-316l.density",
        (
            word(
                "figure",
                metavar="ID.property",
                help=(
                    "file name of the material without .yaml, a point, and the property; or a part"
                ),
            ),
        ),
    ),
    Verb(
        "edition",
        lead.edition,
        "stamp a new edition before publishing: what changed since the last one, and which cards",
        "edition",
        (
            word(
                "--again",
                action="store_true",
                help=(
                    "stamp the newest edition once more, when nothing of it was given away or"
                    " printed yet"
                ),
            ),
        ),
    ),
    Verb(
        "publish",
        running.publish,
        "build the site and make one dated folder to give away: site, zip, one file of"
        " everything, book of cards",
        "publish --to ~/shared",
        (
            word(
                "--to",
                metavar="DIR",
                type=Path,
                default=None,
                help="where the dated folder goes (default: published/)",
            ),
        ),
    ),
    Verb(
        "take",
        lead.take,
        "read figures from a table (.csv or .xlsx, columns as in site/data/figures.csv) and show"
        " what they would change in the records",
        "take measured.csv --write",
        (
            word("file", metavar="FILE", type=Path, help="the table"),
            word("--write", action="store_true", help="write it into the records"),
        ),
    ),
    Verb(
        "sheets",
        lead.sheets,
        "read saved sheets of watches and pool their measurements into a workshop's own layer",
        "sheets ../sheets --layer ../our-layer",
        (word("folder", metavar="DIR", type=_folder, help="the folder of saved sheets"),),
    ),
    Verb(
        "new",
        lead.new,
        "write an annotated record to fill in",
        "new alloy brass-cuzn36",
        (
            word(
                "kind",
                metavar="KIND",
                help=(
                    "alloy, nonmetal, coating, part, hazard, process, formula, saying, lesson,"
                    " source or caution"
                ),
            ),
            word(
                "id",
                metavar="ID",
                help="the file name without .yaml: small letters, digits, hyphens",
            ),
        ),
    ),
    Verb(
        "queue",
        lead.queue,
        "say what is worth an hour of work: gaps, weak figures, disagreements, sources, reviews",
        "queue",
        (word("--all", action="store_true", help="show every line"),),
    ),
    Verb(
        "effects",
        lead.effects,
        "say what the knowledge base says otherwise than at the last edition, weightiest first",
        "effects --against ../before/knowledge",
        (
            word(
                "--against",
                metavar="DIR",
                type=_folder,
                help="compare with this folder of records instead of the last edition",
            ),
            word("--all", action="store_true", help="show every line"),
            word(
                "--cards",
                action="store_true",
                help="tell too which cards change; takes some seconds",
            ),
        ),
    ),
    Verb(
        "work",
        running.work,
        "work out a formula or a whole job; a value may be a range or have a unit: 7.9..8.0, 25dwt",
        "work mass-from-volume V=4.0 rho=7.98",
        (
            word("id", metavar="ID", help="file name of the formula without .yaml"),
            word(
                "values",
                nargs="*",
                metavar="symbol=value",
                help="one for each symbol; symbols with a default may be left out",
            ),
            word("--json", action="store_true", help="print the result as JSON"),
        ),
        takes_layers=False,
    ),
    Verb(
        "test",
        running.test,
        "run all tests: unit, external checks, browser; further words are handed to pytest",
        "test -k figures",
        (word("words", nargs="*", help="handed to pytest as they are"),),
        takes_layers=False,
    ),
)
