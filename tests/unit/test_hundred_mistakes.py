"""A hundred slips of somebody who is no programmer, each with the place, the fault and the cure
that must be said; the list was written before the answers were looked at."""

from pathlib import Path

import pytest
import yaml

from generator.checks.rules import check
from tests.conftest import FULL, SMALL, make_root

MISTAKES = yaml.load(
    (Path(__file__).parent / "mistakes.yaml").read_text(encoding="utf-8"), Loader=yaml.CSafeLoader
)


def make_mistake(folder: Path, slip: dict) -> str:
    """Do it; gives back the text of the file as it is then."""
    path = folder / slip["file"]
    if "copy" in slip:
        text = (folder / slip["copy"]).read_text(encoding="utf-8")
    elif "cut" in slip:
        text = path.read_text(encoding="utf-8")
        text = text[: text.index(slip["cut"]) + len(slip["cut"])]
    elif "was" in slip:
        text = path.read_text(encoding="utf-8")
        assert slip["was"] in text
        text = text.replace(slip["was"], slip["now"], 1)
    else:
        text = slip["now"]
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding=slip.get("encoding", "utf-8"))
    return text


def lines_of(text: str, at) -> set[int]:
    pieces = [at] if isinstance(at, str) else at
    return {text[: text.index(p)].count("\n") + 1 for p in pieces}


@pytest.fixture(scope="module")
def whole(tmp_path_factory) -> Path:
    return make_root(tmp_path_factory.mktemp("whole"), SMALL, FULL)


@pytest.mark.parametrize("name", MISTAKES)
def test_place_fault_and_cure_are_those_of_the_slip(whole, name):
    slip = MISTAKES[name]
    path = whole / "knowledge" / slip["file"]
    before = path.read_bytes() if path.exists() else None
    had = path.parent.exists()
    try:
        text = make_mistake(whole / "knowledge", slip)
        said = check(whole)[1]
    finally:
        path.unlink() if before is None else path.write_bytes(before)
        if not had:
            path.parent.rmdir()
    shown = "\n".join(map(str, said))
    files = [f"knowledge/{slip[k]}" for k in ("file", "or") if k in slip]
    ours = [c for c in said if c.place.file in files]
    assert ours, shown
    first = next(
        (c for c in ours if all(w in c.fault.replace("\u00a0", " ") for w in slip["fault"])), None
    )
    assert first, shown
    assert all(word in first.cure for word in slip.get("cure", ())), shown
    if "at" in slip:
        assert first.place.line in lines_of(text, slip["at"]), shown
    assert len(said) <= slip.get("lines", 1), shown
