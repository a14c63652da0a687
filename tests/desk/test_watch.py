"""Battery and disk are asked each minute, and what is worth a word is said, not too often."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from observe.desk.live.model import LiveModel
from observe.desk.watch import Machine, Watch, needed_by, read_machine
from observe.domain.marks import DONE
from observe.work.cautions import Caution
from observe.work.power import Battery
from tests.desk.people import HandClock

FINE = Machine(Battery(90, plugged=False), 10**10)


class Told:
    """A machine that tells what a test says; and what was said of it."""

    def __init__(self, clock: HandClock) -> None:
        self.clock, self.now = clock, FINE
        self.said: list[Caution] = []
        self.watch = Watch(lambda: self.now, clock=clock.now, run=lambda work: work())
        self.watch.cautioned.connect(self.said.append)

    def after(self, minutes: float, now: Machine) -> list[Caution]:
        """What is said when so many minutes later the machine tells this."""
        self.clock.go(minutes * 60)
        self.now = now
        self.said.clear()
        self.watch.ask()
        return list(self.said)


@pytest.fixture
def told(clock: HandClock, qapp: QApplication) -> Told:
    assert qapp is not None
    return Told(clock)


def low(percent: float, *, plugged: bool = False) -> Machine:
    return Machine(Battery(percent, plugged=plugged), 10**10)


def test_all_well_says_nothing(told: Told) -> None:
    assert told.after(1, FINE) == []
    assert told.watch.sentence == ""


def test_a_low_battery_is_said_once_and_again_after_a_quarter_of_an_hour(told: Told) -> None:
    assert [one.about for one in told.after(1, low(19))] == ["battery"]
    assert told.after(1, low(19)) == []
    assert told.watch.sentence == "Battery 19 %. Plug in.", "it stands all the while"
    assert len(told.after(15, low(19))) == 1


def test_it_gets_worse_and_is_said_at_once(told: Told) -> None:
    told.after(1, low(11))
    assert [one.level for one in told.after(1, low(10))] == [2]


def test_plugged_in_it_is_over(told: Told, qtbot: QtBot) -> None:
    told.after(1, low(9))
    with qtbot.waitSignal(told.watch.changed):
        assert told.after(1, low(10, plugged=True)) == []
    assert told.watch.cautions == ()


def test_the_pace_of_the_battery_is_measured_against_what_the_workshop_needs(told: Told) -> None:
    told.watch.needed = lambda: 60
    assert told.after(0, low(80)) == []
    assert told.after(10, low(72)) == []
    said = told.after(10, low(56))
    assert [one.sentence for one in said] == [
        "Battery 56 %, about 46 minutes at this rate; the workshop needs about 60. Plug in."
    ]


def test_time_on_the_cable_does_not_make_the_pace_slower(told: Told) -> None:
    told.watch.needed = lambda: 60
    for _ in range(5):
        told.after(10, low(100, plugged=True))
    told.after(1, low(99))
    assert told.after(10, low(79)) != []


def test_the_worst_stands_first(told: Told) -> None:
    told.after(1, Machine(Battery(19, plugged=False), 20_000_000))
    assert [one.about for one in told.watch.cautions] == ["disk", "battery"]


def test_a_machine_that_has_not_answered_is_not_asked_again(clock: HandClock) -> None:
    waiting: list[Callable[[], None]] = []
    watch = Watch(lambda: FINE, clock=clock.now, run=waiting.append)
    watch.ask()
    watch.ask()
    assert len(waiting) == 1
    waiting.pop()()
    watch.ask()
    assert len(waiting) == 1


def test_it_is_asked_in_a_thread_of_its_own(qtbot: QtBot) -> None:
    watch = Watch(lambda: low(3))
    with qtbot.waitSignal(watch.cautioned) as heard:
        watch.start()
    watch.stop()
    assert heard.args is not None
    assert heard.args[0].level == 3


def test_this_machine_can_be_read(tmp_path: Path) -> None:
    assert (read_machine(tmp_path).free or 0) > 0


def test_a_room_needs_what_its_own_pace_says(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(2)
    assert needed_by(model) is None
    steps = len(model.state(0).steps)
    for _ in range(steps):
        clock.go(60)
        model.mark(0, DONE)
    rest = len(model.state(1).steps)
    # the clock starts with the first mark; two learners are still to be rated
    assert needed_by(model) == round((steps - 1) * rest / steps) + 4
