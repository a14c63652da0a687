"""The start page: choose a workshop and who observes; say what to do where there is none."""

from __future__ import annotations

from itertools import pairwise

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from observe.desk.paint import Misfit
from observe.desk.start import EMPTY_TITLE, ObserverLine, StartPage, WorkshopLine
from observe.desk.theme import Skin
from tests.desk.people import LONG_NAMES, SCREENS, painted

LEFT = Qt.MouseButton.LeftButton
LINES = tuple(
    WorkshopLine(
        id=f"w-{number}",
        title=f"Lumbar puncture, skills afternoon number {number}",
        when="14 March 2026",
        about="formative · 12 learners",
        form="Adult lumbar puncture, form LPX 1.0 · Tarn Valley Teaching Hospital",
        seats=tuple(enumerate(LONG_NAMES, start=1)),
        observers=(
            ObserverLine("o-1", "Dr Petra Lindqvale", 12, 3),
            ObserverLine("o-2", "Dr Anne-Katharina Wolfeschlegelstein-Marrek", 0, 0),
        ),
    )
    for number in range(1, 4)
)


@pytest.fixture
def page(skin: Skin, qtbot: QtBot) -> StartPage:
    made = StartPage(skin)
    qtbot.addWidget(made)
    made.show_lines(LINES)
    painted(made, 1280, 698)
    return made


def test_two_presses_open_a_room(page: StartPage, qtbot: QtBot) -> None:
    QTest.mouseClick(page.keys[1], LEFT)
    with qtbot.waitSignal(page.opened) as asked:
        QTest.mouseClick(page.observer_keys[0], LEFT)
    assert asked.args == ["w-2", "o-1"]


def test_workshops_come_after_the_first_paint(skin: Skin, qtbot: QtBot) -> None:
    """As when the program starts: the page stands already when the logbook is open."""
    page = StartPage(skin)
    qtbot.addWidget(page)
    page.resize(1280, 698)
    page.show()
    QApplication.processEvents()
    page.show_lines(LINES)
    assert page.area.isVisible()
    boxes = [key.geometry() for key in page.keys]
    assert all(box.height() > 0 for box in boxes)
    assert all(upper.bottom() < lower.top() for upper, lower in pairwise(boxes))


def test_who_watches_nobody_has_no_heel_and_says_so(page: StartPage) -> None:
    assert not page.observer_keys[1].isEnabled()
    assert "watches 0 learners" in page.observer_keys[1].accessibleName()


def test_the_same_can_be_planned_again(page: StartPage, qtbot: QtBot) -> None:
    with qtbot.waitSignal(page.again) as asked:
        QTest.mouseClick(page.again_key, LEFT)
    assert asked.args == ["w-1"]


def test_an_empty_logbook_says_what_to_do(page: StartPage, qtbot: QtBot) -> None:
    page.show_lines(())
    assert EMPTY_TITLE.startswith("No workshop")
    assert not page.area.isVisible()
    with qtbot.waitSignal(page.demonstrate):
        QTest.mouseClick(page.demo_key, LEFT)


def test_while_it_waits_nothing_can_be_pressed(page: StartPage) -> None:
    page.wait("Opening the logbook …")
    assert page.demo_key.isHidden()
    assert page.again_key.isHidden()


@pytest.mark.parametrize("size", SCREENS)
def test_every_text_has_room(page: StartPage, misfits: list[Misfit], size: str) -> None:
    width, height, dpi = SCREENS[size]
    page.skin.set_screen(dpi)
    painted(page, width, height - 102)
    page.show_lines(())
    painted(page, width, height - 102)
    assert {(one.text, one.width, one.height) for one in misfits} == set()
