"""Attempts read from a table or a logbook."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.domain.marks import INCORRECT
from observe.domain.troubles import BadInput
from observe.work.file_progress import Asked, attempts_in, progress, read_attempts, read_decay
from tests.work.machines import lead_desk

ASKED = Asked(acceptable=0.2, unacceptable=0.4)


def table(path: Path, *lines: str) -> Path:
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def test_attempts_are_linked_by_learner_and_form_in_order_of_date(tmp_path: Path) -> None:
    file, series = read_attempts(
        table(
            tmp_path / "a.csv",
            "learner,date,outcome,form",
            "Ann,2026-04-02,pass,LP",
            "Ann,2026-03-02,FAIL,LP",
            "Ann,2026-03-02,1,IV",
            "Ben,2026-03-02,,LP",
        ),
        ASKED,
    )
    assert not file.faults
    found = progress(series, ASKED)
    ann, other, ben = found.learners
    assert [one.passed for one in ann.steps] == [False, True]
    assert ann.result.passed is True
    assert (other.series.form, len(other.steps)) == ("IV", 1)
    assert ben.result.passed is None
    assert any("1 attempt without a decision" in note for note in found.notes)


def test_what_was_scored_in_another_way_is_no_step(tmp_path: Path) -> None:
    path = table(
        tmp_path / "a.csv",
        "learner,date,outcome,mode",
        "Ann,2026-03-02,fail,practice",
        "Ann,2026-04-02,pass,summative",
    )
    (ann,) = progress(read_attempts(path, ASKED)[1], ASKED).learners
    assert [one.mode for one in ann.steps] == ["summative"]
    assert ann.result.reasons == {0: "another mode or scoring"}


def test_how_long_it_lasts_is_taken_from_what_followed_a_success(tmp_path: Path) -> None:
    lines = ["learner,date,outcome"]
    for number in range(12):
        later = "pass" if number % 3 else "fail"
        lines += [f"l{number},2026-01-01,pass", f"l{number},2026-07-01,{later}"]
    _, series = read_attempts(table(tmp_path / "a.csv", *lines), ASKED)
    curve = progress(series, ASKED).decay
    assert (curve.n, curve.passed) == (12, 8)
    assert curve.rate is not None


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("Ann,2026-03-02,maybe", "no outcome"),
        ("Ann,03/02,pass", "no date"),
        ("Ann,20260302,pass", "no date"),
        ("Ann,2026-03-02 soon,pass", "no date"),
        (",2026-03-02,1", "empty"),
    ],
)
def test_faulty_rows_are_named(line: str, said: str, tmp_path: Path) -> None:
    file, _ = read_attempts(table(tmp_path / "a.csv", "learner,date,outcome", line), ASKED)
    assert said in file.faults[0].sentence


def test_a_policy_that_is_none_is_told() -> None:
    with pytest.raises(BadInput):
        progress([], Asked(policy="kindest"))


def test_a_logbook_has_its_sealed_attempts(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path, looks=0)
    desk.seal(desk.watch(1, "o1"))
    assert len(attempts_in(desk.logbook)) == 1
    desk.seal(desk.watch(2, "o1", mark=INCORRECT))
    found = progress(attempts_in(desk.logbook), ASKED)
    assert [one.result.passed for one in found.learners] == [True, False]
    assert found.learners[0].series.attempts[0].mode == "formative"
    desk.logbook.close()


def test_a_table_of_a_whole_programme(tmp_path: Path) -> None:
    file, curve = read_decay(
        table(tmp_path / "d.csv", "months,passed,of", "2,11,12", "4,10,14", "6,9,16"), ASKED
    )
    assert curve is not None
    assert curve.half_life == pytest.approx(8.305, abs=1e-3)
    file, curve = read_decay(table(tmp_path / "d.csv", "months,passed,of", "2,1.5,12"), ASKED)
    assert curve is None
    assert file.faults
