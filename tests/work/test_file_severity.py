"""A table of scores, read and taken part by part."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.domain.troubles import BadInput, Refused
from observe.work.file_severity import Asked, file_severity
from tests.agreement.test_severity import ROWS

ASKED = Asked()


def write(path: Path, head: str, rows: list[str]) -> Path:
    path.write_text("\n".join([head, *rows]), encoding="utf-8")
    return path


def lines(extra: str = "") -> list[str]:
    return [f"{learner},{observer},{value}{extra}" for learner, observer, value in ROWS]


def test_columns_are_known_by_usual_words_and_missing_scores_left_out(tmp_path: Path) -> None:
    file = write(tmp_path / "s.csv", "unit,judge,value", [*lines(), "9,A,"])
    _, study = file_severity(file, ASKED)
    assert study is not None
    assert study.model.scores == 12
    assert "1 row without a score was left out." in study.notes
    assert study.observers[0].drift.value is None


def test_scores_in_order_have_drift(tmp_path: Path) -> None:
    rows = [f"{line},2026-03-{20 - n:02}" for n, line in enumerate(lines())]
    for n in range(20):
        rows += [f"x{n},{who},{60 + n % 7},2026-04-{n + 1:02}" for who in "AB"]
    _, study = file_severity(write(tmp_path / "s.csv", "learner,observer,score,date", rows), ASKED)
    assert study is not None
    one = study.observers[0]
    assert one.drift.value is not None
    assert one.contrast.n == one.drift.n - 1


def test_a_table_in_parts_is_refused_until_one_is_named(tmp_path: Path) -> None:
    other = [f"z{learner},{observer}2,{value}" for learner, observer, value in ROWS]
    file = write(tmp_path / "s.csv", "learner,observer,score", [*lines(), *other])
    with pytest.raises(Refused, match="2 parts") as caught:
        file_severity(file, ASKED)
    assert "--part 1" in caught.value.remedy
    _, study = file_severity(file, Asked(part=2))
    assert study is not None
    assert {one.effect.observer for one in study.observers} == {"A2", "B2", "C2"}
    with pytest.raises(BadInput, match="no part 3"):
        file_severity(file, Asked(part=3))


def test_faulty_rows_are_kept_and_nothing_is_worked_out(tmp_path: Path) -> None:
    file, study = file_severity(
        write(tmp_path / "s.csv", "learner,observer,score", ["1,,5", "2,A,x"]), ASKED
    )
    assert study is None
    assert {fault.line for fault in file.faults} == {2, 3}


@pytest.mark.parametrize("head", ["learner,score,x", "observer,score,x", "learner,observer,x"])
def test_a_table_without_a_column_is_told(head: str, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no column"):
        file_severity(write(tmp_path / "s.csv", head, ["1,2,3"]), ASKED)
