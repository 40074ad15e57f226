"""Writes build/pages: complete Markdown and a configuration that any site generator which reads
mkdocs.yml can use.
"""

from __future__ import annotations

import os
import re
import traceback
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import chain
from pathlib import Path

import jinja2
import yaml

from generator.deliver.sharing import ShareFailed, both
from generator.site.page import Page

# Joined in this order into the one style sheet that a screen waits for: each more delays paint.
STYLES, STYLE = ("frame", "base", "figures", "tools"), "assets/style.css"
_SITE_URL = re.compile(r"^site_url:\s*[\"']?(https?://[^\s\"']+)", re.MULTILINE)


class BuildFailed(Exception):
    """The site could not be made from the pages; the message says why and what to do."""


@dataclass(frozen=True)
class Written:
    """What stands in build/pages: hand-written files, generated pages, and what the menu names."""

    own: tuple[str, ...]
    generated: tuple[str, ...]
    listed: frozenset[str]
    configuration: dict

    @property
    def pages(self) -> list[str]:
        """Every Markdown file."""
        return [*(name for name in self.own if name.endswith(".md")), *self.generated]

    @property
    def assets(self) -> list[str]:
        """Every other file, without hidden ones of editors or the system."""
        return [n for n in self.own if not n.endswith(".md") and "/." not in f"/{n}"]


def address_of(root: Path) -> str:
    """The http address that ``site_url`` of mkdocs.yml names, or an empty text."""
    found = _SITE_URL.search((root / "mkdocs.yml").read_text(encoding="utf-8"))
    return found.group(1) if found else ""


def write_pages(
    root: Path, shares: Sequence[Iterable[Page]], nav: list, notice: str = ""
) -> Written:
    """Write build/pages and build/mkdocs.yml: hand-written pages, then generated ones in one share
    or in two that are drawn at the same time.

    ``notice`` is a line for every page; empty: none.

    Raises BuildFailed when two pages want the same address (case ignored): one would silently
    replace the other.
    """
    build = root / "build"
    target, source = build / "pages", root / "site_src" / "pages"
    taken: dict[str, str] = {}
    for path in sorted(p for p in source.rglob("*") if p.is_file()):
        name = path.relative_to(source).as_posix()
        if path.is_symlink():
            raise BuildFailed(f"site_src/pages/{name} is a link; put the file itself there")
        taken[name.casefold()] = name
        write(target / name, path.read_bytes())
    write(target / STYLE, _style(root / "site_src" / "styles"))
    taken[STYLE] = STYLE
    try:
        works = [partial(_write_share, root, share) for share in shares]
        drawn = both(*works) if len(works) == 2 else [work() for work in works]
    except ShareFailed:
        raise BuildFailed(
            "half of the pages could not be drawn; the fault is named above"
        ) from None
    for slip in (share for share in drawn if isinstance(share, str)):
        raise BuildFailed(slip)
    own, generated = tuple(taken.values()), tuple(sorted(chain(*drawn)))
    for name in generated:
        if name.casefold() in taken:
            raise BuildFailed(f"two pages want the address {name}; rename one of the records")
        taken[name.casefold()] = name
    _delete_others(target, set(taken.values()))
    listed = sorted({"/" + item for item in _nav_files(nav)})
    configuration = {
        "INHERIT": "../mkdocs.yml",
        "docs_dir": "pages",
        "site_dir": "site.pages",
        "nav": nav,
        "theme": {"custom_dir": str(root / "site_src" / "theme")},
        "not_in_nav": "\n".join(["/**/*.md", *(f"!{item}" for item in listed)]),
        **({"extra": {"layer": notice}} if notice else {}),
    }
    write(build / "mkdocs.yml", yaml.safe_dump(configuration, sort_keys=False, allow_unicode=True))
    return Written(own, generated, frozenset(_nav_files(nav)), configuration)


def _style(folder: Path) -> bytes:
    """The style sheets of every page, joined into one."""
    return b"\n".join((folder / f"{name}.css").read_bytes() for name in STYLES)


def _write_share(root: Path, pages: Iterable[Page]) -> list[str] | str:
    """Draw and write pages one after the other; their files, or in words what is wrong with a
    template."""
    files = []
    try:
        for page in pages:
            write(root / "build" / "pages" / page.file, page.text())
            files.append(page.file)
    except Exception as error:
        slip = slip_in_words(root, error)
        if not slip:
            raise
        return slip
    return files


def slip_in_words(root: Path, error: Exception) -> str:
    """Place and fault where an error was raised inside a template; else nothing."""
    if isinstance(error, jinja2.TemplateSyntaxError):
        place, fault = (error.filename or error.name, error.lineno), error.message
    else:
        lines = [
            (entry.filename, entry.lineno)
            for entry in traceback.extract_tb(error.__traceback__)
            if entry.filename.endswith(".j2")
        ]
        if not lines:
            return ""
        place, fault = lines[-1], f"{error} ({type(error).__name__})"
    file, line = os.path.relpath(place[0], root).replace(os.sep, "/"), place[1]
    return f"{file}:{line}: {fault}; mend the template and save it"


def write(path: Path, content: str | bytes) -> None:
    """Write a file and its folder; a file with this content already is left alone."""
    octets = content.encode("utf-8") if isinstance(content, str) else content
    try:
        with open(path, "rb") as file:
            if file.read() == octets:
                return
    except FileNotFoundError:
        path.parent.mkdir(parents=True, exist_ok=True)
    with open(path, "wb") as file:
        file.write(octets)


def _delete_others(folder: Path, keep: set[str]) -> None:
    """Delete what an earlier build left and this one does not make."""
    for directory, _, names in os.walk(folder):
        for name in names:
            path = Path(directory) / name
            if path.relative_to(folder).as_posix() not in keep:
                path.unlink()


def _nav_files(nav) -> list[str]:
    if isinstance(nav, str):
        return [nav]
    items = nav if isinstance(nav, list) else list(nav.values())
    return [file for item in items for file in _nav_files(item)]


def add_late(root: Path, files: dict[str, str]) -> None:
    """Write what scripts read beside the pages, for another site generator."""
    for name, text in files.items():
        write(root / "build" / "pages" / name, text)
