"""A cell is painted as it is worn: open, under repair, locked."""

from __future__ import annotations

from PySide6.QtGui import QImage

from observe.domain import gestures
from tests.desk.live.grid.fingers import Fingers, OpenGrid


def cell_image(fingers: Fingers, row: int, column: int) -> QImage:
    view = fingers.view
    return view.table.viewport().grab(view.table.cell_rect(row, column)).toImage()


def test_the_cell_under_repair_is_framed(open_grid: OpenGrid) -> None:
    fingers = open_grid(4)
    before = cell_image(fingers, 1, 2)
    other = cell_image(fingers, 1, 1)
    fingers.view.table.choose((1, 2))
    assert cell_image(fingers, 1, 2) != before
    assert cell_image(fingers, 1, 1) == other


def test_a_column_that_cannot_be_changed_looks_so(open_grid: OpenGrid) -> None:
    fingers = open_grid(4)
    before = cell_image(fingers, 2, 1)
    fingers.model.do(1, gestures.stop_for_safety)
    assert fingers.view.table.locked == {1}
    assert cell_image(fingers, 2, 1) != before
