"""The cells and the labels beside them."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest

from tests.desk.live.grid.fingers import LEFT, OpenGrid

K = Qt.Key


def test_all_steps_are_in_sight_on_a_tablet(open_grid: OpenGrid) -> None:
    """31 × 8 at 1280 × 800: four open rows, the others thin, and nothing scrolls."""
    view = open_grid(8).view
    assert view.table.verticalScrollBar().maximum() == 0
    assert view.lens.count == 4
    assert view.table.rowHeight(view.lens.top) == 70
    last = view.table.cell_rect(30, 7)
    assert view.table.viewport().rect().contains(last)


def test_where_rows_scroll_the_lens_is_in_sight(open_grid: OpenGrid) -> None:
    fingers = open_grid(8, size=(1200, 550))
    view = fingers.view
    fingers.press(K.Key_End)
    assert view.table.viewport().rect().contains(view.table.lens_rect())
    fingers.press(K.Key_Home)
    assert view.table.viewport().rect().contains(view.table.lens_rect())


def test_the_ring_of_the_keyboard_goes_when_the_mouse_is_used(open_grid: OpenGrid) -> None:
    fingers = open_grid(4)
    table = fingers.view.table
    table.setFocus(Qt.FocusReason.TabFocusReason)
    fingers.press(K.Key_Down)
    assert table.ringed == (1, 0)
    fingers.cell(2, 2)
    assert table.ringed is None


def test_a_press_on_a_thin_label_opens_its_rows(open_grid: OpenGrid) -> None:
    fingers = open_grid(4)
    labels = fingers.view.labels
    y = labels.sectionViewportPosition(28) + 3
    QTest.mouseClick(labels.viewport(), LEFT, pos=QPoint(60, y))
    assert fingers.view.lens.is_open(28)


def test_every_thin_row_has_a_label(open_grid: OpenGrid) -> None:
    view = open_grid(4).view
    view.lens.open_at(15)
    rows = {row for one in view.labels.thin_runs() for row in range(one.first, one.last + 1)}
    opened = {row for row in range(31) if view.lens.is_open(row)}
    assert rows | opened == set(range(31))
    assert not rows & opened


def test_the_reader_finds_the_table_and_its_cells(open_grid: OpenGrid) -> None:
    view = open_grid(4).view
    interface = QAccessible.queryAccessibleInterface(view.table)
    assert interface.role() in (QAccessible.Role.Table, QAccessible.Role.Tree)
    parts = (interface.child(place) for place in range(interface.childCount()))
    names = {part.text(QAccessible.Text.Name) for part in parts}
    assert "Step 1, Lucía Marrek, now." in names
