"""What writes into the knowledge folder writes a whole file or leaves the old one: tried with a
disk that fills up half way, a folder that may not be written, and a copy that turns out wrong."""

import errno
import os
from datetime import date

import pytest

from generator import cli
from generator.checks.rules import check
from generator.records import clock, writing
from generator.records.complaints import Lacking
from generator.records.writing import write_whole
from generator.upkeep.new_record import new_record
from generator.upkeep.review import EditFailed, stamp_review


@pytest.fixture
def full_disk(monkeypatch):
    """Every flush fails, as when the disk is full."""

    def no_room(_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(writing.os, "fsync", no_room)


def listed(folder):
    return {p.relative_to(folder): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_a_full_disk_leaves_every_record_as_it_was(small, full_disk):
    before = listed(small)
    with pytest.raises(Lacking, match="No space left on device.*old file is untouched"):
        stamp_review(small, "test-steel", date(2026, 11, 24))
    with pytest.raises(Lacking, match="No space left on device.*nothing was written"):
        new_record(small, "alloy", "brass-new")
    assert listed(small) == before


def test_a_full_disk_is_one_line_and_3(small, full_disk, monkeypatch, capsys):
    monkeypatch.setattr(cli, "ROOT", small)
    assert cli.main(["reviewed", "test-steel", "--on", "2026-11-24"]) == 3
    said = capsys.readouterr().err.splitlines()
    assert len(said) == 1
    assert said[0].endswith(
        "cannot be written (No space left on device); the old file is untouched"
    )


def test_an_edition_is_written_with_its_fields_or_not_at_all(buildable, monkeypatch, capsys):
    monkeypatch.setattr(cli, "ROOT", buildable)
    before, real = listed(buildable / "knowledge"), os.replace

    def second_fails(source, target):
        if str(target).endswith("last.json"):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        real(source, target)

    monkeypatch.setattr(writing.os, "replace", second_fails)
    assert cli.main(["edition"]) == 3
    assert "last.json cannot be written" in capsys.readouterr().err
    after = listed(buildable / "knowledge")
    assert {k: v for k, v in after.items() if ".schema" not in k.parts} == {
        k: v for k, v in before.items() if ".schema" not in k.parts
    }


def test_a_copy_that_is_wrong_does_not_take_the_place_of_the_old_one(tmp_path):
    path = tmp_path / "x.yaml"
    path.write_text("name: old\n")

    def refuse(copy):
        assert copy.read_text() == "name: new\n"
        raise EditFailed("no")

    with pytest.raises(EditFailed):
        write_whole(path, "name: new\n", refuse)
    assert listed(tmp_path) == {path.relative_to(tmp_path): b"name: old\n"}


def test_what_a_kill_left_beside_is_no_record_and_is_no_hindrance(small):
    left = small / "knowledge" / "alloys" / ".test-steel.new.yaml"
    left.write_text("name: half of a rec")
    assert check(small)[1] == []
    stamp_review(small, "test-steel", date(2026, 11, 24))
    assert not left.exists()


def test_rights_of_a_file_stay(small):
    path = small / "knowledge" / "alloys" / "test-steel.yaml"
    path.chmod(0o640)
    stamp_review(small, "test-steel", date(2026, 11, 24))
    assert path.stat().st_mode & 0o777 == 0o640


def test_a_review_in_the_future_is_refused(small, monkeypatch):
    monkeypatch.setattr(clock, "today", lambda: date(2026, 11, 25))
    before = listed(small)
    with pytest.raises(EditFailed, match="2026-11-26 is in the future"):
        stamp_review(small, "test-steel", date(2026, 11, 26))
    assert listed(small) == before
