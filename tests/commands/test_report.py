"""`observe report` for people and programs."""

from __future__ import annotations

import json

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
