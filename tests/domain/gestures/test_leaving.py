"""Leaving early: seal in part, and another goes on (rules T5, T3, C3)."""

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.events import Draft
from observe.domain.form import CriticalKind, Mode
from observe.domain.marks import DONE, NOT_APPLICABLE, NOT_DONE
from observe.domain.observation import fold
from observe.domain.troubles import Refused
from tests.domain.builders import Log, a_critical, a_form, a_step, steps

FORM = a_form(
    [*steps(5), a_step("6", not_applicable=True)],
    criticals=(a_critical("X", "1", kind=CriticalKind.RECOVERABLE),),
)


def running(*, mode: Mode = Mode.FORMATIVE) -> Log:
    log = Log(FORM, mode=mode)
    log.mark("1", "2")
    return log


def leave(log: Log, to: str = "p-2") -> None:
    log.do(gestures.hand_over, to, last=log.events[-1].id)


def test_t5_it_names_the_last_event_and_who_goes_on() -> None:
    log = running()
    last = log.events[-1].id
    leave(log)
    assert log.state.handed is not None
    assert (log.state.handed.to, log.state.handed.last) == ("p-2", last)
    assert log.events[-1].kind == "handed-over"
    assert not log.state.clock.is_running
    assert log.refolded() == log.state


def test_t5_after_it_nothing_is_marked() -> None:
    log = running()
    leave(log)
    for gesture in (
        lambda: log.do(gestures.mark, "3", DONE),
        lambda: log.do(gestures.take_back),
        lambda: log.do(gestures.record_critical),
        lambda: log.do(gestures.give_overall, 3),
        lambda: log.do(gestures.start_clock),
        lambda: leave(log, "p-3"),
    ):
        with pytest.raises(Refused, match="handed to another"):
            gesture()


def test_t5_what_another_device_wrote_after_it_changes_nothing() -> None:
    log = running()
    leave(log)
    before = log.state
    log.append(Draft("mark-set", {"step": "3", "mark": {"state": "done"}}))
    log.append(Draft("clock-started"))
    assert log.state == before


def test_c3_a_part_is_sealed_once_each_occurrence_is_classified_and_each_reason_given() -> None:
    log = running()
    occurrence = log.occur("X")
    log.do(gestures.mark, "6", NOT_APPLICABLE)
    log.do(gestures.move_to, "3")
    leave(log)
    assert gestures.missing(log.state) == (
        "Say what became of the critical event “Item X”.",
        "Say why step 6 is not applicable.",
    )
    with pytest.raises(Refused, match="cannot be sealed yet"):
        log.do(gestures.seal)
    log.do(gestures.classify, occurrence, Verdict.RECOVERED)
    log.do(gestures.give_reason, "6", "no such device here")
    log.do(gestures.seal)
    assert log.state.sealed
    assert log.events[-1].body == {"part": True}


def test_t5_neither_grade_nor_words_are_asked_of_a_part() -> None:
    log = running()
    leave(log)
    log.do(gestures.seal)
    assert log.state.overall is None


def test_a_whole_observation_is_not_sealed_in_part() -> None:
    log = running()
    log.seal()
    assert log.events[-1].body == {}


def test_what_cannot_be_handed_over() -> None:
    with pytest.raises(Refused, match="Nothing was seen yet"):
        leave(Log(FORM))
    with pytest.raises(Refused, match="You watch this attempt already"):
        leave(running(), "p-1")
    stopped = running()
    stopped.do(gestures.stop_for_safety)
    with pytest.raises(Refused, match="Stopped for safety"):
        leave(stopped)
    over = running()
    over.do(gestures.move_to, "")
    with pytest.raises(Refused, match="Every step was passed"):
        leave(over)
    void = running()
    void.do(gestures.void, "the trainer broke")
    with pytest.raises(Refused, match="void"):
        leave(void)


def successor(log: Log, seconds: int) -> Log:
    """Who takes over, so many seconds later."""
    log.second += seconds
    body = {
        "learner": "l-1",
        "variant": "",
        "continues": gestures.continuation(log.state, log.stamp()).as_record(),
    }
    came = Log(FORM)
    came.second = log.second
    came.events = []
    came.events = [came.event(Draft("observation-opened", body))]
    came.state = fold(came.events, came.ground)
    return came


def test_t5_a_successor_begins_where_the_learner_is_with_the_clock_going_on() -> None:
    log = running()
    log.do(gestures.move_to, "4")
    leave(log)
    spent = log.state.clock.spent_ns
    came = successor(log, 30)
    assert came.state.board.front == came.state.board.at == "4"
    assert came.state.clock.is_running
    assert came.state.clock.spent_ns == spent + 30 * 10**9
    came.mark("4")
    assert came.state.board.front == "5"
    came.do(gestures.take_back)
    assert came.state.board.front == "4"


def test_t3_a_successor_is_told_what_was_watched_never_how_it_was_done() -> None:
    log = running()
    log.mark("3", mark=NOT_DONE)
    log.do(gestures.move_to, "5")
    leave(log)
    came = successor(log, 1)
    assert came.state.continues is not None
    assert came.state.continues.seen == ("1", "2", "3")
    assert came.state.continues.observer == "p-1"
    assert all(mark == came.state.mark("5") for mark in came.state.marks.values())
    assert "not-done" not in str(came.events[0].body)


def test_t5_a_third_goes_on_from_the_second() -> None:
    log = running()
    leave(log)
    second = successor(log, 1)
    second.mark("3")
    second.do(gestures.hand_over, "p-3", last="d1/9")
    third = successor(second, 1)
    assert third.state.continues is not None
    assert third.state.continues.seen == ("1", "2", "3")
    assert third.state.board.front == "4"


def test_a_clock_that_stood_goes_on_standing() -> None:
    log = running()
    log.do(gestures.pause_clock)
    leave(log)
    came = successor(log, 60)
    assert not came.state.clock.is_running
    assert came.state.clock.spent_ns == log.state.clock.spent_ns


def test_only_what_was_handed_over_is_continued() -> None:
    log = running()
    with pytest.raises(ValueError, match="handed over"):
        gestures.continuation(log.state, log.stamp())


def test_e1_an_opening_whose_continuation_cannot_be_read_is_not_guessed_at() -> None:
    log = Log(FORM)
    body = {"learner": "l-1", "variant": "", "continues": {"front": "9"}}
    log.events = []
    event = log.event(Draft("observation-opened", body))
    assert fold([event], log.ground).newer == (event.id,)
