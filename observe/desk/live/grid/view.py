"""The Grid view of Live: every step of every learner, open where one works."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from itertools import accumulate

from PySide6.QtCore import QPoint, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from observe.desk.live.debounce import ADVANCE_S, Debounce
from observe.desk.live.grid.foot import CriticalFoot
from observe.desk.live.grid.geometry import ColumnMeasure, column_widths, scrolled
from observe.desk.live.grid.head import Corner, HeadBand, head_height
from observe.desk.live.grid.lens import Lens
from observe.desk.live.grid.mender import Mender
from observe.desk.live.grid.model import GridModel
from observe.desk.live.grid.naming import Naming
from observe.desk.live.grid.repair import locked_words
from observe.desk.live.grid.strip import Arrow, RepairStrip
from observe.desk.live.grid.strokes import GridStrokes
from observe.desk.live.grid.table import GridTable, LabelColumn
from observe.desk.live.model import LiveModel
from observe.desk.live.shield import heed, is_up
from observe.desk.paint import Pen
from observe.desk.theme import Skin
from observe.domain.words import counted
from observe.look.tokens import ROUTINE_TARGET_MM, Token

MARGIN, TOP = 6, 4
LABEL = (180, 420)
COLUMN = (54, 220)
SCROLL_BAR = 12
ARROW = (24, 11)
ASKED = (940, 460, 340)
"""Most px of the density for what is asked over the cells: width, height in the hand, on a desk."""
ASKED_LEAST, ASKED_SHARE = (390, 270), 0.1
"""px of height under which two rows of critical items have no room; how it grows with the text."""


class GridView(QWidget):
    """A table under the bar of Live, over the model of the room.

    The page calls `show_seat`, `show_front` and `tick`, as it does for the seats.
    clock: seconds that never go back, for what a finger may do how soon. critical_kept:
    the time of a critical event is on the disk. takes_keys: whether the keyboard means it,
    and not what lies over it.
    """

    rate = Signal(int)
    debrief = Signal(int)
    critical_kept = Signal(int)

    def __init__(
        self,
        skin: Skin,
        model: LiveModel,
        parent: QWidget | None = None,
        *,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(parent)
        self.skin, self.model = skin, model
        self.grid = GridModel(model, self)
        self.lens = Lens(skin, self)
        self.table = GridTable(skin, self.grid, self.lens, self)
        self.labels = LabelColumn(skin, self.table)
        self.heads = HeadBand(skin, self.grid, self.table)
        self.table.setVerticalHeader(self.labels)
        self.table.setHorizontalHeader(self.heads)
        self.corner = Corner(skin, self)
        self.foot = CriticalFoot(skin, self.grid, self)
        self.strip = RepairStrip(skin, self)
        self.arrow = Arrow(skin, self)
        self.mender = Mender(model, self.grid, self.strip)
        self.naming = Naming(skin, model, self.rate.emit, self)
        self.strokes = GridStrokes(self)
        self.takes_keys: Callable[[], bool] = lambda: True
        self._debounce = Debounce(clock)
        self._connect()

    def _connect(self) -> None:
        self.lens.moved.connect(self._keep_lens_in_sight)
        self.table.pressed_cell.connect(self.press_cell)
        self.table.entered_cell.connect(self._enter_cell)
        self.table.went.connect(self._follow)
        self.labels.pressed_row.connect(self._press_row)
        self.heads.pressed_column.connect(self.press_head)
        self.foot.struck.connect(self.keep_critical)
        self.table.verticalScrollBar().valueChanged.connect(self._place_strip)
        self.grid.modelReset.connect(self.arrange)
        self.mender.opened.connect(self._open_strip)
        self.mender.reshaped.connect(self._place_strip)
        self.mender.finished.connect(self._close_strip)
        heed(self.model, self.refresh)

    # geometry

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.arrange()

    def arrange(self) -> None:
        """Lay everything out for the size and the screen."""
        px, columns = self.skin.px, self.grid.columnCount()
        side, top = px(MARGIN), px(TOP)
        wide = max(1, self.width() - 2 * side)
        keys = self.foot.height_of_keys()
        high = max(1, self.height() - top - side - self.foot.gap - keys)
        names = tuple(self.model.name(seat) for seat in self.grid.seats)
        bar = 0
        for _ in range(2):
            label, widths = column_widths(wide - bar, columns, self._columns())
            head = head_height(self.skin, names, min(widths, default=px(COLUMN[1])))
            self.lens.place(len(self.grid.rows), max(1, high - head))
            scrolls = sum(self.lens.heights) > high - head
            bar = px(SCROLL_BAR) if scrolls else 0
        self.table.verticalScrollBar().setFixedWidth(px(SCROLL_BAR))
        self.labels.setFixedWidth(label)
        self.heads.setFixedHeight(head)
        for column, one in enumerate(widths):
            self.heads.resizeSection(column, one)
        self.table.setGeometry(side, top, wide, high)
        self.corner.setGeometry(side, top, label, head)
        self.corner.raise_()
        self._place_foot(QRect(side, top + high + self.foot.gap, wide, keys), label, widths)
        self.refresh()
        self._keep_lens_in_sight()
        self._place_strip()
        self.naming.place(self.middle())

    def _columns(self) -> ColumnMeasure:
        px = self.skin.px
        return ColumnMeasure((px(LABEL[0]), px(LABEL[1])), (px(COLUMN[0]), px(COLUMN[1])))

    def _place_foot(self, place: QRect, label: int, widths: Sequence[int]) -> None:
        self.foot.setGeometry(place)
        starts = accumulate(widths, initial=label)
        self.foot.lay_out(label, list(zip(starts, widths, strict=False)))

    def _keep_lens_in_sight(self) -> None:
        bar = self.table.verticalScrollBar()
        view, heights = self.table.viewport().height(), self.lens.heights
        bar.setRange(0, max(0, sum(heights) - view))
        lens = self.lens
        bar.setValue(scrolled(heights, lens.top, lens.count, view, bar.value()))

    def note_box(self) -> QRect:
        """Where a note may lie: over the rows that are farthest from the lens."""
        px = self.skin.px
        wide = min(self.width() - 2 * px(MARGIN), px(640))
        high = max(px(62), self.skin.mm(ROUTINE_TARGET_MM))
        lens = self.table.lens_rect().translated(self.table.viewport().mapTo(self, QPoint(0, 0)))
        end = self.table.geometry().bottom() + 1 - high
        y = end if lens.bottom() < end else self.corner.geometry().bottom() + 1
        return QRect((self.width() - wide) // 2, y, wide, high)

    def middle(self) -> QRect:
        """Where something may be asked: over the cells, and in large text over all of the table.

        Critical keys stay in sight.
        """
        skin, rows = self.skin, self.table.viewport()
        if rows.height() < skin.grows(*ASKED_LEAST, ASKED_SHARE):
            return self.table.geometry()
        most = QSize(skin.px(ASKED[0]), skin.pick(*ASKED[1:]))
        return QRect(rows.mapTo(self, QPoint(0, 0)), rows.size().boundedTo(most))

    # showing

    def refresh(self) -> None:
        """Show everything as it is now."""
        self.grid.refresh()
        self._show_around()

    def show_seat(self, seat: int) -> None:
        """Something about one learner changed; only the cells that differ are repainted."""
        self.grid.seat_changed(seat)
        self._show_around()

    def show_front(self, before: int, now: int) -> None:
        """Another learner is in front."""
        for seat in (before, now):
            self.grid.seat_changed(seat)
        self._show_around()

    def _show_around(self) -> None:
        count = len(self.grid.rows)
        folded = self.lens.count < count
        note = "press a thin row to open it" if folded else "press a cell to mark it"
        if is_up(self.model):
            note = "the shield is up: marks are covered"
        self.corner.say(counted(count, "step"), note)
        locked = frozenset(
            column for column, seat in enumerate(self.grid.seats) if locked_words(self.model, seat)
        )
        if locked != self.table.locked:
            self.table.locked = locked
            self.table.viewport().update()
        self.heads.refresh()
        self.foot.refresh()
        self.mender.refresh()
        self.naming.refresh()

    def light(self, seat: int | None) -> None:
        """Light the edge of the learner to look at next, or none."""
        self.grid.light(seat)
        self.heads.refresh()

    def tick(self) -> None:
        """A second went by: clocks, and the time since the last look."""
        self.heads.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        self.refresh()
        self.open_at_front(at_once=True)
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def open_at_front(self, *, at_once: bool = False) -> None:
        """Open the lens at the step of the learner in front, or where most learners are."""
        row = self.grid.row_of(self.model.front)
        if row is None:
            row = self.grid.busiest_row()
        if row is None:
            row = max(0, len(self.grid.rows) - 1)
        self.lens.open_at(row, at_once=at_once)
        self.table.setCurrentIndex(self.grid.index(row, self.grid.column_of(self.model.front)))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        Pen(painter, self.skin).fill(QRectF(self.rect()), Token.GROUND)
        painter.end()

    # pressing

    def press_cell(self, row: int, column: int) -> None:
        """A cell was pressed: open the lens there, or repair the cell."""
        if not self._debounce.lets("cell"):
            return
        if self.mender.moving:
            self.mender.move_to(column)
            return
        self.naming.hide()
        again = self.mender.cell == (row, column)
        self.mender.close()
        if again:
            return
        if self.lens.is_open(row):
            self.mender.open((row, column))
        else:
            self._open_lens(row)

    def _enter_cell(self, row: int, column: int) -> None:
        self.lens.reach(row)
        self.press_cell(row, column)
        if self.mender.cell is not None:
            self.strip.focus_first()

    def _press_row(self, row: int) -> None:
        self.naming.hide()
        self.mender.close()
        if not self.lens.is_open(row):
            self._open_lens(row)

    def _open_lens(self, row: int) -> None:
        self.lens.open_at(row)

    def _follow(self, row: int) -> None:
        """The keyboard's cell is in another row: the lens goes with it."""
        self.mender.close()
        self._open_lens(row)

    def press_head(self, column: int) -> None:
        """A head was pressed: that learner to the front, or the mark to that learner."""
        if self.mender.moving:
            self.mender.move_to(column)
            return
        self.mender.close()
        seat = self.grid.seats[column]
        self.model.look(seat)
        row = self.grid.row_of(seat)
        if row is not None and not self.lens.is_open(row):
            self._open_lens(row)
        index = self.table.currentIndex()
        self.table.setCurrentIndex(self.grid.index(max(0, index.row()), column))

    def keep_critical(self, seat: int) -> None:
        """A critical key was pressed: the time goes to the disk at once."""
        self.mender.close()
        if self.model.critical(seat) is not None:
            self.critical_kept.emit(seat)
            self.naming.offer(seat)

    # the strip

    def _open_strip(self) -> None:
        self.table.choose(self.mender.cell)
        self.strip.show()
        self.arrow.show()
        self._place_strip()

    def _close_strip(self, by_deed: bool) -> None:  # noqa: FBT001 - a signal hands it over
        if by_deed:
            self._debounce.hold("cell", ADVANCE_S)
        self.table.choose(None)
        had_keyboard = any(key.hasFocus() for key in self.strip.offered())
        self.strip.hide()
        self.arrow.hide()
        if had_keyboard:
            self.table.setFocus(Qt.FocusReason.TabFocusReason)

    def _place_strip(self) -> None:
        """Below the cell if there is room above the critical keys, else above the cell."""
        if self.mender.cell is None:
            return
        px, table = self.skin.px, self.table
        cell = table.cell_rect(*self.mender.cell)
        cell.translate(table.viewport().mapTo(self, QPoint(0, 0)))
        wide = self.width() - 2 * px(MARGIN)
        high = self.strip.height_for(wide)
        arrow_wide, arrow_high = px(ARROW[0]), px(ARROW[1])
        y = cell.bottom() + arrow_high - px(1)
        over = cell.top() - arrow_high - high + px(1)
        below = y + high <= table.geometry().bottom() + 1 or over < 0
        if not below:
            y = over
        y = max(0, min(y, self.height() - high))
        self.strip.setGeometry(px(MARGIN), y, wide, high)
        tip = cell.bottom() - px(1) if below else cell.top() - arrow_high + px(2)
        self.arrow.down = not below
        self.arrow.setGeometry(cell.center().x() - arrow_wide // 2, tip, arrow_wide, arrow_high)
        self.strip.raise_()
        self.arrow.raise_()

    # keyboard

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not (self.takes_keys() and self.press(event)):
            super().keyPressEvent(event)

    def press(self, event: QKeyEvent) -> bool:
        """Keys of the keyboard that mean the Grid; False if they mean the page."""
        return self.strokes.press(event)
