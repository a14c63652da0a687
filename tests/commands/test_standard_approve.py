"""`observe standard approve` and `approved`."""

import json
from pathlib import Path

import pytest

from observe import places
from observe.commands.main import run
from observe.work.logbooks import open_logbook

FORM = places.forms() / "lumbar-puncture-adult.toml"


@pytest.fixture
def logbook(tmp_path: Path) -> Path:
    path = tmp_path / "l.observe"
    open_logbook(path, create=True).close()
    return path


def approving(logbook: Path, tmp_path: Path, *more: str) -> list[str]:
    table = tmp_path / "judges.csv"
    table.write_text("judge,item,value\nA,x,0.6\nB,x,0.7\nA,y,0.5\nB,y,0.55\n")
    result = tmp_path / "result.json"
    given = {"--form": FORM, "--result": result, "--round": "up", "--by": "Maren Oduya"}
    given["--variant"] = "side-lying"
    flat = [str(part) for pair in given.items() for part in pair]
    return ["standard", "approve", str(logbook), *flat, "--effective", "2999-01-01", *more]


def compute(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["standard", "angoff", str(tmp_path / "judges.csv"), "--json"]) == 0
    (tmp_path / "result.json").write_text(capsys.readouterr().out)


def test_from_judges_to_a_standard_in_the_logbook(
    logbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = approving(logbook, tmp_path)
    compute(tmp_path, capsys)
    assert run(arguments) == 0
    out = capsys.readouterr().out
    assert "cut 58.8 %, rounded up from 58.750000 %" in out
    assert "2 judges" in out
    assert "approved by Maren Oduya, from 2999-01-01" in out
    assert "not a measurement of learners" in out
    assert run(["standard", "approved", str(logbook), "--json"]) == 0
    (row,) = json.loads(capsys.readouterr().out)["standards"]
    assert (row["cut"], row["method"], row["by"]) == ("58.8", "angoff", "Maren Oduya")


def test_an_empty_logbook_says_so(logbook: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["standard", "approved", str(logbook)]) == 0
    assert "No standard is approved" in capsys.readouterr().out


def test_what_is_missing_is_named_and_a_past_day_refused(
    logbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["standard", "approve", str(logbook), "--form", str(FORM)]) == 2
    assert "--result, --round, --by, --effective" in capsys.readouterr().err
    arguments = approving(logbook, tmp_path)
    compute(tmp_path, capsys)
    assert run([*arguments, "--effective", "2000-01-01"]) == 2
    assert "on the day it is approved" in capsys.readouterr().err


def test_a_method_approves_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["standard", "angoff", str(tmp_path / "x.csv"), "--by", "Maren"]) == 2
    assert "does not approve" in capsys.readouterr().err


def test_a_standard_is_withdrawn_by_name_for_a_reason(
    logbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = approving(logbook, tmp_path)
    compute(tmp_path, capsys)
    assert run([*arguments, "--json"]) == 0
    (row,) = json.loads(capsys.readouterr().out)["standards"]
    assert row["withdrawn"] is None
    asked = ["standard", "withdraw", str(logbook), "--standard", row["id"][:10]]
    assert run(asked) == 2
    assert "--by, --effective" in capsys.readouterr().err
    asked += ["--by", "Maren Oduya", "--effective", "2999-06-01"]
    assert run(asked) == 2
    assert "--reason" in capsys.readouterr().err
    assert run([*asked, "--reason", "Judged anew."]) == 0
    assert "Withdrawn from 2999-06-01 on by Maren Oduya: Judged anew." in capsys.readouterr().out
