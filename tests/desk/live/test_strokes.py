"""Live by keyboard alone (look §12)."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from observe.desk.live.arrange import PLACE
from observe.domain.board import Verdict
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, NOT_SEEN, Mark, PromptSource, State
from tests.desk.live.hands import OpenRoom

K = Qt.Key


@pytest.mark.also_in_memory
def test_a_whole_attempt_by_keyboard_alone(open_room: OpenRoom) -> None:
    hands = open_room()
    shift, alt = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.AltModifier
    hands.press(K.Key_4)
    for key in (K.Key_Space, K.Key_I, K.Key_N, K.Key_F2, K.Key_U):
        hands.press(key)
    hands.press(K.Key_3, alt)
    hands.press(K.Key_V)
    state = hands.state(3)
    ids = [step.id for step in state.steps]
    assert [state.mark(step) for step in ids[:7]] == [
        DONE,
        INCORRECT,
        NOT_DONE,
        Mark(State.DONE, 2, PromptSource.OBSERVER),
        NOT_SEEN,
        Mark(State.DONE, 3, PromptSource.OBSERVER),
        Mark(State.DONE, voiced=True),
    ]
    hands.press(K.Key_Backspace)
    assert hands.state(3).mark(ids[6]) == NOT_SEEN
    hands.press(K.Key_Backspace, shift)
    assert hands.state(3).mark(ids[6]) != NOT_SEEN
    hands.press(K.Key_C)
    hands.press(K.Key_2)
    hands.press(K.Key_Escape)
    hands.press(K.Key_C, shift)
    assert hands.state(3).occurrences[0].item == "LPX-C2"
    assert hands.state(3).occurrences[0].verdict is Verdict.RECOVERED
    hands.press(K.Key_P)
    assert not hands.state(3).clock.is_running
    hands.press(K.Key_F12)
    assert hands.state(3).stopped
    with hands.qtbot.waitSignal(hands.view.rate):
        hands.press(K.Key_R)


def test_slash_and_a_number_go_to_a_step(open_room: OpenRoom) -> None:
    hands = open_room()
    for key in (K.Key_Slash, K.Key_1, K.Key_5, K.Key_Return):
        hands.press(key)
    assert hands.state(0).board.at == "LPX-15"
    hands.press(K.Key_Up)
    assert hands.state(0).board.at == "LPX-14"
    hands.press(K.Key_Down)
    assert hands.state(0).board.at == "LPX-15"


def test_enter_ends_a_number_and_presses_no_key_that_tab_reached(open_room: OpenRoom) -> None:
    hands = open_room()
    incorrect = hands.view.well.marks[1]
    hands.view.activateWindow()
    hands.qtbot.waitUntil(hands.view.isActiveWindow)
    incorrect.setFocus(Qt.FocusReason.TabFocusReason)
    for key in (K.Key_Slash, K.Key_2, K.Key_5, K.Key_Return):
        QTest.keyClick(hands.view.window().focusWidget(), key)
    assert hands.state(0).board.at == "LPX-25"
    assert hands.state(0).mark("LPX-01") == NOT_SEEN


def test_a_slash_that_was_a_mistake_is_forgotten(open_room: OpenRoom) -> None:
    hands = open_room()
    for key in (K.Key_Slash, K.Key_1, K.Key_Escape, K.Key_2):
        hands.press(key)
    assert hands.view.model.front == 1
    assert hands.state(0).entries == ()


def test_the_table_of_keys_opens_and_closes(open_room: OpenRoom) -> None:
    hands = open_room()
    QTest.keyClicks(hands.view, "?")
    assert hands.view.keys_table.isVisible()
    hands.press(K.Key_Escape)
    assert not hands.view.keys_table.isVisible()


def test_space_presses_the_key_that_tab_reached_and_else_marks_done(open_room: OpenRoom) -> None:
    hands = open_room()
    incorrect = hands.view.well.marks[1]
    hands.view.activateWindow()
    hands.qtbot.waitUntil(hands.view.isActiveWindow)
    incorrect.setFocus(Qt.FocusReason.TabFocusReason)
    hands.clock.go(1)
    QTest.keyClick(incorrect, K.Key_Space)
    assert hands.state(0).mark("LPX-01") == INCORRECT
    hands.press(K.Key_Escape)
    hands.press(K.Key_Space)
    assert hands.state(0).mark("LPX-02") == DONE


def test_nothing_is_marked_behind_the_table_of_keys(open_room: OpenRoom) -> None:
    hands = open_room()
    QTest.keyClicks(hands.view, "?")
    hands.press(K.Key_N)
    hands.press(K.Key_Space)
    assert hands.view.model.kept == 0
    hands.press(K.Key_Escape)
    assert not hands.view.keys_table.isVisible()


def test_a_number_is_that_of_the_seat_and_never_its_place_among_mine(
    open_room: OpenRoom, monkeypatch: pytest.MonkeyPatch
) -> None:
    hands = open_room()
    model = hands.view.model
    monkeypatch.setattr(model, "number", lambda seat: seat + 5)
    hands.press(K.Key_6)
    assert model.front == 1
    hands.press(K.Key_1)
    assert model.front == 1


def test_a_number_is_typed_on_the_number_pad_too(open_room: OpenRoom) -> None:
    hands = open_room()
    pad = Qt.KeyboardModifier.KeypadModifier
    for key in (K.Key_Slash, K.Key_1, K.Key_5, K.Key_Enter):
        hands.press(key, pad)
    assert hands.state(0).board.at == "LPX-15"
    assert hands.state(0).mark("LPX-01") == NOT_SEEN


def test_a_pedal_held_down_marks_once(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.press(K.Key_PageDown)
    hands.clock.go(1)
    held = QKeyEvent(
        QEvent.Type.KeyPress, K.Key_PageDown, Qt.KeyboardModifier.NoModifier, "", autorep=True
    )
    QApplication.sendEvent(hands.view, held)
    assert hands.view.model.kept == 1
    hands.press(K.Key_PageUp)
    assert hands.view.model.kept == 0


def test_why_a_step_does_not_apply_is_a_number(open_room: OpenRoom) -> None:
    hands = open_room()
    for key in (K.Key_Y, K.Key_Slash, K.Key_1, K.Key_7, K.Key_Return, K.Key_X, K.Key_Y, K.Key_1):
        hands.press(key)
    event = hands.state(0).reasons["LPX-17"]
    assert hands.view.model.sessions[0].text(event, "reason") == "Pencil-point needle used"
    assert not hands.view.questions.is_open


@pytest.mark.parametrize("goes_on", [True, False], ids=["goes on", "has ended"])
def test_once_stopped_f12_asks_what_came_of_it(open_room: OpenRoom, *, goes_on: bool) -> None:
    hands = open_room()
    hands.press(K.Key_Space)
    hands.press(K.Key_F12)
    hands.press(K.Key_F12)
    assert hands.state(0).stopped
    hands.press(K.Key_1 if goes_on else K.Key_2)
    if goes_on:
        assert hands.state(0).clock.is_running
        return
    hands.press(K.Key_3)
    assert hands.state(0).void


@pytest.mark.parametrize("key", [K.Key_C, K.Key_F12])
def test_what_is_urgent_does_not_wait_for_the_table_of_keys(
    open_room: OpenRoom, key: Qt.Key
) -> None:
    hands = open_room()
    QTest.keyClicks(hands.view, "?")
    hands.press(key)
    assert hands.state(0).occurrences or hands.state(0).stopped
    assert not hands.view.keys_table.isVisible()


def test_while_seats_are_arranged_numbers_choose_and_nothing_is_marked(
    open_room: OpenRoom,
) -> None:
    hands = open_room()
    hands.view.toggle_arranging()
    names = [hands.view.model.name(seat) for seat in range(8)]
    for key in (K.Key_Space, K.Key_N, K.Key_2, K.Key_5, K.Key_Backspace):
        hands.press(key)
    assert hands.view.model.name(1) == names[4]
    assert not any(hands.state(seat).entries for seat in range(8))
    hands.press(K.Key_Escape)
    assert hands.view.over is None
    hands.press(K.Key_Space)
    assert hands.state(0).mark("LPX-01") == DONE


def test_a_number_answers_what_is_asked_in_sight_never_what_lies_under_another_view(
    open_room: OpenRoom,
) -> None:
    hands = open_room()
    hands.press(K.Key_C)
    hands.view.toggle_arranging()
    hands.press(K.Key_3)
    assert hands.state(0).occurrences[0].item == ""
    hands.press(K.Key_Q)
    hands.press(K.Key_1)
    assert hands.view.over is None


def test_a_number_brings_nobody_to_the_front_who_is_not_here(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.view.toggle_arranging()
    hands.press(K.Key_8)
    arranging = hands.view.arranging
    assert arranging is not None
    hands.click(arranging.ways["Not here"])
    hands.press(K.Key_Escape)
    hands.press(K.Key_8)
    assert hands.view.model.front == 0


def test_while_a_question_covers_the_arranged_seats_nothing_is_marked_out_of_sight(
    open_room: OpenRoom,
) -> None:
    hands = open_room()
    hands.view.toggle_arranging()
    assert hands.view.arranging is not None
    hands.press(K.Key_1)
    hands.click(hands.view.arranging.ways[PLACE])
    assert hands.view.questions.is_open
    for key in (K.Key_Space, K.Key_I, K.Key_F2, K.Key_Down, K.Key_Backspace):
        hands.press(key)
    assert not any(hands.state(seat).entries for seat in range(8))
    hands.press(K.Key_C)
    assert len(hands.state(0).occurrences) == 1


def test_while_a_question_covers_the_cells_nothing_is_marked_out_of_sight(
    open_room: OpenRoom,
) -> None:
    hands = open_room()
    for key in (K.Key_G, K.Key_Q, K.Key_Space, K.Key_N):
        hands.press(key)
    assert not hands.state(0).entries
    for key in (K.Key_Escape, K.Key_Space):
        hands.press(key)
    assert hands.state(0).mark("LPX-01") == DONE


@pytest.mark.parametrize("in_the_table", [False, True])
def test_in_the_grid_too_the_table_of_keys_goes_for_a_critical_and_takes_all_else(
    open_room: OpenRoom, in_the_table: bool
) -> None:
    hands = open_room()
    hands.press(K.Key_G)
    grid = hands.view.grid
    assert grid is not None
    grid.mender.open((0, 0))
    QTest.keyClicks(hands.view, "?")
    under = grid.table if in_the_table else hands.view
    for key in (K.Key_Space, K.Key_I, K.Key_2):
        QTest.keyClick(under, key)
    assert not hands.state(0).entries
    assert hands.view.keys_table.isVisible()
    hands.clock.go(1)
    QTest.keyClick(under, K.Key_C)
    assert len(hands.state(0).occurrences) == 1
    assert not hands.view.keys_table.isVisible()
    assert grid.naming.is_open


def test_a_number_that_was_begun_is_forgotten_when_somebody_is_pressed(
    open_room: OpenRoom,
) -> None:
    hands = open_room()
    hands.press(K.Key_Slash)
    hands.press(K.Key_2)
    hands.click(hands.view.seats.cards[5].sentence)
    hands.press(K.Key_3)
    assert hands.view.model.front == 2
