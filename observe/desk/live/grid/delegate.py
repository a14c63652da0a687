"""Hands each cell of the table to the painter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from observe.desk.live.grid.paint import Dress, paint_cell
from observe.desk.paint import Pen

if TYPE_CHECKING:
    from observe.desk.live.grid.table import GridTable


class CellDelegate(QStyledItemDelegate):
    """Paints one cell; knows nothing but how it is worn now."""

    def __init__(self, table: GridTable) -> None:
        super().__init__(table)
        self.table = table

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        table = self.table
        row, column = index.row(), index.column()
        here = (row, column)
        dress = Dress(
            open=table.lens.is_open(row),
            chosen=table.chosen == here,
            focus=table.ringed == here,
            lit=table.lit == here,
            locked=column in table.locked,
            last=table.ends_phase(row),
        )
        painter.save()
        rect = table.visualRect(index)
        painter.setClipRect(rect)
        paint_cell(Pen(painter, table.skin), QRectF(rect), table.grid.cell(row, column), dress)
        painter.restore()
