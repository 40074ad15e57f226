"""What is not ours: every vendored file stands in DEVELOPERS.md with version, licence and hash,
and is the file it was; so is every dependency."""

import hashlib
import re
import tomllib

from tests.conftest import ROOT

GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
VENDORED = [
    *(ROOT / "site_src" / "pages" / "assets" / "vendor").iterdir(),
    ROOT / "tests" / "browser" / "axe.min.js",
]


def test_every_vendored_file_has_the_hash_in_the_guide():
    listed = dict(re.findall(r"^\| `([^`]+)` \| ([0-9a-f]{64}) \|$", GUIDE, re.M))
    assert listed == {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in VENDORED}


def test_every_vendored_file_has_a_version_and_a_licence_in_the_guide():
    named = re.findall(r"^\| \S+ (\d+\.\d+\.\d+) \(vendored[^,]*, ([\w.-]+)[;)]", GUIDE, re.M)
    assert len(named) == len(VENDORED)
    assert all((ROOT / "LICENSES" / f"{licence}.txt").is_file() for _, licence in named)


def test_every_vendored_file_has_a_licence_of_its_own_for_machines():
    listed = {
        a["path"]: a["SPDX-License-Identifier"]
        for a in tomllib.loads((ROOT / "REUSE.toml").read_text(encoding="utf-8"))["annotations"]
    }
    for path in VENDORED:
        assert listed[path.relative_to(ROOT).as_posix()] in GUIDE


def test_every_dependency_has_its_reason_and_is_locked_with_hashes():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    shipped, tests = project["dependencies"], project["optional-dependencies"]["test"]
    reasons = {
        name
        for row in re.findall(r"^\| ([a-z0-9, -]+) \|", GUIDE, re.M)
        for name in row.split(", ")
    }
    for lock, wanted in (
        ("requirements.lock", shipped),
        ("requirements-test.lock", [*shipped, *tests]),
    ):
        locked = (ROOT / lock).read_text(encoding="utf-8")
        for line in re.split(r"\n(?=\S)", locked.strip()):
            assert "--hash=sha256:" in line, line
        for name in (re.match(r"[\w-]+", w).group() for w in wanted):
            assert name in reasons, name
            assert re.search(rf"^{name}==", locked, re.M), (lock, name)
