"""The Grid as a table: a row for each step, a column for each learner."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from observe.desk.live import reading
from observe.desk.live.edge import LAMP_WORD
from observe.desk.live.grid.cells import Cell, cells_of, missing_cell
from observe.desk.live.grid.rows import GridRow, grid_rows
from observe.desk.live.model import LiveModel
from observe.desk.live.shield import COVERED, is_up

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()
_TEXT_ROLES = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)


class GridModel(QAbstractTableModel):
    """Cells over a `LiveModel`. A mark announces the few cells that look different.

    rows: every step of the room. seats: who stands in each column; who is absent has none.
    lit: the seat to look at next, None where the lamp is dark.
    Under the shield no cell says what was seen (rule P2).
    """

    def __init__(self, model: LiveModel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.model = model
        self.rows: tuple[GridRow, ...] = ()
        self.seats: tuple[int, ...] = ()
        self.lit: int | None = None
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
        number, name = self.number(row, column), self.model.name(self.seats[column])
        return f"Step {number}, {name}, {self.cell(row, column).said}."

    def learner_said(self, column: int) -> str:
        """A header for the reader."""
        model, seat = self.model, self.seats[column]
        state = model.state(seat)
        parts = [f"Seat {model.number(seat)}", model.name(seat)]
        parts.append(reading.spoken(model.elapsed_ns(seat)))
        parts.append(COVERED if is_up(model) else reading.seen_words(state))
        if state.sealed or state.void or state.stopped:
            parts.append("sealed" if state.sealed else "void" if state.void else "stopped")
        elif state.clock.is_running:
            if seat == self.lit:
                parts.append(LAMP_WORD)
            parts.append(f"looked {reading.spoken(model.since_look_ns(seat))} ago")
        elif state.clock.started:
            parts.append("paused")
        return f"{', '.join(parts)}."

    def number(self, row: int, column: int) -> str:
        """The number of a step as this learner knows it."""
        known = self.model.state(self.seats[column]).numbers.get(self.rows[row].step)
        return str(known) if known else self.rows[row].number

    def column_of(self, seat: int) -> int:
        """The column of a learner; the first for one who has none."""
        return self.seats.index(seat) if seat in self.seats else 0

    def row_of(self, seat: int) -> int | None:
        """The row of the step in front of a learner; None past the last one."""
        state = self.model.state(seat)
        return self._place(state.ground.form.whole_digest, state.board.at)

    def busiest_row(self) -> int | None:
        """The row most learners are at, the first of several; None when all are past."""
        count: dict[int, int] = {}
        for seat in self.seats:
            row = self.row_of(seat)
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
        seats = present(self.model)
        rows = grid_rows([self.model.state(seat) for seat in seats])
        if (rows, seats) != (self.rows, self.seats):
            self.beginResetModel()
            self.rows, self.seats = rows, seats
            self._cells = [self._column(seat) for seat in seats]
            self.endResetModel()
            return
        for column in range(len(seats)):
            self._show(column)

    def seat_changed(self, seat: int) -> None:
        """Something about one learner changed."""
        rows = grid_rows([self.model.state(one) for one in self.seats])
        if rows != self.rows or present(self.model) != self.seats:
            self.refresh()
        elif seat in self.seats:
            self._show(self.seats.index(seat))

    def light(self, seat: int | None) -> None:
        """The lamp goes to another learner, or out."""
        for one in {self.lit, seat} - {None}:
            if one in self.seats:
                column = self.seats.index(one)
                self.headerDataChanged.emit(Qt.Orientation.Horizontal, column, column)
        self.lit = seat

    def _show(self, column: int) -> None:
        before, now = self._cells[column], self._column(self.seats[column])
        self._cells[column] = now
        for row, (old, new) in enumerate(zip(before, now, strict=True)):
            if old != new:
                index = self.index(row, column)
                self.dataChanged.emit(index, index)

    def _column(self, seat: int) -> tuple[Cell, ...]:
        state = self.model.state(seat)
        digest = state.ground.form.whole_digest
        cells: Mapping[str, Cell] = cells_of(state)
        if is_up(self.model):
            cells = dict.fromkeys(cells, Cell(said=COVERED))
        return tuple(
            cells[row.step]
            if row.form == digest and row.step in cells
            else missing_cell(state, row.form, row.step)
            for row in self.rows
        )


def present(model: LiveModel) -> tuple[int, ...]:
    """The seats of a room whose learners are here, in seat order."""
    return model.here
