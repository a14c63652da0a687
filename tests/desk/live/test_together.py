"""One mark for several learners, with exceptions; each can take theirs back."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from observe.desk.live.bar import TOGETHER
from observe.desk.live.together import TogetherView
from observe.desk.paint import Misfit
from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT, NOT_SEEN, Mark, PromptSource, State
from tests.desk.live.hands import Hands, OpenRoom
from tests.desk.people import LONG_NAMES, painted

Open = Callable[..., tuple[Hands, TogetherView]]


@pytest.fixture
def opened(open_room: OpenRoom) -> Open:
    def make(seats: int = 8, **options: object) -> tuple[Hands, TogetherView]:
        hands = open_room(seats, **options)
        hands.view.strike(TOGETHER)
        assert hands.view.together is not None
        return hands, hands.view.together

    return make


def key_of(view: TogetherView, seat: int) -> QWidget:
    return next(card for card in view.cards if card.seat == seat).sentence


def test_two_taps_mark_everybody_done_and_each_can_take_theirs_back(opened: Open) -> None:
    hands, view = opened()
    hands.click(view.mark_keys[0])
    assert {hands.state(seat).mark("LPX-01") for seat in range(8)} == {DONE}
    assert not hands.view.is_together
    hands.view.model.do(3, gestures.take_back)
    assert hands.state(3).mark("LPX-01") == NOT_SEEN
    assert hands.state(4).mark("LPX-01") == DONE


def test_exceptions_are_one_tap_and_the_learner_in_front_stays(opened: Open) -> None:
    hands, view = opened()
    hands.view.model.look(6)
    hands.click(key_of(view, 2))
    hands.click(key_of(view, 5))
    assert view.mark_keys[0].accessibleName() == "Done for 6"
    hands.click(view.mark_keys[5])
    cued = Mark(State.DONE, 2, PromptSource.OBSERVER)
    marked = [seat for seat in range(8) if hands.state(seat).mark("LPX-01") == cued]
    assert marked == [0, 1, 3, 4, 6, 7]
    assert hands.view.model.front == 6


def test_a_mark_that_stands_stays_and_says_so(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.view.model.mark(1, INCORRECT)
    hands.view.strike(TOGETHER)
    view = hands.view.together
    assert view is not None
    assert "that mark stays" in key_of(view, 1).accessibleName()
    assert not key_of(view, 1).isEnabled()
    hands.click(view.mark_keys[0])
    assert hands.state(1).mark("LPX-01") == INCORRECT


def test_who_stopped_or_paused_starts_left_out(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.view.model.turn_clock(0)
    hands.clock.go(1)
    hands.view.model.turn_clock(0)
    hands.view.model.do(1, gestures.stop_for_safety)
    hands.view.strike(TOGETHER)
    view = hands.view.together
    assert view is not None
    assert "paused" in key_of(view, 0).accessibleName()
    assert "stopped for safety" in key_of(view, 1).accessibleName()
    hands.click(view.all_key)
    hands.click(view.mark_keys[0])
    assert hands.state(0).mark("LPX-01") == DONE
    assert hands.state(1).mark("LPX-01") == NOT_SEEN


def test_a_critical_event_is_still_one_tap(opened: Open) -> None:
    hands, view = opened()
    hands.click(next(card for card in view.cards if card.seat == 3).critical)
    assert len(hands.state(3).occurrences) == 1


def test_another_step_is_chosen_with_the_arrows(opened: Open) -> None:
    hands, view = opened()
    hands.click(view.after_key)
    hands.click(view.after_key)
    hands.click(view.before_key)
    hands.click(view.mark_keys[0])
    assert hands.state(0).mark("LPX-02") == DONE
    assert hands.state(0).mark("LPX-01") == NOT_SEEN


def test_by_keyboard_numbers_choose_and_a_mark_key_sets(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.press(Qt.Key.Key_T)
    hands.press(Qt.Key.Key_3)
    hands.press(Qt.Key.Key_Down)
    hands.press(Qt.Key.Key_5)
    hands.press(Qt.Key.Key_I)
    marked = [seat for seat in range(8) if hands.state(seat).mark("LPX-02") == INCORRECT]
    assert marked == [0, 1, 2, 3, 5, 6, 7]
    assert not hands.view.is_together


def test_escape_sets_nothing(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.press(Qt.Key.Key_T)
    hands.press(Qt.Key.Key_Escape)
    assert not hands.view.is_together
    assert hands.view.model.kept == 0


@pytest.mark.parametrize(
    ("seats", "width"), [(1, 1280), (4, 1280), (8, 1280), (12, 1280), (8, 1100)]
)
def test_every_text_has_room(opened: Open, misfits: list[Misfit], seats: int, width: int) -> None:
    hands, _ = opened(seats, names=LONG_NAMES)
    painted(hands.view, width, 800)
    assert {(one.text, one.width, one.height) for one in misfits} == set()
