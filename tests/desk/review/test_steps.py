"""The steps with their coefficients."""

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.review.steps import AXIS, StepsPanel
from observe.desk.theme import Skin
from observe.work.reviewing import Review


def test_rows_stand_in_the_order_of_worry_and_say_what_they_show(
    made: Review, skin: Skin, parent: QWidget
) -> None:
    panel = StepsPanel(skin, parent)
    panel.resize(620, 640)
    panel.show_review(made, ("", ""))
    assert panel.list.rows == made.steps
    first = made.steps[0]
    assert f"Step {first.number}, {first.step.label}" in panel.read_out()
    assert "95 %" in panel.note
    assert panel.area.isVisibleTo(panel)


def test_without_pairs_the_panel_says_why(skin: Skin, parent: QWidget) -> None:
    panel = StepsPanel(skin, parent)
    panel.show_review(None, ("Nothing yet.", "Plan second looks."))
    assert panel.accessibleName() == f"{panel.title}. Nothing yet. Plan second looks."
    assert not panel.area.isVisibleTo(panel)


def test_the_axis_holds_what_coefficients_usually_are() -> None:
    assert AXIS.place(0.0, 140) == pytest.approx(40)
    assert AXIS.place(-0.9, 140) == 0
