"""Tables of learners and judges: grades, groups, limits, judgements."""

from pathlib import Path

import pytest

from observe.domain.troubles import BadInput
from observe.work.standard_tables import (
    Wanted,
    borderline,
    graded,
    grouped,
    judged,
    limits,
    scored,
)


def write(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "table.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_grades_are_numbers_or_declared_words(tmp_path: Path) -> None:
    plain = graded(write(tmp_path, "learner,score,grade\na,50,2\nb,,3.5\nc,60,\n"), Wanted())
    assert plain.grades == [2.0, 3.5, None]
    assert plain.scores == [50.0, None, 60.0]
    words = Wanted(grades=("fail", "borderline", "pass"))
    told = graded(write(tmp_path, "learner,score,grade\na,50,Borderline\nb,9,good\n"), words)
    assert told.grades == [2.0, None]
    assert told.file.faults[0].sentence == "“good” is not a declared grade."
    assert borderline(words, told) == 2.0


def test_a_grade_in_words_that_nobody_declared_is_a_fault(tmp_path: Path) -> None:
    found = graded(write(tmp_path, "learner,score,grade\na,50,good\n"), Wanted())
    assert "with --grades" in found.file.faults[0].remedy


def test_the_borderline_grade_must_be_said(tmp_path: Path) -> None:
    found = graded(write(tmp_path, "learner,score,grade\na,50,2\nb,60,3\n"), Wanted())
    with pytest.raises(BadInput, match="was not said") as raised:
        borderline(Wanted(), found)
    assert "there are: 2, 3" in raised.value.remedy
    with pytest.raises(BadInput, match="“low” is no grade"):
        borderline(Wanted(borderline="low"), found)
    assert borderline(Wanted(borderline="2,5", decimal_comma=True), found) == 2.5


def test_groups_by_the_usual_words_or_by_one_that_is_named(tmp_path: Path) -> None:
    path = write(tmp_path, "learner,score,group\na,50,Qualified\nb,9,not qualified\nc,7,\n")
    assert grouped(path, Wanted()).qualified == [True, False, None]
    path = write(tmp_path, "learner,score,group\na,50,expert\nb,9,novice\n")
    assert grouped(path, Wanted(qualified="Expert")).qualified == [True, False]
    assert len(grouped(path, Wanted()).file.faults) == 2
    with pytest.raises(BadInput, match="“master” and one other"):
        grouped(path, Wanted(qualified="master"))


def test_a_learner_twice_is_a_fault(tmp_path: Path) -> None:
    found = scored(write(tmp_path, "learner,score\na,1\na,2\n"), Wanted())
    assert found.file.faults[0].sentence == "This learner stands already on line 2."


def test_limits_upside_down_and_rates_over_a_hundred_are_faults(tmp_path: Path) -> None:
    head = "judge,min_cut,max_cut,min_fail,max_fail\n"
    rows, found = limits(write(tmp_path, head + "A,50,68,5,25\n"), Wanted())
    assert (rows, found.faults) == (((50.0, 68.0, 5.0, 25.0),), [])
    _, found = limits(write(tmp_path, head + "A,70,68,5,25\nB,50,60,5,125\n"), Wanted())
    assert sorted(fault.line for fault in found.faults) == [2, 3]


def test_judgements_as_shares_percent_or_points(tmp_path: Path) -> None:
    head = "judge,item,value\n"
    shares = judged(write(tmp_path, head + "A,x,0.5\nB,x,\n"), Wanted())
    assert [one.value for one in shares.judgements] == [0.5, None]
    percent = judged(write(tmp_path, head + "A,x,50\n"), Wanted(percent=True))
    assert (percent.judgements[0].value, percent.points) == (0.5, {"x": 1.0})
    points = judged(write(tmp_path, head + "A,x,2\n"), Wanted(maximum=5))
    assert (points.judgements[0].value, points.points) == (0.4, {"x": 5.0})
    wrong = judged(write(tmp_path, head + "A,x,50\n"), Wanted())
    assert wrong.file.faults[0].line == 2
    assert any("--percent" in notice for notice in wrong.file.notices)


def test_rounds_points_and_votes(tmp_path: Path) -> None:
    text = (
        "judge,item,value,round,points,essential\n"
        "A,x,0.5,1,2,yes\nA,x,0.6,2,2,\nB,x,0.5,1,2,no\nB,x,0.5,1.5,3,perhaps\n"
    )
    found = judged(write(tmp_path, text), Wanted(), votes=True)
    assert [fault.sentence for fault in found.file.faults] == [
        "x is worth 3 points here and 2 above."
    ]
    found = judged(write(tmp_path, text.replace("1.5,3", "1.5,2")), Wanted(), votes=True)
    assert [fault.sentence for fault in found.file.faults] == [
        "A round is a whole number.",
        "“perhaps” does not say whether the item is essential.",
    ]
    assert [one.round for one in found.judgements] == [1, 2, 1, 1]
    votes = {(one.judge, one.essential) for one in found.votes}
    assert ("A", True) in votes
