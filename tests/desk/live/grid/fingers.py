"""One observer at the Grid, for tests: presses cells, heads and keys, never twice too fast."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from observe.desk.keys import Key
from observe.desk.live.grid.view import GridView
from observe.desk.live.model import LiveModel
from observe.domain.observation import Observation
from tests.desk.people import HandClock

LEFT = Qt.MouseButton.LeftButton


class Fingers:
    """Presses by mouse and keyboard; a second goes by before each."""

    def __init__(self, view: GridView, clock: HandClock) -> None:
        self.view, self.clock = view, clock
        self.taps = 0

    @property
    def model(self) -> LiveModel:
        return self.view.model

    def state(self, seat: int) -> Observation:
        return self.model.state(seat)

    def open(self) -> tuple[int, int] | None:
        """The cell under repair."""
        return self.view.mender.cell

    def cell(self, row: int, column: int) -> None:
        """Press a cell in its middle."""
        self.clock.go(1)
        self.taps += 1
        table = self.view.table
        where = table.cell_rect(row, column).center()
        QTest.mouseClick(table.viewport(), LEFT, pos=where)

    def head(self, column: int) -> None:
        """Press the head of a column."""
        self.clock.go(1)
        heads = self.view.heads
        x = heads.sectionViewportPosition(column) + heads.sectionSize(column) // 2
        QTest.mouseClick(heads.viewport(), LEFT, pos=QPoint(x, 30))

    def key(self, word: str) -> None:
        """Press the key of the strip whose name begins with a word."""
        self.clock.go(1)
        self.taps += 1
        QTest.mouseClick(self.named(word), LEFT)

    def named(self, word: str) -> Key:
        """The key of the strip whose name begins with a word."""
        keys = self.view.strip.offered()
        return next(key for key in keys if key.accessibleName().startswith(word))

    def names(self) -> list[str]:
        """The names of all keys of the strip."""
        return [key.accessibleName() for key in self.view.strip.offered()]

    def press(self, key: Qt.Key) -> None:
        """Press a key of the keyboard, wherever it is."""
        self.clock.go(1)
        QTest.keyClick(QApplication.focusWidget() or self.view.table, key)


OpenGrid = Callable[..., Fingers]
