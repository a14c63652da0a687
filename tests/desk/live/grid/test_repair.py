"""What the strip offers for one cell, by the rules of marks."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from observe.desk.live.grid import repair
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT, NOT_SEEN, State
from observe.domain.troubles import Refused
from tests.desk.people import HandClock, ready_to_seal

S = 1_000_000_000


def offers(model: LiveModel, step: str) -> dict[str, repair.MarkOffer]:
    state = model.state(0)
    found = repair.step_of(state, step)
    assert found is not None
    return {one.word: one for one in repair.mark_offers(state, found)}


def test_every_mark_of_the_rules_is_offered(make_model: Callable[..., LiveModel]) -> None:
    """Rule M1; voiced only where the form lets (M2), not applicable likewise."""
    model = make_model(1)
    words = ["Done", "asked", "cued", "guided", "took over", "Incorrect", "Not done"]
    for step in model.state(0).steps:
        found = offers(model, step.id)
        assert list(found)[:7] == words
        assert ("Did not arise" in found) == bool(step.when)
        assert found.get("Not appl.", found["Done"]).can == (step.not_applicable or bool(step.when))
        voiced = model.state(0).ground.profile.may_be_voiced(step)
        assert ("Voiced" in found) == voiced


def test_the_highest_prompt_stands_so_less_help_is_no_change(
    make_model: Callable[..., LiveModel],
) -> None:
    """Rule M2."""
    model = make_model(1)
    model.mark(0, repair.PROMPTED[1])
    found = offers(model, "LPX-01")
    assert found["cued"].chosen
    assert not found["Done"].can
    assert not found["asked"].can
    assert found["guided"].can
    assert found["Incorrect"].can
    assert "highest prompt" in repair.rule_words(model.state(0), "LPX-01")


def test_not_seen_takes_every_mark_of_the_cell_back_in_one_deed(
    make_model: Callable[..., LiveModel],
) -> None:
    """Rule E3; one deed, so that one "put back" brings all of it again."""
    model = make_model(1)
    model.mark(0, DONE)
    model.do(0, gestures.mark, "LPX-01", INCORRECT)
    model.do(0, repair.unmark, "LPX-01")
    assert model.state(0).mark("LPX-01") == NOT_SEEN
    model.do(0, gestures.put_back)
    assert model.state(0).mark("LPX-01") == INCORRECT
    assert len(model.state(0).board.placed["LPX-01"]) == 2


def test_what_time_out_set_for_many_is_not_taken_back_for_one(
    make_model: Callable[..., LiveModel],
) -> None:
    """Rule M4: it is one act for all steps that were not reached."""
    model = make_model(1)
    model.mark(0, DONE)
    model.do(0, gestures.call_time)
    state = model.state(0)
    assert not repair.may_unmark(state, "LPX-05")
    assert not offers(model, "LPX-05")["Not seen"].can
    with pytest.raises(Refused):
        repair.unmark(state, "LPX-05")
    with pytest.raises(Refused):
        repair.unmark(make_model(1).state(0), "LPX-05")


def test_a_late_mark_may_keep_the_time_between_its_neighbours(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    """Rule E2."""
    model = make_model(1)
    model.mark(0, DONE)
    clock.go(40)
    model.mark(0, DONE)
    clock.go(1)
    model.pass_unseen(0)
    clock.go(39)
    model.mark(0, DONE)
    clock.go(100)
    state = model.state(0)
    step = repair.step_of(state, "LPX-03")
    assert step is not None
    times = repair.seen_times(state, step, model.elapsed_ns(0))
    assert [one.words for one in times] == ["seen now", "seen about 1:00", "a minute ago"]
    assert [one.observed_ns for one in times] == [None, 60 * S, 120 * S]
    ahead = state.steps[9]
    assert len(repair.seen_times(state, ahead, model.elapsed_ns(0))) == 1


def test_why_a_learner_cannot_be_marked_is_said(make_model: Callable[..., LiveModel]) -> None:
    model = make_model(4)
    for seat in range(4):
        model.mark(seat, DONE)
    model.do(0, gestures.pause_clock)
    model.do(1, gestures.stop_for_safety)
    ready_to_seal(model, 2)
    model.do(2, gestures.seal)
    model.do(3, gestures.void, "The trainer broke")
    assert repair.locked_words(model, 0) == ""
    assert "Stopped for safety" in repair.locked_words(model, 1)
    assert "Sealed" in repair.locked_words(model, 2)
    assert "void" in repair.locked_words(model, 3)


def test_a_cell_says_what_it_is_and_when(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(1)
    model.mark(0, DONE)
    clock.go(61)
    model.mark(0, INCORRECT)
    model.pass_unseen(0)
    model.do(0, gestures.mark, "LPX-03", DONE, observed_ns=30 * S)
    state = model.state(0)
    said = [repair.cell_words(state, f"LPX-0{n}") for n in (2, 3, 4, 5)]
    assert said == [
        "incorrect, 01:01",
        "done, seen 00:30, entered 01:01",
        "the learner is here now",
        "ahead",
    ]
    assert state.mark("LPX-02").state is State.INCORRECT
