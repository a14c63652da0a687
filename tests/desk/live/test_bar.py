"""The bar of Live: what is kept, how long the session is, and trouble left of the clock."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.live.bar import GRID, KEYS, PAUSE, ROOM, SEATS, SHIELD, TOGETHER, LiveBar
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
    assert not bar.keys[PAUSE].isEnabled()
    model.mark(0, DONE)
    bar.refresh()
    assert bar.keys[PAUSE].isEnabled()
    model.pause_all()
    bar.refresh()
    assert bar.keys[PAUSE].accessibleName() == "All go on"


def test_leaving_asks_nothing(bar: LiveBar, qtbot: QtBot) -> None:
    with qtbot.waitSignal(bar.leave):
        bar.leave_key.click()


def test_each_key_says_its_name_when_struck(bar: LiveBar, qtbot: QtBot) -> None:
    for name in (SEATS, GRID, TOGETHER, SHIELD, ROOM):
        with qtbot.waitSignal(bar.struck) as caught:
            bar.keys[name].click()
        assert caught.args == [name]


def test_the_view_that_is_open_has_a_frame(bar: LiveBar) -> None:
    bar.view = GRID
    bar.refresh()
    assert bar.keys[GRID].face.chosen
    assert not bar.keys[SEATS].face.chosen


def test_what_has_no_room_folds_into_the_rooms_panel_and_nothing_overlaps(bar: LiveBar) -> None:
    assert bar.folded == frozenset()
    for width in range(1280, 500, -40):
        bar.resize(width, 70)
        shown = [key for name, key in bar.keys.items() if name not in bar.folded]
        lefts = [key.x() for key in shown]
        assert all(
            one.geometry().right() < left for one, left in zip(shown, lefts[1:], strict=False)
        )
        assert bar.keys[ROOM] in shown
    assert bar.folded == {SHIELD, TOGETHER, GRID}


def test_folded_the_one_view_key_leads_to_the_other_view(bar: LiveBar) -> None:
    bar.resize(560, 70)
    assert bar.keys[SEATS].accessibleName() == GRID
    bar.view = GRID
    bar.refresh()
    assert bar.keys[SEATS].accessibleName() == SEATS


def test_what_will_stand_in_the_way_is_said_in_place_of_what_is_kept(
    bar: LiveBar, parent: QWidget, misfits: list[Misfit]
) -> None:
    bar.warn("Battery 14 %, about 25 minutes left. Plug in.")
    painted(parent, 1280, 70)
    assert bar.warning
    assert not misfits


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
    keys = [bar.keys[name] for name in KEYS if name not in bar.folded]
    assert bar.again_key.geometry().right() < min(key.x() for key in keys)
    assert {(one.text, one.width, one.height) for one in misfits} == set()


@pytest.mark.parametrize("size", SCREENS)
def test_both_forms_of_a_workshop_are_named_with_room(
    make_model: Callable[..., LiveModel],
    skin: Skin,
    parent: QWidget,
    misfits: list[Misfit],
    size: str,
) -> None:
    width, _, dpi = SCREENS[size]
    skin.set_screen(dpi)
    bar = LiveBar(skin, make_model(4, other=("intrauterine-device-placement", "copper")), parent)
    bar.resize(width, 70)
    painted(parent, width, 70)
    assert not misfits
