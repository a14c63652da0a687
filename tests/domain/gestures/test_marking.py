"""Marks, moving, order, variant, time-out (rules M1, M2, M4, M5, W1, F5)."""

from collections.abc import Callable
from typing import Any

import pytest

from observe.domain import gestures
from observe.domain.marks import (
    DID_NOT_ARISE,
    DONE,
    NOT_APPLICABLE,
    NOT_DONE,
    NOT_SEEN,
    Mark,
    PromptSource,
    State,
)
from observe.domain.profile import Departure, Doing, Profile
from tests.domain.builders import Log
from tests.domain.trials import FORM, SIDES, VOICED, kinds, refused


def test_m1_the_first_mark_starts_the_clock() -> None:
    log = Log(FORM)
    assert kinds(log.do_dry(gestures.mark, "1", DONE)) == ["clock-started", "mark-set"]
    log.mark("1")
    assert kinds(log.do_dry(gestures.mark, "2", DONE)) == ["mark-set"]


def test_m1_a_mark_is_kept_whole() -> None:
    mark = Mark(State.INCORRECT, 2, PromptSource.ASSISTANT)
    draft = Log(FORM).do_dry(gestures.mark, "1", mark, observed_ns=5)[-1]
    assert draft.body == {
        "step": "1",
        "mark": {"state": "incorrect", "prompt": 2, "source": "assistant"},
        "observed_ns": 5,
    }


def test_m1_not_seen_is_not_a_mark() -> None:
    refused(Log(FORM), "Not seen is not a mark", gestures.mark, "1", NOT_SEEN)


def test_m1_not_applicable_only_where_the_form_lets_it() -> None:
    log = Log(FORM)
    refused(log, "not applicable", gestures.mark, "1", NOT_APPLICABLE)
    log.mark("3", mark=NOT_APPLICABLE)


def test_m1_did_not_arise_only_with_when() -> None:
    log = Log(FORM)
    refused(log, "always arises", gestures.mark, "3", DID_NOT_ARISE)
    log.mark("4", mark=DID_NOT_ARISE)


def test_m2_voiced_is_not_offered_for_no() -> None:
    log = Log(FORM)
    refused(log, "must be performed", gestures.mark, "1", VOICED)
    log.mark("2", "3", mark=VOICED)


def test_w1_voice_today_lets_a_step_be_voiced_in_its_variant() -> None:
    voiced = Departure("1", Doing.VOICE, "no antiseptic", "left")
    profile = Profile(SIDES.whole_digest, (voiced,))
    Log(SIDES, profile=profile, variant="left").mark("1", mark=VOICED)
    right = Log(SIDES, profile=profile, variant="right")
    refused(right, "must be performed", gestures.mark, "1", VOICED)


def test_f5_the_variant_is_chosen_before_its_first_step() -> None:
    log = Log(SIDES)
    log.mark("1")
    refused(log, "none is chosen", gestures.mark, "2L", DONE)
    log.do(gestures.choose_variant, "left")
    log.mark("2L")
    refused(log, "no such step", gestures.mark, "2R", DONE)
    refused(log, "no such variant", gestures.choose_variant, "middle")


def test_e2_nothing_was_seen_before_the_clock() -> None:
    log = Log(FORM)
    refused(log, "before the clock", gestures.mark, "1", DONE, observed_ns=-1)
    log.do(gestures.mark, "1", DONE, observed_ns=0)


@pytest.mark.parametrize(
    "gesture", [gestures.move_to, gestures.claim_order, lambda o, id: gestures.mark(o, id, DONE)]
)
def test_a_step_that_is_not_in_play_is_refused(gesture: Callable[..., Any]) -> None:
    profile = Profile(FORM.whole_digest, (Departure("2", Doing.NOT_TODAY, "no kit"),))
    log = Log(FORM, profile=profile)
    refused(log, "no such step", gesture, "2")
    refused(log, "no such step", gesture, "9")


def test_passing_unseen_goes_to_the_next_step_and_past_the_last() -> None:
    log = Log(FORM)
    for expected in ("2", "3", "4", ""):
        log.do(gestures.pass_unseen)
        assert log.state.board.front == expected
    refused(log, "no step left", gestures.pass_unseen)


def test_passing_while_visiting_goes_back_to_the_step_in_front() -> None:
    log = Log(FORM)
    log.do(gestures.move_to, "3")
    log.do(gestures.move_to, "1")
    log.do(gestures.pass_unseen)
    assert (log.state.board.front, log.state.board.at) == ("3", "3")


def test_m5_a_claim_is_a_second_tap() -> None:
    log = Log(FORM)
    log.mark("2")
    assert log.state.board.claims == frozenset()
    log.do(gestures.claim_order, "2")
    assert log.state.board.claims == {"2"}


def test_a_reason_needs_words() -> None:
    refused(Log(FORM), "reason is needed", gestures.give_reason, "3", " ")


def test_m4_time_is_called_on_what_was_not_reached() -> None:
    log = Log(FORM)
    log.mark("1")
    log.mark("3")
    assert log.do_dry(gestures.call_time)[0].body == {"steps": ["2", "4"]}
    log.do(gestures.call_time)
    refused(log, "Every step was reached", gestures.call_time)


def test_m4_a_step_that_passed_unseen_stays_not_seen() -> None:
    log = Log(FORM)
    log.do(gestures.pass_unseen)
    log.do(gestures.call_time)
    assert [log.state.mark(id) for id in "1234"] == [NOT_SEEN, NOT_DONE, NOT_DONE, NOT_DONE]


def test_f5_what_another_variant_would_take_back_is_known_before() -> None:
    log = Log(SIDES, variant="left")
    log.mark("1", "2L")
    assert gestures.lost_to_variant(log.state, "right") == ("2L",)
    assert gestures.lost_to_variant(log.state, "left") == ()
    log.do(gestures.choose_variant, "right")
    assert [one for one, mark in log.state.marks.items() if mark == DONE] == ["1"]
