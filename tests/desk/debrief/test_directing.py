"""Overruling and whose attempt it was, asked in Debrief (rules D4, E3)."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from observe.desk.debrief.directing import exchanging, overruling
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.marks import DONE
from observe.domain.troubles import Refused
from observe.work.debrief import AttemptResult, attempt_result
from tests.desk.people import HandClock, ready_to_seal

MakeModel = Callable[..., LiveModel]


@pytest.fixture
def model(make_model: MakeModel, clock: HandClock) -> LiveModel:
    """Two learners who did every step, both sealed."""
    found = make_model(2)
    for seat in (0, 1):
        for _ in found.state(seat).steps:
            clock.go(5)
            found.mark(seat, DONE)
        ready_to_seal(found, seat)
        assert found.do(seat, gestures.seal) is not None
    return found


def result(model: LiveModel, seat: int) -> AttemptResult:
    room = model.room
    return attempt_result(room.logbook, room.workshop, model.sessions[seat].seat)


def test_d4_a_director_overrules_by_name(model: LiveModel) -> None:
    done: list[bool] = []
    before = result(model, 0)
    other = "pass" if before.outcome and before.outcome.value == "remediate" else "remediate"
    question = overruling(model.room, before, lambda: done.append(True))
    with pytest.raises(Refused, match="open to what"):
        question.answer({"who": "Dr Rhea Sol", "reason": "Film.", "outcome": ""})
    name = model.room.name(model.room.observer)
    with pytest.raises(Refused, match="does not overrule"):
        question.answer({"who": name, "reason": "Film.", "outcome": other})
    question.answer({"who": "Dr Rhea Sol", "reason": "Film.", "outcome": other})
    after = result(model, 0)
    assert after.outcome is not None
    assert (after.outcome.value, after.decided) == (other, before.outcome)
    assert "Dr Rhea Sol" in after.sentence
    assert done == [True]


def test_e3_the_learners_of_two_attempts_are_exchanged(model: LiveModel) -> None:
    done: list[bool] = []
    seats = [one.seat for one in model.sessions]
    question = exchanging(model.room, seats[0], lambda: done.append(True))
    (choice,) = question.choices
    assert [id_ for id_, _ in choice.options] == [seats[1].attempt]
    with pytest.raises(Refused, match="open whose"):
        question.answer({"who": "Dr Rhea Sol", "reason": "Seats.", "other": ""})
    question.answer({"who": "Dr Rhea Sol", "reason": "Seats.", "other": seats[1].attempt})
    now = model.room.logbook.workshops()[model.room.workshop.id]
    assert now.seat_of(seats[0].attempt).learner == seats[1].learner
    assert done == [True]
