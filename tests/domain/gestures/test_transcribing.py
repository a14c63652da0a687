"""Typing in what was marked on paper at the time (rule D2)."""

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.events import Draft
from observe.domain.form import CriticalKind, Mode
from observe.domain.marks import DONE
from observe.domain.order import entered_order
from observe.domain.scoring import evidence
from observe.domain.transcript import Transcript
from observe.domain.troubles import Refused
from tests.domain.builders import Log, a_critical, a_form, steps

FORM = a_form(steps(3), criticals=(a_critical("X", "1", kind=CriticalKind.RECOVERABLE),))
PAPER = Transcript("p-1", "2026-03-02", "09:40")


def typing() -> Log:
    log = Log(FORM)
    log.do(gestures.begin_transcription, PAPER)
    return log


def test_d2_while_a_paper_is_typed_no_clock_runs() -> None:
    log = typing()
    log.mark("1", "2")
    assert log.state.clock.started is None
    assert evidence(log.state).elapsed_s is None
    for gesture in (gestures.start_clock, gestures.pause_clock, gestures.stop_for_safety):
        with pytest.raises(Refused, match="typed in from paper"):
            log.do(gesture)
    assert log.refolded() == log.state == log.reread()


def test_the_time_taken_is_what_the_paper_says() -> None:
    log = typing()
    log.mark("1")
    log.do(gestures.type_time, 754 * 10**9)
    assert evidence(log.state).elapsed_s == 754
    with pytest.raises(Refused, match="no time"):
        log.do(gestures.type_time, -1)
    with pytest.raises(Refused, match="where a paper is typed"):
        Log(FORM).do(gestures.type_time, 1)


def test_m5_typed_marks_have_a_time_only_if_the_paper_does_and_never_an_order() -> None:
    log = typing()
    log.mark("2")
    log.do(gestures.mark, "1", DONE, observed_ns=65 * 10**9)
    first, second = (log.state.board.placed[id][0] for id in "21")
    assert (first.is_timed, second.is_timed) == (False, True)
    assert second.observed_ns == 65 * 10**9
    assert entered_order(log.state) == ()


def test_c2_a_typed_critical_event_has_no_time_of_its_own() -> None:
    log = typing()
    log.occur("X", Verdict.RECOVERED)
    assert not log.state.occurrences[0].is_timed


def test_what_was_marked_live_is_not_typed_over() -> None:
    log = Log(FORM)
    log.mark("1")
    with pytest.raises(Refused, match="marked live"):
        log.do(gestures.begin_transcription, PAPER)
    before = log.state
    log.append(Draft("transcription-begun", PAPER.as_record()))
    assert log.state == before


def test_a_paper_belongs_to_who_watched() -> None:
    with pytest.raises(Refused, match="Another observer"):
        Log(FORM).do(gestures.begin_transcription, Transcript("p-2"))


def test_typing_is_begun_once() -> None:
    assert typing().do(gestures.begin_transcription, PAPER) == ()


def test_opened_live_again_nothing_typed_is_lost_and_the_clock_starts() -> None:
    log = typing()
    log.mark("1")
    with pytest.raises(Refused, match="reason"):
        log.do(gestures.mark_live_again, " ")
    log.do(gestures.mark_live_again, "The attempt went on.")
    assert log.state.mark("1") == DONE
    assert log.state.transcript == PAPER
    log.mark("2")
    assert log.state.clock.is_running
    assert log.state.board.placed["1"][0].is_typed
    assert not log.state.board.placed["2"][0].is_typed
    with pytest.raises(Refused, match="Nothing is being typed"):
        log.do(gestures.mark_live_again, "again")


def test_t5_a_paper_is_not_handed_over() -> None:
    log = typing()
    log.mark("1")
    with pytest.raises(Refused, match="from paper"):
        log.do(gestures.hand_over, "p-2", last="d1/2")


def test_d2_who_typed_does_not_countersign() -> None:
    log = Log(FORM, mode=Mode.SUMMATIVE)
    log.do(gestures.begin_transcription, PAPER)
    log.mark("1")
    log.seal()
    assert log.state.typists == ("p-1",)
    with pytest.raises(Refused, match="countersign"):
        log.do(gestures.amend_step, "2", DONE, reason="why", countersigned="p-1")
