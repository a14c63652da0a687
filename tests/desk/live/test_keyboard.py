"""The keyboard of Live (look §12): each key means one deed, and the table tells them all."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.live.keyboard import SEAT_KEYS, TABLE, Deed, KeysTable, Stroke, stroke_of
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from tests.desk.people import painted

K, M = Qt.Key, Qt.KeyboardModifier


def pressed(key: Qt.Key, modifier: Qt.KeyboardModifier = M.NoModifier, text: str = "") -> QKeyEvent:
    return QKeyEvent(QEvent.Type.KeyPress, key, modifier, text)


@pytest.mark.parametrize("seat", range(12))
def test_the_number_row_names_the_seats(seat: int) -> None:
    assert stroke_of(pressed(SEAT_KEYS[seat])) == Stroke(Deed.SEAT, seat)


@pytest.mark.parametrize("digit", range(10))
def test_the_number_pad_does_too(digit: int) -> None:
    key = SEAT_KEYS[(digit - 1) % 10]
    assert stroke_of(pressed(key, M.KeypadModifier, str(digit))) == Stroke(
        Deed.SEAT, (digit - 1) % 10
    )


def test_pedals_that_turn_pages_mark_and_take_back() -> None:
    assert stroke_of(pressed(K.Key_PageDown)) == Stroke(Deed.DONE)
    assert stroke_of(pressed(K.Key_PageUp)) == Stroke(Deed.TAKE_BACK)


@pytest.mark.parametrize("key", [K.Key_PageDown, K.Key_PageUp])
def test_the_number_pad_without_its_lock_marks_nothing(key: Qt.Key) -> None:
    assert stroke_of(pressed(key, M.KeypadModifier)) is None


@pytest.mark.parametrize("key", [K.Key_Return, K.Key_Enter, K.Key_B, K.Key_Left, K.Key_Right])
def test_what_other_pedals_type_does_no_harm(key: Qt.Key) -> None:
    assert stroke_of(pressed(key)) is None


@pytest.mark.parametrize("level", range(1, 5))
def test_prompts_have_two_ways(level: int) -> None:
    function_key = (K.Key_F1, K.Key_F2, K.Key_F3, K.Key_F4)[level - 1]
    assert stroke_of(pressed(function_key)) == Stroke(Deed.PROMPT, level)
    assert stroke_of(pressed(SEAT_KEYS[level - 1], M.AltModifier)) == Stroke(Deed.PROMPT, level)


@pytest.mark.parametrize(
    ("key", "modifier", "deed"),
    [
        (K.Key_Space, M.NoModifier, Deed.DONE),
        (K.Key_U, M.NoModifier, Deed.UNSEEN),
        (K.Key_Backspace, M.NoModifier, Deed.TAKE_BACK),
        (K.Key_Backspace, M.ShiftModifier, Deed.PUT_BACK),
        (K.Key_C, M.NoModifier, Deed.CRITICAL),
        (K.Key_C, M.ShiftModifier, Deed.RECOVERED),
        (K.Key_F12, M.NoModifier, Deed.STOP),
        (K.Key_P, M.ShiftModifier, Deed.PAUSE_ALL),
    ],
)
def test_keys_of_the_page(key: Qt.Key, modifier: Qt.KeyboardModifier, deed: Deed) -> None:
    assert stroke_of(pressed(key, modifier)) == Stroke(deed)


def test_a_question_mark_is_the_table_on_every_layout() -> None:
    assert stroke_of(pressed(K.Key_Question, M.ShiftModifier, "?")) == Stroke(Deed.TABLE)


@pytest.mark.parametrize("modifier", [M.ControlModifier, M.MetaModifier])
def test_what_means_nothing_here_is_left_alone(modifier: Qt.KeyboardModifier) -> None:
    assert stroke_of(pressed(K.Key_Space, modifier)) is None
    assert stroke_of(pressed(K.Key_Z)) is None


def test_the_table_has_room_and_closes_by_a_press(
    skin: Skin, parent: QWidget, misfits: list[Misfit], qtbot: QtBot
) -> None:
    table = KeysTable(skin, parent)
    painted(parent, 1280, 800)
    table.show_over(QRect(0, 0, 1280, 800), 5, "Ravi Senapathi")
    table.grab()
    assert misfits == []
    assert all(deed in table.accessibleName() for _, deed in TABLE)
    with qtbot.waitSignal(table.closed):
        table.close_key.click()
