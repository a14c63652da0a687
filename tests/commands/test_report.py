"""`observe report` for people and programs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from observe.commands.main import run
from observe.work.demo.term import play_term

Out = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> str:
    made = tmp_path_factory.mktemp("report") / "term.observe"
    play_term(made, tick=lambda _done, _total: None)
    return str(made)


def test_for_programs(path: str, capsys: Out) -> None:
    assert run(["report", path, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["attempts"]["total"] == 64
    assert [one["number"] for one in found["grras"]] == list(range(1, 16))
    assert found["form_quality"]["scored"] == 20
    assert found["cuts"][0]["provisional"] is True


def test_for_people(path: str, capsys: Out) -> None:
    assert run(["report", path, "--since", "2026-04-01"]) == 0
    said = capsys.readouterr().out
    assert said.index("1. Title") < said.index("13. Estimates") < said.index("15. More")
    assert "Bear in mind" in said
    assert "observe severity" in said


def test_a_day_that_is_none_is_refused(path: str, capsys: Out) -> None:
    assert run(["report", path, "--since", "spring"]) == 2
    assert "--since" in capsys.readouterr().err


def test_a_signed_file_is_written_and_is_sound(path: str, tmp_path: Path, capsys: Out) -> None:
    copy = tmp_path / "term.observe"
    copy.write_bytes(Path(path).read_bytes())
    out = tmp_path / "report.pdf"
    asked = ["report", str(copy), "--out", str(out), "--by", "Prof. Hester Achterberg"]
    assert run(asked) == 0
    assert "written" in capsys.readouterr().err
    assert run(["verify", str(out)]) == 0
    assert run(asked) == 2
    assert "never written over" in capsys.readouterr().err
    assert run(["report", str(copy), "--out", str(out)]) == 2


def test_for_others_hides_small_counts(path: str, capsys: Out) -> None:
    assert run(["report", path, "--for-others", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    cells = [cell["count"] for line in found["rule"] for cell in line["cells"]]
    assert None in cells
    assert not [count for count in cells if count is not None and 0 < count < 10]
