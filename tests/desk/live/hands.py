"""One observer at the window, for tests: presses keys by mouse and by keyboard."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.live.page import LivePage
from observe.domain.observation import Observation
from tests.desk.people import HandClock

LEFT = Qt.MouseButton.LeftButton


class Hands:
    """One observer at the window: presses keys by mouse and keyboard, never twice too fast."""

    def __init__(self, qtbot: QtBot, view: LivePage, clock: HandClock) -> None:
        self.qtbot, self.view, self.clock = qtbot, view, clock

    def click(self, key: QWidget) -> None:
        self.clock.go(1)
        assert key.isVisible()
        QTest.mouseClick(key, LEFT)

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier | None = None) -> None:
        self.clock.go(1)
        QTest.keyClick(self.view, key, modifier or Qt.KeyboardModifier.NoModifier)

    def state(self, seat: int) -> Observation:
        return self.view.model.state(seat)


OpenRoom = Callable[..., Hands]
