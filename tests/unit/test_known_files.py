"""A file that was read once is known by its bytes; nothing else that the store holds is
believed."""

import pytest

from generator.records.known_files import KnownFiles
from generator.records.reading import read_file


@pytest.fixture
def record(tmp_path):
    path = tmp_path / "knowledge" / "x.yaml"
    path.parent.mkdir()
    path.write_text('name: "7.90"\nlines:\n  - "ä: 1\\n2"\n', encoding="utf-8")
    return path


def remembered(tmp_path, record):
    store = tmp_path / "build" / "read.txt"
    known = KnownFiles(store)
    digest, found = known.find("x.yaml", record)
    assert found is None
    known.learn(digest, read_file(tmp_path, record))
    known.keep()
    return store


def test_what_was_read_is_found_again_and_has_its_places(tmp_path, record):
    store = remembered(tmp_path, record)
    digest, found = KnownFiles(store).find("x.yaml", record)
    assert (
        found.plain() == read_file(tmp_path, record).data == {"name": "7.90", "lines": ["ä: 1\n2"]}
    )
    assert str(found.place(("lines", 0))) == "x.yaml:3:5" and found.digest == digest


def test_a_changed_file_is_not_known(tmp_path, record):
    store = remembered(tmp_path, record)
    record.write_text('name: "7.9"\n', encoding="utf-8")
    assert KnownFiles(store).find("x.yaml", record)[1] is None


@pytest.mark.parametrize(
    "damage",
    [
        lambda octets: b"",
        lambda octets: octets[:-9],
        lambda octets: b"\xff" + octets,
        lambda octets: b"another reader\n" + octets.partition(b"\n")[2],
    ],
    ids=["empty", "cut off", "not UTF-8", "of another reader"],
)
def test_a_damaged_store_is_not_believed(tmp_path, record, damage):
    store = remembered(tmp_path, record)
    store.write_bytes(damage(store.read_bytes()))
    assert KnownFiles(store).find("x.yaml", record)[1] is None


def test_a_link_and_a_missing_file_are_left_to_the_reader(tmp_path, record):
    store = remembered(tmp_path, record)
    link = tmp_path / "knowledge" / "y.yaml"
    link.symlink_to(record)
    assert KnownFiles(store).find("y.yaml", link) == ("", None)
    assert KnownFiles(store).find("z.yaml", tmp_path / "z.yaml") == ("", None)
