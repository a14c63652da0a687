"""A file is judged by what it is; whatever it is, there is an answer."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from observe.sheets.sign import issue
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
