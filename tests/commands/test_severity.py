"""`observe severity` on tables and logbooks."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from observe.commands.main import run
from tests.agreement.test_severity import ROWS
from tests.work.machines import lead_desk
from tests.work.second_looks import seen_by_two

Out = pytest.CaptureFixture[str]


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "s.csv"
    lines = [f"{learner},{observer},{value}" for learner, observer, value in ROWS]
    path.write_text("\n".join(["learner,rater,score", *lines]), encoding="utf-8")
    return path


def test_a_table_for_programs(table: Path, capsys: Out) -> None:
    assert run(["severity", str(table), "--cut", "65", "--seed", "3", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    fixed = {one["observer"]: one["fixed"] for one in found["observers"]}
    assert fixed == pytest.approx({"A": 1 / 3, "B": -14 / 3, "C": 13 / 3}, abs=1e-6)
    assert found["parts"] == [["A", "B", "C"]]
    assert found["adjusting"]["seed"] == 3
    assert found["adjusting"]["helps"] in (True, None)
    assert found["observers"][0]["drift"]["undefined"].startswith("Not estimable")


def test_a_logbook_and_a_file_for_each_observer(tmp_path: Path, capsys: Out) -> None:
    with seen_by_two(tmp_path / "l.observe", workshops=2, learners=5, seed=5) as logbook:
        path = logbook.path
    out = tmp_path / "out"
    assert run(["severity", str(path), "--reports", str(out)]) == 0
    said = capsys.readouterr()
    assert "Each observer's own sealed record of form" in said.out
    assert len([*out.glob("observer-*.txt")]) == said.err.count("written:") >= 2


def test_a_logbook_without_sealed_attempts_is_told(tmp_path: Path, capsys: Out) -> None:
    desk = lead_desk(tmp_path)
    desk.logbook.close()
    assert run(["severity", str(desk.logbook.path)]) == 2
    assert "No attempt is sealed" in capsys.readouterr().err


def test_faulty_rows_are_listed(tmp_path: Path, capsys: Out) -> None:
    path = tmp_path / "s.csv"
    path.write_text("learner,observer,score\n1,A,x\n", encoding="utf-8")
    assert run(["severity", str(path)]) == 2
    assert "s.csv:2" in capsys.readouterr().err
