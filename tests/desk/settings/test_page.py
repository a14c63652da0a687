"""The settings page: every choice by finger, keyboard and screen reader, at every size."""

from __future__ import annotations

from itertools import combinations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.keys import Key
from observe.desk.paint import Misfit
from observe.desk.settings.keeper import SettingsKeeper
from observe.desk.settings.page import SettingsPage
from observe.desk.theme import Skin
from observe.work.settings import TEXT_SIZES, Motion, ThemeChoice, WritingHand
from tests.desk.people import painted

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def page(skin: Skin, keeper: SettingsKeeper, qtbot: QtBot) -> SettingsPage:
    made = SettingsPage(skin, keeper)
    qtbot.addWidget(made)
    painted(made, 1280, 700)
    made.activateWindow()  # a screen without a window manager gives no window the keyboard
    qtbot.waitUntil(made.isActiveWindow)
    return made


def key(page: SettingsPage, name: str) -> Key:
    return next(
        one for group in page.groups for one in group.keys if one.accessibleName().startswith(name)
    )


def test_a_press_chooses_and_the_frame_and_the_reader_say_so(page: SettingsPage) -> None:
    QTest.mouseClick(key(page, "Hand that presses: Left"), LEFT)
    assert page.keeper.settings.hand is WritingHand.LEFT
    assert key(page, "Hand that presses: Left").face.chosen
    assert key(page, "Hand that presses: Left").accessibleName().endswith(", chosen")
    assert not key(page, "Hand that presses: Right").face.chosen


def test_exactly_one_option_of_each_setting_is_framed(page: SettingsPage) -> None:
    for group in page.groups:
        assert [one.face.chosen for one in group.keys].count(True) == 1


def test_the_whole_page_is_reached_by_tab_and_pressed_by_space(page: SettingsPage) -> None:
    page.setFocus()
    reached: list[Key] = []
    for _ in range(60):
        QTest.keyClick(page.focusWidget(), Qt.Key.Key_Tab)
        now = page.focusWidget()
        if isinstance(now, Key) and now not in reached:
            reached.append(now)
    everything = [one for group in page.groups for one in group.keys]
    assert [one for one in reached if one in everything] == everything
    reduced = key(page, "Motion: Reduced")
    reduced.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(reduced, Qt.Key.Key_Space)
    assert page.keeper.settings.motion is Motion.REDUCED


def test_a_key_that_the_keyboard_reaches_is_in_sight(page: SettingsPage) -> None:
    last = page.groups[-1].keys[-1]
    last.setFocus(Qt.FocusReason.TabFocusReason)
    top = last.mapTo(page.area.viewport(), last.rect().topLeft()).y()
    assert 0 <= top <= page.area.viewport().height() - last.height()


def test_escape_and_back_leave_it(page: SettingsPage, qtbot: QtBot) -> None:
    with qtbot.waitSignal(page.left):
        QTest.keyClick(page, Qt.Key.Key_Escape)
    with qtbot.waitSignal(page.left):
        QTest.mouseClick(page.back_key, LEFT)


def test_a_disk_that_refuses_is_told_on_the_page(page: SettingsPage) -> None:
    page.keeper.path.parent.parent.joinpath("data").write_bytes(b"")
    QTest.mouseClick(key(page, "Gloves: On"), LEFT)
    assert page.trouble is not None
    assert page.skin.gloves


@pytest.mark.parametrize("text", TEXT_SIZES)
@pytest.mark.parametrize(("width", "height"), [(631, 478), (1024, 650), (1280, 700), (1920, 990)])
def test_every_text_has_room_and_every_key_its_millimetres(
    page: SettingsPage, misfits: list[Misfit], text: int, width: int, height: int
) -> None:
    page.keeper.choose(text=text, theme=ThemeChoice.CONTRAST)
    painted(page, width, height)
    assert misfits == []
    for group in page.groups:
        for one in group.keys:
            assert min(one.width(), one.height()) >= page.skin.mm(11.8)
            assert group.rect().contains(one.geometry())
        for one, other in combinations(group.keys, 2):
            assert not one.geometry().intersects(other.geometry())


def test_the_sample_gives_way_where_the_page_is_narrow(page: SettingsPage) -> None:
    assert page.sample.isVisible()
    painted(page, 631, 478)
    assert not page.sample.isVisible()


def test_nothing_of_the_page_stands_over_another_part(page: SettingsPage, parent: QWidget) -> None:
    assert parent is not None
    for one, other in combinations([page.area, page.sample, page.back_key], 2):
        assert not one.geometry().intersects(other.geometry())
