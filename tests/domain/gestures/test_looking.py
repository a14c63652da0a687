"""Looks without a mark, and looks that were suggested (rule A5)."""

from observe.domain import gestures
from observe.domain.bodies import Because, is_readable
from observe.domain.marks import DONE
from tests.domain.builders import Log
from tests.domain.trials import FORM, rated, refused

SECOND = 10**9


def test_a_look_is_kept_with_the_time_on_the_clock() -> None:
    log = Log(FORM)
    log.do(gestures.look)
    log.mark("1")
    log.second += 39
    log.do(gestures.look)
    assert log.state.looks == (0, 40 * SECOND)


def test_neither_can_be_taken_back_nor_stands_in_the_way_of_it() -> None:
    log = Log(FORM)
    log.mark("1", "2")
    before = log.state.board
    log.do(gestures.mark, "3", DONE)
    log.do(gestures.take_back)
    log.do(gestures.look)
    log.do(gestures.suggest_look, "3", Because.UNSEEN, 90 * SECOND)
    assert log.state.undone
    log.do(gestures.put_back)
    log.do(gestures.look)
    log.do(gestures.take_back)
    assert log.state.board == before


def test_a5_a_suggestion_says_where_why_and_after_what_wait_and_changes_nothing() -> None:
    log = Log(FORM)
    before = log.state
    (event,) = log.do(gestures.suggest_look, "3", Because.CRITICAL, 90 * SECOND)
    assert event.body == {"step": "3", "because": "critical", "waited_ns": 90 * SECOND}
    assert is_readable(event, log.ground)
    assert log.state == before
    refused(log, "no such step", gestures.suggest_look, "9", Because.UNSEEN, 0)
    refused(log, "no such reason", gestures.suggest_look, "3", "bored", 0)
    refused(log, "less than no time", gestures.suggest_look, "3", Because.UNSEEN, -1)


def test_a_suggestion_names_no_step_where_only_the_wait_was_long() -> None:
    log = Log(FORM)
    (event,) = log.do(gestures.suggest_look, "", Because.UNSEEN, 90 * SECOND)
    assert is_readable(event, log.ground)
    assert log.state.newer == ()


def test_after_the_seal_there_are_no_looks() -> None:
    log = rated()
    log.do(gestures.seal)
    refused(log, "is sealed", gestures.look)
    refused(log, "is sealed", gestures.suggest_look, "3", Because.UNSEEN, 0)
