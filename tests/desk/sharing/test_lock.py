"""The way back from a learner's screen is deliberate, with a PIN or without."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.sharing.lock import BETWEEN_S, LockPanel
from observe.desk.theme import Skin
from observe.work.pins import Pins
from tests.desk.people import HandClock, painted

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def panel(skin: Skin, held: Pins, parent: QWidget, clock: HandClock) -> LockPanel:
    painted(parent, 1280, 800)
    made = LockPanel(skin, held, "o-1", parent, seconds=clock.now)
    made.setGeometry(parent.rect())
    made.ask()
    return made


def test_without_a_pin_two_keys_one_after_the_other_open(panel: LockPanel, qtbot: QtBot) -> None:
    with qtbot.waitSignal(panel.opened):
        QTest.mouseClick(panel.left_key, LEFT)
        QTest.mouseClick(panel.right_key, LEFT)


def test_one_of_them_alone_or_too_late_does_not(
    panel: LockPanel, clock: HandClock, qtbot: QtBot
) -> None:
    with qtbot.assertNotEmitted(panel.opened):
        QTest.mouseClick(panel.right_key, LEFT)
        QTest.mouseClick(panel.left_key, LEFT)
        clock.go(BETWEEN_S + 1)
        QTest.mouseClick(panel.right_key, LEFT)


def test_the_two_keys_are_far_apart(panel: LockPanel) -> None:
    apart = panel.right_key.x() - panel.left_key.geometry().right()
    assert apart > panel.skin.mm(80)


def test_with_a_pin_there_are_no_two_keys(panel: LockPanel, held: Pins, qtbot: QtBot) -> None:
    held.choose("o-1", "2718", "2718")
    panel.ask()
    assert not panel.left_key.isVisible()
    assert not panel.right_key.isVisible()
    with qtbot.waitSignal(panel.opened):
        QTest.keyClicks(panel.pad, "2718")


def test_a_damaged_file_of_pins_locks_nobody_out(
    panel: LockPanel, held: Pins, qtbot: QtBot
) -> None:
    held.choose("o-1", "2718", "2718")
    held.path.write_text("{", "utf-8")
    panel.ask()
    with qtbot.waitSignal(panel.opened):
        QTest.mouseClick(panel.left_key, LEFT)
        QTest.mouseClick(panel.right_key, LEFT)
