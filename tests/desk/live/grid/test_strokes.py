"""Keys in the Grid: the cell under repair, the learner in front, and what is asked."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent

from observe.domain.marks import DONE, NOT_SEEN, State
from tests.desk.live.grid.fingers import Fingers, OpenGrid

K = Qt.Key


def test_a_cell_is_marked_with_the_keyboard_alone(open_grid: OpenGrid) -> None:
    """While the strip is open Space means its cell, not the step in front of another learner."""
    fingers = open_grid(8)
    fingers.view.table.setFocus(Qt.FocusReason.TabFocusReason)
    fingers.press(K.Key_Right)
    fingers.press(K.Key_Down)
    fingers.press(K.Key_Return)
    assert fingers.open() == (1, 1)
    fingers.press(K.Key_N)
    assert fingers.state(1).mark(fingers.state(1).steps[1].id).state is State.NOT_DONE
    assert fingers.view.table.hasFocus()
    fingers.press(K.Key_Return)
    fingers.view.press(_stroke(K.Key_F2))
    assert fingers.state(1).mark(fingers.state(1).steps[1].id).prompt == 2


def _stroke(key: Qt.Key) -> QKeyEvent:
    return QKeyEvent(QEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier)


def test_keys_that_mean_the_page_are_left_to_it(open_grid: OpenGrid) -> None:
    fingers = open_grid(8)
    assert not fingers.view.press(_stroke(K.Key_Space))
    fingers.cell(1, 1)
    assert not fingers.view.press(_stroke(K.Key_P))
    assert fingers.view.press(_stroke(K.Key_Space))


def test_the_keyboard_keeps_it_for_the_learner_in_front_even_during_a_repair(
    open_grid: OpenGrid,
) -> None:
    fingers = open_grid(3)
    fingers.model.look(2)
    fingers.cell(0, 1)
    fingers.press(Qt.Key.Key_C)
    assert [len(fingers.state(seat).occurrences) for seat in range(3)] == [0, 0, 1]
    assert fingers.open() is None


def test_a_critical_event_is_named_by_a_number_and_left_by_esc(open_grid: OpenGrid) -> None:
    """Rules C2 and C3: it can wait."""
    fingers = open_grid(3)
    fingers.model.look(1)
    for key in (K.Key_C, K.Key_2, K.Key_Escape):
        _press(fingers, key)
    assert fingers.state(1).occurrences[0].item == "LPX-C2"
    assert fingers.state(1).occurrences[0].verdict is None
    assert not fingers.view.naming.is_open
    assert not fingers.view.press(_stroke(K.Key_2))


def test_a_mark_moves_by_the_number_of_the_right_learner(open_grid: OpenGrid) -> None:
    """Rule E3."""
    fingers = open_grid(3)
    fingers.model.mark(1, DONE)
    fingers.cell(0, 1)
    fingers.key("Wrong learner")
    _press(fingers, K.Key_3)
    assert fingers.state(1).mark("LPX-01") == NOT_SEEN
    assert fingers.state(2).mark("LPX-01") == DONE


def _press(fingers: Fingers, key: Qt.Key) -> None:
    fingers.clock.go(1)
    assert fingers.view.press(_stroke(key))
