"""`observe progress`: worked numbers through the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from observe.commands.main import run
from tests.standards.test_cusum import FORTY
from tests.work.machines import lead_desk

Out = pytest.CaptureFixture[str]


@pytest.fixture
def table(tmp_path: Path) -> str:
    path = tmp_path / "a.csv"
    rows = [
        f"Ann,2026-{1 + n // 28:02}-{1 + n % 28:02},{'fail' if one else 'pass'}"
        for n, one in enumerate(FORTY)
    ]
    path.write_text("\n".join(["learner,date,outcome", *rows]), encoding="utf-8")
    return str(path)


def test_a_worked_chart_for_programs(table: str, capsys: Out) -> None:
    words = ["--acceptable", "0.2", "--unacceptable", "0.4", "--json"]
    assert run(["progress", table, *words]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["design"]["s"] == pytest.approx(0.2933049474)
    (ann,) = found["learners"]
    assert ann["cusum"]["lower"] == 29
    assert ann["cusum"]["values"][-1] == pytest.approx(-4.732197896)
    assert ann["lc_cusum"]["at"] is not None
    assert ann["passed"] is True
    assert found["mastery"][0]["trying"] == 1


def test_for_people(table: str, capsys: Out) -> None:
    assert run(["progress", table, "--policy", "all", "--limit", "9"]) == 0
    said = capsys.readouterr().out
    assert "Remediate by the policy “all” over 40 attempts." in said
    assert "LC-CUSUM: limit 9.000 (given)" in said
    assert "more successes needed in a row" in said


def test_a_logbook(tmp_path: Path, capsys: Out) -> None:
    desk = lead_desk(tmp_path, looks=0)
    desk.seal(desk.watch(1, "o1"))
    desk.logbook.close()
    assert run(["progress", str(desk.logbook.path)]) == 0
    assert "Lina One" in capsys.readouterr().out


def test_one_form_alone_is_taken(tmp_path: Path, capsys: Out) -> None:
    path = tmp_path / "a.csv"
    path.write_text(
        "learner,date,outcome,form\nAnn,2026-03-02,pass,LP\nAnn,2026-03-02,fail,IV\n",
        encoding="utf-8",
    )
    assert run(["progress", str(path)]) == 0
    assert "over 2 forms together: IV and LP." in capsys.readouterr().out
    assert run(["progress", str(path), "--form", "LP", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [one["form"] for one in found["learners"]] == ["LP"]
    assert found["mastery"][0]["share"] == 1
    assert found["mastery"][0]["low"] is None
    assert run(["progress", str(path), "--form", "PEG"]) == 2
    assert "Name one of these: IV and LP." in capsys.readouterr().err


def test_a_programme_that_forgets(tmp_path: Path, capsys: Out) -> None:
    path = tmp_path / "d.csv"
    path.write_text("months,passed,of\n2,11,12\n4,10,14\n6,9,16\n", encoding="utf-8")
    assert run(["progress", str(path), "--decay"]) == 0
    assert "half still pass after 8.3 months, 80 % after 2.7" in capsys.readouterr().out
    assert run(["progress", str(path), "--decay", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["rate"] == pytest.approx(0.083459, abs=1e-6)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--acceptable", "0.4", "--unacceptable", "0.2"], "cannot be told apart"),
        (["--alpha", "0.9"], "cannot be kept"),
        (["--acceptable", "2"], "not between 0 and 1"),
    ],
)
def test_what_cannot_be_asked_is_told(words: list[str], said: str, table: str, capsys: Out) -> None:
    assert run(["progress", table, *words]) == 2
    assert said in capsys.readouterr().err
