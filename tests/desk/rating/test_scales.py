"""Scales with their anchors: what was given is shown, and can be given anew."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from observe.desk.live.model import LiveModel
from observe.desk.rating.scales import DimensionsPane, Point, ScalePane
from observe.desk.theme import Skin
from tests.desk.people import HandClock, painted

POINTS = (Point(1, "Lost", "Asks what comes next."), Point(2, "Sound", "Knows the order.", "here"))


def test_the_point_that_was_given_is_framed(skin: Skin, parent: QWidget) -> None:
    given: list[int] = []
    pane = ScalePane(skin, "Overall", "Required.", POINTS, given.append, parent)
    pane.show_value(2)
    assert [key.face.chosen for key in pane.keys] == [False, True]
    pane.keys[0].click()
    assert given == [1]


def test_a_rated_dimension_folds_with_its_number(
    make_model: Callable[..., LiveModel], skin: Skin, parent: QWidget
) -> None:
    pane = DimensionsPane(skin, make_model(1), 0, parent)
    painted(parent, 900, 600)
    pane.refresh()
    pane.keys[3].click()
    assert pane.rows[0].accessibleName() == "Preparation, 4"
    assert pane.rows[2].accessibleName() == "Technique, not yet"


def test_when_all_are_rated_none_is_open(
    make_model: Callable[..., LiveModel], skin: Skin, parent: QWidget, clock: HandClock
) -> None:
    pane = DimensionsPane(skin, make_model(1), 0, parent)
    pane.refresh()
    for _ in pane.dimensions:
        pane.keys[0].click()
        clock.go(1)
    assert pane.open is None
    assert not pane.not_observable.isVisibleTo(parent)
