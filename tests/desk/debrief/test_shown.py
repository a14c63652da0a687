"""What Debrief may show, and when (rules D3, D4, T2, T3)."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from observe.desk.debrief.shown import rule_lines, shown
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.decision import Line, Standing
from observe.domain.form import Mode
from observe.domain.marks import DONE, INCORRECT
from observe.look.marks import DecisionLook
from observe.work.debrief import sign_decision
from observe.work.session import Room
from tests.desk.people import HandClock, ready_to_seal

MakeModel = Callable[..., LiveModel]


def seal(model: LiveModel, clock: HandClock, seat: int = 0, *, passed: bool = True) -> None:
    """Seal an attempt that was done throughout, or one of which little was seen."""
    for _ in range(31 if passed else 3):
        clock.go(1)
        model.mark(seat, DONE)
    ready_to_seal(model, seat)
    assert model.do(seat, gestures.seal) is not None


def test_nothing_is_shown_before_the_seal(make_model: MakeModel) -> None:
    found = shown(make_model(1), 0)
    assert (found.look, found.mine, found.may_sign) == (None, None, False)
    assert found.sentence == "Score and decision are shown after the seal."


def test_in_formative_mode_a_decision_is_so_far(make_model: MakeModel, clock: HandClock) -> None:
    model = make_model(2)
    seal(model, clock)
    seal(model, clock, 1, passed=False)
    first, second = shown(model, 0), shown(model, 1)
    assert (first.look, first.word) == (DecisionLook.PASS, "Pass so far")
    assert (second.look, second.word) == (DecisionLook.UNDECIDED, "Undecided so far")
    assert first.may_sign


def test_practice_prints_no_decision(make_model: MakeModel, clock: HandClock) -> None:
    model = make_model(1, mode=Mode.PRACTICE)
    seal(model, clock)
    found = shown(model, 0)
    assert found.look is None
    assert not found.may_sign
    assert found.mine is not None


def test_a_void_attempt_is_no_attempt(make_model: MakeModel) -> None:
    """Rule M6."""
    model = make_model(1)
    model.do(0, gestures.void, "The trainer broke")
    model.do(0, gestures.seal)
    found = shown(model, 0)
    assert (found.look, found.may_sign) == (DecisionLook.VOID, False)


@pytest.mark.parametrize(
    ("mode", "word"),
    [(Mode.FORMATIVE, "Pass so far"), (Mode.SUMMATIVE, "Feedback, no decision yet")],
)
def test_a_second_look_that_is_open_keeps_the_decision_back(
    make_model: MakeModel, clock: HandClock, mode: Mode, word: str
) -> None:
    """Rule T2 for summative; in formative the observer's own decision stands so far."""
    model = make_model(1, looks=1, mode=mode)
    seal(model, clock)
    found = shown(model, 0)
    assert found.word == word
    assert "has not sealed yet" in found.sentence
    assert not found.may_sign


def test_with_both_sealed_the_joint_decision_is_shown(
    make_model: MakeModel, clock: HandClock
) -> None:
    """Rule T1: both pass, pass."""
    model = make_model(1, looks=1)
    seal(model, clock)
    room = model.room
    other = LiveModel(Room(room.logbook, room.workshop, "o-2"), clock=clock.now)
    seal(other, clock)
    assert shown(model, 0).word == "Pass so far"
    assert shown(model, 0).may_sign


def test_domain_minima_are_one_line_and_the_worst_speaks(
    make_model: MakeModel, clock: HandClock
) -> None:
    model = make_model(1)
    seal(model, clock, passed=False)
    found = shown(model, 0).mine
    assert found is not None
    lines = rule_lines(found)
    assert [line.id for line in lines].count("domains") == 1
    joint: Line = next(line for line in lines if line.id == "domains")
    assert joint.standing is Standing.OPEN
    assert joint.sentence == "Asepsis and Technique: cannot be judged yet."
    assert joint.steps


def test_d4_what_was_signed_on_other_facts_is_told(make_model: MakeModel, clock: HandClock) -> None:
    model = make_model(1)
    seal(model, clock)
    room, session = model.room, model.sessions[0]
    sign_decision(room.logbook, room.workshop, shown(model, 0).result, by=room.observer)
    assert "signed as" not in shown(model, 0).sentence
    for step in session.state.steps[:12]:
        model.do(0, gestures.amend_step, step.id, INCORRECT, reason="The film shows it.")
    found = shown(model, 0)
    assert "It was signed as pass, on what is otherwise now." in found.sentence
    assert found.may_sign
