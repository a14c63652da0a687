"""A logbook's attempts over time: scores, decisions, learners told apart, days agreed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain.marks import INCORRECT
from observe.domain.troubles import Stopped
from observe.standards.retest import Attempt
from observe.work.debrief import attempt_result
from observe.work.file_progress import attempts_in
from observe.work.progress_logbook import (
    SealedAttempt,
    again_sentence,
    by_series,
    sealed_attempts,
)
from observe.work.retest import Retest, agree
from tests.work.machines import Desk, lead_desk


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    made = lead_desk(tmp_path, looks=0)
    made.seal(made.watch(1, "o1"))
    made.seal(made.watch(2, "o1", mark=INCORRECT))
    yield made
    made.logbook.close()


def test_an_attempt_that_is_not_sealed_is_not_told(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path, looks=0)
    desk.watch(1, "o1")
    assert sealed_attempts(desk.logbook) == []
    desk.logbook.close()


def test_each_attempt_has_its_score_and_decision(desk: Desk) -> None:
    one, other = sealed_attempts(desk.logbook)
    assert (one.score, one.decision, one.again) == (100, "Pass", None)
    assert (other.score, other.decision) == (0, "Remediate")
    assert other.attempt == Attempt(
        desk.workshop.date, passed=False, mode="formative", scoring=other.attempt.scoring
    )


def test_it_is_what_the_charts_are_drawn_of(desk: Desk) -> None:
    told = by_series(sealed_attempts(desk.logbook))
    for series in attempts_in(desk.logbook):
        some = told[series.learner, series.form]
        assert tuple(one.attempt for one in some) == series.attempts


def test_two_learners_of_one_name_stay_two(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    ids = [seat.learner for seat in desk.workshop.seats[:2]]
    same = {**desk.logbook.names(), **dict.fromkeys(ids, "Lina One")}
    monkeypatch.setattr(type(desk.logbook), "names", lambda _: same)
    assert [one.learner for one in attempts_in(desk.logbook)] == [
        f"Lina One ({one})" for one in ids
    ]


def test_the_day_that_was_agreed_is_told(desk: Desk) -> None:
    seat = desk.workshop.seats[1]
    result = attempt_result(desk.logbook, desk.workshop, seat)
    (_, before) = sealed_attempts(desk.logbook)
    assert again_sentence([before]) == "No day to show it again is agreed."
    agree(desk.logbook, desk.workshop, result, "2026-04-02", "room 2", by="o1")
    (_, after) = sealed_attempts(desk.logbook)
    assert again_sentence([after]) == "To show it again: 2026-04-02, room 2, as agreed."


def test_reading_can_be_stopped(desk: Desk) -> None:
    def tick(done: int, total: int) -> None:
        assert (done, total) == (1, len(desk.workshop.seats))
        raise Stopped("Stopped.")

    with pytest.raises(Stopped):
        sealed_attempts(desk.logbook, tick)


def told(*, passed: bool | None, void: bool = False, day: str = "") -> SealedAttempt:
    again = Retest(day, "", "o1") if day else None
    return SealedAttempt("Ada", "lp", Attempt("2026-03-02", passed, void=void), None, "", again)


@pytest.mark.parametrize(
    ("attempts", "said"),
    [
        ([], ""),
        ([told(passed=None)], ""),
        ([told(passed=False, day="2026-04-02"), told(passed=True)], ""),
        (
            [
                told(passed=False, day="2026-04-02"),
                told(passed=None),
                told(passed=True, void=True),
            ],
            "To show it again: 2026-04-02, as agreed.",
        ),
    ],
)
def test_the_newest_decision_says_whether_it_is_shown_again(
    attempts: list[SealedAttempt], said: str
) -> None:
    assert again_sentence(attempts) == said
