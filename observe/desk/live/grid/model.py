"""The Grid as a table: a row for each step, a column for each learner."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from observe.desk.live import reading
from observe.desk.live.grid.cells import Cell, cells_of, missing_cell
from observe.desk.live.grid.rows import GridRow, grid_rows
from observe.desk.live.model import LiveModel

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()
_TEXT_ROLES = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)


class GridModel(QAbstractTableModel):
    """Cells over a `LiveModel`. A mark announces the few cells that look different.

    rows: every step of the room; `column` is the seat, counted from 0.
    """

    def __init__(self, model: LiveModel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.model = model
        self.rows: tuple[GridRow, ...] = ()
        self._cells: list[tuple[Cell, ...]] = []
        self.refresh()

    # the table

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._cells)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> str | None:
        if role not in _TEXT_ROLES or not index.isValid():
            return None
        return self.said(index.row(), index.column())

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> str | None:
        if role not in _TEXT_ROLES:
            return None
        if orientation is Qt.Orientation.Vertical:
            row = self.rows[section]
            return f"Step {row.number}, {row.label}. {row.note}."
        return self.learner_said(section)

    # reading

    def cell(self, row: int, column: int) -> Cell:
        return self._cells[column][row]

    def said(self, row: int, column: int) -> str:
        """A cell for the reader: "Step 8, Ravi Senapathi, incorrect, 9 21."."""
        number = self.number(row, column)
        return f"Step {number}, {self.model.name(column)}, {self.cell(row, column).said}."

    def learner_said(self, column: int) -> str:
        """A header for the reader."""
        model = self.model
        state = model.state(column)
        looked = f", looked {reading.spoken(model.since_look_ns(column))} ago"
        return (
            f"Seat {model.number(column)}, {model.name(column)}, "
            f"{reading.spoken(model.elapsed_ns(column))}, {reading.seen_words(state)}"
            f"{looked if state.clock.is_running else ''}."
        )

    def number(self, row: int, column: int) -> str:
        """The number of a step as this learner knows it."""
        known = self.model.state(column).numbers.get(self.rows[row].step)
        return str(known) if known else self.rows[row].number

    def row_of(self, column: int) -> int | None:
        """The row of the step in front of a learner; None past the last one."""
        state = self.model.state(column)
        return self._place(state.ground.form.whole_digest, state.board.at)

    def busiest_row(self) -> int | None:
        """The row most learners are at, the first of several; None when all are past."""
        count: dict[int, int] = {}
        for column in range(len(self._cells)):
            row = self.row_of(column)
            if row is not None:
                count[row] = count.get(row, 0) + 1
        return max(sorted(count), key=lambda row: count[row], default=None)

    def _place(self, form: str, step: str) -> int | None:
        return next(
            (place for place, row in enumerate(self.rows) if (row.form, row.step) == (form, step)),
            None,
        )

    # changes

    def refresh(self) -> None:
        """Read everything anew: rows too, where a variant or a form changed."""
        states = [session.state for session in self.model.sessions]
        rows = grid_rows(states)
        if rows != self.rows or len(states) != len(self._cells):
            self.beginResetModel()
            self.rows = rows
            self._cells = [self._column(seat) for seat in range(len(states))]
            self.endResetModel()
            return
        for seat in range(len(states)):
            self._show(seat)

    def seat_changed(self, seat: int) -> None:
        """Something about one learner changed."""
        if grid_rows([session.state for session in self.model.sessions]) != self.rows:
            self.refresh()
        else:
            self._show(seat)

    def _show(self, seat: int) -> None:
        before, now = self._cells[seat], self._column(seat)
        self._cells[seat] = now
        for row, (old, new) in enumerate(zip(before, now, strict=True)):
            if old != new:
                index = self.index(row, seat)
                self.dataChanged.emit(index, index)

    def _column(self, seat: int) -> tuple[Cell, ...]:
        state = self.model.state(seat)
        digest = state.ground.form.whole_digest
        cells: Mapping[str, Cell] = cells_of(state)
        return tuple(
            cells[row.step]
            if row.form == digest and row.step in cells
            else missing_cell(state, row.form, row.step)
            for row in self.rows
        )
