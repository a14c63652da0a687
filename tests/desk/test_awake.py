"""The screen stays on while a clock runs, and only then."""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QApplication

from observe.desk.awake import Awake, Child, SessionBus, WindowsState, holds
from observe.desk.live.model import LiveModel
from observe.work import awake


class FakeHold:
    """A way that counts; able: whether something is there."""

    def __init__(self, *, able: bool = True) -> None:
        self.able, self.begun = able, 0
        self._held = False

    def is_held(self) -> bool:
        return self._held

    def begin(self) -> bool:
        self.begun += 1
        self._held = self.able
        return self.able

    def end(self) -> None:
        self._held = False


def settled() -> None:
    """Let what waits until after the paint be done."""
    for _ in range(3):
        QApplication.processEvents()


def test_it_is_held_from_the_first_mark_until_no_clock_runs(
    make_model: Callable[..., LiveModel],
) -> None:
    model, way = make_model(3), FakeHold()
    keeper = Awake([way])
    keeper.follow(model)
    settled()
    assert not way.is_held()
    model.turn_clock(0)
    model.turn_clock(1)
    settled()
    assert way.is_held()
    assert way.begun == 1
    model.turn_clock(0)
    settled()
    assert way.is_held(), "another clock runs"
    model.turn_clock(1)
    settled()
    assert not way.is_held()


def test_a_tap_does_not_wait_for_it(make_model: Callable[..., LiveModel]) -> None:
    model, way = make_model(1), FakeHold()
    keeper = Awake([way])
    keeper.follow(model)
    model.turn_clock(0)
    assert way.begun == 0, "asked only after the mark was painted"
    settled()
    assert way.begun == 1


def test_where_nothing_is_there_it_quietly_is_not_held(
    make_model: Callable[..., LiveModel],
) -> None:
    model, absent, there = make_model(1), FakeHold(able=False), FakeHold()
    keeper = Awake([absent])
    keeper.follow(model)
    model.turn_clock(0)
    settled()
    assert not keeper.is_held
    other = Awake([absent, there])
    other.want(wanted=True)
    settled()
    assert there.is_held()


def test_it_lets_go_at_the_end_and_when_another_room_opens(
    make_model: Callable[..., LiveModel],
) -> None:
    model, way = make_model(2), FakeHold()
    keeper = Awake([way])
    keeper.follow(model)
    model.turn_clock(0)
    settled()
    keeper.follow(None)
    settled()
    assert not way.is_held()
    keeper.follow(model)
    settled()
    assert way.is_held()
    keeper.close()
    assert not way.is_held()


def test_a_room_that_is_left_is_not_heeded_any_more(make_model: Callable[..., LiveModel]) -> None:
    model, way = make_model(2), FakeHold()
    keeper = Awake([way])
    keeper.follow(model)
    keeper.follow(None)
    model.turn_clock(0)
    settled()
    assert way.begun == 0


def test_a_command_holds_for_as_long_as_it_runs() -> None:
    child = Child([sys.executable, "-c", "import time; time.sleep(60)"])
    assert child.begin()
    running = child._running
    assert running is not None
    assert running.poll() is None
    child.end()
    assert running.poll() is not None
    child.end()


def test_a_command_that_is_not_there_is_no_trouble() -> None:
    assert not Child(None).begin()
    absent = Child(["this-command-is-not-there"])
    assert not absent.begin()
    absent.end()


def test_without_a_bus_or_another_system_nothing_is_held(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(awake, "has_session_bus", lambda: False)
    bus = SessionBus()
    assert not bus.begin()
    bus.end()
    windows = WindowsState()
    assert not windows.begin()
    windows.end()


def test_a_bus_that_does_not_answer_is_no_trouble(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(awake, "has_session_bus", lambda: True)
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nowhere/bus")
    bus = SessionBus()
    assert not bus.begin()
    bus.end()


@pytest.mark.parametrize(("system", "kinds"), [("linux", [SessionBus, Child]), ("darwin", [Child])])
def test_each_system_has_its_way(
    system: str, kinds: list[type], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", system)
    assert [type(way) for way in holds()] == kinds
