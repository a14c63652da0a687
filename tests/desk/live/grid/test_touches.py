"""One finger presses; a second one, a slide and a scroll press nothing."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QPointingDevice
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.desk.live.grid.fingers import Fingers, OpenGrid


@pytest.fixture(scope="session")
def screen(faces: QApplication) -> QPointingDevice:
    assert faces is not None
    return QTest.createTouchDevice()


def place(fingers: Fingers, row: int, column: int) -> QPoint:
    table = fingers.view.table
    return table.viewport().mapTo(fingers.view, table.cell_rect(row, column).center())


def test_a_finger_opens_a_cell(open_grid: OpenGrid, screen: QPointingDevice) -> None:
    fingers = open_grid(8)
    window = fingers.view.window().windowHandle()
    at = place(fingers, 1, 3)
    QTest.touchEvent(window, screen).press(0, at, window).commit()
    assert fingers.open() is None
    QTest.touchEvent(window, screen).release(0, at, window).commit()
    assert fingers.open() == (1, 3)


def test_a_second_finger_does_nothing(open_grid: OpenGrid, screen: QPointingDevice) -> None:
    fingers = open_grid(8)
    window = fingers.view.window().windowHandle()
    first, second = place(fingers, 1, 3), place(fingers, 2, 6)
    press = QTest.touchEvent(window, screen)
    press.press(0, first, window).press(1, second, window)
    press.commit()
    lift = QTest.touchEvent(window, screen)
    lift.release(0, first, window).release(1, second, window)
    lift.commit()
    assert fingers.open() == (1, 3)


def test_a_finger_that_slides_to_another_cell_presses_nothing(
    open_grid: OpenGrid, screen: QPointingDevice
) -> None:
    fingers = open_grid(8)
    window = fingers.view.window().windowHandle()
    QTest.touchEvent(window, screen).press(0, place(fingers, 1, 3), window).commit()
    QTest.touchEvent(window, screen).move(0, place(fingers, 3, 5), window).commit()
    QTest.touchEvent(window, screen).release(0, place(fingers, 3, 5), window).commit()
    assert fingers.open() is None


def test_a_finger_brings_a_learner_to_the_front(
    open_grid: OpenGrid, screen: QPointingDevice
) -> None:
    fingers = open_grid(8)
    window = fingers.view.window().windowHandle()
    heads = fingers.view.heads
    x = heads.sectionViewportPosition(5) + 20
    at = heads.viewport().mapTo(fingers.view, QPoint(x, 30))
    QTest.touchEvent(window, screen).press(0, at, window).commit()
    QTest.touchEvent(window, screen).release(0, at, window).commit()
    assert fingers.model.front == 5
