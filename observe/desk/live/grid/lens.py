"""The lens: which rows are open, and how it gets from one place to another."""

from __future__ import annotations

from PySide6.QtCore import QObject, QVariantAnimation, Signal

from observe.desk.live.grid.geometry import (
    RowMeasure,
    blended,
    lens_reaching,
    lens_top,
    open_rows,
    row_heights,
)
from observe.desk.theme import Skin

OPENS_MS = 80
THIN_LEAST = 8.5
"""px of the density, 1.45 mm: help can still be told from a mark done alone."""


class Lens(QObject):
    """Open rows, `top` to before `top + count`. `moved` hands on the height of every row.

    It moves in 80 ms, height only; at once where the person asked for less motion.
    """

    moved = Signal(list)

    def __init__(self, skin: Skin, parent: QObject) -> None:
        super().__init__(parent)
        self.skin = skin
        self.rows = self.height = self.top = self.count = 0
        self.heights: list[int] = []
        self._from: list[int] = []
        self._motion = QVariantAnimation(self)
        self._motion.setDuration(OPENS_MS)
        self._motion.setStartValue(0.0)
        self._motion.setEndValue(1.0)
        self._motion.valueChanged.connect(self._show)

    def measure(self) -> RowMeasure:
        """The heights of rows on this screen: 12 mm where one presses, 2 mm where one looks."""
        skin = self.skin
        return RowMeasure(
            open=max(skin.mm(11.94), skin.px(52)),
            thin=(11.7 if skin.is_hand else 12) * skin.unit,
            thin_least=THIN_LEAST * skin.unit,
        )

    def place(self, rows: int, height: int) -> None:
        """Fit to a number of rows and a height in px; the middle row stays open."""
        middle = self.top + self.count // 2
        self.rows, self.height = rows, height
        self.count = open_rows(rows, height, self.measure())
        self.top = lens_top(rows, self.count, min(middle, max(0, rows - 1)))
        self._go(at_once=True)

    def open_at(self, row: int, *, at_once: bool = False) -> None:
        """Open the rows round one."""
        self._to(lens_top(self.rows, self.count, row), at_once=at_once)

    def reach(self, row: int) -> None:
        """Move no more than it takes to open a row."""
        self._to(lens_reaching(self.rows, self.count, self.top, row))

    def is_open(self, row: int) -> bool:
        return self.top <= row < self.top + self.count

    def settle(self) -> None:
        """Be where it is going to."""
        if self._motion.state() is QVariantAnimation.State.Running:
            self._motion.stop()
            self._show(1.0)

    def _to(self, top: int, *, at_once: bool = False) -> None:
        if top != self.top:
            self.settle()
            self.top = top
            self._go(at_once=at_once)

    def _go(self, *, at_once: bool) -> None:
        self._motion.stop()
        self._from = self.heights
        self.heights = row_heights(self.rows, self.height, self.top, self.count, self.measure())
        still = at_once or self.skin.motion_reduced
        if still or len(self._from) != len(self.heights):
            self._show(1.0)
        else:
            self._motion.start()

    def _show(self, share: float) -> None:
        moving = share < 1 and len(self._from) == len(self.heights)
        self.moved.emit(blended(self._from, self.heights, share) if moving else self.heights)
