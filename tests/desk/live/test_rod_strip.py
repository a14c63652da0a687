"""The rod on the screen: a press names the step it hit."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtWidgets import QWidget

from observe.desk.live.model import LiveModel
from observe.desk.live.rod_strip import RodKey, laid_out, rod_reading
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import DONE
from tests.desk.people import painted


@pytest.fixture
def model(make_model: Callable[..., LiveModel]) -> LiveModel:
    return make_model(1)


def test_the_triangle_stands_under_the_step_in_front(model: LiveModel) -> None:
    assert rod_reading(model.state(0)).at == 0
    model.mark(0, DONE)
    assert rod_reading(model.state(0)).at == 1
    model.do(0, gestures.move_to, "")
    assert rod_reading(model.state(0)).at is None


def test_the_middle_of_every_block_is_that_step(
    model: LiveModel, skin: Skin, parent: QWidget
) -> None:
    rod = RodKey(skin, parent)
    rod.setGeometry(0, 0, 620, 40)
    rod.lay_out(9, 13, 10)
    shown = rod_reading(model.state(0))
    rod.show_rod(shown, "Steps", can=True)
    painted(parent, 620, 40)
    for place, box in enumerate(laid_out(shown.steps, 600, 13).places):
        rod.at = QPointF(10 + box.x + box.width / 2, 15)
        assert rod.pressed_place() == place
