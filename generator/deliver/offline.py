"""Adds to a copy of the site what a browser needs to keep it for use without a network (served over
https).

The worker knows the hash of every file, so a browser keeps one complete edition or none.
"""

from __future__ import annotations

import base64
import hashlib
import json
import shutil
from pathlib import Path
from urllib.parse import quote

WORKER, REGISTRATION, MANIFEST = "offline-worker.js", "assets/offline.js", "manifest.webmanifest"
NOT_KEPT = ("data/",)  # large, and nobody needs it at the bench


def add(site: Path, sources: Path, edition: str) -> None:
    """Add worker, registration and manifest to the site; every page loads the registration."""
    shutil.copy(sources / "offline.js", site / REGISTRATION)
    shutil.copy(sources / MANIFEST, site / MANIFEST)
    for path in sorted(site.rglob("*.html")):
        up = "../" * (len(path.relative_to(site).parts) - 1)
        page = path.read_bytes()
        path.write_bytes(
            page.replace(
                b"</head>", f'<script src="{up}{REGISTRATION}" defer></script></head>'.encode(), 1
            )
        )
    files = kept_files(site)
    digest = hashlib.sha256(json.dumps(files).encode()).hexdigest()[:12]
    worker = (sources / WORKER).read_text(encoding="utf-8")
    worker = worker.replace("__EDITION__", f"{edition} {digest}").replace(
        "__FILES__", json.dumps(files, indent=0)
    )
    (site / WORKER).write_text(worker, encoding="utf-8", newline="\n")


def kept_files(site: Path) -> dict[str, str]:
    """Address -> SHA-256 (base64) of every file that is kept."""
    names = sorted(p.relative_to(site).as_posix() for p in site.rglob("*") if p.is_file())
    return {
        quote(name): base64.b64encode(hashlib.sha256((site / name).read_bytes()).digest()).decode()
        for name in names
        if name != WORKER and not name.startswith(NOT_KEPT)
    }
