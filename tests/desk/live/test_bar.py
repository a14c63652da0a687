"""The bar of Live: what is kept, how long the session is, and trouble left of the clock."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.live.bar import LiveBar
from observe.desk.live.model import LiveModel
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.domain.marks import DONE
from observe.domain.troubles import Surroundings
from tests.desk.people import SCREENS, painted


@pytest.fixture
def model(make_model: Callable[..., LiveModel]) -> LiveModel:
    return make_model(2)


@pytest.fixture
def bar(model: LiveModel, skin: Skin, parent: QWidget) -> LiveBar:
    made = LiveBar(skin, model, parent)
    made.resize(1280, 70)
    painted(parent, 1280, 70)
    return made


def test_pause_all_is_offered_once_a_clock_runs(bar: LiveBar, model: LiveModel) -> None:
    assert not bar.pause_key.isEnabled()
    model.mark(0, DONE)
    bar.refresh()
    assert bar.pause_key.isEnabled()
    bar.pause_key.click()
    bar.refresh()
    assert bar.pause_key.accessibleName() == "All go on"


def test_leaving_asks_nothing(bar: LiveBar, qtbot: QtBot) -> None:
    with qtbot.waitSignal(bar.leave):
        bar.leave_key.click()


def test_the_table_of_keys_is_one_press_away(bar: LiveBar, qtbot: QtBot) -> None:
    with qtbot.waitSignal(bar.keys_table):
        bar.table_key.click()


@pytest.mark.parametrize("size", SCREENS)
def test_trouble_has_room_with_what_is_safe(
    bar: LiveBar, model: LiveModel, parent: QWidget, misfits: list[Misfit], size: str
) -> None:
    width, _, dpi = SCREENS[size]
    bar.skin.set_screen(dpi)
    model.mark(0, DONE)
    model.trouble = Surroundings(
        "The logbook is locked by another program.",
        remedy="Close the other window, or wait until its work is done.",
    )
    bar.resize(width, bar.skin.pick(70, 62))
    bar.refresh()
    painted(parent, width, bar.height())
    assert bar.again_key.isVisible()
    assert bar.again_key.geometry().right() < bar.theme_key.x()
    assert {(one.text, one.width, one.height) for one in misfits} == set()
