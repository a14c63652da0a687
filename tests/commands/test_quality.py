"""`observe quality` for people and programs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from observe.commands.main import run
from observe.work.demo.term import play_term
from tests.work.test_quality import drawn

Out = pytest.CaptureFixture[str]


@pytest.fixture
def table(tmp_path: Path) -> str:
    path = tmp_path / "i.csv"
    lines = ["learner,item,value,grade,observer"]
    for one in drawn():
        lines += [
            f"{one.learner},{name},{value},{one.grade},{one.observer}"
            for name, value in one.credits.items()
        ]
    path.write_text("\n".join(lines), encoding="utf-8")
    return str(path)


def test_for_programs(table: str, capsys: Out) -> None:
    assert run(["quality", table, "--cut", "4", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["learners"] == 30
    assert 0 < found["alpha"] < 1
    assert {one["item"] for one in found["items"]} >= {"i0", "easy", "noise"}
    assert found["grades_undefined"] is None


def test_for_people(table: str, capsys: Out) -> None:
    assert run(["quality", table]) == 0
    said = capsys.readouterr().out
    assert "30 learners, 30 with every item; 8 items" in said
    assert "R² of score on grade" in said
    assert "Nearly everybody does it" in said


def test_what_cannot_be_judged_is_told(tmp_path: Path, capsys: Out) -> None:
    path = tmp_path / "i.csv"
    path.write_text("learner,item,value\na,x,1\na,x,2\n", encoding="utf-8")
    assert run(["quality", str(path)]) == 2
    assert "i.csv:3" in capsys.readouterr().err


def test_of_a_logbook_steps_have_their_labels(tmp_path: Path, capsys: Out) -> None:
    path = tmp_path / "term.observe"
    play_term(path, tick=lambda _done, _total: None)
    assert run(["quality", str(path), "--variant", "side-lying", "--cut", "80"]) == 0
    said = capsys.readouterr().out
    assert "20 learners" in said
    assert "Labels tubes at the bedside with identity" in said
    assert "of 20" in said
    assert run(["quality", str(path)]) == 2
    assert "--variant" in capsys.readouterr().err
