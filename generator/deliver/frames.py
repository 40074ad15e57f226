"""Receives rendered pages; hands on a finished site folder, swapped in whole.

Everything is made beside the last good site (build/site.new) and takes its place only when MkDocs
and the checks are content, so that a fault or a kill leaves the site that was there.
"""

from __future__ import annotations

import base64
import filecmp
import hashlib
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from functools import partial
from itertools import chain
from pathlib import Path

import yaml

from generator.deliver.sharing import ShareFailed, both
from generator.deliver.swap import exchange
from generator.export import document, sheets
from generator.records.knowledge import Knowledge
from generator.site.page import Page

_SCRIPT = re.compile(
    rb"<script(?![^>]*\bsrc=)(?![^>]*application/json)[^>]*>(.*?)</script>", re.DOTALL
)
_SITE_URL = re.compile(r"^site_url:\s*[\"']?(https?://[^\s\"']+)", re.MULTILINE)
_HEAD = b'<meta charset="utf-8">'
UNUSED = ("404.html", "sitemap.xml", "sitemap.xml.gz", "assets/javascripts")


class BuildFailed(Exception):
    """MkDocs or the finishing step refused; the message says why and what to do."""


def address_of(root: Path) -> str:
    """The http address that ``site_url`` of mkdocs.yml names, or an empty text."""
    found = _SITE_URL.search((root / "mkdocs.yml").read_text(encoding="utf-8"))
    return found.group(1) if found else ""


def write_pages(
    root: Path, shares: tuple[Iterable[Page], Iterable[Page]], nav: list, notice: str = ""
) -> int:
    """Write build/pages and build/mkdocs.yml: hand-written pages, then both shares of generated
    ones.

    Returns their number.     ``notice`` is a line for every page; empty: none.

    Raises BuildFailed when two pages want the same address (case ignored): one would silently
    replace the other.
    """
    build = root / "build"
    target, source = build / "pages", root / "site_src" / "pages"
    taken: dict[str, str] = {}
    count = 0
    for path in sorted(p for p in source.rglob("*") if p.is_file()):
        name = path.relative_to(source).as_posix()
        if path.is_symlink():
            raise BuildFailed(f"site_src/pages/{name} is a link; put the file itself there")
        taken[name.casefold()] = name
        count += name.endswith(".md")
        _write(target / name, path.read_bytes())
    try:
        drawn = both(*(partial(_write_share, target, share) for share in shares))
    except ShareFailed:
        raise BuildFailed("half of the pages could not be drawn; the fault stands above") from None
    for name in chain(*drawn):
        if name.casefold() in taken:
            raise BuildFailed(f"two pages want the address {name}; rename one of the records")
        taken[name.casefold()] = name
        count += 1
    _delete_others(target, set(taken.values()))
    listed = sorted({"/" + item for item in _nav_files(nav)})
    configuration = {
        "INHERIT": "../mkdocs.yml",
        "docs_dir": "pages",
        "site_dir": "site.new",
        "nav": nav,
        "theme": {"custom_dir": str(root / "site_src" / "theme")},
        "not_in_nav": "\n".join(["/**/*.md", *(f"!{item}" for item in listed)]),
        **({"extra": {"layer": notice}} if notice else {}),
    }
    _write(build / "mkdocs.yml", yaml.safe_dump(configuration, sort_keys=False, allow_unicode=True))
    return count


def _write_share(target: Path, pages: Iterable[Page]) -> list[str]:
    """Draw and write pages one after the other; their files."""
    files = []
    for page in pages:
        _write(target / page.file, page.text())
        files.append(page.file)
    return files


def _write(path: Path, content: str | bytes) -> None:
    """Write a file, making its folder where it is missing; a file that holds this already is left
    alone."""
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
    """Delete what an earlier build left and this one does not have."""
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


# MkDocs as any user would run it, but it has loaded its modules before the pages are there; told nothing, it ends.
_WAITING = (
    "import sys, mkdocs.__main__, mkdocs.commands.build, markdown.extensions.toc, markdown.extensions.attr_list, material\n"
    "if sys.stdin.readline(): sys.exit(mkdocs.__main__.cli(prog_name='mkdocs'))"
)


@contextmanager
def mkdocs_waiting(root: Path, edition: str, lock: int | None = None) -> Iterator[subprocess.Popen]:
    """MkDocs, ready to build into build/site.new; it holds the build's lock too, and ends with the
    block.

    Not with --quiet: that hides the warnings that --strict counts.
    """
    shutil.rmtree(root / "build" / "site.new", ignore_errors=True)
    epoch = str(int(datetime.fromisoformat(edition).replace(tzinfo=UTC).timestamp()))
    environment = {
        **os.environ,
        "SOURCE_DATE_EPOCH": os.environ.get("SOURCE_DATE_EPOCH", epoch),
        "NO_MKDOCS_2_WARNING": "1",
    }
    command = [
        sys.executable,
        "-c",
        _WAITING,
        "build",
        "--strict",
        "--config-file",
        str(root / "build" / "mkdocs.yml"),
    ]
    process = subprocess.Popen(
        command,
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        pass_fds=() if lock is None else (lock,),
    )
    with process:
        yield process


def start_mkdocs(process: subprocess.Popen) -> None:
    """Tell a waiting MkDocs that the pages are there."""
    with suppress(
        BrokenPipeError
    ):  # it was stopped from outside; that is told when it is waited for
        process.stdin.write("go\n")
        process.stdin.flush()


def wait_for_mkdocs(process: subprocess.Popen) -> None:
    """Wait until MkDocs is done.

    Raises BuildFailed with its own words when it refused the pages.
    """
    said, _ = process.communicate()
    if process.returncode < 0:
        raise BuildFailed(
            f"MkDocs was stopped from outside (signal {-process.returncode}); start again"
        )
    if process.returncode:
        raise BuildFailed(f"MkDocs refused the pages:\n{said.strip()[-3000:]}")


def write_data(root: Path, knowledge: Knowledge, published: dict) -> None:
    """Write the published data into build/data: JSON with its schema, and the tables."""
    folder = root / "build" / "data"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    for name, content in (("knowledge.json", published), (document.SCHEMA_ID, document.schema())):
        with open(folder / name, "w", encoding="utf-8", newline="\n") as file:
            file.writelines(document.as_json(content))
            file.write("\n")
    sheets.write(folder, knowledge, published)


def add_late(root: Path, files: dict[str, str]) -> None:
    """Write files of the site that no page's making needs, after MkDocs: into build/site.new, and
    into build/pages, which another site generator may read."""
    for folder in ("site.new", "pages"):
        for name, text in files.items():
            _write(root / "build" / folder / name, text)


def finish(root: Path) -> None:
    """Remove what an offline site does not use, take in the data, and give every page its Content-
    Security-Policy."""
    site = root / "build" / "site.new"
    for name in UNUSED:
        path = site / name
        shutil.rmtree(path, ignore_errors=True) if path.is_dir() else path.unlink(missing_ok=True)
    (root / "build" / "data").rename(site / "data")
    for path in sorted(site.rglob("*.html")):
        path.write_bytes(with_policy(path.read_bytes()))


def with_policy(page: bytes) -> bytes:
    """The page with a strict policy that allows its own inline scripts by hash and nothing from
    elsewhere."""
    hashes = {
        base64.b64encode(hashlib.sha256(script).digest()).decode()
        for script in _SCRIPT.findall(page)
    }
    allowed = "".join(f" 'sha256-{h}'" for h in sorted(hashes))
    policy = (
        f"default-src 'none'; script-src 'self'{allowed}; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        "manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'"
    )
    return page.replace(
        _HEAD, _HEAD + f'<meta http-equiv="Content-Security-Policy" content="{policy}">'.encode(), 1
    )


def swap_in(root: Path) -> Path:
    """Put build/site.new in the place of site/, in one step where the system can.

    Files that did not change keep their time stamps.
    """
    new, old, site = root / "build" / "site.new", root / "build" / "site.old", root / "site"
    _keep_times(new, site)
    shutil.rmtree(old, ignore_errors=True)
    if site.exists() and exchange(new, site):
        shutil.rmtree(new, ignore_errors=True)
        return site
    if site.exists():
        site.rename(old)
    new.rename(site)
    shutil.rmtree(old, ignore_errors=True)
    return site


def recover(root: Path) -> None:
    """After a kill between the two renames of ``swap_in`` (where no exchange is possible): the old
    site is still there, put it back."""
    old, site = root / "build" / "site.old", root / "site"
    if old.exists() and not site.exists():
        old.rename(site)


def _keep_times(new: Path, site: Path) -> None:
    for folder, _, names in os.walk(new):
        old = os.path.join(site, os.path.relpath(folder, new))
        for name in names:
            path, before = os.path.join(folder, name), os.path.join(old, name)
            if os.path.isfile(before) and filecmp.cmp(path, before, shallow=False):
                times = os.stat(before)
                os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
