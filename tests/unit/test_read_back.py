"""A second reader turns translations back: what is handed out, compared, recorded, and what the
pages say of it."""

import re

import pytest

from generator import cli
from generator.checks.rules import check
from generator.records.languages import COMPARED, for_safety, offered, read_back, told
from generator.site.speech import speeches
from generator.upkeep.read_back import beside, record, sheet
from tests.conftest import edit

OWNER = "owner: [Rinse it.]"
IN_GERMAN = OWNER + '\ntranslations: {Rinse it.: {de: "Spülen Sie es 2 Mal."}}'


@pytest.fixture
def translated(small):
    edit(small, "hazards/test-sea.yaml", OWNER, IN_GERMAN.replace(" 2 Mal", ""))
    return small


def known(root):
    knowledge, complaints = check(root)
    assert [str(c) for c in complaints] == []
    return knowledge


def rinse(root):
    return [line for line in sheet(known(root), "de") if "Spülen" in line]


def test_the_reader_is_not_shown_the_original(translated):
    (line,) = rinse(translated)
    assert re.fullmatch("[0-9a-f]{6} Spülen Sie es.", line)
    assert "Rinse" not in "".join(sheet(known(translated), "de"))


def test_what_came_back_stands_beside_the_original(translated, tmp_path):
    mark = rinse(translated)[0].split()[0]
    file = tmp_path / "back.txt"
    file.write_text(f"{mark} Rinse it 2 times.\n")
    assert beside(known(translated), "de", file) == [
        f"{mark} Rinse it.",
        "       Rinse it 2 times.  (other numbers)",
    ]


def test_a_recorded_sentence_is_read_until_it_changes(translated, tmp_path):
    file = tmp_path / "back.txt"
    file.write_text("\n".join(rinse(translated)))
    knowledge = known(translated)
    day = knowledge.hazards["test-sea"].reviewed.on
    assert record(translated / "knowledge", knowledge, "de", file, day, "a reader") == 1
    assert rinse(translated) == []
    edit(translated, "hazards/test-sea.yaml", "Spülen Sie es.", "Spülen Sie sie.")
    assert len(rinse(translated)) == 1


def test_a_language_that_is_not_there_is_refused(monkeypatch, translated, capsys):
    monkeypatch.setattr(cli, "ROOT", translated)
    assert cli.main(["read-back", "xx"]) == cli.WRONG_COMMAND
    assert "xx is not a language of the bench; there are de, fr" in capsys.readouterr().err


def test_the_shipped_sentences_are_turned_back(knowledge):
    """Counted here without the verb: at least 98 of a hundred owner lines and safety lines."""
    for tag in offered(knowledge):
        left = dict(line.split(" ", 1) for line in sheet(knowledge, tag))
        whole = {record.translations[line][tag] for record, line in told(knowledge)}
        words = {p.names[tag][0] for p in knowledge.words("phrases").values()}
        assert set(left.values()) <= whole | words
        assert sum(text in whole for text in left.values()) <= len(whole) * 0.02


def test_what_was_only_compared_counts_as_not_turned_back(translated, tmp_path):
    """The page says it; turned back later, it is no longer among those only compared."""
    mark = rinse(translated)[0].split()[0]
    file = translated / "knowledge" / "vocabulary" / "read_back.yaml"
    file.write_text(
        f"de-a: {{language: de, on: 2026-01-02, by: a reader, how: compared, marks: [{mark}]}}\n"
    )
    assert len(rinse(translated)) == 1
    knowledge = known(translated)
    assert read_back(knowledge, "de", COMPARED).keys() == {mark}
    back = tmp_path / "back.txt"
    back.write_text(f"{mark} Rinse it.\n")
    day = knowledge.hazards["test-sea"].reviewed.on
    assert record(translated / "knowledge", knowledge, "de", back, day, "another") == 1
    knowledge = known(translated)
    assert read_back(knowledge, "de").keys() == {mark}
    assert read_back(knowledge, "de", COMPARED) == {}


def test_the_page_says_who_read_and_how_many_lines_nobody_has(knowledge):
    """The day of the reading, and a count of the translations that the sheet still holds."""
    for speech in speeches(knowledge)[1:]:
        sentences = list(for_safety(knowledge.first_aid.values()))
        said = " ".join(map(str, speech.trust(sentences)))
        assert "2026-11-26" in said
        left = {line.split(" ", 1)[1] for line in sheet(knowledge, speech.tag)}
        here = {record.translations[line][speech.tag] for record, line in sentences}
        count = len(left & here)
        assert (f": {count}." in said or f"\xa0: {count}." in said) if count else True
        unsigned = {"de": "Keine Fachperson", "fr": "Aucun praticien"}[speech.tag]
        assert unsigned in said


def test_without_any_reading_the_page_says_so(translated):
    knowledge = known(translated)
    knowledge.words("read_back").clear()
    speech = speeches(knowledge)[1]
    assert read_back(knowledge, "de") == {}
    assert "noch niemand" in str(speech.trust([])[0])
