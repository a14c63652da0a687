"""The clock and the safety stop (rule M6)."""

from observe.domain import gestures
from observe.domain.board import Verdict
from tests.domain.builders import Log
from tests.domain.trials import FORM, refused


def test_the_clock_is_started_and_paused_by_hand() -> None:
    log = Log(FORM)
    refused(log, "stands already", gestures.pause_clock)
    log.do(gestures.start_clock)
    refused(log, "running already", gestures.start_clock)
    log.do(gestures.pause_clock)
    log.mark("1")
    assert not log.state.clock.is_running


def test_m6_a_stop_is_lifted_once() -> None:
    log = Log(FORM)
    refused(log, "not stopped", gestures.go_on)
    log.do(gestures.stop_for_safety)
    refused(log, "stopped already", gestures.stop_for_safety)
    refused(log, "Stopped for safety", gestures.start_clock)
    log.do(gestures.go_on)
    assert log.state.stopped is None


def test_m6_marks_entered_during_a_stop_do_not_start_the_clock() -> None:
    log = Log(FORM)
    log.do(gestures.stop_for_safety)
    log.mark("1")
    log.occur("A", Verdict.AVERTED)
    assert log.state.clock.started is None
