"""Keys beside Take back that may be ignored: reasons, and what time-out does (rule M4)."""

from __future__ import annotations

import pytest

from observe.desk.paint import Misfit
from observe.domain import gestures
from observe.domain.marks import DONE, NOT_APPLICABLE, NOT_DONE, NOT_SEEN
from tests.desk.live.hands import Hands, OpenRoom
from tests.desk.people import DESK


def at_the_end_of_time(open_room: OpenRoom) -> Hands:
    """A room with a limit of 15 minutes, just over for the learner in front."""
    hands = open_room(time_limit=15)
    hands.click(hands.view.well.clock)
    hands.click(hands.view.well.marks[0])
    hands.clock.go(15 * 60)
    hands.view.model.nothing_seen()
    hands.view.seats.tick()
    return hands


def test_m4_time_out_is_one_explicit_act(open_room: OpenRoom, misfits: list[Misfit]) -> None:
    hands = at_the_end_of_time(open_room)
    well = hands.view.well
    assert well.offers.keys[0].accessibleName() == "Time is up: turn the 30 left into not done"
    assert all(key.isVisible() for key in (*well.marks, *well.prompts, well.take_back))
    hands.view.grab()
    assert misfits == []
    hands.click(well.offers.keys[0])
    state = hands.state(0)
    assert {state.mark(step.id) for step in state.steps[1:]} == {NOT_DONE}
    assert not well.offers.keys[0].isVisible()


def test_m4_otherwise_they_stay_not_seen(open_room: OpenRoom) -> None:
    hands = at_the_end_of_time(open_room)
    hands.click(hands.view.well.offers.keys[1])
    assert hands.state(0).mark("LPX-02") == NOT_SEEN
    hands.view.seats.tick()
    assert not hands.view.well.offers.keys[0].isVisible()


def test_it_may_be_ignored(open_room: OpenRoom) -> None:
    hands = at_the_end_of_time(open_room)
    hands.click(hands.view.well.marks[0])
    assert hands.state(0).mark("LPX-02") == DONE
    assert "29" in hands.view.well.offers.keys[0].accessibleName()


def test_a_low_well_asks_it_in_the_panel(open_room: OpenRoom) -> None:
    hands = at_the_end_of_time(open_room)
    hands.view.skin.set_screen(DESK)
    hands.view.resize(1920, 1080)
    hands.view.refresh()
    well = hands.view.well
    key = well.offers.keys[0]
    assert key.accessibleName() == "Time is up: what is left?"
    around = (*well.marks, *well.prompts, well.take_back, well.not_seen)
    assert not any(key.geometry().intersects(one.geometry()) for one in around)
    hands.click(key)
    hands.click(well.panel.answers[0])
    assert hands.state(0).mark("LPX-31") == NOT_DONE


def test_another_reason_is_typed(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.view.model.do(0, gestures.move_to, "LPX-17")
    hands.click(hands.view.well.marks[3])
    hands.click(hands.view.well.offers.keys[1])
    hands.view.well.typed.field.setPlainText("The skin of the trainer was torn there")
    hands.click(hands.view.well.typed.give_key)
    state = hands.state(0)
    assert state.mark("LPX-17") == NOT_APPLICABLE
    assert "LPX-17" in state.reasons
    assert hands.view.well.marks[0].isVisible()


@pytest.mark.parametrize(("gloves", "left"), [(False, 0), (True, 1)])
def test_with_gloves_two_presses_on_take_back_are_one(
    open_room: OpenRoom, gloves: bool, left: int
) -> None:
    hands = open_room()
    hands.view.skin.gloves = gloves
    for _ in range(2):
        hands.click(hands.view.well.marks[0])
    hands.click(hands.view.well.take_back)
    hands.clock.go(0.2)
    hands.view.well.take_back.click()
    assert hands.view.model.kept == left
    hands.clock.go(0.3)
    hands.view.well.take_back.click()
    assert hands.view.model.kept == 0
