"""A storm of random gestures: nothing breaks, and what is shown is what is on the disk."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QPointingDevice
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from observe.desk.keys import Key
from observe.work.session import Room
from tests.desk.people import HandClock
from tests.desk.workshop.bench import Bench
from tests.desk.workshop.disk import live_and_folded

K, M = Qt.Key, Qt.KeyboardModifier
CHECK_EVERY = 200
STAY = 12
"""Gestures after which the monkey is taken back from another page."""
KEYS = (
    *(K.Key_1, K.Key_2, K.Key_3, K.Key_4, K.Key_5, K.Key_6, K.Key_7, K.Key_8, K.Key_9, K.Key_0),
    *(K.Key_Space, K.Key_Space, K.Key_Space, K.Key_I, K.Key_N, K.Key_X, K.Key_Y, K.Key_V),
    *(K.Key_U, K.Key_O, K.Key_Backspace, K.Key_C, K.Key_P, K.Key_Up, K.Key_Down, K.Key_Slash),
    *(K.Key_R, K.Key_S, K.Key_G, K.Key_T, K.Key_H, K.Key_Q, K.Key_A, K.Key_M, K.Key_Question),
    *(K.Key_F1, K.Key_F2, K.Key_F3, K.Key_F4, K.Key_F12, K.Key_Tab, K.Key_Return, K.Key_Escape),
    *(K.Key_PageUp, K.Key_PageDown, K.Key_Minus, K.Key_Equal, K.Key_Delete, K.Key_W, K.Key_L),
)
SIZES = ((1280, 800), (1366, 768), (1920, 1080), (1200, 660), (1000, 900), (2560, 1440))


class Monkey:
    """Does whatever comes to its mind, as drawn from a seed."""

    def __init__(self, bench: Bench, clock: HandClock, seed: int) -> None:
        self.bench, self.clock = bench, clock
        self.random = random.Random(seed)
        self.device: QPointingDevice = QTest.createTouchDevice()
        self.away = 0
        self.said = ""
        self.gestures: list[tuple[Callable[[], str], int]] = [
            (self.press_a_key, 40),
            (self.click, 20),
            (self.strike, 30),
            (self.touch, 10),
            (self.touch_twice, 4),
            (self.wait, 4),
            (self.resize, 1),
            (self.turn_colours, 1),
        ]

    def act(self) -> None:
        """Do one thing, after a moment that is sometimes too short for another press."""
        self.clock.go(self.random.choice((0.05, 0.3, 1, 1, 1, 7)))
        deeds = [deed for deed, _ in self.gestures]
        weights = [weight for _, weight in self.gestures]
        self.said = self.random.choices(deeds, weights)[0]()
        self.bench.settle()
        self.come_back()

    def come_back(self) -> None:
        """To Live, at once from the list of workshops, after a while from any other page."""
        desk = self.bench.desk
        wiping = self.bench.live.wiping
        wiped = wiping is not None and wiping.isVisible()
        self.away = self.away + 1 if wiped or desk.frame.page is not desk.live else 0
        if not self.away:
            return
        if wiped and wiping is not None and self.away > STAY:
            one, two, three = wiping.keys()
            for box in (one, two, three):
                self.press(self.bench.live.mapTo(self.bench.frame, box.center().toPoint()))
        elif desk.frame.page is desk.start or self.away > STAY:
            desk.tablet.done_asking()
            desk.show_live()

    def place(self) -> QPoint:
        size = self.bench.window.size().boundedTo(self.bench.frame.size())
        return QPoint(self.random.randrange(size.width()), self.random.randrange(size.height()))

    def press(self, place: QPoint) -> None:
        QTest.mouseClick(self.bench.window, Qt.MouseButton.LeftButton, M.NoModifier, place)

    def press_a_key(self) -> str:
        """A place with a key, if a few looks find one."""
        for _ in range(12):
            place = self.place()
            key = self.bench.frame.childAt(place)
            if isinstance(key, Key):
                said = f"the key {key.accessibleName()!r}"
                self.press(place)
                return said
        return "nothing"

    def click(self) -> str:
        place = self.place()
        self.press(place)
        return f"click at {place.x()}, {place.y()}"

    def strike(self) -> str:
        key = self.random.choice(KEYS)
        modifier = self.random.choices((M.NoModifier, M.ShiftModifier, M.AltModifier), (8, 2, 1))[0]
        QTest.keyClick(self.bench.window, key, modifier)
        return f"{modifier.name} {key.name}"

    def touch(self) -> str:
        down, up = self.place(), self.place()
        up = self.random.choice((down, down, down, up))
        QTest.touchEvent(self.bench.window, self.device).press(0, down).commit()
        if up != down:
            QTest.touchEvent(self.bench.window, self.device).move(0, up).commit()
        QTest.touchEvent(self.bench.window, self.device).release(0, up).commit()
        return f"touch at {down.x()}, {down.y()}, lifted at {up.x()}, {up.y()}"

    def touch_twice(self) -> str:
        one, other = self.place(), self.place()
        QTest.touchEvent(self.bench.window, self.device).press(0, one).press(1, other).commit()
        QTest.touchEvent(self.bench.window, self.device).release(0, one).stationary(1).commit()
        QTest.touchEvent(self.bench.window, self.device).release(1, other).commit()
        return f"two fingers at {one.x()}, {one.y()} and {other.x()}, {other.y()}"

    def wait(self) -> str:
        seconds = self.random.choice((20, 90, 400, 4000))
        self.clock.go(seconds)
        self.bench.live.tick()
        return f"{seconds} s went by"

    def resize(self) -> str:
        size = self.random.choice(SIZES)
        self.bench.frame.resize(*size)
        return f"resized to {size}"

    def turn_colours(self) -> str:
        self.bench.desk.skin.turn_over()
        return "light or dark"


def let_loose(bench: Bench, clock: HandClock, qtbot: QtBot, *, seed: int, events: int) -> None:
    """A storm, with the disk read every now and then; and at the end a room opened anew."""
    monkey = Monkey(bench, clock, seed)
    with qtbot.captureExceptions() as met:
        for number in range(1, events + 1):
            monkey.act()
            assert not met, f"seed {seed}, gesture {number}, {monkey.said}: {met}"
            if number % CHECK_EVERY == 0:
                held, folded = live_and_folded(bench.model.room)
                assert held == folded, f"seed {seed}, gesture {number}"
    room = bench.model.room
    held, _ = live_and_folded(room)
    bench.frame.hide()  # what was typed is kept
    held = [session.state for session in room.every]
    again = Room(room.logbook, room.logbook.workshops()[room.workshop.id], room.observer)
    assert [session.state for session in again.every] == held
    bench.die()


# Qt's own words when a scroll area had two fingers on it and is not there any more.
QT_SAYS = "QGestureManager::deliverEvents: could not find the target"


@pytest.mark.qt_log_ignore(QT_SAYS)
def test_a_short_storm(planned: Path, hand: HandClock, qtbot: QtBot) -> None:
    bench = Bench(planned, paints=25)
    bench.desk.start.observer_keys[0].click()
    let_loose(bench, hand, qtbot, seed=7, events=600)


@pytest.mark.deep
@pytest.mark.qt_log_ignore(QT_SAYS)
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("seed", range(10))
def test_a_long_storm(planned: Path, hand: HandClock, qtbot: QtBot, seed: int) -> None:
    bench = Bench(planned, paints=25)
    bench.desk.start.observer_keys[0].click()
    let_loose(bench, hand, qtbot, seed=seed, events=10_000)
