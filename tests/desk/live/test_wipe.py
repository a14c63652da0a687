"""The wipe lock: no touch goes through it, and a cloth does not open it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from observe.desk.live.wipe import HOLD_S, ORDER_S, WipePage
from observe.desk.paint import Misfit
from observe.look.tokens import DARK
from tests.desk.live.hands import Hands, OpenRoom
from tests.desk.people import SCREENS, painted

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def hands(open_room: OpenRoom) -> Hands:
    return open_room(8)


@pytest.fixture
def page(hands: Hands) -> WipePage:
    made = WipePage(hands.view.skin, hands.view, seconds=hands.clock.now, clock=lambda: "12:44")
    made.cover()
    return made


def middle(page: WipePage, number: int) -> QPoint:
    return page.keys()[number - 1].center().toPoint()


def press(page: WipePage, *numbers: int) -> None:
    for number in numbers:
        QTest.mouseClick(page, LEFT, pos=middle(page, number))


def test_one_two_three_in_order_lifts_it(page: WipePage, qtbot: QtBot) -> None:
    with qtbot.waitSignal(page.lifted):
        press(page, 1, 2, 3)
    assert page.isHidden()


@pytest.mark.parametrize("order", [(1, 3, 2), (2, 3), (3, 2, 1), (1, 1, 2), (1, 2, 2, 3)])
def test_another_order_does_not(page: WipePage, order: tuple[int, ...]) -> None:
    press(page, *order)
    assert page.isVisible()


def test_after_a_wrong_order_it_is_begun_again(page: WipePage) -> None:
    press(page, 1, 3, 1, 2, 3)
    assert page.isHidden()


def test_anything_touched_between_makes_it_begin_again(page: WipePage) -> None:
    press(page, 1, 2)
    QTest.mouseClick(page, LEFT, pos=page.rect().center())
    press(page, 3)
    assert page.isVisible()


def test_too_slow_is_not_in_order(page: WipePage, hands: Hands) -> None:
    press(page, 1)
    hands.clock.go(ORDER_S + 1)
    press(page, 2, 3)
    assert page.isVisible()
    press(page, 1, 2, 3)
    assert page.isHidden()


def test_a_cloth_that_draws_over_a_key_does_not_press_it(page: WipePage) -> None:
    box = page.keys()[0]
    inside = box.adjusted(4, 4, -4, -4)
    QTest.mousePress(page, LEFT, pos=inside.topLeft().toPoint())
    QTest.mouseMove(page, inside.center().toPoint())
    QTest.mouseMove(page, inside.bottomRight().toPoint())
    QTest.mouseRelease(page, LEFT, pos=inside.bottomRight().toPoint())
    assert page.done == 0


class Fingers:
    """Fingers on the glass of a page."""

    def __init__(self, page: WipePage) -> None:
        self.page, self.device = page, QTest.createTouchDevice()

    def press(self, *places: QPoint) -> None:
        window = self.page.window()
        event = QTest.touchEvent(window, self.device)
        for finger, place in enumerate(places):
            event.press(finger, self.page.mapTo(window, place), window)
        event.commit()

    def lift(self, *places: QPoint) -> None:
        window = self.page.window()
        event = QTest.touchEvent(window, self.device)
        for finger, place in enumerate(places):
            event.release(finger, self.page.mapTo(window, place), window)
        event.commit()


def test_fingers_lift_it_and_two_at_once_do_not(page: WipePage) -> None:
    fingers = Fingers(page)
    both = (middle(page, 1), middle(page, 2))
    fingers.press(*both)
    fingers.lift(*both)
    assert page.done == 0
    for number in (1, 2, 3):
        fingers.press(middle(page, number))
        fingers.lift(middle(page, number))
    assert page.isHidden()


def test_nothing_under_it_hears_a_touch_or_a_key(page: WipePage, hands: Hands) -> None:
    fingers = Fingers(page)
    before = [session.state for session in hands.view.model.sessions]
    for x in range(40, 1280, 260):
        for y in range(40, 800, 220):
            QTest.mouseClick(page, LEFT, pos=QPoint(x, y))
            fingers.press(QPoint(x, y))
            fingers.lift(QPoint(x, y))
    for key in (Qt.Key.Key_Space, Qt.Key.Key_C, Qt.Key.Key_F12, Qt.Key.Key_Tab, Qt.Key.Key_I):
        QTest.keyClick(page, key)
    assert page.isVisible()
    assert [session.state for session in hands.view.model.sessions] == before


def test_escape_held_lifts_it_and_a_short_press_does_not(page: WipePage, hands: Hands) -> None:
    QTest.keyClick(page, Qt.Key.Key_Escape)
    assert page.isVisible()
    QTest.keyPress(page, Qt.Key.Key_Escape)
    hands.clock.go(HOLD_S)
    QTest.keyRelease(page, Qt.Key.Key_Escape)
    assert page.isHidden()


def test_a_cloth_over_the_keyboard_holds_more_than_escape(page: WipePage, hands: Hands) -> None:
    QTest.keyPress(page, Qt.Key.Key_Escape)
    QTest.keyClick(page, Qt.Key.Key_1)
    hands.clock.go(HOLD_S)
    QTest.keyRelease(page, Qt.Key.Key_Escape)
    assert page.isVisible()


def test_the_digits_lift_it_from_the_keyboard(page: WipePage) -> None:
    for key in (Qt.Key.Key_1, Qt.Key.Key_Q, Qt.Key.Key_2, Qt.Key.Key_3):
        QTest.keyClick(page, key)
    assert page.isVisible()
    for key in (Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_3):
        QTest.keyClick(page, key)
    assert page.isHidden()


def test_the_keys_are_far_apart_and_wide_enough(page: WipePage) -> None:
    boxes = page.keys()
    for place, box in enumerate(boxes):
        assert min(box.width(), box.height()) >= page.skin.mm(20)
        for other in boxes[place + 1 :]:
            apart = QPointF(box.center() - other.center()).manhattanLength()
            assert apart > page.skin.mm(60)


def test_it_says_what_runs_on_and_how_a_critical_event_is_kept(page: WipePage) -> None:
    said = page.accessibleName()
    assert "clocks run on" in said
    assert "critical event, lift" in said


@pytest.mark.parametrize("size", ["tablet", "desktop", "least on a tablet", "least on a desktop"])
def test_every_text_has_room(page: WipePage, misfits: list[Misfit], size: str) -> None:
    width, height, dpi = SCREENS[size]
    page.skin.set_screen(dpi)
    for theme in (page.skin.theme, DARK):
        page.skin.set_theme(theme)
        painted(page, width, height)
    assert misfits == []
