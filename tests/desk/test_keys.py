"""Keys: one press is one deed; a key that cannot be pressed has no heel; the ring is never cut."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.keys import Face, FocusRing, Key, Row, word_face
from observe.desk.theme import Skin
from observe.look.tokens import LIGHT, RING_GAP, RING_WIDTH, Token


@pytest.fixture
def key(skin: Skin, parent: QWidget) -> Key:
    parent.resize(300, 200)
    made = Key(skin, parent, Face("Done. Seat 5", heel=Token.DONE))
    made.place(40, 40, 120, 80)
    parent.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    parent.show()
    parent.setFocus()
    return made


def make_active(window: QWidget, qtbot: QtBot) -> None:
    """Give a window the keyboard; a real screen takes a moment for it."""
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)


def heel_of(key: Key) -> str:
    return key.grab().toImage().pixelColor(key.width() // 2, key.height() - 2).name()


def test_a_key_stands_on_a_heel_in_its_colour(key: Key) -> None:
    assert heel_of(key) == LIGHT.done.lower()


def test_pressed_the_heel_goes(key: Key) -> None:
    key.setDown(True)
    assert heel_of(key) != LIGHT.done.lower()


def test_what_cannot_be_pressed_has_no_heel_and_is_not_pressed(key: Key, qtbot: QtBot) -> None:
    key.show_face(key.face.allowed(can=False))
    assert heel_of(key) != LIGHT.done.lower()
    with qtbot.assertNotEmitted(key.struck):
        QTest.mouseClick(key, Qt.MouseButton.LeftButton)


def test_one_click_is_one_stroke(key: Key, qtbot: QtBot) -> None:
    with qtbot.waitSignal(key.struck):
        QTest.mouseClick(key, Qt.MouseButton.LeftButton, pos=QPoint(10, 20))
    assert key.at.toPoint() == QPoint(10, 20)


def test_the_same_face_is_not_painted_again(key: Key, monkeypatch: pytest.MonkeyPatch) -> None:
    painted: list[int] = []
    monkeypatch.setattr(key, "update", lambda: painted.append(1))
    key.show_face(Face("Done. Seat 5", heel=Token.DONE))
    assert painted == []
    key.show_face(Face("Done. Seat 6", heel=Token.DONE))
    assert painted == []
    assert key.accessibleName() == "Done. Seat 6"
    key.show_face(Face("Done. Seat 6", heel=Token.WRONG))
    assert painted == [1]


def test_a_click_never_moves_the_focus(key: Key) -> None:
    QTest.mouseClick(key, Qt.MouseButton.LeftButton)
    assert not key.hasFocus()


def test_enter_presses_only_the_key_that_tab_reached(key: Key, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(key.struck):
        QTest.keyClick(key, Qt.Key.Key_Return)
    make_active(key.window(), qtbot)
    key.setFocus(Qt.FocusReason.TabFocusReason)
    with qtbot.waitSignal(key.struck):
        QTest.keyClick(key, Qt.Key.Key_Return)


def test_a_target_may_go_beyond_its_face(key: Key, qtbot: QtBot) -> None:
    key.reach_below = 30
    assert key.drawn().height() == 50
    with qtbot.waitSignal(key.struck):
        QTest.mouseClick(key, Qt.MouseButton.LeftButton, pos=QPoint(10, 75))


def test_a_reading_lies_and_lights_up_when_pressed(skin: Skin, parent: QWidget) -> None:
    row = Row(skin, parent, Face("Go to step 12"))
    row.place(0, 0, 100, 60)
    parent.show()
    row.setDown(True)
    assert row.grab().toImage().pixelColor(50, 30).name() == LIGHT.actbg.lower()


def test_the_ring_stands_clear_of_the_key_that_tab_reached(
    key: Key, skin: Skin, parent: QWidget, qtbot: QtBot
) -> None:
    ring = FocusRing(skin, parent)
    make_active(parent, qtbot)
    key.setFocus(Qt.FocusReason.TabFocusReason)
    ring.follow(None, key)
    reach = RING_GAP + RING_WIDTH
    assert ring.geometry() == key.geometry().adjusted(-reach, -reach, reach, reach)
    key.clearFocus()
    ring.follow(key, None)
    assert not ring.isVisible()


def test_at_the_edge_of_the_window_the_ring_is_whole(
    key: Key, skin: Skin, parent: QWidget, qtbot: QtBot
) -> None:
    ring = FocusRing(skin, parent)
    key.place(0, 0, 120, 80)
    make_active(parent, qtbot)
    key.setFocus(Qt.FocusReason.TabFocusReason)
    ring.follow(None, key)
    assert ring.isVisible()
    assert parent.rect().contains(ring.geometry())


def test_words_on_a_key_are_its_name() -> None:
    assert word_face("Try again").name == "Try again"


@pytest.mark.parametrize("way", ["hidden", "not pressable"])
def test_a_key_that_goes_gives_the_keyboard_to_its_page_not_to_the_next_key(
    key: Key, parent: QWidget, skin: Skin, qtbot: QtBot, way: str
) -> None:
    """Else the next press of the space bar would strike whatever key comes after it."""
    after = Key(skin, parent, word_face("Critical"))
    after.place(170, 40, 80, 80)
    make_active(parent, qtbot)
    key.setFocus(Qt.FocusReason.TabFocusReason)
    if way == "hidden":
        key.hide()
    else:
        key.show_face(key.face.allowed(can=False))
    assert parent.hasFocus()
