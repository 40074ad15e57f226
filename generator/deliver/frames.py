"""Has MkDocs draw the frame of every page, and assembles the pages in build/site.new.

A frame is a page without its content: front matter, headings, and a marker for each block of
finished HTML. What MkDocs draws is kept in build/drawn under a digest of the frame and of
everything else that affects the drawing; the blocks are filled in afterwards. So MkDocs reads a
fortieth of the text, and does not run at all when only figures have changed.
"""

from __future__ import annotations

import base64
import contextlib
import hashlib
import importlib.metadata
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

import yaml

from generator.deliver.pages import BuildFailed, Written, write

_SCRIPT = re.compile(
    rb"<script(?![^>]*\bsrc=)(?![^>]*application/json)[^>]*>(.*?)</script>", re.DOTALL
)
_HEAD = b'<meta charset="utf-8">'
_FRONT = re.compile(r"\A---\n.*?\n---\n", re.DOTALL)
_DESCRIPTION = re.compile(r"^description: (.*)$", re.MULTILINE)
_HEADING = re.compile(r"(## (?<=\n## ).+ \{: #\S+ \})$", re.MULTILINE)
# The theme puts a title of its own on a page without "<h1"; ours stands in a block.
_MARKER = "<!--<h1 block {}-->"
_MARKED = re.compile(r"<!--<h1 block (\d+)-->")
_DESCRIBED = "<!--description-->"
_DECIDE = ("mkdocs", "mkdocs-material", "markdown", "jinja2", "pymdown-extensions", "pyyaml")
UNUSED = (
    "javascripts",
    "stylesheets",
    "images",
)  # of the theme's assets: scripts and looks are ours


def split(text: str) -> tuple[str, str, list[str]]:
    """The frame of a generated page, its description, and its blocks in order."""
    front = _FRONT.match(text)
    described = _DESCRIPTION.search(front.group())
    head = _DESCRIPTION.sub(f"description: '{_DESCRIBED}'", front.group(), count=1)
    pieces = _HEADING.split(text[front.end() :])
    blocks = pieces[::2]
    pieces[::2] = [_MARKER.format(number) for number in range(len(blocks))]
    return "\n".join([head, *(f"{p}\n" for p in pieces)]), json.loads(described.group(1)), blocks


def fill(drawn: str, description: str, blocks: list[str]) -> str:
    """What MkDocs drew of a frame, with the blocks filled in.

    Raises ValueError if it has no places for exactly these blocks.
    """
    pieces = _MARKED.split(drawn)
    if pieces[1::2] != [str(number) for number in range(len(blocks))]:
        raise ValueError(f"{len(blocks)} blocks, but {len(pieces) // 2} places for them")
    pieces[1::2] = blocks
    pieces[0] = pieces[0].replace(_DESCRIBED, description, 1)
    return "".join(pieces)


@dataclass(frozen=True)
class Drawn:
    """The frames of one build as MkDocs drew them; ``base`` is the digest of what all of them
    depend on.
    """

    store: Path
    base: str
    files: Mapping[str, Path]  # Markdown file -> its frame, and "" -> the theme's assets

    def page(self, name: str, text: str) -> bytes | None:
        """A page with new content in its old frame; None if its frame has changed."""
        frame, description, blocks = split(text)
        drawn = self.files.get(name)
        if drawn != _place(self.store, self.base, name, frame):
            return None
        return fill(drawn.read_text(encoding="utf-8"), description, blocks).encode("utf-8")


def _place(store: Path, base: str, name: str, frame: str) -> Path:
    return store / f"{_digest(base, name, frame)}.html"


@contextlib.contextmanager
def drawing(
    root: Path, written: Written, edition: str, lock: int | None = None
) -> Iterator[Callable[[], Drawn]]:
    """Let MkDocs draw the frames that no earlier build kept while the block runs; the yielded
    function waits for it. MkDocs is stopped if the block ends early.

    The pages in its menu are always drawn with them, because every page shows their titles.
    """
    store = root / "build" / "drawn"
    texts = dict(_frames(root, written))
    common = {n: t for n, t in texts.items() if n in written.listed or n in written.own}
    base = _digest(_settings(root, written), json.dumps(common))
    files = {name: _place(store, base, name, text) for name, text in texts.items()}
    files[""] = store / f"theme-{base}"
    missing = {name for name, path in files.items() if not path.exists()}
    wanted = set(texts) if "" in missing else missing | set(common)
    asked = {n: texts[n] for n in sorted(wanted)} if missing else {}
    with _mkdocs(root, written, asked, edition, lock) as wait:

        def drawn() -> Drawn:
            wait()
            for name in missing - {""}:
                _keep_page(root / "build" / "frames.site" / html_of(name), files[name])
            if "" in missing:
                _keep_theme(root / "build" / "frames.site" / "assets", files[""])
            shutil.rmtree(root / "build" / "frames.site", ignore_errors=True)
            _delete_others(store, set(files.values()))
            return Drawn(store, base, files)

        yield drawn


def html_of(name: str) -> str:
    """The page that a Markdown file becomes."""
    return f"{name.removesuffix('.md')}.html"


def markdown_of(name: str) -> str:
    """The Markdown file that a page is made of."""
    return f"{name.removesuffix('.html')}.md"


def _frames(root: Path, written: Written) -> Iterator[tuple[str, str]]:
    for name in written.pages:
        text = (root / "build" / "pages" / name).read_text(encoding="utf-8")
        yield name, text if name in written.own else split(text)[0]


def _settings(root: Path, written: Written) -> str:
    """Everything besides the frame that affects how it is drawn."""
    theme = sorted(p for p in (root / "site_src" / "theme").rglob("*") if p.is_file())
    return json.dumps(
        [
            written.configuration,
            (root / "mkdocs.yml").read_text(encoding="utf-8"),
            [(str(path), hashlib.sha256(path.read_bytes()).hexdigest()) for path in theme],
            [sys.version, *(importlib.metadata.version(package) for package in _DECIDE)],
            hashlib.sha256(Path(__file__).read_bytes()).hexdigest(),
        ]
    )


def _digest(*texts: str) -> str:
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()[:32]


@contextlib.contextmanager
def _mkdocs(
    root: Path, written: Written, frames: Mapping[str, str], edition: str, lock: int | None
) -> Iterator[Callable[[], None]]:
    """Run MkDocs on frames, if there are any, into build/frames.site, as any user would.

    Not in strict mode: links and anchors are checked in the finished pages. MkDocs also holds the
    build's lock, so that no new build starts while a MkDocs whose build was killed still writes.
    """
    if not frames:
        yield lambda: None
        return
    build = root / "build"
    for folder in ("frames", "frames.site"):
        shutil.rmtree(build / folder, ignore_errors=True)
    for name, text in frames.items():
        write(build / "frames" / name, text)
    configuration = {
        **written.configuration,
        "docs_dir": "frames",
        "site_dir": "frames.site",
    }
    write(build / "frames.yml", yaml.safe_dump(configuration, sort_keys=False, allow_unicode=True))
    epoch = str(int(datetime.fromisoformat(edition).replace(tzinfo=UTC).timestamp()))
    with tempfile.TemporaryFile() as said:
        process = subprocess.Popen(
            [sys.executable, "-m", "mkdocs", "build", "--config-file", str(build / "frames.yml")],
            env={
                **os.environ,
                "SOURCE_DATE_EPOCH": os.environ.get("SOURCE_DATE_EPOCH", epoch),
                "NO_MKDOCS_2_WARNING": "1",
            },
            stdout=said,
            stderr=subprocess.STDOUT,
            pass_fds=() if lock is None else (lock,),
        )
        try:
            yield lambda: _wait(process, said, build)
        finally:
            if process.poll() is None:  # the build ends early: nobody waits for the frames
                process.kill()
                process.wait()


def _wait(process: subprocess.Popen, said: IO[bytes], build: Path) -> None:
    """Wait for MkDocs; raise BuildFailed with its output if it failed."""
    code = process.wait()
    if code < 0:
        raise BuildFailed(f"MkDocs was stopped from outside (signal {-code}); start again")
    said.seek(0)
    words = said.read().decode("utf-8", "replace")
    if "No space left on device" in words:
        raise BuildFailed(f"the disk of {build} is full; free some space and build again")
    if code:
        raise BuildFailed(f"MkDocs refused the pages:\n{words.strip()[-3000:]}")


def _keep_page(drawn: Path, kept: Path) -> None:
    """Keep a drawn frame, with its policy; renamed when complete, so that a kill leaves no
    half-written file.
    """
    if not drawn.exists():
        raise BuildFailed(f"MkDocs did not draw {drawn.name}; is its name one that MkDocs changes?")
    kept.parent.mkdir(exist_ok=True)
    drawn.write_bytes(with_policy(drawn.read_bytes()))
    drawn.replace(kept)


def _keep_theme(assets: Path, kept: Path) -> None:
    """Keep what the theme ships beside the pages and an offline site uses."""
    for name in UNUSED:
        shutil.rmtree(assets / name, ignore_errors=True)
    assets.replace(kept)


def _delete_others(store: Path, keep: Collection[Path]) -> None:
    """Delete what no page of this build uses."""
    for path in store.iterdir():
        if path not in keep:
            shutil.rmtree(path) if path.is_dir() else path.unlink()


def assemble(root: Path, written: Written, drawn: Drawn, late: dict[str, str]) -> None:
    """Write build/site.new: what the theme ships, our assets, what scripts read, and every page
    filled."""
    pages, site = root / "build" / "pages", root / "build" / "site.new"
    shutil.rmtree(site, ignore_errors=True)
    theme = drawn.files[""]
    for path in theme.rglob("*"):
        if path.is_file():
            put(root, f"assets/{path.relative_to(theme).as_posix()}", path.read_bytes())
    for name in written.assets:
        put(root, name, (pages / name).read_bytes())
    for name, text in late.items():
        put(root, name, text.encode("utf-8"))
    own = set(written.own)
    for name in written.pages:
        page = drawn.files[name].read_text(encoding="utf-8")
        if name not in own:
            _, description, blocks = split((pages / name).read_text(encoding="utf-8"))
            page = fill(page, description, blocks)
        put(root, html_of(name), page.encode("utf-8"))


def put(root: Path, name: str, octets: bytes) -> None:
    """Write a file of the site being made.

    A file identical to that of the last site is linked, so it keeps its time stamp and a copy kept
    elsewhere has nothing to fetch; no file of a site is ever changed in place.
    """
    new, old = root / "build" / "site.new" / name, root / "site" / name
    new.parent.mkdir(parents=True, exist_ok=True)
    same = old.is_file() and old.stat().st_size == len(octets) and old.read_bytes() == octets
    if same:
        with contextlib.suppress(OSError):  # a file system without links
            os.link(old, new)
            return
    new.write_bytes(octets)
    if same:
        shutil.copystat(old, new)


def with_policy(page: bytes) -> bytes:
    """The page with a strict policy that allows its own inline scripts by hash and nothing from
    elsewhere."""
    hashes = {
        base64.b64encode(hashlib.sha256(script).digest()).decode()
        for script in _SCRIPT.findall(page)
    }
    allowed = "".join(f" 'sha256-{h}'" for h in sorted(hashes))
    policy = (
        f"default-src 'none'; script-src 'self'{allowed}; style-src 'self'; "
        "img-src 'self' data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
        "base-uri 'none'; form-action 'none'"
    )
    meta = f'<meta http-equiv="Content-Security-Policy" content="{policy}">'.encode()
    return page.replace(_HEAD, _HEAD + meta, 1)
