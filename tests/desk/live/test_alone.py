"""One learner alone: every step can be gone to, every critical item is one tap."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.live.alone import CriticalsByName, StepsList
from observe.desk.live.model import LiveModel
from observe.desk.theme import Skin
from observe.domain.marks import DONE
from tests.desk.people import HandClock, painted


@pytest.fixture
def model(make_model: Callable[..., LiveModel]) -> LiveModel:
    return make_model(1)


def test_every_step_says_its_mark_and_time(
    model: LiveModel, clock: HandClock, skin: Skin, parent: QWidget
) -> None:
    model.mark(0, DONE)
    clock.go(65)
    model.mark(0, DONE)
    steps = StepsList(skin, model, 0, parent)
    painted(parent, 500, 700)
    steps.refresh()
    said = [row.accessibleName() for row in steps.rows]
    assert len(said) == 31
    assert said[1] == "Step 2, Obtains consent with headache and other risks, done 01:05"
    assert said[2].endswith(", now")
    assert said[3].endswith(", ahead")


def test_pressing_a_step_goes_to_it(model: LiveModel, skin: Skin, parent: QWidget) -> None:
    steps = StepsList(skin, model, 0, parent)
    steps.refresh()
    steps.rows[14].click()
    assert model.state(0).board.at == "LPX-15"


def test_a_critical_item_is_named_in_the_tap_that_keeps_its_time(
    model: LiveModel, skin: Skin, parent: QWidget, clock: HandClock
) -> None:
    items = CriticalsByName(skin, model, 0, parent)
    items.refresh()
    items.keys[7].click()
    clock.go(1)
    items.keys[7].click()
    items.refresh()
    assert [one.item for one in model.state(0).occurrences] == ["LPX-C8", "LPX-C8"]
    assert "2 of 5" in items.keys[7].accessibleName()
