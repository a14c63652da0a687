"""The Grid as a whole: it opens where one is, and a mark takes two taps."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from itertools import product

import pytest
from PySide6.QtCore import QModelIndex, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from observe.desk.live.grid.view import GridView
from observe.desk.live.model import LiveModel
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT, NOT_SEEN
from observe.look.tokens import DARK
from tests.desk.live.grid.conftest import without_motion
from tests.desk.live.grid.fingers import OpenGrid
from tests.desk.people import (
    LONG_NAMES,
    NAMES,
    SCREENS,
    HandClock,
    ready_to_seal,
    work_through,
)

K = Qt.Key
SeeAll = Callable[[int, str, float], None]


def test_it_opens_at_the_step_of_the_learner_in_front(
    make_model: Callable[..., LiveModel], open_grid: OpenGrid, clock: HandClock
) -> None:
    model = make_model(8)
    work_through(model, clock)
    model.look(4)
    view = open_grid(model=model).view
    row = view.grid.row_of(4)
    assert row is not None
    assert view.lens.is_open(row)
    assert view.table.currentIndex().row() == row
    assert view.table.currentIndex().column() == 4


def test_past_the_last_step_it_opens_where_most_learners_are(
    make_model: Callable[..., LiveModel], open_grid: OpenGrid
) -> None:
    model = make_model(3)
    for seat in (1, 2):
        model.do(seat, gestures.move_to, model.state(seat).steps[20].id)
    model.do(0, gestures.move_to, "")
    view = open_grid(model=model).view
    assert view.grid.busiest_row() == 20
    assert view.lens.is_open(20)


def test_a_mark_takes_two_taps_where_the_row_is_open(open_grid: OpenGrid) -> None:
    fingers = open_grid(8)
    step = fingers.state(3).steps[0].id
    fingers.cell(0, 3)
    fingers.key("Incorrect")
    assert fingers.taps == 2
    assert fingers.state(3).mark(step) == INCORRECT
    assert fingers.model.front == 3
    assert fingers.view.strip.isHidden()


def test_a_press_in_thin_rows_opens_them_and_sets_nothing(open_grid: OpenGrid) -> None:
    fingers = open_grid(8)
    fingers.cell(20, 3)
    assert fingers.view.lens.top == 18
    assert fingers.view.strip.isHidden()
    assert fingers.state(3).marks == fingers.state(4).marks
    fingers.cell(20, 3)
    assert fingers.view.strip.isVisible()


def test_a_learner_far_ahead_is_caught_up_with_in_two_taps(open_grid: OpenGrid) -> None:
    """What was jumped over stays not seen."""
    fingers = open_grid(8)
    fingers.cell(3, 2)
    fingers.key("Is now here")
    assert fingers.taps == 2
    state = fingers.state(2)
    assert state.board.at == state.steps[3].id
    assert {state.mark(step.id) for step in state.steps[:3]} == {NOT_SEEN}
    assert [fingers.view.grid.cell(row, 2).word for row in range(3)] == ["not seen"] * 3


def test_the_finger_that_marked_does_not_open_what_lay_below_the_strip(
    open_grid: OpenGrid, clock: HandClock
) -> None:
    fingers = open_grid(8)
    fingers.cell(0, 1)
    QTest.mouseClick(fingers.named("Done"), Qt.MouseButton.LeftButton)
    fingers.view.press_cell(3, 1)
    assert fingers.open() is None
    clock.go(1)
    fingers.view.press_cell(3, 1)
    assert fingers.open() == (3, 1)


def test_esc_leaves_and_so_does_a_press_elsewhere(open_grid: OpenGrid) -> None:
    fingers = open_grid(8)
    fingers.cell(1, 1)
    fingers.press(K.Key_Escape)
    assert fingers.open() is None
    fingers.cell(1, 1)
    fingers.cell(2, 5)
    assert fingers.open() == (2, 5)
    fingers.cell(2, 5)
    assert fingers.open() is None
    fingers.cell(1, 1)
    fingers.head(6)
    assert fingers.open() is None
    assert fingers.model.front == 6


def test_a_head_brings_its_learner_to_the_front_and_opens_their_step(open_grid: OpenGrid) -> None:
    fingers = open_grid(8)
    fingers.model.do(5, gestures.move_to, fingers.state(5).steps[25].id)
    fingers.model.look(0)
    fingers.head(5)
    assert fingers.model.front == 5
    assert fingers.view.lens.is_open(25)


def test_arrows_move_the_lens_a_row_and_page_five(open_grid: OpenGrid) -> None:
    fingers = open_grid(8)
    fingers.view.lens.open_at(10)
    fingers.view.table.setCurrentIndex(fingers.view.grid.index(10, 0))
    fingers.press(K.Key_Down)
    assert fingers.view.lens.top == 9
    fingers.press(K.Key_PageDown)
    assert fingers.view.lens.top == 14
    fingers.press(K.Key_Up)
    assert fingers.view.lens.top == 13
    fingers.press(K.Key_End)
    assert fingers.view.lens.is_open(30)


PAIRS = (
    (8, "least on a tablet", 1.0),
    (12, "tablet", 2.0),
    (10, "least on a desktop", 1.25),
)
"""Every count, density and extreme size of text once; all of them together in the deep check."""


@pytest.mark.parametrize(("seats", "screen", "text"), PAIRS)
def test_every_text_has_room(
    see_all: SeeAll, misfits: list[Misfit], seats: int, screen: str, text: float
) -> None:
    """With the longest names, in both themes, with a cell under repair at either end."""
    see_all(seats, screen, text)
    assert misfits == []


EVERYWHERE = [
    *product((1, 5, 8, 9, 12), SCREENS, (1.0, 1.25, 1.5)),
    *product((1, 5, 8, 9, 12), ("tablet", "desktop", "big"), (2.0,)),
]
"""At 200 % smaller screens do not hold a table; the rail of names is for them."""


@pytest.mark.deep
@pytest.mark.parametrize(("seats", "screen", "text"), EVERYWHERE)
def test_every_text_has_room_everywhere(
    see_all: SeeAll, misfits: list[Misfit], seats: int, screen: str, text: float
) -> None:
    see_all(seats, screen, text)
    assert misfits == []


@pytest.fixture
def see_all(
    make_model: Callable[..., LiveModel], skin: Skin, qtbot: QtBot, clock: HandClock
) -> SeeAll:
    """Paint a Grid with marks of every kind, and with what can open over it."""

    def see(seats: int, screen: str, text: float) -> None:
        width, height, dpi = SCREENS[screen]
        skin.set_screen(dpi)
        skin.text = text
        if seats % 4:
            skin.set_theme(DARK)
        model = make_model(seats, names=LONG_NAMES if seats > 6 else NAMES)
        work_through(model, clock)
        _let_stand(model)
        view = GridView(without_motion(skin), model, clock=clock.now)
        qtbot.addWidget(view)
        view.resize(width, height - skin.bar_height)
        view.show()
        view.light(0)
        for row in (0, len(view.grid.rows) - 1):
            _repair(view, row, seats - 1)
        clock.go(4000)
        view.mender.close()
        view.tick()
        view.heads.grab()

    return see


def _let_stand(model: LiveModel) -> None:
    """One sealed, one stopped, one void, one paused, as far as there are so many."""
    if len(model) > 3:
        ready_to_seal(model, 1)
        model.do(1, gestures.seal)
        model.do(2, gestures.stop_for_safety)
        model.do(3, gestures.void, "The trainer broke")
    model.do(0, gestures.pause_clock)


def _repair(view: GridView, row: int, column: int) -> None:
    view.lens.open_at(row)
    view.mender.open((row, column))
    view.grab()
    strip = view.strip.geometry()
    cell = view.table.cell_rect(row, column)
    cell.translate(view.table.viewport().mapTo(view, QPoint(0, 0)))
    assert view.rect().contains(strip)
    assert not strip.contains(cell.center())


def _note(
    changed: list[tuple[int, int]], first: QModelIndex, last: QModelIndex, _: list[int]
) -> None:
    assert first == last
    changed.append((first.row(), first.column()))


def test_a_mark_repaints_few_cells(
    make_model: Callable[..., LiveModel], open_grid: OpenGrid, clock: HandClock
) -> None:
    """12 learners and 31 steps: a mark changes its own cell and the one that is now."""
    model = make_model(12)
    work_through(model, clock)
    fingers = open_grid(model=model)
    changed: list[tuple[int, int]] = []
    fingers.view.grid.dataChanged.connect(partial(_note, changed))
    clock.go(1)
    fingers.model.mark(6, DONE)
    QApplication.processEvents()
    assert 1 <= len(changed) <= 3
    assert {column for _, column in changed} == {6}


def test_the_note_lies_beside_the_lens(open_grid: OpenGrid) -> None:
    view = open_grid(8).view
    lens = view.table.lens_rect().translated(view.table.viewport().mapTo(view, QPoint(0, 0)))
    assert not view.note_box().intersects(lens)
    view.lens.open_at(30)
    lens = view.table.lens_rect().translated(view.table.viewport().mapTo(view, QPoint(0, 0)))
    assert not view.note_box().intersects(lens)
