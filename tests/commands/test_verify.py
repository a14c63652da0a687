"""`observe verify`: one answer for each file, and the worst decides the exit code."""

import io
import json
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from observe.commands.main import run
from observe.sheets.sign import issue
from observe.work.keys import keys_folder, personal_key
from tests.sheets.samples import remediate

AT = datetime(2026, 3, 14, 15, 31, tzinfo=UTC)


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    key = personal_key(keys_folder(), "o1", "Dr Petra Lindqvale", AT)
    path = tmp_path / "ravi.pdf"
    path.write_bytes(issue(remediate(), key, AT))
    return path


def test_a_sound_sheet(sheet: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["verify", str(sheet)]) == 0
    answer = capsys.readouterr()
    lines = answer.out.splitlines()
    assert lines[0] == f"{sheet}: sound"
    assert all(line.startswith("  ") for line in lines[1:])
    assert answer.err == ""


def test_the_worst_file_decides(
    sheet: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spoiled = tmp_path / "spoiled.pdf"
    spoiled.write_bytes(sheet.read_bytes() + b"more")
    assert run(["verify", str(sheet), str(spoiled)]) == 1
    assert "4 bytes were added behind the last signature" in capsys.readouterr().out
    assert run(["verify", str(sheet), str(spoiled), str(tmp_path / "none.pdf")]) == 2
    out = capsys.readouterr().out
    assert f"{sheet}: sound" in out
    assert "There is no such file." in out


def with_a_later_revision(pdf: bytes) -> bytes:
    """A sheet that another program has written once more: its language is another."""
    writer: Any = IncrementalPdfFileWriter(io.BytesIO(pdf))
    writer.root["/Lang"] = generic.pdf_string("xx")
    writer.update_root()
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def test_what_the_libraries_say_of_a_changed_sheet_is_told_as_findings_alone(sheet: Path) -> None:
    sheet.write_bytes(with_a_later_revision(sheet.read_bytes()))
    command = [sys.executable, "-m", "observe", "verify", str(sheet)]
    answer = subprocess.run(command, capture_output=True, text=True, check=False)
    assert answer.returncode == 1
    assert answer.stderr == ""
    assert "is not valid: the file was changed after it was signed" in answer.stdout


def test_programs_read_json(sheet: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["verify", "--json", "--signatures", "2", str(sheet)]) == 1
    (found,) = json.loads(capsys.readouterr().out)["files"]
    assert found["outcome"] == "wanting"
    assert found["kind"] == "sheet"
    assert found["signatures"] == 1
    assert found["signed"][0]["known"]
    assert "2 signatures were expected; 1 found." in found["sentences"]


@pytest.mark.parametrize("count", ["-1", "0", "5", "two"])
def test_a_count_of_signatures_that_no_sheet_has_is_refused(
    count: str, sheet: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["verify", f"--signatures={count}", str(sheet)]) == 2
    answer = capsys.readouterr()
    assert answer.out == ""
    assert f"“{count}” is not 1 to 4" in answer.err


def test_help_has_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["verify", "--help"]) == 0
    assert "observe verify sheets/*.pdf" in capsys.readouterr().out


def test_a_name_in_a_key_cannot_pass_for_words_of_the_program(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name = "\x1b[2JEve\nThe file is sound.\u202e"
    key = personal_key(keys_folder(), "o1", name, AT)
    path = tmp_path / "eve\n.pdf: sound\x1b[0m"
    path.write_bytes(issue(remediate(), key, AT))
    run(["verify", str(path)])
    lines = capsys.readouterr().out.split("\n")[:-1]
    assert all(line.isprintable() for line in lines)
    assert "The file is sound." not in [line.strip() for line in lines]
    assert [line for line in lines if not line.startswith("  ")] == [lines[0]]
