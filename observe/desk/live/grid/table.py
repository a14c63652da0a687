"""The cells of the Grid, and the labels of their rows."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from observe.desk.keys import KEYBOARD_REASONS
from observe.desk.live.grid.delegate import CellDelegate
from observe.desk.live.grid.lens import Lens
from observe.desk.live.grid.model import GridModel
from observe.desk.live.grid.paint import paint_label, paint_lens, paint_run
from observe.desk.live.grid.rows import Run, runs
from observe.desk.live.grid.touches import DRAG_MM, Spot, Touches
from observe.desk.paint import Pen
from observe.desk.theme import Skin
from observe.look.tokens import Token

K = Qt.Key
PAGE = 5
_MOVES = {
    K.Key_Up: (-1, 0),
    K.Key_Down: (1, 0),
    K.Key_Left: (0, -1),
    K.Key_Right: (0, 1),
    K.Key_PageUp: (-PAGE, 0),
    K.Key_PageDown: (PAGE, 0),
}


class GridTable(QTableView):
    """Every cell; presses and arrows, but no deeds.

    chosen: the cell under repair; ringed: the one with the keyboard; lit: under the
    pointer; locked: columns that cannot be changed. Each is row and column, or None.
    """

    pressed_cell = Signal(int, int)
    entered_cell = Signal(int, int)
    went = Signal(int)

    def __init__(self, skin: Skin, grid: GridModel, lens: Lens, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.grid, self.lens = skin, grid, lens
        self.chosen: Spot | None = None
        self.lit: Spot | None = None
        self.locked: frozenset[int] = frozenset()
        self._by_keyboard = False
        self.setModel(grid)
        self.setItemDelegate(CellDelegate(self))
        self._touches = Touches(
            self._spot, self._pressed, far=skin.mm(DRAG_MM), drag=self._scroll_by
        )
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.viewport().setMouseTracking(True)
        self._be_plain()
        lens.moved.connect(self.show_heights)

    def _be_plain(self) -> None:
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAutoScroll(False)
        self.setTabKeyNavigation(False)
        self.setAccessibleName("Every step of every learner")

    # reading

    @property
    def ringed(self) -> Spot | None:
        """The cell with the ring of the keyboard."""
        index = self.currentIndex()
        there = self._by_keyboard and self.hasFocus() and index.isValid()
        return (index.row(), index.column()) if there else None

    def ends_phase(self, row: int) -> bool:
        """Whether a line stands under a thin row: the next one is of another phase."""
        rows = self.grid.rows
        if row + 1 >= len(rows):
            return True
        here, below = rows[row], rows[row + 1]
        return (here.form, here.phase) != (below.form, below.phase)

    def cell_rect(self, row: int, column: int) -> QRect:
        """Where a cell is on the viewport."""
        return self.visualRect(self.grid.index(row, column))

    def lens_rect(self) -> QRect:
        """Where the open rows are on the viewport, over its whole width."""
        first, last = self.lens.top, self.lens.top + self.lens.count - 1
        if last < first:
            return QRect()
        top = self.rowViewportPosition(first)
        bottom = self.rowViewportPosition(last) + self.rowHeight(last)
        return QRect(0, top, self.viewport().width(), bottom - top)

    # showing

    def show_heights(self, heights: list[int]) -> None:
        """Give every row its height."""
        header = self.verticalHeader()
        for row, height in enumerate(heights):
            if header.sectionSize(row) != height:
                header.resizeSection(row, height)
        self.viewport().update()
        header.viewport().update()

    def show_cell(self, spot: Spot | None) -> None:
        """Repaint one cell."""
        if spot is not None:
            self.update(self.grid.index(*spot))

    def choose(self, spot: Spot | None) -> None:
        """Frame the cell under repair, or none."""
        before, self.chosen = self.chosen, spot
        self.show_cell(before)
        self.show_cell(spot)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self.viewport())
        paint_lens(Pen(painter, self.skin), QRectF(self.lens_rect()), left=False, right=True)
        painter.end()

    # pressing

    def viewportEvent(self, event: QEvent) -> bool:
        kind = event.type()
        if kind in (
            QEvent.Type.TouchBegin,
            QEvent.Type.TouchUpdate,
            QEvent.Type.TouchEnd,
            QEvent.Type.TouchCancel,
        ):
            return self._touches.take(event)
        if kind is QEvent.Type.Leave:
            self._light(None)
        return bool(super().viewportEvent(event))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self._touches.take(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self._touches.take(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._touches.take(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._light(self._spot(event.position().toPoint()))

    def _spot(self, at: QPoint) -> Spot | None:
        index = self.indexAt(at)
        return (index.row(), index.column()) if index.isValid() else None

    def _pressed(self, spot: Spot) -> None:
        self._by_keyboard = False
        self.setCurrentIndex(self.grid.index(*spot))
        self.pressed_cell.emit(*spot)

    def _light(self, spot: Spot | None) -> None:
        if spot != self.lit:
            before, self.lit = self.lit, spot
            self.show_cell(before)
            self.show_cell(spot)

    def _scroll_by(self, px: int) -> bool:
        bar = self.verticalScrollBar()
        if bar.maximum() == 0:
            return False
        bar.setValue(bar.value() + px)
        return True

    # keyboard

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows, Page and Enter; everything else belongs to the page."""
        key = Qt.Key(event.key())
        plain = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if plain != Qt.KeyboardModifier.NoModifier:
            event.ignore()
        elif key in _MOVES:
            self.go(*_MOVES[key])
        elif key in (K.Key_Home, K.Key_End):
            self.go(len(self.grid.rows) * (1 if key is K.Key_End else -1), 0)
        elif key in (K.Key_Return, K.Key_Enter) and self.currentIndex().isValid():
            self._ring()
            index = self.currentIndex()
            self.entered_cell.emit(index.row(), index.column())
        else:
            event.ignore()

    def go(self, rows: int, columns: int) -> None:
        """Move the keyboard's cell, and the lens with it."""
        if not self.grid.rows or not self.grid.columnCount():
            return
        index = self.currentIndex()
        row = max(0, min(index.row() + rows, len(self.grid.rows) - 1))
        column = max(0, min(index.column() + columns, self.grid.columnCount() - 1))
        self._ring()
        self.setCurrentIndex(self.grid.index(row, column))
        if rows:
            self.went.emit(row)

    def _ring(self) -> None:
        self._by_keyboard = True
        index = self.currentIndex()
        self.show_cell((index.row(), index.column()) if index.isValid() else None)

    def focusInEvent(self, event: QFocusEvent) -> None:
        self._by_keyboard = event.reason() in KEYBOARD_REASONS
        super().focusInEvent(event)


class LabelColumn(QHeaderView):
    """The steps: in full beside open rows, their phases beside thin ones."""

    pressed_row = Signal(int)

    def __init__(self, skin: Skin, table: GridTable) -> None:
        super().__init__(Qt.Orientation.Vertical, table)
        self.skin, self.table = skin, table
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setMinimumSectionSize(1)
        self._touches = Touches(self._spot, lambda spot: self.pressed_row.emit(spot[0]), far=9999)
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.setAccessibleName("Steps")

    def _spot(self, at: QPoint) -> Spot | None:
        row = self.logicalIndexAt(at)
        return (row, 0) if row >= 0 else None

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() in (
            QEvent.Type.TouchBegin,
            QEvent.Type.TouchUpdate,
            QEvent.Type.TouchEnd,
            QEvent.Type.TouchCancel,
        ):
            return self._touches.take(event)
        return bool(super().viewportEvent(event))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._touches.take(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._touches.take(event)

    def sectionSizeFromContents(self, row: int) -> QSize:
        """Heights are given; nothing has to be measured."""
        return QSize(self.width(), self.sectionSize(row))

    def thin_runs(self) -> tuple[Run, ...]:
        """The labels beside the thin rows, above and below the lens."""
        rows, lens = self.table.grid.rows, self.table.lens
        heights = [self.sectionSize(row) for row in range(len(rows))]
        least = self.skin.px(17)
        above = runs(rows, heights, 0, lens.top, least)
        below = runs(rows, heights, lens.top + lens.count, len(rows), least)
        return above + below

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        pen = Pen(painter, self.skin)
        lens, rows = self.table.lens, self.table.grid.rows
        wide = self.viewport().width()
        pen.fill(QRectF(self.viewport().rect()), Token.SHEET)
        for run in self.thin_runs():
            top = self.sectionViewportPosition(run.first)
            bottom = self.sectionViewportPosition(run.last) + self.sectionSize(run.last)
            paint_run(pen, QRectF(0, top, wide - 1, bottom - top), run)
        for row in range(lens.top, lens.top + lens.count):
            top, high = self.sectionViewportPosition(row), self.sectionSize(row)
            painter.save()
            painter.setClipRect(QRectF(0, top, wide, high))
            paint_label(pen, QRectF(0, top, wide - 1, high), rows[row])
            painter.restore()
        pen.fill(QRectF(wide - 1, 0, 1, self.viewport().height()), Token.LINE)
        frame = QRectF(self.table.lens_rect())
        frame.setWidth(wide)
        paint_lens(pen, frame, left=True, right=False)
        painter.end()
