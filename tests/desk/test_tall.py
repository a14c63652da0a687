"""What is higher than its place can be reached whole, and is seen to go on."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from observe.desk.paint import Style
from observe.desk.tall import SLIDER_MM, Slider, Tall, height_of
from observe.desk.theme import Skin
from tests.desk.people import painted


@pytest.fixture
def part() -> QWidget:
    return QWidget()


@pytest.fixture
def tall(skin: Skin, parent: QWidget, part: QWidget) -> Tall:
    """A place of 300 × 200 px for a part that needs 500 in any width."""
    made = Tall(skin, parent, part, lambda _: 500)
    made.setGeometry(0, 0, 300, 200)
    painted(parent, 300, 200)
    return made


def test_what_is_higher_has_a_bar_that_a_finger_can_move(tall: Tall, skin: Skin) -> None:
    bar = tall.verticalScrollBar()
    assert tall.scrolls
    assert bar.isVisible()
    assert bar.width() >= skin.mm(SLIDER_MM)
    assert tall.part.width() + bar.width() <= tall.width(), "the bar covers nothing"


def test_the_end_is_reached_by_finger_and_by_turning(tall: Tall, part: QWidget) -> None:
    bar = tall.verticalScrollBar()
    QTest.mouseClick(bar, Qt.MouseButton.LeftButton, pos=QPoint(4, bar.height() - 2))
    assert part.y() == 200 - 500
    for _ in range(20):
        tall.turn(-1)
    assert part.y() == 0
    for _ in range(20):
        tall.turn(1)
    assert part.y() == 200 - 500


def test_the_handle_stays_in_its_groove_and_never_gets_thin(tall: Tall) -> None:
    bar = tall.verticalScrollBar()
    assert isinstance(bar, Slider)
    for value in (0, 1, 150, 300):
        bar.setValue(value)
        handle = bar.handle()
        assert handle.height() >= bar.width()
        assert 0 <= handle.top() <= handle.bottom() <= bar.height()


def test_what_has_room_fills_its_place_without_a_bar(skin: Skin, parent: QWidget) -> None:
    part = QWidget()
    made = Tall(skin, parent, part, lambda _: 90)
    made.setGeometry(0, 0, 300, 200)
    painted(parent, 300, 200)
    assert not made.verticalScrollBar().isVisible()
    assert (part.width(), part.height()) == (300, 200)


def test_enlarged_text_is_measured_at_its_own_size(skin: Skin) -> None:
    """Who asked for larger text scrolls rather than reads it smaller."""
    words = "Puts own sharps away at once and counts them aloud " * 4
    style = Style(16, least=12)
    least = height_of(skin, words, 300, Style(12))
    assert height_of(skin, words, 300, style) == least
    skin.text = 2.0
    skin._fonts.clear()
    assert height_of(skin, words, 300, style) > 2 * least
