"""`observe paper`: blank scoring sheets of a logbook or a form, and sentences where it cannot."""

import json
from pathlib import Path

import pytest

from observe.commands.main import run
from observe.work.logbooks import open_logbook
from tests.domain.smallform import SMALL


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


def test_a_form_is_printed_for_each_variant(
    small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "print"
    assert run(["paper", str(small), str(out), "--letter"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        f"{out / 'paper-small-left.pdf'}: 1 sheet",
        f"{out / 'paper-small-right.pdf'}: 1 sheet",
    ]
    assert run(["paper", str(small), str(out), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert [one["sheets"] for one in answer["files"]] == [1, 1]
    assert all(Path(one["file"]).read_bytes().startswith(b"%PDF") for one in answer["files"])


def test_what_cannot_be_printed_is_told(
    small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["paper", str(small), str(tmp_path), "--workshop", "A"]) == 2
    assert "A form has no workshops." in capsys.readouterr().err
    assert run(["paper", str(small), str(small)]) == 2
    assert "This is a file." in capsys.readouterr().err
    empty = tmp_path / "empty.observe"
    open_logbook(empty, create=True).close()
    assert run(["paper", str(empty), str(tmp_path)]) == 2
    assert "No workshop is planned in this logbook." in capsys.readouterr().err
    assert run(["paper", str(tmp_path / "absent.toml"), str(tmp_path)]) == 2
    assert "There is no such file." in capsys.readouterr().err


def test_help_has_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["paper", "--help"]) == 0
    assert "observe paper course.observe print/" in capsys.readouterr().out
