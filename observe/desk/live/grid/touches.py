"""Presses by mouse and finger, the same for the cells, the labels and the heads."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QMouseEvent, QTouchEvent

DRAG_MM = 2.5
"""A finger that goes farther than this scrolls, and presses nothing."""

Spot = tuple[int, int]


class Touches:
    """Follows one finger or the mouse: `press` is called where it went down and up again.

    spot: the thing at a point, None where there is none. Further fingers do nothing, and a
    press that ends on another thing than it began is none. drag: called with the px
    that a finger went up or down; it answers whether it scrolled.
    """

    def __init__(
        self,
        spot: Callable[[QPoint], Spot | None],
        press: Callable[[Spot], None],
        *,
        far: int,
        drag: Callable[[int], bool] = lambda _: False,
    ) -> None:
        self._spot, self._press, self._drag, self._far = spot, press, drag, far
        self._down: Spot | None = None
        self._finger: int | None = None
        self._from = QPoint()
        self._dragging = False

    def take(self, event: QEvent) -> bool:
        """Deal with a mouse or touch event; False if it is another kind."""
        if isinstance(event, QTouchEvent):
            self._touch(event)
            event.accept()
            return True
        if isinstance(event, QMouseEvent) and event.button() is Qt.MouseButton.LeftButton:
            if event.type() is QEvent.Type.MouseButtonRelease:
                self._up(event.position().toPoint())
            else:
                self._begin(event.position().toPoint())
            return True
        return False

    def _touch(self, event: QTouchEvent) -> None:
        kind, points = event.type(), event.points()
        if kind is QEvent.Type.TouchBegin:
            self._finger = points[0].id()
            self._begin(points[0].position().toPoint())
            return
        mine = next((one for one in points if one.id() == self._finger), None)
        if kind is QEvent.Type.TouchCancel or mine is None:
            self._down = None
        elif kind is QEvent.Type.TouchUpdate:
            self._move(mine.position().toPoint())
        elif kind is QEvent.Type.TouchEnd:
            self._up(mine.position().toPoint())

    def _begin(self, at: QPoint) -> None:
        self._down, self._from, self._dragging = self._spot(at), at, False

    def _move(self, at: QPoint) -> None:
        gone = self._from.y() - at.y()
        if (self._dragging or abs(gone) > self._far) and self._drag(gone):
            self._dragging, self._down, self._from = True, None, at

    def _up(self, at: QPoint) -> None:
        down, self._down, self._finger = self._down, None, None
        if down is not None and down == self._spot(at):
            self._press(down)
