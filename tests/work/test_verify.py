"""A file is judged by what it is; whatever it is, there is an answer."""

import errno
import os
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest

from observe.sheets.sign import issue
from observe.store.log import Log
from observe.work.keys import keys_folder, personal_key
from observe.work.verify import Outcome, verify_file
from tests.sheets.samples import passed

AT = datetime(2026, 3, 14, 15, 31, tzinfo=UTC)


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    key = personal_key(keys_folder(), "o1", "Dr Petra Lindqvale", AT)
    path = tmp_path / "sheet.pdf"
    path.write_bytes(issue(passed(), key, AT))
    return path


def test_a_sheet_signed_here_is_sound_and_its_key_is_known(sheet: Path) -> None:
    verdict = verify_file(sheet)
    assert verdict.outcome is Outcome.SOUND, verdict.sentences
    assert verdict.kind == "sheet"
    assert any("kept on this machine for Dr Petra Lindqvale" in s for s in verdict.sentences)
    (signed,) = verdict.facts["signed"]
    assert signed["valid"] is True
    assert signed["name"] == "Dr Petra Lindqvale"


def test_more_signatures_can_be_asked_for(sheet: Path) -> None:
    assert verify_file(sheet, signatures=1).outcome is Outcome.SOUND
    assert verify_file(sheet, signatures=2).outcome is Outcome.WANTING


def test_a_spoiled_sheet_is_wanting(sheet: Path) -> None:
    sheet.write_bytes(sheet.read_bytes() + b"\n")
    assert verify_file(sheet).outcome is Outcome.WANTING


def test_a_missing_file_and_a_folder_are_told_apart(tmp_path: Path) -> None:
    assert verify_file(tmp_path / "none.pdf").sentences == (
        "There is no such file. Check its name and folder.",
    )
    assert verify_file(tmp_path).sentences == ("This is a folder. Name the files in it.",)


@pytest.mark.parametrize(
    "data", [b"", b"hello", b"\x00" * 99, b"%PDF-", b"SQLite format 3\x00" + b"\x07" * 500]
)
def test_anything_else_cannot_be_read(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "thing"
    path.write_bytes(data)
    verdict = verify_file(path)
    assert verdict.outcome is Outcome.UNREADABLE
    assert all(sentence.endswith(".") for sentence in verdict.sentences)


def test_a_file_far_too_large_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "large.pdf"
    with path.open("wb") as file:
        file.truncate(60_000_000)
    assert "too large" in verify_file(path).sentences[0]


def test_keys_that_cannot_be_read_are_no_fault_of_the_sheet(
    sheet: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(folder: object) -> object:
        raise PermissionError(errno.EACCES, "Permission denied", str(folder))

    monkeypatch.setattr(os, "scandir", refuse)
    verdict = verify_file(sheet)
    assert verdict.outcome is Outcome.SOUND
    assert "Which keys are known here could not be read" in verdict.sentences[-1]
    assert verdict.sentences[-1].endswith("this account may not use it.")


def test_a_sheet_that_cannot_be_read_is_told_with_what_to_do(
    sheet: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object, **__: object) -> object:
        raise PermissionError(errno.EACCES, "Permission denied", str(sheet))

    monkeypatch.setattr(Path, "open", refuse)
    verdict = verify_file(sheet)
    assert verdict.outcome is Outcome.UNREADABLE
    assert verdict.sentences[0].startswith("The file cannot be read: this account may not use it.")


def test_a_logbook_with_a_table_of_somebody_else_is_wanting(tmp_path: Path) -> None:
    path = tmp_path / "mine.observe"
    Log.open(path, create=True).close()
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE zz (a)")
    connection.close()
    verdict = verify_file(path)
    assert (verdict.kind, verdict.outcome) == ("logbook", Outcome.WANTING)
    assert "(zz)" in verdict.sentences[0]


def test_what_sends_a_person_to_this_check_does_not_send_them_in_a_circle(tmp_path: Path) -> None:
    path = tmp_path / "mine.observe"
    Log.open(path, create=True).close()
    path.write_bytes(path.read_bytes()[:5000])
    verdict = verify_file(path)
    assert verdict.outcome is not Outcome.SOUND
    assert "observe verify" not in verdict.sentences[0]
    assert "backup" in verdict.sentences[0]
