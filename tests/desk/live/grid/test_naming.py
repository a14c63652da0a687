"""Naming over the Grid: asked once, answered or left, and never in the way (rules C2, C3)."""

from __future__ import annotations

import pytest
from PySide6.QtTest import QTest

from observe.desk.live.shield import shield_of
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.board import Verdict
from tests.desk.live.grid.fingers import LEFT, Fingers, OpenGrid
from tests.desk.live.hands import OpenRoom
from tests.desk.people import DESK, HAND, LONG_NAMES


def keep(fingers: Fingers, column: int) -> None:
    """Press the critical key of a learner."""
    fingers.clock.go(1)
    QTest.mouseClick(fingers.view.foot.keys[column], LEFT)
    fingers.clock.go(1)


def test_it_asks_for_the_name_and_then_what_became_of_it(open_grid: OpenGrid) -> None:
    fingers = open_grid(3)
    keep(fingers, 1)
    naming = fingers.view.naming
    assert naming.is_open
    assert naming.accessibleName() == "2 Idris Kalnin"
    QTest.mouseClick(naming.panel.answers[1], LEFT)
    fingers.clock.go(1)
    assert fingers.state(1).occurrences[0].item == "LPX-C2"
    assert "what became of it" in naming.panel.question
    QTest.mouseClick(naming.panel.answers[1], LEFT)
    assert fingers.state(1).occurrences[0].verdict is Verdict.RECOVERED
    assert not naming.is_open


@pytest.mark.parametrize("way", ["later", "cell", "head", "label"])
def test_left_it_does_not_come_back_by_itself_but_before_sealing(
    open_grid: OpenGrid, way: str
) -> None:
    """Rule C3."""
    fingers = open_grid(3)
    keep(fingers, 1)
    if way == "later":
        QTest.mouseClick(fingers.view.naming.panel.ways[0], LEFT)
    elif way == "cell":
        fingers.view.press_cell(20, 1)
    elif way == "label":
        fingers.view.labels.pressed_row.emit(20)
    else:
        fingers.head(2)
    assert not fingers.view.naming.is_open
    fingers.model.changed.emit(1)
    assert not fingers.view.naming.is_open
    assert "Say which critical item was recorded." in gestures.missing(fingers.state(1))


def test_another_critical_event_does_not_wait_for_the_name_of_the_first(
    open_grid: OpenGrid,
) -> None:
    fingers = open_grid(3)
    keep(fingers, 2)
    keep(fingers, 0)
    assert [len(fingers.state(seat).occurrences) for seat in range(3)] == [1, 0, 1]
    assert fingers.view.naming.accessibleName() == "1 Amara Voss"
    QTest.mouseClick(fingers.view.naming.panel.ways[1], LEFT)
    assert fingers.state(0).occurrences == ()
    assert not fingers.view.naming.is_open


def test_under_the_shield_nothing_is_asked(open_grid: OpenGrid) -> None:
    """Rule P2."""
    fingers = open_grid(3)
    shield_of(fingers.model).turn()
    keep(fingers, 1)
    assert len(fingers.state(1).occurrences) == 1
    assert not fingers.view.naming.is_open


@pytest.mark.parametrize(
    ("size", "dpi", "text"),
    [((1280, 730), HAND, 1.0), ((1280, 704), HAND, 2.0), ((1920, 1018), DESK, 1.0)],
)
def test_what_is_asked_has_room_above_the_critical_keys(
    open_grid: OpenGrid,
    skin: Skin,
    misfits: list[Misfit],
    size: tuple[int, int],
    dpi: float,
    text: float,
) -> None:
    skin.set_screen(dpi)
    skin.text = text
    view = open_grid(8, size=size, names=LONG_NAMES).view
    view.keep_critical(4)
    view.naming.grab()
    assert misfits == []
    assert view.naming.geometry().bottom() <= view.foot.y() - view.foot.gap
    for key in view.naming.panel.answers:
        placed = key.mapTo(view, key.rect().topLeft())
        assert view.naming.geometry().contains(placed)


def test_on_the_page_the_same_press_names_it(open_room: OpenRoom) -> None:
    hands = open_room(3)
    hands.view.show_grid()
    grid = hands.view.grid
    assert grid is not None
    hands.click(grid.foot.keys[2])
    hands.click(grid.naming.panel.answers[2])
    assert hands.state(2).occurrences[0].item == "LPX-C3"
