"""The table behind the Grid: what the reader hears, and what a mark changes."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester

from observe.desk.live.grid.cells import Place
from observe.desk.live.grid.model import GridModel
from observe.desk.live.model import LiveModel
from observe.desk.live.shield import shield_of
from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT
from observe.work.seating import note_absent
from observe.work.session import Room
from tests.desk.people import HandClock

READER = Qt.ItemDataRole.AccessibleTextRole


def test_it_is_a_table_as_qt_understands_it(make_model: Callable[..., LiveModel]) -> None:
    grid = GridModel(make_model(3))
    QAbstractItemModelTester(grid, QAbstractItemModelTester.FailureReportingMode.Fatal)
    assert (grid.rowCount(), grid.columnCount()) == (31, 3)


def test_a_cell_says_step_name_mark_and_time(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(5)
    for _ in range(7):
        model.mark(4, DONE)
        clock.go(80)
    clock.go(1)
    model.mark(4, INCORRECT)
    grid = GridModel(model)
    said = "Step 8, Ravi Senapathi, incorrect, 9 21."
    assert grid.data(grid.index(7, 4), READER) == said
    assert grid.data(grid.index(8, 4), READER) == "Step 9, Ravi Senapathi, now."
    assert grid.headerData(7, Qt.Orientation.Vertical, READER) == (
        "Step 8, Palpates crests and names the interspace. Position and landmarks · weight 3."
    )
    head = grid.headerData(4, Qt.Orientation.Horizontal, READER)
    assert head == "Seat 5, Ravi Senapathi, 9 minutes 21, 100 % seen, looked 0 seconds ago."


def test_a_mark_changes_its_cell_and_the_next(make_model: Callable[..., LiveModel]) -> None:
    model = make_model(4)
    grid = GridModel(model)
    changed: list[tuple[int, int]] = []
    grid.dataChanged.connect(lambda one, _: changed.append((one.row(), one.column())))
    model.mark(2, DONE)
    grid.seat_changed(2)
    assert changed == [(0, 2), (1, 2)]
    grid.seat_changed(2)
    assert len(changed) == 2


def test_another_variant_brings_its_step_as_a_row(make_model: Callable[..., LiveModel]) -> None:
    """Rule F5."""
    model = make_model(2)
    grid = GridModel(model)
    resets: list[None] = []
    grid.modelReset.connect(lambda: resets.append(None))
    model.do(1, gestures.choose_variant, "sitting")
    grid.seat_changed(1)
    assert len(resets) == 1
    assert grid.rowCount() == 32
    missing = [row for row in range(32) if grid.cell(row, 1).place is Place.MISSING]
    assert len(missing) == 2
    said = grid.data(grid.index(missing[0], 1), READER)
    assert said == "Step 6, Idris Kalnin, not in this variant."


def test_under_the_shield_nothing_says_what_was_seen(make_model: Callable[..., LiveModel]) -> None:
    """Rule P2."""
    model = make_model(2)
    model.mark(0, INCORRECT)
    grid = GridModel(model)
    shield_of(model).turn()
    grid.refresh()
    said = {grid.said(row, column) for row in range(31) for column in range(2)}
    assert all(one.endswith(", covered.") for one in said)
    assert "seen" not in grid.learner_said(0)


def test_who_is_absent_has_no_column(make_room: Callable[..., Room], clock: HandClock) -> None:
    room = make_room(4)
    attempt = room.sessions[1].seat.attempt
    workshop = note_absent(room.logbook, room.workshop, attempt, by="o-1")
    model = LiveModel(Room(room.logbook, workshop, "o-1"), clock=clock.now)
    grid = GridModel(model)
    assert grid.columnCount() == 3
    assert "Idris Kalnin" not in {model.name(seat) for seat in grid.seats}
    assert grid.learner_said(1).startswith("Seat 3, Lucía Marrek")


def test_two_forms_stand_one_below_the_other(make_model: Callable[..., LiveModel]) -> None:
    """A step of the other form is said to be not in this one, and is no unmarked step."""
    iud = ("intrauterine-device-placement", "copper")
    model = make_model(4, other=iud)
    grid = GridModel(model)
    forms = [row.form for row in grid.rows]
    assert len(set(forms)) == 2
    assert forms == sorted(forms, key=forms.index)
    assert [row.new_form for row in grid.rows].count(True) == 2
    assert grid.cell(0, 1).word == "not in this form"
    assert grid.cell(len(grid.rows) - 1, 1).place is Place.USUAL
    assert grid.row_of(1) == forms.index(forms[-1])
