import json
from pathlib import Path

import pytest

from observe.commands.main import run


def test_demo_makes_a_folder_and_prints_the_directors_summary(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "demo"
    assert run(["demo", str(folder), "--json"]) == 0
    told = capsys.readouterr()
    answer = json.loads(told.out)
    assert told.err == ""
    assert len(answer["sheets"]) == 8
    assert all(Path(sheet).is_file() for sheet in answer["sheets"])
    assert Path(answer["logbook"]).is_file()
    assert answer["summary"]["workshop"]

    assert run(["demo", str(folder)]) == 2
    assert "already" in capsys.readouterr().err


def test_demo_does_not_write_over_anything(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "thesis.txt").write_text("words", encoding="utf-8")
    assert run(["demo", str(tmp_path)]) == 2
    assert "Choose a folder" in capsys.readouterr().err
    assert run(["demo", str(tmp_path / "thesis.txt")]) == 2


def test_demo_says_what_it_is_with_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["demo", "--help"]) == 0
    told = capsys.readouterr().out
    assert "observe demo demo/" in told
    assert "invented" in told
