"""The frame: only screens that exist, the page pushed by a trouble and never covered."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.frame import Frame, FrameBar
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.domain.troubles import Surroundings
from observe.work.settings import Settings
from tests.desk.people import DESK, HAND, painted


@pytest.fixture
def frame(skin: Skin, qtbot: QtBot) -> Frame:
    made = Frame(skin)
    qtbot.addWidget(made)
    made.show_page(QWidget(), whole=False)
    made.bar.show_screens(("Live", "Debrief"), "Live", "Lumbar puncture, 14 March", "formative")
    made.status.say("All on this disk", "Tarn Valley", "Dr Petra Lindqvale")
    painted(made, 1280, 800)
    return made


@pytest.mark.parametrize(("dpi", "least"), [(HAND, (1200, 620)), (DESK, (960, 620))])
def test_the_window_is_never_smaller_than_what_its_pages_need(
    qtbot: QtBot, skin: Skin, dpi: float, least: tuple[int, int]
) -> None:
    """The walk through all rooms of Live is made at these sizes too."""
    skin.set_screen(dpi)
    made = Frame(skin)
    qtbot.addWidget(made)
    assert (made.minimumWidth(), made.minimumHeight()) == least


def test_the_words_are_the_screens_there_are(frame: Frame, qtbot: QtBot) -> None:
    assert [row.accessibleName() for row in frame.bar.words] == ["Live", "Debrief"]
    with qtbot.waitSignal(frame.bar.chosen) as asked:
        QTest.mouseClick(frame.bar.words[1], Qt.MouseButton.LeftButton)
    assert asked.args == ["Debrief"]
    frame.bar.show_screens(("Live",), "Live", "Observe", "choose a workshop")
    assert not frame.bar.words[1].isVisible()


def test_a_trouble_pushes_the_page(frame: Frame) -> None:
    assert frame.page is not None
    before = frame.page.height()
    frame.trouble.tell(Surroundings("This disk is full.", remedy="Free some space."))
    frame.lay_out()
    assert frame.page.height() < before
    assert frame.page.geometry().bottom() < frame.trouble.geometry().top() + 1


def test_a_whole_page_takes_the_window(frame: Frame) -> None:
    page = QWidget()
    frame.show_page(page, whole=True)
    assert page.geometry() == frame.rect()
    assert not frame.bar.isVisible()


def test_dark_and_light_are_one_press(frame: Frame, skin: Skin) -> None:
    QTest.mouseClick(frame.bar.theme_key, Qt.MouseButton.LeftButton)
    assert skin.is_dark
    assert frame.bar.theme_key.accessibleName() == "Light"
    QTest.mouseClick(frame.bar.theme_key, Qt.MouseButton.LeftButton)
    assert not skin.is_dark


def test_f11_is_full_screen_and_back(frame: Frame) -> None:
    QTest.keyClick(frame, Qt.Key.Key_F11)
    assert frame.isFullScreen()
    QTest.keyClick(frame, Qt.Key.Key_F11)
    assert not frame.isFullScreen()


def test_every_text_has_room(frame: Frame, misfits: list[Misfit]) -> None:
    for size in ((1280, 800), (1920, 1080), (960, 620)):
        painted(frame, *size)
    assert misfits == []


def test_a_page_is_laid_out_again_when_the_text_grows(frame: Frame, skin: Skin) -> None:
    """Though the parts of it have the size they had."""
    page = QWidget()
    bar = FrameBar(skin, page)
    bar.show_screens(("Live",), "Live", "Observe", "")
    bar.setGeometry(0, 0, 900, 92)
    frame.show_page(page, whole=False)
    before = page.height(), bar.settings_key.width()
    skin.apply(Settings(text=200))
    assert page.height() < before[0]
    assert bar.settings_key.width() > before[1]
