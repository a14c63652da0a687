"""Long work beside the window."""

from __future__ import annotations

import threading

import pytest
from pytestqt.qtbot import QtBot

from observe.desk.running import Runner, Tick
from observe.domain.troubles import BadInput


def test_what_it_comes_to_is_told_in_the_windows_thread(qtbot: QtBot) -> None:
    runner = Runner()
    where: list[threading.Thread] = []
    seen: list[tuple[int, int]] = []
    runner.progressed.connect(lambda done, total: seen.append((done, total)))
    runner.done.connect(lambda _: where.append(threading.current_thread()))

    def work(tick: Tick) -> int:
        tick(1, 2)
        assert threading.current_thread() is not threading.main_thread()
        return 7

    with qtbot.waitSignal(runner.done) as caught:
        runner.run(work)
    assert caught.args == [7]
    assert where == [threading.main_thread()]
    assert seen == [(1, 2)]


def test_a_trouble_is_told_and_ends_it(qtbot: QtBot) -> None:
    runner = Runner()

    def work(_: Tick) -> None:
        raise BadInput("No.", remedy="Yes.")

    with qtbot.waitSignal(runner.failed) as caught:
        runner.run(work)
    assert isinstance(caught.args[0], BadInput)


def test_newer_work_stops_the_older_and_stopped_work_tells_nothing(qtbot: QtBot) -> None:
    runner = Runner()
    gate = threading.Event()
    told: list[object] = []
    runner.done.connect(told.append)

    def slow(tick: Tick) -> str:
        gate.wait(10)
        tick(1, 1)
        return "slow"

    runner.run(slow)
    first = runner._thread
    with qtbot.waitSignal(runner.done):
        runner.run(lambda _: "quick")
    gate.set()
    assert first is not None
    first.join(10)
    qtbot.wait(20)
    assert told == ["quick"]
    runner.run(slow)
    runner.stop()
    runner.wait()
    qtbot.wait(20)
    assert told == ["quick"]
    assert not runner.is_running


def test_a_defect_is_raised_in_the_windows_thread(qtbot: QtBot) -> None:
    runner = Runner()

    def work(_: Tick) -> None:
        raise ZeroDivisionError

    with qtbot.capture_exceptions() as caught:
        runner.run(work)
        runner.wait()
        qtbot.wait(50)
    assert [kind for kind, *_ in caught] == [ZeroDivisionError]


pytestmark = pytest.mark.filterwarnings("error")
